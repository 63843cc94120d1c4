//! Clauses in the words of a house: which may be replaced, and whether each
//! says what the clause is there to say.

use std::collections::BTreeMap;

use super::decode::HouseClause;
use super::rules;
use crate::finding::Finding;
use crate::sheets::Clause;
use crate::sheets::house::{ClauseFailure, HouseClauses};
use crate::source::{Span, Spanned};
use crate::spec::nearest;

/// Keys, or with `*` the beginnings of keys, that no house style replaces: what
/// warns, what governs, what a mark or a status means, how far a figure can be
/// trusted, and what this tool does not claim.
const PROTECTED: &[&str] = &[
    // The frame of every paper, so that all papers are told apart alike
    "paper-*",
    "document-title",
    "status-*",
    "digest-label",
    "tables-line",
    "revision-label",
    "check-line",
    "page-label",
    "of-label",
    // What a mark means, and how far a figure can be trusted
    "verify-*",
    "basis-*",
    "no-joint*",
    "not-*",
    "source-*",
    "sources-*",
    "title-sources",
    "absent-*",
    "statements-*",
    "house-*",
    // What governs, and what nobody may take for a claim
    "deference",
    "scope-limit",
    "qualification-*",
    "title-qualification",
    "approval",
    "title-approval",
    "card-deference",
    "marks-note-govern*",
    // What warns
    "title-cautions",
    "cautions-intro",
    "heater-outside",
    "heater-check-none",
    "times-depth-unset*",
    "times-test-unset",
    "step-bad-melt*",
    "rejection-intro",
    "card-step-danger",
    "card-pipe-range",
    "card-pipe-open",
    "card-no-cold",
    "card-cold",
    "card-least-wall",
    "card-test-unset",
    "card-stop",
    "card-reject*",
    "cold-none*",
    "cold-floor",
    // The estimate and the worksheet
    "heat-*",
    "title-heat",
    "confirm-*",
    // How a strip is printed and measured
    "marks-*",
];

/// Whether a clause stays in the words of the program.
fn is_protected(key: &str) -> bool {
    PROTECTED.iter().any(|entry| match entry.strip_suffix('*') {
        Some(start) => key.starts_with(start),
        None => key == *entry,
    })
}

/// The clauses that a house style may word itself: the key and the quantities
/// of each.
pub(crate) fn replaceable() -> impl Iterator<Item = (&'static str, &'static [&'static str])> {
    let clauses = Clause::ALL.iter().copied();
    clauses.filter(|(key, _)| !is_protected(key))
}

/// Checks the clauses that `text`, the house style, words.
pub(super) fn check(clauses: &[HouseClause], text: &str) -> Vec<Finding> {
    let keys: Vec<_> = Clause::ALL.iter().map(|(key, _)| *key).collect();
    let mut findings = Vec::new();
    for HouseClause { key, words, .. } in clauses {
        let declared = Clause::ALL.iter().find(|(known, _)| *known == key.value);
        let Some((_, quantities)) = declared else {
            let finding =
                rules::CLAUSE_UNKNOWN.at(key.span, format!("there is no clause '{}'", key.value));
            findings.push(match nearest(key, &keys) {
                Some(near) => finding.help(format!("did you mean '{near}'?")),
                None => finding,
            });
            continue;
        };
        if is_protected(key) {
            findings.push(
                rules::CLAUSE_PROTECTED
                    .at(key.span, format!("no house style replaces '{}'", key.value))
                    .help("take it out; what the organization wants to add goes under `extra`"),
            );
            continue;
        }
        let one = BTreeMap::from([(key.value.clone(), words.value.clone())]);
        match HouseClauses::new(one).trial(key, quantities) {
            Ok(trial) => {
                let has = match quantities {
                    [] => "it has no quantity".to_owned(),
                    _ => format!("it has: {}", quantities.join(", ")),
                };
                findings.extend(trial.strange.iter().map(|name| {
                    rules::CLAUSE_QUANTITIES
                        .at(
                            place_of(name, words, text),
                            format!("'{}' has no quantity '{name}'", key.value),
                        )
                        .help(has.clone())
                }));
                findings.extend(trial.unsaid.iter().map(|name| {
                    rules::CLAUSE_QUANTITIES
                        .at(words.span, format!("'{}' does not say {name}", key.value))
                        .help(format!("say it once, as {{{{ {name} }}}}; {has}"))
                }));
            }
            Err(failure) => findings.push(at(&failure, words, text)),
        }
    }
    findings
}

/// The finding of a clause that failed while the sheets were made, which its
/// trial did not show.
pub(super) fn failed(failure: &ClauseFailure, clauses: &[HouseClause], text: &str) -> Finding {
    match clauses
        .iter()
        .find(|clause| clause.key.value == failure.key)
    {
        Some(clause) => at(failure, &clause.words, text),
        None => rules::CLAUSE_FAILED.about_file(&failure.message),
    }
}

fn at(failure: &ClauseFailure, words: &Spanned<String>, text: &str) -> Finding {
    let span = match &failure.range {
        Some(range) => in_file(words, range.start, range.end, text),
        None => words.span,
    };
    rules::CLAUSE_FAILED.at(span, format!("'{}': {}", failure.key, failure.message))
}

/// Where a name stands in a clause.
fn place_of(name: &str, words: &Spanned<String>, text: &str) -> Span {
    match words.value.find(name) {
        Some(start) => in_file(words, start, start + name.len(), text),
        None => words.span,
    }
}

/// A range of a clause as a place in the file; the whole clause where escapes
/// or folded lines make the two unlike.
pub(super) fn in_file(words: &Spanned<String>, start: usize, end: usize, text: &str) -> Span {
    let whole = words.span;
    let shift = [0, 1].into_iter().find(|quote| {
        let from = whole.start + quote;
        text.get(from..from + words.value.len()) == Some(words.value.as_str())
    });
    shift.map_or(whole, |quote| {
        let from = whole.start + quote;
        Span::new(from + start, from + end.min(words.value.len()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_protected_entry_is_that_of_a_clause() {
        for entry in PROTECTED {
            let some = Clause::ALL.iter().any(|(key, _)| {
                entry
                    .strip_suffix('*')
                    .map_or(key == entry, |start| key.starts_with(start))
            });
            assert!(some, "{entry}");
        }
    }

    #[test]
    fn wording_of_the_work_is_a_houses_own() {
        for key in ["step-cut", "title-steps", "coil", "equipment-timer"] {
            assert!(!is_protected(key), "{key}");
        }
        for key in [
            "deference",
            "verify-legend",
            "status-draft",
            "card-reject-gap",
        ] {
            assert!(is_protected(key), "{key}");
        }
    }
}
