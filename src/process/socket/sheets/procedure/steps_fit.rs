//! How high the rows of the steps page are. Lines are counted from the widths of the
//! letters, so that nothing is laid out to find out whether it fits.

use crate::core::paper::Paper;
use crate::core::units::Length;
use crate::papers::sheets::drawing::micrometers;
use crate::papers::sheets::pages::{StepCell, StepPiece};
use crate::papers::typeset::line_width;
use crate::process::socket::sheets::joint_times::{Figure, JointTimes};

// The measures of `templates/procedure/steps-page.typ`, in millimeters.
const SIDES: f64 = 36.0;
const GUTTER: f64 = 6.0;
const TEXT_FROM: f64 = 39.4;
const BAR_TEXT_FROM: f64 = 14.0;
const PICTURE: f64 = 22.0;
const STRIP_HEADS: f64 = 22.0;
const STRIP_COLUMN: f64 = 12.3;
/// The narrowest black cell beside the strip.
const BLACK: f64 = 41.0;
const ABOVE: f64 = 2.0;
/// Under a picture, and under the last line of a text, whose pitch has room of its own.
const BELOW: f64 = 1.8;
const BELOW_TEXT: f64 = 0.6;
const ORDER_PITCH: f64 = 4.4;
const DETAIL_PITCH: f64 = 4.0;
const AFTER_ORDER: f64 = 0.8;
/// Head and foot of the page, the heading, and what parts strip, rows and legend.
const AROUND: f64 = 19.0 + 15.4 + 8.6 + 2.4 + 0.4;
const LEGEND: f64 = 5.6;
/// No row is higher than this to fill the page.
const HIGHEST: f64 = 31.0;
/// A box of the inspection page, likewise.
const BOX_HIGHEST: f64 = 44.0;

/// Sizes of the type, in points.
const ORDER: f64 = 11.0;
const DETAIL: f64 = 9.0;
/// The alert sign before a caution.
const SIGN: f64 = 4.6;
/// The mark behind a number.
const MARK: f64 = 4.5;
/// Regular letters are that much narrower than bold ones, which are measured.
const REGULAR: f64 = 0.95;

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

/// Lines that a text takes in a width. A number keeps its unit.
fn lines(text: &str, size: f64, share: f64, room: f64, before: f64) -> usize {
    let wide = |word: &str| line_width(word, size).mm() * share;
    let space = wide(" ");
    let (mut lines, mut at) = (1, before);
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ') {
        let is_unit = matches!(
            word.trim_end_matches(['.', ',', ':', ';']),
            "°F" | "°C" | "%" | "in" | "mm" | "s" | "min" | "h" | "IPS" | "CTS"
        );
        let number = |last: &&mut String| last.ends_with(|c: char| c.is_ascii_digit());
        match words.last_mut().filter(number) {
            Some(last) if is_unit => *last = format!("{last} {word}"),
            _ => words.push(word.to_owned()),
        }
    }
    for (index, word) in words.iter().enumerate() {
        let word = wide(word);
        let with_space = if index == 0 { word } else { space + word };
        if at + with_space <= room {
            at += with_space;
        } else {
            lines += usize::from(at > 0.0).max((word / room) as usize);
            at = word % room;
        }
    }
    lines
}

/// Height of a cell's text and picture.
fn cell_height(cell: &StepCell, paper: Paper) -> f64 {
    let cell_width = (width(paper) - SIDES - GUTTER) / 2.0;
    let room = cell_width - TEXT_FROM;
    match cell {
        StepCell::Step {
            order,
            cautions,
            detail,
            verify,
            ..
        } => {
            let order = lines(order, ORDER, 1.0, room, 0.0) as f64;
            let marked = if *verify { room - MARK } else { room };
            let details = lines(detail, DETAIL, REGULAR, marked, 0.0) as f64;
            let cautions: usize = cautions
                .iter()
                .map(|caution| lines(caution, DETAIL, 1.0, room - SIGN, 0.0))
                .sum();
            let text = order * ORDER_PITCH + AFTER_ORDER + (details + cautions as f64) * DETAIL_PITCH;
            ABOVE + (text + BELOW_TEXT).max(PICTURE + BELOW)
        }
        StepCell::Melts { .. } => 15.0 + 4.5 + ABOVE + BELOW,
        StepCell::Waits(waits) => {
            let meaning = lines(&waits.meaning, DETAIL, REGULAR, cell_width, 0.0) as f64;
            ABOVE + 16.0 + meaning * DETAIL_PITCH + BELOW
        }
    }
}

/// Height of a box of the inspection page, of which two stand side by side.
pub(super) fn box_height(reading: &str, rules: &[String], boxes: usize, paper: Paper) -> i64 {
    let room = width(paper) - SIDES;
    let reading = lines(reading, DETAIL, REGULAR, room, 0.0) as f64;
    // An odd number of boxes leaves a place for the rules.
    let rules = if boxes % 2 == 1 {
        0.0
    } else {
        let text = rules.join(" ");
        lines(&text, DETAIL, REGULAR, room, 0.0) as f64 * DETAIL_PITCH + 3.0
    };
    let rows = boxes.div_ceil(2) as f64;
    let left = height(paper) - 19.0 - 15.4 - 8.6 - reading * DETAIL_PITCH - 3.0 - rules;
    let high = (left - 2.0 * (rows - 1.0)) / rows - 0.1;
    micrometers(Length::from_mm(high.min(BOX_HIGHEST)))
}

/// How many joints stand side by side in the strip of times.
pub(super) fn in_strip(times: &JointTimes, paper: Paper) -> usize {
    let black = if times.limits.off_heater.is_some() {
        BLACK
    } else {
        0.0
    };
    let room = width(paper) - SIDES - STRIP_HEADS - black;
    let most = (room / STRIP_COLUMN) as usize;
    let joints = times.rows.len();
    let strips = joints.div_ceil(most);
    joints.div_ceil(strips.max(1)).max(1)
}

/// Width of the black cell beside the strip: its words stand in one line where there
/// is room for it.
pub(super) fn black(in_strip: usize) -> Length {
    Length::from_mm(if in_strip > 7 { BLACK } else { 48.0 })
}

/// Height of the strip of times.
pub(super) fn strip_height(times: &JointTimes, in_strip: usize) -> f64 {
    let any = |has: &dyn Fn(&crate::process::socket::sheets::joint_times::Times) -> bool| {
        times.rows.iter().filter_map(|row| row.times.as_ref()).any(has)
    };
    let line = |has: bool, height: f64| if has { height } else { 0.0 };
    let words = |figure: &Figure| figure.words && figure.text.chars().count() > 3;
    let one = 4.8
        + line(times.rows.iter().any(|row| row.walls.is_some()), 3.6)
        + 6.2
        + line(any(&|times| words(&times.heat)), 3.6)
        + line(any(&|times| times.max.is_some()), 4.0)
        + line(any(&|times| times.off_heater.is_some()), 4.6)
        + line(any(&|times| times.hold.is_some()), 4.8)
        + line(any(&|times| times.hold.as_ref().is_some_and(words)), 3.6)
        + line(any(&|times| times.cool.is_some()), 4.6);
    let strips = times.rows.len().div_ceil(in_strip.max(1)).max(1);
    one * strips as f64 + 1.5 * (strips as f64 - 1.0)
}

/// Height of the black bar.
fn bar_height(order: &str, detail: &str, paper: Paper) -> f64 {
    let room = width(paper) - SIDES - BAR_TEXT_FROM - 2.0;
    let order = lines(order, ORDER, 1.0, room, 0.0) as f64;
    let detail = lines(detail, DETAIL, REGULAR, room, 0.0) as f64;
    order * ORDER_PITCH + detail * DETAIL_PITCH + 4.6
}

/// Sets the heights: each row as high as it needs to be, and what is left of the page
/// shared out among them.
pub(super) fn fit(pieces: &mut [StepPiece], strip: f64, legend: bool, paper: Paper) {
    let need = |piece: &StepPiece| match piece {
        StepPiece::Row { cells, .. } => {
            let heights = cells.iter().map(|cell| cell_height(cell, paper));
            heights.fold(0.0, f64::max)
        }
        StepPiece::Bar { order, detail, .. } => bar_height(order, detail, paper),
    };
    let needs: Vec<f64> = pieces.iter().map(need).collect();
    let foot = if legend { LEGEND } else { 0.0 };
    let room = height(paper) - AROUND - strip - foot;
    let spare = (room - needs.iter().sum::<f64>()).max(0.0);
    let rows = pieces
        .iter()
        .filter(|piece| matches!(piece, StepPiece::Row { .. }))
        .count();
    let share = spare / rows.max(1) as f64;
    for (piece, need) in pieces.iter_mut().zip(needs) {
        match piece {
            StepPiece::Row { height, .. } => {
                let high = (need + share).min(HIGHEST.max(need));
                *height = micrometers(Length::from_mm(high));
            }
            StepPiece::Bar { height, .. } => *height = micrometers(Length::from_mm(need)),
        }
    }
}
