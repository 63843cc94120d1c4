//! The file of a submittal, read as a spec is: every problem at once, each at
//! its place.

use super::model::{NamedAttachment, NamedProcedure, NamedRoster, Party, Submittal};
use super::rules as own;
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::people::fusers::Choice;
use crate::spec::fields::{Fields, given_twice, list, one_or_list};
use crate::spec::node::{Node, NodeKind};
use crate::spec::recovery::read_file;
use crate::spec::{plausible, rules, values};

/// Reads the file of a submittal; `None` where what must be said is missing.
pub fn decode(text: &str) -> (Option<Submittal>, Vec<Finding>) {
    let read = read_file(text, &budget::SUBMITTAL, |root, findings| {
        Fields::open(root, "", Span::default(), findings).and_then(|top| submittal(top, findings))
    });
    read.unwrap_or_else(|finding| (None, vec![*finding]))
}

fn submittal(mut top: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Submittal> {
    top.format_one("coldring-submittal", "the submittal is", findings);
    let number = top.required("number", findings, values::procedure_number);
    let revision = top.required("revision", findings, values::count(&plausible::REVISION));
    let date = top.required("date", findings, values::date);
    let title = top.required("title", findings, values::text);
    let project = top.required("project", findings, values::text);
    let contract = top.optional("contract", findings, values::text);
    let section = top.required("section", findings, values::text);
    let by = top.required_group("submitted_by", findings);
    let by = by.and_then(|fields| party(fields, findings));
    let to = top.required_group("submitted_to", findings);
    let to = to.and_then(|fields| party(fields, findings));
    let remarks = top.optional("remarks", findings, texts).unwrap_or_default();
    let paper = top.optional("paper", findings, values::word);
    let language = top.optional("language", findings, values::word);
    let enclosed = ["procedures", "attachments"]
        .map(|field| top.take(field).map_or(0, |(node, _)| entries(node)));
    let procedures = top.optional("procedures", findings, |node, findings| {
        list(node, findings, procedure)
    });
    let fusers = top.group("fusers", findings);
    let fusers = fusers.and_then(|fields| roster(fields, findings));
    let attachments = top.optional("attachments", findings, |node, findings| {
        list(node, findings, attachment)
    });
    top.finish(findings);
    let procedures = once(procedures.unwrap_or_default(), |p| &p.spec, findings);
    let attachments = once(attachments.unwrap_or_default(), |a| &a.file, findings);
    if enclosed == [0, 0] {
        findings.push(
            own::NOTHING_SUBMITTED
                .about_file("the submittal names no procedure and no attachment")
                .help("name the spec of a procedure: procedures: [{spec: ../procedure.yaml}]"),
        );
    }
    Some(Submittal {
        number: number?,
        revision: revision?,
        date: date?,
        title: title?,
        project: project?,
        contract,
        section: section?,
        by: by?,
        to: to?,
        remarks,
        paper,
        language,
        procedures,
        fusers,
        attachments,
    })
}

/// How many entries a list has, readable or not; what is no list has been found to
/// be none.
fn entries(node: &Node) -> usize {
    match &node.kind {
        NodeKind::List(items) => items.len(),
        _ => 1,
    }
}

fn texts(node: &Node, findings: &mut Vec<Finding>) -> Option<Vec<Spanned<String>>> {
    Some(one_or_list(node, findings, values::text))
}

fn party(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Party> {
    let name = fields.required("name", findings, values::text);
    let lines = fields.optional("lines", findings, texts);
    fields.finish(findings);
    Some(Party {
        name: name?,
        lines: lines.unwrap_or_default(),
    })
}

fn procedure(node: &Node, findings: &mut Vec<Finding>) -> Option<NamedProcedure> {
    let mut fields = Fields::open(node, "procedures", node.span, findings)?;
    let spec = fields.required("spec", findings, values::text);
    let records = fields.optional("records", findings, texts);
    let previous = fields.optional("previous", findings, texts);
    fields.finish(findings);
    Some(NamedProcedure {
        spec: spec?,
        records: once(records.unwrap_or_default(), |path| path, findings),
        previous: once(previous.unwrap_or_default(), |path| path, findings),
    })
}

fn roster(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<NamedRoster> {
    let roster = fields.required("roster", findings, values::text);
    let badges = fields.optional("badges", findings, texts);
    let rules = fields.optional("rules", findings, |node, findings| {
        Some(one_or_list(node, findings, choice))
    });
    fields.finish(findings);
    Some(NamedRoster {
        roster: roster?,
        badges: once(badges.unwrap_or_default(), |badge| badge, findings),
        rules: rules.unwrap_or_default(),
    })
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

fn attachment(node: &Node, findings: &mut Vec<Finding>) -> Option<NamedAttachment> {
    let mut fields = Fields::open(node, "attachments", node.span, findings)?;
    let file = fields.required("file", findings, values::text);
    let title = fields.required("title", findings, values::text);
    fields.finish(findings);
    Some(NamedAttachment {
        file: file?,
        title: title?,
    })
}

/// Leaves the first of those that are named alike.
fn once<T>(
    named: Vec<T>,
    name: impl Fn(&T) -> &Spanned<String>,
    findings: &mut Vec<Finding>,
) -> Vec<T> {
    let mut kept: Vec<T> = Vec::new();
    for entry in named {
        let this = name(&entry);
        match kept.iter().map(&name).find(|n| n.value == this.value) {
            Some(first) => findings.push(given_twice(this, this.span, first.span)),
            None => kept.push(entry),
        }
    }
    kept
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
