//! The cycle of a joint: the phases of its practice, each with its time.

use crate::core::units::{Duration, Range};
use crate::process::socket::practice::{Phase, PhaseName};
use crate::published::Sourced;

/// A phase of a joint with its time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TimedPhase {
    /// The phase, and what its time is counted from.
    pub phase: Phase,
    /// Its time; `None` if neither the tables nor the spec give it.
    pub time: Option<PhaseTime>,
}

/// The time of a phase, with its basis and source.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PhaseTime {
    /// From the shortest to the longest.
    Range(Sourced<Range<Duration>>),
    /// One time: at most for the change-over, at least for the others.
    Limit(Sourced<Duration>),
}

/// The phases of a joint in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JointCycle(pub Vec<TimedPhase>);

impl JointCycle {
    fn time(&self, name: PhaseName) -> Option<&PhaseTime> {
        let mut phases = self.0.iter();
        phases.find(|timed| timed.phase.name == name)?.time.as_ref()
    }

    fn limit(&self, name: PhaseName) -> Option<&Sourced<Duration>> {
        match self.time(name)? {
            PhaseTime::Limit(time) => Some(time),
            PhaseTime::Range(_) => None,
        }
    }

    /// Heating time, shortest to longest: the organization's own, or else the
    /// published one.
    pub fn heat(&self) -> Option<&Sourced<Range<Duration>>> {
        match self.time(PhaseName::Heating)? {
            PhaseTime::Range(time) => Some(time),
            PhaseTime::Limit(_) => None,
        }
    }

    /// The same, to be marked.
    pub(super) fn heat_mut(&mut self) -> Option<&mut Sourced<Range<Duration>>> {
        let mut times = self.0.iter_mut().filter_map(|timed| timed.time.as_mut());
        times.find_map(|time| match time {
            PhaseTime::Range(time) => Some(time),
            PhaseTime::Limit(_) => None,
        })
    }

    /// Maximum time from heater off to fully joined.
    pub fn change_over(&self) -> Option<&Sourced<Duration>> {
        self.limit(PhaseName::ChangeOver)
    }

    /// Hold time, from fully joined.
    pub fn hold(&self) -> Option<&Sourced<Duration>> {
        self.limit(PhaseName::Hold)
    }

    /// Wait before handling: after the hold in US practice, from fully joined in metric
    /// practice.
    pub fn before_handling(&self) -> Option<&Sourced<Duration>> {
        self.limit(PhaseName::Handling)
    }
}
