//! Lays out the cells of a grid once. Typst lays out every cell of a row without a
//! fixed height twice, first to learn the height, and a cell in a grid in a grid eight
//! times; that was a third of a procedure's layout. Here the layout that showed the
//! height is the one that is kept. The result is typst's own, so a grid that this
//! module does not know how to lay out, or that goes on on the next page, is left to it.
//!
//! Templates call it as `show grid: once`.

use typst::diag::SourceResult;
use typst::engine::Engine;
use typst::foundations::{
    Args, Content, Func, NativeElement, Packed, Resolve, SequenceElem, Smart, StyleChain,
    StyledElem,
};
use typst::introspection::{Locator, SplitLocator, Tag, TagFlags};
use typst::layout::grid::resolve::{Cell, CellGrid, Entry};
use typst::layout::{
    Abs, AlignElem, Axes, BlockElem, Dir, Fr, Fragment, Frame, FrameItem, GridCell, GridElem,
    Point, Region, Regions, Size, Sizing, VAlignment,
};
use typst::text::TextElem;
use typst::utils::Numeric;
use typst_layout::layout_fragment;

use super::native::native;

/// The function that templates see.
pub(super) fn function() -> Func {
    native!("once", "A grid whose cells are laid out once.", once)
}

fn once(arguments: &mut Args) -> SourceResult<Content> {
    let content: Content = arguments.expect("grid")?;
    Ok(match content.to_packed::<GridElem>() {
        Some(grid) if grid.grid.as_deref().is_some_and(is_simple) => {
            BlockElem::multi_layouter(grid.clone(), lay_out).pack()
        }
        _ => content,
    })
}

/// Whether a grid is plain cells in rows, without lines or grounds, and has a row whose
/// height is not fixed.
fn is_simple(grid: &CellGrid) -> bool {
    let is_plain = |entry: &Entry| match entry {
        Entry::Cell(cell) => {
            cell.breakable
                && cell.fill.is_none()
                && cell.colspan.get() == 1
                && cell.rowspan.get() == 1
                && cell.stroke.iter().all(Option::is_none)
        }
        Entry::Merged { .. } => false,
    };
    let has_no_line = |lines: &Vec<_>| lines.is_empty();
    grid.headers.is_empty()
        && grid.footer.is_none()
        && grid.vlines.iter().all(has_no_line)
        && grid.hlines.iter().all(has_no_line)
        && grid.rows.contains(&Sizing::Auto)
        && !grid.rows.iter().any(|row| row.is_fractional())
        && grid.entries.iter().all(is_plain)
}

fn lay_out(
    elem: &Packed<GridElem>,
    engine: &mut Engine,
    locator: Locator,
    styles: StyleChain,
    regions: Regions,
) -> SourceResult<Fragment> {
    let again = locator.relayout();
    if let Some(grid) = elem.grid.as_deref()
        && let Some(frame) = Rows::new(grid, locator, styles, regions).lay_out(engine)?
    {
        return Ok(Fragment::frame(frame));
    }
    layout_fragment(engine, &elem.clone().pack(), again, styles, regions)
}

struct Rows<'a> {
    grid: &'a CellGrid,
    styles: StyleChain<'a>,
    /// What is left of the page, and the pages after it.
    regions: Regions<'a>,
    /// Of each cell, row by row.
    locators: Vec<Locator<'a>>,
    widths: Vec<Abs>,
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
        let cells = grid.entries.iter().filter_map(Entry::as_cell);
        let locators = cells.map(|cell| locator.next(&cell.body.span())).collect();
        Self {
            grid,
            styles,
            regions,
            locators,
            widths: vec![Abs::zero(); grid.cols.len()],
        }
    }

    /// The grid, or `None` where typst has to lay it out.
    fn lay_out(mut self, engine: &mut Engine) -> SourceResult<Option<Frame>> {
        if self.styles.resolve(TextElem::dir) == Dir::RTL || !self.set_widths(engine)? {
            return Ok(None);
        }
        let initial = self.regions.size;
        let (mut rows, mut used) = (Vec::new(), Abs::zero());
        for (y, height) in self.grid.rows.iter().enumerate() {
            let Some(row) = self.row(engine, y, height)? else {
                return Ok(None);
            };
            used += row.height();
            self.regions.size.y -= row.height();
            rows.push(row);
        }
        let mut output = Frame::soft(Size::new(self.width(), used).min(initial));
        let mut pos = Point::zero();
        for row in rows {
            let height = row.height();
            output.push_frame(pos, row);
            pos.y += height;
        }
        Ok(Some(output))
    }

    fn width(&self) -> Abs {
        self.widths.iter().sum()
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

    /// A row, or `None` where it does not fit.
    fn row(&self, engine: &mut Engine, y: usize, height: &Sizing) -> SourceResult<Option<Frame>> {
        let is_gutter = self.grid.is_gutter_track(y);
        if self.regions.is_full() && !is_gutter {
            return Ok(None);
        }
        match height {
            Sizing::Fr(_) => Ok(None),
            Sizing::Auto => self.row_as_high_as_its_cells(engine, y),
            Sizing::Rel(rel) => {
                let base = self.regions.base().y;
                let height = rel.resolve(self.styles).relative_to(base);
                if !self.regions.size.y.fits(height) && self.regions.may_progress() {
                    return Ok(None);
                }
                self.row_of_height(engine, y, height).map(Some)
            }
        }
    }

    fn row_of_height(&self, engine: &mut Engine, y: usize, height: Abs) -> SourceResult<Frame> {
        let mut row = Frame::soft(Size::new(self.width(), height));
        let mut left = Abs::zero();
        for (x, width) in self.widths.iter().enumerate() {
            let pod = Region::new(Size::new(*width, height), Axes::splat(true));
            if let Some(fragment) = self.cell(engine, x, y, pod.into())? {
                row.push_frame(Point::with_x(left), fragment.into_frame());
            }
            left += *width;
        }
        Ok(row)
    }

    fn row_as_high_as_its_cells(
        &self,
        engine: &mut Engine,
        y: usize,
    ) -> SourceResult<Option<Frame>> {
        let (mut frames, mut height) = (Vec::new(), Abs::zero());
        for (x, width) in self.widths.iter().enumerate() {
            let pod = Regions {
                size: Size::new(*width, self.regions.size.y),
                ..self.regions
            };
            let mut fragment = match self.cell(engine, x, y, pod)? {
                Some(fragment) => fragment.into_frames(),
                None => continue,
            };
            match (fragment.pop(), fragment.is_empty()) {
                (Some(frame), true) => {
                    height.set_max(frame.height());
                    frames.push((x, frame));
                }
                _ => return Ok(None),
            }
        }
        let mut row = Frame::soft(Size::new(self.width(), height));
        for (x, mut frame) in frames {
            let width = self.widths.get(x).copied().unwrap_or_default();
            let size = Size::new(width, height);
            if frame.height() != height {
                if self.is_at_top(x, y) {
                    frame.set_size(size);
                } else {
                    let mut pod: Regions = Region::new(size, Axes::splat(true)).into();
                    pod.full = self.regions.full;
                    let fragment = self.cell(engine, x, y, pod)?;
                    frame = fragment.map_or(frame, Fragment::into_frame);
                }
            }
            let left = self.widths.iter().take(x).sum();
            row.push_frame(Point::with_x(left), frame);
        }
        Ok(Some(row))
    }

    /// Whether a cell's content stands at its top, so that a higher cell does not move it.
    fn is_at_top(&self, x: usize, y: usize) -> bool {
        let cell = self.grid.cell(x, y);
        let cell = cell.and_then(|cell| cell.body.to_packed::<GridCell>());
        if cell.is_none_or(|cell| aligns_itself(&cell.body)) {
            return false;
        }
        let own = cell.map(|cell| cell.align.get(self.styles));
        let own = match own {
            Some(Smart::Custom(align)) => align.y(),
            _ => None,
        };
        let outer = || self.styles.get(AlignElem::alignment).y();
        own.or_else(outer).unwrap_or(VAlignment::Top) == VAlignment::Top
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
        let Some(locator) = self.locators.get(at) else {
            return Ok(None);
        };
        lay_out_cell(cell, engine, locator.relayout(), self.styles, regions).map(Some)
    }
}

/// Whether content is, or begins, with its own place in the height of its cell.
fn aligns_itself(content: &Content) -> bool {
    if let Some(styled) = content.to_packed::<StyledElem>() {
        aligns_itself(&styled.child)
    } else if let Some(sequence) = content.to_packed::<SequenceElem>() {
        sequence.children.iter().any(aligns_itself)
    } else {
        content.is::<AlignElem>()
    }
}

fn lay_out_cell(
    cell: &Cell,
    engine: &mut Engine,
    locator: Locator,
    styles: StyleChain,
    regions: Regions,
) -> SourceResult<Fragment> {
    let mut locator = locator.split();
    let tags = tags(cell, &mut locator, engine);
    let locator = locator.next(&cell.body.span());
    let mut frames = layout_fragment(engine, &cell.body, locator, styles, regions)?.into_frames();
    // A cell in several parts is thrown away.
    if let (Some((start, end)), [frame]) = (tags, frames.as_mut_slice()) {
        frame.prepend(Point::zero(), FrameItem::Tag(start));
        frame.push(Point::zero(), FrameItem::Tag(end));
    }
    Ok(Fragment::frames(frames))
}

/// What readers of the file are told of a cell.
fn tags(cell: &Cell, locator: &mut SplitLocator, engine: &mut Engine) -> Option<(Tag, Tag)> {
    let mut cell = cell.body.to_packed::<GridCell>()?.clone();
    cell.is_repeated.set(false);
    let key = typst::utils::hash128(&cell);
    let location = locator.next_location(engine, key, cell.span());
    cell.set_location(location);
    let flags = TagFlags {
        introspectable: true,
        tagged: true,
    };
    Some((
        Tag::Start(cell.pack(), flags),
        Tag::End(location, key, flags),
    ))
}

#[cfg(test)]
mod tests {
    use typst_layout::PagedDocument;
    use typst_pdf::{PdfOptions, pdf};

    use super::super::pixels::drawn;
    use super::super::world::{HouseFiles, World};

    const PAGE: &str = "#set page(width: 120mm, height: 60mm, margin: 5mm)\n#set text(font: \"Noto Sans\", size: 8pt)\n";

    fn typeset(text: &str) -> Vec<u8> {
        let world = World::with_text(text, &HouseFiles::default());
        let document = typst::compile::<PagedDocument>(&world).output.unwrap();
        pdf(&document, &PdfOptions::default()).unwrap()
    }

    /// The file with typst's own layout, and with this one.
    fn both(grid: &str) -> [Vec<u8>; 2] {
        ["", "#show grid: once\n"].map(|rule| typeset(&format!("{PAGE}{rule}{grid}")))
    }

    #[test]
    fn the_file_is_that_of_typst() {
        for grid in [
            "#grid(columns: (20mm, auto, 1fr, 2fr), column-gutter: 2mm, row-gutter: 1mm, ..range(8).map(n => lorem(2 + n)))",
            "#grid(columns: (1fr, 1fr), align: horizon, lorem(3), lorem(20), lorem(9), [])",
            "#grid(columns: (1fr, 1fr), align: (left + bottom, right), [a], lorem(20))",
            "#grid(columns: 2, rows: (auto, 9mm), inset: 1mm, [a], [b #linebreak() c], [d], [e])",
            "#grid(columns: (1fr, 1fr), align(bottom)[low], lorem(20))",
            "#grid(columns: (1fr, 1fr), { set text(size: 9pt); align(horizon)[mid] }, lorem(20))",
            "#grid(columns: (1fr, 30%), grid(columns: 2, [a], grid(columns: (1fr, 9mm), [b], [c])), box(width: 100%, height: 4mm, stroke: 1pt))",
            // What typst lays out itself.
            "#grid(columns: (1fr, 1fr), stroke: 1pt, [a], lorem(9))",
            "#grid(columns: (1fr, 1fr), grid.cell(colspan: 2)[a], [b], grid.cell(fill: red)[c])",
            "#grid(columns: (80mm, 80mm), [too], [wide])",
        ] {
            let [own, once] = both(grid);
            assert!(own == once, "{grid}");
        }
    }

    #[test]
    fn a_grid_that_goes_on_overleaf_looks_the_same() {
        for grid in [
            "#grid(columns: (1fr, 1fr), row-gutter: 1mm, ..range(40).map(n => lorem(2 + n)))",
            "#v(40mm)\n#grid(columns: (1fr, 2fr), lorem(60), lorem(20))",
            "#v(45mm)\n#grid(columns: 1fr, block(breakable: false, height: 20mm, fill: red), [b])",
        ] {
            let [own, once] = both(grid).map(|file| drawn(&file, 72).unwrap());
            assert!(own.len() > 1 && own == once, "{grid}");
        }
    }
}
