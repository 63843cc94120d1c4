//! A submittal: the papers handed to a contractor or engineer for review, bound
//! in one PDF. This room reads the submittal file, inspects the attached PDFs,
//! and holds the rules.
//!
//! Attached PDFs are checked to the letter, because the renderer that places
//! them turns damaged pages into blank ones. Two readers must get the same
//! bytes for each stream, Flate data must end in its checksum, and images and
//! JPEGs must decode to their full size (`streams.rs`, `jpeg.rs`); everything a
//! page draws with must be there, and its content must be readable to the end
//! (`content.rs`). A changed bit that only alters a color cannot be detected.
//! Encrypted PDFs are refused, even with an empty password.

mod attachment;
mod content;
mod decode;
mod jpeg;
pub(crate) mod rules;
mod streams;

pub use attachment::inspect;
pub(crate) use attachment::{Attachment, Fault, MOST_PAGES, Pages};
pub use decode::decode;
pub(crate) use decode::{
    NamedAttachment, NamedProcedure, NamedRoster, Party, Submittal, SubmittedPapers,
    submittal_schema,
};

use crate::core::budget;
use crate::core::source::{Source, Sources, Unavailable};

/// The files a submittal names, in its order.
#[derive(Debug, Clone, Default)]
pub(crate) struct Enclosed {
    pub(crate) procedures: Vec<EnclosedProcedure>,
    /// The roster, if one is named.
    pub(crate) roster: Option<Result<Source, Unavailable>>,
    /// The PDFs to attach.
    pub(crate) attachments: Vec<Result<Attachment, Fault>>,
}

/// Where the files that a submittal names are read from.
pub(crate) trait EnclosedFiles {
    /// A spec with the files it names and the house style.
    ///
    /// # Errors
    /// Why it cannot be read.
    fn spec(&self, named: &str) -> Result<Sources, Unavailable>;

    /// A text of at most so many bytes.
    ///
    /// # Errors
    /// Why it cannot be read.
    fn text(&self, named: &str, most: usize) -> Result<Source, Unavailable>;

    /// A PDF whose pages can be placed.
    ///
    /// # Errors
    /// Why they cannot.
    fn attachment(&self, named: &str) -> Result<Attachment, Fault>;
}

impl Enclosed {
    /// Reads the files that a submittal names.
    pub(crate) fn read(submittal: &Submittal, files: &impl EnclosedFiles) -> Self {
        let procedure = |named: &NamedProcedure| EnclosedProcedure {
            spec: files.spec(&named.spec),
            previous: named.previous.iter().map(|path| files.spec(path)).collect(),
            records: { named.records.iter() }
                .map(|path| files.text(path, budget::RECORD.bytes))
                .collect(),
        };
        let roster = submittal.fusers.as_ref();
        Self {
            procedures: submittal.procedures.iter().map(procedure).collect(),
            roster: roster.map(|named| files.text(&named.roster, budget::ROSTER.bytes)),
            attachments: { submittal.attachments.iter() }
                .map(|named| files.attachment(&named.file))
                .collect(),
        }
    }
}

/// A procedure and its records, as far as they could be read.
#[derive(Debug, Clone)]
pub(crate) struct EnclosedProcedure {
    /// The spec, with the files it names and the house style.
    pub(crate) spec: Result<Sources, Unavailable>,
    /// Its records that are submitted.
    pub(crate) records: Vec<Result<Source, Unavailable>>,
    /// Specs of its earlier revisions.
    pub(crate) previous: Vec<Result<Sources, Unavailable>>,
}
