//! The paper: its sizes, what stands where on a page, and filling pages row by
//! row. Lengths are true lengths on the printed paper; a corrected page is drawn
//! larger or smaller as a whole.

use serde::Serialize;

use super::gauge::{self, Gauge};
use super::pieces::{Outline, Strip};
use super::{Choices, MarkInput, PipeInput};
use crate::core::units::Length;
use crate::spec::Paper;

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
/// The same past the bars that run down, where less is free.
const BAR_LABEL_DOWN: Length = Length::from_micrometres(15_000);
/// A pair of bars, numerals included, across: on the millimetre side.
const BAR_ABOVE: Length = Length::from_micrometres(6_000);
/// A pair of bars, numerals included, across: on the inch side.
const BAR_BELOW: Length = Length::from_micrometres(8_000);
/// Top of the room for strips: under the heading and the line on the correction.
const TOP: Length = Length::from_micrometres(28_000);

/// One page, in millimetres from its top left corner.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Page {
    /// Width of the paper as it lies.
    pub width_mm: f64,
    /// Height of the paper as it lies.
    pub height_mm: f64,
    /// How much wider everything is drawn, for the printer.
    pub scale_x: f64,
    /// How much higher everything is drawn, for the printer.
    pub scale_y: f64,
    /// What to load into the printer.
    #[serde(skip)]
    pub sheet: Sheet,
    /// Where the heading goes.
    pub heading: Area,
    /// Where it says that the page is corrected.
    pub corrected: Area,
    /// Where the size check of the page's strips goes.
    pub size_check: Area,
    /// Where the note about printing goes.
    pub printing: Area,
    /// Where the notes go.
    pub notes: Area,
    /// All the room for strips and gauges.
    pub room: Area,
    /// What they have left of it, for the list of those not printed.
    pub free: Area,
    /// The strips.
    pub strips: Vec<Strip>,
    /// The stick gauges.
    pub gauges: Vec<Gauge>,
    /// The scale bars.
    pub bars: Bars,
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

/// A size of paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// 11 × 8.5 in.
    Letter,
    /// 17 × 11 in.
    Tabloid,
    /// 297 × 210 mm.
    A4,
    /// 420 × 297 mm.
    A3,
}

impl Sheet {
    /// Width and height, lying on its long side: strips are long and low.
    fn size(self) -> (Length, Length) {
        let (width, height) = match self {
            Sheet::Letter => (279_400, 215_900),
            Sheet::Tabloid => (431_800, 279_400),
            Sheet::A4 => (297_000, 210_000),
            Sheet::A3 => (420_000, 297_000),
        };
        (
            Length::from_micrometres(width),
            Length::from_micrometres(height),
        )
    }
}

/// Paper as one printer reaches it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stock {
    pub(super) sheet: Sheet,
    width: Length,
    height: Length,
    factors: (f64, f64),
}

impl Stock {
    /// The ordinary paper, and the larger one for long strips.
    pub(super) fn of(choices: &Choices) -> [Self; 2] {
        let sheets = match choices.paper {
            Paper::Letter => [Sheet::Letter, Sheet::Tabloid],
            Paper::A4 => [Sheet::A4, Sheet::A3],
        };
        sheets.map(|sheet| {
            let (width, height) = sheet.size();
            let corrected = choices.correction;
            let (width, height) = corrected.map_or((width, height), |c| c.room(width, height));
            Self {
                sheet,
                width,
                height,
                factors: corrected.map_or((1.0, 1.0), |c| c.factors()),
            }
        })
    }

    /// Width and height of the room for strips.
    pub(super) fn room(self) -> (Length, Length) {
        (self.right() - MARGIN, self.bottom() - TOP)
    }

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
        let room = Area::between(MARGIN, TOP, self.right(), self.bottom());
        let left_end = MARGIN + BAR + BAR_LABEL - GAP;
        let check_end = self.foot() + SIZE_CHECK;
        let heading_end = MARGIN + HEADING;
        let bars = Bars {
            horizontal: Point {
                x_mm: MARGIN.mm(),
                y_mm: (low - BAR_BELOW).mm(),
            },
            // Turned to run down, the millimetre side faces right. They keep off
            // the notes where a printer has little room.
            vertical: Point {
                x_mm: (right - BAR_ABOVE).mm(),
                y_mm: TOP.min(self.foot() - BAR - BAR_LABEL_DOWN).mm(),
            },
        };
        let (width, height) = self.sheet.size();
        Page {
            width_mm: width.mm(),
            height_mm: height.mm(),
            scale_x: self.factors.0,
            scale_y: self.factors.1,
            sheet: self.sheet,
            heading: Area::between(MARGIN, MARGIN, right, heading_end),
            corrected: Area::between(MARGIN, heading_end, self.right(), TOP),
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
            gauges: Vec::new(),
            bars,
        }
    }
}

/// Pages of one paper, being filled row by row.
#[derive(Clone)]
pub(super) struct Stack {
    stock: Stock,
    pub(super) pages: Vec<Page>,
    left: Length,
    top: Length,
    row_height: Length,
}

impl Stack {
    pub(super) fn new(stock: Stock) -> Self {
        Self {
            stock,
            pages: Vec::new(),
            left: MARGIN,
            top: TOP,
            row_height: Length::ZERO,
        }
    }

    /// Puts a strip where there is room; it must fit the paper.
    pub(super) fn place_strip(&mut self, mark: &MarkInput, pipe: &PipeInput, outline: Outline) {
        let at = self.room_for(outline.width(), outline.height());
        if let Some(page) = self.pages.last_mut() {
            page.strips.push(outline.strip(mark, pipe, at));
        }
    }

    /// Puts both pieces of a strip on one page, where a page holds them.
    pub(super) fn place_pieces(&mut self, mark: &MarkInput, pipe: &PipeInput, both: [Outline; 2]) {
        let pages = |mut stack: Self| {
            both.map(|piece| {
                stack.room_for(piece.width(), piece.height());
                stack.pages.len()
            })
        };
        let ([first, second], [alone, beside]) =
            (pages(self.clone()), pages(Self::new(self.stock)));
        if first != second && alone == beside {
            // Nothing more goes on this page.
            self.left = MARGIN;
            self.top = self.stock.bottom();
            self.row_height = Length::ZERO;
        }
        for piece in both {
            self.place_strip(mark, pipe, piece);
        }
    }

    /// Puts a gauge where there is room; it must fit the paper.
    pub(super) fn place_gauge(&mut self, mark: &MarkInput) {
        let (width, height) = gauge::size(mark);
        let at = self.room_for(width, height);
        if let Some(page) = self.pages.last_mut() {
            page.gauges.push(gauge::gauge(mark, at));
        }
    }

    /// Takes room in the row, the next row or the next page, which is then the
    /// last; gives its top left corner.
    fn room_for(&mut self, width: Length, height: Length) -> Point {
        let bottom = self.stock.bottom();
        if self.left + width > self.stock.right() || self.top + height > bottom {
            self.left = MARGIN;
            self.top = self.top + self.row_height + GAP;
            self.row_height = Length::ZERO;
        }
        if self.pages.is_empty() || self.top + height > bottom {
            self.pages.push(self.stock.page());
            self.left = MARGIN;
            self.top = TOP;
            self.row_height = Length::ZERO;
        }
        let at = Point {
            x_mm: self.left.mm(),
            y_mm: self.top.mm(),
        };
        self.row_height = self.row_height.max(height);
        self.left = self.left + width + GAP;
        let (top, right) = (self.top + self.row_height + GAP, self.stock.right());
        if let Some(page) = self.pages.last_mut() {
            page.free = Area::between(MARGIN, top, right, bottom);
        }
        at
    }
}
