//! Lays depth-mark strips out on paper, at true scale.
//!
//! A strip wraps once around the pipe. Its flap folds over the pipe's end and
//! seats on the end plane; its far cut edge is where the depth is marked; a
//! tongue goes on past that edge, and its end shows where the witness line
//! goes. Every distance the page needs is settled here, so that the template
//! only draws.

use std::fmt;

use serde::Serialize;

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
/// Height of the foot: the horizontal bars, and the notes beside them.
const FOOT: Length = Length::from_micrometres(24_000);
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
    /// Outside diameter of the pipe.
    pub outside_diameter: Length,
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

/// Lays strips out, smallest pipe first. `thickness` is that of the strip as
/// used: bare, on label stock or laminated. A strip too long for the ordinary
/// paper goes on the next larger one; one too long for that is not printed.
pub fn lay_out(strips: &[StripInput], thickness: Length, paper: Paper) -> Layout {
    let mut in_order: Vec<&StripInput> = strips.iter().collect();
    in_order.sort_by_key(|strip| strip.outside_diameter);

    let [ordinary, larger] = stocks(paper);
    let (mut ordinary, mut larger) = (Stack::new(ordinary), Stack::new(larger));
    let mut not_printed = Vec::new();
    for input in in_order {
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
            wrap: (input.outside_diameter + thickness).circumference(),
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
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn um(micrometres: i64) -> Length {
        Length::from_micrometres(micrometres)
    }

    /// A strip for a pipe of this outside diameter and depth, in micrometres.
    fn strip(size: &str, diameter: i64, depth: i64) -> StripInput {
        StripInput {
            size: size.to_owned(),
            gauge: Some("DG-1".to_owned()),
            depth: um(depth),
            depth_text: "as measured".to_owned(),
            outside_diameter: um(diameter),
        }
    }

    /// A layout on bare paper, 0.1 mm.
    fn on(paper: Paper, strips: &[StripInput]) -> Layout {
        lay_out(strips, um(100), paper)
    }

    /// The only strip of a layout, and the paper it is on.
    fn alone(paper: Paper, diameter: i64) -> (f64, &'static str) {
        let layout = on(paper, &[strip("one", diameter, 22_000)]);
        assert_eq!(layout.not_printed, [], "diameter {diameter} um");
        let page = &layout.pages[0];
        (page.strips[0].wrap_mm, page.paper_name)
    }

    /// By hand, with pi = 3.14159265: 60.425 pi, 89.0 pi and 114.4 pi.
    #[test]
    fn a_strip_goes_around_the_pipe_and_its_own_thickness() {
        for (diameter, wrap, paper) in [
            (60_325, 189.831, "US letter, 11 × 8.5 in"),
            (88_900, 279.602, "tabloid, 17 × 11 in"),
            (114_300, 359.398, "tabloid, 17 × 11 in"),
        ] {
            let (laid_out, on) = alone(Paper::Letter, diameter);
            assert!((laid_out - wrap).abs() < 0.001, "{laid_out} for {wrap}");
            assert_eq!(on, paper);
        }
        // Metric pipe: 63.1 pi and 110.1 pi.
        for (diameter, wrap, paper) in [
            (63_000, 198.235, "A4, 297 × 210 mm"),
            (110_000, 345.889, "A3, 420 × 297 mm"),
        ] {
            let (laid_out, on) = alone(Paper::A4, diameter);
            assert!((laid_out - wrap).abs() < 0.001, "{laid_out} for {wrap}");
            assert_eq!(on, paper);
        }
    }

    #[test]
    fn a_thicker_strip_is_longer_by_pi_times_the_difference() {
        let wrap = |thickness| {
            let layout = lay_out(&[strip("one", 48_260, 22_000)], thickness, Paper::Letter);
            layout.pages[0].strips[0].wrap_mm
        };
        assert!((wrap(um(300)) - wrap(um(100)) - 0.6283).abs() < 0.0001);
    }

    #[test]
    fn says_why_a_strip_is_not_printed() {
        let layout = on(
            Paper::Letter,
            &[
                strip("5 IPS", 141_300, 38_000),
                strip("3/4 IPS", 26_670, 9_900),
                strip("1/4 CTS", 9_525, 12_000),
                strip("2 IPS", 60_325, 200_000),
            ],
        );
        let said: Vec<_> = layout.not_printed.iter().map(|n| n.to_string()).collect();
        // 141.4 pi + 12 = 456.2; 279.4 - 28 - 5 - 24 - 10 - 8 - 25 = 179.4.
        assert_eq!(
            said,
            [
                "1/4 CTS: the pipe is under 48.0 mm around, too short a strip to mark along",
                "3/4 IPS: the depth is under 10.0 mm, too short a strip to read",
                "2 IPS: the depth is more than the 179.4 mm that tabloid paper takes",
                "5 IPS: the strip is 456.2 mm long; tabloid paper takes 392.8 mm",
            ]
        );
        assert_eq!(layout.pages, []);
    }

    #[test]
    fn strips_are_in_order_of_size_with_the_larger_paper_last() {
        let layout = on(
            Paper::Letter,
            &[
                strip("3 IPS", 88_900, 28_000),
                strip("2 IPS", 60_325, 24_000),
                strip("1/2 IPS", 21_336, 15_000),
                strip("1 IPS", 33_401, 18_000),
            ],
        );
        let sizes: Vec<_> = (layout.pages.iter())
            .map(|page| {
                page.strips
                    .iter()
                    .map(|s| s.size.as_str())
                    .collect::<Vec<_>>()
            })
            .collect();
        assert_eq!(sizes, [vec!["1/2 IPS", "1 IPS", "2 IPS"], vec!["3 IPS"]]);
    }

    #[test]
    fn the_flap_is_slit_evenly_into_pieces_that_fold_flat() {
        // 26.77 pi = 84.1 mm in 12 pieces; 60.425 pi = 189.8 mm in 16.
        for (diameter, pieces) in [(26_670, 12.0), (60_325, 16.0)] {
            let layout = on(Paper::Letter, &[strip("one", diameter, 22_000)]);
            let strip = &layout.pages[0].strips[0];
            assert!((strip.wrap_mm / strip.slit_spacing_mm - pieces).abs() < 1e-4);
        }
    }

    /// Corners of a rectangle: left, top, right, bottom.
    type Corners = [f64; 4];

    fn corners(area: &Area) -> Corners {
        let (right, bottom) = (area.x_mm + area.width_mm, area.y_mm + area.height_mm);
        [area.x_mm, area.y_mm, right, bottom]
    }

    fn apart(a: Corners, b: Corners) -> bool {
        let close = 1e-6;
        a[2] <= b[0] + close || b[2] <= a[0] + close || a[3] <= b[1] + close || b[3] <= a[1] + close
    }

    proptest! {
        /// Nothing on a page touches anything else or the border, and no strip
        /// is lost.
        #[test]
        fn nothing_overlaps_and_nothing_is_lost(
            pipes in prop::collection::vec((1_000_i64..160_000, 5_000_i64..250_000), 0..14),
            thickness in 50_i64..700,
            letter: bool,
        ) {
            let paper = if letter { Paper::Letter } else { Paper::A4 };
            let strips: Vec<_> = pipes.iter().map(|&(od, depth)| strip("one", od, depth)).collect();
            let layout = lay_out(&strips, um(thickness), paper);
            let laid_out: usize = layout.pages.iter().map(|page| page.strips.len()).sum();
            prop_assert_eq!(laid_out + layout.not_printed.len(), strips.len());
            for page in &layout.pages {
                let (across, down) = (page.bars.horizontal, page.bars.vertical);
                let mut things = vec![
                    corners(&page.heading),
                    corners(&page.notes),
                    [across.x_mm, across.y_mm - 6.0, across.x_mm + 121.6, across.y_mm + 8.0],
                    [down.x_mm - 8.0, down.y_mm, down.x_mm + 6.0, down.y_mm + 121.6],
                    corners(&page.free),
                ];
                things.extend(page.strips.iter().map(|s| {
                    let height = s.stop_mm + s.depth_mm + s.witness_mm;
                    [s.x_mm, s.y_mm, s.x_mm + s.wrap_mm + s.tab_mm, s.y_mm + height]
                }));
                for (i, a) in things.iter().enumerate() {
                    prop_assert!(a[0] >= 10.0 - 1e-6 && a[1] >= 10.0 - 1e-6, "{a:?}");
                    prop_assert!(a[2] <= page.width_mm - 10.0 + 1e-6, "{a:?}");
                    prop_assert!(a[3] <= page.height_mm - 10.0 + 1e-6, "{a:?}");
                    for b in things.iter().skip(i + 1) {
                        prop_assert!(apart(*a, *b), "{a:?} touches {b:?}");
                    }
                }
            }
        }
    }
}
