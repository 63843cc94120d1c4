//! What a paper says of the procedure's status: the tag of a draft, the record that a
//! qualified procedure rests on, the day it takes effect. The program approves nothing:
//! it names the record that the organization cites, and says "claimed" where there is
//! none, or where the joints in it do not support the procedure.

use super::clause::Clause;
use super::clauses::Clauses;
use crate::procedure::record::support;
use crate::procedure::resolve::Procedure;
use crate::published::library;
use crate::spec::Status;

/// Records that are named in a line before the rest is counted.
const NAMED: usize = 2;

/// The status in words.
pub(crate) struct Standing {
    /// The keyword for templates.
    pub(crate) status: &'static str,
    /// The tag of a paper that nobody may work from as it stands.
    pub(crate) tag: Option<String>,
    /// The status with the effective date.
    pub(crate) status_line: String,
    /// The status without it.
    pub(crate) record_line: String,
    /// From when the revision counts.
    pub(crate) effective_line: String,
}

impl Standing {
    pub(crate) fn new(procedure: &Procedure, words: &Clauses) -> Self {
        let say = |clause| words.render(clause);
        let tagged = |status, tag: Clause, effective: Clause| {
            let tag = say(tag);
            Self {
                status,
                status_line: tag.clone(),
                record_line: tag.clone(),
                tag: Some(tag),
                effective_line: say(effective),
            }
        };
        match procedure.spec.status.value {
            Status::Draft => tagged("draft", Clause::StatusDraft, Clause::EffectiveNot),
            Status::Withdrawn => {
                tagged("withdrawn", Clause::StatusWithdrawn, Clause::EffectiveEnded)
            }
            Status::Qualified => {
                let record_line = say(qualified(procedure));
                let last = procedure.spec.revisions.last();
                let day = last.and_then(|revision| revision.effective.as_ref());
                let (effective_line, status_line) = match day.map(|day| day.value.to_string()) {
                    Some(day) => (
                        say(Clause::EffectiveFrom { day: day.clone() }),
                        say(Clause::StatusEffective {
                            status: record_line.clone(),
                            day,
                        }),
                    ),
                    None => (say(Clause::EffectiveNotStated), record_line.clone()),
                };
                Self {
                    status: "qualified",
                    tag: None,
                    status_line,
                    record_line,
                    effective_line,
                }
            }
        }
    }
}

/// The record behind a qualified procedure, or what is wrong with the claim.
fn qualified(procedure: &Procedure) -> Clause {
    let Some(revision) = procedure.spec.revisions.last() else {
        return Clause::StatusNoRecord;
    };
    let current = procedure
        .cited()
        .filter(|record| record.revision.value == revision.number.value);
    let numbers: Vec<_> = current.map(|record| record.number.value.clone()).collect();
    if numbers.is_empty() {
        return Clause::StatusNoRecord;
    }
    let named = numbers.get(..NAMED).unwrap_or(&numbers).join(", ");
    let more = numbers.len().saturating_sub(NAMED).to_string();
    let several = numbers.len() > NAMED;
    match (supported(procedure), numbers.len()) {
        (true, 1) => Clause::StatusQualified { record: named },
        (true, _) if several => Clause::StatusQualifiedMore {
            records: named,
            more,
        },
        (true, _) => Clause::StatusQualifiedBy { records: named },
        (false, _) => Clause::StatusNotSupported { records: named },
    }
}

/// Whether the records that could be read support every row and every pipe temperature
/// of the procedure. A record cited by its number alone cannot be read: it is the
/// organization's word, and nothing here speaks against it.
fn supported(procedure: &Procedure) -> bool {
    if procedure.records.is_empty() {
        return true;
    }
    let support = support(procedure, library());
    support.uncovered(procedure).is_empty() && support.beyond_temperatures(procedure).is_none()
}
