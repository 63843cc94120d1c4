//! Corrects depth marks for one printer. The user measures the two 100 mm bars
//! on a page (`--measured-x`, `--measured-y`). The page is then laid out on the
//! paper as that printer reaches it, every length stays true, and the template
//! scales the whole page, each direction separately. Only depth marks are
//! corrected.

use crate::core::units::{Length, Range};

/// The true length of the bars that are measured.
pub(crate) const BAR: Length = Length::from_micrometres(100_000);
/// A bar outside this range comes of a print that was fitted to the page, or of
/// a slip in reading; no printer at 100 % is that far off.
const MEASURABLE: Range<Length> = Range {
    least: Length::from_micrometres(95_000),
    most: Length::from_micrometres(105_000),
};

/// The 100 mm bars as one printer prints them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Correction {
    /// The bar that runs to the right.
    pub x: Length,
    /// The bar that runs down.
    pub y: Length,
}

impl Correction {
    /// Whether a bar can have been measured so long.
    pub(crate) fn is_measurable(bar: Length) -> bool {
        MEASURABLE.contains(bar)
    }

    /// What a sheet of this size takes of true lengths: a printer that prints
    /// short has less room on the same paper.
    pub(crate) fn room(self, width: Length, height: Length) -> (Length, Length) {
        (reached(width, self.x), reached(height, self.y))
    }

    /// How much larger the page is drawn: along x and along y.
    pub(crate) fn factors(self) -> (f64, f64) {
        (BAR.mm() / self.x.mm(), BAR.mm() / self.y.mm())
    }
}

/// How long a length of the page is once it is printed.
fn reached(length: Length, bar: Length) -> Length {
    Length::from_mm(length.mm() * bar.mm() / BAR.mm())
}
