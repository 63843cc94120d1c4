//! A face as drawn: items at places that were computed here. Blocks stand under
//! one another in a room of a fixed height; what is left over goes to the blocks
//! that can use it, then between them.

use serde::Serialize;

use super::setting::Line;
use super::table::Table;
use crate::papers::sheets::area::Area;
use crate::spec::language::Language;

/// The most that is left over between two blocks, in millimeters.
const MOST_GAP: f64 = 1.6;

/// A side of a card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Face {
    pub(crate) lang: Language,
    pub(crate) items: Vec<Item>,
}

/// What a face is drawn from, in millimeters from the corner of its trim.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub(crate) enum Item {
    /// A line of type on its baseline.
    Line {
        x_mm: f64,
        base_mm: f64,
        line: Line,
        /// White on black.
        white: bool,
        /// What bookmarks name the card by.
        heading: bool,
    },
    /// A black or tinted area.
    Fill { area: Area, black: bool },
    /// A frame to write in, or around a field.
    Frame { area: Area, pt: f64 },
    /// A level rule.
    Rule {
        x_mm: f64,
        y_mm: f64,
        width_mm: f64,
        pt: f64,
    },
    /// The safety alert sign, white on black.
    Alert { x_mm: f64, y_mm: f64, width_mm: f64 },
    /// A white triangle that points down.
    Pointer { x_mm: f64, y_mm: f64, width_mm: f64 },
    /// The table of times.
    Table(Table),
    /// The signed code.
    Code { x_mm: f64, y_mm: f64, side_mm: f64 },
}

/// Draws a block in the area that it gets.
type Draw<'a> = Box<dyn Fn(Area) -> Vec<Item> + 'a>;

/// A part of a face, as wide as its room.
pub(crate) struct Block<'a> {
    /// The least space before it.
    pub(crate) gap: f64,
    /// Least height.
    pub(crate) least: f64,
    /// Height beyond which it does not grow.
    pub(crate) most: f64,
    pub(crate) draw: Draw<'a>,
}

impl<'a> Block<'a> {
    /// A block of a fixed height.
    pub(crate) fn fixed(gap: f64, height: f64, draw: impl Fn(Area) -> Vec<Item> + 'a) -> Self {
        Self {
            gap,
            least: height,
            most: height,
            draw: Box::new(draw),
        }
    }
}

/// The items of blocks in a room; `None` if they are too high for it.
pub(crate) fn stacked(blocks: &[Block<'_>], room: Area) -> Option<Vec<Item>> {
    let gaps = blocks.iter().skip(1).map(|block| block.gap).sum::<f64>();
    let least = blocks.iter().map(|block| block.least).sum::<f64>() + gaps;
    let spare = room.height_mm - least;
    if spare < 0.0 {
        return None;
    }
    let growth = blocks.iter().map(|b| b.most - b.least).sum::<f64>();
    let share = if growth > 0.0 {
        (spare / growth).min(1.0)
    } else {
        0.0
    };
    let count = blocks.len().saturating_sub(1).max(1) as f64;
    let more_gap = ((spare - growth * share) / count).clamp(0.0, MOST_GAP);
    let mut y_mm = room.y_mm;
    let mut items = Vec::new();
    for (at, block) in blocks.iter().enumerate() {
        if at > 0 {
            y_mm += block.gap + more_gap;
        }
        let height_mm = block.least + (block.most - block.least) * share;
        items.extend((block.draw)(Area {
            y_mm,
            height_mm,
            ..room
        }));
        y_mm += height_mm;
    }
    Some(items)
}

/// A line of type at a place.
pub(crate) fn line_at(x_mm: f64, base_mm: f64, line: Line) -> Item {
    Item::Line {
        x_mm,
        base_mm,
        line,
        white: false,
        heading: false,
    }
}

/// The same in white.
pub(crate) fn white_at(x_mm: f64, base_mm: f64, line: Line) -> Item {
    Item::Line {
        x_mm,
        base_mm,
        line,
        white: true,
        heading: false,
    }
}

/// Lines under one another from the top of an area, a pitch apart.
pub(crate) fn paragraph(lines: Vec<Line>, gap: f64, pitch: f64) -> Block<'static> {
    let first = lines.first().map_or(0.0, Line::capitals);
    let height = first + pitch * lines.len().saturating_sub(1) as f64;
    Block::fixed(gap, height, move |area| {
        let lines = lines.iter().cloned().enumerate();
        lines
            .map(|(at, line)| line_at(area.x_mm, area.y_mm + first + pitch * at as f64, line))
            .collect()
    })
}

/// White lines on a black bar, left-aligned.
pub(crate) fn black_bar(lines: Vec<Line>, gap: f64, pad: f64, pitch: f64) -> Block<'static> {
    let first = lines.first().map_or(0.0, Line::capitals);
    let text = first + pitch * lines.len().saturating_sub(1) as f64;
    Block::fixed(gap, text + 2.0 * pad, move |area| {
        let mut items = vec![Item::Fill { area, black: true }];
        let lines = lines.iter().cloned().enumerate();
        items.extend(lines.map(|(at, line)| {
            let base = area.y_mm + pad + first + pitch * at as f64;
            white_at(area.x_mm + SIDE_PAD, base, line)
        }));
        items
    })
}

/// From the end of a bar to its words.
pub(crate) const SIDE_PAD: f64 = 1.0;
