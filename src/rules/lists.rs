//! Rules about lists: duplicates, contradictions, and empty lists.

use std::collections::HashMap;

use super::Context;
use crate::core::finding::{Finding, rules};
use crate::core::source::Spanned;
use crate::procedure::resolve::Cited;
use crate::spec::FittingKind;

rules! {
    SPIGOT_NOT_A_KIND = warning("Spigots are measured, and the kind is not claimed.")
        .absence()
        .why("The scope prints the kinds of fitting that are covered, and the rules on spigots \
              look only where they are claimed. The measured ones are neither covered nor checked.")
        .example("fittings: {kinds: [coupling], spigots: {1 IPS: {straight_length: 1.6 in}}}")
        .fix("Add spigot to fittings.kinds, or take the spigots out.");
    LISTED_TWICE = warning("A reference, a rule, a reducer or a record is listed twice.")
        .why("Nothing is lost by it, but the second entry was probably meant to be another one, \
              and that one is missing.")
        .example("references: [\"Operations Manual, section 4\", \"Operations Manual, section 4\"]")
        .fix("Delete one of the two, or correct it to what was meant.");
    RECORD_CITED_DIFFERENTLY = error(
        "The same record is cited with two dates or for two revisions.")
        .why("A record has one date and was made by the settings of one revision. One of the two \
              citations is wrong, and nobody can tell which.")
        .example("qualification:\n  records:\n    - {number: PQ-31, date: 2026-09-01, revision: \
                  1}\n    - {number: PQ-31, date: 2026-10-01, revision: 2}")
        .fix("Look the record up, keep the right citation, and delete the other or correct its \
              number.");
    GAUGE_MARK_OF_TWO_SIZES = warning("The depth gauges of two sizes have the same mark.")
        .why("A mark tells one gauge from another. A record that names it then says nothing of \
              which depth was set.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 0.71 in, id: G-1}, 2 IPS: {depth: 0.94 in, \
                  id: G-1}}}")
        .fix("Read the marks again, and give each gauge one of its own.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let fittings = &spec.fittings;
    let mut kinds = fittings.kinds.iter();
    let claims_spigots = kinds.any(|kind| kind.value == FittingKind::Spigot);
    if let Some((size, _)) = fittings.spigots.first().filter(|_| !claims_spigots) {
        findings.push(
            SPIGOT_NOT_A_KIND
                .at(
                    size.span,
                    "spigots are measured, and `fittings.kinds` does not have spigot",
                )
                .help("add spigot to `fittings.kinds`, or take the spigots out"),
        );
    }
    duplicate_texts(&spec.references, findings);
    if let Some(qualification) = &spec.qualification {
        duplicate_texts(&qualification.rules, findings);
    }
    duplicate_reducers(context, findings);
    duplicate_records(context, findings);
    duplicate_marks(context, findings);
}

/// Reports texts that differ only in case and spaces.
fn duplicate_texts(texts: &[Spanned<String>], findings: &mut Vec<Finding>) {
    let mut seen = HashMap::new();
    for text in texts {
        let words: Vec<_> = text.split_whitespace().collect();
        let plain = words.join(" ").to_lowercase();
        let first = *seen.entry(plain).or_insert(text.span);
        if first != text.span {
            findings.push(
                LISTED_TWICE
                    .at(text.span, format!("'{}' is listed twice", text.value))
                    .related(first, "the first time")
                    .help("delete one of the two, or correct it to what was meant"),
            );
        }
    }
}

fn duplicate_reducers(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let mut seen = HashMap::new();
    for reducer in &context.procedure.spec.fittings.reducers {
        let (large, small) = (reducer.large, reducer.small);
        let first = *seen.entry((large, small)).or_insert(reducer.span);
        if first != reducer.span {
            findings.push(
                LISTED_TWICE
                    .at(
                        reducer.span,
                        format!("the {large} x {small} reducer is listed twice"),
                    )
                    .related(first, "the first time")
                    .help("delete one of the two, or correct it to the pair that was meant"),
            );
        }
    }
}

fn duplicate_records(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let mut seen: HashMap<&str, Cited<'_>> = HashMap::new();
    for record in context.procedure.cited() {
        let number = &record.number.value;
        let Some(first) = seen.get(number.as_str()) else {
            seen.insert(number, record);
            continue;
        };
        let citation =
            |of: &Cited<'_>| format!("of {} for revision {}", of.date.value, of.revision.value);
        let (again, before) = (citation(&record), citation(first));
        let finding = if again == before {
            LISTED_TWICE
                .at(
                    record.number.span,
                    format!("record {number} is listed twice"),
                )
                .help("delete one of the two, or correct its number")
        } else {
            RECORD_CITED_DIFFERENTLY
                .at(
                    record.number.span,
                    format!("record {number} is cited {again} here, and {before} before"),
                )
                .help("look the record up, and keep the right citation")
        };
        let finding = finding.in_file(record.file);
        findings.push(finding.related_in(first.file, first.number.span, "the first time"));
    }
}

fn duplicate_marks(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let gauges = &context.procedure.spec.tools.depth_gauges;
    let marked = || {
        gauges
            .iter()
            .filter_map(|(size, gauge)| Some((size, gauge.id.as_ref()?)))
    };
    for (index, (size, id)) in marked().enumerate() {
        let mut before = marked().take(index);
        if let Some((other, first)) = before.find(|(_, known)| known.value == id.value) {
            findings.push(
                GAUGE_MARK_OF_TWO_SIZES
                    .at(
                        id.span,
                        format!(
                            "the gauges of {} and {} are both marked {}",
                            other.value, size.value, id.value
                        ),
                    )
                    .related(first.span, format!("the mark of {}", other.value))
                    .help("read the marks again, and give each gauge one of its own"),
            );
        }
    }
}
