//! Arranges the panels of wallet cards on the paper: person and numbers as front
//! and back of an upright card, or in a row that is folded like an accordion.

use serde::Serialize;

use crate::process::socket::sheets::card::Trim;
use crate::process::socket::sheets::card::imposition::{Piece, impose_upright, row};
use crate::spec::{Flip, Paper};

/// A sheet of a card set.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Layout {
    /// Width of the paper as printed.
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    /// Number of places for cards.
    pub(crate) slots: usize,
    /// Whether the panels of a card are in one row.
    pub(crate) folded: bool,
    pub(crate) sides: Vec<LayoutSide>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct LayoutSide {
    /// Whether this is the back of the sheet.
    pub(crate) back: bool,
    pub(crate) panels: Vec<PlacedPanel>,
    /// The pieces to cut out, one for each place.
    pub(crate) pieces: Vec<Piece>,
    /// Register marks, at the same places on both sides.
    pub(crate) register: Vec<(f64, f64)>,
}

/// A panel and its position, measured from the top left of the paper.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PlacedPanel {
    /// Which place on the sheet it belongs to.
    pub(crate) slot: usize,
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

/// Lays out one sheet of cards with this many panels each, as many cards as fit.
/// `None` if not even one fits.
pub(crate) fn lay_out(panels: usize, trim: &Trim, paper: Paper, flip: Flip) -> Option<Layout> {
    if panels > 2 {
        return folded(panels, trim, paper);
    }
    let sheet = impose_upright(trim, paper, flip);
    let slots = sheet.sides.first()?.faces.iter().filter(|face| !face.back);
    Some(Layout {
        width_mm: sheet.width_mm,
        height_mm: sheet.height_mm,
        slots: slots.count(),
        folded: false,
        sides: sheet
            .sides
            .into_iter()
            .map(|side| LayoutSide {
                back: side.back,
                panels: side
                    .faces
                    .iter()
                    .map(|face| PlacedPanel {
                        slot: face.card,
                        panel: usize::from(face.back),
                        x_mm: face.x_mm,
                        y_mm: face.y_mm,
                        turned: face.turned,
                    })
                    .collect(),
                pieces: side.pieces,
                register: side.register,
            })
            .collect(),
    })
}

fn folded(panels: usize, trim: &Trim, paper: Paper) -> Option<Layout> {
    let sheet = row(panels, trim, paper)?;
    let panels = sheet.pieces.iter().enumerate().flat_map(|(slot, piece)| {
        (0..panels).map(move |panel| PlacedPanel {
            slot,
            panel,
            x_mm: piece.x_mm + trim.width_mm * panel as f64,
            y_mm: piece.y_mm,
            turned: false,
        })
    });
    Some(Layout {
        width_mm: sheet.width_mm,
        height_mm: sheet.height_mm,
        slots: sheet.pieces.len(),
        folded: true,
        sides: vec![LayoutSide {
            back: false,
            panels: panels.collect(),
            register: Vec::new(),
            pieces: sheet.pieces,
        }],
    })
}
