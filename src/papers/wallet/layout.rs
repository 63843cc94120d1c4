//! Arranges the panels of wallet cards on the paper: person and numbers as front
//! and back of one card, or in a row that is folded like an accordion.

use serde::Serialize;

use crate::process::socket::sheets::card::Trim;
use crate::process::socket::sheets::card::imposition::{Piece, impose, stack};
use crate::spec::{Flip, Paper};

/// One sheet of a card set.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Layout {
    /// Width of the paper as printed.
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    /// Number of cards.
    pub(crate) slots: usize,
    /// Whether the panels of a card are in one row.
    pub(crate) stacked: bool,
    pub(crate) sides: Vec<LayoutSide>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct LayoutSide {
    /// Whether this is the back of the sheet.
    pub(crate) back: bool,
    pub(crate) panels: Vec<PlacedPanel>,
    /// The pieces to cut out.
    pub(crate) pieces: Vec<Piece>,
    /// Register marks, at the same places on both sides.
    pub(crate) register: Vec<(f64, f64)>,
}

/// A panel and its position, measured from the top left of the paper.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PlacedPanel {
    /// Index of the panel in the card; 0 is the person's.
    pub(crate) panel: usize,
    pub(crate) x_mm: f64,
    pub(crate) y_mm: f64,
    /// Whether it is upside down.
    pub(crate) turned: bool,
}

impl Layout {
    /// The position of each card's person panel.
    pub(crate) fn people(&self) -> impl Iterator<Item = &PlacedPanel> {
        let first = self.sides.first().into_iter();
        let panels = first.flat_map(|side| &side.panels);
        panels.filter(|at| at.panel == 0)
    }
}

/// Lays out one sheet of cards with this many panels each: as many cards as fit,
/// or `slots` of them. `None` if not even one fits.
pub(crate) fn lay_out(
    panels: usize,
    slots: Option<usize>,
    trim: &Trim,
    paper: Paper,
    flip: Flip,
) -> Option<Layout> {
    if panels > 2 {
        return stacked(panels, slots, trim, paper);
    }
    let full = impose(1, None, trim, paper, flip);
    let fronts = full.sides.first()?.faces.iter().filter(|face| !face.back);
    let slots = slots.unwrap_or(fronts.count());
    let sheet = impose(slots, Some(1), trim, paper, flip);
    let sides = sheet.sides.into_iter().map(|side| LayoutSide {
        back: side.back,
        panels: side
            .faces
            .iter()
            .map(|face| PlacedPanel {
                panel: usize::from(face.back),
                x_mm: face.x_mm,
                y_mm: face.y_mm,
                turned: face.turned,
            })
            .collect(),
        pieces: side.pieces,
        register: side.register,
    });
    Some(Layout {
        width_mm: sheet.width_mm,
        height_mm: sheet.height_mm,
        slots,
        stacked: false,
        sides: sides.collect(),
    })
}

fn stacked(panels: usize, slots: Option<usize>, trim: &Trim, paper: Paper) -> Option<Layout> {
    let sheet = stack(panels, trim, paper)?;
    let mut pieces = sheet.pieces;
    pieces.truncate(slots.unwrap_or(pieces.len()));
    let panels = pieces.iter().flat_map(|piece| {
        (0..panels).map(|panel| PlacedPanel {
            panel,
            x_mm: piece.x_mm,
            y_mm: panel_top(piece, panel),
            turned: false,
        })
    });
    Some(Layout {
        width_mm: sheet.width_mm,
        height_mm: sheet.height_mm,
        slots: pieces.len(),
        stacked: true,
        sides: vec![LayoutSide {
            back: false,
            panels: panels.collect(),
            register: Vec::new(),
            pieces,
        }],
    })
}

/// Top of a panel in a row.
fn panel_top(piece: &Piece, panel: usize) -> f64 {
    let fold = panel
        .checked_sub(1)
        .and_then(|n| piece.folds_across_mm.get(n));
    piece.y_mm + fold.copied().unwrap_or_default()
}
