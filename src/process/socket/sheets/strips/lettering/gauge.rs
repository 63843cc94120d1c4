//! The print on a stick gauge: size and witness line on the long arm, the depth on
//! the short one, and on the foot, upward, whose it is.

use super::{Anchor, LEAST, Lettering, Line, capital, pitch, sizes};
use crate::process::socket::sheets::strips::gauge::Gauge;

/// Puts the print on a gauge.
pub(crate) fn letter_gauge(gauge: &mut Gauge, with: Lettering<'_>) {
    let butt = gauge.foot_mm;
    let middle = gauge.reach_mm + gauge.arm_mm;
    let mut lines = Vec::new();

    // The short arm: how far out its end is, and what it marks.
    let room = gauge.depth_mm - 3.4;
    let [depth, other] = &gauge.depth_text;
    let largest = |text: &str, most: f64| {
        sizes(most)
            .find(|size| with.wide(text, *size) <= room)
            .unwrap_or(LEAST)
    };
    let mut rows = vec![(depth.as_str(), largest(depth, 12.0), true)];
    if with.wide(other, LEAST) <= room {
        rows.push((other.as_str(), largest(other, 8.0), false));
    }
    if with.wide(&with.words.arm, LEAST) <= room {
        rows.insert(0, (with.words.arm.as_str(), LEAST, false));
    }
    let high: f64 = rows.iter().map(|(_, size, _)| capital(*size)).sum();
    let air = (gauge.arm_mm - high) / (rows.len() as f64 + 1.0);
    let mut base = middle;
    for (text, size, bold) in rows {
        base += air + capital(size);
        let line = Line::new(butt + 1.0, base, size, Anchor::Left, text);
        lines.push(Line { bold, ..line });
    }

    // The long arm: which size, and the witness line.
    let room = gauge.witness_mm - 4.4;
    let size_size = sizes(16.0)
        .find(|size| with.wide(&gauge.size, *size) <= room)
        .unwrap_or(LEAST);
    let said = &gauge.witness_text;
    let said_room = if said.verify { room - 4.0 } else { room };
    let rows = with.wrapped(&said.text, 7.5, said_room);
    let high = capital(size_size) + 1.2 + pitch(7.5) * rows.len() as f64;
    let mut base = gauge.reach_mm + (gauge.arm_mm - high).max(0.0) / 2.0 + capital(size_size);
    lines.push(
        Line::new(
            butt + 1.0,
            base,
            size_size,
            Anchor::Left,
            gauge.size.as_str(),
        )
        .bold(),
    );
    base += 1.2 + capital(7.5);
    let last = rows.len();
    for (n, row) in rows.into_iter().enumerate() {
        lines.push(
            Line::new(butt + 1.0, base, 7.5, Anchor::Left, row)
                .verify(said.verify && n + 1 == last),
        );
        base += pitch(7.5);
    }

    on_foot(gauge, with, &mut lines);
    gauge.lines = lines;
}

/// Upward along the foot, the edge that butts on the right.
fn on_foot(gauge: &Gauge, with: Lettering<'_>, lines: &mut Vec<Line>) {
    let high = 2.0 * (gauge.reach_mm + gauge.arm_mm);
    let (room, middle) = (high - 3.0, high / 2.0);
    let butt = &with.words.butt;
    let of_gauge = gauge
        .gauge
        .as_ref()
        .map(|id| format!("{} {id}", with.words.gauge));
    let upright = |x: f64, size: f64, text: &str, bold: bool| {
        let cut = with.cut(text, size, room);
        Line {
            bold,
            ..Line::new(x, middle, size, Anchor::Center, cut).turned()
        }
    };
    let foot = gauge.foot_mm;
    lines.push(upright(foot - 2.2, LEAST, butt, true));
    let size = sizes(8.0)
        .find(|size| with.identity_width(*size) <= room)
        .unwrap_or(LEAST);
    // The line from left to right, turned about the middle of the foot.
    let (across, wide) = with.identity(0.0, 0.0, size, room);
    let x = foot - 6.6;
    let bottom = middle + wide / 2.0;
    lines.extend(across.into_iter().map(|line| {
        let half = line
            .tag_mm
            .map_or_else(|| with.wide(&line.text, size) / 2.0, |_| 0.0);
        Line {
            y_mm: bottom - line.x_mm - half,
            x_mm: x,
            anchor: Anchor::Center,
            turned: true,
            ..line
        }
    }));
    lines.push(upright(foot - 11.0, LEAST, &with.identity.digest, false));
    if let Some(text) = of_gauge {
        lines.push(upright(foot - 14.6, LEAST, &text, false));
    }
}
