//! One cell: its layout, its tags, and its place in the height of its row.

use typst::diag::SourceResult;
use typst::engine::Engine;
use typst::foundations::{
    Content, NativeElement, Packed, SequenceElem, Smart, StyleChain, StyledElem,
};
use typst::introspection::{Locator, SplitLocator, Tag, TagFlags};
use typst::layout::grid::resolve::Cell;
use typst::layout::{
    AlignElem, Alignment, Fragment, Frame, FrameItem, GridCell, Point, Regions, Size, VAlignment,
};
use typst::model::TableCell;
use typst_layout::layout_fragment;

/// A cell that is as high as its content, in a higher row; `None` where it has to be laid
/// out again for that.
pub(super) fn fitted(
    mut frame: Frame,
    size: Size,
    cell: &Cell,
    styles: StyleChain,
) -> Option<Frame> {
    let more = size.y - frame.height();
    if frame.height() != size.y {
        let down = match alignment(&cell.body, styles)? {
            VAlignment::Top => None,
            VAlignment::Horizon => Some(more / 2.0),
            VAlignment::Bottom => Some(more),
        };
        if let Some(down) = down {
            frame.translate(Point::with_y(down));
        }
        frame.set_size(size);
    }
    Some(frame)
}

/// Where the content of a cell stands in its height, if it stands there as a whole.
fn alignment(body: &Content, styles: StyleChain) -> Option<VAlignment> {
    let (own, content) = if let Some(cell) = body.to_packed::<GridCell>() {
        (cell.align.get(styles), &cell.body)
    } else {
        let cell = body.to_packed::<TableCell>()?;
        (cell.align.get(styles), &cell.body)
    };
    if aligns_itself(content) {
        return None;
    }
    let own = match own {
        Smart::Custom(align) => Alignment::y(align),
        Smart::Auto => None,
    };
    let outer = || styles.get(AlignElem::alignment).y();
    Some(own.or_else(outer).unwrap_or(VAlignment::Top))
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

/// A cell laid out as typst does it, tags included.
pub(super) fn lay_out_cell(
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
    if let Some(cell) = cell.body.to_packed::<GridCell>() {
        let mut cell = cell.clone();
        cell.is_repeated.set(false);
        return Some(tags_of(cell, locator, engine));
    }
    let mut cell = cell.body.to_packed::<TableCell>()?.clone();
    cell.is_repeated.set(false);
    Some(tags_of(cell, locator, engine))
}

fn tags_of<T: NativeElement>(
    mut cell: Packed<T>,
    locator: &mut SplitLocator,
    engine: &mut Engine,
) -> (Tag, Tag) {
    let key = typst::utils::hash128(&cell);
    let location = locator.next_location(engine, key, cell.span());
    cell.set_location(location);
    let flags = TagFlags {
        introspectable: true,
        tagged: true,
    };
    (
        Tag::Start(cell.pack(), flags),
        Tag::End(location, key, flags),
    )
}
