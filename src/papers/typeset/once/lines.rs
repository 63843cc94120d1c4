//! Grounds and lines of a grid. Typst draws them itself, around empty cells of the sizes
//! that are known by now.

use std::sync::Arc;

use typst::diag::SourceResult;
use typst::engine::Engine;
use typst::foundations::{Content, Packed, StyleChain};
use typst::introspection::Locator;
use typst::layout::grid::resolve::{Cell, CellGrid, Entry, Line};
use typst::layout::{Abs, Axes, Frame, GridElem, Region, Rel, Size, Sizing};
use typst_layout::layout_fragment;

use super::by_typst;

/// Whether there is anything to draw.
pub(super) fn has_lines(grid: &CellGrid) -> bool {
    let has_line = |lines: &Vec<Line>| !lines.is_empty();
    let mut cells = grid.entries.iter().filter_map(Entry::as_cell);
    grid.vlines.iter().any(has_line)
        || grid.hlines.iter().any(has_line)
        || cells.any(|cell| cell.fill.is_some() || cell.stroke.iter().any(Option::is_some))
}

/// The lines of a grid whose columns and rows have these sizes; `None` where they take
/// more than one page.
pub(super) fn lines(
    grid: &CellGrid,
    (widths, heights): (&[Abs], &[Abs]),
    engine: &mut Engine,
    locator: Locator,
    styles: StyleChain,
) -> SourceResult<Option<Frame>> {
    let mut elem = Packed::new(GridElem::new(Vec::new()));
    elem.grid = Some(Arc::new(empty(grid, widths, heights)));
    let content = by_typst(&elem, engine, styles)?;
    let size = Size::new(widths.iter().sum(), heights.iter().sum());
    let region = Region::new(size, Axes::splat(false));
    let fragment = layout_fragment(engine, &content, locator, styles, region.into())?;
    let mut frames = fragment.into_frames();
    Ok(frames.pop().filter(|_| frames.is_empty()))
}

/// The grid without what is in its cells. Headers and footers are rows like others on a
/// single page.
fn empty(grid: &CellGrid, widths: &[Abs], heights: &[Abs]) -> CellGrid {
    let fixed = |sizes: &[Abs]| {
        sizes
            .iter()
            .map(|size| Sizing::Rel(Rel::from(*size)))
            .collect()
    };
    let entries = grid.entries.iter().map(|entry| match entry {
        Entry::Cell(cell) => Entry::Cell(Cell {
            body: Content::empty(),
            fill: cell.fill.clone(),
            stroke: cell.stroke.clone(),
            ..*cell
        }),
        Entry::Merged { parent } => Entry::Merged { parent: *parent },
    });
    let copied = |lines: &Vec<Line>| lines.iter().map(copied).collect();
    CellGrid {
        entries: entries.collect(),
        cols: fixed(widths),
        rows: fixed(heights),
        vlines: grid.vlines.iter().map(copied).collect(),
        hlines: grid.hlines.iter().map(copied).collect(),
        headers: Vec::new(),
        footer: None,
        has_gutter: grid.has_gutter,
    }
}

fn copied(line: &Line) -> Line {
    Line {
        stroke: line.stroke.clone(),
        ..*line
    }
}
