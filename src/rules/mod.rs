//! Rules of the trade, one family per file: each examines the resolved
//! procedure and reports what is wrong, where, and by how much. Nothing is
//! fixed here, and nothing stops at the first error.
//!
//! An unreadable value is not an absent one. While a value of the spec cannot
//! be read, rules marked `absence`, which report that something is missing, are
//! silent; otherwise one slip would be reported twice, the second time wrongly.
//! `tests/suite/slips.rs` tries every field and every value of the fullest
//! files.

pub(crate) mod claims;
pub(crate) mod cleaning;
pub(crate) mod face_check;
pub(crate) mod gas_wall;
pub(crate) mod heater;
pub(crate) mod lists;
pub(crate) mod own_rules;
pub(crate) mod practice;
pub(crate) mod record_slips;
pub(crate) mod records;
pub(crate) mod regulation;
pub(crate) mod scope;
pub(crate) mod service;
pub(crate) mod standing;
pub(crate) mod status;
pub(crate) mod sticks;
pub(crate) mod texts;
pub(crate) mod wall;
pub(crate) mod wording;

use chrono::NaiveDate;

pub(crate) use standing::{CONFLICTING_FIGURES_USED, RECALLED_FIGURES_USED};
pub(crate) use texts::mentions_of_none;

use crate::core::finding::{self, Finding, Rule};
use crate::core::size::Size;
use crate::core::units::{Length, Temperature};
use crate::procedure::resolve::Procedure;
use crate::process::socket::heat::advice::Advice;
use crate::published::Library;
use crate::spec::{DepthGauge, GaugeDepth, Written};

/// What a rule examines.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The procedure, fully resolved.
    pub procedure: &'a Procedure<'a>,
    /// The published numbers.
    pub limits: &'a Library,
    /// The date, for dated rules only.
    pub as_of: NaiveDate,
    /// Whether a value in the spec could not be read.
    pub unread: bool,
    /// The thermal estimates, if the heat model was run.
    pub advice: Option<&'a Advice<'a>>,
}

impl<'a> Context<'a> {
    /// A length in the practice's units, with the other unit.
    pub(crate) fn length(&self, length: Length) -> String {
        self.procedure.practice().units.length(length)
    }

    /// A temperature in the practice's units, with the other scale.
    pub(crate) fn temperature(&self, temperature: Temperature) -> String {
        self.procedure.practice().units.temperature(temperature)
    }

    /// The gauge of a size and its depth, if measured.
    pub(crate) fn gauge(&self, size: Size) -> Option<(&'a DepthGauge, &'a Written<Length>)> {
        let spec = self.procedure.spec;
        let stated = spec.tools.depth_gauges.iter().chain(&spec.fittings.depths);
        let (_, gauge) = stated.into_iter().find(|(s, _)| s.value == size)?;
        match &gauge.depth {
            GaugeDepth::Known(depth) => Some((gauge, depth)),
            GaugeDepth::ToBeMeasured(_) => None,
        }
    }
}

/// A family of rules and the function that applies them.
pub(crate) type Family = (
    &'static [&'static Rule],
    fn(&Context<'_>, &mut Vec<Finding>),
);

/// Rules whose finding follows from one of another about the same value, and says
/// nothing that is not put right with it.
const FOLLOWS: [(&str, &[&str]); 1] = [(
    "depth-falls-with-size",
    &["depth-impossible", "depth-unit-slip"],
)];

/// Takes out the findings that follow from another.
fn without_followers(findings: &mut Vec<Finding>) {
    let causes: Vec<_> = findings.iter().map(|f| (f.rule.slug, f.span)).collect();
    findings.retain(|finding| {
        let follows = FOLLOWS.iter().find(|(rule, _)| *rule == finding.rule.slug);
        let Some((_, of)) = follows else { return true };
        let related = finding.related.iter().map(|related| Some(related.span));
        let mut places = related.chain([finding.span]);
        !places.any(|place| {
            causes
                .iter()
                .any(|(rule, at)| of.contains(rule) && *at == place)
        })
    });
}

/// Applies the families of a process. Findings are in the order of the spec.
pub(crate) fn check(families: &[Family], context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (_, check) in families {
        check(context, &mut findings);
    }
    if context.unread {
        findings.retain(|finding| !finding.rule.absence);
    }
    without_followers(&mut findings);
    finding::sort(&mut findings);
    finding::each_once(findings)
}
