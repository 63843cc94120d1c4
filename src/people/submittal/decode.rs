//! Reads a submittal file like a spec: every problem at once, each with its place. The
//! choice of a rule set is read as on the command line.

use chrono::NaiveDate;
use serde_json::json;

use super::rules as own;
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::people::fusers::Choice;
use crate::people::fusers::rule_set::PUBLISHED;
use crate::spec::declare::kinds::{
    count, date, path, procedure_number, single, text, text_like, word,
};
use crate::spec::declare::{
    file_schema, group, list, nested, one_or_list, optional, optional_list, read_top, required,
};
use crate::spec::fields::Fields;
use crate::spec::language::Language;
use crate::spec::node::{Node, NodeKind};
use crate::spec::recovery::read_file;
use crate::spec::schema::values::{one_of, worded};
use crate::spec::schema::{self, either};
use crate::spec::words::Word;
use crate::spec::{Paper, plausible, rules, values};

/// The field with the format version.
const FORMAT: &str = "coldring-submittal";

/// A text and its place, to find duplicates.
fn text_and_place(text: &Spanned<String>) -> (String, Span) {
    (text.value.clone(), text.span)
}

group! {
    /// A submittal. Paths start at the folder of its file.
    pub struct Submittal {
        /// The number of the submittal, which also names its folder.
        number: Spanned<String> = required(procedure_number()),
        /// The revision of the submittal; 0 for the first.
        revision: Spanned<u32> = required(count(&plausible::REVISION)),
        /// The date of the submittal. Fusers are listed as of this date.
        date: Spanned<NaiveDate> = required(date()),
        /// What is submitted.
        title: Spanned<String> = required(text("A line of text.")),
        /// The project it is for.
        project: Spanned<String> = required(text("The name of the project.")),
        /// The number of the contract.
        contract: Option<Spanned<String>> =
            optional(text("As the contract has it."), "the cover has no such line."),
        /// The section of the project's specification that asks for it.
        section: Spanned<String> =
            required(text_like("Section 7.3, Joining of plastic pipe")),
        /// Who submits it.
        by as "submitted_by": Party = required(nested()),
        /// Who reviews it.
        to as "submitted_to": Party = required(nested()),
        /// What the reviewer should know, a paragraph each.
        remarks: Vec<Spanned<String>> =
            optional_list(one_or_list(text("A sentence or two.")), "none."),
        /// The paper.
        paper: Option<Spanned<Paper>> = optional(word(), "letter."),
        /// The language of cover and lists.
        language: Option<Spanned<Language>> = optional(word(), "English."),
        /// The procedures that are submitted.
        procedures: Vec<NamedProcedure> = optional_list(
            list(nested()).once(|named: &NamedProcedure| text_and_place(&named.spec)),
            "none; there is an attachment then.",
        ),
        /// Who will make the joints. The list names people.
        fusers: Option<NamedRoster> = optional(nested(), "nobody is named."),
        /// PDFs to attach, in their order.
        attachments: Vec<NamedAttachment> = optional_list(
            list(nested()).once(|named: &NamedAttachment| text_and_place(&named.file)),
            "none; there is a procedure then.",
        ),
    }
}

group! {
    /// Somebody who sends or receives a submittal.
    pub struct Party {
        /// The name of the organization.
        name: Spanned<String> = required(text("A line of text.")),
        /// Lines below the name, such as an address.
        lines: Vec<Spanned<String>> =
            optional_list(one_or_list(text("A line of text.")), "the name alone."),
    }
}

/// What of a procedure is submitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SubmittedPapers {
    /// The procedure and its sources.
    Both,
    /// The procedure alone.
    Procedure,
    /// The sources and open points alone.
    Sources,
}

impl Word for SubmittedPapers {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("both", SubmittedPapers::Both),
        ("procedure", SubmittedPapers::Procedure),
        ("sources", SubmittedPapers::Sources),
    ];
}

group! {
    /// A procedure that is submitted.
    pub struct NamedProcedure {
        /// The spec of the procedure.
        spec: Spanned<String> = required(path("../my-procedure.yaml")),
        /// What is submitted of it. Sources are included unless you leave them out here, because
        /// a reviewer asks where the numbers come from.
        papers: Option<Spanned<SubmittedPapers>> = optional(word(), "both."),
        /// Records to enclose. They name people.
        records: Vec<Spanned<String>> = optional_list(
            one_or_list(path("../records/PQ-7.yaml")).once(text_and_place),
            "none.",
        ),
        /// Specs of earlier revisions, to check whether specimens made by them still count. They
        /// are not enclosed.
        previous: Vec<Spanned<String>> = optional_list(
            one_or_list(path("../earlier/my-procedure-r1.yaml")).once(text_and_place),
            "a specimen counts for the revision it was made by.",
        ),
    }
}

group! {
    /// The roster that fusers are listed from.
    pub struct NamedRoster {
        /// The roster of fusers.
        roster: Spanned<String> = required(path("../people/fusers.yaml")),
        /// The badges of those to list.
        badges: Vec<Spanned<String>> = optional_list(
            one_or_list(text_like("AF-014")).once(text_and_place),
            "everybody on the roster.",
        ),
        /// Rule sets, in place of those that the roster chooses.
        rules: Vec<Choice> = optional_list(
            one_or_list(single(choice, rule_choice)),
            "those of the roster.",
        ),
    }
}

group! {
    /// A PDF that is attached.
    pub struct NamedAttachment {
        /// The PDF.
        file: Spanned<String> = required(path("attachments/certificate.pdf")),
        /// What it is, for the contents.
        title: Spanned<String> = required(text("A line of text.")),
    }
}

/// The schema of a submittal, which needs a procedure or an attachment.
pub(crate) fn submittal_schema() -> schema::Value {
    let some = |list: &str| json!({"required": [list], "properties": {list: {"minItems": 1}}});
    file_schema::<Submittal>(FORMAT).with("anyOf", json!([some("procedures"), some("attachments")]))
}

/// Reads a submittal file; `None` if something required is missing.
pub fn decode(text: &str) -> (Option<Submittal>, Vec<Finding>) {
    let read = read_file(text, &budget::SUBMITTAL, |root, findings| {
        let top = Fields::open(root, "", Span::default(), findings)?;
        let submittal = read_top::<Submittal>(top, (FORMAT, "the submittal is"), findings);
        if !has_entries(root, "procedures") && !has_entries(root, "attachments") {
            findings.push(
                own::NOTHING_SUBMITTED
                    .about_file("the submittal names no procedure and no attachment")
                    .help("name the spec of a procedure: procedures: [{spec: ../procedure.yaml}]"),
            );
        }
        submittal
    });
    read.unwrap_or_else(|finding| (None, vec![*finding]))
}

/// Whether a list has entries, readable or not. A value that is not a list is reported
/// elsewhere.
fn has_entries(root: &Node, list: &str) -> bool {
    let NodeKind::Map(fields) = &root.kind else {
        return false;
    };
    let is_list = |key: &Node| matches!(&key.kind, NodeKind::Scalar(name) if name == list);
    let field = fields.iter().find(|(key, _)| is_list(key));
    field
        .is_some_and(|(_, value)| !matches!(&value.kind, NodeKind::List(items) if items.is_empty()))
}

fn choice(node: &Node, findings: &mut Vec<Finding>) -> Option<Choice> {
    let written = values::text(node, findings)?;
    match Choice::parse(&written.value) {
        Ok(choice) => Some(choice),
        Err(help) => {
            findings.push(
                rules::UNKNOWN_WORD
                    .at(
                        written.span,
                        format!("'{}' names no rule set", written.value),
                    )
                    .help(help),
            );
            None
        }
    }
}

/// The choice of a rule set in one line, as on the command line.
fn rule_choice() -> schema::Value {
    let words: Vec<_> = PUBLISHED.iter().map(|(word, _)| *word).collect();
    let pattern = format!(
        r"^\s*(?:[^:=]*[^:=\s]\s*=\s*)?(?:{}|own:\s*[0-9]+\s*:.*\S.*)\s*$",
        words.join("|")
    );
    let how = "One of the words; for one procedure alone as in SF-001=us-gas; your own as in \
               own:12:Operations Manual 7.9.";
    let other = worded(
        schemars::json_schema!({"type": "string", "pattern": pattern}),
        how,
    );
    either([one_of(words), other.titled("other")]).told(how)
}

#[cfg(test)]
mod tests {
    use super::*;

    const CLEAN: &str = "\
coldring-submittal: 1
number: S-1
revision: 0
date: 2026-11-25
title: A procedure
project: A project
section: Section 7
submitted_by: {name: A}
submitted_to: {name: B}
procedures: [{spec: ../p.yaml}]
";

    fn slugs(text: &str) -> Vec<&'static str> {
        let (_, findings) = decode(text);
        let mut slugs: Vec<_> = findings.iter().map(|f| f.rule.slug).collect();
        slugs.sort_unstable();
        slugs
    }

    #[test]
    fn a_short_file_is_enough() {
        let (read, findings) = decode(CLEAN);
        assert!(findings.is_empty(), "{findings:?}");
        assert!(read.is_some_and(|read| read.contract.is_none() && read.revision.value == 0));
    }

    #[test]
    fn every_problem_is_reported_at_once() {
        let text = CLEAN
            .replace("revision: 0", "revision: -1")
            .replace("date: 2026-11-25", "date: 25.11.2026")
            .replace("section: Section 7\n", "")
            .replace("{name: B}", "{nane: B}")
            .replace("procedures: [", "procedures: [{spec: ../p.yaml}, ")
            .replace("coldring-submittal: 1", "coldring-submittal: 2");
        assert_eq!(
            slugs(&text),
            [
                "duplicate-key",
                "format-version",
                "missing-field",
                "not-a-date",
                "not-a-quantity",
                "unknown-field"
            ]
        );
    }

    #[test]
    fn a_rule_set_is_one_of_the_known() {
        let with = |rule: &str| format!("{CLEAN}fusers: {{roster: r.yaml, rules: [{rule}]}}\n");
        assert!(slugs(&with("us-gas")).is_empty());
        assert_eq!(slugs(&with("as we like")), ["unknown-word"]);
    }

    #[test]
    fn nothing_to_submit_is_a_finding() {
        let none = CLEAN.replace("procedures: [{spec: ../p.yaml}]\n", "");
        assert_eq!(slugs(&none), ["nothing-submitted"]);
        let papers = format!("{none}attachments: [{{file: a.pdf, title: A}}]\n");
        assert!(slugs(&papers).is_empty());
    }
}
