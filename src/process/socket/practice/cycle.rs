//! The cycle of a joint as a list of phases, each with what its time is counted from.

/// A phase of the cycle, and what its time is counted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Phase {
    /// The phase.
    pub name: PhaseName,
    /// When its time starts.
    pub from: Event,
}

/// A phase of the cycle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhaseName {
    /// Both parts on the heater.
    Heating,
    /// Heater off to joined.
    ChangeOver,
    /// Held still.
    Hold,
    /// Until the joint may be handled.
    Handling,
    /// Until the joint may be tested.
    PressureTest,
}

/// What a time is counted from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// Both parts bottom out on the heater.
    OnHeater,
    /// The heater comes off.
    OffHeater,
    /// The pipe is fully in the socket.
    Joined,
    /// The hold ends.
    HoldEnd,
    /// The joint has cooled.
    Cooled,
}

impl Phase {
    /// A phase, and when its time starts.
    pub(super) const fn new(name: PhaseName, from: Event) -> Self {
        Self { name, from }
    }
}
