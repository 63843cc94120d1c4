//! Clauses that a house style rewords: which may be replaced, and whether each
//! still states what it must.

use std::collections::BTreeMap;

use super::decode::HouseClause;
use super::replaceable::protected;
use super::rules;
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::papers::sheets::Clause;
use crate::papers::sheets::house_clauses::{ClauseFailure, HouseClauses};
use crate::spec::nearest;

/// Checks the clauses of a house style; `text` is its file.
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
        if let Some(why) = protected(key) {
            findings.push(
                rules::CLAUSE_PROTECTED
                    .at(
                        key.span,
                        format!("no house style replaces '{}': {why}", key.value),
                    )
                    .help("take it out; what the organization wants to add goes under `extra`"),
            );
            continue;
        }
        // A backslash in template code could spell a character that no font has,
        // and no check would see it.
        if let Some(at) = words.value.find('\\') {
            findings.push(
                rules::CLAUSE_FAILED
                    .at(
                        in_file(words, at, at + 1, text),
                        format!("'{}' has a backslash", key.value),
                    )
                    .help("write the character itself"),
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
                findings.extend(trial.unknown.iter().map(|name| {
                    rules::CLAUSE_QUANTITIES
                        .at(
                            place_of(name, words, text),
                            format!("'{}' has no quantity '{name}'", key.value),
                        )
                        .help(has.clone())
                }));
                findings.extend(trial.missing.iter().map(|name| {
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

/// The finding for a clause that passed its trial but failed while the sheets
/// were made.
pub(super) fn failure_finding(
    failure: &ClauseFailure,
    clauses: &[HouseClause],
    text: &str,
) -> Finding {
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

/// A range of a clause as a place in the file; the whole clause if escapes or
/// folded lines shift the text.
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
