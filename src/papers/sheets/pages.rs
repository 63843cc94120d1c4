//! Data of the pages that are drawn as a whole: the steps of a joint, and the joints
//! to compare one with. Heights are micrometers, computed before layout.

use serde::Serialize;

use super::figures::{PlatePicture, StepPicture};
use super::joint_times::JointTimes;

/// The steps with their pictures, under a strip of the times.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct StepsPage {
    pub(crate) times: JointTimes,
    /// How many joints stand side by side in the strip; more start another line.
    pub(crate) in_strip: usize,
    /// Width of the words at its left, and of the black cell at its right.
    pub(crate) heads: i64,
    pub(crate) black: i64,
    /// Whether it says which walls a column is for.
    pub(crate) walls: bool,
    #[serde(rename = "type")]
    pub(crate) step_type: StepType,
    /// Whether any number on the page is not confirmed.
    pub(crate) verify: bool,
    /// What the pictures need.
    pub(crate) pictures: PictureWords,
    /// Top down.
    pub(crate) pieces: Vec<StepPiece>,
}

/// The type of the steps: sizes in tenths of a point, pitches in micrometers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct StepType {
    pub(crate) order: i64,
    pub(crate) order_pitch: i64,
    pub(crate) detail: i64,
    pub(crate) detail_pitch: i64,
}

/// Words and numbers in the pictures.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct PictureWords {
    /// Whether a cold ring, not a mark, sets the depth.
    pub(crate) ring: bool,
    /// The window of both faces.
    pub(crate) window: String,
    /// Letters that stand for the female and the male adapter.
    pub(crate) female: String,
    pub(crate) male: String,
    /// The print line of a pipe, in two lines, and of a fitting.
    pub(crate) resin: String,
    pub(crate) size: String,
    pub(crate) fitting: String,
    pub(crate) nominal: String,
    pub(crate) depth: String,
    /// Strength of what the parts are wiped with, if it is a liquid.
    pub(crate) agent: Option<String>,
}

/// What stands across the page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub(crate) enum StepPiece {
    /// Two cells side by side.
    Row {
        height: i64,
        /// Whether the clock runs from here on.
        clock: bool,
        cells: Vec<StepCell>,
    },
    /// What to do when a melt is bad or time has run out.
    Bar {
        height: i64,
        number: usize,
        order: String,
        detail: String,
    },
}

/// Half a row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub(crate) enum StepCell {
    Step {
        number: usize,
        order: String,
        cautions: Vec<String>,
        detail: String,
        /// Whether the number at the end of the detail is not confirmed.
        verify: bool,
        picture: StepPicture,
        /// Alternative text of the picture.
        alt: String,
    },
    /// Melts as they leave the heater, to compare with.
    Melts {
        melts: Vec<Melt>,
        look: Option<String>,
    },
    /// The waits after the hold.
    Waits(Waits),
}

/// A good or a bad melt.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Melt {
    pub(crate) good: bool,
    pub(crate) word: String,
    pub(crate) text: String,
    /// Alternative text of the picture.
    pub(crate) alt: String,
}

/// The waits before the joint may be handled and tested.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Waits {
    pub(crate) head: String,
    /// The word for the hold; `None` where no size has one.
    pub(crate) hold: Option<String>,
    /// Number and words of the wait with hands off. In metric practice it differs by
    /// size, and its number is the word over its column.
    pub(crate) hands_off: [String; 2],
    pub(crate) hands_off_verify: bool,
    pub(crate) test: [String; 2],
    pub(crate) test_verify: bool,
    /// Whether the hold is the first part of the wait with hands off, and the wait
    /// before the test starts at its end.
    pub(crate) hold_is_part: bool,
    pub(crate) meaning: String,
}

/// Joints to compare one with, good and bad.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct InspectionPage {
    /// How to read the drawings.
    pub(crate) reading: String,
    /// Whether a cold ring, not a mark, sets the depth.
    pub(crate) ring: bool,
    /// Height of a box.
    pub(crate) height: i64,
    pub(crate) boxes: Vec<InspectionBox>,
    /// What the drawings don't say.
    pub(crate) rules: Vec<String>,
}

/// A joint on the inspection page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct InspectionBox {
    pub(crate) picture: PlatePicture,
    pub(crate) good: bool,
    /// Accept, reject, or do not join, as printed.
    pub(crate) word: String,
    pub(crate) title: String,
    /// What to look for.
    pub(crate) text: String,
    /// What the view into the mouth shows.
    pub(crate) mouth: String,
    /// Alternative text.
    pub(crate) alt: String,
}
