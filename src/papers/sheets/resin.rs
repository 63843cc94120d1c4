//! The resin on the papers: its kind in words, and the color that the trade marks
//! such pipe with as a second sign.

use serde::Serialize;

use super::clause::Clause;
use super::clauses::Clauses;
use crate::core::units::Temperature;
use crate::procedure::resolve::Procedure;
use crate::published::{Family, Library, ResinGroup, Sourced};
use crate::spec::Service;

/// The color of a pipe or its stripes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Band {
    /// Medium-density gas pipe.
    Yellow,
    /// High-density pipe.
    Black,
    /// Water pipe.
    BlueStripe,
}

/// The kind of resin, if the tables know it.
pub(crate) fn kind(p: &Procedure, words: &Clauses) -> Option<String> {
    Some(words.render(match p.resin.as_ref()?.group {
        ResinGroup::MediumDensity => Clause::CardMediumDensity,
        ResinGroup::HighDensity => Clause::CardHighDensity,
        ResinGroup::MetricPe => Clause::CardPolyethylene,
        ResinGroup::PpR | ResinGroup::PpH => Clause::CardPolypropylene,
    }))
}

/// The color, if the trade has one for the resin and service.
pub(crate) fn band(p: &Procedure) -> Option<Band> {
    match (p.resin.as_ref()?.group, p.spec.service.value) {
        (group, Service::Water) if group.family() == Family::Polyethylene => Some(Band::BlueStripe),
        (ResinGroup::MediumDensity, Service::Gas) => Some(Band::Yellow),
        (ResinGroup::HighDensity, _) => Some(Band::Black),
        _ => None,
    }
}

/// The temperature below which the resin is not joined, if published.
pub(crate) fn lowest_ambient(p: &Procedure, limits: &Library) -> Option<Sourced<Temperature>> {
    if p.resin.as_ref()?.group != ResinGroup::PpR {
        return None;
    }
    limits
        .entry("metric-temperatures:lowest-ambient-ppr:temperature")?
        .temperature()
}
