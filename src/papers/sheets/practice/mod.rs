//! What the papers say under a practice: the clauses and columns that another
//! practice words otherwise. A section asks here and never which practice it is.

mod metric;
mod us;

use super::clause::Clause;
use super::figures::StepPicture;
use crate::process::socket::{METRIC, Practice};
use crate::published::ResinGroup;

/// Clauses of a practice. One with quantities is made from them.
pub(super) struct Words {
    /// Of resin, organization and service.
    pub(super) scope: fn(String, String, String) -> Clause,
    /// Of the kinds of fitting.
    pub(super) scope_fittings: fn(String) -> Clause,
    pub(super) scope_spigot: Clause,
    pub(super) materials_size: Clause,
    /// Of the gauges and of the sizes: what the depth is set with.
    pub(super) depth_tools: fn(String, String) -> Vec<Clause>,
    pub(super) weather: Clause,
    pub(super) dimensions: Dimensions,
    pub(super) times: Times,
    pub(super) spigot_intro: Clause,
    pub(super) spigot_column: Clause,
    pub(super) steps: Steps,
    pub(super) pusher: Pusher,
    pub(super) plate: Plate,
    pub(super) joint_bead: Clause,
    pub(super) depth_govern: Clause,
    pub(super) card: Card,
    /// What was looked for and not found: of which resins, unless of all, the figure
    /// and what it would say.
    pub(super) absent: &'static [(&'static [ResinGroup], &'static str, Clause)],
    /// Of the sizes.
    pub(super) absent_times: fn(String) -> Clause,
    /// By how much hotter a heater was estimated.
    pub(super) heat_step: &'static str,
}

/// The table of dimensions.
pub(super) struct Dimensions {
    pub(super) caption: Clause,
    pub(super) note: Clause,
    /// Between the outside and the inside diameter.
    pub(super) columns: &'static [Dimension],
}

/// A column of the table of dimensions.
#[derive(Clone, Copy)]
pub(super) enum Dimension {
    OdTolerance,
    OdPlus,
    OutOfRoundness,
    LeastWall,
    WallTolerance,
}

/// The table of times.
pub(super) struct Times {
    /// Of the unit of lengths.
    pub(super) size: fn(String) -> Clause,
    /// Until the joint may be handled.
    pub(super) wait: Clause,
    pub(super) heating: Clause,
    pub(super) heating_cold: Clause,
    pub(super) waits: Clause,
    pub(super) depth: Clause,
    pub(super) depth_unset: Clause,
    /// The wait on the sources sheet.
    pub(super) wait_figure: Clause,
}

/// A step, and what else to know while doing it.
pub(super) struct Told {
    pub(super) step: Clause,
    pub(super) detail: Clause,
}

/// The steps.
pub(super) struct Steps {
    pub(super) chamfer: Clause,
    /// The depth is set.
    pub(super) depth: Told,
    pub(super) depth_picture: StepPicture,
    pub(super) clean: Clause,
    pub(super) heat: Clause,
    pub(super) count: Clause,
    /// Where the sizes have no change-over in common.
    pub(super) off_by_size: Clause,
    pub(super) join: Told,
    pub(super) hold: Clause,
    /// Of the wait, where the sizes have one in common.
    pub(super) inspect: fn(Option<String>) -> Clause,
    pub(super) join_label: Clause,
    pub(super) join_alt: Clause,
    pub(super) inspect_label: Clause,
    pub(super) inspect_alt: Clause,
}

/// The tool that pushes the larger sizes together, each clause of these sizes.
pub(super) struct Pusher {
    pub(super) scope: fn(String) -> Clause,
    /// Of the largest size it takes, too.
    pub(super) equipment: fn(String, String) -> Clause,
    pub(super) equipment_any: fn(String) -> Clause,
    pub(super) step: fn(String) -> Clause,
    pub(super) step_detail: Clause,
    pub(super) picture: Option<StepPicture>,
    pub(super) card: fn(String) -> Clause,
}

/// The acceptance plate.
pub(super) struct Plate {
    pub(super) good: Clause,
    pub(super) good_text: Clause,
    pub(super) short: Clause,
    pub(super) past: Clause,
}

/// The card.
pub(super) struct Card {
    pub(super) depth: Clause,
    pub(super) heat: Clause,
    pub(super) count: Clause,
    pub(super) count_cold: Clause,
    pub(super) off: Clause,
    pub(super) hold: Clause,
    pub(super) reject: [Clause; 2],
}

/// The words of a practice.
pub(super) fn words(practice: &Practice) -> &'static Words {
    if *practice == METRIC {
        &metric::WORDS
    } else {
        &us::WORDS
    }
}
