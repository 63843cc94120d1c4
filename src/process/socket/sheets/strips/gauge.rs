//! The stick gauge: a flat card held on edge along the pipe. Its foot butts
//! against the pipe end; one arm ends at the insertion depth and, turned over,
//! the other ends at the witness line. Its thickness does not matter.

use serde::Serialize;

use crate::core::units::Length;
use crate::process::socket::sheets::strips::line::Line;
use crate::process::socket::sheets::strips::stock::Point;
use crate::process::socket::sheets::strips::{MarkInput, WitnessText};

/// Width of the foot, which is also the handle: six lines of rotated print.
const FOOT: Length = Length::from_micrometers(20_000);
/// How far the foot extends past the arm's edge: over the chamfer and down the
/// wall's end face, but clear of the opposite wall of the smallest pipe.
const REACH: Length = Length::from_micrometers(8_000);
/// Height of each arm: two lines of print, and stiff enough.
const ARM: Length = Length::from_micrometers(13_000);

/// One gauge: its position on the page, and its dimensions.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Gauge {
    /// Left edge of the foot on the page.
    pub(crate) x_mm: f64,
    /// Top edge of the foot on the page.
    pub(crate) y_mm: f64,
    /// The size as printed.
    pub(crate) size: String,
    /// The depth gauge that the depth was measured with.
    #[serde(skip)]
    pub(crate) gauge: Option<String>,
    /// The depth as printed, in both units.
    #[serde(skip)]
    pub(crate) depth_text: [String; 2],
    /// Where the witness line is, as printed.
    #[serde(skip)]
    pub(crate) witness_text: WitnessText,
    /// From the butting edge to the end of the lower arm.
    pub(crate) depth_mm: f64,
    /// From the butting edge to the end of the upper arm.
    pub(crate) witness_mm: f64,
    /// Width of the foot.
    pub(crate) foot_mm: f64,
    /// How far the foot extends past each arm.
    pub(crate) reach_mm: f64,
    /// Height of each arm.
    pub(crate) arm_mm: f64,
    /// What is printed on it.
    pub(crate) lines: Vec<Line>,
}

fn width(mark: &MarkInput) -> Length {
    FOOT + mark.depth + mark.witness
}

fn height() -> Length {
    (REACH + ARM).scaled(2, 1)
}

/// Width and height of the outline.
pub(crate) fn size(mark: &MarkInput) -> (Length, Length) {
    (width(mark), height())
}

/// The gauge at a position on a page.
pub(crate) fn gauge(mark: &MarkInput, at: Point) -> Gauge {
    Gauge {
        x_mm: at.x_mm,
        y_mm: at.y_mm,
        size: mark.size.clone(),
        gauge: mark.gauge.clone(),
        depth_text: mark.depth_text.clone(),
        witness_text: mark.witness_text.clone(),
        depth_mm: mark.depth.mm(),
        witness_mm: (mark.depth + mark.witness).mm(),
        foot_mm: FOOT.mm(),
        reach_mm: REACH.mm(),
        arm_mm: ARM.mm(),
        lines: Vec::new(),
    }
}
