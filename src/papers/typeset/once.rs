//! Lays out the cells of grids and tables once. Typst lays out every cell of a row
//! without a fixed height twice, first to learn the height, and a cell in a grid in a
//! grid eight times; that was a third of a procedure's layout. Here the layout that
//! showed the height is the one that is kept. The result is typst's own, so what this
//! module does not know how to lay out, or what goes on on the next page, is left to it.
//!
//! | file | holds |
//! |---|---|
//! | `cell` | one cell: its layout, its tags, its place in the height of its row |
//! | `lines` | grounds and lines, which typst draws around empty cells |

mod cell;
mod lines;

use std::num::NonZeroUsize;
use std::sync::OnceLock;

use typst::diag::SourceResult;
use typst::engine::Engine;
use typst::foundations::{
    Content, NativeElement, NativeRuleMap, NativeShowRule, Packed, Resolve, StyleChain, Target,
};
use typst::introspection::Locator;
use typst::layout::grid::resolve::{Cell, CellGrid, Entry};
use typst::layout::{
    Abs, Axes, BlockElem, Dir, Fr, Fragment, Frame, GridElem, Point, Region, Regions, Size, Sizing,
};
use typst::model::TableElem;
use typst::text::TextElem;
use typst::utils::Numeric;
use typst_layout::layout_fragment;

use cell::{fitted, lay_out_cell};
use lines::{has_lines, lines};

/// Typst's own rules.
struct TypstRules {
    grid: NativeShowRule,
    table: NativeShowRule,
}

static TYPST: OnceLock<TypstRules> = OnceLock::new();

/// Puts the rules of this module in the place of typst's.
pub(super) fn replace_rules(rules: &mut NativeRuleMap) {
    let of = |content| rules.get(Target::Paged, &content);
    let grid = of(GridElem::new(Vec::new()).pack());
    let table = of(TableElem::new(Vec::new()).pack());
    if let Some((grid, table)) = grid.zip(table) {
        TYPST.get_or_init(|| TypstRules { grid, table });
        rules.replace::<GridElem>(Target::Paged, once);
        rules.replace::<TableElem>(Target::Paged, once);
    }
}

/// A grid or a table.
trait Gridded: NativeElement {
    fn grid(&self) -> Option<&CellGrid>;
    fn rule(typst: &TypstRules) -> NativeShowRule;
}

impl Gridded for GridElem {
    fn grid(&self) -> Option<&CellGrid> {
        self.grid.as_deref()
    }
    fn rule(typst: &TypstRules) -> NativeShowRule {
        typst.grid
    }
}

impl Gridded for TableElem {
    fn grid(&self) -> Option<&CellGrid> {
        self.grid.as_deref()
    }
    fn rule(typst: &TypstRules) -> NativeShowRule {
        typst.table
    }
}

fn once<T: Gridded>(
    elem: &Packed<T>,
    engine: &mut Engine,
    styles: StyleChain,
) -> SourceResult<Content> {
    match elem.grid() {
        Some(grid) if is_known(grid) => {
            Ok(BlockElem::multi_layouter(elem.clone(), lay_out::<T>).pack())
        }
        _ => by_typst(elem, engine, styles),
    }
}

fn by_typst<T: Gridded>(
    elem: &Packed<T>,
    engine: &mut Engine,
    styles: StyleChain,
) -> SourceResult<Content> {
    match TYPST.get() {
        Some(typst) => T::rule(typst).apply(elem.pack_ref(), engine, styles),
        // There is no other way here than through the rules that were replaced.
        None => Ok(Content::empty()),
    }
}

/// Whether a grid has a row whose height is not fixed, and nothing whose size depends on
/// more than its own row and column.
fn is_known(grid: &CellGrid) -> bool {
    let cells = || grid.entries.iter().filter_map(Entry::as_cell);
    let spans = |count: NonZeroUsize| count != NonZeroUsize::MIN;
    let has_wide = cells().any(|cell| spans(cell.colspan));
    let has_high = cells().any(|cell| spans(cell.rowspan));
    grid.rows.contains(&Sizing::Auto)
        && !grid.rows.iter().any(|row| row.is_fractional())
        && (!has_wide || !grid.cols.contains(&Sizing::Auto))
        && (!has_high || !grid.has_gutter)
}

fn lay_out<T: Gridded>(
    elem: &Packed<T>,
    engine: &mut Engine,
    locator: Locator,
    styles: StyleChain,
    regions: Regions,
) -> SourceResult<Fragment> {
    let again = locator.relayout();
    if let Some(grid) = elem.grid()
        && let Some(frame) = Rows::new(grid, locator, styles, regions).lay_out(engine)?
    {
        return Ok(Fragment::frame(frame));
    }
    let content = by_typst(elem, engine, styles)?;
    layout_fragment(engine, &content, again, styles, regions)
}

struct Rows<'a> {
    grid: &'a CellGrid,
    styles: StyleChain<'a>,
    /// What is left of the page, and the pages after it.
    regions: Regions<'a>,
    /// Of each cell, row by row; `None` where another cell goes on.
    locators: Vec<Option<Locator<'a>>>,
    for_lines: Locator<'a>,
    widths: Vec<Abs>,
    /// Of the rows so far.
    heights: Vec<Abs>,
}

/// A cell that was laid out, or that still has to be since its height is fixed.
struct Laid {
    x: usize,
    y: usize,
    frame: Option<Frame>,
}

impl<'a> Rows<'a> {
    fn new(
        grid: &'a CellGrid,
        locator: Locator<'a>,
        styles: StyleChain<'a>,
        mut regions: Regions<'a>,
    ) -> Self {
        regions.expand = Axes::new(true, false);
        let mut locator = locator.split();
        let mut of = |cell: &Cell| locator.next(&cell.body.span());
        let locators = grid.entries.iter().map(|it| it.as_cell().map(&mut of));
        let locators = locators.collect();
        Self {
            grid,
            styles,
            regions,
            locators,
            for_lines: locator.next(&()),
            widths: vec![Abs::zero(); grid.cols.len()],
            heights: Vec::with_capacity(grid.rows.len()),
        }
    }

    /// The grid, or `None` where typst has to lay it out.
    fn lay_out(mut self, engine: &mut Engine) -> SourceResult<Option<Frame>> {
        if self.styles.resolve(TextElem::dir) == Dir::RTL || !self.set_widths(engine)? {
            return Ok(None);
        }
        let initial = self.regions.size;
        let mut cells = Vec::with_capacity(self.grid.entries.len());
        for (y, height) in self.grid.rows.iter().enumerate() {
            let Some(height) = self.row(engine, y, height, &mut cells)? else {
                return Ok(None);
            };
            self.regions.size.y -= height;
            self.heights.push(height);
        }
        let size = Size::new(self.width(), self.heights.iter().sum());
        if !initial.y.fits(size.y) {
            return Ok(None);
        }
        let mut output = Frame::soft(size);
        if has_lines(self.grid) {
            let around = (self.widths.as_slice(), self.heights.as_slice());
            let locator = self.for_lines.relayout();
            match lines(self.grid, around, engine, locator, self.styles)? {
                Some(drawn) => output = drawn,
                None => return Ok(None),
            }
        }
        output.set_size(size.min(initial));
        self.place(engine, cells, &mut output)?;
        Ok(Some(output))
    }

    /// Places the cells in the order in which typst does: in front of a row what has come
    /// down to it.
    fn place(&self, engine: &mut Engine, cells: Vec<Laid>, output: &mut Frame) -> SourceResult<()> {
        let mut top = Abs::zero();
        let (mut high, cells): (Vec<_>, Vec<_>) = cells
            .into_iter()
            .partition(|laid| self.rows_of(laid.x, laid.y) > 1);
        let mut cells = cells.into_iter().peekable();
        for (y, height) in self.heights.iter().enumerate() {
            let ends = |laid: &mut Laid| laid.y + self.rows_of(laid.x, laid.y) == y + 1;
            for laid in high.extract_if(.., ends) {
                let (x, spanned) = (laid.x, self.spanned_height(laid.x, laid.y));
                let above = self.heights.iter().take(laid.y).sum();
                let at = Point::new(self.left_of(x), above);
                if let Some(frame) = self.fitted(engine, laid, spanned)? {
                    output.push_frame(at, frame);
                }
            }
            let mut row = Frame::soft(Size::new(self.width(), *height));
            while let Some(laid) = cells.next_if(|laid| laid.y == y) {
                let left = self.left_of(laid.x);
                if let Some(frame) = self.fitted(engine, laid, *height)? {
                    row.push_frame(Point::with_x(left), frame);
                }
            }
            output.push_frame(Point::with_y(top), row);
            top += *height;
        }
        Ok(())
    }

    /// A cell in its final height.
    fn fitted(&self, engine: &mut Engine, laid: Laid, height: Abs) -> SourceResult<Option<Frame>> {
        let Laid { x, y, frame } = laid;
        let size = Size::new(self.spanned_width(x, y), height);
        let known = frame.zip(self.grid.cell(x, y));
        let known = known.and_then(|(frame, cell)| fitted(frame, size, cell, self.styles));
        if known.is_some() {
            return Ok(known);
        }
        let mut pod: Regions = Region::new(size, Axes::splat(true)).into();
        if self.grid.rows.get(y) == Some(&Sizing::Auto) {
            pod.full = self.regions.full;
        }
        let fragment = self.cell(engine, x, y, pod)?;
        Ok(fragment.map(Fragment::into_frame))
    }

    fn width(&self) -> Abs {
        self.widths.iter().sum()
    }

    fn left_of(&self, x: usize) -> Abs {
        self.widths.iter().take(x).sum()
    }

    fn spanned_width(&self, x: usize, y: usize) -> Abs {
        let cell = self.grid.cell(x, y);
        let columns = cell.map_or(1, |cell| self.grid.effective_colspan_of_cell(cell));
        self.widths.iter().skip(x).take(columns).sum()
    }

    fn rows_of(&self, x: usize, y: usize) -> usize {
        let cell = self.grid.cell(x, y);
        cell.map_or(1, |cell| self.grid.effective_rowspan_of_cell(cell))
    }

    fn spanned_height(&self, x: usize, y: usize) -> Abs {
        self.heights.iter().skip(y).take(self.rows_of(x, y)).sum()
    }

    /// Whether all columns fit beside each other.
    fn set_widths(&mut self, engine: &mut Engine) -> SourceResult<bool> {
        let (mut fixed, mut shares) = (Abs::zero(), Fr::zero());
        let base = self.regions.base();
        for (column, width) in self.grid.cols.iter().zip(&mut self.widths) {
            match column {
                Sizing::Auto => {}
                Sizing::Rel(rel) => {
                    *width = rel.resolve(self.styles).relative_to(base.x);
                    fixed += *width;
                }
                Sizing::Fr(share) => shares += *share,
            }
        }
        let available = self.regions.size.x - fixed;
        if available < Abs::zero() {
            return Ok(false);
        }
        let mut taken = Abs::zero();
        for (x, column) in self.grid.cols.iter().enumerate() {
            if *column != Sizing::Auto {
                continue;
            }
            let mut widest = Abs::zero();
            for (y, row) in self.grid.rows.iter().enumerate() {
                let height = match row {
                    Sizing::Rel(rel) => rel.resolve(self.styles).relative_to(base.y),
                    Sizing::Auto | Sizing::Fr(_) => base.y,
                };
                let pod = Region::new(Size::new(available, height), Axes::splat(false));
                if let Some(fragment) = self.cell(engine, x, y, pod.into())? {
                    widest.set_max(fragment.into_frame().width());
                }
            }
            if let Some(width) = self.widths.get_mut(x) {
                *width = widest;
            }
            taken += widest;
        }
        let left = available - taken;
        for (column, width) in self.grid.cols.iter().zip(&mut self.widths) {
            if let Sizing::Fr(share) = column
                && !shares.is_zero()
            {
                *width = share.share(shares, left);
            }
        }
        Ok(left >= Abs::zero() && self.width().is_finite())
    }

    /// The height of a row, or `None` where it does not fit.
    fn row(
        &self,
        engine: &mut Engine,
        y: usize,
        height: &Sizing,
        cells: &mut Vec<Laid>,
    ) -> SourceResult<Option<Abs>> {
        if self.regions.is_full() && !self.grid.is_gutter_track(y) {
            return Ok(None);
        }
        match height {
            Sizing::Fr(_) => Ok(None),
            Sizing::Auto => self.row_as_high_as_its_cells(engine, y, cells),
            Sizing::Rel(_) => {
                let height = self.fixed(height);
                if !self.regions.size.y.fits(height) && self.regions.may_progress() {
                    return Ok(None);
                }
                let there = (0..self.widths.len()).filter(|x| self.grid.cell(*x, y).is_some());
                let frame = None;
                cells.extend(there.map(|x| Laid {
                    x,
                    y,
                    frame: frame.clone(),
                }));
                Ok(Some(height))
            }
        }
    }

    /// A height that does not depend on cells; zero for one that does.
    fn fixed(&self, height: &Sizing) -> Abs {
        match height {
            Sizing::Rel(rel) => rel.resolve(self.styles).relative_to(self.regions.base().y),
            Sizing::Auto | Sizing::Fr(_) => Abs::zero(),
        }
    }

    fn row_as_high_as_its_cells(
        &self,
        engine: &mut Engine,
        y: usize,
        cells: &mut Vec<Laid>,
    ) -> SourceResult<Option<Abs>> {
        let mut height = None;
        for x in 0..self.widths.len() {
            if self.grid.cell(x, y).is_none() {
                continue;
            }
            let frame = if self.rows_of(x, y) > 1 {
                None
            } else {
                let Some(frame) = self.measured(engine, x, y, self.regions.size.y)? else {
                    return Ok(None);
                };
                height = height.max(Some(frame.height()));
                Some(frame)
            };
            cells.push(Laid { x, y, frame });
        }
        // What comes down to here makes the row higher where the rows above have not
        // enough room for it.
        for laid in cells
            .iter_mut()
            .filter(|laid| self.last_auto_row(laid) == Some(y))
        {
            let rows = self.rows_of(laid.x, laid.y);
            let above: Abs = self.heights.iter().skip(laid.y).sum();
            let below = self.grid.rows.iter().take(laid.y + rows).skip(y + 1);
            let below: Abs = below.map(|row| self.fixed(row)).sum();
            let room = self.regions.size.y + above;
            let Some(frame) = self.measured(engine, laid.x, laid.y, room)? else {
                return Ok(None);
            };
            height = height.max(Some(frame.height() - above - below));
            laid.frame = Some(frame);
        }
        Ok(height.map(|height| height.max(Abs::zero())))
    }

    /// The last row without a fixed height of a cell that goes down over several.
    fn last_auto_row(&self, laid: &Laid) -> Option<usize> {
        let count = self.rows_of(laid.x, laid.y);
        let rows = self.grid.rows.iter().enumerate();
        let rows = rows.skip(laid.y).take(count).filter(|_| count > 1);
        let auto = rows.filter(|(_, row)| **row == Sizing::Auto);
        auto.map(|(y, _)| y).next_back()
    }

    /// A cell as high as its content; `None` where that goes on overleaf.
    fn measured(
        &self,
        engine: &mut Engine,
        x: usize,
        y: usize,
        room: Abs,
    ) -> SourceResult<Option<Frame>> {
        let pod = Regions {
            size: Size::new(self.spanned_width(x, y), room),
            ..self.regions
        };
        let fragment = self.cell(engine, x, y, pod)?;
        let mut frames = fragment.map_or_else(Vec::new, Fragment::into_frames);
        Ok(frames.pop().filter(|_| frames.is_empty()))
    }

    /// A cell laid out as typst does it, tags included; `None` in a gutter.
    fn cell(
        &self,
        engine: &mut Engine,
        x: usize,
        y: usize,
        regions: Regions,
    ) -> SourceResult<Option<Fragment>> {
        let Some(cell) = self.grid.cell(x, y) else {
            return Ok(None);
        };
        let per_track = if self.grid.has_gutter { 2 } else { 1 };
        let columns = self.grid.non_gutter_column_count();
        let at = (y / per_track) * columns + x / per_track;
        let Some(Some(locator)) = self.locators.get(at) else {
            return Ok(None);
        };
        lay_out_cell(cell, engine, locator.relayout(), self.styles, regions).map(Some)
    }
}

#[cfg(test)]
mod tests;
