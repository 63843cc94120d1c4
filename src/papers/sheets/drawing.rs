//! Data of the chart: plain numbers (lengths in micrometers, times in
//! milliseconds) and labels.

use serde::Serialize;

use crate::core::units::Length;

/// Melt depth against time on the heater, one panel per size. All panels share
/// both scales, so sizes can be compared.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct HeatChart {
    pub(crate) caption: String,
    /// Alternative text.
    pub(crate) alt: String,
    pub(crate) time_label: String,
    pub(crate) depth_label: String,
    /// End of the time axis, ms.
    pub(crate) time_end: i64,
    /// End of the depth axis, µm.
    pub(crate) depth_end: i64,
    /// Marks on the time axis, ms, some with a label.
    pub(crate) time_ticks: Vec<(i64, Option<String>)>,
    /// Labeled depths on the axis: µm and label.
    pub(crate) depth_ticks: Vec<(i64, String)>,
    pub(crate) panels: Vec<Panel>,
    /// What stands on the dashed line.
    pub(crate) limit_label: String,
    pub(crate) key: ChartKey,
}

/// How to read the chart.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ChartKey {
    pub(crate) title: String,
    pub(crate) curve: String,
    pub(crate) window: String,
    pub(crate) bars: String,
    pub(crate) limit: String,
    /// The tags of a panel, with their meaning.
    pub(crate) flags: [(String, String); 2],
}

/// The chart of one size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Panel {
    pub(crate) title: String,
    /// The wall.
    pub(crate) subtitle: String,
    /// Melt depth of the pipe: ms and µm.
    pub(crate) curve: Vec<(i64, i64)>,
    /// Shortest and longest heating time, ms.
    pub(crate) window: (i64, i64),
    /// The same in words, under the axis.
    pub(crate) heating: String,
    /// Whether the heating time is not confirmed.
    pub(crate) verify: bool,
    /// The melt at both ends of it.
    pub(crate) melt: String,
    /// Uncertainty of the estimate at both ends of the window.
    pub(crate) bars: Vec<Bar>,
    /// A depth that must not be exceeded, µm, if it is on the axis.
    pub(crate) limit: Option<i64>,
    /// A tag: how much of the wall is molten.
    pub(crate) flag: Option<String>,
}

/// A depth and its uncertainty.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Bar {
    /// Time, ms.
    pub(crate) time: i64,
    /// Depth, µm.
    pub(crate) depth: i64,
    /// Lower end, µm.
    pub(crate) least: i64,
    /// Upper end, µm.
    pub(crate) most: i64,
}

/// A length in the unit of the drawings.
pub(crate) fn micrometers(length: Length) -> i64 {
    (length.mm() * 1e3).round() as i64
}
