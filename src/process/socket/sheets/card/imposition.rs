//! Arranges the faces on the paper. A card turns over like a page of a book,
//! about its upright edge, however the sheet was turned in the printer; so front
//! and back belong to the same card in every printing mode.

use serde::Serialize;

use crate::core::units::Length;
use crate::process::socket::sheets::card::face::Trim;
use crate::spec::{Flip, Paper};

/// Border that a desktop printer cannot reach.
const EDGE: Length = Length::from_micrometers(6_000);
/// Room for crop marks, from the trim.
const MARKS: Length = Length::from_micrometers(4_000);
/// Room for the notes above the cards, and again below.
const NOTES: Length = Length::from_micrometers(9_000);
/// Room for the notes around wallet cards, which have one line.
const WALLET_NOTES: Length = Length::from_micrometers(6_000);
/// Between cards: two sets of crop marks, and more than twice the seal of a
/// laminating pouch.
const GAP: Length = Length::from_micrometers(8_000);
/// Between wallet cards, so that four by two fit a sheet. The crop marks of
/// neighbors lie on one line.
const WALLET_GAP: Length = Length::from_micrometers(6_000);
/// From the paper's edge to the center of a register mark.
const REGISTER: Length = Length::from_micrometers(8_500);

/// All sheets to print.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Imposition {
    /// Width of the paper as printed.
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    /// Sides, in printing order.
    pub(crate) sides: Vec<Side>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Side {
    /// Whether it holds only backs.
    pub(crate) back: bool,
    pub(crate) faces: Vec<Placed>,
    /// The pieces to cut out.
    pub(crate) pieces: Vec<Piece>,
    /// Register marks, at the same places on front and back.
    pub(crate) register: Vec<(f64, f64)>,
}

/// A face and its position, from the top left of the paper.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Placed {
    pub(crate) card: usize,
    pub(crate) back: bool,
    pub(crate) x_mm: f64,
    pub(crate) y_mm: f64,
    /// Whether it is upside down.
    pub(crate) turned: bool,
    /// Whether it repeats an earlier face.
    pub(crate) copy: bool,
}

/// A piece to cut out: a card, or front and back side by side.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Piece {
    pub(crate) x_mm: f64,
    pub(crate) y_mm: f64,
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    /// Positions of the vertical fold lines, from the left.
    pub(crate) folds_mm: Vec<f64>,
}

/// A sheet of cards with their panels side by side.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct RowSheet {
    /// Width of the paper as printed.
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    pub(crate) pieces: Vec<Piece>,
}

/// Lays out sets of `cards` cards; as many sets as fit on a sheet, unless their
/// number is given.
pub(crate) fn impose(
    cards: usize,
    sets: Option<u32>,
    trim: &Trim,
    paper: Paper,
    flip: Flip,
) -> Imposition {
    let size = Rect::of(trim, 1);
    let grid = Grid::new(size, paper, flip);
    let places = grid.places();
    let sets = match sets {
        Some(sets) => usize::try_from(sets).unwrap_or(usize::MAX),
        None => (places.len() / cards.max(1)).max(1),
    };
    let order: Vec<_> = (0..sets)
        .flat_map(|set| (0..cards).map(move |card| (card, set > 0)))
        .collect();
    grid.sheets(&order, size, flip, flip == Flip::Short)
}

/// Lays out one sheet of upright cards, each with a number of its own. On a sheet
/// that lies, backs stand upright when it is flipped on the short edge.
pub(crate) fn impose_upright(trim: &Trim, paper: Paper, flip: Flip) -> Imposition {
    let size = Rect::of(trim, 1);
    let panels = if flip == Flip::Fold { 2 } else { 1 };
    let grid = Grid::wallet(Rect::of(trim, panels), paper);
    let order: Vec<_> = (0..grid.places().len()).map(|card| (card, false)).collect();
    let lying = grid.page.0 > grid.page.1;
    grid.sheets(&order, size, flip, (flip == Flip::Short) != lying)
}

/// Lays out as many rows of `panels` panels as fit on a sheet, in whichever
/// orientation holds more; `None` if none fits.
pub(crate) fn row(panels: usize, trim: &Trim, paper: Paper) -> Option<RowSheet> {
    let count = i64::try_from(panels).ok()?;
    let row = Rect::of(trim, count);
    let grid = Grid::wallet(row, paper);
    if !grid.holds_one() {
        return None;
    }
    let width = Length::from_mm(trim.width_mm);
    let folds: Vec<_> = (1..count).map(|n| width.scaled(n, 1).mm()).collect();
    let pieces = grid.places().into_iter().map(|at| Piece {
        folds_mm: folds.clone(),
        ..piece(at, None)
    });
    Some(RowSheet {
        width_mm: grid.page.0.mm(),
        height_mm: grid.page.1.mm(),
        pieces: pieces.collect(),
    })
}

#[derive(Debug, Clone, Copy)]
struct Rect {
    x: Length,
    y: Length,
    width: Length,
    height: Length,
}

impl Rect {
    /// Some panels of a trim side by side.
    fn of(trim: &Trim, panels: i64) -> Self {
        Self {
            x: Length::ZERO,
            y: Length::ZERO,
            width: Length::from_mm(trim.width_mm).scaled(panels, 1),
            height: Length::from_mm(trim.height_mm),
        }
    }
}

/// A card's index, whether it is a copy, and its position.
type Ordered = ((usize, bool), Rect);

/// The positions on one sheet, centered.
struct Grid {
    page: (Length, Length),
    piece: Rect,
    gap: Length,
    notes: Length,
    columns: i64,
    rows: i64,
}

impl Grid {
    fn new(card: Rect, paper: Paper, flip: Flip) -> Self {
        let (width, height) = paper_size(paper);
        let on = |page, piece| Self::on(page, piece, GAP, NOTES);
        let upright = |piece| on((width, height), piece);
        if flip != Flip::Fold {
            // Drivers disagree on what flipping a landscape sheet means.
            return upright(card);
        }
        let piece = Rect {
            width: card.width + card.width,
            ..card
        };
        let (upright, lying) = (upright(piece), on((height, width), piece));
        if lying.count() > upright.count() || !upright.holds_one() {
            lying
        } else {
            upright
        }
    }

    /// The grid of wallet cards, on whichever side the paper holds more; lying, if
    /// it holds as many either way.
    fn wallet(piece: Rect, paper: Paper) -> Self {
        let (width, height) = paper_size(paper);
        let on = |page| Self::on(page, piece, WALLET_GAP, WALLET_NOTES);
        let (lying, upright) = (on((height, width)), on((width, height)));
        match (lying.holds_one(), upright.holds_one()) {
            (true, true) if upright.count() > lying.count() => upright,
            (false, true) => upright,
            _ => lying,
        }
    }

    fn on(page: (Length, Length), piece: Rect, gap: Length, notes: Length) -> Self {
        let many = |room: Length, size: Length| {
            let fits = |n: &i64| size.scaled(*n, 1) + gap.scaled(*n - 1, 1) <= room;
            (1..).take_while(fits).last().unwrap_or(1)
        };
        Self {
            columns: many(room_across(page.0), piece.width),
            rows: many(room_down(page.1, notes), piece.height),
            page,
            piece,
            gap,
            notes,
        }
    }

    fn count(&self) -> i64 {
        self.columns * self.rows
    }

    fn holds_one(&self) -> bool {
        self.piece.width <= room_across(self.page.0)
            && self.piece.height <= room_down(self.page.1, self.notes)
    }

    /// The sides of the sheets that hold cards in this order. `turned`: backs of a
    /// flipped sheet stand upside down.
    fn sheets(&self, order: &[(usize, bool)], card: Rect, flip: Flip, turned: bool) -> Imposition {
        let places = self.places();
        let sheets = order.chunks(places.len().max(1));
        let sides = sheets.flat_map(|sheet| {
            let placed: Vec<_> = sheet.iter().copied().zip(places.iter().copied()).collect();
            match flip {
                Flip::Fold => vec![self.folded(&placed, card)],
                Flip::Long | Flip::Short => {
                    vec![self.side(&placed, None), self.side(&placed, Some(turned))]
                }
            }
        });
        Imposition {
            sides: sides.collect(),
            width_mm: self.page.0.mm(),
            height_mm: self.page.1.mm(),
        }
    }

    fn places(&self) -> Vec<Rect> {
        let start = |page: Length, size: Length, count: i64| {
            (page - size.scaled(count, 1) - self.gap.scaled(count - 1, 1)).scaled(1, 2)
        };
        let x0 = start(self.page.0, self.piece.width, self.columns);
        let y0 = start(self.page.1, self.piece.height, self.rows);
        let at = |row: i64, column: i64| Rect {
            x: x0 + (self.piece.width + self.gap).scaled(column, 1),
            y: y0 + (self.piece.height + self.gap).scaled(row, 1),
            ..self.piece
        };
        (0..self.rows)
            .flat_map(|row| (0..self.columns).map(move |column| at(row, column)))
            .collect()
    }

    /// One side of a sheet printed on both. `back` is `None` for the front;
    /// otherwise it says whether the sheet is flipped so that backs
    /// stand upside down.
    fn side(&self, placed: &[Ordered], back: Option<bool>) -> Side {
        let on_page = |place: Rect| match back {
            None => place,
            Some(false) => Rect {
                x: self.page.0 - place.x - place.width,
                ..place
            },
            Some(true) => Rect {
                y: self.page.1 - place.y - place.height,
                ..place
            },
        };
        let placed: Vec<_> = placed
            .iter()
            .map(|(card, at)| (*card, on_page(*at)))
            .collect();
        let faces = placed
            .iter()
            .map(|(card, at)| face(*card, *at, back.is_some(), back == Some(true)));
        let middle = self.page.1.scaled(1, 2).mm();
        Side {
            back: back.is_some(),
            faces: faces.collect(),
            pieces: placed.iter().map(|(_, at)| piece(*at, None)).collect(),
            register: vec![
                (REGISTER.mm(), middle),
                ((self.page.0 - REGISTER).mm(), middle),
            ],
        }
    }

    /// A side with each back to the right of its front.
    fn folded(&self, placed: &[Ordered], card: Rect) -> Side {
        let faces = placed.iter().flat_map(|(ordered, at)| {
            let right = Rect {
                x: at.x + card.width,
                ..*at
            };
            [
                face(*ordered, *at, false, false),
                face(*ordered, right, true, false),
            ]
        });
        let pieces = placed.iter().map(|(_, at)| piece(*at, Some(card.width)));
        Side {
            back: false,
            faces: faces.collect(),
            pieces: pieces.collect(),
            register: Vec::new(),
        }
    }
}

fn room_across(page: Length) -> Length {
    page - (EDGE + MARKS).scaled(2, 1)
}

fn room_down(page: Length, notes: Length) -> Length {
    page - (EDGE + notes + MARKS).scaled(2, 1)
}

fn face((card, copy): (usize, bool), at: Rect, back: bool, turned: bool) -> Placed {
    Placed {
        card,
        back,
        x_mm: at.x.mm(),
        y_mm: at.y.mm(),
        turned,
        copy,
    }
}

fn piece(at: Rect, fold: Option<Length>) -> Piece {
    Piece {
        x_mm: at.x.mm(),
        y_mm: at.y.mm(),
        width_mm: at.width.mm(),
        height_mm: at.height.mm(),
        folds_mm: fold.map(Length::mm).into_iter().collect(),
    }
}

fn paper_size(paper: Paper) -> (Length, Length) {
    let (width, height) = match paper {
        Paper::Letter => (215_900, 279_400),
        Paper::A4 => (210_000, 297_000),
    };
    (
        Length::from_micrometers(width),
        Length::from_micrometers(height),
    )
}
