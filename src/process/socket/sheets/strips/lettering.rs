//! Places the print on strips and gauges, and picks its type sizes from the widths
//! of the fonts, so that the template only draws. What does not fit is made
//! smaller, then left out in a fixed order; status, number, revision, size, depth
//! and "remove before heating" always stand.

mod body;
mod ends;
mod gauge;
mod tongue;

use crate::process::socket::sheets::strips::line::{Anchor, Line};
use crate::process::socket::sheets::strips::pieces::{LONG_TONGUE, Part, Strip};

pub(crate) use gauge::letter_gauge;

use body::{Body, on_body};
use ends::{at_end, beside_joint, on_tab, ticks};
use tongue::on_tongue;

/// Millimeters in a point.
const POINT: f64 = 25.4 / 72.0;
/// Height of a capital, and depth of a descender, as parts of the type size.
const CAPITAL: f64 = 0.714;
const DESCENDER: f64 = 0.22;
/// Smallest type: its lower case is 1.2 mm high.
pub(crate) const LEAST: f64 = 6.35;
/// Height of the wedges at a marking edge.
const WEDGE: f64 = 1.4;
/// Width of the print along the edge that meets the lap line.
const UPRIGHT: f64 = 4.0;

/// What identifies a piece once it is cut out.
#[derive(Debug, Clone)]
pub(crate) struct Identity {
    /// The status, if nobody may work by the paper.
    pub(crate) tag: Option<String>,
    pub(crate) number: String,
    /// `rev. 2`
    pub(crate) revision: String,
    /// The digest of the spec with its label.
    pub(crate) digest: String,
}

/// The words on strips and gauges.
#[derive(Debug, Clone)]
pub(crate) struct StripWords {
    pub(crate) gauge: String,
    /// Along the marking edge.
    pub(crate) mark: String,
    /// On the tab: that it goes under, and what meets the line beside it.
    pub(crate) under: String,
    pub(crate) meets: String,
    /// At the edge that meets the lap line.
    pub(crate) this_edge: String,
    /// The same on the end of label stock, the only part that is peeled.
    pub(crate) peel: String,
    /// Below the flap.
    pub(crate) fold: String,
    /// Along the end of label stock, which has no flap.
    pub(crate) flush: String,
    /// At both sides of the joint of two pieces.
    pub(crate) joint: String,
    pub(crate) first: String,
    pub(crate) second: String,
    /// Between the register ticks.
    pub(crate) register: String,
    /// On every strip and piece.
    pub(crate) remove: String,
    /// On a stick gauge, along the edge that butts against the pipe.
    pub(crate) butt: String,
    /// On its lower arm.
    pub(crate) arm: String,
}

/// The width of a line of bold text at a size in points, in millimeters. Regular
/// text is narrower.
pub(crate) type Width = dyn Fn(&str, f64) -> f64;

/// What lettering is made from.
#[derive(Clone, Copy)]
pub(crate) struct Lettering<'a> {
    pub(crate) words: &'a StripWords,
    pub(crate) identity: &'a Identity,
    pub(crate) width: &'a Width,
}

fn capital(size: f64) -> f64 {
    size * CAPITAL * POINT
}

/// A row on its pitch.
fn pitch(size: f64) -> f64 {
    size * 1.08 * POINT
}

/// Sizes from `largest` down to the least, in quarters of a point.
fn sizes(largest: f64) -> impl Iterator<Item = f64> {
    let steps = ((largest - LEAST) / 0.25).ceil().max(0.0);
    // No more than a few dozen.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let steps = steps as usize;
    (0..=steps).map(move |n| (largest - 0.25 * n as f64).max(LEAST))
}

impl Lettering<'_> {
    fn wide(&self, text: &str, size: f64) -> f64 {
        (self.width)(text, size)
    }

    /// The beginning of a text that is no wider than the room, with an ellipsis
    /// where some is missing.
    fn cut(&self, text: &str, size: f64, room: f64) -> String {
        if self.wide(text, size) <= room {
            return text.to_owned();
        }
        let mut kept: Vec<char> = text.chars().collect();
        while kept.pop().is_some() {
            let beginning: String = kept.iter().collect();
            let cut = format!("{}…", beginning.trim_end());
            if self.wide(&cut, size) <= room {
                return cut;
            }
        }
        String::new()
    }

    /// The words of a text in lines no wider than the room. A word that is wider
    /// is broken after a hyphen, or where the line ends.
    fn wrapped(&self, text: &str, size: f64, room: f64) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        let mut line = String::new();
        for word in text.split(' ') {
            let with = if line.is_empty() {
                word.to_owned()
            } else {
                format!("{line} {word}")
            };
            if self.wide(&with, size) <= room {
                line = with;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            for part in word.split_inclusive('-') {
                let with = format!("{line}{part}");
                if self.wide(&with, size) <= room {
                    line = with;
                    continue;
                }
                if !line.is_empty() {
                    lines.push(std::mem::take(&mut line));
                }
                for letter in part.chars() {
                    if self.wide(&format!("{line}{letter}"), size) > room && !line.is_empty() {
                        lines.push(std::mem::take(&mut line));
                    }
                    line.push(letter);
                }
            }
        }
        lines.push(line);
        lines
    }

    /// Status, number and revision in one line from `x`, cut to the room, with
    /// the width that it takes.
    fn identity(&self, x: f64, base: f64, size: f64, room: f64) -> (Vec<Line>, f64) {
        let Identity {
            tag,
            number,
            revision,
            ..
        } = self.identity;
        let mut lines = Vec::new();
        let mut from = 0.0;
        if let Some(tag) = tag {
            let wide = self.wide(tag, size) + 1.6;
            let middle = base - capital(size) / 2.0;
            lines.push(Line {
                tag_mm: Some(wide),
                ..Line::new(x + wide / 2.0, middle, size, Anchor::Center, tag.as_str()).bold()
            });
            from = wide + 1.2;
        }
        let revision = format!(" {revision}");
        let left = room - from - self.wide(&revision, size);
        let text = format!("{}{revision}", self.cut(number, size, left));
        let wide = from + self.wide(&text, size);
        lines.push(Line::new(x + from, base, size, Anchor::Left, text).bold());
        (lines, wide)
    }

    fn identity_width(&self, size: f64) -> f64 {
        self.identity(0.0, 0.0, size, f64::INFINITY).1
    }
}

/// Puts the print on a strip or piece.
pub(crate) fn letter_strip(strip: &mut Strip, with: Lettering<'_>) {
    let label = strip.stop_mm == 0.0;
    let long_tongue = strip.witness_mm >= LONG_TONGUE.mm();
    let (lap, end) = (strip.tab_mm, strip.tab_mm + strip.wrap_mm);
    let (fold, edge) = (strip.stop_mm, strip.stop_mm + strip.depth_mm);
    let mut lines = Vec::new();

    on_tab(strip, with, &mut lines);
    let at_end = at_end(strip, with, &mut lines);
    // The narrowest body has no room for ticks beside its print.
    let asked = with.wide(&with.words.remove, LEAST).max(34.0);
    let mut tick_room = strip.tick_room_mm.max(1.5);
    if strip.part == Part::Whole && end - at_end - lap - tick_room < asked {
        tick_room = 1.5;
        strip.ticks.retain(|tick| tick.x_mm < lap);
    }
    let mut body = Body {
        left: lap + tick_room + if tick_room > 1.5 { 1.0 } else { 0.0 },
        right: end - at_end,
        fold,
        edge,
    };
    if let Some(register) = strip.register_mm {
        let (from, to) = match strip.part {
            Part::Second => (lap, register),
            Part::First | Part::Whole => (register, end),
        };
        beside_joint(strip, with, (from, to), &mut lines);
        match strip.part {
            Part::Second => body.left = register + 2.0,
            Part::First | Part::Whole => body.right = register - 2.0,
        }
    }
    ticks(strip, with, &mut lines);
    on_body(strip, with, &body, !long_tongue || label, label, &mut lines);
    if long_tongue && !label {
        on_tongue(strip, with, &mut lines);
    }
    strip.lines = lines;
}
