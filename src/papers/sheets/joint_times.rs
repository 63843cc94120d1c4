//! The times of the joints as printed. The first page, the strip over the steps and the
//! lid sheet all read them here, so that no two papers round, mark or leave out a number
//! differently.
//!
//! For who reads it: a row is a size (in metric practice a size and a group of walls).
//! `times` is `None` where the depth is not measured; print `no_joint` across the row and
//! none of its numbers. A limit that holds for every size stands in `limits` and its
//! column is absent from every row; one that differs by size is in the rows, and
//! `limits` has `None`. Each number has its own `verify`, which asks for the mark. A
//! [`Figure`] with `words` is not a number ("until cooled", "see Unlike pairs"): set it in
//! text type, not in the type of the digits.

use serde::Serialize;

/// The times of all joints.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct JointTimes {
    /// The column heads and units.
    pub(crate) heads: Heads,
    /// The system of every size (`IPS`, `mm`); `None` if the sizes have several.
    pub(crate) system: Option<String>,
    /// The walls of every row, if they are the same: `DR 9, DR 11`.
    pub(crate) walls: Option<String>,
    pub(crate) rows: Vec<Row>,
    pub(crate) limits: Limits,
}

/// The words over the columns, without their units.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Heads {
    pub(crate) size: String,
    pub(crate) heat: String,
    pub(crate) max: String,
    /// Over [`Times::off_heater`], the longest from heater off to joined.
    pub(crate) off_heater: String,
    pub(crate) hold: String,
    /// Over [`Times::cool`]: hands off in US practice, cooling in metric practice, where
    /// the hold is its first part.
    pub(crate) cool: String,
    pub(crate) depth: String,
    pub(crate) od: String,
    /// Over [`Times::sight`], the witness line of PP-R.
    pub(crate) sight: String,
    pub(crate) second: String,
    pub(crate) minute: String,
    /// The unit of length that is printed first, and the other one.
    pub(crate) length: String,
    pub(crate) other_length: Option<String>,
}

/// A size, or a size and a group of walls.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Row {
    /// As printed on pipe: `1-1/4`, `63`.
    pub(crate) size: String,
    pub(crate) system: String,
    /// Its walls, if not the same in every row.
    pub(crate) walls: Option<String>,
    /// Whether a tool or machine pushes the joint together.
    pub(crate) pushed: bool,
    /// The source of times that are the organization's own.
    pub(crate) own: Option<String>,
    /// What is printed in place of the numbers: `NO JOINT`, and until when.
    pub(crate) no_joint: Option<[String; 2]>,
    pub(crate) times: Option<Times>,
}

/// The numbers of a size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Times {
    /// Seconds on the heater, the number to aim for.
    pub(crate) heat: Figure,
    /// The longest, if it is another.
    pub(crate) max: Option<Figure>,
    /// Seconds from heater off to joined, at most.
    pub(crate) off_heater: Option<Figure>,
    /// Seconds held still, at least. `None` if all sizes are held until they are cool.
    pub(crate) hold: Option<Figure>,
    /// Minutes, at least.
    pub(crate) cool: Option<Figure>,
    pub(crate) depth: Measure,
    /// Outside diameter, where the size is not one.
    pub(crate) od: Option<Measure>,
    /// Distance of the witness line from the cut end.
    pub(crate) sight: Option<Measure>,
}

/// A number, or words in its place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Figure {
    pub(crate) text: String,
    pub(crate) verify: bool,
    pub(crate) words: bool,
}

/// A length in the unit that is printed first, and in the other.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Measure {
    pub(crate) text: String,
    pub(crate) other: Option<String>,
    pub(crate) verify: bool,
}

/// What holds for every size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Limits {
    /// Heater off to joined. `None` if it differs by size.
    pub(crate) off_heater: Option<Limit>,
    /// The wait with hands off. `None` if it differs by size.
    pub(crate) hands_off: Option<Limit>,
    /// The wait before the pressure test.
    pub(crate) pressure_test: Limit,
}

impl Limits {
    /// The cells of the black bar, in the order of the work.
    pub(crate) fn cells(&self) -> impl Iterator<Item = &Limit> {
        let waits = self.off_heater.iter().chain(&self.hands_off);
        waits.chain(std::iter::once(&self.pressure_test))
    }
}

/// A cell of the black bar.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Limit {
    /// `OFF HEATER TO JOINED`
    pub(crate) words: String,
    /// `3 s MAX`
    pub(crate) number: String,
    pub(crate) mark: bool,
}
