//! Corrects depth marks for one printer. The user measures the two 100 mm bars
//! on a page (`--measured-x`, `--measured-y`). The page is then laid out on the
//! paper as that printer reaches it, every length stays true, and the template
//! scales the whole page, each direction separately. Only depth marks are
//! corrected.

use crate::core::units::{Length, Range};

/// The true length of the measured bars.
pub(crate) const BAR: Length = Length::from_micrometers(100_000);
/// A bar outside this range means that the print was fitted to the page, or that
/// it was misread; no printer at 100 % is that far off.
const MEASURABLE: Range<Length> = Range {
    least: Length::from_micrometers(95_000),
    most: Length::from_micrometers(105_000),
};

/// The measured lengths of the 100 mm bars on one printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Correction {
    /// The horizontal bar.
    pub x: Length,
    /// The vertical bar.
    pub y: Length,
}

impl Correction {
    /// Whether a bar can have measured this length.
    pub(crate) fn is_measurable(bar: Length) -> bool {
        MEASURABLE.contains(bar)
    }

    /// The room on a sheet of this size, in true lengths: a printer that prints
    /// short has less room on the same paper.
    pub(crate) fn room(self, width: Length, height: Length) -> (Length, Length) {
        (reached(width, self.x), reached(height, self.y))
    }

    /// Scale of the page, along x and along y.
    pub(crate) fn factors(self) -> (f64, f64) {
        (BAR.mm() / self.x.mm(), BAR.mm() / self.y.mm())
    }
}

/// The printed length of a length on the page.
fn reached(length: Length, bar: Length) -> Length {
    Length::from_mm(length.mm() * bar.mm() / BAR.mm())
}
