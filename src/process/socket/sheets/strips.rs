//! Lays out depth marks at true scale.
//!
//! A strip wraps once around the pipe. Its flap folds over the pipe end and
//! seats on the end plane; its far cut edge marks the depth; at one end a tongue
//! runs past that edge, and its tip shows where the witness line goes. A strip too long
//! for the paper comes in two pieces, and one on label stock has neither flap
//! nor tongue. A stick gauge marks the same two lines one point at a time. The
//! depth is drawn from fold line to marking edge exactly, so a rule reads the
//! printed number; the fold allowance (π/8 of the stock's thickness for a sharp
//! fold) is printed as a note.

mod correction;
mod gauge;
mod layout;
mod lettering;
mod line;
mod pieces;
mod stock;

pub(crate) use correction::Correction;
pub(crate) use layout::Page;
pub(crate) use lettering::{Identity, Lettering, StripWords};
#[cfg(test)]
pub(crate) use pieces::Strip;
pub(crate) use pieces::{JOINT_SPAN, Part, fold_allowance};
pub(crate) use stock::Sheet;

use layout::Stack;
use pieces::Outline;
use stock::Stock;

use crate::core::units::Length;
use crate::process::socket::sheets::size_check::{Neighbor, REACH};
use crate::spec::{LongStrips, Paper};

/// Tab under the edge that meets the lap line: wide enough for ordinary adhesive tape, and as long
/// as the size check reaches.
pub(crate) const TAB: Length = REACH;
/// How far the tongue extends past the marking edge if no witness-line distance
/// is published. The finished bead hides the depth mark; this much farther out
/// the line stays visible.
pub(crate) const WITNESS: Length = Length::from_micrometers(25_000);
/// Largest error of a scale bar on a usable page: the smallest division of a good
/// steel rule. On 100 mm it is 0.5 %, or 0.13 mm on a depth of 25 mm.
pub(crate) const BAR_TOLERANCE: Length = Length::from_micrometers(500);
/// Shallowest depth whose strip still holds three readable lines.
pub(crate) const MIN_DEPTH: Length = Length::from_micrometers(10_000);
/// Shortest wrap: the tongue, and twice as much marking edge to guide a marker.
pub(crate) const MIN_WRAP: Length = Length::from_micrometers(48_000);

/// What is marked on one size.
#[derive(Debug, Clone)]
pub(crate) struct MarkInput {
    /// The size as printed: `1-1/4 IPS`.
    pub(crate) size: String,
    /// The depth gauge that the depth was measured on.
    pub(crate) gauge: Option<String>,
    /// Insertion depth, from the end plane to the marking edge.
    pub(crate) depth: Length,
    /// The depth as printed, in the practice's units first: `0.72 in.`, `18.3 mm`.
    pub(crate) depth_text: [String; 2],
    /// From the marking edge on to the witness line.
    pub(crate) witness: Length,
    pub(crate) witness_text: WitnessText,
    /// What a strip also needs; without a diameter there is only a gauge.
    pub(crate) pipe: Option<PipeInput>,
}

/// The pipe that a strip goes around.
#[derive(Debug, Clone)]
pub(crate) struct PipeInput {
    pub(crate) diameter: Length,
    /// The neighboring sizes, by where the strip's edge falls on their
    /// pipe.
    pub(crate) neighbors: Vec<Neighbor>,
    /// The smaller ones in words.
    pub(crate) laps: Vec<String>,
    /// The larger ones in words.
    pub(crate) gaps: Vec<String>,
    /// Lines that they take in the size check.
    pub(crate) check_lines: CheckLines,
}

/// What is said of the witness line.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct WitnessText {
    /// What it is, and where: `witness line +0.98 in. (25 mm)`.
    pub(crate) text: String,
    /// Whether its number is not confirmed.
    pub(crate) verify: bool,
}

/// Lines of the size check, where the neighbors on one side are in one line, and
/// where each has its own.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct CheckLines {
    pub(crate) wide: usize,
    pub(crate) narrow: usize,
}

/// The choices of author and user.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Choices {
    /// The ordinary paper.
    pub(crate) paper: Paper,
    /// Thickness of the strip as used: bare, on label stock, or laminated.
    pub(crate) thickness: Length,
    /// Whether the strips are printed on label stock.
    pub(crate) labels: bool,
    /// What to do with a strip too long for the ordinary paper.
    pub(crate) long: LongStrips,
    /// The printer's scale error.
    pub(crate) correction: Option<Correction>,
    /// Whether a signed code stands on every page.
    pub(crate) code: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Layout {
    /// The pages of strips, then those of gauges, ordinary paper first.
    pub(crate) pages: Vec<Page>,
    /// Strips that fit on no page.
    pub(crate) not_printed: Vec<NotPrinted>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct NotPrinted {
    pub(crate) size: String,
    pub(crate) reason: Reason,
}

/// Why a strip could not be laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(
    clippy::enum_variant_names,
    reason = "each says what there is too much of"
)]
pub(crate) enum Reason {
    /// Longer than the larger paper is wide.
    TooLong {
        /// Length of the strip, tab included.
        strip: Length,
        /// Longest strip that fits.
        longest: Length,
        /// The larger paper.
        paper: Sheet,
    },
    /// Deeper than the larger paper is high.
    TooDeep {
        /// Deepest depth that fits.
        deepest: Length,
        /// The larger paper.
        paper: Sheet,
    },
    /// Too shallow for readable text.
    TooShallow,
    /// The pipe is so thin that the tongue leaves no edge to mark along.
    TooThin,
}

/// How a strip is printed.
enum Plan {
    Whole(Outline),
    Pieces([Outline; 2]),
    /// Whole, on the larger paper.
    Larger(Outline),
}

impl Plan {
    fn width(&self) -> Length {
        match self {
            Plan::Whole(outline) | Plan::Larger(outline) | Plan::Pieces([_, outline]) => {
                outline.width()
            }
        }
    }
}

/// Lays out the strips, longest first, so that the fewest pages hold them, and
/// then the gauges in input order. A strip too long for the ordinary paper comes
/// in two pieces or goes on the next larger paper; one too large for both is not
/// printed.
pub(crate) fn lay_out(marks: &[MarkInput], choices: &Choices) -> Layout {
    let stacks = || Stock::new(choices).map(|stock| Stack::new(stock, choices.code));
    let [mut strips, mut large_strips] = stacks();
    let (mut plans, mut not_printed) = (Vec::new(), Vec::new());
    for mark in marks {
        let Some(pipe) = &mark.pipe else { continue };
        let outline = Outline::new(mark, pipe, choices);
        let pieces = outline.pieces();
        let plan = if strips.takes(mark, pipe, outline).is_ok() {
            Plan::Whole(outline)
        } else if choices.long == LongStrips::TwoPieces
            && (pieces.iter()).all(|piece| strips.takes(mark, pipe, *piece).is_ok())
        {
            Plan::Pieces(pieces)
        } else if let Err(reason) = large_strips.takes(mark, pipe, outline) {
            let size = mark.size.clone();
            not_printed.push(NotPrinted { size, reason });
            continue;
        } else {
            Plan::Larger(outline)
        };
        plans.push((mark, pipe, plan));
    }
    plans.sort_by_key(|(_, _, plan)| std::cmp::Reverse(plan.width()));
    for (mark, pipe, plan) in plans {
        match plan {
            Plan::Whole(outline) => strips.place_strip(mark, pipe, outline),
            Plan::Pieces(pieces) => strips.place_pieces(mark, pipe, pieces),
            Plan::Larger(outline) => large_strips.place_strip(mark, pipe, outline),
        }
    }
    let [mut gauges, mut large_gauges] = stacks();
    for mark in marks.iter().filter(|mark| mark.depth >= MIN_DEPTH) {
        // A depth beyond the larger paper has no strip either.
        if gauges.takes_gauge(mark) {
            gauges.place_gauge(mark);
        } else if large_gauges.takes_gauge(mark) {
            large_gauges.place_gauge(mark);
        }
    }
    let stacks = [strips, large_strips, gauges, large_gauges];
    Layout {
        pages: stacks.into_iter().flat_map(|stack| stack.pages).collect(),
        not_printed,
    }
}

#[cfg(test)]
mod tests;
