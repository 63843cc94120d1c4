//! The facts at the top of the procedure: what it covers, each once.

use serde::Serialize;

use crate::core::units::Temperature;
use crate::core::units::print::Bound;
use crate::papers::sheets::procedure::writer::{Clause, Writer};
use crate::papers::sheets::resin;
use crate::papers::sheets::resin::Band;
use crate::process::socket::sheets::procedure::scope;

/// A fact under its label.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Fact {
    pub(crate) label: String,
    pub(crate) lines: Vec<Line>,
    /// For the resin, the color that also identifies it.
    pub(crate) band: Option<Band>,
    /// How many columns of four it takes.
    pub(crate) columns: usize,
}

/// A line of a fact.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Line {
    pub(crate) text: String,
    /// The same in the other unit, on a line below.
    pub(crate) other: Option<String>,
    pub(crate) verify: bool,
}

impl From<String> for Line {
    fn from(text: String) -> Self {
        Self {
            text,
            other: None,
            verify: false,
        }
    }
}

/// The facts, four to a row. Without a minimum wall the fittings take its place.
pub(crate) fn facts(w: &Writer) -> Vec<Fact> {
    let fact = |label, lines: Vec<Line>| Fact {
        band: resin::band(w.p).filter(|_| label == Clause::FactResin),
        label: w.say(label),
        lines,
        columns: 1,
    };
    let least = w.p.spec.least_wall.as_ref();
    let wall = least.map(|least| w.in_print(&w.units().minimum_length(least.value.value)));
    let mut facts = vec![
        fact(
            Clause::FactService,
            vec![capitalized(w.say(scope::service(w.p.spec.service.value))).into()],
        ),
        fact(Clause::FactResin, vec![resin(w).into()]),
        fact(Clause::FactSizes, sizes(w)),
        fact(
            Clause::FactWalls,
            scope::walls(w).into_iter().map(Line::from).collect(),
        ),
        fact(Clause::FactHeater, heater(w)),
        fact(Clause::FactPipeTemperature, pipe_temperature(w)),
        Fact {
            columns: if wall.is_some() { 1 } else { 2 },
            ..fact(
                Clause::FactFittings,
                vec![capitalized(scope::fittings(w)).into()],
            )
        },
    ];
    facts.extend(wall.map(|wall| fact(Clause::FactLeastWall, vec![wall.into()])));
    facts
}

/// A sentence's first letter.
fn capitalized(text: String) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// The resin by name and kind, in words before any color.
fn resin(w: &Writer) -> String {
    let kind = resin::kind(w.p, w.words);
    let parts = [Some(w.resin()), kind].into_iter().flatten();
    parts.collect::<Vec<_>>().join(", ")
}

/// The sizes, a line for each system.
fn sizes(w: &Writer) -> Vec<Line> {
    let sizes = w.sizes();
    sizes
        .split("; ")
        .map(|of_system| of_system.to_owned().into())
        .collect()
}

/// The set point and the window of both faces.
pub(crate) fn heater(w: &Writer) -> Vec<Line> {
    let units = w.units();
    let set_point = w.p.spec.heater.set_point.value.0;
    let mut lines = vec![Line::from(w.say(Clause::FactSet {
        set_point: set_point.show_exact(units.temperature_unit()),
    }))];
    if let Some(window) = &w.p.window {
        let [first, other] = units.temperature_range(window.value, &w.say(Clause::To));
        lines.push(Line {
            text: w.say(Clause::FactFaces { window: first }),
            other: Some(other),
            verify: window.needs_verifying(),
        });
    }
    lines
}

/// The range of pipe temperatures, and what holds in the cold.
pub(crate) fn pipe_temperature(w: &Writer) -> Vec<Line> {
    let unit = w.units().temperature_unit();
    let spec = w.p.spec;
    let range = spec.pipe_temperature.as_ref().map(|range| range.value);
    let mut lines = match range {
        Some(range) => {
            let [first, other] = w.units().temperature_range(range, &w.say(Clause::To));
            vec![Line {
                other: Some(other),
                ..first.into()
            }]
        }
        None => vec![w.say(Clause::FactPipeOpen).into()],
    };
    let shown = |limit: Temperature| limit.printed(unit, Bound::Minimum).show_exact(unit);
    // A limit at the end of the range or beyond it says less than the range.
    let matters = |limit: Temperature| range.is_none_or(|range| range.least < limit);
    let trigger = w.p.cold_trigger.as_ref();
    if let Some(trigger) = trigger.filter(|trigger| matters(trigger.value)) {
        let limit = shown(trigger.value);
        lines.push(Line {
            text: w.say(match &spec.cold_weather {
                Some(_) => Clause::FactCold { limit },
                None => Clause::FactNoCold { limit },
            }),
            other: None,
            verify: trigger.needs_verifying(),
        });
    }
    if let Some(cold) = &spec.cold_weather {
        let stated = cold.no_joints_below.as_ref();
        let stated = stated.map(|floor| (floor.value.value, false));
        let published = resin::lowest_ambient(w.p, w.limits);
        let published = published.map(|floor| (floor.value, floor.needs_verifying()));
        let floors = stated.into_iter().chain(published);
        let floor = floors
            .filter(|(floor, _)| matters(*floor))
            .max_by_key(|(floor, _)| *floor);
        lines.extend(floor.map(|(floor, verify)| Line {
            text: w.say(Clause::FactNoCold {
                limit: shown(floor),
            }),
            other: None,
            verify,
        }));
    }
    lines
}
