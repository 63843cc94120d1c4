//! The roster: who the fusers are and what is on record of their joints. It is
//! the same, whether it was written as YAML or as rows of a spreadsheet.

use chrono::NaiveDate;

use super::rule_set::Rules;
use crate::core::source::Spanned;
use crate::spec::words::Word;

/// Everybody on a roster, and the rule sets that it names.
#[derive(Debug, Clone, Default)]
pub struct Roster {
    /// The fusers, in the order of the file; each badge once.
    pub fusers: Vec<Fuser>,
    /// The rule sets that the file chooses; a CSV file chooses none.
    pub rules: Rules,
}

/// One person.
#[derive(Debug, Clone)]
pub struct Fuser {
    /// The name as it is printed on a card.
    pub name: Spanned<String>,
    /// What the organization tells people apart by.
    pub badge: Spanned<String>,
    /// The language the person reads, as a code: `en`, `es`.
    pub language: Option<Spanned<String>>,
    /// What is on record, procedure by procedure; each once.
    pub qualifications: Vec<Qualification>,
}

/// What is on record of one person under one procedure.
#[derive(Debug, Clone)]
pub struct Qualification {
    /// The number of the procedure.
    pub procedure: Spanned<String>,
    /// Specimen joints, in the order of the file.
    pub specimens: Vec<Specimen>,
    /// The last joint made in production under this procedure.
    pub last_production_joint: Option<Spanned<NaiveDate>>,
    /// Other days on which joints were made in production under it.
    pub production_joints: Vec<Spanned<NaiveDate>>,
    /// The date of the certificate, where there is one.
    pub certificate: Option<Spanned<NaiveDate>>,
    /// The days on which the employer confirmed the certificate.
    pub confirmed: Vec<Spanned<NaiveDate>>,
    /// Production joints that were found unacceptable.
    pub failed_joints: Vec<FailedJoint>,
}

/// A specimen joint and what became of it.
#[derive(Debug, Clone)]
pub struct Specimen {
    /// When it was tested.
    pub date: Spanned<NaiveDate>,
    /// Whether it passed.
    pub result: SpecimenResult,
    /// Its mark.
    pub joint: Option<Spanned<String>>,
    /// The revision of the procedure that it was made by, where the roster says.
    pub revision: Option<Spanned<u32>>,
    /// Where it is on record.
    pub record: Spanned<String>,
}

/// What became of a specimen joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpecimenResult {
    /// It passed inspection and test.
    Pass,
    /// It did not.
    Fail,
}

/// A production joint that was found unacceptable.
#[derive(Debug, Clone)]
pub struct FailedJoint {
    /// The day it was found.
    pub date: Spanned<NaiveDate>,
    /// How it was found.
    pub found_by: FoundBy,
    /// What else to know.
    pub note: Option<Spanned<String>>,
}

/// How a joint was found unacceptable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FoundBy {
    /// By a test of the pipeline.
    Test,
    /// By eye.
    Visual,
}

impl Word for SpecimenResult {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("pass", SpecimenResult::Pass),
        ("fail", SpecimenResult::Fail),
    ];
}

impl Word for FoundBy {
    const WORDS: &'static [(&'static str, Self)] =
        &[("test", FoundBy::Test), ("visual", FoundBy::Visual)];
}
