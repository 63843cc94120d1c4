//! The person's panel: the positions of name, badge, dates, and code, and the
//! largest type in which a name fits. It is designed for an upright ID-1 card and
//! scales with the width of a larger one.

use serde::Serialize;

use crate::core::units::Length;
use crate::process::socket::sheets::card::{CODE_MODULE_MM, QUIET_MODULES, Trim};

/// Width of the card that the dimensions below are for, ISO/IEC 7810 ID-1 upright.
const WIDTH_MM: f64 = 53.98;
/// Margin from the trim to any text.
const MARGIN_MM: f64 = 4.0;
/// Height of the bar at the top.
const BAR_MM: f64 = 5.4;
/// Baseline of a name, or of its second line.
const NAME_BASE_MM: f64 = 21.2;
const BADGE_BASE_MM: f64 = 25.8;
/// Rule over the procedures.
const ROWS_TOP_MM: f64 = 27.6;
/// Of a single procedure: the label, the date, and the number under it.
const ONE_LABEL_MM: f64 = 3.6;
const ONE_DATE_MM: f64 = 11.4;
const ONE_NUMBER_MM: f64 = 14.0;
const ONE_HEIGHT_MM: f64 = 21.6;
/// Of one among several: its number, its date, and its height.
const ROW_NUMBER_MM: f64 = 3.2;
const ROW_DATE_MM: f64 = 7.9;
const ROW_HEIGHT_MM: f64 = 9.6;
/// Two lines that say that the roster governs, over a code.
const ROSTER_MM: f64 = 7.2;
/// The least height of the fine print, beside a code or without one.
const MIN_FIXED_MM: f64 = 15.0;
/// Side of a code that needs no more room.
const CODE_MM: f64 = 15.0;

/// Type sizes of a name in one line or two, in points.
const NAME: [f64; 13] = [
    15.0, 14.5, 14.0, 13.5, 13.0, 12.5, 12.0, 11.5, 11.0, 10.5, 10.0, 9.0, 8.0,
];
/// Type sizes of a badge.
const BADGE: [f64; 5] = [10.0, 9.5, 9.0, 8.5, 8.0];
/// Type size of the date of a single procedure, and of one among several.
const ONE_DATE_PT: f64 = 24.0;
const ROW_DATE_PT: f64 = 14.0;
/// Type size of labels.
const LABEL_PT: f64 = 8.0;
/// Type size at which lines are measured.
const MEASURED_PT: f64 = 100.0;

/// Height of capitals, and line spacing, as fractions of the type size.
const CAPITALS: f64 = 0.714;
const PITCH: f64 = 1.13;
const MM_PER_POINT: f64 = 25.4 / 72.0;

/// Positions on a person's panel, in millimeters from the corner of its trim, and
/// type sizes in points.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Panel {
    /// Scale relative to the smallest card.
    pub(crate) grow: f64,
    /// Left and right end of any text.
    pub(crate) left_mm: f64,
    pub(crate) right_mm: f64,
    /// Height of the bar at the top.
    pub(crate) bar_mm: f64,
    pub(crate) badge_base_mm: f64,
    /// Left of the badge, after its label.
    pub(crate) badge_left_mm: f64,
    /// The procedures.
    pub(crate) rows: Vec<PanelRow>,
    /// Type size of their dates.
    pub(crate) until_pt: f64,
    /// Top and bottom of the fine print.
    pub(crate) fixed_top_mm: f64,
    pub(crate) bottom_mm: f64,
    /// Left, top, and side of the code.
    pub(crate) code_mm: Option<(f64, f64, f64)>,
    /// The most modules that a code may have on a side, on the smallest drawing.
    #[serde(skip)]
    most_modules: usize,
}

/// Where a procedure stands on the panel.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PanelRow {
    /// The rule above it.
    pub(crate) top_mm: f64,
    /// Baseline of the words before the date, and of the number.
    pub(crate) label_base_mm: f64,
    pub(crate) number_base_mm: f64,
    /// Left end and baseline of the date.
    pub(crate) until_left_mm: f64,
    pub(crate) until_base_mm: f64,
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
    /// The panel for this many procedures; `None` if they do not fit. `modules` is
    /// that of the largest code on a side, if there are codes. A wide card is drawn
    /// larger, but less so where a code needs the room.
    pub(crate) fn new(
        trim: &Trim,
        procedures: usize,
        modules: Option<usize>,
        labels: Labels<'_>,
        width: &Width,
    ) -> Option<Self> {
        const STEPS: usize = 8;
        let more = (trim.width_mm / WIDTH_MM - 1.0).max(0.0);
        let drawn = |step: usize, modules: Option<usize>| {
            let grow = 1.0 + more * step as f64 / STEPS as f64;
            Self::drawn(trim, grow, procedures, modules, labels, width)
        };
        let panel = (0..=STEPS).rev().find_map(|step| drawn(step, modules))?;
        let smallest = drawn(0, None)?;
        let room = smallest.bottom_mm - code_top(smallest.fixed_top_mm, smallest.grow);
        Some(Self {
            // A hundredth of a module for what rounding takes.
            most_modules: (room.max(0.0) / CODE_MODULE_MM + 0.01) as usize,
            ..panel
        })
    }

    /// The same, drawn `grow` times as large as on the smallest card.
    fn drawn(
        trim: &Trim,
        grow: f64,
        procedures: usize,
        modules: Option<usize>,
        labels: Labels<'_>,
        width: &Width,
    ) -> Option<Self> {
        let (left, right) = (MARGIN_MM * grow, trim.width_mm - MARGIN_MM * grow);
        let after = |label: &str| left + width(&format!("{label} "), LABEL_PT * grow).mm();
        let single = procedures == 1;
        let rows = (0..procedures).map(|at| {
            let top = ROWS_TOP_MM + ROW_HEIGHT_MM * at as f64;
            let (label, date, number) = if single {
                (ONE_LABEL_MM, ONE_DATE_MM, ONE_NUMBER_MM)
            } else {
                (ROW_DATE_MM, ROW_DATE_MM, ROW_NUMBER_MM)
            };
            PanelRow {
                top_mm: top * grow,
                label_base_mm: (top + label) * grow,
                number_base_mm: (top + number) * grow,
                until_left_mm: if single { left } else { after(labels.through) },
                until_base_mm: (top + date) * grow,
            }
        });
        let height = if single {
            ONE_HEIGHT_MM
        } else {
            ROW_HEIGHT_MM * procedures as f64
        };
        let fixed_top = (ROWS_TOP_MM + height) * grow;
        let bottom = trim.height_mm - MARGIN_MM * grow;
        if bottom - fixed_top < MIN_FIXED_MM * grow {
            return None;
        }
        let code = match modules {
            Some(modules) => {
                // A large panel gives a code more than it needs, if it has the room.
                let room = bottom - code_top(fixed_top, grow);
                let side =
                    (modules as f64 * CODE_MODULE_MM).max((CODE_MM * grow).min(room).max(CODE_MM));
                let top = bottom - side;
                if side > room + 0.01 * CODE_MODULE_MM {
                    return None;
                }
                Some((left, top, side))
            }
            None => None,
        };
        Some(Self {
            grow,
            left_mm: left,
            right_mm: right,
            bar_mm: BAR_MM * grow,
            badge_base_mm: BADGE_BASE_MM * grow,
            badge_left_mm: after(labels.badge),
            rows: rows.collect(),
            until_pt: grow * if single { ONE_DATE_PT } else { ROW_DATE_PT },
            fixed_top_mm: fixed_top,
            bottom_mm: bottom,
            code_mm: code,
            most_modules: 0,
        })
    }

    /// The most modules that a code on the panel may have on a side.
    pub(crate) fn most_modules(&self) -> usize {
        self.most_modules
    }

    /// Fits a name in the largest type, in two lines if it has two words; `None`
    /// if it does not fit in any.
    pub(crate) fn name(&self, name: &str, width: &Width) -> Option<FittedText> {
        let room = self.room();
        match split_in_two(name) {
            Some((first, second)) => self.fitted(&[first, second], &NAME, room, width),
            None => self.fitted(&[name], &NAME, room, width),
        }
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

    fn room(&self) -> Length {
        Length::from_mm(self.right_mm - self.left_mm)
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

/// The highest top of a code: under two lines of text and its quiet zone.
fn code_top(fixed_top: f64, grow: f64) -> f64 {
    fixed_top + ROSTER_MM * grow + QUIET_MODULES * CODE_MODULE_MM
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
    use crate::published::library;

    const LABELS: Labels<'_> = Labels {
        badge: "Badge",
        through: "Qualified through",
    };

    fn panel(trim: &Trim, procedures: usize, modules: Option<usize>) -> Option<Panel> {
        Panel::new(&trim.upright(), procedures, modules, LABELS, &line_width)
    }

    #[test]
    fn a_name_takes_the_largest_type_that_fits_and_never_less_than_is_read() {
        let panel = panel(&trims(library())[0], 1, None).unwrap();
        let short = panel.name("Ada Fennimore", &line_width).unwrap();
        assert_eq!((short.size_pt, short.lines.len()), (15.0, 2));
        let long = panel
            .name("Maximiliana Featherstonehaugh-Jones", &line_width)
            .unwrap();
        assert_eq!(long.lines, ["Maximiliana", "Featherstonehaugh-Jones"]);
        assert!((8.0..15.0).contains(&long.size_pt));
        for line in &long.lines {
            assert!(line_width(line, long.size_pt).mm() <= panel.right_mm - panel.left_mm);
        }
        assert_eq!(panel.name(&"W".repeat(40), &line_width), None);
        assert_eq!(
            panel.name(&format!("{0} {0}", "W".repeat(30)), &line_width),
            None
        );
    }

    /// Modules are never finer than 0.4 mm, whatever the text; the place grows.
    #[test]
    fn a_longer_code_has_a_larger_place() {
        for trim in trims(library()) {
            for procedures in 1..=3 {
                let Some(plain) = panel(&trim, procedures, None) else {
                    assert!(procedures > 1);
                    continue;
                };
                let most = plain.most_modules();
                // A place takes 15 mm, which is 37 modules; on a wide card there is room
                // for the 53 of a signed code for three procedures.
                let wide = trim.upright().width_mm > 70.0;
                let needed = if wide { 53 } else { 37 };
                assert!(most >= needed, "{} {procedures}: {most}", trim.name);
                for modules in (21..=most).step_by(4) {
                    let panel = panel(&trim, procedures, Some(modules)).unwrap();
                    let (_, top, side) = panel.code_mm.unwrap();
                    assert!(side / modules as f64 >= 0.4 - 1e-9);
                    assert!(side >= 15.0);
                    assert!(top >= panel.fixed_top_mm + 1.6);
                }
                assert!(panel(&trim, procedures, Some(most + 4)).is_none());
            }
        }
    }

    #[test]
    fn larger_cards_are_drawn_larger() {
        let all = trims(library());
        let sizes: Vec<_> = all
            .iter()
            .map(|trim| panel(trim, 1, None).unwrap().until_pt)
            .collect();
        assert!(sizes.is_sorted() && sizes[0] < sizes[2], "{sizes:?}");
    }
}
