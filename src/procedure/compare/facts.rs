//! Procedure → its facts: those its fields declare, and those that resolve from it
//! (resin, pipe, heater window, joint times, and record contents).

use crate::core::source::Span;
use crate::core::units::print::temperature_range;
use crate::core::units::{Duration, Range, TimeUnit};
use crate::procedure::resolve::{Joint, Procedure};
use crate::spec::declare::GroupOutput as _;
use crate::spec::fact::{ALONE, Collector, Fact, Of, Value};
use crate::spec::{RecordCitation, RowWalls, of_walls};

/// The facts of a procedure whose spec has this text.
pub(crate) fn facts(procedure: &Procedure<'_>, text: &str) -> Vec<Fact> {
    let spec = procedure.spec;
    let mut to = Collector::new(text, procedure.practice());
    spec.facts(&Of::default(), &mut to);
    resin(procedure, &mut to);
    pipes(procedure, &mut to);
    window(procedure, &mut to);
    for joint in &procedure.joints {
        self::joint(procedure, joint, &mut to);
    }
    if spec.cold_weather.is_some() {
        to.present("cold-weather", ALONE, spec.span);
    }
    records(procedure, &mut to);
    to.facts
}

/// The resin by its code, so that spelling does not matter.
fn resin(procedure: &Procedure<'_>, to: &mut Collector<'_>) {
    let written = &procedure.spec.resin;
    let code = procedure.resin.as_ref().map(|resin| resin.code.as_str());
    let value = Value::Word(code.unwrap_or(&written.value).to_owned());
    to.add("resin", ALONE, value, &written.value, written.span);
}

fn pipes(procedure: &Procedure<'_>, to: &mut Collector<'_>) {
    let units = procedure.practice().units;
    for joint in &procedure.joints {
        for pipe in &joint.pipes {
            let of = Of::size_and(joint.size, &pipe.label.full_name(units));
            to.present("pipe", of, pipe.claimed_at);
        }
    }
}

/// The heater window, from the tables or a confirmation.
fn window(procedure: &Procedure<'_>, to: &mut Collector<'_>) {
    if let Some(window) = &procedure.window {
        let unit = procedure.practice().units.temperature_unit();
        let shown = temperature_range(window.value, unit, "to");
        let place = procedure.spec.practice.span;
        to.add("heater-window", ALONE, window.value.into(), shown, place);
    }
}

fn joint(procedure: &Procedure<'_>, joint: &Joint, to: &mut Collector<'_>) {
    let walls = match (joint.walls, joint.ungrouped_ratio) {
        (Some(group), _) => Some(RowWalls::Group(group)),
        (None, Some(ratio)) => Some(RowWalls::Ratio(ratio)),
        (None, None) => None,
    };
    let of = of_walls(joint.size, walls, procedure.practice());
    let row = joint.own_row(procedure.spec);
    let place = |own: Option<Span>| own.unwrap_or(joint.claimed_at);
    if let Some(heat) = joint.cycle.heat() {
        let span = row.and_then(|row| Some(row.heat.as_ref()?.span));
        let shown = times(heat.value);
        to.add("heating", of.clone(), heat.value.into(), shown, place(span));
    }
    let spec = &procedure.spec.cycles;
    let common = spec.change_over.as_ref().map(|time| time.value.span);
    let change_over = row.and_then(|row| Some(row.change_over.as_ref()?.span));
    let hold = row.and_then(|row| Some(row.hold.as_ref()?.span));
    let wait = spec
        .waits
        .before_handling
        .as_ref()
        .map(|time| time.value.span);
    let handling = row.and_then(|row| Some(row.before_handling.as_ref()?.span));
    for (variable, time, span) in [
        (
            "change-over",
            joint.cycle.change_over(),
            change_over.or(common),
        ),
        ("hold", joint.cycle.hold(), hold),
        (
            "handling-wait",
            joint.cycle.before_handling(),
            handling.or(wait),
        ),
    ] {
        if let Some(time) = time {
            let shown = time.value.show();
            to.add(variable, of.clone(), time.value.into(), shown, place(span));
        }
    }
}

/// `18 to 21 s`.
fn times(range: Range<Duration>) -> String {
    let second = |time: Duration| time.number(TimeUnit::Second);
    if range.least == range.most {
        return format!("{} s", second(range.least));
    }
    format!("{}–{} s", second(range.least), second(range.most))
}

/// The cited records; for those with a file, its contents.
fn records(procedure: &Procedure<'_>, to: &mut Collector<'_>) {
    let inline = procedure.spec.qualification.iter().flat_map(|q| &q.records);
    for record in inline {
        let RecordCitation {
            number,
            date,
            revision,
            span,
        } = record;
        let cited = (date.value, revision.value);
        to.add(
            "record",
            number.value.as_str(),
            Value::Word(format!("{cited:?}")),
            date.value.to_string(),
            *span,
        );
    }
    for file in procedure.records {
        let cited = (file.record.date.value, file.record.revision.value);
        to.add(
            "record",
            file.record.number.value.as_str(),
            Value::Word(format!("{cited:?}")),
            file.record.date.value.to_string(),
            file.named_at,
        );
    }
}
