//! Places the print on strips and gauges, and picks its type sizes from the widths
//! of the fonts, so that the template only draws. What does not fit is made
//! smaller, then left out in a fixed order; status, number, revision, size, depth
//! and "remove before heating" always stand.

mod gauge;

use crate::process::socket::sheets::strips::line::{Anchor, Line};
use crate::process::socket::sheets::strips::pieces::{LONG_TONGUE, Part, Strip, Tick};

pub(crate) use gauge::letter_gauge;

/// Millimeters in a point.
const POINT: f64 = 25.4 / 72.0;
/// Height of a capital, and depth of a descender, as parts of the type size.
const CAPITAL: f64 = 0.714;
const DESCENDER: f64 = 0.22;
/// Smallest type: its lower case is 1.2 mm high.
pub(crate) const LEAST: f64 = 6.35;
/// Height of the wedges at a marking edge.
const WEDGE: f64 = 1.4;
/// From one item of a row to the next.
const BETWEEN: f64 = 3.0;
/// Width of the print along the edge that meets the lap line.
const UPRIGHT: f64 = 4.0;
/// A tick on the tab this near its end would cross the print there.
const TAB_PRINT: f64 = 5.7;
/// Half a turned name, from its tick.
const NAME: f64 = 1.3;

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

/// The print that a strip's body has room for.
struct Body {
    left: f64,
    right: f64,
    fold: f64,
    edge: f64,
}

/// Something that stands in the upper rows of a body.
#[derive(Clone, Copy, PartialEq)]
enum Item {
    Identity,
    Remove,
    Flush,
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

/// What goes under, and what meets the line; upward, because a tab is narrow.
fn on_tab(strip: &mut Strip, with: Lettering<'_>, lines: &mut Vec<Line>) {
    let middle = strip.stop_mm + strip.depth_mm / 2.0;
    let room = strip.depth_mm - 1.0;
    let meets = if strip.part == Part::Second {
        &with.words.joint
    } else {
        &with.words.meets
    };
    for (x, text, bold) in [(1.8, &with.words.under, false), (4.3, meets, true)] {
        if with.wide(text, LEAST) <= room {
            let line = Line::new(x, middle, LEAST, Anchor::Center, text.as_str()).turned();
            lines.push(Line { bold, ..line });
        }
    }
}

/// The print at the right end; returns how much of the body it takes.
fn at_end(strip: &Strip, with: Lettering<'_>, lines: &mut Vec<Line>) -> f64 {
    let end = strip.tab_mm + strip.wrap_mm;
    let middle = strip.stop_mm + (strip.depth_mm - WEDGE) / 2.0;
    let room = strip.depth_mm - WEDGE - 0.8;
    if strip.part == Part::First {
        return UPRIGHT;
    }
    if strip.stop_mm == 0.0 {
        let wide = strip.tab_mm;
        let rows = with.wrapped(&with.words.peel, LEAST, wide - 1.0);
        let high = pitch(LEAST) * rows.len() as f64;
        if high <= room {
            let first = middle - high / 2.0 + (pitch(LEAST) + capital(LEAST)) / 2.0;
            lines.extend(rows.into_iter().enumerate().map(|(n, row)| {
                let base = first + pitch(LEAST) * n as f64;
                Line::new(end - wide / 2.0, base, LEAST, Anchor::Center, row)
            }));
        }
        return wide + 1.5;
    }
    let text = &with.words.this_edge;
    if with.wide(text, LEAST) <= room {
        lines.push(Line::new(end - 2.2, middle, LEAST, Anchor::Center, text.as_str()).turned());
    }
    UPRIGHT
}

/// Which piece it is, between its register tick and the joint.
fn beside_joint(strip: &Strip, with: Lettering<'_>, (from, to): (f64, f64), lines: &mut Vec<Line>) {
    let piece = if strip.part == Part::First {
        &with.words.first
    } else {
        &with.words.second
    };
    let room = to - from - 6.0;
    let rows: Vec<(String, bool)> = [
        (&strip.size, true),
        (piece, true),
        (&with.words.register, false),
    ]
    .into_iter()
    .flat_map(|(text, bold)| {
        let rows = with.wrapped(text, LEAST, room);
        rows.into_iter().map(move |row| (row, bold))
    })
    .collect();
    let high = pitch(LEAST) * rows.len() as f64;
    if high > strip.depth_mm - WEDGE - 1.0 {
        return;
    }
    let middle = strip.stop_mm + (strip.depth_mm - WEDGE) / 2.0;
    let first = middle - high / 2.0 + (pitch(LEAST) + capital(LEAST)) / 2.0;
    for (n, (row, bold)) in rows.into_iter().enumerate() {
        let base = first + pitch(LEAST) * n as f64;
        let line = Line::new(f64::midpoint(from, to), base, LEAST, Anchor::Center, row);
        lines.push(Line { bold, ..line });
    }
}

/// Keeps the ticks whose names the depth has room for, and names them. The others
/// are left to the table.
fn ticks(strip: &mut Strip, with: Lettering<'_>, lines: &mut Vec<Line>) {
    let (depth, fold, lap) = (strip.depth_mm, strip.stop_mm, strip.tab_mm);
    strip.ticks.retain_mut(
        |Tick {
             x_mm,
             length_mm,
             size,
         }| {
            let long = with.wide(size, LEAST);
            let on_tab = *x_mm < lap;
            if long + 1.8 > depth || (on_tab && *x_mm < TAB_PRINT) {
                return false;
            }
            *length_mm = long + 1.4;
            // A name stands away from the print on the tab, and from the lap line.
            let side = if on_tab && *x_mm + 2.0 * NAME > lap {
                -NAME
            } else {
                NAME
            };
            let middle = fold + 0.7 + long / 2.0;
            lines.push(
                Line::new(*x_mm + side, middle, LEAST, Anchor::Center, size.as_str()).turned(),
            );
            true
        },
    );
}

fn on_body(
    strip: &Strip,
    with: Lettering<'_>,
    body: &Body,
    identity: bool,
    label: bool,
    lines: &mut Vec<Line>,
) {
    let width = body.right - body.left;
    let small = (strip.depth_mm * 0.5).clamp(LEAST, 8.0);
    // The lowest row: where to mark, and what the other edge marks.
    let lowest = body.edge - WEDGE - 0.4 - small * DESCENDER * POINT;
    let row_top = lowest - capital(small);
    let short_tongue = !label && strip.witness_mm < LONG_TONGUE.mm();
    let mark_end = if short_tongue {
        strip.tongue_x_mm - 1.0
    } else {
        body.right
    };
    let mark_from = body.left.min(strip.tab_mm + 1.5).max(strip.tab_mm);
    let mark_from = if strip.part == Part::Second {
        body.left
    } else {
        mark_from
    };
    let mark = &with.words.mark;
    let mark_size = sizes(small).find(|size| with.wide(mark, *size) <= mark_end - mark_from);
    let mut said = 0.0;
    if let Some(size) = mark_size {
        lines.push(Line::new(mark_from, lowest, size, Anchor::Left, mark.as_str()).bold());
        said = mark_from - body.left + with.wide(mark, size);
    }
    if short_tongue {
        let (text, verify) = (&strip.witness_text.text, strip.witness_text.verify);
        let clear = strip.tongue_width_mm - UPRIGHT;
        let room = clear - if verify { 4.5 } else { 1.0 };
        let size = sizes(small)
            .find(|size| with.wide(text, *size) <= room)
            .unwrap_or(LEAST);
        let cut = with.cut(text, size, room);
        let x = strip.tongue_x_mm + clear / 2.0;
        lines.push(
            Line::new(x, lowest, size, Anchor::Center, cut)
                .bold()
                .verify(verify),
        );
    } else if let Some(gauge) = &strip.gauge {
        let room = width - said - BETWEEN;
        let text = format!("{} {gauge}", with.words.gauge);
        let shown = with.cut(&text, small, room);
        // Less than this names no gauge.
        if shown.chars().count()
            >= text
                .chars()
                .count()
                .min(with.words.gauge.chars().count() + 6)
        {
            lines.push(Line::new(body.right, lowest, small, Anchor::Right, shown));
        }
    }
    // The upper rows, as wide as the body.
    let mut items = vec![Item::Remove];
    if identity {
        items.insert(0, Item::Identity);
    }
    if label {
        items.push(Item::Flush);
    }
    let wide = |item: Item, size: f64| match item {
        Item::Identity => with.identity_width(size),
        Item::Remove => with.wide(&with.words.remove, size),
        Item::Flush => with.wide(&with.words.flush, size),
    };
    let packed = |items: &[Item], size: f64| {
        let mut rows: Vec<Vec<Item>> = Vec::new();
        let mut used = 0.0;
        for item in items {
            let next = wide(*item, size);
            match rows.last_mut() {
                Some(row) if used + BETWEEN + next <= width => {
                    row.push(*item);
                    used += BETWEEN + next;
                }
                _ => {
                    rows.push(vec![*item]);
                    used = next;
                }
            }
        }
        rows
    };
    let top = body.fold + 0.9;
    let most = (row_top - top) * 0.62;
    let row_pitch = |size: f64| capital(size) + 0.9;
    let fits = |rows: &[Vec<Item>], size: f64| rows.len() as f64 * row_pitch(size) <= most;
    let size = sizes(small)
        .find(|size| fits(&packed(&items, *size), *size))
        .unwrap_or(LEAST);
    let mut rows = packed(&items, size);
    if !fits(&rows, size) && label {
        items.pop();
        rows = packed(&items, size);
    }
    let mut base = top + capital(size);
    for row in &rows {
        let mut x = body.left;
        for (n, item) in row.iter().enumerate() {
            let last = n > 0 && n + 1 == row.len();
            let (x_at, anchor) = if last {
                (body.right, Anchor::Right)
            } else {
                (x, Anchor::Left)
            };
            match item {
                Item::Identity => lines.extend(with.identity(x, base, size, width).0),
                Item::Remove => {
                    lines.push(
                        Line::new(x_at, base, size, anchor, with.words.remove.as_str()).bold(),
                    );
                }
                Item::Flush => {
                    lines.push(Line::new(
                        x_at,
                        base,
                        size,
                        anchor,
                        with.words.flush.as_str(),
                    ));
                }
            }
            x += wide(*item, size) + BETWEEN;
        }
        // What folds is said beside the last item where there is room.
        let said = match row.as_slice() {
            [only] => wide(*only, size),
            _ => width,
        };
        if !label
            && base < top + 1.5 * capital(size)
            && said + BETWEEN + with.wide(&with.words.fold, size) <= width
        {
            lines.push(Line::new(
                body.right,
                base,
                size,
                Anchor::Right,
                with.words.fold.as_str(),
            ));
        }
        base += row_pitch(size);
    }
    let upper = base - row_pitch(size) + 0.9;
    size_and_depth(
        strip,
        with,
        (body.left, body.right),
        (upper, row_top - 0.7),
        lines,
    );
}

/// Size and depth in the largest type that the room holds.
fn size_and_depth(
    strip: &Strip,
    with: Lettering<'_>,
    (left, right): (f64, f64),
    (top, bottom): (f64, f64),
    lines: &mut Vec<Line>,
) {
    let [depth, other] = &strip.depth_text;
    let set = |share: f64, with_other: bool| {
        let of = |size: f64| (size * share).max(LEAST);
        let gap = (5.0 * share).max(1.6);
        let mut x = left;
        let mut set = Vec::new();
        let texts = [
            (&strip.size, 24.0, true),
            (depth, 17.0, true),
            (other, 10.0, false),
        ];
        for (text, size, bold) in texts.into_iter().take(if with_other { 3 } else { 2 }) {
            set.push((x, of(size), bold, text.as_str()));
            x += with.wide(text, of(size)) + gap;
        }
        (set, x - gap, capital(of(24.0)))
    };
    let shares = (0..=36).map(|n| 1.0 - 0.02 * f64::from(n));
    let ways = shares.map(|share| (share, true)).chain([(0.28, false)]);
    let fits = |(share, with_other): &(f64, bool)| {
        let (_, end, high) = set(*share, *with_other);
        // Air above and below, which tall digits need more of.
        end <= right && high <= 0.84 * (bottom - top)
    };
    let (share, with_other) = ways.clone().find(fits).unwrap_or((0.28, false));
    let (set, _, high) = set(share, with_other);
    let base = f64::midpoint(top, bottom) + high / 2.0;
    lines.extend(set.into_iter().map(|(x, size, bold, text)| {
        let line = Line::new(x, base, size, Anchor::Left, text);
        Line { bold, ..line }
    }));
}

/// Status, number, revision, and what the tip marks.
fn on_tongue(strip: &Strip, with: Lettering<'_>, lines: &mut Vec<Line>) {
    let room = strip.tongue_width_mm - 1.4;
    let high = strip.witness_mm - WEDGE - 1.6;
    let x = strip.tongue_x_mm + strip.tongue_width_mm / 2.0;
    let top = strip.stop_mm + strip.depth_mm + 0.8;
    let rows_at = |size: f64, most: usize| {
        let mut number = with.wrapped(&with.identity.number, size, room);
        if number.len() > most {
            let kept = number.iter().take(most - 1).map(|row| row.chars().count());
            let rest = with.identity.number.chars().skip(kept.sum());
            number.truncate(most - 1);
            number.push(with.cut(&rest.collect::<String>(), size, room));
        }
        let bold = number.into_iter().chain([with.identity.revision.clone()]);
        let said = with.wrapped(&strip.witness_text.text, size, room);
        let rows = bold
            .map(|row| (row, true))
            .chain(said.into_iter().map(|row| (row, false)));
        rows.collect::<Vec<_>>()
    };
    let tag = with.identity.tag.as_ref();
    let tag_high = |size: f64| tag.map_or(0.0, |_| 1.6 * capital(size) + 1.1);
    let high_of = |size: f64, most| tag_high(size) + pitch(size) * rows_at(size, most).len() as f64;
    // The whole number in two lines, else in smaller type and more of them; what
    // the tongue has no room for is cut.
    let in_two = sizes(8.0).map(|size| (size, 2));
    let whole = |(size, most): &(f64, usize)| {
        with.wrapped(&with.identity.number, *size, room).len() <= *most
    };
    let in_more = [(LEAST, 4), (LEAST, 3), (LEAST, 2)];
    let fits = |(size, most): &(f64, usize)| high_of(*size, *most) <= high;
    let (size, most) = in_two
        .filter(whole)
        .chain(in_more)
        .find(fits)
        .unwrap_or((LEAST, 2));
    if let Some(tag) = tag {
        let type_size = sizes(size)
            .find(|size| with.wide(tag, *size) + 0.8 <= room)
            .unwrap_or(LEAST);
        lines.push(Line {
            tag_mm: Some(room),
            ..Line::new(
                x,
                top + 0.8 * capital(size),
                type_size,
                Anchor::Center,
                tag.as_str(),
            )
            .bold()
        });
    }
    let first = top + tag_high(size) + capital(size);
    for (n, (row, bold)) in rows_at(size, most).into_iter().enumerate() {
        let line = Line::new(x, first + pitch(size) * n as f64, size, Anchor::Center, row);
        lines.push(Line { bold, ..line });
    }
}
