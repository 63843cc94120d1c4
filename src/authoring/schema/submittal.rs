//! The schema of the file of a submittal.

use schemars::json_schema;
use serde_json::json;

use crate::people::fusers::rule_set::PUBLISHED;
use crate::spec::language::Language;
use crate::spec::schema::values::{
    count, date, format_one, one_of, path, procedure_number, text, text_like, word, worded,
};
use crate::spec::schema::{Value, either, group, list, may, must, one_or, one_or_list};
use crate::spec::{Paper, plausible};

/// A submittal.
pub(super) fn submittal() -> Value {
    let some = |list: &str| json!({"required": [list], "properties": {list: {"minItems": 1}}});
    group([
        must(
            "coldring-submittal",
            "The number of the format: write 1.",
            format_one(),
        ),
        must(
            "number",
            "The number of the submittal, which also names its folder.",
            procedure_number(),
        ),
        must(
            "revision",
            "The revision of the submittal; 0 for the first.",
            count(&plausible::REVISION),
        ),
        must(
            "date",
            "The date of the submittal. Who is qualified is told for this day.",
            date(),
        ),
        must("title", "What is submitted.", text("A line of text.")),
        must(
            "project",
            "The project it is for.",
            text("The name of the project."),
        ),
        may(
            "contract",
            "The number of the contract.",
            "the cover has no such line.",
            text("As the contract has it."),
        ),
        must(
            "section",
            "The section of the project's specification that asks for it.",
            text_like("Section 7.3, Joining of plastic pipe"),
        ),
        must("submitted_by", "Who submits it.", party()),
        must("submitted_to", "Who reviews it.", party()),
        may(
            "remarks",
            "What the reviewer should know, a paragraph each.",
            "none.",
            one_or_list(text("A sentence or two.")),
        ),
        may("paper", "The paper.", "letter.", word::<Paper>()),
        may(
            "language",
            "The language of cover and lists.",
            "English.",
            word::<Language>(),
        ),
        may(
            "procedures",
            "The procedures that are submitted.",
            "none; there is an attachment then.",
            list(procedure()).unlike(),
        ),
        may(
            "fusers",
            "Who will make the joints. The list names people.",
            "nobody is named.",
            fusers(),
        ),
        may(
            "attachments",
            "PDFs to attach, in their order.",
            "none; there is a procedure then.",
            list(attachment()).unlike(),
        ),
    ])
    .with("anyOf", json!([some("procedures"), some("attachments")]))
}

fn party() -> Value {
    group([
        must(
            "name",
            "The name of the organization.",
            text("A line of text."),
        ),
        may(
            "lines",
            "Lines below the name, such as an address.",
            "the name alone.",
            one_or_list(text("A line of text.")),
        ),
    ])
}

fn procedure() -> Value {
    group([
        must(
            "spec",
            "The spec of the procedure.",
            path("../my-procedure.yaml"),
        ),
        may(
            "records",
            "Those of its records that go along. They name people.",
            "none.",
            one_or(
                path("../records/PQ-7.yaml"),
                list(path("../records/PQ-7.yaml")).unlike(),
            ),
        ),
        may(
            "previous",
            "Specs of earlier revisions, to tell whether specimens made by them still hold. They \
             are not enclosed.",
            "a specimen holds for the revision it was made by.",
            one_or(
                path("../earlier/my-procedure-r1.yaml"),
                list(path("../earlier/my-procedure-r1.yaml")).unlike(),
            ),
        ),
    ])
}

fn fusers() -> Value {
    group([
        must(
            "roster",
            "The roster of fusers.",
            path("../people/fusers.yaml"),
        ),
        may(
            "badges",
            "The badges of those to list.",
            "everybody on the roster.",
            one_or(text_like("AF-014"), list(text_like("AF-014")).unlike()),
        ),
        may(
            "rules",
            "Rule sets, in place of those that the roster chooses.",
            "those of the roster.",
            one_or_list(rule_choice()),
        ),
    ])
}

fn attachment() -> Value {
    group([
        must("file", "The PDF.", path("attachments/certificate.pdf")),
        must(
            "title",
            "What it is, for the contents.",
            text("A line of text."),
        ),
    ])
}

/// The choice of a rule set in one line, as on the command line.
fn rule_choice() -> Value {
    let words: Vec<_> = PUBLISHED.iter().map(|(word, _)| *word).collect();
    let pattern = format!(
        r"^\s*(?:[^:=]*[^:=\s]\s*=\s*)?(?:{}|own:\s*[0-9]+\s*:.*\S.*)\s*$",
        words.join("|")
    );
    let how = "One of the words; for one procedure alone as in SF-001=us-gas; your own as in \
               own:12:Operations Manual 7.9.";
    let other = worded(json_schema!({"type": "string", "pattern": pattern}), how);
    either([one_of(words), other.titled("other")]).told(how)
}
