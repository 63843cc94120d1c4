//! Rules of the trade, family by family: each looks at the resolved procedure
//! and says what is wrong, where, and by how much. Nothing is mended here and
//! nothing stops at the first fault.

mod by_size;
mod claims;
mod cleaning;
mod cold;
mod cycles;
mod depth;
mod face_check;
mod fit;
mod gas_wall;
mod heat;
mod heater;
mod holder;
mod lists;
mod own_times;
mod practice;
mod reach;
mod record_slips;
pub(crate) mod records;
mod reducer;
mod say;
mod scope;
mod service;
mod spigot;
mod standing;
mod status;
mod sticks;
mod texts;
mod tools;
mod unlike;
mod waits;
mod wall;

use chrono::NaiveDate;

pub(crate) use texts::of_none;

use crate::core::finding::{self, Finding, Rule};
use crate::core::size::Size;
use crate::core::units::{Length, Temperature};
use crate::heat::advice::Advice;
use crate::procedure::resolve::Procedure;
use crate::published::Library;
use crate::spec::{DepthGauge, GaugeDepth, Written};

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
    /// The thermal estimates, where the heat model was run.
    pub advice: Option<&'a Advice<'a>>,
}

impl<'a> Context<'a> {
    /// A length in the units of the practice, the others beside.
    fn length(&self, length: Length) -> String {
        self.procedure.practice().units.length(length)
    }

    /// A temperature in the units of the practice, the others beside.
    fn temperature(&self, temperature: Temperature) -> String {
        self.procedure.practice().units.temperature(temperature)
    }

    /// The depth of a size as the author gives it, with its gauge.
    fn gauge(&self, size: Size) -> Option<(&'a DepthGauge, &'a Written<Length>)> {
        let spec = self.procedure.spec;
        let stated = spec.tools.depth_gauges.iter().chain(&spec.fittings.depths);
        let (_, gauge) = stated.into_iter().find(|(s, _)| s.value == size)?;
        match &gauge.depth {
            GaugeDepth::Known(depth) => Some((gauge, depth)),
            GaugeDepth::ToBeMeasured(_) => None,
        }
    }
}

/// A family of rules: what they are and the function that applies them.
type Family = (
    &'static [&'static Rule],
    fn(&Context<'_>, &mut Vec<Finding>),
);

/// Every family, in the order of the groups of a spec.
static FAMILIES: &[Family] = &[
    (scope::RULES, scope::check),
    (cold::RULES, cold::check),
    (claims::RULES, claims::check),
    (wall::RULES, wall::check),
    (gas_wall::RULES, gas_wall::check),
    (practice::RULES, practice::check),
    (holder::RULES, holder::check),
    (heater::RULES, heater::check),
    (face_check::RULES, face_check::check),
    (sticks::RULES, sticks::check),
    (tools::RULES, tools::check),
    (depth::RULES, depth::check),
    (spigot::RULES, spigot::check),
    (reducer::RULES, reducer::check),
    (unlike::RULES, unlike::check),
    (fit::RULES, fit::check),
    (by_size::RULES, by_size::check),
    (cleaning::RULES, cleaning::check),
    (cycles::RULES, cycles::check),
    (own_times::RULES, own_times::check),
    (waits::RULES, waits::check),
    (status::RULES, status::check),
    (records::RULES, records::check),
    (reach::RULES, reach::check),
    (record_slips::RULES, record_slips::check),
    (texts::RULES, texts::check),
    (lists::RULES, lists::check),
    (service::RULES, service::check),
    (standing::RULES, standing::check),
    (heat::RULES, heat::check),
];

/// Rules that say something is not given, or that look at all that is given of a kind.
/// A value that could not be read is given all the same, so these rules wait until
/// every value is read; the error of the one that was not keeps the papers back until
/// then.
const ABSENCES: &[&str] = &[
    "change-not-in-spec",
    "cleaning-below-practice",
    "cleaning-missing",
    "cold-without-section",
    "conflicting-figures-used",
    "cutter-missing",
    "depth-missing",
    "depth-without-source",
    "face-check-missing",
    "face-offset-unknown",
    "gas-without-qualification",
    "heater-step-or-swing-unknown",
    "hold-not-published",
    "holding-tool-missing",
    "holding-tool-missing-but-qualified",
    "kinds-empty",
    "machine-missing",
    "peeling-not-stated",
    "heating-outside-published",
    "no-adapter-for-size",
    "no-cold-ring-for-size",
    "no-cycle-row",
    "measurement-without-source",
    "own-row-for-unclaimed-size",
    "own-times-unproven",
    "own-times-unproven-but-qualified",
    "peeled-fit-unknown",
    "pipe-temperature-missing",
    "pyrometer-accuracy-unknown",
    "qualified-outside-range",
    "qualified-outside-temperatures",
    "qualified-without-procedure-tests",
    "qualified-without-record",
    "recalled-figures-used",
    "record-for-other-revision",
    "record-for-unknown-revision",
    "record-not-listed",
    "reducer-not-a-kind",
    "reducer-size-not-claimed",
    "reducer-sizes-not-stated",
    "spigot-length-unknown",
    "spigot-not-a-kind",
    "spigot-not-measured",
    "spigot-wall-thin",
    "spigot-without-socket",
    "strip-thickness-unknown",
    "test-face-off-set-point",
    "test-joint-not-claimed",
    "test-joint-untested",
    "title-contradicts-scope",
    "tool-for-unclaimed-size",
    "unlike-for-unclaimed-size",
    "unlike-without-record",
    "wait-missing",
    "wait-without-source",
    "wall-not-published",
];

/// Applies every rule; the findings stand in the order of the spec.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (_, check) in FAMILIES {
        check(context, &mut findings);
    }
    if context.unread {
        findings.retain(|finding| !ABSENCES.contains(&finding.rule.slug));
    }
    finding::sort(&mut findings);
    finding::each_once(findings)
}

/// Whether a finding of the rule says how well figures are known, and so nothing
/// about the author's own work.
pub fn is_about_sources(rule: &Rule) -> bool {
    standing::ABOUT_SOURCES
        .iter()
        .any(|known| known.slug == rule.slug)
}

/// The rules of this room, family by family.
pub(crate) fn rules() -> impl Iterator<Item = &'static Rule> {
    FAMILIES.iter().flat_map(|(rules, _)| rules.iter().copied())
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
