//! How long a qualification holds by a rule set if nothing ends it early, and what it
//! rests on.

use std::cmp::Ordering;

use chrono::{Months, NaiveDate};

use super::roster::{Qualification, Specimen, SpecimenResult};
use super::rule_set::{RuleSet, end_of_next_year, later, period};
use crate::core::size::Size;
use crate::published::Library;

/// The specimen or the certificate that a qualification rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proof {
    /// Its day.
    pub date: NaiveDate,
    /// The revision it was made by, if the roster says.
    pub revision: Option<u32>,
    /// The sizes it passed in, if the roster says.
    pub sizes: Vec<Size>,
    /// Whether it is a certificate, which belongs to no revision.
    pub certificate: bool,
    /// Its name in messages: `specimen S-31 of 2026-03-10 (AF-FQ-21)`.
    pub name: String,
}

/// The period of a qualification if nothing ends it early.
pub(super) struct Term {
    /// Its first day.
    pub(super) begins: NaiveDate,
    /// Its last day, inclusive.
    pub(super) until: NaiveDate,
    /// Why it ends then, in words.
    pub(super) why: String,
    /// What the roster does not show after that day, if anything.
    pub(super) not_shown: Option<String>,
    /// What it rests on.
    pub(super) proof: Proof,
}

impl Term {
    fn new(proof: Proof, until: NaiveDate, why: String) -> Self {
        Self {
            begins: proof.date,
            until,
            why,
            not_shown: None,
            proof,
        }
    }
}

fn specimen_proof(record: &Qualification, specimen: &Specimen) -> Proof {
    Proof {
        date: *specimen.date,
        revision: specimen.revision.as_ref().map(|revision| revision.value),
        sizes: passed_sizes(record, specimen.date.value),
        certificate: false,
        name: format!(
            "{} of {} ({})",
            specimen_name(specimen),
            *specimen.date,
            *specimen.record
        ),
    }
}

/// The term by a rule set on `as_of`; `None` if nothing on record begins one.
pub(super) fn term(
    record: &Qualification,
    rule: &RuleSet,
    passed: Option<&Specimen>,
    limits: &Library,
    as_of: NaiveDate,
) -> Option<Term> {
    // A missing period would be an error in the tables; nobody is qualified by it.
    match rule {
        RuleSet::UsGas => us_gas(record, passed?, period(limits, rule.word())?),
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
            Some(Term::new(
                specimen_proof(record, passed),
                later(*passed.date, Months::new(*months)),
                format!(
                    "{}; {months} months from then",
                    describe_pass(record, passed)
                ),
            ))
        }
    }
}

fn us_gas(record: &Qualification, passed: &Specimen, by: Months) -> Option<Term> {
    let (year, months) = (end_of_next_year(*passed.date), later(*passed.date, by));
    let count = by.as_u32();
    let which = if year < months {
        format!("December 31 of the next year comes before {count} months are over")
    } else {
        format!("{count} months end before December 31 of the next year")
    };
    Some(Term::new(
        specimen_proof(record, passed),
        year.min(months),
        format!("{}; {which}", describe_pass(record, passed)),
    ))
}

/// Extended by each use. Six months without use end it, so the last day is the one before
/// the same day six months later.
fn without_use(record: &Qualification, passed: &Specimen, by: Months, as_of: NaiveDate) -> Term {
    let count = by.as_u32();
    let last_day = |used: NaiveDate| {
        let end = later(used, by);
        end.pred_opt().unwrap_or(end)
    };
    let days = record
        .last_production_joint
        .iter()
        .chain(&record.production_joints);
    let mut uses: Vec<NaiveDate> = days.map(|day| day.value).collect();
    uses.retain(|day| (*passed.date..=as_of).contains(day));
    uses.sort_unstable();
    let mut used = *passed.date;
    let mut after_gap = None;
    for day in uses {
        if day <= last_day(used) {
            used = day;
        } else {
            // A joint made after the lapse does not restore it.
            after_gap = Some(day);
            break;
        }
    }
    let until = last_day(used);
    let which = if used == *passed.date {
        "not used since".to_owned()
    } else {
        format!("last used {used}")
    };
    let mut term = Term::new(
        specimen_proof(record, passed),
        until,
        format!(
            "{}; {which}; less than {count} months from then",
            describe_pass(record, passed)
        ),
    );
    term.not_shown = after_gap.map(|day| {
        format!(
            "{}; used on {day}, but the roster shows no use from {used} through {until}; give the \
             days of joints in between as production_joints, or test a specimen",
            describe_pass(record, passed)
        )
    });
    term
}

/// Holds while each confirmation comes in time. Months are counted from the certificate
/// or from an early confirmation, so a short month does not shift later days.
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
    let step = confirmation.as_u32();
    let (mut last, mut from, mut months) = (issued, issued, step);
    for day in confirmed {
        let due = later(from, Months::new(months));
        match day.cmp(&due) {
            Ordering::Less => (last, from, months) = (day, day, step),
            Ordering::Equal => (last, months) = (day, months.saturating_add(step)),
            // A confirmation after the lapse does not restore the certificate.
            Ordering::Greater => break,
        }
    }
    let next = later(from, Months::new(months));
    let why = if end <= next {
        format!("certificate of {issued}; {} months from then", by.as_u32())
    } else if last == issued {
        format!("certificate of {issued}, to be confirmed by {next}")
    } else {
        format!("certificate of {issued}, confirmed {last}, to be confirmed again by {next}")
    };
    let proof = Proof {
        date: issued,
        revision: None,
        sizes: Vec::new(),
        certificate: true,
        name: format!("the certificate of {issued}"),
    };
    Some(Term::new(proof, end.min(next), why))
}

/// The sizes in which specimens passed on a day; none if one of them does not say.
fn passed_sizes(record: &Qualification, day: NaiveDate) -> Vec<Size> {
    let of_day = record
        .specimens
        .iter()
        .filter(|specimen| specimen.result == SpecimenResult::Pass && *specimen.date == day);
    let of_day: Vec<_> = of_day.map(|specimen| &specimen.sizes).collect();
    if of_day.iter().any(|sizes| sizes.is_empty()) {
        return Vec::new();
    }
    let mut sizes: Vec<_> = of_day
        .into_iter()
        .flatten()
        .map(|size| size.value)
        .collect();
    sizes.sort_unstable();
    sizes.dedup();
    sizes
}

/// Sizes on one line: `1 IPS, 2 IPS`.
pub(crate) fn size_list(sizes: &[Size]) -> String {
    let sizes: Vec<_> = sizes.iter().map(Size::to_string).collect();
    sizes.join(", ")
}

fn describe_pass(record: &Qualification, passed: &Specimen) -> String {
    let sizes = passed_sizes(record, passed.date.value);
    let sizes = match sizes.as_slice() {
        [] => String::new(),
        sizes => format!(" in {}", size_list(sizes)),
    };
    format!(
        "{} passed{sizes} on {} ({})",
        specimen_name(passed),
        *passed.date,
        *passed.record
    )
}

/// A specimen in messages: `specimen S-31`.
pub(super) fn specimen_name(specimen: &Specimen) -> String {
    match &specimen.joint {
        Some(joint) => format!("specimen {}", joint.value),
        None => "the specimen".to_owned(),
    }
}
