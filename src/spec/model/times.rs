//! Times: the organization's own rows, change-over, waits and cold weather. The walls of
//! a row are read by hand: a group of walls by its name, or a dimension ratio.

use crate::core::finding::Finding;
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::{DimensionRatio, Duration, Range, Temperature};
use crate::process::socket::practice::Practice;
use crate::published::WallGroup;
use crate::spec::declare::kinds::{
    dimension_ratio, duration, duration_range, single, size, source, text_like, weather_limit, word,
};
use crate::spec::declare::{
    Kind as _, group, list, nested, optional, optional_group, optional_list, place, required,
    stated,
};
use crate::spec::fact::{Collector, Of};
use crate::spec::node::{Node, NodeKind};
use crate::spec::plausible;
use crate::spec::schema::{self, either};
use crate::spec::values;
use crate::spec::words::{Word, name};
use crate::spec::written::{Scalar, Stated, Written};

impl Word for WallGroup {
    const WORDS: &'static [(&'static str, Self)] =
        &[("thick", WallGroup::Thick), ("thin", WallGroup::Thin)];
}

/// The walls that a row of own times is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RowWalls {
    /// A group that times are published for.
    Group(WallGroup),
    /// A dimension ratio between the groups.
    Ratio(DimensionRatio),
}

impl Scalar for Spanned<RowWalls> {
    fn scalar(&self) -> String {
        match self.value {
            RowWalls::Group(group) => name(&group).to_owned(),
            RowWalls::Ratio(ratio) => ratio.exact(),
        }
    }
}

/// A group of walls by its name, or a dimension ratio.
fn row_walls(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<RowWalls>> {
    let is_number = |text: &str| text.contains(|c: char| c.is_ascii_digit());
    match &node.kind {
        NodeKind::Scalar(text) if is_number(text) => {
            let ratio = values::dimension_ratio(node, findings)?;
            Some(Spanned::new(RowWalls::Ratio(ratio.value), ratio.span))
        }
        _ => {
            let group = values::word(node, findings)?;
            Some(Spanned::new(RowWalls::Group(group.value), group.span))
        }
    }
}

fn walls_schema() -> schema::Value {
    either([word::<WallGroup>().schema(), dimension_ratio().schema()])
        .told("One of the groups that times are published for, or a dimension ratio.")
}

/// What times are stated of: a size, and the walls they are for.
pub(crate) fn of_walls(size: Size, walls: Option<RowWalls>, practice: &Practice) -> Of {
    match walls {
        None => Of::from(size),
        // The ratios that a group stands for read alike in every language.
        Some(RowWalls::Group(WallGroup::Thick)) => Of::size_and(size, "SDR ≤ 11"),
        Some(RowWalls::Group(WallGroup::Thin)) => Of::size_and(size, "SDR 17, 17.6"),
        Some(RowWalls::Ratio(ratio)) => {
            Of::size_and(size, &format!("{} {}", practice.ratio, ratio.number()))
        }
    }
}

fn of_row(row: &CycleRow, to: &Collector<'_>) -> Of {
    let walls = row.walls.as_ref().map(|walls| walls.value);
    of_walls(row.size.value, walls, to.practice)
}

group! {
    /// Times.
    pub struct Cycles written {
        /// Your own qualified times, where they differ from the published ones or none are
        /// published.
        rows: Vec<CycleRow> = optional_list(list(nested()).of(of_row), "the published times."),
        /// Maximum time from heater off to fully joined, for all sizes.
        change_over: Option<Stated<Duration>> = optional(
            stated(duration(&plausible::CHANGE_OVER), "change-over-source"),
            "the published limit.",
        ).resolved("change-over"),
        /// How long a joint rests after the hold.
        waits: Waits = optional_group("the published waits, where there are any."),
    }
}

group! {
    /// The organization's own times for one size.
    pub struct CycleRow written {
        /// The size.
        size: Spanned<Size> = required(size()),
        /// The walls the row is for.
        walls: Option<Spanned<RowWalls>> =
            optional(single(row_walls, walls_schema), "all walls of the size."),
        /// Heating, from the moment both parts are fully on the adapters.
        heat: Option<Written<Range<Duration>>> =
            optional(duration_range(&plausible::HEATING), "the published time.").resolved("heating"),
        /// Maximum time from heater off to fully joined.
        change_over: Option<Written<Duration>> = optional(
            duration(&plausible::CHANGE_OVER),
            "that of all sizes, or the published limit.",
        ).resolved("change-over"),
        /// How long the joint is held still, from fully joined.
        hold: Option<Written<Duration>> =
            optional(duration(&plausible::HOLD), "the published time.").resolved("hold"),
        /// How long the joint rests before it is handled.
        before_handling: Option<Written<Duration>> = optional(
            duration(&plausible::HANDLING),
            "the wait under waits, or the published one.",
        ).resolved("handling-wait"),
        /// Where the times come from.
        source: Spanned<String> = required(source()).fact("own-row-source"),
        /// The number of the record that proves them.
        record: Option<Spanned<String>> =
            optional(text_like("PQ-7"), "check may ask for it.").fact("own-row-record"),
        /// The place of the row.
        span: Span = place().present("own-row"),
    }
}

group! {
    /// Waits after the hold.
    pub struct Waits written {
        /// After the hold, before the joint is pulled, bent or otherwise stressed.
        before_handling: Option<Stated<Duration>> = optional(
            stated(duration(&plausible::HANDLING), "handling-wait-source"),
            "the published wait; if there is none, check reports it.",
        ).resolved("handling-wait"),
        /// Before the pressure test. No table gives it: it must be your own.
        before_pressure_test: Option<Stated<Duration>> = optional(
            stated(duration(&plausible::PRESSURE_TEST), "pressure-test-wait-source"),
            "unknown; check reports it.",
        ).fact("pressure-test-wait"),
        /// The place of the group.
        span: Span = place(),
    }
}

group! {
    /// How heating is lengthened for cold pipe.
    pub struct ColdWeather written {
        /// The step in which the heating of trial joints is lengthened.
        trial_step: Option<Stated<Duration>> = optional(
            stated(duration(&plausible::TRIAL_STEP), "cold-trial-step-source"),
            "the published step, where there is one.",
        ).fact("cold-trial-step"),
        /// The pipe temperature below which no joint is made.
        no_joints_below: Option<Stated<Temperature>> = optional(
            stated(weather_limit(), "no-joints-below-source"),
            "the papers give no such limit.",
        ).fact("no-joints-below"),
    }
}
