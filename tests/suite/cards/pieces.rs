//! What a sheet of cards is cut into, read from its marks.

use crate::drawing::{Drawn, PageDrawing};

/// How far front and back may be apart, in millimeters.
pub const APART: f64 = 0.1;
/// Length of a cut mark.
const MARK: f64 = 2.5;

/// A cut piece: left, bottom, width and height.
#[derive(Debug, Clone, Copy)]
pub struct Rect {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
}

impl Rect {
    /// Whether both are the same but for what may be apart.
    pub fn near(&self, other: &Rect) -> bool {
        let pairs = [
            (self.x, other.x),
            (self.y, other.y),
            (self.width, other.width),
            (self.height, other.height),
        ];
        pairs.iter().all(|(a, b)| (a - b).abs() <= APART)
    }

    /// Whether a point lies in it.
    pub fn holds(&self, x: f64, y: f64) -> bool {
        (self.x..self.x + self.width).contains(&x) && (self.y..self.y + self.height).contains(&y)
    }
}

/// The pieces that the cut marks of a page mark out.
pub fn pieces(page: &PageDrawing) -> Vec<Rect> {
    let marks: Vec<_> = page
        .paths
        .iter()
        .filter_map(Drawn::segment)
        .filter(|(a, b)| ((a.0 - b.0).hypot(a.1 - b.1) - MARK).abs() < 0.01)
        .collect();
    // Each piece draws its eight marks together, a level and an upright one to a corner.
    let pieces = marks.chunks(8).map(|marks| {
        let level = marks.iter().filter(|(a, b)| (a.1 - b.1).abs() < 0.01);
        let upright = marks.iter().filter(|(a, b)| (a.0 - b.0).abs() < 0.01);
        let span = |values: Vec<f64>| {
            let values = values.into_iter();
            values.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)))
        };
        let (bottom, top) = span(level.map(|(a, _)| a.1).collect());
        let (left, right) = span(upright.map(|(a, _)| a.0).collect());
        Rect {
            x: left,
            y: bottom,
            width: right - left,
            height: top - bottom,
        }
    });
    pieces.collect()
}

/// The outlines of the lanyard slots: the dashed figures that are no line.
pub fn slots(page: &PageDrawing) -> Vec<Rect> {
    let outlines = page.paths.iter();
    outlines
        .filter(|path| path.dashed && path.points.len() > 4)
        .map(|path| {
            let (x, y) = (path.extent(|p| p.0), path.extent(|p| p.1));
            Rect {
                x: x.0,
                y: y.0,
                width: x.1 - x.0,
                height: y.1 - y.0,
            }
        })
        .collect()
}

/// What a rectangle of the other side covers, seen from this one.
pub fn turned(rect: &Rect, flip: &str, width: f64, height: f64) -> Rect {
    match flip {
        "long" => Rect {
            x: width - rect.x - rect.width,
            ..*rect
        },
        _ => Rect {
            y: height - rect.y - rect.height,
            ..*rect
        },
    }
}

/// The faces of a side: each cut piece, or its halves where it is folded.
pub fn faces(page: &PageDrawing, flip: &str, back: bool) -> Vec<(Rect, bool)> {
    let pieces = pieces(page).into_iter();
    if flip != "fold" {
        return pieces.map(|piece| (piece, back)).collect();
    }
    let halves = pieces.flat_map(|piece| {
        let width = piece.width / 2.0;
        let right = Rect {
            x: piece.x + width,
            width,
            ..piece
        };
        [(Rect { width, ..piece }, false), (right, true)]
    });
    halves.collect()
}
