//! Where the faces lie on the paper. A card is turned over like a page of a
//! book, about its upright edge, however the sheet was turned in the printer;
//! so its front and back are the same card for all ways of printing it.

use serde::Serialize;

use crate::core::units::Length;
use crate::process::socket::sheets::card::face::Trim;
use crate::spec::{Flip, Paper};

/// What a desktop printer cannot reach.
const EDGE: Length = Length::from_micrometers(6_000);
/// Room for the cut marks, from the trim.
const MARKS: Length = Length::from_micrometers(4_000);
/// Room for the notes above the cards, and the same below.
const NOTES: Length = Length::from_micrometers(9_000);
/// Between cards: two sets of cut marks, and more than twice the seal of a film.
const GAP: Length = Length::from_micrometers(8_000);
/// From the edge of the paper to the middle of a register mark.
const REGISTER: Length = Length::from_micrometers(8_500);

/// All sheets of a print.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Imposition {
    /// Width of the paper as printed.
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    /// Printed sides, in the order they are printed.
    pub(crate) sides: Vec<Side>,
}

/// One printed side of a sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Side {
    /// Whether it holds backs alone.
    pub(crate) back: bool,
    pub(crate) faces: Vec<Placed>,
    /// What is cut out of it.
    pub(crate) pieces: Vec<Piece>,
    /// Marks that lie at the same places of front and back.
    pub(crate) register: Vec<(f64, f64)>,
}

/// A face at its place, from the top left of the paper.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Placed {
    pub(crate) card: usize,
    pub(crate) back: bool,
    /// From the left.
    pub(crate) x_mm: f64,
    /// From the top.
    pub(crate) y_mm: f64,
    /// Whether it stands on its head.
    pub(crate) turned: bool,
    /// Whether the same face was placed before.
    pub(crate) copy: bool,
}

/// A piece that is cut out: a card, or front and back beside each other.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Piece {
    /// From the left.
    pub(crate) x_mm: f64,
    /// From the top.
    pub(crate) y_mm: f64,
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    /// From its left to the line it is folded on.
    pub(crate) fold_mm: Option<f64>,
    /// From its top to each line across that it is folded on.
    pub(crate) folds_across_mm: Vec<f64>,
}

/// A sheet of cards whose panels lie in a row, from top to bottom.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Stack {
    /// Width of the paper as printed.
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    /// The rows.
    pub(crate) pieces: Vec<Piece>,
}

/// Lays out sets of `cards` cards; as many sets as fit a sheet, where their
/// number is not given.
pub(crate) fn impose(
    cards: usize,
    sets: Option<u32>,
    trim: &Trim,
    paper: Paper,
    flip: Flip,
) -> Imposition {
    let size = Rect {
        x: Length::ZERO,
        y: Length::ZERO,
        width: Length::from_mm(trim.width_mm),
        height: Length::from_mm(trim.height_mm),
    };
    let grid = Grid::of(size, paper, flip);
    let places = grid.places();
    let sets = match sets {
        Some(sets) => usize::try_from(sets).unwrap_or(usize::MAX),
        None => (places.len() / cards.max(1)).max(1),
    };
    let order: Vec<_> = (0..sets)
        .flat_map(|set| (0..cards).map(move |card| (card, set > 0)))
        .collect();
    let sheets = order.chunks(places.len().max(1));
    let sides = sheets.flat_map(|sheet| {
        let placed: Vec<_> = sheet.iter().copied().zip(places.iter().copied()).collect();
        match flip {
            Flip::Fold => vec![grid.folded(&placed, size)],
            Flip::Long | Flip::Short => vec![
                grid.side(&placed, None),
                grid.side(&placed, Some(flip == Flip::Short)),
            ],
        }
    });
    Imposition {
        sides: sides.collect(),
        width_mm: grid.page.0.mm(),
        height_mm: grid.page.1.mm(),
    }
}

/// Lays out as many rows of `panels` panels as fit a sheet, whichever way it
/// lies; `None` when it holds none.
pub(crate) fn stack(panels: usize, trim: &Trim, paper: Paper) -> Option<Stack> {
    let count = i64::try_from(panels).ok()?;
    let height = Length::from_mm(trim.height_mm);
    let row = Rect {
        x: Length::ZERO,
        y: Length::ZERO,
        width: Length::from_mm(trim.width_mm),
        height: height.scaled(count, 1),
    };
    let (width, length) = paper_size(paper);
    let grid = [(width, length), (length, width)]
        .map(|page| Grid::on(page, row))
        .into_iter()
        .filter(|grid| {
            row.width <= room_across(grid.page.0) && row.height <= room_down(grid.page.1)
        })
        // The first of several that hold as many: upright.
        .rev()
        .max_by_key(Grid::count)?;
    let folds: Vec<_> = (1..count).map(|n| height.scaled(n, 1).mm()).collect();
    let pieces = grid.places().into_iter().map(|at| Piece {
        folds_across_mm: folds.clone(),
        ..piece(at, None)
    });
    Some(Stack {
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

/// A card of the order, whether it is a copy, and its place.
type Ordered = ((usize, bool), Rect);

/// The places of one sheet, in its middle.
struct Grid {
    page: (Length, Length),
    piece: Rect,
    columns: i64,
    rows: i64,
}

impl Grid {
    fn of(card: Rect, paper: Paper, flip: Flip) -> Self {
        let (width, height) = paper_size(paper);
        let upright = |piece| Self::on((width, height), piece);
        if flip != Flip::Fold {
            // Drivers differ in what turning a sheet on its side means.
            return upright(card);
        }
        let piece = Rect {
            width: card.width + card.width,
            ..card
        };
        let (upright, lying) = (upright(piece), Self::on((height, width), piece));
        if lying.count() > upright.count() || !upright.holds_one() {
            lying
        } else {
            upright
        }
    }

    fn on(page: (Length, Length), piece: Rect) -> Self {
        let many = |room: Length, size: Length| {
            let fits = |n: &i64| size.scaled(*n, 1) + GAP.scaled(*n - 1, 1) <= room;
            (1..).take_while(fits).last().unwrap_or(1)
        };
        Self {
            columns: many(room_across(page.0), piece.width),
            rows: many(room_down(page.1), piece.height),
            page,
            piece,
        }
    }

    fn count(&self) -> i64 {
        self.columns * self.rows
    }

    fn holds_one(&self) -> bool {
        self.piece.width <= room_across(self.page.0)
    }

    fn places(&self) -> Vec<Rect> {
        let start = |page: Length, size: Length, count: i64| {
            (page - size.scaled(count, 1) - GAP.scaled(count - 1, 1)).scaled(1, 2)
        };
        let x0 = start(self.page.0, self.piece.width, self.columns);
        let y0 = start(self.page.1, self.piece.height, self.rows);
        let at = |row: i64, column: i64| Rect {
            x: x0 + (self.piece.width + GAP).scaled(column, 1),
            y: y0 + (self.piece.height + GAP).scaled(row, 1),
            ..self.piece
        };
        (0..self.rows)
            .flat_map(|row| (0..self.columns).map(move |column| at(row, column)))
            .collect()
    }

    /// One side of a sheet that is printed on both. `back` says whether the
    /// sheet is turned on its short edge, top to bottom.
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

    /// A side with the back at the right of each front.
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

fn room_down(page: Length) -> Length {
    page - (EDGE + NOTES + MARKS).scaled(2, 1)
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
        fold_mm: fold.map(Length::mm),
        folds_across_mm: Vec::new(),
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
