//! Facts of the times: those of each joint as they resolve, from the tables or
//! from a row of the organization's own, and what an author says of them.

use super::super::fact::{ALONE, Collector, Of};
use super::stated;
use crate::core::source::Span;
use crate::core::units::{Duration, Range, TimeUnit};
use crate::procedure::resolve::{Joint, Procedure, WallLabel};
use crate::published::WallGroup;
use crate::spec::{ColdWeather, CycleRow, Cycles, Practice, RowWalls, Waits};

/// The times of a procedure.
pub fn facts(
    procedure: &Procedure<'_>,
    cycles: &Cycles,
    cold_weather: Option<&ColdWeather>,
    to: &mut Collector<'_>,
) {
    for joint in &procedure.joints {
        self::joint(procedure, joint, to);
    }
    let Cycles {
        rows,
        change_over,
        waits,
    } = cycles;
    for row in rows {
        self::row(row, procedure.practice(), to);
    }
    // The change-over and the wait before handling are in the joints.
    to.text(
        "change-over-source",
        ALONE,
        change_over.iter().filter_map(|s| s.source.as_ref()),
    );
    let Waits {
        before_handling,
        before_pressure_test,
        span: _,
    } = waits;
    to.text(
        "handling-wait-source",
        ALONE,
        before_handling.iter().filter_map(|s| s.source.as_ref()),
    );
    stated(
        "pressure-test-wait",
        "pressure-test-wait-source",
        before_pressure_test,
        to,
    );
    if let Some(cold) = cold_weather {
        let ColdWeather {
            trial_step,
            no_joints_below,
        } = cold;
        to.present("cold-weather", ALONE, procedure.spec.span);
        stated("cold-trial-step", "cold-trial-step-source", trial_step, to);
        stated(
            "no-joints-below",
            "no-joints-below-source",
            no_joints_below,
            to,
        );
    }
}

fn joint(procedure: &Procedure<'_>, joint: &Joint, to: &mut Collector<'_>) {
    let walls = match (joint.walls, joint.between) {
        (Some(group), _) => Some(RowWalls::Group(group)),
        (None, Some(ratio)) => Some(RowWalls::Ratio(ratio)),
        (None, None) => None,
    };
    let of = of(joint.size, walls, procedure.practice());
    let row = joint.own_row(procedure.spec);
    let place = |own: Option<Span>| own.unwrap_or(joint.claimed_at);
    if let Some(heat) = &joint.heat {
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
        ("change-over", &joint.change_over, change_over.or(common)),
        ("hold", &joint.hold, hold),
        ("handling-wait", &joint.before_handling, handling.or(wait)),
    ] {
        if let Some(time) = time {
            let shown = time.value.show();
            to.add(variable, of.clone(), time.value.into(), shown, place(span));
        }
    }
}

/// What an author says of a row of the organization's own; its times are in the
/// joints.
fn row(row: &CycleRow, practice: &Practice, to: &mut Collector<'_>) {
    let CycleRow {
        size,
        walls,
        heat: _,
        change_over: _,
        hold: _,
        before_handling: _,
        source,
        record,
        span,
    } = row;
    let of = of(size.value, walls.as_ref().map(|of| of.value), practice);
    to.present("own-row", of.clone(), *span);
    to.text("own-row-source", of.clone(), [source]);
    to.text("own-row-record", of, record);
}

fn of(size: crate::core::size::Size, walls: Option<RowWalls>, practice: &Practice) -> Of {
    match walls {
        None => Of::from(size),
        Some(RowWalls::Group(group)) => Of::size_and(size, group_name(group)),
        Some(RowWalls::Ratio(ratio)) => {
            Of::size_and(size, &WallLabel::Ratio(ratio).name(practice.units))
        }
    }
}

/// The ratios that a group of walls stands for, which read alike in every
/// language.
fn group_name(group: WallGroup) -> &'static str {
    match group {
        WallGroup::Thick => "SDR ≤ 11",
        WallGroup::Thin => "SDR 17, 17.6",
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
