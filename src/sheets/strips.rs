//! Lays depth-mark strips out on paper, at true scale.
//!
//! A strip wraps once around the pipe. Its flap folds over the pipe's end and
//! seats on the end plane; its far cut edge is where the depth is marked; a
//! tongue goes on past that edge, and its end shows where the witness line
//! goes. Ticks beside the lap line show where the start edge falls on pipe of
//! the next sizes. Every distance the page needs is settled here, so that the
//! template only draws.

use std::fmt;

use serde::Serialize;

use super::size_check::Neighbor;
use crate::spec::Paper;
use crate::units::{Length, LengthUnit};

/// Flap that folds over the pipe's end. Long enough to hold with a thumb, and
/// it still turns into the bore of the smallest pipe.
pub const STOP: Length = Length::from_micrometres(8_000);
/// Tab under the start edge: takes a strip of ordinary adhesive tape.
pub const TAB: Length = Length::from_micrometres(12_000);
/// How far the tongue goes on past the marking edge. The bead hides the depth
/// mark once the joint is made; this much further out the line stays in sight.
pub const WITNESS: Length = Length::from_micrometres(25_000);
/// Width of the tongue: two lines of print, and it does not curl.
pub const TONGUE: Length = Length::from_micrometres(24_000);
/// How far a scale bar may be off and the page still be used: the smallest
/// division of a good steel rule. On 100 mm it is 0.5 %, or 0.13 mm on a depth
/// of 25 mm.
pub const BAR_TOLERANCE: Length = Length::from_micrometres(500);

/// Shortest depth whose strip still holds three lines that can be read.
const LEAST_DEPTH: Length = Length::from_micrometres(10_000);
/// Shortest way around: the tongue, and 12 mm of marking edge on either side to
/// lay a marker along.
const LEAST_WRAP: Length = Length::from_micrometres(48_000);
/// The flap is slit into pieces that fold flat: none is wider than this, and
/// there are never fewer than [`LEAST_PIECES`].
const WIDEST_PIECE: Length = Length::from_micrometres(12_000);
/// Twelve pieces turn 30° each, so a straight fold stays close to a round end.
const LEAST_PIECES: i64 = 12;

/// Unprinted border. Office printers leave 4 to 6 mm blank.
const MARGIN: Length = Length::from_micrometres(10_000);
/// Height of the heading: who, what, which revision.
const HEADING: Length = Length::from_micrometres(13_000);
/// Height of the foot: size check, printing and horizontal bars, and the notes
/// beside them.
const FOOT: Length = Length::from_micrometres(48_000);
/// Height of the size check: a heading and a line for each of six strips, the
/// most that fit a page of the ordinary paper.
const SIZE_CHECK: Length = Length::from_micrometres(22_000);
/// Room between the texts of the foot.
const FOOT_GAP: Length = Length::from_micrometres(2_000);
/// Room between strips for scissors, and between strips and the rest.
const GAP: Length = Length::from_micrometres(5_000);
/// A pair of scale bars is 4 in long, the longer of the two.
const BAR: Length = Length::from_micrometres(101_600);
/// Room past a bar's end for its unit.
const BAR_LABEL: Length = Length::from_micrometres(20_000);
/// A pair of bars, numerals included, across: on the millimetre side.
const BAR_ABOVE: Length = Length::from_micrometres(6_000);
/// A pair of bars, numerals included, across: on the inch side.
const BAR_BELOW: Length = Length::from_micrometres(8_000);

/// A tick carries its label beside it, turned to run along it: no two ticks are
/// closer, and none is closer to the lap line or to the tab's end.
const TICK_PITCH: Length = Length::from_micrometres(2_400);

/// One strip to lay out.
#[derive(Debug, Clone)]
pub struct StripInput {
    /// The size as printed: `1-1/4 IPS`.
    pub size: String,
    /// The depth gauge that the depth was measured on.
    pub gauge: Option<String>,
    /// Insertion depth, from the end plane to the marking edge.
    pub depth: Length,
    /// The depth as printed: `0.72 in / 18.3 mm`.
    pub depth_text: String,
    /// Diameter of the pipe that the strip closes on.
    pub diameter: Length,
    /// The sizes next to it, by where its start edge falls on their pipe.
    pub neighbors: Vec<Neighbor>,
    /// The smaller ones in words.
    pub laps: String,
    /// The larger ones in words.
    pub gaps: String,
}

/// Where every strip went.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// The pages: those on the ordinary paper first. Empty when no strip can
    /// be printed.
    pub pages: Vec<Page>,
    /// Strips that no page could take.
    pub not_printed: Vec<NotPrinted>,
}

/// A strip that could not be laid out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotPrinted {
    /// The size as printed.
    pub size: String,
    /// Why.
    pub reason: Reason,
}

/// Why a strip could not be laid out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// Longer around than the larger paper is wide.
    TooLong {
        /// Length of the strip, tab included.
        strip: Length,
        /// Longest strip that the paper takes.
        longest: Length,
        /// The larger paper.
        paper: &'static str,
    },
    /// Deeper than the larger paper is high.
    TooDeep {
        /// Deepest depth that the paper takes.
        deepest: Length,
        /// The larger paper.
        paper: &'static str,
    },
    /// So shallow that nothing readable fits on the strip.
    TooShallow,
    /// So thin a pipe that the tongue leaves no edge to mark along.
    TooThin,
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mm = |length: Length| length.number(LengthUnit::Millimetre, 1);
        match self {
            Reason::TooLong {
                strip,
                longest,
                paper,
            } => write!(
                f,
                "the strip is {} mm long; {paper} paper takes {} mm",
                mm(*strip),
                mm(*longest)
            ),
            Reason::TooDeep { deepest, paper } => write!(
                f,
                "the depth is more than the {} mm that {paper} paper takes",
                mm(*deepest)
            ),
            Reason::TooShallow => write!(
                f,
                "the depth is under {} mm, too short a strip to read",
                mm(LEAST_DEPTH)
            ),
            Reason::TooThin => write!(
                f,
                "the pipe is under {} mm around, too short a strip to mark along",
                mm(LEAST_WRAP)
            ),
        }
    }
}

impl fmt::Display for NotPrinted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.size, self.reason)
    }
}

/// One page, in millimetres from its top left corner.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Page {
    /// Width of the paper as it lies.
    pub width_mm: f64,
    /// Height of the paper as it lies.
    pub height_mm: f64,
    /// What to load into the printer.
    pub paper_name: &'static str,
    /// Where the heading goes.
    pub heading: Area,
    /// Where the size check of the page's strips goes.
    pub size_check: Area,
    /// Where the note about printing goes.
    pub printing: Area,
    /// Where the notes go.
    pub notes: Area,
    /// All the room for strips.
    pub room: Area,
    /// What the strips have left of it, for the list of those not printed.
    pub free: Area,
    /// The strips.
    pub strips: Vec<Strip>,
    /// The scale bars.
    pub bars: Bars,
}

/// One strip: its place on the page, and its own measures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Strip {
    /// Left edge of the outline on the page.
    pub x_mm: f64,
    /// Top edge of the outline on the page.
    pub y_mm: f64,
    /// The size as printed.
    pub size: String,
    /// The gauge that the depth was measured on.
    pub gauge: Option<String>,
    /// End plane to marking edge.
    pub depth_mm: f64,
    /// The depth as printed.
    pub depth_text: String,
    /// Start edge to lap line.
    pub wrap_mm: f64,
    /// Tab beyond the lap line.
    pub tab_mm: f64,
    /// Fold-over flap.
    pub stop_mm: f64,
    /// Tongue beyond the marking edge.
    pub witness_mm: f64,
    /// Start edge to tongue.
    pub tongue_x_mm: f64,
    /// Width of the tongue.
    pub tongue_width_mm: f64,
    /// From one slit of the flap to the next; the slits divide the wrap evenly.
    pub slit_spacing_mm: f64,
    /// Where the start edge falls on pipe of other sizes.
    pub ticks: Vec<Tick>,
    /// Width of print kept free before the lap line, for the ticks there.
    pub tick_room_mm: f64,
    /// Smaller sizes, and how far the start edge goes past the lap line.
    pub laps: String,
    /// Larger sizes, and the gap at the lap line.
    pub gaps: String,
}

/// A tick where the start edge falls on pipe of another size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tick {
    /// From the start edge.
    pub x_mm: f64,
    /// The other size.
    pub size: String,
}

/// Where the scale bars start.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bars {
    /// Zero of the bars that run to the right.
    pub horizontal: Point,
    /// Zero of the bars that run down.
    pub vertical: Point,
}

/// A point of a page.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// From the left edge of the paper.
    pub x_mm: f64,
    /// From the top edge of the paper.
    pub y_mm: f64,
}

/// A rectangle of a page.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Area {
    /// From the left edge of the paper.
    pub x_mm: f64,
    /// From the top edge of the paper.
    pub y_mm: f64,
    /// Width.
    pub width_mm: f64,
    /// Height.
    pub height_mm: f64,
}

impl Area {
    fn between(left: Length, top: Length, right: Length, bottom: Length) -> Self {
        Self {
            x_mm: left.mm(),
            y_mm: top.mm(),
            width_mm: (right - left).mm(),
            height_mm: (bottom - top).mm().max(0.0),
        }
    }
}

/// Lays strips out in the order they come in. `thickness` is that of the strip as
/// used: bare, on label stock or laminated. A strip too long for the ordinary
/// paper goes on the next larger one; one too long for that is not printed.
pub fn lay_out(strips: &[StripInput], thickness: Length, paper: Paper) -> Layout {
    let [ordinary, larger] = stocks(paper);
    let (mut ordinary, mut larger) = (Stack::new(ordinary), Stack::new(larger));
    let mut not_printed = Vec::new();
    for input in strips {
        let outline = Outline::of(input, thickness);
        if let Err(reason) = outline.fits(larger.stock) {
            let size = input.size.clone();
            not_printed.push(NotPrinted { size, reason });
        } else if outline.fits(ordinary.stock).is_ok() {
            ordinary.place(input, outline);
        } else {
            larger.place(input, outline);
        }
    }
    let mut pages = ordinary.pages;
    pages.append(&mut larger.pages);
    Layout { pages, not_printed }
}

/// The measures of one strip that depend on the pipe.
#[derive(Debug, Clone, Copy)]
struct Outline {
    wrap: Length,
    depth: Length,
}

impl Outline {
    /// A strip lies on the outside of its own thickness, so the butted ends
    /// meet around the diameter at its middle.
    fn of(input: &StripInput, thickness: Length) -> Self {
        Self {
            wrap: (input.diameter + thickness).circumference(),
            depth: input.depth,
        }
    }

    fn width(self) -> Length {
        self.wrap + TAB
    }

    fn height(self) -> Length {
        STOP + self.depth + WITNESS
    }

    fn slit_spacing(self) -> Length {
        let thousandths = self.wrap.thousandths_of(WIDEST_PIECE).unwrap_or_default();
        let pieces = LEAST_PIECES.max((thousandths + 999) / 1000);
        self.wrap.scaled(1, pieces)
    }

    /// The neighbors that get a tick, the nearest to the lap line first.
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

    fn fits(self, stock: Stock) -> Result<(), Reason> {
        let paper = stock.short_name;
        let longest = stock.right() - MARGIN;
        let deepest = stock.bottom() - Stock::TOP - STOP - WITNESS;
        if self.wrap < LEAST_WRAP {
            Err(Reason::TooThin)
        } else if self.depth < LEAST_DEPTH {
            Err(Reason::TooShallow)
        } else if self.width() > longest {
            Err(Reason::TooLong {
                strip: self.width(),
                longest,
                paper,
            })
        } else if self.depth > deepest {
            Err(Reason::TooDeep { deepest, paper })
        } else {
            Ok(())
        }
    }
}

/// A sheet of paper, lying on its long side: strips are long and low.
#[derive(Debug, Clone, Copy)]
struct Stock {
    width: Length,
    height: Length,
    name: &'static str,
    short_name: &'static str,
}

/// The ordinary paper, and the larger one for long strips.
fn stocks(paper: Paper) -> [Stock; 2] {
    let stock = |width, height, name, short_name| Stock {
        width: Length::from_micrometres(width),
        height: Length::from_micrometres(height),
        name,
        short_name,
    };
    match paper {
        Paper::Letter => [
            stock(279_400, 215_900, "US letter, 11 × 8.5 in", "letter"),
            stock(431_800, 279_400, "tabloid, 17 × 11 in", "tabloid"),
        ],
        Paper::A4 => [
            stock(297_000, 210_000, "A4, 297 × 210 mm", "A4"),
            stock(420_000, 297_000, "A3, 420 × 297 mm", "A3"),
        ],
    }
}

impl Stock {
    /// Top of the room for strips: under the heading.
    const TOP: Length = Length::from_micrometres(28_000);

    /// Right end of the room for strips: the vertical bars stand beyond.
    fn right(self) -> Length {
        self.width - MARGIN - BAR_ABOVE - BAR_BELOW - GAP
    }

    /// Bottom of the room for strips: the foot lies below.
    fn bottom(self) -> Length {
        self.foot() - GAP
    }

    fn foot(self) -> Length {
        self.height - MARGIN - FOOT
    }

    fn page(self) -> Page {
        let (right, low) = (self.width - MARGIN, self.height - MARGIN);
        let room = Area::between(MARGIN, Stock::TOP, self.right(), self.bottom());
        let left_end = MARGIN + BAR + BAR_LABEL - GAP;
        let check_end = self.foot() + SIZE_CHECK;
        let bars = Bars {
            horizontal: Point {
                x_mm: MARGIN.mm(),
                y_mm: (low - BAR_BELOW).mm(),
            },
            // Turned to run down, the millimetre side faces right.
            vertical: Point {
                x_mm: (right - BAR_ABOVE).mm(),
                y_mm: Stock::TOP.mm(),
            },
        };
        Page {
            width_mm: self.width.mm(),
            height_mm: self.height.mm(),
            paper_name: self.name,
            heading: Area::between(MARGIN, MARGIN, right, MARGIN + HEADING),
            size_check: Area::between(MARGIN, self.foot(), left_end, check_end),
            printing: Area::between(
                MARGIN,
                check_end + FOOT_GAP,
                left_end,
                low - BAR_BELOW - BAR_ABOVE,
            ),
            notes: Area::between(MARGIN + BAR + BAR_LABEL, self.foot(), right, low),
            room,
            free: room,
            strips: Vec::new(),
            bars,
        }
    }
}

/// Pages of one paper, being filled row by row.
struct Stack {
    stock: Stock,
    pages: Vec<Page>,
    left: Length,
    top: Length,
    row_height: Length,
}

impl Stack {
    fn new(stock: Stock) -> Self {
        Self {
            stock,
            pages: Vec::new(),
            left: MARGIN,
            top: Stock::TOP,
            row_height: Length::ZERO,
        }
    }

    /// Puts a strip into the row, the next row or the next page; it must fit
    /// the paper.
    fn place(&mut self, input: &StripInput, outline: Outline) {
        let too_low = |top: Length| top + outline.height() > self.stock.bottom();
        if self.left + outline.width() > self.stock.right() || too_low(self.top) {
            self.left = MARGIN;
            self.top = self.top + self.row_height + GAP;
            self.row_height = Length::ZERO;
        }
        if self.pages.is_empty() || too_low(self.top) {
            self.pages.push(self.stock.page());
            self.left = MARGIN;
            self.top = Stock::TOP;
            self.row_height = Length::ZERO;
        }
        self.row_height = self.row_height.max(outline.height());
        let ticked = Outline::ticked(&input.neighbors);
        let laps = ticked.iter().map(|neighbor| Length::ZERO - neighbor.gap);
        let farthest = laps.max().filter(|lap| *lap > Length::ZERO);
        if let Some(page) = self.pages.last_mut() {
            page.strips.push(Strip {
                x_mm: self.left.mm(),
                y_mm: self.top.mm(),
                size: input.size.clone(),
                gauge: input.gauge.clone(),
                depth_mm: outline.depth.mm(),
                depth_text: input.depth_text.clone(),
                wrap_mm: outline.wrap.mm(),
                tab_mm: TAB.mm(),
                stop_mm: STOP.mm(),
                witness_mm: WITNESS.mm(),
                tongue_x_mm: (outline.wrap - TONGUE).scaled(1, 2).mm(),
                tongue_width_mm: TONGUE.mm(),
                slit_spacing_mm: outline.slit_spacing().mm(),
                ticks: ticked
                    .iter()
                    .map(|neighbor| Tick {
                        x_mm: (outline.wrap + neighbor.gap).mm(),
                        size: neighbor.size.to_string(),
                    })
                    .collect(),
                tick_room_mm: farthest.map_or(0.0, |lap| (lap + TICK_PITCH).mm()),
                laps: input.laps.clone(),
                gaps: input.gaps.clone(),
            });
            page.free = Area::between(
                MARGIN,
                self.top + self.row_height + GAP,
                self.stock.right(),
                self.stock.bottom(),
            );
        }
        self.left = self.left + outline.width() + GAP;
    }
}

#[cfg(test)]
mod tests;
