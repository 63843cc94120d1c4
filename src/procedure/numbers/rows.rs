//! Procedure → its numbers, one per row: what each applies to, its value, and its source.
//! A number that a joint needs and nobody gives is a row without a value.

use crate::core::size::Size;
use crate::core::units::{Decimal, Range, TimeUnit};
use crate::procedure::resolve::{
    Depth, Fit, Joint, Pipe, Procedure, fits, sequence, unlike_source,
};
use crate::published::{Basis, Sourced, Value};
use crate::spec::Written;
use crate::spec::declare::GroupOutput as _;
use crate::spec::fact::{self, Collector, Fact, Of};

/// Printed as the source if the author gives none.
const STATED: &str = "stated in the spec";

/// One number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// The size it applies to; `None` for the whole procedure.
    pub size: Option<Size>,
    /// The group of walls it applies to, if times depend on it.
    pub walls: Option<String>,
    /// The single wall it applies to.
    pub wall: Option<String>,
    /// Name of the number.
    pub name: &'static str,
    /// Its value.
    pub value: Value,
    /// The value as written, if it was.
    pub written: Option<String>,
    /// Where the number comes from.
    pub basis: Basis,
    /// The weakest basis among its inputs.
    pub weakest_basis: Basis,
    /// Its source, or the formula that produced it.
    pub source: String,
    /// ID in the tables.
    pub id: Option<String>,
    /// The slug of a conflict between sources.
    pub conflict: Option<String>,
}

/// A value as numbers in one unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Numbers {
    /// The number, or the low end of a range.
    pub(crate) least: Decimal,
    /// The high end of a range.
    pub(crate) most: Option<Decimal>,
    pub(crate) unit: &'static str,
}

impl Row {
    /// What the number applies to: `2 IPS, DR 11`; empty for the whole procedure.
    pub(crate) fn subject(&self) -> String {
        let size = self.size.map(|size| size.to_string());
        let parts = [size.as_deref(), self.walls.as_deref(), self.wall.as_deref()];
        let parts: Vec<_> = parts.into_iter().flatten().collect();
        parts.join(", ")
    }

    /// The value in the practice's units, times in seconds, rounded to a millionth of the
    /// unit. `None` if the value is not a number.
    pub(crate) fn numbers(&self, procedure: &Procedure<'_>) -> Option<Numbers> {
        let units = procedure.practice().units;
        let (length, degree) = (units.length_unit(), units.temperature_unit());
        let second = TimeUnit::Second;
        let (least, most, unit) = match &self.value {
            Value::Length(value) => (value.decimal(length), None, length.symbol()),
            Value::LengthRange(range) => both(range, |end| end.decimal(length), length.symbol()),
            Value::Duration(value) => (value.decimal(second), None, second.symbol()),
            Value::DurationRange(range) => both(range, |end| end.decimal(second), second.symbol()),
            Value::Temperature(value) => (value.decimal(degree), None, degree.symbol()),
            Value::TemperatureRange(range) => {
                both(range, |end| end.decimal(degree), degree.symbol())
            }
            Value::TemperatureDifference(value) => (value.decimal(degree), None, degree.symbol()),
            Value::Percent(value) => (value.decimal(), None, "%"),
            Value::Text(_) | Value::NotAdvisable | Value::NotFound => return None,
        };
        Some(Numbers { least, most, unit })
    }

    /// The kind of quantity, since a unit does not tell a temperature from a difference.
    pub(crate) fn kind(&self) -> Option<&'static str> {
        self.value.kind()
    }

    /// The value as printed: as written, or in the practice's units.
    pub(crate) fn shown(&self, procedure: &Procedure<'_>) -> String {
        match (&self.written, self.numbers(procedure), &self.value) {
            (Some(written), ..) => written.clone(),
            (_, Some(Numbers { least, most, unit }), _) => match most {
                Some(most) if most != least => format!("{least} to {most} {unit}"),
                _ => format!("{least} {unit}"),
            },
            (_, None, Value::Text(text)) => text.clone(),
            (_, None, Value::NotAdvisable) => "not advisable".to_owned(),
            (_, None, _) => "not found".to_owned(),
        }
    }
}

fn both<T: Copy>(
    range: &Range<T>,
    decimal: impl Fn(T) -> Decimal,
    unit: &'static str,
) -> (Decimal, Option<Decimal>, &'static str) {
    (decimal(range.least), Some(decimal(range.most)), unit)
}

/// Every number of a procedure: first the general ones, then by size and wall.
pub fn rows(procedure: &Procedure<'_>) -> Vec<Row> {
    let mut facts = Collector::new("", procedure.practice());
    procedure.spec.facts(&Of::default(), &mut facts);
    let mut to = Rows {
        facts: facts.facts,
        ..Rows::default()
    };
    whole(procedure, &mut to);
    let fits = fits(procedure);
    let mut last = None;
    for joint in &procedure.joints {
        to.size = Some(joint.size);
        if last.replace(joint.size) != Some(joint.size) {
            to.walls = None;
            of_size(procedure, joint, &mut to);
            if let Some(fit) = fits.iter().find(|fit| fit.size == joint.size) {
                self::fit(fit, &mut to);
            }
        }
        let between = joint
            .ungrouped_ratio
            .map(|ratio| format!("SDR {}", ratio.number()));
        to.walls = joint.walls.map(|walls| walls.key().to_owned()).or(between);
        times(joint, &mut to);
        for pipe in &joint.pipes {
            to.wall = Some(pipe.label.name(procedure.practice().units));
            self::pipe(pipe, &mut to);
        }
        to.wall = None;
    }
    to.rows
}

/// Collects rows by size and wall.
#[derive(Default)]
struct Rows {
    /// Facts stated by the spec's fields.
    facts: Vec<Fact>,
    rows: Vec<Row>,
    size: Option<Size>,
    walls: Option<String>,
    wall: Option<String>,
}

impl Rows {
    fn add<'t, T: Clone + Into<Value> + 't>(
        &mut self,
        name: &'static str,
        sourced: impl IntoIterator<Item = &'t Sourced<T>>,
    ) {
        for sourced in sourced {
            self.rows.push(Row {
                size: self.size,
                walls: self.walls.clone(),
                wall: self.wall.clone(),
                name,
                value: sourced.value.clone().into(),
                written: sourced.written.clone(),
                basis: sourced.basis,
                weakest_basis: sourced.weakest_basis,
                source: sourced.source.clone(),
                id: sourced.id.clone(),
                conflict: sourced.conflict.clone(),
            });
        }
    }

    /// A number that a joint needs, even if it is missing.
    fn add_needed<T: Clone + Into<Value>>(
        &mut self,
        name: &'static str,
        sourced: Option<&Sourced<T>>,
        why_none: &str,
    ) {
        match sourced {
            Some(sourced) => self.add(name, [sourced]),
            None => {
                let none = Sourced::stated(Value::NotFound, Basis::NotFound, why_none);
                self.add(name, [&none]);
            }
        }
    }

    /// Quantities the spec states for the size: measured, or the organization's own if a
    /// source is given.
    fn add_stated(&mut self, numbers: &[StatedNumber], sourced: Basis) {
        for (name, variable, source) in numbers {
            let size = self.size;
            let of = |fact: &&Fact, variable: &str| fact.variable == variable && fact.size == size;
            let mut facts = self.facts.iter();
            let Some(fact) = facts.find(|fact| of(fact, variable)) else {
                continue;
            };
            let fact::Value::Quantity(value) = fact.value.clone() else {
                continue;
            };
            let source = self.facts.iter().find(|fact| of(fact, source));
            let basis = source.map_or(Basis::Organization, |_| sourced);
            let source = source.map_or(STATED, |source| source.shown.as_str());
            let stated = Sourced::stated(value, basis, source).written_as(&fact.shown);
            self.add(name, [&stated]);
        }
    }

    /// A quantity the spec states for the size.
    fn add_written<T: Clone + Into<Value>>(
        &mut self,
        name: &'static str,
        written: &Written<T>,
        source: &str,
    ) {
        let stated = Sourced::stated(written.value.clone(), Basis::Organization, source);
        self.add(name, [&stated.written_as(&written.text)]);
    }
}

/// Name of a number, the variable of its field, and the variable of its source.
type StatedNumber = (&'static str, &'static str, &'static str);

const PIPE_NUMBERS: &[StatedNumber] = &[("pipe-temperature", "pipe-temperature", "")];
const HEATER_NUMBERS: &[StatedNumber] = &[
    ("set-point", "set-point", ""),
    ("face-offset", "face-offset", ""),
    ("controller-step", "heater-step", ""),
    ("controller-swing", "heater-swing", ""),
    ("face-check-accuracy", "face-check-accuracy", ""),
    ("stick-melts", "stick-melts", ""),
    ("stick-stays-solid", "stick-stays-solid", ""),
];
const WORK_NUMBERS: &[StatedNumber] = &[
    ("cleaning-strength", "cleaning-strength", ""),
    ("least-wall-fused", "least-wall", "least-wall-source"),
];
const COLD_NUMBERS: &[StatedNumber] = &[(
    "no-joints-below",
    "no-joints-below",
    "no-joints-below-source",
)];
/// Numbers of one size.
const SIZE_NUMBERS: &[StatedNumber] = &[
    (
        "measured-diameter",
        "measured-diameter",
        "measured-pipe-source",
    ),
    (
        "measured-roundness",
        "measured-roundness",
        "measured-pipe-source",
    ),
    // If gauge and fitting both give a depth, the gauge's counts.
    ("fitting-depth", "stated-depth", "stated-depth-source"),
    ("socket-depth", "socket-depth", "socket-source"),
    ("spigot-straight-length", "spigot-length", "spigot-source"),
    ("spigot-diameter", "spigot-diameter", "spigot-source"),
    ("spigot-wall", "spigot-wall", "spigot-source"),
    ("adapter-depth", "adapter-depth", ""),
    ("cold-ring-width", "cold-ring-width", ""),
];

fn whole(procedure: &Procedure<'_>, to: &mut Rows) {
    let own = Basis::Organization;
    to.add_stated(PIPE_NUMBERS, own);
    to.add("heater-window", &procedure.window);
    to.add_stated(HEATER_NUMBERS, own);
    let face = Sourced::derived(
        procedure.face.with_swing(),
        "set point + offset, the swing each way",
        &[own],
    );
    to.add("face-temperature", [&face]);
    to.add_stated(WORK_NUMBERS, own);
    to.add_needed(
        "wait-before-pressure-test",
        procedure.before_pressure_test.as_ref(),
        "the spec states none, and none was found",
    );
    to.add("cold-trigger", &procedure.cold_trigger);
    to.add("cold-trial-step", &procedure.cold_step);
    to.add_stated(COLD_NUMBERS, own);
    to.add("strip-thickness", &procedure.strip_thickness);
}

fn of_size(procedure: &Procedure<'_>, joint: &Joint, to: &mut Rows) {
    to.add_needed(
        "outside-diameter",
        joint.outside_diameter.as_ref(),
        "the tables of the practice have no row for the size",
    );
    to.add("outside-diameter-tolerance", &joint.od_tolerance);
    to.add("outside-diameter-band", &joint.od_band);
    to.add("mean-diameter", &joint.mean_diameter);
    to.add("out-of-roundness", &joint.out_of_roundness);
    let why_none = match joint.depth {
        Depth::ToBeMeasured(_) => "NO JOINT in this size until its depth is measured",
        Depth::Missing => "NO JOINT in this size: the spec gives no depth, and none is published",
        Depth::Known(_) => "",
    };
    to.add_needed("insertion-depth", joint.depth.known(), why_none);
    to.add_stated(SIZE_NUMBERS, Basis::Measured);
    if let Some(pair) = procedure.unlike_pair(joint.size) {
        let source = unlike_source(pair);
        to.add_written("unlike-pipe-heating", &pair.pipe_heat, source);
        to.add_written("unlike-fitting-heating", &pair.fitting_heat, source);
        if let Some(sequence) = sequence(pair) {
            let (other_on, both_off) = (sequence.value.other_on, sequence.value.both_off);
            let part = |value: Value| Sourced::stated(value, sequence.basis, &sequence.source);
            to.add("unlike-other-part-on", [&part(other_on.into())]);
            to.add("unlike-both-off", [&part(both_off.into())]);
        }
    }
}

fn fit(fit: &Fit, to: &mut Rows) {
    to.add("socket-mouth", fit.mouth.as_ref().map(|end| &end.socket));
    to.add(
        "interference-at-mouth",
        fit.mouth.as_ref().map(|end| &end.interference),
    );
    to.add("socket-root", fit.root.as_ref().map(|end| &end.socket));
    to.add(
        "interference-at-root",
        fit.root.as_ref().map(|end| &end.interference),
    );
    to.add(
        "room-for-cold-ring",
        fit.ring_room.as_ref().map(|room| &room.room),
    );
}

fn times(joint: &Joint, to: &mut Rows) {
    let none = "neither the tables nor the spec give it";
    if let Some(advice) = &joint.published.not_advisable
        && joint.cycle.heat().is_none()
    {
        let advice = Sourced {
            id: Some(advice.id.clone()),
            conflict: advice.conflict.clone(),
            ..Sourced::stated(Value::NotAdvisable, advice.basis, &advice.source)
        };
        to.add("heating", [&advice]);
    } else {
        to.add_needed("heating", joint.cycle.heat(), none);
    }
    to.add_needed("change-over", joint.cycle.change_over(), none);
    to.add_needed("hold", joint.cycle.hold(), none);
    to.add_needed("wait-before-handling", joint.cycle.before_handling(), none);
}

fn pipe(pipe: &Pipe, to: &mut Rows) {
    to.add("least-wall", [&pipe.minimum_wall]);
    to.add("wall-tolerance", &pipe.wall_tolerance);
    to.add("inside-diameter", [&pipe.inside_diameter]);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::published::library;

    /// A number whose variable has no field would be listed nowhere.
    #[test]
    fn every_variable_is_one_of_the_table() {
        let stated = [
            PIPE_NUMBERS,
            HEATER_NUMBERS,
            WORK_NUMBERS,
            COLD_NUMBERS,
            SIZE_NUMBERS,
        ]
        .concat();
        for (name, variable, source) in stated {
            for variable in [variable, source].into_iter().filter(|v| !v.is_empty()) {
                let id = format!("essential-variables:{variable}:name");
                assert!(library().entry(&id).is_some(), "{name}: {variable}");
            }
        }
    }
}
