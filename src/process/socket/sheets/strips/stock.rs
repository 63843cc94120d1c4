//! Paper sizes, and the room that a printer leaves on them. Lengths are true
//! lengths on the printed paper.

use serde::Serialize;

use crate::core::units::Length;
use crate::process::socket::sheets::strips::Choices;
use crate::spec::Paper;

/// Unprinted border. Office printers leave 4 to 6 mm blank.
pub(crate) const MARGIN: Length = Length::from_micrometers(10_000);
/// Height of the foot: size check, printing note, horizontal bars, and the notes
/// beside them.
pub(crate) const FOOT: Length = Length::from_micrometers(48_000);
/// Room for scissors between strips, and between strips and everything else.
pub(crate) const GAP: Length = Length::from_micrometers(5_000);
/// Height of a pair of horizontal bars on the millimeter side, numerals included.
pub(crate) const BAR_ABOVE: Length = Length::from_micrometers(6_000);
/// Height of a pair of horizontal bars on the inch side, numerals included.
pub(crate) const BAR_BELOW: Length = Length::from_micrometers(8_000);
/// Top of the room for strips, below the heading and the correction note.
pub(crate) const TOP: Length = Length::from_micrometers(28_000);

/// A point on a page, from the top left of the paper.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(crate) struct Point {
    pub(crate) x_mm: f64,
    pub(crate) y_mm: f64,
}

/// A rectangle on a page; its corner is measured from the top left of the paper.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(crate) struct Area {
    pub(crate) x_mm: f64,
    pub(crate) y_mm: f64,
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
}

impl Area {
    pub(crate) fn between(left: Length, top: Length, right: Length, bottom: Length) -> Self {
        Self {
            x_mm: left.mm(),
            y_mm: top.mm(),
            width_mm: (right - left).mm(),
            height_mm: (bottom - top).mm().max(0.0),
        }
    }
}

/// A paper size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sheet {
    /// 11 × 8.5 in.
    Letter,
    /// 17 × 11 in.
    Tabloid,
    /// 297 × 210 mm.
    A4,
    /// 420 × 297 mm.
    A3,
}

impl Sheet {
    /// Width and height in landscape: strips are long and low.
    pub(crate) fn size(self) -> (Length, Length) {
        let (width, height) = match self {
            Sheet::Letter => (279_400, 215_900),
            Sheet::Tabloid => (431_800, 279_400),
            Sheet::A4 => (297_000, 210_000),
            Sheet::A3 => (420_000, 297_000),
        };
        (
            Length::from_micrometers(width),
            Length::from_micrometers(height),
        )
    }
}

/// Paper, and one printer's scale error.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stock {
    pub(crate) sheet: Sheet,
    pub(crate) width: Length,
    pub(crate) height: Length,
    pub(crate) factors: (f64, f64),
}

impl Stock {
    /// The ordinary paper, and the larger one for long strips.
    pub(crate) fn new(choices: &Choices) -> [Self; 2] {
        let sheets = match choices.paper {
            Paper::Letter => [Sheet::Letter, Sheet::Tabloid],
            Paper::A4 => [Sheet::A4, Sheet::A3],
        };
        sheets.map(|sheet| {
            let (width, height) = sheet.size();
            let corrected = choices.correction;
            let (width, height) = corrected.map_or((width, height), |c| c.room(width, height));
            Self {
                sheet,
                width,
                height,
                factors: corrected.map_or((1.0, 1.0), |c| c.factors()),
            }
        })
    }

    /// Width and height of the room for strips.
    pub(crate) fn room(self) -> (Length, Length) {
        (self.right() - MARGIN, self.bottom() - TOP)
    }

    /// Right end of the room for strips; the vertical bars are beyond it.
    pub(crate) fn right(self) -> Length {
        self.width - MARGIN - BAR_ABOVE - BAR_BELOW - GAP
    }

    /// Bottom of the room for strips; the foot is below it.
    pub(crate) fn bottom(self) -> Length {
        self.foot() - GAP
    }

    pub(crate) fn foot(self) -> Length {
        self.height - MARGIN - FOOT
    }
}
