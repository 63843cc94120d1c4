//! Fills pages with pieces of true size. A piece goes to the highest place that
//! is free, then to the one farthest left; a tongue is counted apart from its
//! strip, so that the next shorter strip fits beside it. Lengths are true lengths
//! on the printed paper; a corrected page is scaled as a whole.

use serde::Serialize;

use crate::core::units::Length;
use crate::papers::sheets::area::Area;
use crate::process::socket::sheets::strips::gauge;
use crate::process::socket::sheets::strips::gauge::Gauge;
use crate::process::socket::sheets::strips::lettering::{Lettering, letter_gauge, letter_strip};
use crate::process::socket::sheets::strips::pieces::{Outline, Strip};
use crate::process::socket::sheets::strips::stock::{
    BAR_ABOVE, BAR_BELOW, GAP, MARGIN, Point, Rect, Sheet, Stock, TOP,
};
use crate::process::socket::sheets::strips::{
    CheckLines, Layout, MIN_DEPTH, MIN_WRAP, MarkInput, PipeInput, Reason,
};

/// Height of the heading: title and revision, organization and digest.
const HEADING: Length = Length::from_micrometers(9_800);
/// A pair of scale bars is 4 in long, the longer of the two.
const BAR: Length = Length::from_micrometers(101_600);
/// Room after a bar for half a numeral.
const BAR_END: Length = Length::from_micrometers(1_000);
/// Pictures, notes and horizontal bars, at the lower right.
const FOOT_WIDTH: Length = Length::from_micrometers(104_000);
const FOOT_HEIGHT: Length = Length::from_micrometers(84_000);
/// The size check with a line for each strip, and with a line for each neighbor.
const WIDE_CHECK: Length = Length::from_micrometers(98_000);
const NARROW_CHECK: Length = Length::from_micrometers(76_000);
/// Its two headings, and each of its lines.
const CHECK_HEAD: Length = Length::from_micrometers(9_500);
const CHECK_LINE: Length = Length::from_micrometers(3_600);
/// Room for the signed code and its quiet zone, at the upper right.
const CODE: Length = Length::from_micrometers(22_000);
const CODE_END: Length = Length::from_micrometers(30_000);

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
    /// Pictures and notes.
    pub(crate) foot: Area,
    /// The size check of the page's strips.
    pub(crate) size_check: Option<SizeCheck>,
    /// Where the sizes without a strip are listed.
    pub(crate) list: Option<Area>,
    pub(crate) strips: Vec<Strip>,
    pub(crate) gauges: Vec<Gauge>,
    pub(crate) bars: Bars,
    /// All the room for pieces.
    #[serde(skip)]
    room: Rect,
    /// What stands on the page, but for the size check.
    #[serde(skip)]
    taken: Vec<Rect>,
    /// How many of them stand on every page.
    #[serde(skip)]
    furniture: usize,
    /// Lines of the size check so far.
    #[serde(skip)]
    check_lines: CheckLines,
}

/// Where the size check stands, and whether it has a line for each strip.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(crate) struct SizeCheck {
    #[serde(flatten)]
    pub(crate) area: Area,
    pub(crate) wide: bool,
    #[serde(skip)]
    rect: Rect,
}

/// The zero points of the scale bars.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub(crate) struct Bars {
    pub(crate) horizontal: Point,
    pub(crate) vertical: Point,
}

/// A corner, horizontally and vertically.
type Corner = (Length, Length);

impl Page {
    /// An empty page; `code` says whether a signed code stands on it.
    pub(crate) fn new(stock: Stock, code: bool) -> Self {
        let (right, bottom) = (stock.right(), stock.bottom());
        let upright_end = if code { right - CODE } else { right };
        let upright = Rect::between(
            upright_end - BAR_ABOVE - BAR_BELOW,
            MARGIN,
            upright_end,
            MARGIN + BAR + BAR_END,
        );
        // On a printer with little room the notes stand beside the upright bars.
        let foot_top = bottom - FOOT_HEIGHT;
        let foot_end = if foot_top < upright.bottom + GAP {
            upright.left - GAP
        } else {
            right
        };
        let foot = Rect::between(foot_end - FOOT_WIDTH, foot_top, foot_end, bottom);
        let heading_end = upright.left - GAP;
        let corner = Rect::between(right - CODE, MARGIN, right, CODE_END);
        let notes_end = bottom - BAR_ABOVE - BAR_BELOW;
        let bars = Bars {
            horizontal: Point {
                x_mm: foot.left.mm(),
                y_mm: (bottom - BAR_BELOW).mm(),
            },
            // Rotated to run down, the millimeter side faces right.
            vertical: Point {
                x_mm: (upright.right - BAR_ABOVE).mm(),
                y_mm: upright.top.mm(),
            },
        };
        let (width, height) = stock.sheet.size();
        let taken: Vec<_> = [foot, upright]
            .into_iter()
            .chain(code.then_some(corner))
            .collect();
        Self {
            width_mm: width.mm(),
            height_mm: height.mm(),
            scale_x: stock.factors.0,
            scale_y: stock.factors.1,
            sheet: stock.sheet,
            heading: Rect::between(MARGIN, MARGIN, heading_end, MARGIN + HEADING).area(),
            foot: Rect::between(foot.left, foot.top, foot.right, notes_end).area(),
            size_check: None,
            list: None,
            strips: Vec::new(),
            gauges: Vec::new(),
            bars,
            room: stock.room(),
            furniture: taken.len(),
            taken,
            check_lines: CheckLines::default(),
        }
    }

    /// Whether everything of a piece is free at a corner.
    fn is_free(&self, parts: &[Rect], (x, y): Corner) -> bool {
        parts.iter().all(|part| {
            let part = part.moved(x, y);
            part.is_within(self.room) && self.taken.iter().all(|taken| part.is_clear_of(*taken))
        })
    }

    /// The corners where a piece can stand: below or right of what is there.
    fn corners(&self) -> Vec<Corner> {
        let below = self.taken.iter().map(|taken| taken.bottom + GAP);
        let beside = self.taken.iter().map(|taken| taken.right + GAP);
        let mut tops: Vec<_> = std::iter::once(TOP).chain(below).collect();
        let mut lefts: Vec<_> = std::iter::once(MARGIN).chain(beside).collect();
        tops.sort_unstable();
        lefts.sort_unstable();
        (tops.iter())
            .flat_map(|top| lefts.iter().map(|left| (*left, *top)))
            .collect()
    }

    /// The lowest free place of this size, as far right as it goes.
    fn place_for(&self, width: Length, height: Length) -> Option<Rect> {
        let whole = Rect::between(Length::ZERO, Length::ZERO, width, height);
        let before = self.taken.iter().map(|taken| taken.left - GAP - width);
        let above = self.taken.iter().map(|taken| taken.top - GAP - height);
        let mut lefts: Vec<_> = before.chain([self.room.right - width]).collect();
        let mut tops: Vec<_> = above.chain([TOP, self.room.bottom - height]).collect();
        tops.extend(self.taken.iter().map(|taken| taken.bottom + GAP));
        lefts.extend(self.taken.iter().map(|taken| taken.right + GAP));
        lefts.push(MARGIN);
        tops.sort_unstable();
        lefts.sort_unstable();
        let corners = lefts
            .iter()
            .rev()
            .flat_map(|left| tops.iter().rev().map(|top| (*left, *top)));
        let mut free = corners.filter(|corner| self.is_free(&[whole], *corner));
        free.next().map(|(x, y)| whole.moved(x, y))
    }

    /// A place for the size check of the strips so far, if there is one.
    fn place_for_check(&self) -> Option<SizeCheck> {
        let CheckLines { wide, narrow } = self.check_lines;
        let high = |lines: usize| {
            CHECK_HEAD + CHECK_LINE.scaled(i64::try_from(lines).unwrap_or(i64::from(i16::MAX)), 1)
        };
        let check = |width, lines, wide| {
            let rect = self.place_for(width, high(lines))?;
            let area = rect.area();
            Some(SizeCheck { area, wide, rect })
        };
        check(WIDE_CHECK, wide, true).or_else(|| check(NARROW_CHECK, narrow, false))
    }

    /// Places a strip; `false` if the page has no room for it and its line of the
    /// size check.
    pub(crate) fn place_strip(
        &mut self,
        mark: &MarkInput,
        pipe: &PipeInput,
        outline: Outline,
    ) -> bool {
        let parts = outline.parts();
        for (x, y) in self.corners() {
            if !self.is_free(&parts, (x, y)) {
                continue;
            }
            let (before, lines) = (self.taken.len(), self.check_lines);
            self.taken.extend(parts.iter().map(|part| part.moved(x, y)));
            if outline.has_lap_line() {
                self.check_lines.wide += pipe.check_lines.wide;
                self.check_lines.narrow += pipe.check_lines.narrow;
            }
            let check = self.place_for_check();
            if check.is_some() {
                self.size_check = check;
                self.strips.push(outline.strip(mark, pipe, point(x, y)));
                return true;
            }
            self.taken.truncate(before);
            self.check_lines = lines;
        }
        false
    }

    /// Places a gauge; `false` if the page has no room for it.
    fn place_gauge(&mut self, mark: &MarkInput) -> bool {
        let (width, height) = gauge::size(mark);
        let whole = [Rect::between(Length::ZERO, Length::ZERO, width, height)];
        let corners = self.corners();
        let Some((x, y)) = corners
            .into_iter()
            .find(|corner| self.is_free(&whole, *corner))
        else {
            return false;
        };
        self.taken.extend(whole.map(|part| part.moved(x, y)));
        self.gauges.push(gauge::gauge(mark, point(x, y)));
        true
    }
}

fn point(x: Length, y: Length) -> Point {
    Point {
        x_mm: x.mm(),
        y_mm: y.mm(),
    }
}

/// Pages of one stock. A piece goes on the first page that has room for it.
pub(crate) struct Stack {
    stock: Stock,
    code: bool,
    pub(crate) pages: Vec<Page>,
}

impl Stack {
    pub(crate) fn new(stock: Stock, code: bool) -> Self {
        Self {
            stock,
            code,
            pages: Vec::new(),
        }
    }

    /// Whether a gauge fits beside the notes.
    pub(crate) fn takes_gauge(&self, mark: &MarkInput) -> bool {
        let (width, _) = gauge::size(mark);
        width <= self.longest()
    }

    /// Whether a strip is usable and fits.
    pub(crate) fn takes(
        &self,
        mark: &MarkInput,
        pipe: &PipeInput,
        outline: Outline,
    ) -> Result<(), Reason> {
        let (longest, paper) = (self.longest(), self.stock.sheet);
        if outline.wrap < MIN_WRAP {
            Err(Reason::TooThin)
        } else if outline.depth < MIN_DEPTH {
            Err(Reason::TooShallow)
        } else if outline.width() > longest {
            Err(Reason::TooLong {
                strip: outline.width(),
                longest,
                paper,
            })
        } else if !self.holds(mark, pipe, outline) {
            let deepest = self.deepest(mark, pipe, outline);
            Err(Reason::TooDeep { deepest, paper })
        } else {
            Ok(())
        }
    }

    /// The deepest such strip that the stock holds, to a tenth of a millimeter.
    fn deepest(&self, mark: &MarkInput, pipe: &PipeInput, outline: Outline) -> Length {
        let tenths = |n: i64| Length::from_micrometers(100).scaled(n, 1);
        let (mut held, mut not_held) = (0, 10_000);
        while not_held - held > 1 {
            let half = i64::midpoint(held, not_held);
            let depth = tenths(half);
            if self.holds(mark, pipe, Outline { depth, ..outline }) {
                held = half;
            } else {
                not_held = half;
            }
        }
        tenths(held)
    }

    /// Whether an empty page holds this strip.
    fn holds(&self, mark: &MarkInput, pipe: &PipeInput, outline: Outline) -> bool {
        Page::new(self.stock, self.code).place_strip(mark, pipe, outline)
    }

    /// Places what `place` puts on the first page that takes all of it, or on a
    /// new one. A page that did not take all of it is left as it was.
    fn place(&mut self, place: impl Fn(&mut Page) -> bool) -> bool {
        for page in &mut self.pages {
            let before = page.clone();
            if place(page) {
                return true;
            }
            *page = before;
        }
        let mut page = Page::new(self.stock, self.code);
        let placed = place(&mut page);
        if placed {
            self.pages.push(page);
        }
        placed
    }

    /// Places a strip that the stock holds.
    pub(crate) fn place_strip(&mut self, mark: &MarkInput, pipe: &PipeInput, outline: Outline) {
        self.place(|page| page.place_strip(mark, pipe, outline));
    }

    /// Places both pieces of a strip, on one page if a page holds them.
    pub(crate) fn place_pieces(&mut self, mark: &MarkInput, pipe: &PipeInput, both: [Outline; 2]) {
        let together = self.place(|page| {
            both.iter()
                .all(|piece| page.place_strip(mark, pipe, *piece))
        });
        if !together {
            for piece in both {
                self.place_strip(mark, pipe, piece);
            }
        }
    }

    /// Places a gauge that the stock holds.
    pub(crate) fn place_gauge(&mut self, mark: &MarkInput) {
        self.place(|page| page.place_gauge(mark));
    }

    /// Longest strip: from the margin to the scale bars.
    fn longest(&self) -> Length {
        let page = Page::new(self.stock, self.code);
        let beside = page.taken.iter().filter(|taken| taken.top <= TOP);
        let end = beside.map(|taken| taken.left).min();
        end.map_or(self.stock.right() - MARGIN, |end| end - GAP - MARGIN)
    }
}

impl Layout {
    /// Puts the print on every strip and gauge.
    pub(crate) fn letter(&mut self, with: Lettering<'_>) {
        for page in &mut self.pages {
            page.strips
                .iter_mut()
                .for_each(|strip| letter_strip(strip, with));
            page.gauges
                .iter_mut()
                .for_each(|gauge| letter_gauge(gauge, with));
        }
    }

    /// Room for a list this wide and high on the last page, or else on a page more.
    pub(crate) fn place_list(&mut self, width: Length, height: Length) {
        let Some(last) = self.pages.last_mut() else {
            return;
        };
        let mut with_check = last.clone();
        with_check
            .taken
            .extend(last.size_check.map(|check| check.rect));
        if let Some(place) = with_check.place_for(width, height) {
            last.list = Some(place.area());
            return;
        }
        let mut more = Page {
            strips: Vec::new(),
            gauges: Vec::new(),
            size_check: None,
            ..last.clone()
        };
        more.taken.truncate(more.furniture);
        // A list longer than any page is cut off at its foot.
        let all = Rect::between(MARGIN, TOP, MARGIN + width, more.room.bottom);
        more.list = Some(more.place_for(width, height).unwrap_or(all).area());
        self.pages.push(more);
    }
}
