//! The schema of a house style.

use schemars::json_schema;
use serde_json::json;

use crate::papers::house::decode::{LONGEST, MOST_LINES, MOST_ROLES};
use crate::papers::house::replaceable;
use crate::papers::sheets::Clauses;
use crate::papers::sheets::house::Place;
use crate::spec::Paper;
use crate::spec::language::Language;
use crate::spec::schema::values::{format_one, path, text, text_like, word};
use crate::spec::schema::{Declared, Value, group, list, may, must, one_or, one_or_more};
use crate::spec::words::Word as _;

/// A house style.
pub(super) fn house() -> Value {
    group([
        must(
            "coldring-house",
            "The number of the format: write 1.",
            format_one(),
        ),
        must(
            "organization",
            "Who it is, for the letterhead.",
            organization(),
        ),
        may("logo", "The logo, SVG or PNG.", "none.", path("logo.svg")),
        may("colors", "Two colors.", "those of the program.", colors()),
        may(
            "paper",
            "The paper, where a spec does not say.",
            "letter for US practice, a4 for metric.",
            word::<Paper>(),
        ),
        may(
            "signatures",
            "Who signs the procedure, in their order.",
            "the program's own lines.",
            list(signature()).with("maxItems", MOST_ROLES),
        ),
        may(
            "extra",
            "Text of your own, by the language of the papers. It never takes the place of a \
             caution.",
            "none.",
            by_language(|_| list(extra())),
        ),
        may(
            "replaced",
            "Clauses in your own words, by language and key. Each must still say its quantities; \
             what warns cannot be replaced.",
            "the program's own words.",
            by_language(clauses),
        ),
    ])
}

/// A field for each language.
fn by_language(value: impl Fn(Language) -> Value) -> Value {
    let field = |(tag, language): &(&'static str, Language)| -> Declared {
        let about = format!("For papers in the language {tag}.");
        may(tag, about, "they have the program's own.", value(*language))
    };
    group(Language::TAGS.iter().map(field))
}

/// The clauses that may be worded, each with the words of the program and the
/// quantities that its own words must say. There are hundreds, so what may be
/// written for them is said once.
fn clauses(language: Language) -> Value {
    let words = Clauses::load(language);
    let told = |(key, quantities): (&str, &[&str])| {
        let own = words.own_text(key).unwrap_or_default();
        let own: Vec<_> = own.split_whitespace().collect();
        let own = own.join(" ");
        let needed = match quantities {
            [] => String::new(),
            quantities => format!(" It must say: {}.", quantities.join(", ")),
        };
        let about = format!("The program says: \u{201c}{own}\u{201d}{needed}");
        (key.to_owned(), json!({"description": about}))
    };
    let clauses: serde_json::Map<_, _> = replaceable().map(told).collect();
    let text = long_text();
    let schema = json_schema!({
        "type": "object",
        "properties": clauses,
        "additionalProperties": false,
        "allOf": [{"additionalProperties": text.schema}],
    });
    Value::new(schema, text.how)
}

fn organization() -> Value {
    let line_of_address = || text("A line of text.");
    let address = one_or(
        line_of_address(),
        list(line_of_address()).with("maxItems", MOST_LINES),
    );
    let line = |name, what: &str| may(name, what, "none.", text(""));
    group([
        must(
            "name",
            "The name of the organization.",
            text("As it stands on your documents."),
        ),
        may(
            "address",
            format!("The lines of the address, up to {MOST_LINES}."),
            "none.",
            address,
        ),
        line("phone", "The telephone number."),
        line("email", "The e-mail address."),
        line("web", "The address on the web, without https://."),
    ])
}

fn colors() -> Value {
    let color = || {
        let schema = json_schema!({"type": "string", "pattern": r"^\s*#[0-9A-Fa-f]{6}\s*$"});
        Value::new(
            schema,
            "Six hexadecimal digits in quotes, as in \"#0b3d5c\".",
        )
    };
    group([
        may(
            "primary",
            "Headings: dark, at least 7 to 1 on white.",
            "that of the program.",
            color(),
        ),
        may(
            "accent",
            "Rules at head and foot: at least 3 to 1 on white.",
            "that of the program.",
            color(),
        ),
    ])
}

fn signature() -> Value {
    group([
        must(
            "role",
            "What the person does for the document.",
            text_like("Prepared by"),
        ),
        may(
            "note",
            "A word more, below the line.",
            "none.",
            text_like("piping engineer"),
        ),
    ])
}

fn extra() -> Value {
    let ends = Place::WORDS
        .iter()
        .filter(|(_, place)| *place == Place::End);
    let ends: Vec<_> = ends.map(|(word, _)| *word).collect();
    group([
        must("at", "Where it goes.", word::<Place>()),
        may(
            "title",
            "A heading, which makes it a section.",
            "it joins the section there; text at the end needs one.",
            text("A line of text."),
        ),
        must("text", "The paragraphs.", one_or_more(long_text())),
    ])
    .with("if", json!({"properties": {"at": {"enum": ends}}}))
    .with("then", json!({"required": ["title"]}))
}

/// A paragraph.
fn long_text() -> Value {
    let schema = json_schema!({
        "type": ["string", "number", "boolean"],
        "minLength": 1,
        "maxLength": LONGEST,
    });
    Value::new(schema, format!("Up to {LONGEST} characters."))
}
