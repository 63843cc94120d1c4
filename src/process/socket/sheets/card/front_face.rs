//! Draws the front of the card: head, bar, what applies at which pipe
//! temperature, the table of times, the limits in white on black.

use super::flow::{Block, Item, SIDE_PAD, black_bar, line_at, paragraph, white_at};
use super::front::{Field, Row};
use super::setting::{Line, Phrase, Type};
use super::sizes::Sizes;
use super::table;
use super::{Part, Side};
use crate::papers::sheets::area::Area;

/// What a face is drawn for.
pub(crate) struct Setting<'a> {
    pub(crate) side: Side<'a>,
    pub(crate) rows: &'a [Row],
    pub(crate) part: Part,
    pub(crate) sizes: Sizes,
    /// Width of what is read, in millimeters.
    pub(crate) width: f64,
    /// Whether the card stands upright.
    pub(crate) upright: bool,
    /// Whether a rule for the cold has its boxes to write in.
    pub(crate) to_write: bool,
    /// How many of the lines that may be left out are printed.
    pub(crate) extras: usize,
}

/// How many lines of the front may be left out.
pub(crate) const FRONT_EXTRAS: usize = 3;

/// The blocks of the front; `None` if a line is too wide.
pub(crate) fn blocks<'a>(s: &Setting<'a>) -> Option<Vec<Block<'a>>> {
    let front = s.side.front;
    let mut blocks = head(s);
    blocks.push(bar(s));
    if !front.fields.is_empty() {
        blocks.push(strip(s)?);
    }
    let fitted = table::fit(front, s.rows, &s.sizes, s.width, s.upright, s.to_write)?;
    blocks.push(Block {
        gap: 0.5 * s.sizes.scale,
        least: fitted.least,
        most: fitted.most,
        draw: Box::new(move |area| vec![Item::Table(fitted.at(area))]),
    });
    blocks.push(limits(s));
    let notes = notes(s);
    if !notes.is_empty() {
        blocks.push(paragraph(notes.lines(s.width), gap(s), s.sizes.pitch));
    }
    Some(blocks)
}

/// Space above a paragraph.
fn gap(s: &Setting<'_>) -> f64 {
    0.9 * s.sizes.scale
}

/// The number, which card of how many, resin and walls, and the status.
fn head<'a>(s: &Setting<'a>) -> Vec<Block<'a>> {
    let (sizes, frame) = (s.sizes, s.side.frame);
    let small = Type::regular(sizes.small);
    let mut name = Phrase::new(&frame.number, Type::bold(sizes.number));
    let revision = format!("{} {}", s.side.revision_label, frame.revision);
    name = name.after(2.0 * sizes.scale, &revision, small);
    if s.part.count > 1 {
        let part = format!(
            "{} {} {} {}",
            s.side.label,
            s.part.index + 1,
            frame.of_label,
            s.part.count
        );
        name = name.after(2.0 * sizes.scale, &part, small);
    }
    let resin = resin(s);
    let tag = tag(s);
    let tag_room = tag.as_ref().map_or(0.0, |(_, width)| width + 1.5);
    let line = name.width() + 3.0 + resin.width() + tag_room;
    let height = 3.7 * sizes.scale;
    let mut blocks = Vec::new();
    if line <= s.width {
        let resin = resin.line();
        let name = name.line();
        let width = s.width;
        blocks.push(Block::fixed(0.0, height, move |area| {
            let base = area.y_mm + (height + name.capitals()) / 2.0;
            let x = area.x_mm + width - tag_room - resin.width_mm;
            let mut items = vec![
                heading(area.x_mm, base, name.clone()),
                line_at(x, base, resin.clone()),
            ];
            items.extend(tag_items(tag.as_ref(), area, height));
            items
        }));
        return blocks;
    }
    // The resin beside the number, if only the walls need a line of their own.
    let bold = Type::bold(sizes.small);
    let own = Phrase::new(&s.side.front.resin, bold);
    let walls = s.side.front.walls.as_ref();
    let beside = name.width() + 3.0 + own.width() + tag_room <= s.width && walls.is_some();
    let (own, below) = if beside {
        let walls = walls
            .map(|walls| Phrase::new(walls, bold))
            .unwrap_or_default();
        (Some(own.line()), walls)
    } else {
        (None, resin)
    };
    let width = s.width;
    let lines = name.lines(s.width - tag_room);
    let pitch = sizes.number * 0.375;
    let more = pitch * lines.len().saturating_sub(1) as f64;
    blocks.push(Block::fixed(0.0, height + more, move |area| {
        let first = lines.first().map_or(0.0, Line::capitals);
        let base = area.y_mm + (height + first) / 2.0;
        let named = lines.iter().cloned().enumerate();
        let mut items: Vec<_> = named
            .map(|(at, line)| heading(area.x_mm, base + pitch * at as f64, line))
            .collect();
        items.extend(own.iter().map(|own| {
            let x = area.x_mm + width - tag_room - own.width_mm;
            line_at(x, base, own.clone())
        }));
        items.extend(tag_items(tag.as_ref(), area, height));
        items
    }));
    blocks.push(paragraph(below.lines(s.width), 0.5, sizes.pitch));
    blocks
}

/// The resin, and the walls that the times are for.
fn resin(s: &Setting<'_>) -> Phrase {
    let bold = Type::bold(s.sizes.small);
    let resin = Phrase::new(&s.side.front.resin, bold);
    match &s.side.front.walls {
        Some(walls) => resin.dot(Phrase::new(walls, bold)),
        None => resin,
    }
}

fn heading(x_mm: f64, base_mm: f64, line: Line) -> Item {
    Item::Line {
        x_mm,
        base_mm,
        line,
        white: false,
        heading: true,
    }
}

/// The word of a status that nobody works by, and the width of its tag.
fn tag(s: &Setting<'_>) -> Option<(Line, f64)> {
    let frame = s.side.frame;
    let word = Phrase::new(frame.tag.as_ref()?, Type::bold(s.sizes.bar)).line();
    let width = word.width_mm + 3.0 * s.sizes.scale;
    Some((word, width))
}

fn tag_items(tag: Option<&(Line, f64)>, area: Area, height: f64) -> Vec<Item> {
    let Some((word, width)) = tag else {
        return Vec::new();
    };
    let own = Area {
        x_mm: area.x_mm + area.width_mm - width,
        width_mm: *width,
        height_mm: height,
        ..area
    };
    let base = own.y_mm + (height + word.capitals()) / 2.0;
    let black = Item::Fill {
        area: own,
        black: true,
    };
    vec![
        black,
        white_at(own.center(word.width_mm), base, word.clone()),
    ]
}

/// Set point, faces and pipe, spread over the bar; on several lines if they do
/// not fit one.
fn bar(s: &Setting<'_>) -> Block<'static> {
    let front = s.side.front;
    let sizes = s.sizes;
    let pad = 0.8 * sizes.scale;
    let room = s.width - 2.0 * SIDE_PAD;
    let has_fields = !front.fields.is_empty();
    let pointer = if has_fields { 2.4 * sizes.scale } else { 0.0 };
    let texts = [&front.set_point, &front.faces, &front.pipe];
    let set = |pt: f64| texts.map(|text| Phrase::new(text, Type::bold(pt)));
    let total = |cells: &[Phrase]| cells.iter().map(Phrase::width).sum::<f64>() + 4.0 + pointer;
    let mut cells = set(sizes.bar);
    if total(&cells) > room {
        cells = set(sizes.small);
    }
    let one_line = total(&cells) <= room;
    let mut lines: Vec<Vec<Line>> = Vec::new();
    if one_line {
        lines.push(cells.iter().map(Phrase::line).collect());
    } else {
        for cell in cells {
            let last = lines.last_mut();
            let used = |line: &Vec<Line>| line.iter().map(|cell| cell.width_mm + 2.0).sum::<f64>();
            match last {
                Some(line) if used(line) + cell.width() <= room => line.push(cell.line()),
                _ => lines.extend(cell.lines(room).into_iter().map(|line| vec![line])),
            }
        }
    }
    let capitals = Type::bold(sizes.small).capitals();
    let height = capitals + sizes.pitch * lines.len().saturating_sub(1) as f64 + 2.0 * pad;
    let pitch = sizes.pitch;
    Block::fixed(0.5 * sizes.scale, height, move |area| {
        let mut items = vec![Item::Fill { area, black: true }];
        let last = lines.len().saturating_sub(1);
        for (at, line) in lines.iter().enumerate() {
            let base = area.y_mm + pad + capitals + pitch * at as f64;
            let points = has_fields && at == last;
            let end = if points { pointer } else { 0.0 };
            let own: f64 = line.iter().map(|cell| cell.width_mm).sum();
            let spaces = line.len().saturating_sub(1).max(1) as f64;
            let space = (room - end - own) / spaces;
            let mut x = area.x_mm + SIDE_PAD;
            for cell in line {
                items.push(white_at(x, base, cell.clone()));
                x += cell.width_mm + space;
            }
            if points {
                items.push(Item::Pointer {
                    x_mm: area.x_mm + SIDE_PAD + room - pointer + 0.5,
                    y_mm: base - capitals,
                    width_mm: capitals,
                });
            }
        }
        items
    })
}

/// What to do at which pipe temperature: one field for each, in a row, or in two
/// rows if they are too wide for one.
fn strip(s: &Setting<'_>) -> Option<Block<'static>> {
    let fields = &s.side.front.fields;
    let sizes = s.sizes;
    let set = |bold: bool| -> Vec<(Line, Line)> {
        let of = Type {
            pt: sizes.small,
            bold,
        };
        let made = fields.iter().map(|field: &Field| {
            let range = Phrase::new(&field.range.text, of).mark(field.range.verify, sizes.small);
            // Orders have no numbers.
            let order = match &field.upright_order {
                Some(order) if !s.to_write => order,
                _ => &field.order,
            };
            let order = Phrase::new(order, Type::bold(sizes.small * 0.9));
            (range.line(), order.line())
        });
        made.collect()
    };
    let widths = |fields: &[(Line, Line)]| -> Vec<f64> {
        let widths = fields
            .iter()
            .map(|(range, order)| range.width_mm.max(order.width_mm) + 1.4);
        widths.collect()
    };
    let fits = |fields: &[(Line, Line)], width: f64| widths(fields).iter().sum::<f64>() <= width;
    let mut all = set(true);
    if !fits(&all, s.width) {
        all = set(false);
    }
    let rows: Vec<Vec<(Line, Line)>> = if fits(&all, s.width) {
        vec![all]
    } else {
        let all = set(true);
        all.chunks(2).map(<[_]>::to_vec).collect()
    };
    if !rows.iter().all(|row| fits(row, s.width)) {
        return None;
    }
    let stops: Vec<bool> = fields.iter().map(|field| field.stop).collect();
    let (range, order) = (
        Type::bold(sizes.small).capitals(),
        Type::bold(sizes.small * 0.9).capitals(),
    );
    let pad = 0.5 * sizes.scale;
    let row_height = range + order + 3.0 * pad;
    let height = row_height * rows.len() as f64;
    Some(Block::fixed(0.3 * sizes.scale, height, move |area| {
        let mut items = Vec::new();
        let mut at = 0;
        for (n, row) in rows.iter().enumerate() {
            let own = widths(row);
            let more = (area.width_mm - own.iter().sum::<f64>()) / row.len().max(1) as f64;
            let mut x_mm = area.x_mm;
            for ((range_line, order_line), width) in row.iter().zip(own) {
                let field = Area {
                    x_mm,
                    y_mm: area.y_mm + row_height * n as f64,
                    width_mm: width + more,
                    height_mm: row_height,
                };
                let stop = stops.get(at).copied().unwrap_or_default();
                let text = if stop { white_at } else { line_at };
                items.push(if stop {
                    Item::Fill {
                        area: field,
                        black: true,
                    }
                } else {
                    Item::Frame {
                        area: field,
                        pt: 0.8,
                    }
                });
                let base = field.y_mm + pad + range;
                items.push(text(
                    field.center(range_line.width_mm),
                    base,
                    range_line.clone(),
                ));
                let base = base + pad + order;
                items.push(text(
                    field.center(order_line.width_mm),
                    base,
                    order_line.clone(),
                ));
                x_mm += width + more;
                at += 1;
            }
        }
        items
    }))
}

/// Off the heater, hands off, pressure test: in white on black.
fn limits(s: &Setting<'_>) -> Block<'static> {
    let room = s.width - 2.0 * SIDE_PAD;
    let groups = |tied: bool| limit_groups(s, tied);
    let set = |groups: &[Phrase]| -> Vec<Line> {
        let whole = groups.iter().cloned().reduce(|a, b| a.joined(4.0, b));
        match whole {
            Some(whole) if whole.width() <= room => vec![whole.line()],
            _ => groups.iter().flat_map(|group| group.lines(room)).collect(),
        }
    };
    // A limit stays in one line, unless that takes more of them.
    let (tied, free) = (set(&groups(true)), set(&groups(false)));
    let lines = if tied.len() > free.len() { free } else { tied };
    let scale = s.sizes.scale;
    black_bar(lines, 0.5 * scale, 0.68 * scale, s.sizes.pitch)
}

/// The strong limits each alone, and the others together.
fn limit_groups(s: &Setting<'_>, tied: bool) -> Vec<Phrase> {
    let front = s.side.front;
    let of = |strong: bool| Type {
        pt: s.sizes.small,
        bold: strong,
    };
    let mut groups = Vec::new();
    let mut rest = Phrase::default();
    for cell in front.limits.iter().chain(&front.no_cold) {
        let phrase = Phrase::new(&cell.text, of(cell.strong)).mark(cell.verify, s.sizes.mark);
        match (cell.strong, tied) {
            (true, _) => groups.push(phrase),
            (false, true) => rest = rest.dot(phrase.tied()),
            (false, false) => rest = rest.dot(phrase),
        }
    }
    if let Some(from) = front.counted_from.as_ref().filter(|_| !rest.is_empty()) {
        let from = Phrase::new(from, of(false));
        rest = rest.dot(if tied { from.tied() } else { from });
    }
    if !rest.is_empty() {
        groups.push(rest);
    }
    groups
}

fn notes(s: &Setting<'_>) -> Phrase {
    let notes = s.side.front.notes.iter().map(|cell| {
        let of = Type {
            pt: s.sizes.small,
            bold: cell.strong,
        };
        Phrase::new(&cell.text, of).mark(cell.verify, s.sizes.mark)
    });
    notes
        .reduce(|all, note| all.joined(2.5, note))
        .unwrap_or_default()
}

/// What stands small at the foot: what the mark means, from where the depth is
/// measured, and the digest.
fn foot(s: &Setting<'_>) -> Phrase {
    let (front, sizes) = (s.side.front, s.sizes);
    let fine = Type::regular(sizes.fine);
    let mut foot = Phrase::default();
    if front.has_mark(s.rows) {
        let mark = Phrase::from_mark(sizes.mark);
        let legend = if s.extras > 0 {
            s.side.legend
        } else {
            s.side.short_legend
        };
        foot = foot.dot(mark.then(legend, fine));
    }
    if s.extras > 1 {
        foot = foot.dot(Phrase::new(&front.depth_note, fine));
    }
    if s.extras > 2 {
        foot = foot.dot(digest(s.side, fine));
    }
    foot
}

/// The date of the revision, and the digests of the spec and of the house style.
pub(crate) fn digest(side: Side<'_>, of: Type) -> Phrase {
    let tied = format!("{}\u{a0}·\u{a0}{}", side.frame.date, side.frame.digest);
    let digest = Phrase::new(&tied, of);
    match &side.frame.house_line {
        Some(house) => digest.dot(Phrase::new(house, of)),
        None => digest,
    }
}

/// The date from which the card counts, and the foot: in one line if they fit it.
pub(crate) fn foot_block(s: &Setting<'_>) -> Option<Block<'static>> {
    let foot = foot(s);
    // On a wallet card it stands beside the name.
    let dated = s.side.frame.tag.is_none() && !s.upright;
    let effective =
        dated.then(|| Phrase::new(&s.side.frame.effective_line, Type::bold(s.sizes.small)));
    let one = effective
        .iter()
        .cloned()
        .chain([foot.clone()])
        .fold(Phrase::default(), Phrase::dot);
    let lines = if one.width() <= s.width {
        one.lines(s.width)
    } else {
        let dated = effective
            .iter()
            .flat_map(|effective| effective.lines(s.width));
        dated.chain(foot.lines(s.width)).collect()
    };
    if lines.is_empty() {
        return None;
    }
    let pitch = lines.iter().skip(1).map(Line::capitals).fold(0.0, f64::max);
    let pitch = (pitch + 0.75 * s.sizes.scale).max(s.sizes.fine_pitch);
    Some(paragraph(lines, gap(s), pitch))
}
