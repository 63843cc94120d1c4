//! The published times of a joint.

use super::{Entry, Library, ResinGroup, Sourced, Value, size_key};
use crate::core::size::Size;
use crate::core::units::{DimensionRatio, Duration, Range};

/// Walls that take the same heating time in metric practice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WallGroup {
    /// SDR 11 and thicker.
    Thick,
    /// SDR 17 and 17.6.
    Thin,
}

impl WallGroup {
    /// The group of a dimension ratio; `None` if it lies between the groups or beyond
    /// both.
    pub(crate) fn from_ratio(ratio: DimensionRatio) -> Option<Self> {
        let tenths = DimensionRatio::from_tenths;
        if ratio <= tenths(110) {
            return Some(WallGroup::Thick);
        }
        [tenths(170), tenths(176)]
            .contains(&ratio)
            .then_some(WallGroup::Thin)
    }

    /// The dimension ratio the group's times were published for.
    pub(crate) const fn published_ratio(self) -> DimensionRatio {
        match self {
            WallGroup::Thick => DimensionRatio::from_tenths(110),
            WallGroup::Thin => DimensionRatio::from_tenths(176),
        }
    }

    /// The word used in the tables and in a spec.
    pub(crate) fn key(self) -> &'static str {
        match self {
            WallGroup::Thick => "thick",
            WallGroup::Thin => "thin",
        }
    }
}

/// The published times of a size.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Cycle {
    /// Heating, shortest to longest.
    pub heat: Option<Sourced<Range<Duration>>>,
    /// Maximum time from heater off to fully joined.
    pub change_over: Option<Sourced<Duration>>,
    /// Hold time, from fully joined.
    pub hold: Option<Sourced<Duration>>,
    /// Wait before handling: after the hold in US practice, from fully joined in metric
    /// practice.
    pub before_handling: Option<Sourced<Duration>>,
    /// The entry that advises against this wall, if any.
    pub not_advisable: Option<Entry>,
}

impl Library {
    /// The published times of a size. `walls` matters for metric PE only.
    pub(crate) fn cycle(&self, group: ResinGroup, size: Size, walls: Option<WallGroup>) -> Cycle {
        let size = size_key(size);
        let time = |id: String| self.entry(&id).and_then(Entry::duration);
        let of_table = |id: String| Cycle {
            heat: time(format!("{id}:heat")).map(single_time_range),
            change_over: time(format!("{id}:change_over")),
            hold: time(format!("{id}:hold")),
            before_handling: time(format!("{id}:cooling")),
            not_advisable: None,
        };
        match group {
            ResinGroup::MediumDensity | ResinGroup::HighDensity => {
                let row = format!("us-cycles:{}:{size}", group.key());
                Cycle {
                    heat: self
                        .entry(&format!("{row}:heat"))
                        .and_then(Entry::duration_range),
                    hold: time(format!("{row}:hold")),
                    change_over: time("us-times:change-over:time".to_owned()),
                    before_handling: time("us-times:wait-before-handling:time".to_owned()),
                    not_advisable: None,
                }
            }
            ResinGroup::MetricPe => {
                let heat = walls.and_then(|walls| {
                    self.entry(&format!("metric-pe-cycles:{}:{size}:heat", walls.key()))
                });
                Cycle {
                    heat: heat.and_then(Entry::duration).map(single_time_range),
                    not_advisable: heat
                        .filter(|entry| entry.value == Value::NotAdvisable)
                        .cloned(),
                    ..of_table(format!("metric-pe-cycles:all:{size}"))
                }
            }
            ResinGroup::PpR => {
                let cycle = of_table(format!("metric-ppr-cycles:{size}"));
                Cycle {
                    // None was found, but a confirmation may give one for all sizes.
                    hold: cycle
                        .hold
                        .or_else(|| time("metric-ppr-cycles:hold:hold".to_owned()))
                        .filter(|_| cycle.heat.is_some()),
                    ..cycle
                }
            }
            ResinGroup::PpH => Cycle::default(),
        }
    }
}

/// A published time as a range.
fn single_time_range(time: Sourced<Duration>) -> Sourced<Range<Duration>> {
    let range = Range::new(time.value, time.value);
    Sourced {
        value: range,
        basis: time.basis,
        weakest_basis: time.weakest_basis,
        source: time.source,
        id: time.id,
        conflict: time.conflict,
        written: time.written,
    }
}
