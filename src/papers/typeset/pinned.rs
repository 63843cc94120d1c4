//! Lines and shapes that stand at a place of their own, for drawings: `pinned(x, y,
//! body)`, `pinned-line(a, b, stroke:)`, `pinned-polygon(..points, fill:, stroke:)`, and
//! `pinned-box(x1, y1, x2, y2, fill:, stroke:)`, measured from the top left of the box that
//! they are in. They take no room in it.
//!
//! `place` does the same, but each use of it is an element that readers of the file are
//! told of and that has a location, so no layout with one in it is used twice. A drawing
//! is told by the text that stands for it, and has hundreds.

use typst::diag::SourceResult;
use typst::engine::Engine;
use typst::foundations::{Args, Content, Func, NativeElement, Packed, Resolve, Smart, StyleChain};
use typst::introspection::Locator;
use typst::layout::{
    Abs, AlignElem, Alignment, Axes, BlockElem, Frame, FrameItem, HAlignment, Length, MoveElem,
    Point, Region, Rel, Size, Spacing, VAlignment,
};
use typst::visualize::{
    Curve, FillRule, FixedStroke, Geometry, LineElem, Paint, PolygonElem, Shape, Stroke,
};
use typst_layout::layout_frame;

use super::native::native;

/// The functions that templates see, by name.
pub(super) fn functions() -> [(&'static str, Func); 4] {
    [
        ("pinned", native!("pinned", "A body at its place.", body)),
        (
            "pinned-line",
            native!("pinned-line", "A line between two points.", line),
        ),
        (
            "pinned-polygon",
            native!("pinned-polygon", "A polygon.", polygon),
        ),
        (
            "pinned-box",
            native!("pinned-box", "A box between two corners.", rectangle),
        ),
    ]
}

type Place = Axes<Rel<Length>>;

fn body(arguments: &mut Args) -> SourceResult<Content> {
    let dx: Rel<Length> = arguments.expect("x")?;
    let dy: Rel<Length> = arguments.expect("y")?;
    let body: Content = arguments.expect("body")?;
    let moved = MoveElem::new(body).with_dx(dx).with_dy(dy).pack();
    Ok(roomless::<MoveElem>(moved, lay_out_body))
}

fn line(arguments: &mut Args) -> SourceResult<Content> {
    let start: Place = arguments.expect("start")?;
    let end: Place = arguments.expect("end")?;
    let stroke: Stroke = arguments.named("stroke")?.unwrap_or_default();
    let line = LineElem::new().with_start(start).with_end(Some(end));
    let line = line.with_stroke(stroke).pack();
    Ok(roomless::<LineElem>(line, lay_out_line))
}

fn polygon(arguments: &mut Args) -> SourceResult<Content> {
    let points: Vec<Place> = arguments.all()?;
    shape(arguments, points)
}

fn rectangle(arguments: &mut Args) -> SourceResult<Content> {
    let left: Rel<Length> = arguments.expect("x1")?;
    let top: Rel<Length> = arguments.expect("y1")?;
    let right: Rel<Length> = arguments.expect("x2")?;
    let bottom: Rel<Length> = arguments.expect("y2")?;
    let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
    let corners = corners.into_iter().map(|(x, y)| Axes::new(x, y));
    shape(arguments, corners.collect())
}

fn shape(arguments: &mut Args, points: Vec<Place>) -> SourceResult<Content> {
    let fill: Option<Paint> = arguments.named("fill")?.flatten();
    let stroke: Option<Stroke> = arguments.named("stroke")?.flatten();
    let polygon = PolygonElem::new(points).with_fill(fill);
    let polygon = polygon.with_stroke(Smart::Custom(stroke)).pack();
    Ok(roomless::<PolygonElem>(polygon, lay_out_polygon))
}

type LayOut<T> = fn(&Packed<T>, &mut Engine, Locator, StyleChain, Region) -> SourceResult<Frame>;

fn roomless<T: NativeElement>(content: Content, lay_out: LayOut<T>) -> Content {
    match content.into_packed::<T>() {
        Ok(element) => BlockElem::single_layouter(element, lay_out)
            .with_above(Smart::Custom(Spacing::Rel(Rel::zero())))
            .with_below(Smart::Custom(Spacing::Rel(Rel::zero())))
            .pack(),
        Err(content) => content,
    }
}

fn lay_out_body(
    elem: &Packed<MoveElem>,
    engine: &mut Engine,
    locator: Locator,
    styles: StyleChain,
    region: Region,
) -> SourceResult<Frame> {
    let corner = Alignment::Both(HAlignment::Left, VAlignment::Top);
    let aligned = AlignElem::alignment.set(corner).wrap();
    let pod = Region::new(region.size, Axes::splat(false));
    let body = layout_frame(engine, &elem.body, locator, styles.chain(&aligned), pod)?;
    let offset = Axes::new(elem.dx.resolve(styles), elem.dy.resolve(styles));
    let mut frame = Frame::soft(Size::zero());
    frame.push_frame(place(offset, region), body);
    Ok(frame)
}

fn lay_out_line(
    elem: &Packed<LineElem>,
    _: &mut Engine,
    _: Locator,
    styles: StyleChain,
    region: Region,
) -> SourceResult<Frame> {
    let start = place(elem.start.resolve(styles), region);
    let end = elem.end.resolve(styles);
    let end = end.map_or(start, |end| place(end, region));
    let stroke = elem.stroke.resolve(styles).unwrap_or_default();
    let line = Geometry::Line(end - start).stroked(stroke);
    let mut frame = Frame::soft(Size::zero());
    frame.push(start, FrameItem::Shape(line, elem.span()));
    Ok(frame)
}

fn lay_out_polygon(
    elem: &Packed<PolygonElem>,
    _: &mut Engine,
    _: Locator,
    styles: StyleChain,
    region: Region,
) -> SourceResult<Frame> {
    let mut curve = Curve::new();
    for (n, point) in elem.vertices.iter().enumerate() {
        let point = place(point.resolve(styles), region);
        if n == 0 {
            curve.move_(point)
        } else {
            curve.line(point)
        }
    }
    curve.close();
    let stroke = match elem.stroke.resolve(styles) {
        Smart::Auto => None,
        Smart::Custom(stroke) => stroke.map(|stroke| stroke.unwrap_or(FixedStroke::default())),
    };
    let shape = Shape {
        geometry: Geometry::Curve(curve),
        stroke,
        fill: elem.fill.get_cloned(styles),
        fill_rule: FillRule::default(),
    };
    let mut frame = Frame::soft(Size::zero());
    frame.push(Point::zero(), FrameItem::Shape(shape, elem.span()));
    Ok(frame)
}

fn place(at: Axes<Rel<Abs>>, region: Region) -> Point {
    at.zip_map(region.size, Rel::relative_to).to_point()
}

#[cfg(test)]
mod tests {
    use typst_layout::PagedDocument;
    use typst_pdf::{PdfOptions, pdf};

    use super::super::pixels::drawn;
    use super::super::world::{HouseFiles, World};

    fn picture(drawing: &str) -> Vec<Vec<u8>> {
        let text = format!(
            "#set page(width: 40mm, height: 30mm, margin: 2mm)\n#set text(font: \"Noto Sans\")\n\
             #box(width: 30mm, height: 20mm, align(top + left, {{ {drawing} }}))"
        );
        let world = World::with_text(&text, &HouseFiles::default());
        let document = typst::compile::<PagedDocument>(&world).output.unwrap();
        drawn(&pdf(&document, &PdfOptions::default()).unwrap(), 144).unwrap()
    }

    #[test]
    fn what_is_pinned_stands_where_it_would_be_placed() {
        for (pinned, placed) in [
            (
                "pinned(3mm, 4mm, [word])",
                "place(top + left, dx: 3mm, dy: 4mm, [word])",
            ),
            (
                "pinned(50%, -1mm, rect(width: 40%, height: 5mm))",
                "place(top + left, dx: 50%, dy: -1mm, rect(width: 40%, height: 5mm))",
            ),
            (
                "pinned-line((9mm, 1mm), (2mm, 100%), stroke: 2pt)",
                "place(top + left, line(start: (9mm, 1mm), end: (2mm, 100%), stroke: 2pt))",
            ),
            (
                "pinned-polygon((1mm, 1mm), (9mm, 2mm), (4mm, 8mm), fill: red, stroke: none)",
                "place(top + left, polygon((1mm, 1mm), (9mm, 2mm), (4mm, 8mm), fill: red, stroke: none))",
            ),
            (
                "pinned-box(2mm, 3mm, 9mm, 5mm, fill: none, stroke: 1pt + blue)",
                "place(top + left, dx: 2mm, dy: 3mm, rect(width: 7mm, height: 2mm, stroke: 1pt + blue))",
            ),
        ] {
            // What comes after it shows that it takes no room.
            let [one, other] =
                [pinned, placed].map(|drawing| picture(&format!("{drawing}; [after]")));
            assert!(one == other, "{pinned}");
        }
    }
}
