//! The table of times: its columns are as wide as what stands in them, and the
//! digits of a column end on one edge, whatever mark follows them.

use serde::Serialize;

use super::front::{Figure, Front, Row};
use super::setting::{Type, mark_room};
use super::sizes::Sizes;
use crate::papers::sheets::area::Area;

/// The least space between columns, in millimeters; on an upright card the second.
const GAP: (f64, f64) = (1.3, 0.8);
/// Least and greatest width of a box to write a time in.
const BOX: (f64, f64) = (11.0, 17.0);
/// Least width of such a box on an upright card.
const UPRIGHT_BOX: f64 = 9.0;
/// Space over and under the largest digits of a row, together: in millimeters, and
/// as a fraction of their height if they are larger than they have to be.
const AIR: (f64, f64) = (0.9, 0.4);

/// The table, at its place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Table {
    pub(crate) x_mm: f64,
    pub(crate) y_mm: f64,
    /// Widths of the columns, with the space around them.
    pub(crate) columns_mm: Vec<f64>,
    pub(crate) head_mm: f64,
    pub(crate) row_mm: f64,
    /// From the bottom of a row to the baseline of its digits.
    pub(crate) base_mm: f64,
    pub(crate) heads: Vec<Head>,
    pub(crate) rows: Vec<PrintedRow>,
    pub(crate) head: Type,
    /// Type size of the mark.
    pub(crate) mark_pt: f64,
    /// Whether heads stand over the middle of their columns.
    pub(crate) centered: bool,
    /// First and last column of the tinted lane.
    pub(crate) lane: (usize, usize),
}

/// The head of a column: a title, and a line under it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Head {
    pub(crate) title: String,
    /// A unit after it on the same line.
    pub(crate) unit: Option<String>,
    pub(crate) sub: Option<String>,
    pub(crate) bold: bool,
    /// From the right of the column to the end of its head.
    pub(crate) right_mm: f64,
    /// From there to the edge that its digits end on.
    pub(crate) digits_mm: f64,
}

/// A row as printed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct PrintedRow {
    pub(crate) size: String,
    pub(crate) size_of: Type,
    /// The system or walls after it.
    pub(crate) size_note: Option<String>,
    pub(crate) note_of: Type,
    /// In place of the numbers: a word on black, and the reason.
    pub(crate) no_joint: Option<(String, String)>,
    pub(crate) cells: Vec<PrintedCell>,
    /// Whether a heavier rule follows, before another system.
    pub(crate) ends_system: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct PrintedCell {
    pub(crate) text: String,
    pub(crate) of: Type,
    pub(crate) mark: bool,
    /// Width of a box to write in, instead of text.
    pub(crate) box_mm: Option<f64>,
}

/// A table without its place and the height of its rows.
pub(crate) struct Fitted {
    table: Table,
    pub(crate) least: f64,
    pub(crate) most: f64,
}

impl Fitted {
    /// The table in an area.
    pub(crate) fn at(&self, area: Area) -> Table {
        let rows = self.table.rows.len().max(1) as f64;
        let row_mm = (area.height_mm - self.table.head_mm) / rows;
        let digits = self.capitals();
        Table {
            x_mm: area.x_mm,
            y_mm: area.y_mm,
            row_mm,
            base_mm: (row_mm - digits) / 2.0,
            ..self.table.clone()
        }
    }

    /// Height of the largest digits.
    fn capitals(&self) -> f64 {
        let rows = &self.table.rows;
        let cells = rows.iter().flat_map(|row| &row.cells);
        let numbers = cells.map(|cell| cell.of.capitals());
        // A table where no size may be joined has sizes alone.
        let sizes = rows.iter().map(|row| row.size_of.capitals());
        numbers.chain(sizes).fold(0.0, f64::max)
    }
}

/// Fits the rows in a width; `None` if they are too wide. `to_write` says whether a
/// rule for the cold has its boxes to write in.
pub(crate) fn fit(
    front: &Front,
    rows: &[Row],
    sizes: &Sizes,
    width: f64,
    upright: bool,
    to_write: bool,
) -> Option<Fitted> {
    let least_gap = match (upright, sizes.is_grown) {
        (true, _) => GAP.1,
        (false, false) => GAP.0,
        // Numbers grow only into room that their columns do not need.
        (false, true) => 2.0 * GAP.0,
    };
    let two_lines = front.two_line_heads || upright;
    let one_system = rows
        .iter()
        .all(|row| Some(&row.system) == rows.first().map(|r| &r.system));
    let of = |figure: Figure| match figure {
        Figure::Heat => Type::bold(sizes.heat),
        Figure::Strong => Type::bold(sizes.strong),
        Figure::Plain => Type::regular(sizes.plain),
    };
    let (size_of, note_of) = (Type::bold(sizes.size), Type::regular(sizes.small));
    let printed: Vec<_> = rows
        .iter()
        .enumerate()
        .map(|(at, row)| {
            let note = [(!one_system).then(|| row.system.clone()), row.walls.clone()];
            let note = note.into_iter().flatten().reduce(|a, b| format!("{a} {b}"));
            let cells = row.cells.iter().zip(&front.columns).map(|(cell, column)| {
                PrintedCell {
                    text: cell.text.clone(),
                    // Words are not set as large as numbers.
                    of: if cell.text.starts_with(|c: char| c.is_ascii_digit()) {
                        of(column.figure)
                    } else {
                        Type::bold(sizes.small)
                    },
                    mark: cell.verify,
                    box_mm: None,
                }
            });
            PrintedRow {
                size: row.size.clone(),
                size_of,
                size_note: note,
                note_of,
                no_joint: row
                    .no_joint
                    .as_ref()
                    .map(|no| (no.word.clone(), no.reason.clone())),
                cells: cells.collect(),
                ends_system: rows
                    .get(at + 1)
                    .is_some_and(|next| next.system != row.system),
            }
        })
        .collect();
    let (head_bold, head_plain) = (Type::bold(sizes.head), Type::regular(sizes.head));
    let size_title = match rows.first() {
        Some(row) if one_system && !two_lines => Some(row.system.clone()),
        _ => None,
    };
    let mut heads = vec![Head {
        title: front.size_title.clone(),
        unit: size_title,
        sub: rows
            .first()
            .filter(|_| two_lines && one_system)
            .map(|row| row.system.clone()),
        bold: false,
        right_mm: 0.0,
        digits_mm: 0.0,
    }];
    heads.extend(front.columns.iter().map(|column| Head {
        title: column.title.clone(),
        unit: (!two_lines).then(|| column.unit.clone()).flatten(),
        sub: two_lines.then(|| column.unit.clone()).flatten(),
        bold: column.figure != Figure::Plain,
        right_mm: 0.0,
        digits_mm: 0.0,
    }));
    let boxed = front.cold_box.as_ref().filter(|_| to_write);
    heads.extend(boxed.map(|(title, unit)| Head {
        title: title.clone(),
        unit: (!two_lines).then(|| unit.clone()),
        sub: two_lines.then(|| unit.clone()),
        bold: true,
        right_mm: 0.0,
        digits_mm: 0.0,
    }));
    let head_width = |head: &Head| {
        let of = if head.bold { head_bold } else { head_plain };
        let unit = head
            .unit
            .as_ref()
            .map_or(0.0, |unit| head_plain.width(" ") + head_plain.width(unit));
        let sub = head.sub.as_ref().map_or(0.0, |sub| head_plain.width(sub));
        (of.width(&head.title) + unit).max(sub)
    };
    let mark = mark_room(sizes.mark);
    // What stands in a column, and the room of a mark after its digits.
    let mut columns: Vec<(f64, f64)> = Vec::new();
    for (at, head) in heads.iter().enumerate() {
        let joined = || printed.iter().filter(|row| row.no_joint.is_none());
        let own = match at {
            0 => {
                let widths = printed.iter().map(|row| {
                    let note = row.size_note.as_ref();
                    size_of.width(&row.size) + note.map_or(0.0, |note| 0.8 + note_of.width(note))
                });
                (widths.fold(0.0, f64::max), 0.0)
            }
            _ => {
                let cells = || joined().filter_map(|row| row.cells.get(at - 1));
                let text = cells()
                    .map(|cell| cell.of.width(&cell.text))
                    .fold(0.0, f64::max);
                let marked = cells().any(|cell| cell.mark);
                (text, if marked { mark } else { 0.0 })
            }
        };
        // On an upright card a head stands over the room of the mark, too.
        let head = head_width(head) - if upright { own.1 } else { 0.0 };
        columns.push((own.0.max(head), own.1));
    }
    let box_column = boxed.map(|_| {
        let head = heads.last().map_or(0.0, head_width);
        head.max(if upright { UPRIGHT_BOX } else { BOX.0 })
    });
    if let (Some(width), Some(last)) = (box_column, columns.last_mut()) {
        last.0 = width;
    }
    let gaps = columns.len().saturating_sub(1) as f64;
    let natural = columns.iter().map(|(own, mark)| own + mark).sum::<f64>() + least_gap * gaps;
    let mut spare = width - natural;
    if spare < -1e-9 {
        return None;
    }
    // The widest size leaves what stands in place of numbers this much room beside itself.
    let aside = width - columns.first().map_or(0.0, |(own, _)| *own) - no_joint_width(&printed);
    if 2.0 * aside < least_gap {
        return None;
    }
    let mut box_mm = None;
    if let Some(last) = columns.last_mut().filter(|_| boxed.is_some()) {
        let more = (BOX.1 - last.0).clamp(0.0, spare / 2.0);
        last.0 += more;
        spare -= more;
        box_mm = Some(last.0);
    }
    let even = least_gap + if gaps > 0.0 { spare / gaps } else { 0.0 };
    // Where a size has no numbers, the words in their place may need more than an even
    // share; a second line of them would seem to belong to the next size.
    let first = even.min(2.0 * aside);
    let others = even
        + if gaps > 1.0 {
            (even - first) / (gaps - 1.0)
        } else {
            0.0
        };
    let gap_after = |at: usize| if at == 0 { first } else { others };
    let columns_mm: Vec<_> = columns
        .iter()
        .enumerate()
        // Half of the space on either side of a column, so that a tint keeps clear
        // of its neighbors; none at the ends of the table.
        .map(|(at, (own, mark))| {
            let before = at.checked_sub(1).map_or(0.0, gap_after);
            let after = if at + 1 < columns.len() {
                gap_after(at)
            } else {
                0.0
            };
            own + mark + (before + after) / 2.0
        })
        .collect();
    let last = columns.len().saturating_sub(1);
    for (at, (head, (_, mark))) in heads.iter_mut().zip(&columns).enumerate() {
        head.digits_mm = mark + if at < last { gap_after(at) / 2.0 } else { 0.0 };
        head.right_mm = head.digits_mm - if upright { *mark } else { 0.0 };
    }
    let rows = printed.into_iter().map(|mut row| {
        if let Some(box_mm) = box_mm {
            row.cells.push(PrintedCell {
                text: String::new(),
                of: note_of,
                mark: false,
                box_mm: Some(box_mm),
            });
        }
        row
    });
    let lane_end = front
        .columns
        .iter()
        .take_while(|column| column.in_lane)
        .count();
    let lines = if two_lines { 2.0 } else { 1.0 };
    let head_mm = head_plain.capitals() * lines + 0.8 * (lines - 1.0) + 1.0;
    let table = Table {
        x_mm: 0.0,
        y_mm: 0.0,
        columns_mm,
        head_mm,
        row_mm: 0.0,
        base_mm: 0.0,
        heads,
        rows: rows.collect(),
        head: head_plain,
        mark_pt: sizes.mark,
        centered: upright,
        lane: (1, lane_end),
    };
    let mut fitted = Fitted {
        table,
        least: 0.0,
        most: 0.0,
    };
    let digits = fitted.capitals().max(Type::bold(sizes.size).capitals());
    let air = if sizes.is_grown || sizes.scale > 1.0 {
        digits * AIR.1
    } else {
        AIR.0
    };
    let row = digits + air;
    let count = fitted.table.rows.len() as f64;
    fitted.least = head_mm + row * count;
    fitted.most = head_mm + row * 1.5 * count;
    Some(fitted)
}

/// What the widest words in place of numbers need: space at their left, a word in a black
/// box, space, the reason, and a little so that rounding never breaks the line.
fn no_joint_width(rows: &[PrintedRow]) -> f64 {
    const SPACES: f64 = 1.3 + 3.0 + 1.5 + 0.2;
    let words = rows.iter().filter_map(|row| {
        let (word, reason) = row.no_joint.as_ref()?;
        let bold = Type {
            bold: true,
            ..row.note_of
        };
        Some(SPACES + bold.width(word) + row.note_of.width(reason))
    });
    words.fold(0.0, f64::max)
}
