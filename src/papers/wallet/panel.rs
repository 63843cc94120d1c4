//! The person's panel: the positions of name, badge, dates, and code, and the
//! largest type in which a name fits. It is designed for the smallest card and
//! scales with the width of a larger one.

use serde::Serialize;

use crate::core::units::Length;
use crate::process::socket::sheets::card::Trim;

/// Width and height of the card that the dimensions below are for, ISO/IEC 7810
/// ID-1.
const WIDTH_MM: f64 = 85.6;
/// Margin from the trim to any text.
const SAFE_MM: f64 = 3.0;
/// Side of the code.
const CODE_MM: f64 = 21.0;
/// Between the code and the text beside it; with the safe margin it forms the
/// code's quiet zone of four modules.
const CODE_GAP_MM: f64 = 2.4;
/// The longest text of a code: the capacity of 69 modules a side at level M
/// (ISO/IEC 18004, version 13). Each module is then 0.3 mm, as fine as a phone
/// reads from print in common practice.
pub(crate) const MAX_CODE_LETTERS: usize = 483;
/// Baseline of a name, or of its second line.
const NAME_BASE_MM: f64 = 13.0;
const BADGE_TOP_MM: f64 = 14.9;
const ROWS_TOP_MM: f64 = 20.1;
/// Up to this many procedures are set in larger type.
const MAX_LARGE_ROWS: usize = 2;
const LARGE_ROWS: Rows = Rows {
    height_mm: 9.7,
    until_pt: 14.0,
    until_drop_mm: 3.7,
};
const SMALL_ROWS: Rows = Rows {
    height_mm: 7.2,
    until_pt: 11.0,
    until_drop_mm: 3.0,
};
/// Minimum height of the fine print below the dates.
const MIN_FIXED_MM: f64 = 9.0;

/// Type sizes of a name in one line, in points.
const ONE_LINE: [f64; 11] = [
    15.0, 14.5, 14.0, 13.5, 13.0, 12.5, 12.0, 11.5, 11.0, 10.5, 10.0,
];
/// Type sizes in two lines; the smallest is that of the steps on a pocket card.
const TWO_LINES: [f64; 5] = [10.0, 9.5, 9.0, 8.5, 8.0];
/// Type sizes of a badge.
const BADGE: [f64; 3] = [9.0, 8.5, 8.0];
/// Type sizes of a procedure's number and revision; the smallest is that of fine
/// print.
const NUMBER: [f64; 5] = [8.0, 7.6, 7.2, 6.8, FINE_PT];
const FINE_PT: f64 = 6.4;
/// Type size at which lines are measured.
const MEASURED_PT: f64 = 100.0;

/// Height of capitals, and line spacing, as fractions of the type size.
const CAPITALS: f64 = 0.714;
const PITCH: f64 = 1.25;
const MM_PER_POINT: f64 = 25.4 / 72.0;

/// How the procedures of a panel are set.
#[derive(Debug, Clone, Copy)]
struct Rows {
    height_mm: f64,
    /// Type size of the date.
    until_pt: f64,
    /// From the top of the row to the top of the date.
    until_drop_mm: f64,
}

/// Positions on a person's panel, in millimeters from the corner of its trim, and
/// type sizes in points.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Panel {
    /// Scale relative to the smallest card.
    pub(crate) grow: f64,
    pub(crate) safe_mm: f64,
    /// Right end of text beside the code.
    pub(crate) right_mm: f64,
    /// Right end of text below the code.
    pub(crate) far_mm: f64,
    pub(crate) badge_top_mm: f64,
    /// Top of each procedure.
    pub(crate) row_tops_mm: Vec<f64>,
    /// From there to the top of the date.
    pub(crate) until_drop_mm: f64,
    /// Type size of the date.
    pub(crate) until_pt: f64,
    /// Top of the fine print.
    pub(crate) fixed_top_mm: f64,
    /// Lower limit of any text.
    pub(crate) bottom_mm: f64,
    /// Left of the badge, after its label.
    pub(crate) badge_left_mm: f64,
    /// Left of the dates, after their label.
    pub(crate) until_left_mm: f64,
    /// Left, top, and side of the code.
    pub(crate) code_mm: Option<(f64, f64, f64)>,
}

/// The labels before badge and date.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Labels<'a> {
    pub(crate) badge: &'a str,
    pub(crate) through: &'a str,
}

/// Measures a line of bold text at a size in points.
pub(crate) type Width = dyn Fn(&str, f64) -> Length;

/// Text in one line or two, with its type size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct FittedText {
    pub(crate) lines: Vec<String>,
    pub(crate) size_pt: f64,
}

impl Panel {
    /// The panel for this many procedures; `None` if they do not fit.
    pub(crate) fn new(
        trim: &Trim,
        procedures: usize,
        signed: bool,
        labels: Labels<'_>,
        width: &Width,
    ) -> Option<Self> {
        let grow = trim.width_mm / WIDTH_MM;
        let height = trim.height_mm / grow;
        let rows = if procedures > MAX_LARGE_ROWS {
            SMALL_ROWS
        } else {
            LARGE_ROWS
        };
        let below = |top: &f64| Some(top + rows.height_mm);
        let tops = std::iter::successors(Some(ROWS_TOP_MM), below);
        let tops: Vec<f64> = tops.take(procedures + 1).collect();
        let (fixed, tops) = tops.split_last()?;
        let bottom = height - SAFE_MM;
        if bottom - fixed < MIN_FIXED_MM {
            return None;
        }
        let far = WIDTH_MM - SAFE_MM;
        let code_left = far - CODE_MM;
        let right = if signed { code_left - CODE_GAP_MM } else { far };
        let after = |label: &str, size_pt: f64| {
            SAFE_MM * grow + width(&format!("{label} "), size_pt * grow).mm()
        };
        Some(Self {
            grow,
            safe_mm: SAFE_MM * grow,
            right_mm: right * grow,
            far_mm: far * grow,
            badge_top_mm: BADGE_TOP_MM * grow,
            row_tops_mm: tops.iter().map(|top| top * grow).collect(),
            until_drop_mm: rows.until_drop_mm * grow,
            until_pt: rows.until_pt * grow,
            fixed_top_mm: fixed * grow,
            bottom_mm: bottom * grow,
            badge_left_mm: after(labels.badge, BADGE[0]),
            until_left_mm: after(labels.through, FINE_PT),
            code_mm: signed.then_some((code_left * grow, SAFE_MM * grow, CODE_MM * grow)),
        })
    }

    /// Fits a name in the largest type; `None` if it does not fit in any.
    pub(crate) fn name(&self, name: &str, width: &Width) -> Option<FittedText> {
        let room = self.room();
        let two = || {
            let (first, second) = split_in_two(name)?;
            self.fitted(&[first, second], &TWO_LINES, room, width)
        };
        self.fitted(&[name], &ONE_LINE, room, width).or_else(two)
    }

    /// Top of a name. All names share the baseline of the last line.
    pub(crate) fn name_top_mm(&self, name: &FittedText) -> f64 {
        let more = name.lines.len().saturating_sub(1) as f64;
        NAME_BASE_MM * self.grow - (CAPITALS + PITCH * more) * name.size_pt * MM_PER_POINT
    }

    /// Fits a badge after its label in the largest type.
    pub(crate) fn badge(&self, badge: &str, width: &Width) -> Option<FittedText> {
        let room = Length::from_mm(self.right_mm - self.badge_left_mm);
        self.fitted(&[badge], &BADGE, room, width)
    }

    /// Fits a procedure's number and revision on one line in the largest type.
    pub(crate) fn number(&self, line: &str, width: &Width) -> Option<FittedText> {
        self.fitted(&[line], &NUMBER, self.room(), width)
    }

    fn room(&self) -> Length {
        Length::from_mm(self.right_mm - self.safe_mm)
    }

    /// Sets lines in the first of the sizes at which they fit.
    fn fitted(
        &self,
        lines: &[&str],
        sizes: &[f64],
        room: Length,
        width: &Width,
    ) -> Option<FittedText> {
        // Width is proportional to size, so one measurement serves all sizes.
        let widest = lines.iter().map(|line| width(line, MEASURED_PT)).max()?;
        let grown = sizes.iter().map(|size| size * self.grow);
        let mut fitting = grown.filter(|size| widest.mm() * size / MEASURED_PT <= room.mm());
        Some(FittedText {
            lines: lines.iter().map(|line| (*line).to_owned()).collect(),
            size_pt: fitting.next()?,
        })
    }
}

/// Splits a text at the space nearest its middle.
fn split_in_two(text: &str) -> Option<(&str, &str)> {
    let middle = text.len() / 2;
    let spaces = text.match_indices(' ').map(|(at, _)| at);
    let at = spaces.min_by_key(|at| at.abs_diff(middle))?;
    Some((text.get(..at)?.trim(), text.get(at..)?.trim()))
}

#[cfg(test)]
mod tests {
    use crate::papers::fonts::line_width;
    use crate::papers::wallet::panel::*;
    use crate::process::socket::sheets::card::trims;
    use crate::proof::qr_png;
    use crate::published::library;

    const LABELS: Labels<'_> = Labels {
        badge: "Badge",
        through: "Qualified through",
    };

    #[test]
    fn a_name_takes_the_largest_type_that_fits_and_never_less_than_is_read() {
        let smallest = trims(library()).remove(0);
        let panel = Panel::new(&smallest, 1, true, LABELS, &line_width).unwrap();
        assert_eq!(
            panel.name("Ada Fennimore", &line_width).unwrap().size_pt,
            15.0
        );
        let long = panel
            .name(
                "Maximiliana Konstantinopolou-Featherstonehaugh",
                &line_width,
            )
            .unwrap();
        assert_eq!(
            long.lines,
            ["Maximiliana", "Konstantinopolou-Featherstonehaugh"]
        );
        assert!(long.size_pt >= 8.0);
        for line in &long.lines {
            assert!(line_width(line, long.size_pt).mm() <= panel.right_mm - panel.safe_mm);
        }
        assert_eq!(panel.name(&"W".repeat(40), &line_width), None);
        assert_eq!(
            panel.name(&format!("{0} {0}", "W".repeat(30)), &line_width),
            None
        );
    }

    #[test]
    fn larger_cards_are_drawn_larger_and_hold_more() {
        let all = trims(library());
        let most = |trim: &Trim| {
            (1..9)
                .take_while(|n| Panel::new(trim, *n, true, LABELS, &line_width).is_some())
                .count()
        };
        let counts: Vec<_> = all.iter().map(most).collect();
        assert_eq!(counts, [3, 3, 3]);
        let fine = |letters| qr_png(&"A".repeat(letters)).unwrap()[19];
        assert_eq!(fine(MAX_CODE_LETTERS), 69);
        assert!(fine(MAX_CODE_LETTERS + 1) > 69);
        let codes = all.iter().map(|trim| {
            Panel::new(trim, 1, true, LABELS, &line_width)
                .unwrap()
                .code_mm
                .unwrap()
                .2
        });
        for side in codes {
            assert!(side >= 20.0);
        }
    }
}
