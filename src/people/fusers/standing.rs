//! Roster + rule sets + a day → who is qualified for what, until when, and why. Entries
//! after that day do not count.

use chrono::NaiveDate;

use super::roster::{FoundBy, Fuser, Qualification, Roster, Specimen, SpecimenResult};
use super::rule_set::{RuleSet, Rules, row};
use super::term::{Proof, specimen_name, term};
use crate::core::size::Size;
use crate::published::{Basis, Library};

/// A person's qualification under one procedure on a given day.
#[derive(Debug, Clone)]
pub struct Standing<'r> {
    /// The person.
    pub fuser: &'r Fuser,
    /// What is on record; `None` if nothing is.
    pub qualification: Option<&'r Qualification>,
    /// The rule set, if one is chosen.
    pub rule: Option<&'r RuleSet>,
    /// State of the qualification.
    pub state: State,
    /// The last day it holds, inclusive; `None` if it never held.
    pub valid_until: Option<NaiveDate>,
    /// Why, in words.
    pub reason: String,
    /// Source of the deciding rule.
    pub source: String,
    /// Basis of that source.
    pub basis: Basis,
    /// The specimen or certificate behind it; `None` if it never began.
    pub proof: Option<Proof>,
}

/// The state of a qualification.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// The qualification holds.
    Qualified,
    /// The qualification has expired.
    Lapsed,
    /// The roster does not show enough use of the process.
    UseNotShown,
    /// The specimen was made by another revision of the procedure.
    OtherRevision,
    /// The specimen passed in smaller sizes than the procedure has.
    OtherSize,
    /// The procedure itself is a draft or withdrawn.
    ProcedureNotQualified,
    /// A production joint failed a test.
    FailedJoint,
    /// The last specimen failed.
    FailedSpecimen,
    /// Nothing on record qualifies the person.
    NeverQualified,
    /// No rule set is chosen for the procedure.
    NoRule,
}

impl State {
    /// The word for it in listings.
    pub(crate) fn word(self) -> &'static str {
        match self {
            State::Qualified => "qualified",
            State::Lapsed => "lapsed",
            State::UseNotShown => "use not shown",
            State::OtherRevision => "other revision",
            State::OtherSize => "not for all sizes",
            State::ProcedureNotQualified => "procedure not qualified",
            State::FailedJoint => "failed joint",
            State::FailedSpecimen => "failed specimen",
            State::NeverQualified => "never qualified",
            State::NoRule => "no rule",
        }
    }
}

impl Standing<'_> {
    /// Whether the person is qualified under the rule set.
    pub fn qualified(&self) -> bool {
        self.state == State::Qualified
    }

    /// The procedure's number; `None` if nothing is on record.
    pub fn procedure(&self) -> Option<&str> {
        self.qualification.map(|q| q.procedure.value.as_str())
    }

    /// Days from `as_of` to the last valid day; negative once expired.
    pub fn days_left(&self, as_of: NaiveDate) -> Option<i64> {
        let until = self.valid_until?;
        Some(until.signed_duration_since(as_of).num_days())
    }

    /// The sizes it is for, each with all smaller ones; empty for all sizes of the
    /// procedure, as far as the roster says.
    pub fn sizes(&self) -> &[Size] {
        let proof = self.proof.as_ref().filter(|_| self.qualified());
        proof.map_or(&[], |proof| &proof.sizes)
    }

    /// Whether it holds now and ends within `days`.
    pub fn due_within(&self, days: u32, as_of: NaiveDate) -> bool {
        let left = self.days_left(as_of);
        self.qualified() && left.is_some_and(|left| left <= i64::from(days))
    }
}

/// The standing of everybody on the roster on `as_of`, in roster order. A person with
/// nothing on record has one standing without a procedure.
pub fn evaluate<'r>(
    roster: &'r Roster,
    rules: &'r Rules,
    limits: &Library,
    as_of: NaiveDate,
) -> Vec<Standing<'r>> {
    let mut standings = Vec::new();
    for fuser in &roster.fusers {
        if fuser.qualifications.is_empty() {
            standings.push(Standing {
                fuser,
                qualification: None,
                rule: None,
                state: State::NeverQualified,
                valid_until: None,
                reason: "nothing is on record".to_owned(),
                source: String::new(),
                basis: Basis::NotFound,
                proof: None,
            });
        }
        for qualification in &fuser.qualifications {
            let rule = rules.for_procedure(&qualification.procedure);
            standings.push(standing(fuser, qualification, rule, limits, as_of));
        }
    }
    standings
}

fn standing<'r>(
    fuser: &'r Fuser,
    qualification: &'r Qualification,
    rule: Option<&'r RuleSet>,
    limits: &Library,
    as_of: NaiveDate,
) -> Standing<'r> {
    let judged = match rule {
        Some(rule) => judge(qualification, rule, limits, as_of),
        None => Judgment::never(State::NoRule, "no rule set is chosen for the procedure"),
    };
    let (source, basis) = match (judged.caution, rule) {
        (Some(key), _) => {
            row(limits, key, "text").map_or(("", Basis::NotFound), |f| (f.source.as_str(), f.basis))
        }
        (None, Some(rule)) => rule.source(limits),
        (None, None) => ("", Basis::NotFound),
    };
    Standing {
        fuser,
        qualification: Some(qualification),
        rule,
        state: judged.state,
        valid_until: judged.valid_until,
        reason: judged.reason,
        source: source.to_owned(),
        basis,
        proof: judged.proof,
    }
}

/// A standing without the person.
struct Judgment {
    state: State,
    valid_until: Option<NaiveDate>,
    reason: String,
    /// The table row that decides if the rule set is silent.
    caution: Option<&'static str>,
    proof: Option<Proof>,
}

impl Judgment {
    fn never(state: State, reason: impl Into<String>) -> Self {
        Self {
            state,
            valid_until: None,
            reason: reason.into(),
            caution: None,
            proof: None,
        }
    }
}

fn judge(record: &Qualification, rule: &RuleSet, limits: &Library, as_of: NaiveDate) -> Judgment {
    let passed = latest(record, SpecimenResult::Pass, as_of);
    let failed = latest(record, SpecimenResult::Fail, as_of);
    let Some(term) = term(record, rule, passed, limits, as_of) else {
        return never_qualified(rule, failed);
    };
    // A record gives days, not hours, so a failure on the day of the last pass may have
    // come after it.
    let since = passed.map_or(term.begins, |passed| term.begins.max(passed.date.value));
    let joint = record
        .failed_joints
        .iter()
        .filter(|joint| joint.found_by == FoundBy::Test)
        .filter(|joint| (since..=as_of).contains(&joint.date.value))
        .min_by_key(|joint| joint.date.value);
    let on = joint.map(|joint| joint.date.value);
    let specimen = record
        .specimens
        .iter()
        .filter(|specimen| specimen.result == SpecimenResult::Fail)
        .map(|specimen| specimen.date.value)
        .filter(|date| (since..=as_of).contains(date))
        .min();
    let before = |date: NaiveDate| {
        let last = date.pred_opt().map(|day| day.min(term.until));
        last.filter(|day| *day >= term.begins)
    };
    match (on, specimen) {
        (Some(date), specimen) if specimen.is_none_or(|specimen| date <= specimen) => Judgment {
            state: State::FailedJoint,
            valid_until: before(date),
            reason: format!(
                "a production joint was found unacceptable by test on {date}{}, and no specimen \
                 passed on a later day",
                joint
                    .and_then(|joint| joint.note.as_ref())
                    .map_or_else(String::new, |note| format!(" ({})", note.value))
            ),
            caution: silent_on_failed_joints(rule).then_some("failed-joint"),
            proof: Some(term.proof),
        },
        (_, Some(date)) => Judgment {
            state: State::FailedSpecimen,
            valid_until: before(date),
            reason: format!("a specimen failed on {date}, and none passed on a later day"),
            caution: Some("failed-specimen"),
            proof: Some(term.proof),
        },
        _ => {
            let visual = record
                .failed_joints
                .iter()
                .filter(|joint| joint.found_by == FoundBy::Visual)
                .map(|joint| joint.date.value)
                .filter(|date| (since..=as_of).contains(date))
                .max();
            let (state, reason) = match term.not_shown {
                _ if as_of <= term.until => (State::Qualified, term.why),
                Some(not_shown) => (State::UseNotShown, not_shown),
                None => (
                    State::Lapsed,
                    format!("lapsed after {}: {}", term.until, term.why),
                ),
            };
            let reason = match visual {
                Some(date) => {
                    format!(
                        "{reason}; a joint that failed visual inspection on {date} does not \
                        end it"
                    )
                }
                None => reason,
            };
            Judgment {
                state,
                valid_until: Some(term.until),
                reason,
                caution: None,
                proof: Some(term.proof),
            }
        }
    }
}

/// Whether the rule set does not say what a joint that failed a test means.
fn silent_on_failed_joints(rule: &RuleSet) -> bool {
    match rule {
        // Under `SixMonthsWithoutUse` it is a specific reason to question ability.
        RuleSet::UsGas | RuleSet::SixMonthsWithoutUse => false,
        RuleSet::TwoYearCertificate | RuleSet::Own { .. } => true,
    }
}

fn never_qualified(rule: &RuleSet, failed: Option<&Specimen>) -> Judgment {
    match (rule, failed) {
        (RuleSet::TwoYearCertificate, _) => {
            Judgment::never(State::NeverQualified, "no certificate is on record")
        }
        (_, Some(failed)) => Judgment::never(
            State::FailedSpecimen,
            format!(
                "{} failed on {}, and none has passed",
                specimen_name(failed),
                *failed.date
            ),
        ),
        (_, None) => Judgment::never(State::NeverQualified, "no specimen is on record"),
    }
}

/// The latest specimen with this result up to `as_of`.
fn latest(record: &Qualification, result: SpecimenResult, as_of: NaiveDate) -> Option<&Specimen> {
    record
        .specimens
        .iter()
        .filter(|specimen| specimen.result == result && *specimen.date <= as_of)
        .max_by_key(|specimen| *specimen.date)
}
