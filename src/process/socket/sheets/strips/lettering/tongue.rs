//! The print on a tongue that is long enough to hold the number.

use super::{Anchor, LEAST, Lettering, Line, WEDGE, capital, pitch, sizes};
use crate::process::socket::sheets::strips::pieces::Strip;

/// Status, number, revision, and what the tip marks.
pub(super) fn on_tongue(strip: &Strip, with: Lettering<'_>, lines: &mut Vec<Line>) {
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
