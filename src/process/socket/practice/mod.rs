//! The practices of socket fusion. A practice is everything that differs between
//! the ways in which crews join pipe: units, tools, cycle, tables, and the words
//! of findings. A stage asks the practice of its procedure what it needs to know
//! and never which practice it is. What the papers say under a practice stands in
//! `papers/sheets/practice`.

mod cycle;
mod metric;
mod us;

pub use cycle::{Event, Phase, PhaseName};
pub use metric::METRIC;
pub use us::US;

use crate::core::paper::Paper;
use crate::core::size::SizeSystem;
use crate::core::units::print::{DecimalMark, UnitsFirst};

/// The practice whose tables and windows rule.
#[derive(Debug)]
pub struct Practice {
    /// The word in the spec and at the head of the tables' names.
    pub key: &'static str,
    /// What the practice is called: `US practice`.
    pub name: &'static str,
    /// The same before a noun: `US socket fusion`.
    pub adjective: &'static str,
    /// The systems whose sizes are joined under it.
    pub systems: &'static [SizeSystem],
    /// What a dimension ratio is called.
    pub ratio: &'static str,
    /// The units its papers and findings give first.
    pub units: UnitsFirst,
    /// The paper, where nobody says which.
    pub paper: Paper,
    /// The mark in decimal numbers of Spanish papers.
    pub spanish_decimal_mark: DecimalMark,

    /// How the insertion depth is set and kept.
    pub depth_by: DepthBy,
    /// Whether the pipe end may have to be peeled.
    pub peels: bool,
    /// Whether the size is the outside diameter.
    pub size_is_diameter: bool,
    /// What pushes the larger sizes together.
    pub pusher: Pusher,
    /// What brings an end round again while it is joined, first named and again.
    pub rounded_by: [&'static str; 2],

    /// What happens after pipe and fitting are on the heater, in order.
    pub cycle: [Phase; 5],
    /// Whether change-over and wait are published for each size, not for all.
    pub times_by_size: bool,
    /// Whether a joint without a hold of its own is held until it is cool.
    pub holds_until_cool: bool,

    /// Whether the US federal gas rules bind work with gas.
    pub federal_gas_rules: bool,
    /// Whether one least wall holds for pipe of all sizes.
    pub has_least_wall: bool,
    /// The statement on the sizes it covers.
    pub range: &'static str,
    /// The out-of-roundness of coiled pipe, where it is the same for all sizes.
    pub coil_ovality: Option<&'static str>,
    /// The statement on trial joints in the cold.
    pub cold_trial: &'static str,
    /// What a cold-weather section states as it stands.
    pub cold_statements: [&'static str; 3],
    /// The statement on the lowest temperature to join PE at.
    pub lowest_ambient_pe: Option<&'static str>,

    /// How a depth is found; no published one could be read.
    pub how_to_measure_depth: &'static str,
    /// What a spigot's length is checked with.
    pub spigot_needs: &'static str,
    /// What a reducer's further size needs in the spec.
    pub size_needs: &'static str,
    /// A reducer as a spec writes it.
    pub reducer_example: &'static str,
    /// What a starter is filled with.
    pub starter: Starter,
}

/// What a starter of a practice is filled with.
#[derive(Debug, Clone, Copy)]
pub struct Starter {
    /// Where a size has to be written.
    pub places: &'static str,
    /// Quantities as they are written.
    pub quantities: &'static str,
    /// A range of sizes.
    pub range: &'static str,
    /// The commonest resin.
    pub resin: &'static str,
    /// The commonest set point.
    pub set_point: &'static str,
    /// Where cold work begins.
    pub cold: &'static str,
}

/// How the insertion depth is set and kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DepthBy {
    /// A depth gauge sets a cold ring, which stops the fitting.
    Ring,
    /// A mark on the pipe.
    Mark,
}

/// What pushes the larger sizes together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pusher {
    /// The outside diameter from which it is used.
    pub from: &'static str,
    /// The statement on it.
    pub statement: &'static str,
    /// Whether the pipe is clamped in it, as in a machine.
    pub is_machine: bool,
}

/// By its key: every practice is there once.
impl PartialEq for Practice {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
    }
}

impl Eq for Practice {}

impl Practice {
    /// Whether the sizes of a system are joined under the practice.
    pub(crate) fn has(&self, system: SizeSystem) -> bool {
        self.systems.contains(&system)
    }

    /// Whether a cold ring keeps the depth.
    pub(crate) fn has_ring(&self) -> bool {
        self.depth_by == DepthBy::Ring
    }

    /// When the time of a phase starts.
    pub(crate) fn counted_from(&self, name: PhaseName) -> Option<Event> {
        let phase = self.cycle.iter().find(|phase| phase.name == name);
        phase.map(|phase| phase.from)
    }
}

/// Every practice.
pub static PRACTICES: [&Practice; 2] = [&US, &METRIC];
