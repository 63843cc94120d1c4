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

pub(crate) use standing::CONFLICTING_FIGURES_USED;
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
    (texts::title::RULES, texts::title::check),
    (texts::change::RULES, texts::change::check),
    (texts::source::RULES, texts::source::check),
    (lists::RULES, lists::check),
    (service::RULES, service::check),
    (standing::RULES, standing::check),
    (heat::RULES, heat::check),
];

/// Applies every rule; the findings stand in the order of the spec.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (_, check) in FAMILIES {
        check(context, &mut findings);
    }
    if context.unread {
        findings.retain(|finding| !finding.rule.absence);
    }
    finding::sort(&mut findings);
    finding::each_once(findings)
}

/// The rules of this room, family by family.
pub(crate) fn rules() -> impl Iterator<Item = &'static Rule> {
    FAMILIES.iter().flat_map(|(rules, _)| rules.iter().copied())
}
