//! The roster: the fusers and what is on record for them, the same whether read from YAML
//! or CSV. The list of fusers is read by hand, because a badge that appears twice may
//! belong to two people.

use std::collections::HashMap;

use chrono::NaiveDate;
use schemars::json_schema;

use super::language;
use super::rule_set::Rules;
use super::rules as roster_rules;
use crate::core::finding::Finding;
use crate::core::size::Size;
use crate::core::source::Spanned;
use crate::spec::declare::kinds::{
    counting_number, date, plain, procedure_number, single, size, text, text_like, word,
};
use crate::spec::declare::{
    Kind, group, list, nested, one_or_list, optional, optional_group, optional_list, required,
    required_or_empty,
};
use crate::spec::fields::{At, given_twice};
use crate::spec::node::{Node, NodeKind};
use crate::spec::plausible;
use crate::spec::schema::{self, either, values::language_code};
use crate::spec::words::Word;

group! {
    /// Everybody on a roster, and the rule sets that it names; a CSV file chooses none.
    pub struct Roster {
        /// How long a qualification lasts: a rule set for all procedures, or for each. You
        /// choose it; coldring limits fuser-rules lists each with its source.
        rules: Rules = optional_group("the command line chooses."),
        /// The people, each badge once.
        fusers: Vec<Fuser> = required_or_empty(Fusers),
    }
}

group! {
    /// One person.
    pub struct Fuser {
        /// The name as it is printed on a card.
        name: Spanned<String> = required(text("First and last name.")),
        /// The badge number.
        badge: Spanned<String> = required(text_like("AF-014")),
        /// The language that the person reads, for their card.
        language: Option<Spanned<String>> =
            optional(single(language, language_code), "that of the procedure."),
        /// What is on record, procedure by procedure.
        qualifications: Vec<Qualification> = optional_list(
            list(nested())
                .long()
                .named("qualifications")
                .once(|of: &Qualification| (of.procedure.value.clone(), of.procedure.span)),
            "nothing, as for somebody in training.",
        ),
    }
}

group! {
    /// What is on record of one person under one procedure.
    pub struct Qualification {
        /// The number of the procedure.
        procedure: Spanned<String> = required(procedure_number()),
        /// The specimen joints that were tested.
        specimens as "specimen": Vec<Specimen> = optional_list(
            one_or_list(nested()).long().named("specimen"),
            "the person is not qualified.",
        ),
        /// The day of the last joint made in production by this procedure.
        last_production_joint: Option<Spanned<NaiveDate>> = optional(date(), "none is known."),
        /// Other days on which joints were made in production by this procedure, as far as a
        /// rule set needs them to show that it was used often enough.
        production_joints: Vec<Spanned<NaiveDate>> =
            optional_list(one_or_list(date()).long(), "none is known."),
        /// The date of the certificate, for rule sets that need one.
        certificate: Option<Spanned<NaiveDate>> = optional(
            date(),
            "there is none; such a rule set then qualifies nobody.",
        ),
        /// The days on which the employer confirmed the certificate.
        confirmed: Vec<Spanned<NaiveDate>> =
            optional_list(one_or_list(date()).long(), "the employer never did."),
        /// Production joints that were found unacceptable.
        failed_joints: Vec<FailedJoint> = optional_list(
            list(nested()).long().named("failed_joints"),
            "none was.",
        ),
    }
}

group! {
    /// A specimen joint and what became of it.
    pub struct Specimen {
        /// The day it was tested.
        date: Spanned<NaiveDate> = required(date()),
        /// The result.
        result: SpecimenResult = required(plain(word())),
        /// Its mark.
        joint: Option<Spanned<String>> = optional(text_like("S-31"), "it has none."),
        /// The revision of the procedure that it was made by.
        revision: Option<Spanned<u32>> = optional(
            counting_number(&plausible::REVISION),
            "the revision in effect on that day.",
        ),
        /// The sizes that passed in this test, if they are not all sizes of the procedure.
        /// Larger sizes then need another test.
        sizes: Vec<Spanned<Size>> = optional_list(
            one_or_list(size()).once(|of: &Spanned<Size>| (of.value.to_string(), of.span)),
            "it counts for every size of the procedure.",
        ),
        /// The record number.
        record: Spanned<String> = required(text_like("FQ-21")),
    }
}

/// Result of a specimen joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpecimenResult {
    /// It passed inspection and test.
    Pass,
    /// It failed inspection or test.
    Fail,
}

group! {
    /// A production joint that was found unacceptable.
    pub struct FailedJoint {
        /// The day it was found.
        date: Spanned<NaiveDate> = required(date()),
        /// How it was found: by a test of the pipeline, or visually.
        found_by: FoundBy = required(plain(word())),
        /// What else to know.
        note: Option<Spanned<String>> = optional(text("A line of text."), "nothing."),
    }
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

#[expect(clippy::derivable_impls, reason = "`group!` takes no further derive")]
impl Default for Roster {
    fn default() -> Self {
        Self {
            rules: Rules::default(),
            fusers: Vec::new(),
        }
    }
}

/// The list of fusers, with unique badges.
struct Fusers;

fn fusers() -> impl Kind<Value = Vec<Fuser>> {
    list(nested()).long()
}

impl Kind for Fusers {
    type Value = Vec<Fuser>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        // Those of a starter are all still commented out.
        if let NodeKind::Null = node.kind {
            return Some(Vec::new());
        }
        let fusers = fusers().read(node, at, findings)?;
        Some(each_badge_once(fusers, findings))
    }

    fn schema(&self) -> schema::Value {
        let none = schema::Value::new(json_schema!({"type": "null"}), "");
        either([fusers().schema().unlike(), none]).told("A list.")
    }

    fn takes_nothing(&self) -> bool {
        true
    }
}

fn each_badge_once(fusers: Vec<Fuser>, findings: &mut Vec<Finding>) -> Vec<Fuser> {
    let mut places: HashMap<String, usize> = HashMap::new();
    let mut once: Vec<Fuser> = Vec::with_capacity(fusers.len());
    for fuser in fusers {
        let place = places.get(&fuser.badge.value);
        match place.and_then(|place| once.get(*place)) {
            None => {
                places.insert(fuser.badge.value.clone(), once.len());
                once.push(fuser);
            }
            Some(first) if first.name.value == fuser.name.value => {
                let badge = &fuser.badge;
                findings.push(given_twice(badge, badge.span, first.badge.span));
            }
            Some(first) => findings.push(two_people(&fuser.name, &fuser.badge, first)),
        }
    }
    once
}

/// Finding for a badge given with two names.
pub(super) fn two_people(
    name: &Spanned<String>,
    badge: &Spanned<String>,
    first: &Fuser,
) -> Finding {
    roster_rules::BADGE_OF_TWO_PEOPLE
        .at(
            badge.span,
            format!(
                "badge '{}' is given to '{}' here and to '{}' elsewhere",
                badge.value, name.value, first.name.value
            ),
        )
        .related(first.badge.span, "it is given here first")
        .help("correct the badge, or write the name the same way every time")
}
