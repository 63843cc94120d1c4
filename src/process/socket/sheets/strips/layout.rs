//! Arranges pages and fills them row by row. Lengths are true lengths on the
//! printed paper; a corrected page is scaled as a whole.

use serde::Serialize;

use crate::core::units::Length;
use crate::process::socket::sheets::strips::gauge;
use crate::process::socket::sheets::strips::gauge::Gauge;
use crate::process::socket::sheets::strips::pieces::{Outline, Strip};
use crate::process::socket::sheets::strips::stock::{
    Area, BAR_ABOVE, BAR_BELOW, GAP, MARGIN, Point, Sheet, Stock, TOP,
};
use crate::process::socket::sheets::strips::{MarkInput, PipeInput};

/// Height of the heading: organization, title, revision.
const HEADING: Length = Length::from_micrometers(13_000);
/// Height of the size check: a heading and a line for each of six strips, the
/// most that fit a page of the ordinary paper.
const SIZE_CHECK: Length = Length::from_micrometers(22_000);
/// Gap between the texts of the foot.
const FOOT_GAP: Length = Length::from_micrometers(2_000);
/// A pair of scale bars is 4 in long, the longer of the two.
const BAR: Length = Length::from_micrometers(101_600);
/// Room after a bar for its unit.
const BAR_LABEL: Length = Length::from_micrometers(20_000);
/// The same for vertical bars, which have less space.
const BAR_LABEL_DOWN: Length = Length::from_micrometers(15_000);

/// One page, in millimeters from its top left corner.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(crate) struct Page {
    /// Width of the paper in landscape.
    pub(crate) width_mm: f64,
    /// Height of the paper in landscape.
    pub(crate) height_mm: f64,
    /// Horizontal scale that corrects for the printer.
    pub(crate) scale_x: f64,
    /// Vertical scale that corrects for the printer.
    pub(crate) scale_y: f64,
    /// The paper to load.
    #[serde(skip)]
    pub(crate) sheet: Sheet,
    pub(crate) heading: Area,
    /// The note that the page is corrected.
    pub(crate) corrected: Area,
    /// The size check of the page's strips.
    pub(crate) size_check: Area,
    /// The note about printing.
    pub(crate) printing: Area,
    pub(crate) notes: Area,
    /// All the room for strips and gauges.
    pub(crate) room: Area,
    /// The part of it left free, for the list of strips not printed.
    pub(crate) free: Area,
    pub(crate) strips: Vec<Strip>,
    pub(crate) gauges: Vec<Gauge>,
    pub(crate) bars: Bars,
}

/// The zero points of the scale bars.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(crate) struct Bars {
    pub(crate) horizontal: Point,
    pub(crate) vertical: Point,
}

impl Page {
    /// An empty page.
    fn new(stock: Stock) -> Self {
        let (right, low) = (stock.width - MARGIN, stock.height - MARGIN);
        let room = Area::between(MARGIN, TOP, stock.right(), stock.bottom());
        let left_end = MARGIN + BAR + BAR_LABEL - GAP;
        let check_end = stock.foot() + SIZE_CHECK;
        let heading_end = MARGIN + HEADING;
        let bars = Bars {
            horizontal: Point {
                x_mm: MARGIN.mm(),
                y_mm: (low - BAR_BELOW).mm(),
            },
            // Rotated to run down, the millimeter side faces right. Bars stay
            // clear of the notes on a printer with little room.
            vertical: Point {
                x_mm: (right - BAR_ABOVE).mm(),
                y_mm: TOP.min(stock.foot() - BAR - BAR_LABEL_DOWN).mm(),
            },
        };
        let (width, height) = stock.sheet.size();
        Self {
            width_mm: width.mm(),
            height_mm: height.mm(),
            scale_x: stock.factors.0,
            scale_y: stock.factors.1,
            sheet: stock.sheet,
            heading: Area::between(MARGIN, MARGIN, right, heading_end),
            corrected: Area::between(MARGIN, heading_end, stock.right(), TOP),
            size_check: Area::between(MARGIN, stock.foot(), left_end, check_end),
            printing: Area::between(
                MARGIN,
                check_end + FOOT_GAP,
                left_end,
                low - BAR_BELOW - BAR_ABOVE,
            ),
            notes: Area::between(MARGIN + BAR + BAR_LABEL, stock.foot(), right, low),
            room,
            free: room,
            strips: Vec::new(),
            gauges: Vec::new(),
            bars,
        }
    }
}

/// Pages of one stock, being filled row by row.
#[derive(Clone)]
pub(crate) struct Stack {
    stock: Stock,
    pub(crate) pages: Vec<Page>,
    left: Length,
    top: Length,
    row_height: Length,
}

impl Stack {
    pub(crate) fn new(stock: Stock) -> Self {
        Self {
            stock,
            pages: Vec::new(),
            left: MARGIN,
            top: TOP,
            row_height: Length::ZERO,
        }
    }

    /// Places a strip where there is room; it must fit the paper.
    pub(crate) fn place_strip(&mut self, mark: &MarkInput, pipe: &PipeInput, outline: Outline) {
        let at = self.room_for(outline.width(), outline.height());
        if let Some(page) = self.pages.last_mut() {
            page.strips.push(outline.strip(mark, pipe, at));
        }
    }

    /// Places both pieces of a strip on one page, if a page holds them.
    pub(crate) fn place_pieces(&mut self, mark: &MarkInput, pipe: &PipeInput, both: [Outline; 2]) {
        let pages = |mut stack: Self| {
            both.map(|piece| {
                stack.room_for(piece.width(), piece.height());
                stack.pages.len()
            })
        };
        let ([first, second], [alone, beside]) =
            (pages(self.clone()), pages(Self::new(self.stock)));
        if first != second && alone == beside {
            // Marks this page as full.
            self.left = MARGIN;
            self.top = self.stock.bottom();
            self.row_height = Length::ZERO;
        }
        for piece in both {
            self.place_strip(mark, pipe, piece);
        }
    }

    /// Places a gauge where there is room; it must fit the paper.
    pub(crate) fn place_gauge(&mut self, mark: &MarkInput) {
        let (width, height) = gauge::size(mark);
        let at = self.room_for(width, height);
        if let Some(page) = self.pages.last_mut() {
            page.gauges.push(gauge::gauge(mark, at));
        }
    }

    /// Reserves room in the row, the next row, or the next page, which is then
    /// the last. Returns the top left corner.
    fn room_for(&mut self, width: Length, height: Length) -> Point {
        let bottom = self.stock.bottom();
        if self.left + width > self.stock.right() || self.top + height > bottom {
            self.left = MARGIN;
            self.top = self.top + self.row_height + GAP;
            self.row_height = Length::ZERO;
        }
        if self.pages.is_empty() || self.top + height > bottom {
            self.pages.push(Page::new(self.stock));
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
