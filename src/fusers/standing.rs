//! Roster + rule sets + a day → who is qualified for what, until when and why.
//! Entries dated after that day do not count yet.

use chrono::{Months, NaiveDate};

use super::roster::{FoundBy, Fuser, Qualification, Roster, Specimen, SpecimenResult};
use super::rule_set::{RuleSet, Rules, end_of_next_year, later, period, row};
use crate::limits::{Basis, Library};

/// Where a person stands under one procedure on a day.
#[derive(Debug, Clone)]
pub struct Standing<'r> {
    /// The person.
    pub fuser: &'r Fuser,
    /// What is on record; `None` for a person with nothing on record at all.
    pub qualification: Option<&'r Qualification>,
    /// The rule set, where one is chosen.
    pub rule: Option<&'r RuleSet>,
    /// What became of the qualification.
    pub state: State,
    /// The last day it holds, that day included; `None` where it never held.
    pub valid_until: Option<NaiveDate>,
    /// Why, in words.
    pub reason: String,
    /// Where the rule stands that decides.
    pub source: String,
    /// How well that source is known.
    pub basis: Basis,
}

/// What became of a qualification.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// It holds.
    Qualified,
    /// Its time is over.
    Lapsed,
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
    pub fn word(self) -> &'static str {
        match self {
            State::Qualified => "qualified",
            State::Lapsed => "lapsed",
            State::FailedJoint => "failed joint",
            State::FailedSpecimen => "failed specimen",
            State::NeverQualified => "never qualified",
            State::NoRule => "no rule",
        }
    }
}

impl Standing<'_> {
    /// Whether the person may use the procedure by the rule set.
    pub fn qualified(&self) -> bool {
        self.state == State::Qualified
    }

    /// The number of the procedure, unless nothing is on record at all.
    pub fn procedure(&self) -> Option<&str> {
        self.qualification.map(|q| q.procedure.value.as_str())
    }

    /// Days from `as_of` to the last day it holds; negative when that is over.
    pub fn days_left(&self, as_of: NaiveDate) -> Option<i64> {
        let until = self.valid_until?;
        Some(until.signed_duration_since(as_of).num_days())
    }

    /// Whether it holds, and ends within so many days.
    pub fn due_within(&self, days: u32, as_of: NaiveDate) -> bool {
        let left = self.days_left(as_of);
        self.qualified() && left.is_some_and(|left| left <= i64::from(days))
    }
}

/// Where everybody on the roster stands on the day `as_of`, in the order of the
/// roster; a person with nothing on record has one standing without a procedure.
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
            });
        }
        for qualification in &fuser.qualifications {
            let rule = rules.of(&qualification.procedure);
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
        None => Judged::never(State::NoRule, "no rule set is chosen for the procedure"),
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
    }
}

/// A standing before it is tied to a person.
struct Judged {
    state: State,
    valid_until: Option<NaiveDate>,
    reason: String,
    /// The row of the table that decides where the rule set is silent.
    caution: Option<&'static str>,
}

impl Judged {
    fn never(state: State, reason: impl Into<String>) -> Self {
        Self {
            state,
            valid_until: None,
            reason: reason.into(),
            caution: None,
        }
    }
}

fn judge(record: &Qualification, rule: &RuleSet, limits: &Library, as_of: NaiveDate) -> Judged {
    let passed = latest(record, SpecimenResult::Pass, as_of);
    let failed = latest(record, SpecimenResult::Fail, as_of);
    let Some(term) = term(record, rule, passed, limits, as_of) else {
        return not_begun(rule, failed);
    };
    // A record gives days, not hours: what failed on the day of the last pass
    // may have failed after it.
    let since = passed.map_or(term.begins, |passed| term.begins.max(passed.date.value));
    let joint = record
        .failed_joints
        .iter()
        .filter(|joint| joint.found_by == FoundBy::Test)
        .map(|joint| joint.date.value)
        .filter(|date| (since..=as_of).contains(date))
        .min();
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
    match (joint, specimen) {
        (Some(date), specimen) if specimen.is_none_or(|specimen| date <= specimen) => Judged {
            state: State::FailedJoint,
            valid_until: before(date),
            reason: format!(
                "a production joint was found unacceptable by test on {date}, and no specimen \
                 passed on a later day"
            ),
            caution: silent_on_failed_joints(rule).then_some("failed-joint"),
        },
        (_, Some(date)) => Judged {
            state: State::FailedSpecimen,
            valid_until: before(date),
            reason: format!("a specimen failed on {date}, and none passed on a later day"),
            caution: Some("failed-specimen"),
        },
        _ => {
            let visual = record
                .failed_joints
                .iter()
                .filter(|joint| joint.found_by == FoundBy::Visual)
                .map(|joint| joint.date.value)
                .filter(|date| (since..=as_of).contains(date))
                .max();
            let (state, reason) = if as_of <= term.until {
                (State::Qualified, term.why)
            } else {
                (
                    State::Lapsed,
                    format!("lapsed after {}: {}", term.until, term.why),
                )
            };
            let reason = match visual {
                Some(date) => {
                    format!("{reason}; a joint rejected by eye on {date} does not end it")
                }
                None => reason,
            };
            Judged {
                state,
                valid_until: Some(term.until),
                reason,
                caution: None,
            }
        }
    }
}

/// Whether the rule set leaves open what a joint that failed a test does.
fn silent_on_failed_joints(rule: &RuleSet) -> bool {
    match rule {
        // For the second it is a specific reason to question ability.
        RuleSet::UsGas | RuleSet::SixMonthsWithoutUse => false,
        RuleSet::TwoYearCertificate | RuleSet::Own { .. } => true,
    }
}

fn not_begun(rule: &RuleSet, failed: Option<&Specimen>) -> Judged {
    match (rule, failed) {
        (RuleSet::TwoYearCertificate, _) => {
            Judged::never(State::NeverQualified, "no certificate is on record")
        }
        (_, Some(failed)) => Judged::never(
            State::FailedSpecimen,
            format!(
                "{} failed on {}, and none has passed",
                mark(failed),
                *failed.date
            ),
        ),
        (_, None) => Judged::never(State::NeverQualified, "no specimen is on record"),
    }
}

/// How long a qualification runs if nothing ends it sooner.
struct Term {
    begins: NaiveDate,
    until: NaiveDate,
    why: String,
}

fn term(
    record: &Qualification,
    rule: &RuleSet,
    passed: Option<&Specimen>,
    limits: &Library,
    as_of: NaiveDate,
) -> Option<Term> {
    // A rule set without its period could only be a fault of the tables, and
    // nobody is qualified by it.
    match rule {
        RuleSet::UsGas => us_gas(passed?, period(limits, rule.word())?),
        RuleSet::SixMonthsWithoutUse => {
            let by = period(limits, rule.word())?;
            Some(without_use(record, passed?, by, as_of))
        }
        RuleSet::TwoYearCertificate => {
            let by = period(limits, rule.word())?;
            let confirmation = period(limits, "certificate-confirmation")?;
            certificate(record, by, confirmation, as_of)
        }
        RuleSet::Own { months, .. } => {
            let passed = passed?;
            Some(Term {
                begins: *passed.date,
                until: later(*passed.date, Months::new(*months)),
                why: format!("{}; {months} months from then", told(passed)),
            })
        }
    }
}

fn us_gas(passed: &Specimen, by: Months) -> Option<Term> {
    let (year, months) = (end_of_next_year(*passed.date), later(*passed.date, by));
    let count = by.as_u32();
    let which = if year < months {
        format!("December 31 of the next year comes before {count} months are over")
    } else {
        format!("{count} months end before December 31 of the next year")
    };
    Some(Term {
        begins: *passed.date,
        until: year.min(months),
        why: format!("{}; {which}", told(passed)),
    })
}

fn without_use(record: &Qualification, passed: &Specimen, by: Months, as_of: NaiveDate) -> Term {
    let count = by.as_u32();
    let own = later(*passed.date, by);
    let joint = record.last_production_joint.as_deref().copied();
    let joint = joint.filter(|joint| *joint <= as_of && *joint > *passed.date);
    let (used, why) = match joint {
        None => (
            *passed.date,
            format!("not used since; {count} months from then"),
        ),
        // Only the last use is recorded, so earlier gaps are not known here.
        Some(joint) if joint > own => (
            joint,
            format!(
                "last used {joint}; {count} months from then, if no earlier gap was longer, \
                 which this roster does not show"
            ),
        ),
        Some(joint) => (
            joint,
            format!("last used {joint}; {count} months from then"),
        ),
    };
    Term {
        begins: *passed.date,
        until: later(used, by),
        why: format!("{}; {why}", told(passed)),
    }
}

fn certificate(
    record: &Qualification,
    by: Months,
    confirmation: Months,
    as_of: NaiveDate,
) -> Option<Term> {
    let issued = record.certificate.as_deref().copied();
    let issued = issued.filter(|issued| *issued <= as_of)?;
    let end = later(issued, by);
    let mut confirmed: Vec<NaiveDate> = record.confirmed.iter().map(|day| day.value).collect();
    confirmed.retain(|day| (issued..=as_of).contains(day));
    confirmed.sort_unstable();
    // A confirmation after the certificate has lapsed does not bring it back.
    let last = confirmed.into_iter().fold(issued, |last, day| {
        if day <= later(last, confirmation) {
            day
        } else {
            last
        }
    });
    let next = later(last, confirmation);
    let why = if end <= next {
        format!("certificate of {issued}; {} months from then", by.as_u32())
    } else if last == issued {
        format!("certificate of {issued}, to be confirmed by {next}")
    } else {
        format!("certificate of {issued}, confirmed {last}, to be confirmed again by {next}")
    };
    Some(Term {
        begins: issued,
        until: end.min(next),
        why,
    })
}

/// The last specimen of a result up to the day.
fn latest(record: &Qualification, result: SpecimenResult, as_of: NaiveDate) -> Option<&Specimen> {
    record
        .specimens
        .iter()
        .filter(|specimen| specimen.result == result && *specimen.date <= as_of)
        .max_by_key(|specimen| *specimen.date)
}

fn told(passed: &Specimen) -> String {
    format!(
        "{} passed on {} ({})",
        mark(passed),
        *passed.date,
        *passed.record
    )
}

fn mark(specimen: &Specimen) -> String {
    match &specimen.joint {
        Some(joint) => format!("specimen {}", joint.value),
        None => "the specimen".to_owned(),
    }
}
