//! Pipe and fitting with different heating times. The part with the longer time goes on
//! the heater first, the other goes on after the difference, and both come off together.

use super::{Joint, Procedure};
use crate::core::size::Size;
use crate::core::units::{Duration, Range};
use crate::published::{Basis, Sourced};
use crate::spec::{FirstOn, UnlikePair};

/// The heating sequence of a pair, timed from when the first part is seated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sequence {
    /// The part that goes on first.
    pub first: FirstOn,
    /// When the other goes on.
    pub other_on: Duration,
    /// When both come off.
    pub both_off: Range<Duration>,
}

/// The part with the longer heating time; `None` if both times are equal.
pub(crate) fn longer_heating(pair: &UnlikePair) -> Option<FirstOn> {
    let (pipe, fitting) = (pair.pipe_heat.value.least, pair.fitting_heat.value.least);
    match pipe.cmp(&fitting) {
        std::cmp::Ordering::Greater => Some(FirstOn::Pipe),
        std::cmp::Ordering::Less => Some(FirstOn::Fitting),
        std::cmp::Ordering::Equal => None,
    }
}

/// Source of a pair's times.
pub fn unlike_source(pair: &UnlikePair) -> &str {
    let stated = pair.source.as_ref().or(pair.record.as_ref());
    stated.map_or("stated in the spec without a source", |s| s.value.as_str())
}

/// The heating sequence of a pair; `None` if the order in the spec is wrong, which a rule
/// reports.
pub fn sequence(pair: &UnlikePair) -> Option<Sourced<Sequence>> {
    let (pipe, fitting) = (pair.pipe_heat.value, pair.fitting_heat.value);
    let (first, other) = match pair.first.value {
        FirstOn::Pipe => (pipe, fitting),
        FirstOn::Fitting => (fitting, pipe),
    };
    if first.least < other.least {
        return None;
    }
    let other_on = first.least - other.least;
    let sequence = Sequence {
        first: pair.first.value,
        other_on,
        // Neither part stays on longer than its own longest time.
        both_off: Range::new(first.least, first.most.min(other_on + other.most)),
    };
    Some(Sourced::derived(
        sequence,
        "longer heating time less the shorter; neither part past its longest",
        &[Basis::Organization],
    ))
}

impl Procedure<'_> {
    /// The pair of different heating times for a size.
    pub(crate) fn unlike_pair(&self, size: Size) -> Option<&UnlikePair> {
        let pairs = &self.spec.fittings.unlike;
        pairs.iter().find(|pair| pair.size.value == size)
    }

    /// How long a joint occupies the heater, from the first part on until both are off.
    pub(crate) fn time_on_heater(&self, joint: &Joint) -> Option<Sourced<Range<Duration>>> {
        let Some(pair) = self.unlike_pair(joint.size) else {
            return joint.cycle.heat().cloned();
        };
        let sequence = sequence(pair)?;
        Some(Sourced {
            value: sequence.value.both_off,
            basis: sequence.basis,
            weakest_basis: sequence.weakest_basis,
            source: sequence.source,
            id: None,
            conflict: None,
            written: None,
        })
    }
}
