//! Where the parts of a lid sheet stand and the largest type that fits each, from font
//! widths. The digits of HEAT are as high as the rows allow and never below
//! [`LEAST_DIGITS`]; sizes that find no room in them go on a further page.

use serde::Serialize;

use super::LidRow;
use crate::core::paper::Paper;
use crate::core::units::Length;
use crate::papers::fonts::line_width;
use crate::papers::sheets::drawing::micrometers;
use crate::papers::sheets::frame::Frame;
use crate::process::socket::sheets::joint_times::Limit;

/// Millimeters to a point.
const POINT: f64 = 25.4 / 72.0;
/// Height of a digit, as a share of the type size.
const DIGIT: f64 = 0.714;
/// The least height of HEAT's digits: read from 1.5 m, a three-hundredth of the distance.
pub(super) const LEAST_DIGITS: Length = Length::from_micrometers(5_000);
/// Larger digits than these are no easier to read on the lid.
const MOST_DIGITS_MM: f64 = 11.0;

const MARGIN: f64 = 10.0;
const KIT: f64 = 58.0;
const STEPS: f64 = 67.0;
const GUTTER: f64 = 4.0;
/// Everything above and below the middle of the page.
const AROUND: f64 = 62.0;
/// A row of one or two sizes is no higher than this.
const HIGHEST_ROW: f64 = 26.0;
/// Share of the width that the list of what is rejected takes, and beside a signed code.
const REJECT: [f64; 2] = [0.66, 0.55];
/// Over the rows of times: the heater's line and the heads.
const HEADS: f64 = 17.0;
const BAR: f64 = 20.0;
/// Between a digit and the rules of its row.
const AIR: f64 = 2.8;
/// Room beside a value for the mark of an unconfirmed number.
const MARK: f64 = 4.4;
const PADDING: f64 = 3.0;
/// A part's title over its list.
const TITLE: f64 = 7.0;

/// The measures of a page, in micrometers.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Areas {
    width: i64,
    kit: i64,
    times: i64,
    steps: i64,
    middle: i64,
    notes: i64,
    #[serde(skip)]
    times_mm: f64,
    #[serde(skip)]
    middle_mm: f64,
    #[serde(skip)]
    rows_mm: f64,
    #[serde(skip)]
    width_mm: f64,
}

impl Areas {
    pub(super) fn new<'t>(paper: Paper, notes: impl Iterator<Item = &'t str>) -> Self {
        // Landscape.
        let (across, down) = match paper {
            Paper::Letter => (279.4, 215.9),
            Paper::A4 => (297.0, 210.0),
        };
        let width = across - 2.0 * MARGIN;
        let times = width - KIT - STEPS - 2.0 * GUTTER;
        let middle = down - 2.0 * MARGIN - AROUND;
        let said: f64 = notes.map(|text| width_of(text, 8.5) + 8.0).sum();
        let notes = (said / (times * 0.94)).ceil() * 3.9 + 1.6;
        let rows = middle - HEADS - BAR - notes;
        let um = |mm: f64| micrometers(Length::from_mm(mm));
        Self {
            width: um(width),
            kit: um(KIT),
            times: um(times),
            steps: um(STEPS),
            middle: um(middle),
            notes: um(notes),
            times_mm: times,
            middle_mm: middle,
            rows_mm: rows,
            width_mm: width,
        }
    }
}

/// A column of the times.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum ColumnKind {
    Size,
    Heat,
    Max,
    Off,
    Hold,
    Cool,
    Depth,
    Sight,
}

impl ColumnKind {
    /// Its type size, as a share of that of HEAT.
    fn share(self) -> f64 {
        match self {
            Self::Heat => 1.0,
            Self::Hold => 0.74,
            Self::Size => 0.69,
            Self::Off | Self::Cool => 0.62,
            Self::Depth => 0.55,
            Self::Max | Self::Sight => 0.5,
        }
    }
}

/// A column as it is drawn.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Column {
    kind: ColumnKind,
    head: [String; 2],
    /// Micrometers.
    width: i64,
    /// Type size of its values, in points.
    pt: f64,
    /// Whether a value has a mark, for which all keep room beyond their edge.
    marked: bool,
}

/// The times as they fit.
pub(super) struct Fitted {
    pub(super) columns: Vec<Column>,
    pub(super) rows_per_page: usize,
    /// Height of a row, in micrometers.
    pub(super) row: i64,
}

fn width_of(text: &str, pt: f64) -> f64 {
    line_width(text, pt).mm()
}

/// The widest word of a text.
fn word_width(text: &str, pt: f64) -> f64 {
    let words = text.split_whitespace();
    words.map(|word| width_of(word, pt)).fold(0.0, f64::max)
}

/// Columns and rows of the times, in the largest digits that fit.
pub(super) fn times(
    areas: &Areas,
    columns: &[(ColumnKind, [String; 2])],
    rows: &[LidRow],
    count: usize,
) -> Fitted {
    let least_row = LEAST_DIGITS.mm() + AIR;
    let most_rows = ((areas.rows_mm / least_row).floor() as usize).max(1);
    let pages = count.div_ceil(most_rows).max(1);
    let rows_per_page = count.div_ceil(pages).max(1);
    let row = (areas.rows_mm / rows_per_page as f64).min(HIGHEST_ROW);
    let digits = (row - AIR).min(MOST_DIGITS_MM);
    let least = LEAST_DIGITS.mm() / DIGIT / POINT;
    let mut heat = (digits / DIGIT / POINT).max(least);
    let widths = |heat: f64| -> Vec<f64> {
        let each = columns.iter().enumerate();
        each.map(|(place, (kind, head))| column_width(place, *kind, head, heat, rows))
            .collect()
    };
    while heat - 0.5 >= least && widths(heat).iter().sum::<f64>() > areas.times_mm {
        heat -= 0.5;
    }
    let widths = widths(heat);
    let spare = (areas.times_mm - widths.iter().sum::<f64>()) / widths.len() as f64;
    let places = columns.iter().zip(&widths).enumerate();
    let drawn = places.map(|(place, ((kind, head), width))| Column {
        kind: *kind,
        head: head.clone(),
        width: micrometers(Length::from_mm(width + spare)),
        pt: heat * kind.share(),
        marked: is_marked(place, rows),
    });
    Fitted {
        columns: drawn.collect(),
        rows_per_page,
        row: micrometers(Length::from_mm(row)),
    }
}

/// Whether a value of a column has a mark.
fn is_marked(place: usize, rows: &[LidRow]) -> bool {
    let mut values = rows
        .iter()
        .filter_map(|row| row.cells.get(place.checked_sub(1)?));
    values.any(|cell| cell.verify)
}

fn column_width(
    place: usize,
    kind: ColumnKind,
    head: &[String; 2],
    heat: f64,
    rows: &[LidRow],
) -> f64 {
    let pt = heat * kind.share();
    let values = rows.iter().map(|row| match place.checked_sub(1) {
        None => width_of(&row.size, pt) + beside(&row.beside),
        Some(place) => row.cells.get(place).map_or(0.0, |cell| match cell.words {
            true => word_width(&cell.text, 9.0),
            false => width_of(&cell.text, pt),
        }),
    });
    let mark = if is_marked(place, rows) { MARK } else { 0.0 };
    let [head, sub] = head;
    // A head of two words stands on two lines.
    let heads = word_width(head, 9.5)
        .max(width_of(head, 9.5) / 2.0 + 2.0)
        .max(width_of(sub, 8.0));
    (values.fold(0.0, f64::max) + mark).max(heads) + PADDING
}

/// Room for the lines beside a size.
fn beside(lines: &[String]) -> f64 {
    let widths = lines.iter().map(|line| width_of(line, 8.0) + 1.6);
    widths.fold(0.0, f64::max)
}

/// The largest of some sizes in which a text of this width at 1 pt finds room.
fn largest(sizes: impl IntoIterator<Item = f64>, least: f64, fits: impl Fn(f64) -> bool) -> f64 {
    sizes.into_iter().find(|pt| fits(*pt)).unwrap_or(least)
}

/// The type of what the band says beside its title and its number.
pub(super) fn band(areas: &Areas, frame: &Frame, title: &str, pipe: &str, at: &str) -> f64 {
    let number = format!(
        "{} {} {}",
        frame.number, frame.revision_label, frame.revision
    );
    let tag = frame
        .tag
        .as_deref()
        .map_or(0.0, |tag| width_of(tag, 13.0) + 10.0);
    let taken = width_of(title, 18.0) + width_of(&number, 11.0) + tag + 24.0;
    largest([16.0, 14.0, 12.0, 11.0, 10.0, 9.0], 8.0, |pt| {
        taken + width_of(pipe, pt) + width_of(at, pt) <= areas.width_mm
    })
}

/// The type of the heater's line over the times.
pub(super) fn line<'t>(areas: &Areas, parts: impl Iterator<Item = &'t str> + Clone) -> f64 {
    largest([15.0, 14.0, 13.0, 12.0, 11.0, 10.0, 9.0], 8.0, |pt| {
        parts
            .clone()
            .map(|part| width_of(part, pt) + 6.0)
            .sum::<f64>()
            <= areas.times_mm
    })
}

/// The type of the numbers in the bar.
pub(super) fn bar(areas: &Areas, cells: &[Limit]) -> f64 {
    let room = areas.times_mm / cells.len().max(1) as f64 - 6.0;
    largest(
        [26.0, 24.0, 22.0, 20.0, 18.0, 16.0, 14.0, 12.0],
        10.0,
        |pt| {
            cells.iter().all(|cell| {
                let mark = if cell.mark { MARK } else { 0.0 };
                width_of(&cell.number, pt) + mark <= room
            })
        },
    )
}

/// The type of the steps: one line each where it can be.
pub(super) fn steps<'t>(lines: impl Iterator<Item = &'t str> + Clone) -> f64 {
    largest([11.0, 10.5, 10.0, 9.7, 9.4, 9.0, 8.5], 8.0, |pt| {
        lines.clone().all(|line| width_of(line, pt) <= STEPS - 11.0)
    })
}

/// The type of the names in the list of what is rejected.
pub(super) fn names(areas: &Areas, names: &[String], coded: bool) -> f64 {
    let [plain, beside_code] = REJECT;
    let share = if coded { beside_code } else { plain };
    let column = (areas.width_mm * share - 30.0) / 2.0 - 11.0;
    largest([11.5, 11.0, 10.5, 10.0, 9.5, 9.0], 8.0, |pt| {
        names.iter().all(|name| width_of(name, pt) <= column)
    })
}

/// Type size of the kit's list, in points, and the width of its lines.
const ITEM: f64 = 8.5;
const ITEM_WIDTH: f64 = KIT - 6.5;
/// The least heights of a row of the kit's table and of a line of its list.
const LEAST_KIT: [f64; 2] = [4.3, 3.4];

/// How many lines an item of the kit takes, broken between words.
fn item_lines(item: &str) -> usize {
    let space = width_of(" ", ITEM);
    let (mut lines, mut used) = (1, 0.0);
    for word in item.split_whitespace() {
        let wide = width_of(word, ITEM);
        if used > 0.0 && used + space + wide > ITEM_WIDTH {
            lines += 1;
            used = 0.0;
        }
        used += if used > 0.0 { space + wide } else { wide };
        while used > ITEM_WIDTH {
            lines += 1;
            used -= ITEM_WIDTH;
        }
    }
    lines
}

/// Height of everything in the kit under its title.
fn kit_room(areas: &Areas) -> f64 {
    areas.middle_mm - TITLE - 2.0
}

/// Whether all items of the kit find room below a table of some rows.
pub(super) fn kit_fits(areas: &Areas, rows: usize, items: &[String]) -> bool {
    let [row, line] = LEAST_KIT;
    let lines: usize = items.iter().map(|item| item_lines(item)).sum();
    (rows as f64 + 1.0) * row + lines as f64 * line <= kit_room(areas)
}

/// As much of an item as one line of the kit's list holds.
pub(super) fn one_line(item: &str) -> String {
    let mut kept = item.to_owned();
    let mut shown = kept.clone();
    while width_of(&shown, ITEM) > ITEM_WIDTH && kept.pop().is_some() {
        shown = format!("{}\u{2026}", kept.trim_end());
    }
    shown
}

/// Heights of a row of the kit's table and of a line of its list, in micrometers.
pub(super) fn kit(areas: &Areas, rows: usize, items: &[String]) -> [i64; 2] {
    let lines: usize = items.iter().map(|item| item_lines(item)).sum();
    let rows = rows as f64 + 1.0;
    let room = kit_room(areas);
    let [least_row, least_line] = LEAST_KIT;
    let row = (room * 0.45 / rows).clamp(least_row, 6.6);
    // A high table leaves the list what it needs.
    let row = row.min(((room - least_line * lines as f64) / rows).max(least_row));
    let line = ((room - row * rows) / lines.max(1) as f64).clamp(least_line, 5.8);
    [row, line].map(|height| micrometers(Length::from_mm(height)))
}
