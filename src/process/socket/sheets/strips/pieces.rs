//! The dimensions of a strip: whole, or in two pieces that butt in the middle.
//!
//! From left to right a strip is its tab, the lap line, once around the pipe, and
//! the edge that meets the lap line. The second piece has a tab as well: the first
//! one lies on it with its cut edge on the joint line. So both pieces are strips,
//! and together they are as long as the whole. On label stock a strip has neither
//! flap nor tongue.
//!
//! The depth is drawn exactly, from the fold line to the marking edge, so a rule
//! on the paper reads the printed number. The fold allowance is printed as a
//! note.

use serde::Serialize;

use crate::core::units::Length;
use crate::process::socket::sheets::size_check::Neighbor;
use crate::process::socket::sheets::strips::line::Line;
use crate::process::socket::sheets::strips::stock::{Point, Rect};
use crate::process::socket::sheets::strips::{Choices, MarkInput, PipeInput, TAB, WitnessText};

/// Flap that folds over the pipe end. Long enough to hold with a thumb, and short
/// enough to fit into the bore of the smallest pipe.
const STOP: Length = Length::from_micrometers(8_000);
/// Width of the tongue: wide enough for number and revision, and not to curl. It
/// stands at the end of its strip, so that the next shorter strip fits beside it.
const TONGUE: Length = Length::from_micrometers(16_000);
/// A tongue shorter than this holds no print. It is as wide as a part of the
/// strip, so that its edge cannot be taken for the marking edge.
pub(crate) const LONG_TONGUE: Length = Length::from_micrometers(16_000);
/// The flap is slit into segments that fold flat: none is wider than this, and
/// there are at least [`MIN_FLAPS`] around the pipe.
const MAX_FLAP_WIDTH: Length = Length::from_micrometers(12_000);
/// Twelve segments turn 30° each, so a straight fold stays close to a round end.
const MIN_FLAPS: i64 = 12;
/// Minimum distance between ticks, and from a tick to the lap line or the tab's
/// end. A tick's label runs along it.
const TICK_PITCH: Length = Length::from_micrometers(2_600);
/// From the register tick of one piece to that of the other, across the joint: a
/// length that a rule measures well.
pub(crate) const JOINT_SPAN: Length = Length::from_micrometers(50_000);

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Part {
    Whole,
    /// From the lap line to the joint.
    First,
    /// From the joint to the edge that meets the lap line.
    Second,
}

/// One strip or piece: its position on the page, and its dimensions.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Strip {
    /// Left edge of the outline on the page.
    pub(crate) x_mm: f64,
    /// Top edge of the outline on the page.
    pub(crate) y_mm: f64,
    pub(crate) part: Part,
    pub(crate) size: String,
    /// The depth gauge that the depth was measured with.
    #[serde(skip)]
    pub(crate) gauge: Option<String>,
    /// From end plane to marking edge.
    pub(crate) depth_mm: f64,
    #[serde(skip)]
    pub(crate) depth_text: [String; 2],
    /// From the lap line or the joint line to the other end.
    pub(crate) wrap_mm: f64,
    /// Length of the tab before it.
    pub(crate) tab_mm: f64,
    /// Length of the fold-over flap; zero on label stock.
    pub(crate) stop_mm: f64,
    /// Length of the tongue past the marking edge; zero on label stock.
    pub(crate) witness_mm: f64,
    #[serde(skip)]
    pub(crate) witness_text: WitnessText,
    /// From left edge to tongue.
    pub(crate) tongue_x_mm: f64,
    pub(crate) tongue_width_mm: f64,
    /// Distance between slits in the flap, which divide the wrap evenly.
    pub(crate) slit_spacing_mm: f64,
    /// From left edge to a piece's register tick.
    pub(crate) register_mm: Option<f64>,
    /// Ticks where the edge falls on pipe of other sizes.
    pub(crate) ticks: Vec<Tick>,
    /// Width kept free of print past the lap line, for the ticks there.
    #[serde(skip)]
    pub(crate) tick_room_mm: f64,
    /// The smaller sizes, and how far the edge passes the lap line.
    pub(crate) laps: Vec<String>,
    /// The larger sizes, and the gap at the lap line.
    pub(crate) gaps: Vec<String>,
    /// What is printed on it.
    pub(crate) lines: Vec<Line>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Tick {
    /// From the left edge of the strip or piece.
    pub(crate) x_mm: f64,
    /// How far it hangs from the fold line; its name stands along it.
    pub(crate) length_mm: f64,
    /// The other size.
    #[serde(skip)]
    pub(crate) size: String,
}

/// The dimensions of a strip or piece that depend on pipe and stock.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Outline {
    pub(super) part: Part,
    pub(super) wrap: Length,
    pub(super) depth: Length,
    pub(super) witness: Length,
    pub(super) label: bool,
}

impl Outline {
    /// A strip lies on the outside of its own thickness, so its ends meet around
    /// the diameter at mid-thickness.
    pub(crate) fn new(mark: &MarkInput, pipe: &PipeInput, choices: &Choices) -> Self {
        Self {
            part: Part::Whole,
            wrap: (pipe.diameter + choices.thickness).circumference(),
            depth: mark.depth,
            witness: mark.witness,
            label: choices.labels,
        }
    }

    /// The same strip in two pieces, together as long to the nanometer.
    pub(crate) fn pieces(self) -> [Self; 2] {
        let first = self.wrap.scaled(1, 2);
        let piece = |part, wrap| Self { part, wrap, ..self };
        [
            piece(Part::First, first),
            piece(Part::Second, self.wrap - first),
        ]
    }

    fn stop(self) -> Length {
        if self.label { Length::ZERO } else { STOP }
    }

    fn witness(self) -> Length {
        if self.label {
            Length::ZERO
        } else {
            self.witness
        }
    }

    pub(crate) fn width(self) -> Length {
        self.wrap + TAB
    }

    pub(crate) fn height(self) -> Length {
        self.stop() + self.depth + self.witness()
    }

    /// The tongue of a published line is short and wide; another is long.
    fn tongue(self) -> Length {
        if self.witness() < LONG_TONGUE {
            TONGUE.max(self.wrap.scaled(2, 5))
        } else {
            TONGUE
        }
    }

    /// What it takes of a page, from its top left corner: the strip, then its
    /// tongue.
    pub(crate) fn parts(self) -> Vec<Rect> {
        let edge = self.stop() + self.depth;
        let strip = Rect::between(Length::ZERO, Length::ZERO, self.width(), edge);
        let (from, tip) = (self.width() - self.tongue(), self.height());
        let tongue = (!self.label).then(|| Rect::between(from, edge, self.width(), tip));
        [strip].into_iter().chain(tongue).collect()
    }

    /// Whether the size check names it: both pieces close on one lap line.
    pub(crate) fn has_lap_line(self) -> bool {
        self.part != Part::Second
    }

    fn slit_spacing(self) -> Length {
        let thousandths = self.wrap.thousandths_of(MAX_FLAP_WIDTH).unwrap_or_default();
        let least = match self.part {
            Part::Whole => MIN_FLAPS,
            Part::First | Part::Second => MIN_FLAPS / 2,
        };
        self.wrap.scaled(1, least.max((thousandths + 999) / 1000))
    }

    /// The strip at a position on a page.
    pub(crate) fn strip(self, mark: &MarkInput, pipe: &PipeInput, at: Point) -> Strip {
        let ticked = match self.part {
            // Its tab is at the joint, not at the lap line.
            Part::Second => Vec::new(),
            Part::Whole | Part::First => ticked(&pipe.neighbors),
        };
        let laps = ticked.iter().map(|neighbor| Length::ZERO - neighbor.gap);
        let farthest = laps.max().filter(|lap| *lap > Length::ZERO);
        let to_joint = JOINT_SPAN.scaled(1, 2);
        Strip {
            x_mm: at.x_mm,
            y_mm: at.y_mm,
            part: self.part,
            size: mark.size.clone(),
            gauge: mark.gauge.clone(),
            depth_mm: self.depth.mm(),
            depth_text: mark.depth_text.clone(),
            wrap_mm: self.wrap.mm(),
            tab_mm: TAB.mm(),
            stop_mm: self.stop().mm(),
            witness_mm: self.witness().mm(),
            witness_text: mark.witness_text.clone(),
            tongue_x_mm: (self.width() - self.tongue()).mm(),
            tongue_width_mm: self.tongue().mm(),
            slit_spacing_mm: self.slit_spacing().mm(),
            register_mm: match self.part {
                Part::Whole => None,
                Part::First => Some((self.width() - to_joint).mm()),
                Part::Second => Some((TAB + to_joint).mm()),
            },
            ticks: ticked
                .iter()
                .map(|neighbor| Tick {
                    x_mm: (TAB - neighbor.gap).mm(),
                    length_mm: 0.0,
                    size: neighbor.size.to_string(),
                })
                .collect(),
            tick_room_mm: farthest.map_or(0.0, |lap| (lap + TICK_PITCH).mm()),
            laps: pipe.laps.clone(),
            gaps: pipe.gaps.clone(),
            lines: Vec::new(),
        }
    }
}

/// How far folding the flap moves the marking edge toward the fold: half of the
/// quarter bend is on the strip's side of the fold line. A sharp fold bends
/// around its inner face, so mid-thickness turns on half the thickness, and half
/// the bend is π/8 of the thickness.
pub(crate) fn fold_allowance(thickness: Length) -> Length {
    thickness.circumference().scaled(1, 8)
}

/// The neighbors that get a tick, nearest to the lap line first.
fn ticked(neighbors: &[Neighbor]) -> Vec<Neighbor> {
    let mut nearest: Vec<_> = neighbors.to_vec();
    nearest.sort_by_key(|neighbor| neighbor.gap.distance(Length::ZERO));
    let mut ticked: Vec<Neighbor> = Vec::new();
    for neighbor in nearest {
        let off = neighbor.gap.distance(Length::ZERO);
        let clear = |other: &Neighbor| other.gap.distance(neighbor.gap) >= TICK_PITCH;
        if off >= TICK_PITCH && off <= TAB - TICK_PITCH && ticked.iter().all(clear) {
            ticked.push(neighbor);
        }
    }
    ticked
}
