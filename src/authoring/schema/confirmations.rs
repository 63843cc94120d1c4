//! The schema of a file of confirmed figures.

use schemars::json_schema;

use crate::spec::schema::values::{date, format_one, text, text_like};
use crate::spec::schema::{Value, either, group, list, must};

/// The file of confirmations.
pub(super) fn confirmations() -> Value {
    // A file whose entries are all still commented out is as good as an empty list.
    let none = Value::new(json_schema!({"type": "null"}), "");
    let entries = either([list(confirmation()).unlike(), none]);
    group([
        must(
            "coldring-confirmations",
            "The number of the format: write 1.",
            format_one(),
        ),
        must(
            "confirmations",
            "What was read, each figure once.",
            entries.told("A list."),
        ),
    ])
}

fn confirmation() -> Value {
    group([
        must(
            "figure",
            "The id of the figure, as coldring limits lists it.",
            text_like("us-cycles:high-density:3/4-IPS:heat"),
        ),
        must(
            "read",
            "What stands in the edition, with its unit, whether or not the tables agree.",
            text("As it is printed there."),
        ),
        must(
            "edition",
            "The edition that it was read in.",
            text("Designation and year, as on the title page."),
        ),
        must(
            "place",
            "Where in that edition.",
            text("As in Table 3, or page 12."),
        ),
        must("by", "Who read it.", text("Initials will do.")),
        must("date", "The day it was read.", date()),
    ])
}
