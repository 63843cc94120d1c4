//! Rules of the trade, family by family: each looks at the resolved procedure
//! and says what is wrong, where, and by how much. Nothing is mended here and
//! nothing stops at the first fault.

mod cleaning;
mod cycles;
mod depth;
mod face_check;
mod heater;
mod say;
mod scope;
mod spigot;
mod standing;
mod status;
mod tools;
mod waits;

use chrono::NaiveDate;

use crate::finding::{self, Finding, Rule};
use crate::limits::Library;
use crate::resolve::Procedure;

/// What a rule may look at.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The procedure, every figure resolved.
    pub procedure: &'a Procedure<'a>,
    /// The published figures.
    pub limits: &'a Library,
    /// The day the spec is read, for rules about dates only.
    pub as_of: NaiveDate,
    /// Whether the spec gives a value that could not be read.
    pub unread: bool,
}

/// A family of rules: what they are and the function that applies them.
type Family = (
    &'static [&'static Rule],
    fn(&Context<'_>, &mut Vec<Finding>),
);

fn families() -> [Family; 11] {
    [
        (scope::RULES, scope::check),
        (heater::RULES, heater::check),
        (face_check::RULES, face_check::check),
        (tools::RULES, tools::check),
        (depth::RULES, depth::check),
        (spigot::RULES, spigot::check),
        (cleaning::RULES, cleaning::check),
        (cycles::RULES, cycles::check),
        (waits::RULES, waits::check),
        (status::RULES, status::check),
        (standing::RULES, standing::check),
    ]
}

/// Rules that say something is not given. A value that could not be read is
/// given all the same, so these rules wait until every value is read; the error
/// of the one that was not keeps the papers back until then.
const ABSENCES: &[&str] = &[
    "cleaning-below-practice",
    "cleaning-missing",
    "cold-without-section",
    "cutter-missing",
    "depth-missing",
    "depth-without-source",
    "face-check-missing",
    "face-offset-unknown",
    "gas-without-qualification",
    "heater-step-or-swing-unknown",
    "heating-outside-published",
    "no-adapter-for-size",
    "no-cold-ring-for-size",
    "no-cycle-row",
    "own-row-for-unclaimed-size",
    "pipe-temperature-missing",
    "pyrometer-accuracy-unknown",
    "qualified-without-record",
    "record-for-other-revision",
    "record-for-unknown-revision",
    "spigot-length-unknown",
    "spigot-without-socket",
    "strip-thickness-unknown",
    "tool-for-unclaimed-size",
    "wait-missing",
    "wait-without-source",
];

/// Applies every rule; the findings stand in the order of the spec.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (_, check) in families() {
        check(context, &mut findings);
    }
    if context.unread {
        findings.retain(|finding| !ABSENCES.contains(&finding.rule.slug));
    }
    finding::sort(&mut findings);
    findings
}

/// Every rule of the tool, those about reading a spec first.
pub fn rules() -> impl Iterator<Item = &'static Rule> {
    let reading = crate::spec::rules::RULES.iter().copied();
    reading.chain(
        families()
            .into_iter()
            .flat_map(|(rules, _)| rules.iter().copied()),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_absence_is_a_rule() {
        for slug in ABSENCES {
            assert!(rules().any(|rule| rule.slug == *slug), "{slug}");
        }
    }
}
