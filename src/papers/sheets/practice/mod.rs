//! What the papers say under a practice: the clauses and columns that another
//! practice words otherwise. A section asks here and never which practice it is.

mod metric;
mod us;

use super::clause::Clause;
use super::figures::StepPicture;
use crate::process::socket::practice::{METRIC, Practice};
use crate::published::ResinGroup;

/// Clauses of a practice. One with quantities is made from them.
pub(crate) struct Words {
    /// Of resin, organization and service.
    pub(crate) scope: fn(String, String, String) -> Clause,
    /// Of the kinds of fitting.
    pub(crate) scope_fittings: fn(String) -> Clause,
    pub(crate) scope_spigot: Clause,
    pub(crate) materials_size: Clause,
    /// Of the gauges and of the sizes: what the depth is set with.
    pub(crate) depth_tools: fn(String, String) -> Vec<Clause>,
    pub(crate) weather: Clause,
    pub(crate) dimensions: Dimensions,
    pub(crate) times: Times,
    pub(crate) spigot_intro: Clause,
    pub(crate) spigot_column: Clause,
    pub(crate) steps: Steps,
    pub(crate) pusher: Pusher,
    pub(crate) plate: Plate,
    pub(crate) joint_bead: Clause,
    pub(crate) depth_govern: Clause,
    pub(crate) card: Card,
    /// What was looked for and not found: of which resins, unless of all, the figure
    /// and what it would say.
    pub(crate) absent: &'static [(&'static [ResinGroup], &'static str, Clause)],
    /// Of the sizes.
    pub(crate) absent_times: fn(String) -> Clause,
    /// By how much hotter a heater was estimated.
    pub(crate) heat_step: &'static str,
}

/// The table of dimensions.
pub(crate) struct Dimensions {
    pub(crate) caption: Clause,
    pub(crate) note: Clause,
    /// Between the outside and the inside diameter.
    pub(crate) columns: &'static [Dimension],
}

/// A column of the table of dimensions.
#[derive(Clone, Copy)]
pub(crate) enum Dimension {
    OdTolerance,
    OdPlus,
    OutOfRoundness,
    LeastWall,
    WallTolerance,
}

/// The table of times.
pub(crate) struct Times {
    /// Of the unit of lengths.
    pub(crate) size: fn(String) -> Clause,
    /// Until the joint may be handled.
    pub(crate) wait: Clause,
    pub(crate) heating: Clause,
    pub(crate) heating_cold: Clause,
    pub(crate) waits: Clause,
    pub(crate) depth: Clause,
    pub(crate) depth_unset: Clause,
    /// The wait on the sources sheet.
    pub(crate) wait_figure: Clause,
}

/// A step, and what else to know while doing it.
pub(crate) struct Told {
    pub(crate) step: Clause,
    pub(crate) detail: Clause,
}

pub(crate) struct Steps {
    pub(crate) chamfer: Clause,
    /// The depth is set.
    pub(crate) depth: Told,
    pub(crate) depth_picture: StepPicture,
    pub(crate) clean: Clause,
    pub(crate) heat: Clause,
    pub(crate) count: Clause,
    /// Where the sizes have no change-over in common.
    pub(crate) off_by_size: Clause,
    pub(crate) join: Told,
    pub(crate) hold: Clause,
    /// Of the wait, where the sizes have one in common.
    pub(crate) inspect: fn(Option<String>) -> Clause,
    pub(crate) join_label: Clause,
    pub(crate) join_alt: Clause,
    pub(crate) inspect_label: Clause,
    pub(crate) inspect_alt: Clause,
}

/// The tool that pushes the larger sizes together, each clause of these sizes.
pub(crate) struct Pusher {
    pub(crate) scope: fn(String) -> Clause,
    /// Of the largest size it takes, too.
    pub(crate) equipment: fn(String, String) -> Clause,
    pub(crate) equipment_any: fn(String) -> Clause,
    pub(crate) step: fn(String) -> Clause,
    pub(crate) step_detail: Clause,
    pub(crate) picture: Option<StepPicture>,
    pub(crate) card: fn(String) -> Clause,
}

/// The acceptance plate.
pub(crate) struct Plate {
    pub(crate) good: Clause,
    pub(crate) good_text: Clause,
    pub(crate) short: Clause,
    pub(crate) past: Clause,
}

pub(crate) struct Card {
    pub(crate) depth: Clause,
    pub(crate) heat: Clause,
    pub(crate) count: Clause,
    pub(crate) count_cold: Clause,
    pub(crate) off: Clause,
    pub(crate) hold: Clause,
    pub(crate) reject: [Clause; 2],
}

/// The words of a practice.
pub(crate) fn words(practice: &Practice) -> &'static Words {
    if *practice == METRIC {
        &metric::WORDS
    } else {
        &us::WORDS
    }
}
