//! JSON Schemas (2020-12) of the files people write, for their editors. They
//! come from the declarations of the groups (`spec::declare`), as do the
//! readers and the reference page.
//!
//! A schema is no stricter than its reader; `tests/suite/schema` holds hand-
//! written groups and values against the readers, both ways. What a schema
//! cannot tell (two entries of one name, dark colors, what a clause must say),
//! only the reader refuses. A resin outside the tables is refused by the schema
//! and the rules, not by the reader.
//!
//! Quantities and texts have no examples and no defaults, because editors
//! insert the first example when a field is chosen, and a number must come from
//! whoever writes. `errorMessage` is not part of JSON Schema; the language
//! server shows it in place of a pattern. `new` writes the schema beside the
//! spec and a comment that names it, so nothing is fetched; `$id` is a URN.

mod describe;
mod reference;

use schemars::Schema;
use serde_json::json;

use crate::papers::house::decode::{self as house, HouseFile};
use crate::people::fusers::{self, Roster};
use crate::people::submittal::submittal_schema;
use crate::spec::declare::file_schema;
use crate::spec::record::{self, Record};
use crate::spec::schema::Value;
use crate::spec::{self, ConfirmationsFile, Spec};
pub(crate) use describe::describe;
pub(crate) use reference::reference;

/// The dialect that the schemas are written in.
const DIALECT: &str = "https://json-schema.org/draft/2020-12/schema";

/// A kind of file that people write.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Kind {
    /// A procedure.
    Spec,
    /// Test joints.
    Record,
    /// A roster.
    Fusers,
    /// What is handed over for review.
    Submittal,
    /// How papers look and read.
    House,
    /// Figures that were checked in an edition.
    Confirmations,
}

impl Kind {
    /// Every kind.
    pub const ALL: [Kind; 6] = [
        Kind::Spec,
        Kind::Record,
        Kind::Fusers,
        Kind::Submittal,
        Kind::House,
        Kind::Confirmations,
    ];

    /// Its word, in names of files and on the command line.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Spec => "spec",
            Kind::Record => "record",
            Kind::Fusers => "fusers",
            Kind::Submittal => "submittal",
            Kind::House => "house",
            Kind::Confirmations => "confirmations",
        }
    }

    /// What the file is, in one sentence.
    pub fn about(self) -> &'static str {
        match self {
            Kind::Spec => "A socket-fusion procedure, which check and build read.",
            Kind::Record => "A record of test joints, which a spec names under qualification.",
            Kind::Fusers => "A roster of fusers as YAML, which fusers and cards read.",
            Kind::Submittal => "What is submitted for review, which submittal reads.",
            Kind::House => "A house style, the house.yaml of the folder given with --house.",
            Kind::Confirmations => {
                "Figures checked in an edition, which a spec names under figures."
            }
        }
    }

    /// What the file of its schema is called.
    pub fn file_name(self) -> String {
        format!("coldring-{}.schema.json", self.word())
    }

    pub(super) fn value(self) -> Value {
        match self {
            Kind::Spec => file_schema::<Spec>(spec::FORMAT),
            Kind::Record => file_schema::<Record>(record::FORMAT),
            Kind::Fusers => file_schema::<Roster>(fusers::FORMAT),
            Kind::Submittal => submittal_schema(),
            Kind::House => file_schema::<HouseFile>(house::FORMAT),
            Kind::Confirmations => file_schema::<ConfirmationsFile>(spec::CONFIRMATIONS_FORMAT),
        }
    }
}

/// The schema of a kind of file.
pub fn schema(kind: Kind) -> Schema {
    let word = kind.word();
    let mut top = serde_json::Map::new();
    top.insert("$schema".to_owned(), json!(DIALECT));
    // A name without a network address: nothing is fetched by it.
    top.insert(
        "$id".to_owned(),
        json!(format!("urn:coldring:schema:{word}:1")),
    );
    top.insert("title".to_owned(), json!(format!("coldring {word}")));
    top.insert("description".to_owned(), json!(kind.about()));
    top.extend(kind.value().schema.as_object().cloned().unwrap_or_default());
    Schema::from(top)
}

/// The schema as the text of its file.
pub fn text(kind: Kind) -> String {
    format!("{:#}\n", schema(kind).as_value())
}
