//! How high the rows of the steps page and the boxes of the inspection page are. Lines
//! are counted from the widths of the letters, so that nothing is laid out to find out
//! whether it fits; the type of the steps is the largest that puts them on one page.

use crate::core::paper::Paper;
use crate::core::units::Length;
use crate::papers::fonts::line_width;
use crate::papers::sheets::drawing::micrometers;
use crate::papers::sheets::pages::{StepCell, StepPiece, StepType};
use crate::process::socket::sheets::joint_times::{Figure, JointTimes, Times};

// The measures of `templates/procedure/steps-page.typ`, in millimeters.
const SIDES: f64 = 36.0;
const GUTTER: f64 = 6.0;
const TEXT_FROM: f64 = 39.4;
const BAR_TEXT_FROM: f64 = 16.0;
const PICTURE: f64 = 21.0;
const MELT: f64 = 15.0;
const MELT_TEXT_FROM: f64 = 23.0;
const ABOVE: f64 = 1.8;
/// Under a picture, and under the last line of a text, whose pitch has room of its own.
const BELOW: f64 = 1.4;
const BELOW_TEXT: f64 = 0.4;
const AFTER_ORDER: f64 = 0.8;
/// Head and foot of the page with the heading of the section.
const FRAME: f64 = 19.0 + 15.4 + 8.6;
/// What parts strip and rows.
const AFTER_STRIP: f64 = 2.8;
const LEGEND: f64 = 5.0;
/// No row is higher than this to fill the page, and no box of the inspection page.
const HIGHEST: f64 = 31.0;
const BOX_HIGHEST: f64 = 44.0;
const STRIP_COLUMN: f64 = 12.3;
/// The black cell beside the strip: its words stand in one line where there is room.
const BLACK: f64 = 48.0;
const BLACK_NARROW: f64 = 41.0;
/// The alert sign before a caution, and the mark behind a number.
const SIGN: f64 = 4.6;
const MARK: f64 = 4.5;
/// Running text on its pitch.
const BODY: f64 = 9.0;
const BODY_PITCH: f64 = 4.0;
/// Regular letters are that much narrower than bold ones, which are measured.
const REGULAR: f64 = 0.95;

/// The type of the steps, largest first.
const TYPES: [StepType; 3] = [
    StepType {
        order: 110,
        order_pitch: 4400,
        detail: 90,
        detail_pitch: 4000,
    },
    StepType {
        order: 105,
        order_pitch: 4200,
        detail: 85,
        detail_pitch: 3700,
    },
    StepType {
        order: 100,
        order_pitch: 4000,
        detail: 80,
        detail_pitch: 3450,
    },
];

fn width(paper: Paper) -> f64 {
    match paper {
        Paper::Letter => 215.9,
        Paper::A4 => 210.0,
    }
}

fn height(paper: Paper) -> f64 {
    match paper {
        Paper::Letter => 279.4,
        Paper::A4 => 297.0,
    }
}

fn cell_width(paper: Paper) -> f64 {
    (width(paper) - SIDES - GUTTER) / 2.0
}

/// Lines of a size in points that a text takes in a width. A number keeps its unit.
fn lines(text: &str, size: f64, share: f64, room: f64) -> f64 {
    let wide = |word: &str| line_width(word, size).mm() * share;
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ') {
        let bare = word.trim_end_matches(['.', ',', ':', ';']);
        let is_unit = ["°F", "°C", "%", "in", "mm", "s", "min", "h", "IPS", "CTS"].contains(&bare);
        let number = |last: &&mut String| last.ends_with(|c: char| c.is_ascii_digit());
        match words.last_mut().filter(number) {
            Some(last) if is_unit => *last = format!("{last} {word}"),
            _ => words.push(word.to_owned()),
        }
    }
    let space = wide(" ");
    let (mut lines, mut at) = (1.0, 0.0);
    for word in &words {
        let word = wide(word);
        let before = if at > 0.0 { space } else { 0.0 };
        if at + before + word <= room {
            at += before + word;
            continue;
        }
        if at > 0.0 {
            lines += 1.0;
        }
        // A word that is wider than the line is broken.
        lines += (word / room).floor();
        at = word % room;
    }
    lines
}

/// The type in points and millimeters.
struct Type {
    order: f64,
    order_pitch: f64,
    detail: f64,
    detail_pitch: f64,
}

impl Type {
    fn new(of: &StepType) -> Self {
        Self {
            order: of.order as f64 / 10.0,
            order_pitch: of.order_pitch as f64 / 1000.0,
            detail: of.detail as f64 / 10.0,
            detail_pitch: of.detail_pitch as f64 / 1000.0,
        }
    }

    fn order(&self, text: &str, room: f64) -> f64 {
        lines(text, self.order, 1.0, room) * self.order_pitch
    }

    fn detail(&self, text: &str, room: f64) -> f64 {
        lines(text, self.detail, REGULAR, room) * self.detail_pitch
    }

    /// Height of a cell with its texts and picture.
    fn cell(&self, cell: &StepCell, paper: Paper) -> f64 {
        let all = cell_width(paper);
        let room = all - TEXT_FROM;
        let (text, picture) = match cell {
            StepCell::Step {
                order,
                cautions,
                detail,
                verify,
                ..
            } => {
                let cautions: f64 = cautions
                    .iter()
                    .map(|caution| lines(caution, self.detail, 1.0, room - SIGN))
                    .sum();
                let marked = if *verify { room - MARK } else { room };
                let text = self.order(order, room)
                    + AFTER_ORDER
                    + cautions * self.detail_pitch
                    + self.detail(detail, marked);
                (text, PICTURE)
            }
            StepCell::Melts { melts, look } => {
                let count = melts.len().max(1) as f64;
                let room = (all - 2.0 * (count - 1.0)) / count - MELT_TEXT_FROM;
                let texts = melts
                    .iter()
                    .map(|melt| self.order_pitch + self.detail(&melt.text, room));
                let text = texts.fold(MELT, f64::max);
                let look = look.as_ref().map_or(0.0, |look| self.detail(look, all));
                (text + 1.0 + look, 0.0)
            }
            StepCell::Waits(waits) => {
                let text = self.detail(&waits.head, all) + 15.0 + self.detail(&waits.meaning, all);
                (text, 0.0)
            }
        };
        ABOVE + (text + BELOW_TEXT).max(picture + BELOW)
    }

    fn piece(&self, piece: &StepPiece, paper: Paper) -> f64 {
        match piece {
            StepPiece::Row { cells, .. } => {
                let heights = cells.iter().map(|cell| self.cell(cell, paper));
                heights.fold(0.0, f64::max)
            }
            StepPiece::Bar { order, detail, .. } => {
                let room = width(paper) - SIDES - BAR_TEXT_FROM;
                self.order(order, room) + self.detail(detail, room) + 4.6
            }
        }
    }
}

/// Sets the heights, each row as high as it needs to be and what is left of the page
/// shared out among them, and says in which type. `strip` is the height of the times,
/// `legend` whether the mark is explained.
pub(super) fn fit(pieces: &mut [StepPiece], strip: Length, legend: bool, paper: Paper) -> StepType {
    let foot = if legend { LEGEND } else { 0.0 };
    let room = height(paper) - FRAME - strip.mm() - AFTER_STRIP - foot;
    let needs = |of: &StepType| -> Vec<f64> {
        let of = Type::new(of);
        pieces.iter().map(|piece| of.piece(piece, paper)).collect()
    };
    let fits = |of: &&StepType| needs(of).iter().sum::<f64>() <= room;
    let [.., smallest] = &TYPES;
    let of = TYPES.iter().find(fits).unwrap_or(smallest);
    let needs = needs(of);
    let spare = (room - needs.iter().sum::<f64>()).max(0.0);
    let is_row = |piece: &&StepPiece| matches!(piece, StepPiece::Row { .. });
    let share = spare / pieces.iter().filter(is_row).count().max(1) as f64;
    for (piece, need) in pieces.iter_mut().zip(needs) {
        match piece {
            StepPiece::Row { height, .. } => {
                let high = (need + share).min(HIGHEST.max(need));
                *height = micrometers(Length::from_mm(high));
            }
            StepPiece::Bar { height, .. } => *height = micrometers(Length::from_mm(need)),
        }
    }
    of.clone()
}

/// Width of the words at the left of the strip of times.
pub(super) fn strip_heads(times: &JointTimes) -> Length {
    let heads = &times.heads;
    let row = |has: bool, name: &str, unit: &str| {
        let wide = line_width(name, 9.0).mm() + 1.0 + line_width(unit, 8.0).mm() * REGULAR;
        if has { wide } else { 0.0 }
    };
    let system = times.system.as_deref().unwrap_or_default();
    let widths = [
        row(true, &heads.size, system),
        row(true, &heads.heat, &heads.second),
        row(has(times, |t| t.max.is_some()), &heads.max, &heads.second),
        row(
            has(times, |t| t.off_heater.is_some()),
            &heads.off_heater,
            &heads.second,
        ),
        row(true, &heads.hold, &heads.second),
        row(has(times, |t| t.cool.is_some()), &heads.cool, &heads.minute),
    ];
    Length::from_mm(widths.into_iter().fold(20.0, f64::max) + 2.0)
}

fn has(times: &JointTimes, has: fn(&Times) -> bool) -> bool {
    times
        .rows
        .iter()
        .any(|row| row.times.as_ref().is_some_and(has))
}

/// How many joints stand side by side in the strip of times.
pub(super) fn in_strip(times: &JointTimes, paper: Paper) -> usize {
    let black = if times.limits.off_heater.is_some() {
        BLACK_NARROW
    } else {
        0.0
    };
    let room = width(paper) - SIDES - strip_heads(times).mm() - black;
    let most = ((room / STRIP_COLUMN) as usize).max(1);
    let strips = times.rows.len().div_ceil(most).max(1);
    times.rows.len().div_ceil(strips).max(1)
}

/// Width of the black cell beside the strip.
pub(super) fn black(times: &JointTimes, in_strip: usize, paper: Paper) -> Length {
    let columns = in_strip as f64 * STRIP_COLUMN;
    let wide = width(paper) - SIDES - strip_heads(times).mm() - columns >= BLACK;
    Length::from_mm(if wide { BLACK } else { BLACK_NARROW })
}

/// Whether the strip says which walls a column is for: where a size has two.
pub(super) fn has_walls(times: &JointTimes) -> bool {
    let rows = &times.rows;
    rows.iter().enumerate().any(|(at, row)| {
        let others = rows.iter().skip(at + 1);
        row.walls.is_some()
            && others
                .into_iter()
                .any(|other| other.size == row.size && other.system == row.system)
    })
}

/// Height of the strip of times.
pub(super) fn strip_height(times: &JointTimes, in_strip: usize) -> Length {
    let line = |has: bool, height: f64| if has { height } else { 0.0 };
    fn words(figure: &Figure) -> bool {
        figure.words && figure.text.chars().count() > 3
    }
    let no_joint = !has(times, |_| true);
    let one = 4.8
        + line(has_walls(times), 3.6)
        + 6.2
        + line(has(times, |times| words(&times.heat)), 3.6)
        + line(has(times, |times| times.max.is_some()), 4.0)
        + line(has(times, |times| times.off_heater.is_some()), 4.6)
        + line(no_joint || has(times, |times| times.hold.is_some()), 4.8)
        + line(
            has(times, |times| times.hold.as_ref().is_some_and(words)),
            3.6,
        )
        + line(has(times, |times| times.cool.is_some()), 4.6);
    let strips = times.rows.len().div_ceil(in_strip.max(1)).max(1) as f64;
    Length::from_mm(one * strips + 1.5 * (strips - 1.0))
}

/// Height of a box of the inspection page, of which two stand side by side.
pub(super) fn box_height(reading: &str, rules: &[String], boxes: usize, paper: Paper) -> Length {
    let room = width(paper) - SIDES;
    let text = |text: &str| lines(text, BODY, REGULAR, room) * BODY_PITCH;
    // An odd number of boxes leaves a place for the rules.
    let under = if boxes % 2 == 1 {
        0.0
    } else {
        text(&rules.join(" ")) + 3.0
    };
    let rows = boxes.div_ceil(2).max(1) as f64;
    let left = height(paper) - FRAME - text(reading) - 3.0 - under;
    let high = (left - 2.0 * (rows - 1.0)) / rows - 0.1;
    Length::from_mm(high.min(BOX_HIGHEST))
}

/// Whether a box of the inspection page holds its head in a line, its text in two, and
/// the words under the view into the mouth beside the section.
#[cfg(test)]
pub(super) fn box_holds(item: &crate::papers::sheets::pages::InspectionBox, paper: Paper) -> bool {
    let room = (width(paper) - SIDES - 4.0) / 2.0;
    let head = line_width(&item.word, 11.0).mm() + line_width(&item.title, 10.0).mm();
    let mouth = line_width(&item.mouth, 8.0).mm() * REGULAR;
    head + 14.0 <= room
        && lines(&item.text, BODY, REGULAR, room - 4.8) <= 2.0
        && mouth <= room - 57.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_keeps_its_unit_and_a_long_word_is_broken() {
        let wide = |text: &str| line_width(text, 9.0).mm();
        // Room for the number alone, then for both.
        let room = wide("Set 500") + 0.1;
        assert_eq!(lines("Set 500 °F", 9.0, 1.0, room), 2.0);
        assert_eq!(lines("Set 500 °F", 9.0, 1.0, wide("Set 500 °F") + 0.1), 1.0);
        assert_eq!(lines("WWWWWWWW", 9.0, 1.0, wide("WWW")), 3.0);
    }
}
