//! A rectangle on a page or a card.

use serde::Serialize;

/// A rectangle, its corner measured from the top left.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(crate) struct Area {
    pub(crate) x_mm: f64,
    pub(crate) y_mm: f64,
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
}

impl Area {
    /// Where something this wide starts, so that it stands in the middle.
    pub(crate) fn center(&self, width: f64) -> f64 {
        self.x_mm + (self.width_mm - width) / 2.0
    }
}
