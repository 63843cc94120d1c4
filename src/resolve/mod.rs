//! Spec + limits → the procedure: one joint per size and one pipe per wall,
//! every figure with its standing. Looks up, expands and computes; what is
//! wrong is said by the rules in `check`.

mod face;
mod joint;

pub use face::{FaceBand, stick_accuracy};
pub use joint::{Depth, Joint, Pipe, WallLabel, walls};

use crate::limits::{Basis, Library, Resin, Sourced};
use crate::spec::{Spec, Stated, StripUse};
use crate::units::{Duration, Length, Range, Temperature};

/// A procedure with every figure looked up or computed.
#[derive(Debug)]
pub struct Procedure<'s> {
    /// What the author wrote.
    pub spec: &'s Spec,
    /// The resin, if the tables know it.
    pub resin: Option<Resin>,
    /// The window that binds the face of both adapters.
    pub window: Option<Sourced<Range<Temperature>>>,
    /// Where the face temperature lies with the spec's settings.
    pub face: FaceBand,
    /// One joint per size, by system and size.
    pub joints: Vec<Joint>,
    /// Heater off to fully joined, at most.
    pub change_over: Option<Sourced<Duration>>,
    /// The published figure, when the spec states its own.
    pub published_change_over: Option<Sourced<Duration>>,
    /// Wait before the joint is handled or stressed.
    pub before_handling: Option<Sourced<Duration>>,
    /// The published figure.
    pub published_before_handling: Option<Sourced<Duration>>,
    /// Wait before the pressure test; nothing is assumed where the spec is silent.
    pub before_pressure_test: Option<Sourced<Duration>>,
    /// Pipe temperature below which the cold-weather section applies.
    pub cold_trigger: Option<Sourced<Temperature>>,
    /// Step in which heating is lengthened on trial joints in the cold, when
    /// the spec has a cold-weather section.
    pub cold_step: Option<Sourced<Duration>>,
    /// Thickness of a depth-mark strip as used; `None` when it has to be
    /// measured first.
    pub strip_thickness: Option<Sourced<Length>>,
}

/// Resolves a spec against the published figures.
pub fn resolve<'s>(spec: &'s Spec, limits: &Library) -> Procedure<'s> {
    let resin = limits.resin(&spec.resin);
    let time = |key: &str| {
        limits
            .figure(&format!("us-times:{key}:time"))
            .and_then(|figure| figure.duration())
    };
    let window = limits
        .figure("us-temperatures:heater-face:range")
        .and_then(|figure| figure.temperature_range());
    let waits = &spec.cycles.waits;
    let published_change_over = time("change-over");
    let published_before_handling = time("wait-before-handling");
    Procedure {
        face: FaceBand::of(&spec.heater, limits),
        joints: joint::joints(spec, resin.as_ref(), limits),
        change_over: own_or(&spec.cycles.change_over, &published_change_over),
        before_handling: own_or(&waits.before_handling, &published_before_handling),
        before_pressure_test: own_or(&waits.before_pressure_test, &None),
        cold_trigger: limits
            .figure("us-temperatures:cold-trigger:temperature")
            .and_then(|figure| figure.temperature()),
        cold_step: spec
            .cold_weather
            .as_ref()
            .and_then(|cold| own_or(&cold.trial_step, &time("cold-trial-step"))),
        strip_thickness: strip_thickness(spec, limits),
        window,
        resin,
        published_change_over,
        published_before_handling,
        spec,
    }
}

/// What the author states, as the organisation's own figure; else the published one.
fn own_or<T: Copy>(
    stated: &Option<Stated<T>>,
    published: &Option<Sourced<T>>,
) -> Option<Sourced<T>> {
    let Some(own) = stated else {
        return published.clone();
    };
    let source = own
        .source
        .as_ref()
        .map_or("stated in the spec without a source", |s| s.value.as_str());
    Some(Sourced::stated(
        own.value.value,
        Basis::Organization,
        source,
    ))
}

fn strip_thickness(spec: &Spec, limits: &Library) -> Option<Sourced<Length>> {
    let bare = || {
        limits
            .figure("print:strip-thickness-paper:length")
            .and_then(|figure| figure.length())
    };
    let Some(strips) = &spec.documents.strips else {
        return bare();
    };
    match &strips.thickness {
        Some(thickness) => Some(Sourced::stated(
            thickness.value,
            Basis::Measured,
            "stated in the spec",
        )),
        None if strips.usage.value == StripUse::Bare => bare(),
        None => None,
    }
}
