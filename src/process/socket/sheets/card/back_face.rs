//! Draws the back of the card: hazards, all steps, when to reject, diameters.

use super::back::CardStep;
use super::flow::{Block, Item, SIDE_PAD, line_at, white_at};
use super::front_face::{Setting, digest};
use super::setting::{Line, Phrase, Type};
use crate::papers::sheets::area::Area;

/// A module of the signed code on a card, in millimeters; phones read it well
/// (common practice).
pub(crate) const CODE_MODULE_MM: f64 = 0.4;
/// Modules of white around a code (ISO/IEC 18004).
pub(crate) const QUIET_MODULES: f64 = 4.0;
/// Between two steps on a line.
const BETWEEN_STEPS: f64 = 3.0;

/// How many lines of the back may be left out.
pub(crate) const BACK_EXTRAS: usize = 4;

/// The blocks of the back. `coded`: with the signed code. `dense`: short steps
/// share a line.
pub(crate) fn blocks<'a>(
    s: &Setting<'a>,
    coded: bool,
    dense: bool,
    with_digest: bool,
) -> Vec<Block<'a>> {
    let mut blocks = vec![danger(s)];
    blocks.push(steps(s, dense));
    blocks.push(tail(s, coded, with_digest));
    blocks
}

/// What burns and what explodes, beside the safety alert sign.
fn danger(s: &Setting<'_>) -> Block<'static> {
    let sizes = s.sizes;
    let pad = 0.8 * sizes.scale;
    let sign = 3.4 * sizes.scale;
    let room = s.width - sign - 3.0 * SIDE_PAD;
    let text = &s.side.back.danger;
    let mut lines = Phrase::new(text, Type::bold(sizes.bar)).lines(room);
    if lines.len() > 1 {
        lines = Phrase::new(text, Type::bold(sizes.small)).lines(room);
    }
    let first = lines.first().map_or(0.0, Line::capitals);
    let pitch = sizes.pitch;
    let height = first + pitch * lines.len().saturating_sub(1) as f64 + 2.0 * pad;
    Block::fixed(0.0, height.max(sign + 0.4), move |area| {
        let text = first + pitch * lines.len().saturating_sub(1) as f64;
        let top = area.y_mm + (area.height_mm - text) / 2.0;
        let mut items = vec![
            Item::Fill { area, black: true },
            Item::Alert {
                x_mm: area.x_mm + SIDE_PAD,
                y_mm: area.y_mm + (area.height_mm - sign * 5.8 / 6.6) / 2.0,
                width_mm: sign,
            },
        ];
        let lines = lines.iter().cloned().enumerate();
        items.extend(lines.map(|(at, line)| {
            let x = area.x_mm + sign + 2.0 * SIDE_PAD;
            white_at(x, top + first + pitch * at as f64, line)
        }));
        items
    })
}

/// How many lines the steps take beyond one each.
pub(crate) fn wrapped(s: &Setting<'_>) -> usize {
    let lines = step_lines(s, false).len();
    lines.saturating_sub(s.side.back.steps.len())
}

/// A line of steps: one, two short ones, or a further line of a long one.
struct StepLine {
    parts: Vec<(f64, Line)>,
    stop: bool,
    /// Whether the next line belongs to the same step.
    goes_on: bool,
}

/// The lines of all steps.
fn step_lines(s: &Setting<'_>, dense: bool) -> Vec<StepLine> {
    let sizes = s.sizes;
    let widest = s
        .side
        .back
        .steps
        .iter()
        .map(|step| number(step, sizes.small).width_mm);
    let numbers = widest.fold(0.0, f64::max) + SIDE_PAD;
    let text_x = numbers + 1.3 * sizes.scale;
    let mut lines: Vec<StepLine> = Vec::new();
    // Where the text of the last line ends, if a short step may follow it.
    let mut end: Option<f64> = None;
    for step in &s.side.back.steps {
        let of = Type {
            pt: sizes.small,
            bold: step.strong || step.stop,
        };
        let number = number(step, sizes.small);
        let text = Phrase::new(&step.text, of);
        let beside = number.width_mm + 1.3 * sizes.scale;
        let follows = end
            .map(|end| end + BETWEEN_STEPS)
            .filter(|start| dense && !step.stop && start + beside + text.width() <= s.width);
        if let (Some(start), Some(last)) = (follows, lines.last_mut()) {
            let width = text.width();
            last.parts.push((start, number));
            last.parts.push((start + beside, text.line()));
            end = Some(start + beside + width);
            continue;
        }
        let set = text.lines(s.width - text_x - if step.stop { SIDE_PAD } else { 0.0 });
        let count = set.len();
        end = (count == 1 && !step.stop).then(|| text_x + text.width());
        for (at, line) in set.into_iter().enumerate() {
            let mut parts = Vec::new();
            if at == 0 {
                parts.push((numbers - number.width_mm, number.clone()));
            }
            parts.push((text_x, line));
            lines.push(StepLine {
                parts,
                stop: step.stop,
                goes_on: at + 1 < count,
            });
        }
    }
    lines
}

fn steps(s: &Setting<'_>, dense: bool) -> Block<'static> {
    let sizes = s.sizes;
    let lines = step_lines(s, dense);
    let capitals = Type::bold(sizes.small).capitals();
    let stops = lines
        .iter()
        .filter(|line| line.stop && !line.goes_on)
        .count() as f64;
    // Around the black of a step.
    let pad = 0.75 * sizes.scale;
    let count = lines.len().saturating_sub(1) as f64;
    let height = move |pitch: f64| capitals + pitch * count + stops * 2.0 * pad;
    let (least, most) = (sizes.small * 0.372, sizes.small * 0.52);
    Block {
        gap: 0.9 * sizes.scale,
        least: height(least),
        most: height(most),
        draw: Box::new(move |area| {
            let pitch = if count > 0.0 {
                (area.height_mm - capitals - stops * 2.0 * pad) / count
            } else {
                least
            };
            draw_steps(&lines, area, capitals, pitch, pad)
        }),
    }
}

fn draw_steps(lines: &[StepLine], area: Area, capitals: f64, pitch: f64, pad: f64) -> Vec<Item> {
    let mut items = Vec::new();
    let mut base = area.y_mm + capitals;
    let mut started = None;
    for (at, line) in lines.iter().enumerate() {
        if at > 0 {
            base += pitch;
        }
        if line.stop {
            let top = *started.get_or_insert_with(|| {
                base += pad;
                base - capitals - pad
            });
            if !line.goes_on {
                let own = Area {
                    y_mm: top,
                    height_mm: base + pad - top,
                    ..area
                };
                // Under its words, so before them.
                let first = items.len() - stop_items(lines, at);
                items.insert(
                    first,
                    Item::Fill {
                        area: own,
                        black: true,
                    },
                );
            }
        }
        let text = if line.stop { white_at } else { line_at };
        for (x, part) in &line.parts {
            items.push(text(area.x_mm + x, base, part.clone()));
        }
        if line.stop && !line.goes_on {
            base += pad;
            started = None;
        }
    }
    items
}

/// How many items the lines of a stop step before its last have.
fn stop_items(lines: &[StepLine], last: usize) -> usize {
    let before = lines.get(..last).unwrap_or_default().iter().rev();
    let own = before.take_while(|line| line.stop && line.goes_on);
    own.map(|line| line.parts.len()).sum()
}

fn number(step: &CardStep, pt: f64) -> Line {
    Phrase::new(&step.number.to_string(), Type::bold(pt)).line()
}

/// Reasons to reject, diameters and walls, and fine print; beside the code.
fn tail(s: &Setting<'_>, coded: bool, with_digest: bool) -> Block<'static> {
    let sizes = s.sizes;
    let code = s.side.frame.code.as_ref().filter(|_| coded);
    let module = CODE_MODULE_MM;
    let side = code.map_or(0.0, |code| code.modules as f64 * module);
    let quiet = if code.is_some() {
        QUIET_MODULES * module
    } else {
        0.0
    };
    let room = if code.is_some() {
        s.width - side - 1.5 * quiet
    } else {
        s.width
    };
    let mut lines: Vec<(Line, f64)> = Vec::new();
    let fine = Type::regular(sizes.fine);
    let reject = s
        .side
        .back
        .reject
        .iter()
        .fold(Phrase::default(), |all, reason| {
            all.dot(Phrase::new(reason, fine))
        });
    let title = Phrase::new(&s.side.back.reject_title, Type::bold(sizes.small));
    let fine_pitch = sizes.fine_pitch;
    let reject = title.joined(1.6 * sizes.scale, reject).lines(room);
    lines.extend(reject.into_iter().map(|line| (line, fine_pitch)));
    let numbers = diameters(s, room).lines(room);
    lines.extend(numbers.into_iter().map(|line| (line, sizes.pitch)));
    let small = fine_print(s, with_digest).lines(room);
    lines.extend(small.into_iter().map(|line| (line, fine_pitch)));
    let rule = 0.9 * sizes.scale;
    let first = lines.first().map_or(0.0, |(line, _)| line.capitals());
    let text = rule + first + lines.iter().skip(1).map(|(_, pitch)| pitch).sum::<f64>();
    let height = text.max(side + quiet);
    Block::fixed(0.95 * sizes.scale, height, move |area| {
        let width_mm = if side > 0.0 { room } else { area.width_mm };
        let mut items = vec![Item::Rule {
            x_mm: area.x_mm,
            y_mm: area.y_mm,
            width_mm,
            pt: 0.7,
        }];
        let mut base = area.y_mm + rule + first;
        for (at, (line, pitch)) in lines.iter().enumerate() {
            if at > 0 {
                base += pitch;
            }
            items.push(line_at(area.x_mm, base, line.clone()));
        }
        if side > 0.0 {
            items.push(Item::Code {
                x_mm: area.x_mm + area.width_mm - side - quiet / 2.0,
                y_mm: area.y_mm + area.height_mm - side,
                side_mm: side,
            });
        }
        items
    })
}

/// Outside diameters, each with its size where that fits two lines, and the
/// thinnest wall.
fn diameters(s: &Setting<'_>, room: f64) -> Phrase {
    let back = s.side.back;
    let small = Type::regular(s.sizes.small);
    let bold = Type::bold(s.sizes.small);
    let with = |named: bool, gauges: bool| {
        let rows = s.rows.iter().filter_map(|row| {
            let mut cell = Phrase::default();
            if named {
                cell = cell.then(&row.size, bold);
            }
            cell = cell.then(row.outside_diameter.as_ref()?, small);
            if let Some(gauge) = row.gauge.as_ref().filter(|_| gauges) {
                cell = cell.then(gauge, small);
            }
            Some(cell.tied())
        });
        let all = rows.reduce(|all, cell| {
            if named {
                all.dot(cell)
            } else {
                all.joined(1.2, cell)
            }
        });
        let all = all.map(|all| Phrase::new(&back.diameter_label, small).joined(1.2, all));
        let wall = back
            .least_wall
            .as_ref()
            .map(|wall| Phrase::new(wall, small));
        all.into_iter()
            .chain(wall)
            .fold(Phrase::default(), Phrase::dot)
    };
    let lines = |phrase: &Phrase| phrase.lines(room).len();
    let full = with(true, s.extras > 2);
    if s.extras > 0 || lines(&full) < 2 {
        return full;
    }
    with(false, false)
}

fn fine_print(s: &Setting<'_>, with_digest: bool) -> Phrase {
    let fine = Type::regular(s.sizes.fine);
    let (frame, front) = (s.side.frame, s.side.front);
    let mut print = Phrase::default();
    // A copy of the back alone must not pass for a procedure in force.
    if let Some(tag) = &frame.tag {
        print = print.dot(Phrase::new(tag, Type::bold(s.sizes.fine)));
    }
    if with_digest {
        print = print.dot(digest(s.side, fine));
    }
    if s.extras > 1 {
        print = print.dot(Phrase::new(&frame.organization, fine));
    }
    if s.extras > 3 {
        if let Some(kind) = &front.resin_kind {
            print = print.dot(Phrase::new(kind, fine));
        }
        print = print.dot(Phrase::new(&frame.tables_line, fine));
        print = print.dot(Phrase::new(&s.side.back.deference, fine));
    }
    print
}
