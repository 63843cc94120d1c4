//! What the drawn figures are made of: plain numbers, lengths in micrometers
//! and times in milliseconds, and the words beside them.

use serde::Serialize;

use crate::core::units::Length;

/// Melt depth against time on the heater, a panel for each size. All panels
/// share both scales, so that sizes compare.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct HeatChart {
    /// What it shows.
    pub(crate) caption: String,
    /// The same in words, for those who cannot see it.
    pub(crate) alt: String,
    /// What the axis of times is called.
    pub(crate) time_label: String,
    /// What the axis of depths is called.
    pub(crate) depth_label: String,
    /// End of the axis of times, ms.
    pub(crate) time_end: i64,
    /// End of the axis of depths, µm.
    pub(crate) depth_end: i64,
    /// Depths named at the axis: µm and label.
    pub(crate) depth_ticks: Vec<(i64, String)>,
    pub(crate) panels: Vec<Panel>,
}

/// The chart of one size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Panel {
    /// The size.
    pub(crate) title: String,
    /// Its wall.
    pub(crate) subtitle: String,
    /// Melt of the pipe: ms and µm.
    pub(crate) curve: Vec<(i64, i64)>,
    /// Heating, shortest to longest, ms.
    pub(crate) window: (i64, i64),
    /// The same in words.
    pub(crate) window_label: String,
    /// How far the estimate may be off at both ends of the window.
    pub(crate) bars: Vec<Bar>,
    /// A depth not to be passed, µm, where it lies within the axis.
    pub(crate) limit: Option<i64>,
}

/// A depth and how far it may be off.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Bar {
    /// Where it stands, ms.
    pub(crate) time: i64,
    /// The depth, µm.
    pub(crate) depth: i64,
    /// At least, µm.
    pub(crate) least: i64,
    /// At most, µm.
    pub(crate) most: i64,
    /// The depth in words.
    pub(crate) label: String,
}

/// Half of a joint cut across, to scale.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct CrossSection {
    /// What it shows.
    pub(crate) caption: String,
    /// The same in words, for those who cannot see it.
    pub(crate) alt: String,
    /// Length drawn and length meant: 2 to 1 is twice full size.
    pub(crate) scale: (i64, i64),
    /// Its rings from outside in.
    pub(crate) rings: Vec<Ring>,
    /// What the bore is called.
    pub(crate) bore_label: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Ring {
    /// What it is made of.
    pub(crate) kind: RingKind,
    /// Outer radius, µm.
    pub(crate) outside: i64,
    /// Inner radius, µm.
    pub(crate) inside: i64,
    /// What it is called.
    pub(crate) label: String,
}

/// What a ring is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum RingKind {
    /// The fitting.
    Socket,
    Melt,
    Pipe,
}

/// A length as a drawing takes it.
pub(crate) fn micrometers(length: Length) -> i64 {
    (length.mm() * 1e3).round() as i64
}
