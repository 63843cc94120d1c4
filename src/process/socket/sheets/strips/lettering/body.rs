//! The print on the body of a strip: whose it is and that it comes off in the upper rows,
//! size and depth in the middle, where to mark at the lower edge.

use super::{Anchor, DESCENDER, LEAST, Lettering, Line, POINT, UPRIGHT, WEDGE, capital, sizes};
use crate::process::socket::sheets::strips::pieces::{LONG_TONGUE, Part, Strip};

/// From one item of a row to the next.
const BETWEEN: f64 = 3.0;

/// The print that a strip's body has room for.
pub(super) struct Body {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) fold: f64,
    pub(super) edge: f64,
}

/// Something that stands in the upper rows of a body.
#[derive(Clone, Copy, PartialEq)]
enum Item {
    Identity,
    Remove,
    Flush,
}

/// Puts the print on the body. A strip with a long tongue has its number there, and
/// label stock has no flap.
pub(super) fn on_body(
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
