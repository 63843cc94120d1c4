//! A line of print on a strip or a gauge.

use serde::Serialize;

/// Which point of a line its position is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Anchor {
    Left,
    Center,
    Right,
}

/// A line of print, in millimeters from the corner of its piece.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Line {
    pub(crate) x_mm: f64,
    /// Its baseline; of a turned line and of a tag, the middle.
    pub(crate) y_mm: f64,
    pub(crate) size_pt: f64,
    pub(crate) bold: bool,
    pub(crate) anchor: Anchor,
    /// Whether it runs upward, with its middle at the position.
    pub(crate) turned: bool,
    /// White on black, this wide.
    pub(crate) tag_mm: Option<f64>,
    /// Whether its number is not confirmed.
    pub(crate) verify: bool,
    pub(crate) text: String,
}

impl Line {
    pub(super) fn new(
        x_mm: f64,
        y_mm: f64,
        size_pt: f64,
        anchor: Anchor,
        text: impl Into<String>,
    ) -> Self {
        Self {
            x_mm,
            y_mm,
            size_pt,
            bold: false,
            anchor,
            turned: false,
            tag_mm: None,
            verify: false,
            text: text.into(),
        }
    }

    pub(super) fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    pub(super) fn turned(self) -> Self {
        Self {
            turned: true,
            ..self
        }
    }

    pub(super) fn verify(self, verify: bool) -> Self {
        Self { verify, ..self }
    }
}
