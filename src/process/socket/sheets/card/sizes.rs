//! Type sizes of a card, in points: those that reach the heights of the print
//! table, drawn larger on a larger card.

use serde::Serialize;

use super::print_length;
use super::setting::MM_PER_POINT;
use crate::published::Library;

/// Lower-case height as a fraction of the type size, in Noto Sans: 1098 of 2048
/// units. The bold is no lower.
const X_HEIGHT: f64 = 1098.0 / 2048.0;

/// The least sizes, from the heights in the print table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LeastSizes {
    /// Heating times.
    pub heat_pt: f64,
    /// Anything that has a number.
    pub body_pt: f64,
    /// Words without numbers, and the digest.
    pub fine_pt: f64,
}

impl LeastSizes {
    pub(crate) fn new(limits: &Library) -> Self {
        let points = |key: &str| {
            let height = print_length(limits, key).mm();
            // Rounded up to a hundredth, so that no height falls short.
            (height / MM_PER_POINT / X_HEIGHT * 100.0).ceil() / 100.0
        };
        Self {
            heat_pt: points("x-height-critical"),
            body_pt: points("x-height-steps"),
            fine_pt: points("x-height-fine-print"),
        }
    }
}

/// The sizes of a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Sizes {
    /// The number of the procedure.
    pub(crate) number: f64,
    /// Whatever has a number and no size of its own.
    pub(crate) small: f64,
    /// The bar.
    pub(crate) bar: f64,
    /// Heads of columns, without numbers.
    pub(crate) head: f64,
    /// Heating times.
    pub(crate) heat: f64,
    /// Pipe sizes.
    pub(crate) size: f64,
    /// Times after heating.
    pub(crate) strong: f64,
    /// Longest times, and lengths.
    pub(crate) plain: f64,
    /// The mark of an unconfirmed number.
    pub(crate) mark: f64,
    /// Fine print.
    pub(crate) fine: f64,
    /// From line to line of small type, in millimeters.
    pub(crate) pitch: f64,
    pub(crate) fine_pitch: f64,
    /// The scale of everything but the table.
    pub(crate) scale: f64,
    /// Whether the numbers of the table are drawn larger still.
    pub(crate) is_grown: bool,
}

impl Sizes {
    /// The sizes at a scale; the numbers of the table may be drawn larger still.
    pub(crate) fn new(least: LeastSizes, scale: f64, table: f64) -> Self {
        let heat = least.heat_pt * scale * table;
        let small = least.body_pt * scale;
        Self {
            number: small * 1.26,
            small,
            bar: small * 1.06,
            head: (least.fine_pt * 1.02) * scale,
            heat,
            size: (heat * 0.82).max(small),
            strong: (heat * 0.82).max(small),
            plain: (heat * 0.68).max(small),
            mark: small,
            fine: least.fine_pt * scale,
            pitch: small * 0.375,
            fine_pitch: least.fine_pt * scale * 0.375,
            scale,
            is_grown: table > 1.0,
        }
    }
}

impl Sizes {
    /// The sizes of an upright face, which has less width: only the heating times
    /// keep theirs.
    pub(crate) fn upright(self) -> Self {
        Self {
            size: (self.heat * 0.66).max(self.small),
            strong: (self.heat * 0.72).max(self.small),
            plain: self.small,
            ..self
        }
    }
}

/// The lower-case height of type in millimeters.
pub(crate) fn x_height(pt: f64) -> f64 {
    pt * X_HEIGHT * MM_PER_POINT
}
