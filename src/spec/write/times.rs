//! Times: own rows, change-over, waits and cold weather.

use super::{Group, value, word};
use crate::spec::model::*;
use crate::spec::times::WALL_GROUPS;
use crate::spec::write::tree::Tree;

/// The `cycles` group.
pub fn cycles(cycles: &Cycles) -> Group {
    let Cycles {
        rows,
        change_over,
        waits,
    } = cycles;
    let Waits {
        before_handling,
        before_pressure_test,
        span: _,
    } = waits;
    let waits = Group::new()
        .stated("before_handling", before_handling)
        .stated("before_pressure_test", before_pressure_test);
    Group::new()
        .list("rows", rows, row)
        .stated("change_over", change_over)
        .some("waits", waits)
}

fn row(row: &CycleRow) -> Tree {
    let CycleRow {
        size,
        walls,
        heat,
        change_over,
        hold,
        before_handling,
        source,
        record,
        span: _,
    } = row;
    let walls = walls.iter().map(|walls| match &walls.value {
        RowWalls::Group(group) => word(group, WALL_GROUPS),
        RowWalls::Ratio(ratio) => value(ratio.exact()),
    });
    Group::new()
        .shown("size", [size])
        .add("walls", walls)
        .quantity("heat", heat)
        .quantity("change_over", change_over)
        .quantity("hold", hold)
        .quantity("before_handling", before_handling)
        .shown("source", [source])
        .shown("record", record)
        .tree()
}

/// The `cold_weather` group.
pub fn cold_weather(cold: &ColdWeather) -> Tree {
    let ColdWeather {
        trial_step,
        no_joints_below,
    } = cold;
    Group::new()
        .stated("trial_step", trial_step)
        .stated("no_joints_below", no_joints_below)
        .tree()
}
