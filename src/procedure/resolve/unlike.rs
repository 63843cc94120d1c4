//! Pipe and fitting that are heated for unlike times: one sequence on the
//! heater. The part with the longer time goes on first, the other after the
//! difference, and both come off together.

use super::{Joint, Procedure};
use crate::core::size::Size;
use crate::core::units::{Duration, Range};
use crate::published::{Basis, Sourced};
use crate::spec::{FirstOn, UnlikePair};

/// The sequence of a pair, counted from the moment the first part is seated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sequence {
    /// The part that goes on first.
    pub first: FirstOn,
    /// When the other goes on.
    pub other_on: Duration,
    /// When both come off.
    pub both_off: Range<Duration>,
}

/// The part that needs the longer heating; none where both need the same.
pub(crate) fn longer(pair: &UnlikePair) -> Option<FirstOn> {
    let (pipe, fitting) = (pair.pipe_heat.value.least, pair.fitting_heat.value.least);
    match pipe.cmp(&fitting) {
        std::cmp::Ordering::Greater => Some(FirstOn::Pipe),
        std::cmp::Ordering::Less => Some(FirstOn::Fitting),
        std::cmp::Ordering::Equal => None,
    }
}

/// Where the times of a pair come from.
pub fn source(pair: &UnlikePair) -> &str {
    let stated = pair.source.as_ref().or(pair.record.as_ref());
    stated.map_or("stated in the spec without a source", |s| s.value.as_str())
}

/// The sequence of a pair; a pair whose order is wrong is an error, said by a
/// rule, and has none.
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
    /// The pair of a size whose pipe and fitting are heated for unlike times.
    pub(crate) fn unlike(&self, size: Size) -> Option<&UnlikePair> {
        let pairs = &self.spec.fittings.unlike;
        pairs.iter().find(|pair| pair.size.value == size)
    }

    /// How long the heater is taken by a joint, from the first part on to both off.
    pub(crate) fn on_heater(&self, joint: &Joint) -> Option<Sourced<Range<Duration>>> {
        let Some(pair) = self.unlike(joint.size) else {
            return joint.heat.clone();
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
