//! Chooses the trim of a card and draws its faces: the smallest trim that holds
//! every size and all steps; on the last trim, the fewest cards. Every card has
//! all steps: half of them would be read as all.

use serde::Serialize;

use super::back_face::{self, BACK_EXTRAS};
use super::face::Trim;
use super::flow::{Block, Face, Item, stacked};
use super::front::Row;
use super::front_face::{self, FRONT_EXTRAS, Setting};
use super::sizes::{Sizes, x_height};
use super::{CardSheet, Part, Side};
use crate::papers::sheets::area::Area;

/// The steps by which type grows.
const STEP: f64 = 0.05;
/// The most that the numbers of the table grow beyond the rest of a face.
const TABLE_GROWTH: f64 = 1.4;
/// The most that a back grows beyond the front.
const BACK_GROWTH: f64 = 1.25;

/// A card as drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Card {
    pub(crate) front: Face,
    pub(crate) back: Face,
}

/// All cards of a set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Plan {
    pub(crate) trim: Trim,
    pub(crate) cards: Vec<Card>,
    /// Lower-case height of the heating times in millimeters.
    #[serde(skip)]
    pub(crate) heating_mm: f64,
}

/// The first plan that fits; `None` if a size or the steps are too much for a
/// card of any of the sheet's trims.
pub(crate) fn plan(sheet: &CardSheet) -> Option<Plan> {
    let rows = sheet.front.rows.len().max(1);
    let Some(other) = sheet.other_side() else {
        let whole = sheet
            .trims
            .iter()
            .find_map(|trim| apart(sheet, trim, 1, &[sheet.side()]));
        let split = || {
            let last = sheet.trims.last()?;
            (2..=rows).find_map(|parts| apart(sheet, last, parts, &[sheet.side()]))
        };
        return whole.or_else(split);
    };
    // The fewest cards, on the smallest trim that holds them.
    let sides = [sheet.side(), other];
    (1..=2 * rows).find_map(|cards| {
        sheet.trims.iter().find_map(|trim| {
            let both = (cards <= rows)
                .then(|| together(sheet, trim, cards, sides))
                .flatten();
            let each = || apart(sheet, trim, cards / 2, &sides);
            both.or_else(|| if cards % 2 == 0 { each() } else { None })
        })
    })
}

/// Cards with numbers in front and steps behind, in each language.
fn apart(sheet: &CardSheet, trim: &Trim, parts: usize, sides: &[Side<'_>]) -> Option<Plan> {
    let count = parts * sides.len();
    let mut cards = Vec::new();
    let mut heating = f64::INFINITY;
    for (n, side) in sides.iter().enumerate() {
        for at in 0..parts {
            let part = Part {
                index: n * parts + at,
                count,
            };
            let rows = share(&side.front.rows, parts, at);
            let front = front(sheet, trim, *side, rows, part)?;
            heating = heating.min(front.heating_mm);
            let back = back(sheet, trim, *side, rows, part, &front)?;
            cards.push(Card {
                front: front.face,
                back,
            });
        }
    }
    Some(Plan {
        trim: trim.clone(),
        cards,
        heating_mm: heating,
    })
}

/// Cards with numbers and steps of one language on each side.
fn together(sheet: &CardSheet, trim: &Trim, parts: usize, sides: [Side<'_>; 2]) -> Option<Plan> {
    let mut cards = Vec::new();
    let mut heating = f64::INFINITY;
    for at in 0..parts {
        let part = Part {
            index: at,
            count: parts,
        };
        let [front, back] = [(sides[0], true), (sides[1], false)].map(|(side, is_front)| {
            let rows = share(&side.front.rows, parts, at);
            // Once a card is enough for the code.
            let coded = is_front && side.frame.code.is_some();
            let room = room(sheet, trim, is_front);
            let tries = scales(trim).flat_map(|scale| [(scale, 2), (scale, 0)]);
            tries.into_iter().find_map(|(scale, extras)| {
                let setting = Setting {
                    side,
                    rows,
                    part,
                    sizes: Sizes::new(sheet.least, scale, 1.0),
                    width: room.width_mm,
                    upright: false,
                    to_write: true,
                    extras,
                };
                let mut blocks = front_face::blocks(&setting)?;
                let dense = true;
                blocks.extend(
                    back_face::blocks(&setting, coded, dense, true)
                        .into_iter()
                        .map(|block| Block {
                            gap: block.gap.max(0.9),
                            ..block
                        }),
                );
                blocks.extend(front_face::foot_block(&setting));
                let items = stacked(&blocks, room)?;
                let height = x_height(setting.sizes.heat);
                Some((face(side, items), height))
            })
        });
        let ((front, a), (back, b)) = (front?, back?);
        heating = heating.min(a).min(b);
        cards.push(Card { front, back });
    }
    Some(Plan {
        trim: trim.clone(),
        cards,
        heating_mm: heating,
    })
}

fn face(side: Side<'_>, items: Vec<Item>) -> Face {
    Face {
        lang: side.frame.lang,
        items,
    }
}

/// The rows of one part.
pub(crate) fn share(rows: &[Row], parts: usize, at: usize) -> &[Row] {
    let parts = parts.max(1);
    let (start, end) = (at * rows.len() / parts, (at + 1) * rows.len() / parts);
    rows.get(start..end).unwrap_or_default()
}

/// Scales of a trim, the largest first: its width is that of the smallest trim as
/// often. Never below that of the least sizes.
fn scales(trim: &Trim) -> impl Iterator<Item = f64> + use<> {
    const SMALLEST_MM: f64 = 85.6;
    let most = (trim.width_mm / SMALLEST_MM).max(1.0);
    let steps = ((most - 1.0) / STEP).floor() as u32;
    (0..=steps).rev().map(|step| 1.0 + STEP * f64::from(step))
}

/// What of a face may be read. The slot is at the left of the front, so at the
/// right of the back.
fn room(sheet: &CardSheet, trim: &Trim, front: bool) -> Area {
    // Accents go beyond the lines, and letters beyond their widths.
    const OVERHANG_MM: f64 = 0.25;
    let safe = sheet.safe_mm;
    let slot = sheet.lanyard.map_or(safe, |slot| slot.zone_mm);
    Area {
        x_mm: if front { slot } else { safe } + OVERHANG_MM,
        y_mm: safe + OVERHANG_MM,
        width_mm: trim.width_mm - slot - safe - 2.0 * OVERHANG_MM,
        height_mm: trim.height_mm - 2.0 * safe - OVERHANG_MM,
    }
}

/// A front, and what its back need not repeat.
struct Front {
    face: Face,
    heating_mm: f64,
    scale: f64,
    has_digest: bool,
}

fn front(
    sheet: &CardSheet,
    trim: &Trim,
    side: Side<'_>,
    rows: &[Row],
    part: Part,
) -> Option<Front> {
    let room = room(sheet, trim, true);
    let set = |scale: f64, table: f64, extras: usize| {
        let setting = Setting {
            side,
            rows,
            part,
            sizes: Sizes::new(sheet.least, scale, table),
            width: room.width_mm,
            upright: false,
            to_write: true,
            extras,
        };
        let mut blocks = front_face::blocks(&setting)?;
        blocks.extend(front_face::foot_block(&setting));
        stacked(&blocks, room)
    };
    let scale = scales(trim).find(|scale| set(*scale, 1.0, 0).is_some())?;
    let extras = (0..=FRONT_EXTRAS)
        .rev()
        .find(|extras| set(scale, 1.0, *extras).is_some())?;
    let tables = (0..=8).rev().map(|step| 1.0 + STEP * f64::from(step));
    let table = tables
        .filter(|table| *table <= TABLE_GROWTH)
        .find(|table| set(scale, *table, extras).is_some())?;
    Some(Front {
        face: face(side, set(scale, table, extras)?),
        heating_mm: x_height(Sizes::new(sheet.least, scale, table).heat),
        scale,
        has_digest: extras >= FRONT_EXTRAS,
    })
}

fn back(
    sheet: &CardSheet,
    trim: &Trim,
    side: Side<'_>,
    rows: &[Row],
    part: Part,
    front: &Front,
) -> Option<Face> {
    let room = room(sheet, trim, false);
    let coded = side.frame.code.is_some();
    let setting = |scale: f64, extras: usize| Setting {
        side,
        rows,
        part,
        sizes: Sizes::new(sheet.least, scale, 1.0),
        width: room.width_mm,
        upright: false,
        to_write: true,
        extras,
    };
    let set = |scale: f64, dense: bool, extras: usize| {
        let setting = setting(scale, extras);
        let blocks = back_face::blocks(&setting, coded, dense, !front.has_digest);
        stacked(&blocks, room)
    };
    // The heating times stay the largest type of the card, and type does not grow
    // so much that more steps need a second line.
    let most = (front.scale * BACK_GROWTH / STEP).floor() as u32;
    let scales: Vec<_> = (20..=most)
        .rev()
        .map(|step| STEP * f64::from(step))
        .collect();
    let wrapped = back_face::wrapped(&setting(1.0, 0));
    let tries = scales
        .iter()
        .flat_map(|scale| [(*scale, false), (*scale, true)]);
    let (scale, dense) = tries
        .filter(|(scale, _)| back_face::wrapped(&setting(*scale, 0)) <= wrapped)
        .find(|(scale, dense)| set(*scale, *dense, 0).is_some())?;
    let extras = (0..=BACK_EXTRAS)
        .rev()
        .find(|extras| set(scale, dense, *extras).is_some())?;
    Some(face(side, set(scale, dense, extras)?))
}

/// The fronts alone, on upright panels of a trim, the fewest that hold all sizes.
pub(crate) fn panels(sheet: &CardSheet, trim: &Trim) -> Option<Plan> {
    let rows = sheet.front.rows.len().max(1);
    (1..=rows).find_map(|parts| {
        let mut cards = Vec::new();
        let mut heating = f64::INFINITY;
        for index in 0..parts {
            let side = sheet.side();
            let part = Part {
                index,
                count: parts,
            };
            let rows = share(&side.front.rows, parts, index);
            let (panel, heating_mm) = panel(sheet, trim, side, rows, part)?;
            heating = heating.min(heating_mm);
            cards.push(Card {
                back: panel.clone(),
                front: panel,
            });
        }
        Some(Plan {
            trim: trim.clone(),
            cards,
            heating_mm: heating,
        })
    })
}

fn panel(
    sheet: &CardSheet,
    trim: &Trim,
    side: Side<'_>,
    rows: &[Row],
    part: Part,
) -> Option<(Face, f64)> {
    const MARGIN_MM: f64 = 3.25;
    let room = Area {
        x_mm: MARGIN_MM,
        y_mm: MARGIN_MM,
        width_mm: trim.width_mm - 2.0 * MARGIN_MM,
        height_mm: trim.height_mm - 2.0 * MARGIN_MM,
    };
    let set = |to_write: bool, scale: f64, table: f64, extras: usize| {
        let setting = Setting {
            side,
            rows,
            part,
            sizes: Sizes::new(sheet.least, scale, table).upright(),
            width: room.width_mm,
            upright: true,
            to_write,
            extras,
        };
        let mut blocks = front_face::blocks(&setting)?;
        blocks.extend(super::panel_face::blocks(&setting));
        blocks.extend(front_face::foot_block(&setting));
        stacked(&blocks, room)
    };
    let upright = Trim {
        width_mm: trim.height_mm,
        height_mm: trim.width_mm,
        ..trim.clone()
    };
    // Boxes to write in are worth smaller type, but not another panel.
    let (to_write, scale) = [true, false].into_iter().find_map(|to_write| {
        let scale = scales(&upright).find(|scale| set(to_write, *scale, 1.0, 0).is_some())?;
        Some((to_write, scale))
    })?;
    let set = |scale: f64, table: f64, extras: usize| set(to_write, scale, table, extras);
    let extras = (0..=2)
        .rev()
        .find(|extras| set(scale, 1.0, *extras).is_some())?;
    let tables = [1.2, 1.15, 1.1, 1.05, 1.0];
    let table = tables
        .into_iter()
        .find(|table| set(scale, *table, extras).is_some())?;
    let heating = x_height(Sizes::new(sheet.least, scale, table).heat);
    Some((face(side, set(scale, table, extras)?), heating))
}
