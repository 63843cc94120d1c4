//! Times: rows of one's own, waits and cold weather.

use super::source;
use crate::authoring::schema::field::{Value, either, group, list, may, must, stated};
use crate::authoring::schema::values::{
    dimension_ratio, duration, duration_range, size, text_like, weather, word,
};
use crate::spec::plausible;
use crate::spec::times::WALL_GROUPS;

pub(super) fn cycles() -> Value {
    group([
        may(
            "rows",
            "Your own qualified times, where they differ from the published ones or there are \
             none.",
            "the published times.",
            list(row()),
        ),
        may(
            "change_over",
            "The most from heater off to fully joined, for all sizes.",
            "the published limit.",
            stated(duration(&plausible::CHANGE_OVER), source()),
        ),
        may(
            "waits",
            "How long a joint rests after the hold.",
            "the published waits, where there are any.",
            waits(),
        ),
    ])
}

fn row() -> Value {
    let walls = either([word(WALL_GROUPS), dimension_ratio()])
        .told("One of the groups that times are published for, or a dimension ratio.");
    group([
        must("size", "The size.", size()),
        may(
            "walls",
            "The walls the row is for.",
            "all walls of the size.",
            walls,
        ),
        may(
            "heat",
            "Heating, from the moment both parts are fully on the adapters.",
            "the published time.",
            duration_range(&plausible::HEATING),
        ),
        may(
            "change_over",
            "The most from heater off to fully joined.",
            "that of all sizes, or the published limit.",
            duration(&plausible::CHANGE_OVER),
        ),
        may(
            "hold",
            "How long the joint is held still, from fully joined.",
            "the published time.",
            duration(&plausible::HOLD),
        ),
        may(
            "before_handling",
            "How long the joint rests before it is handled.",
            "the wait under waits, or the published one.",
            duration(&plausible::HANDLING),
        ),
        must("source", "Where the times come from.", source()),
        may(
            "record",
            "The number of the record that proves them.",
            "a finding may ask for it.",
            text_like("PQ-7"),
        ),
    ])
}

fn waits() -> Value {
    group([
        may(
            "before_handling",
            "After the hold, before the joint is pulled, bent or otherwise stressed.",
            "the published wait; a finding tells where there is none.",
            stated(duration(&plausible::HANDLING), source()),
        ),
        may(
            "before_pressure_test",
            "Before the pressure test. It has to come from you: no table gives it.",
            "unknown, and a finding tells so.",
            stated(duration(&plausible::PRESSURE_TEST), source()),
        ),
    ])
}

pub(super) fn cold_weather() -> Value {
    group([
        may(
            "trial_step",
            "The step in which the heating of trial joints is lengthened.",
            "the published step, where there is one.",
            stated(duration(&plausible::TRIAL_STEP), source()),
        ),
        may(
            "no_joints_below",
            "The pipe temperature below which no joint is made.",
            "the papers give no such limit.",
            stated(weather(), source()),
        ),
    ])
}
