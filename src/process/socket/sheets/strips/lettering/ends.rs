//! The print at the ends of a strip: on the tab, along the edge that meets the lap line,
//! beside the joint of two pieces, and at the ticks of other sizes.

use super::{Anchor, LEAST, Lettering, Line, UPRIGHT, WEDGE, capital, pitch};
use crate::process::socket::sheets::strips::pieces::{Part, Strip, Tick};

/// A tick on the tab this near its end would cross the print there.
const TAB_PRINT: f64 = 5.7;
/// Half a turned name, from its tick.
const NAME: f64 = 1.3;

/// What goes under, and what meets the line; upward, because a tab is narrow.
pub(super) fn on_tab(strip: &mut Strip, with: Lettering<'_>, lines: &mut Vec<Line>) {
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
pub(super) fn at_end(strip: &Strip, with: Lettering<'_>, lines: &mut Vec<Line>) -> f64 {
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
pub(super) fn beside_joint(
    strip: &Strip,
    with: Lettering<'_>,
    (from, to): (f64, f64),
    lines: &mut Vec<Line>,
) {
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
pub(super) fn ticks(strip: &mut Strip, with: Lettering<'_>, lines: &mut Vec<Line>) {
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
