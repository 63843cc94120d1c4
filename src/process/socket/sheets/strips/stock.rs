//! Paper sizes, and the room that a printer leaves on them. Lengths are true
//! lengths on the printed paper.

use serde::Serialize;

use crate::core::units::Length;
use crate::papers::sheets::area::Area;
use crate::process::socket::sheets::strips::Choices;
use crate::spec::Paper;

/// Unprinted border. Office printers leave 4 to 6 mm blank.
pub(crate) const MARGIN: Length = Length::from_micrometers(10_000);
/// Room for scissors between pieces, and between pieces and everything else.
pub(crate) const GAP: Length = Length::from_micrometers(3_000);
/// Height of a pair of horizontal bars on the millimeter side, numerals included.
pub(crate) const BAR_ABOVE: Length = Length::from_micrometers(5_500);
/// Height of a pair of horizontal bars on the inch side, numerals included.
pub(crate) const BAR_BELOW: Length = Length::from_micrometers(6_500);
/// Top of the room for pieces, below the heading.
pub(crate) const TOP: Length = Length::from_micrometers(21_500);

/// A point on a page, from the top left of the paper.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(crate) struct Point {
    pub(crate) x_mm: f64,
    pub(crate) y_mm: f64,
}

/// A rectangle on a page that something stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Rect {
    pub(crate) left: Length,
    pub(crate) top: Length,
    pub(crate) right: Length,
    pub(crate) bottom: Length,
}

impl Rect {
    pub(crate) fn between(left: Length, top: Length, right: Length, bottom: Length) -> Self {
        Self {
            left,
            top,
            right,
            bottom,
        }
    }

    pub(crate) fn moved(self, x: Length, y: Length) -> Self {
        Self::between(self.left + x, self.top + y, self.right + x, self.bottom + y)
    }

    /// Whether scissors pass between the two.
    pub(crate) fn is_clear_of(self, other: Self) -> bool {
        self.right + GAP <= other.left
            || other.right + GAP <= self.left
            || self.bottom + GAP <= other.top
            || other.bottom + GAP <= self.top
    }

    pub(crate) fn is_within(self, other: Self) -> bool {
        self.left >= other.left
            && self.top >= other.top
            && self.right <= other.right
            && self.bottom <= other.bottom
    }

    pub(crate) fn area(self) -> Area {
        Area {
            x_mm: self.left.mm(),
            y_mm: self.top.mm(),
            width_mm: (self.right - self.left).mm(),
            height_mm: (self.bottom - self.top).mm(),
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

    /// Right end of the print.
    pub(crate) fn right(self) -> Length {
        self.width - MARGIN
    }

    /// Lower end of the print.
    pub(crate) fn bottom(self) -> Length {
        self.height - MARGIN
    }

    /// The room for pieces, and for what stands beside them.
    pub(crate) fn room(self) -> Rect {
        Rect::between(MARGIN, TOP, self.right(), self.bottom())
    }
}
