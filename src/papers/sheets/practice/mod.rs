//! What the papers word differently under each practice: clauses and columns.
//! Sections take them from here and never ask which practice it is.

mod metric;
mod us;

use super::clause::Clause;
use super::figures::StepPicture;
use crate::process::socket::practice::{METRIC, Practice};
use crate::published::ResinGroup;

/// The clauses of a practice; functions build those with quantities.
pub(crate) struct PracticeWords {
    pub(crate) kit: Kit,
    /// What the print line must read for the size.
    pub(crate) print_size: Clause,
    pub(crate) rain: Clause,
    /// From when the wait before handling is counted.
    pub(crate) wait_from: Clause,
    pub(crate) dimensions: Dimensions,
    pub(crate) times: Times,
    pub(crate) spigot_intro: Clause,
    /// What the straight length must hold.
    pub(crate) spigot_holds: Clause,
    pub(crate) spigot_column: Clause,
    pub(crate) steps: Steps,
    pub(crate) pusher: Pusher,
    pub(crate) plate: Plate,
    pub(crate) joint_bead: Clause,
    pub(crate) depth_govern: Clause,
    pub(crate) card: Card,
    pub(crate) test_sheet: TestWords,
    /// What was looked for and not found.
    pub(crate) absent: &'static [Absent],
    /// Takes the sizes.
    pub(crate) absent_times: fn(String) -> Clause,
    /// How much hotter a heater was estimated.
    pub(crate) heat_step: &'static str,
}

/// Something that was looked for and not found.
pub(crate) struct Absent {
    /// The resins it concerns; empty for all.
    pub(crate) resins: &'static [ResinGroup],
    /// The entry that says so.
    pub(crate) entry: &'static str,
    pub(crate) what: Clause,
    /// What closes it.
    pub(crate) close: Clause,
}

/// What is on the truck, beside what the spec names.
pub(crate) struct Kit {
    /// What marks the depth.
    pub(crate) marker: Clause,
    /// What is checked of the tools of each size.
    pub(crate) sizes_check: Clause,
    /// The tool that pushes larger sizes together, with the largest size it takes.
    pub(crate) pusher: fn(String) -> Clause,
    /// The same of which no size is named that takes them all.
    pub(crate) pusher_any: Clause,
    /// What is checked of it; takes those sizes.
    pub(crate) pusher_check: fn(String) -> Clause,
    pub(crate) pusher_any_check: fn(String) -> Clause,
}

pub(crate) struct Dimensions {
    pub(crate) lead: Clause,
    /// What is published of pipe besides its outside diameter.
    pub(crate) columns: &'static [Dimension],
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Dimension {
    OdTolerance,
    OdPlus,
    OutOfRoundness,
    MinimumWall,
    WallTolerance,
}

pub(crate) struct Times {
    pub(crate) waits: Clause,
    pub(crate) depth: Clause,
    pub(crate) depth_unset: Clause,
    /// The wait, as named among the sources.
    pub(crate) wait_figure: Clause,
}

/// A step on every paper: what to do and how on the steps page, the line of the
/// card, and the line of the lid sheet.
#[derive(Debug, Clone)]
pub(crate) struct StepWords {
    pub(crate) step: Clause,
    pub(crate) detail: Clause,
    pub(crate) short: Clause,
    pub(crate) line: Clause,
}

pub(crate) struct Steps {
    pub(crate) chamfer_detail: Clause,
    /// Setting the depth.
    pub(crate) depth: StepWords,
    pub(crate) depth_picture: StepPicture,
    /// Takes what the parts are wiped with.
    pub(crate) clean_detail: fn(String) -> Clause,
    /// Takes the same in a word.
    pub(crate) clean_short: fn(String) -> Clause,
    pub(crate) heat: StepWords,
    /// Used if the sizes share no change-over time.
    pub(crate) off_by_size: Clause,
    pub(crate) join: StepWords,
    pub(crate) hold: StepWords,
    pub(crate) inspect: StepWords,
    pub(crate) join_alt: Clause,
    pub(crate) inspect_alt: Clause,
}

/// The tool that pushes larger sizes together; each clause takes those sizes.
pub(crate) struct Pusher {
    /// What it is called beside a size.
    pub(crate) word: Clause,
    pub(crate) step: fn(String) -> Clause,
    pub(crate) step_detail: Clause,
    pub(crate) short: fn(String) -> Clause,
    pub(crate) line: fn(String) -> Clause,
    pub(crate) picture: StepPicture,
    pub(crate) card: fn(String) -> Clause,
}

pub(crate) struct Plate {
    /// How to read the drawings.
    pub(crate) reading: Clause,
    /// Title, text, and the view into the mouth.
    pub(crate) good: [Clause; 3],
    /// Title and text.
    pub(crate) no_bead: [Clause; 2],
    pub(crate) short: Clause,
    pub(crate) past: Clause,
}

/// The destructive test of a fuser's joints, as its columns name it.
pub(crate) struct TestWords {
    pub(crate) pieces: Clause,
    pub(crate) broken: Clause,
}

pub(crate) struct Card {
    /// What the depth is measured from.
    pub(crate) depth_note: Clause,
    /// Reasons to reject a joint, beside those of every practice.
    pub(crate) reject: &'static [Clause],
}

pub(crate) fn words(practice: &Practice) -> &'static PracticeWords {
    if *practice == METRIC {
        &metric::WORDS
    } else {
        &us::WORDS
    }
}
