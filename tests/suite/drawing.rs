//! Reads what a PDF page draws: every painted path with its points where they
//! land on the paper, in millimeters from the bottom left corner.

use std::path::Path;

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Object, Stream};

use crate::lettering::{Matrix, then};

const MM_PER_POINT: f64 = 25.4 / 72.0;

/// A point of the paper, in millimeters.
pub type Point = (f64, f64);

/// A painted path.
#[derive(Debug, Clone)]
pub struct Drawn {
    /// Its points, control points included, a closing repeat left out.
    pub points: Vec<Point>,
    /// Whether its outline is drawn.
    pub stroked: bool,
    /// Whether its outline is dashed.
    pub dashed: bool,
}

/// A page and what it draws.
#[derive(Debug)]
pub struct PageDrawing {
    /// Width of the paper in millimeters.
    pub width: f64,
    /// Its paths.
    pub paths: Vec<Drawn>,
}

impl Drawn {
    /// Least and greatest of one coordinate.
    pub fn extent(&self, of: fn(&Point) -> f64) -> (f64, f64) {
        let values = self.points.iter().map(of);
        values.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)))
    }

    /// Both ends, when it is a single straight line.
    pub fn segment(&self) -> Option<(Point, Point)> {
        match self.points.as_slice() {
            [a, b] if self.stroked => Some((*a, *b)),
            _ => None,
        }
    }
}

#[derive(Clone)]
struct State {
    matrix: Matrix,
    dashed: bool,
}

/// Reads every page of a PDF.
pub fn read(pdf: &Path) -> Vec<PageDrawing> {
    let document = Document::load(pdf).unwrap();
    document
        .page_iter()
        .map(|page| read_page(&document, page))
        .collect()
}

fn read_page(document: &Document, page: lopdf::ObjectId) -> PageDrawing {
    let frame = document
        .get_dictionary(page)
        .unwrap()
        .get(b"MediaBox")
        .unwrap();
    let frame: Vec<f64> = frame.as_array().unwrap().iter().map(number).collect();
    assert_eq!(frame[..2], [0.0, 0.0]);
    let state = State {
        matrix: [1.0, 0.0, 0.0, 1.0, 0.0, 0.0],
        dashed: false,
    };
    let content = document.get_and_decode_page_content(page).unwrap();
    // Given in the page, or by reference.
    let (inline, references) = document.get_page_resources(page).unwrap();
    let referred = references
        .first()
        .map(|id| document.get_dictionary(*id).unwrap());
    let resources = inline.or(referred);
    let mut paths = Vec::new();
    draw(document, &content, resources, state, &mut paths);
    PageDrawing {
        width: frame[2] * MM_PER_POINT,
        paths,
    }
}

/// What a content draws, and the forms that it places.
fn draw(
    document: &Document,
    content: &Content,
    resources: Option<&Dictionary>,
    mut state: State,
    paths: &mut Vec<Drawn>,
) {
    let mut saved = Vec::new();
    let mut points: Vec<Point> = Vec::new();
    for operation in &content.operations {
        let operands = &operation.operands;
        let numbers: Vec<f64> = operands
            .iter()
            .filter_map(|o| o.as_float().ok())
            .map(f64::from)
            .collect();
        match (operation.operator.as_str(), numbers.as_slice()) {
            ("q", _) => saved.push(state.clone()),
            ("Q", _) => state = saved.pop().unwrap(),
            ("cm", &[a, b, c, d, e, f]) => state.matrix = then([a, b, c, d, e, f], state.matrix),
            ("d", _) => state.dashed = !operands[0].as_array().unwrap().is_empty(),
            ("m" | "l", &[x, y]) => add(&mut points, &state, x, y),
            ("c", &[a, b, c, d, e, f]) => {
                for (x, y) in [(a, b), (c, d), (e, f)] {
                    add(&mut points, &state, x, y);
                }
            }
            ("re", &[x, y, w, h]) => {
                for (x, y) in [(x, y), (x + w, y), (x + w, y + h), (x, y + h)] {
                    add(&mut points, &state, x, y);
                }
            }
            ("S" | "s" | "f" | "f*" | "F" | "B" | "B*" | "b" | "b*", _) => {
                if points.len() > 2 && points.first() == points.last() {
                    points.pop();
                }
                paths.push(Drawn {
                    points: std::mem::take(&mut points),
                    stroked: !matches!(operation.operator.as_str(), "f" | "f*" | "F"),
                    dashed: state.dashed,
                });
            }
            ("n", _) => points.clear(),
            ("Do", _) => {
                let name = operands[0].as_name().unwrap();
                draw_form(document, named(document, resources, name), &state, paths);
            }
            _ => {}
        }
    }
}

/// What a form draws; an image draws no path.
fn draw_form(document: &Document, form: &Stream, state: &State, paths: &mut Vec<Drawn>) {
    let kind = form.dict.get(b"Subtype").and_then(Object::as_name);
    if kind.unwrap() != b"Form" {
        return;
    }
    let matrix = form.dict.get(b"Matrix").and_then(Object::as_array);
    let matrix = matrix.map_or([1.0, 0.0, 0.0, 1.0, 0.0, 0.0], |matrix| {
        std::array::from_fn(|at| number(&matrix[at]))
    });
    let state = State {
        matrix: then(matrix, state.matrix),
        ..state.clone()
    };
    let bytes = form
        .decompressed_content()
        .unwrap_or_else(|_| form.content.clone());
    let content = Content::decode(&bytes).unwrap();
    let resources = form.dict.get(b"Resources").ok();
    let resources = resources.map(|it| document.dereference(it).unwrap().1.as_dict().unwrap());
    draw(document, &content, resources, state, paths);
}

fn named<'d>(document: &'d Document, resources: Option<&'d Dictionary>, name: &[u8]) -> &'d Stream {
    let all = resources.unwrap().get(b"XObject").unwrap();
    let all = document.dereference(all).unwrap().1.as_dict().unwrap();
    let found = document.dereference(all.get(name).unwrap()).unwrap().1;
    found.as_stream().unwrap()
}

fn number(object: &Object) -> f64 {
    f64::from(object.as_float().unwrap())
}

fn add(points: &mut Vec<Point>, state: &State, x: f64, y: f64) {
    let [a, b, c, d, e, f] = state.matrix;
    points.push((
        (a * x + c * y + e) * MM_PER_POINT,
        (b * x + d * y + f) * MM_PER_POINT,
    ));
}

/// The images of each page: width in millimeters as drawn, and in pixels.
pub fn images(pdf: &Path) -> Vec<Vec<(f64, i32)>> {
    let document = Document::load(pdf).unwrap();
    let pages = document.page_iter().map(|page| {
        let (inline, references) = document.get_page_resources(page).unwrap();
        let referred = references.first();
        let resources = inline.or_else(|| referred.map(|id| document.get_dictionary(*id).unwrap()));
        let mut matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
        let (mut saved, mut images) = (Vec::new(), Vec::new());
        for operation in document
            .get_and_decode_page_content(page)
            .unwrap()
            .operations
        {
            let operands = &operation.operands;
            match operation.operator.as_str() {
                "q" => saved.push(matrix),
                "Q" => matrix = saved.pop().unwrap(),
                "cm" => {
                    let own = std::array::from_fn(|at| number(&operands[at]));
                    matrix = then(own, matrix);
                }
                "Do" => {
                    let name = operands[0].as_name().unwrap();
                    let image = &named(&document, resources, name).dict;
                    if image.get(b"Subtype").and_then(Object::as_name).unwrap() == b"Image" {
                        let pixels = image.get(b"Width").and_then(Object::as_i64).unwrap();
                        let width = matrix[0].hypot(matrix[1]) * 25.4 / 72.0;
                        images.push((width, i32::try_from(pixels).unwrap()));
                    }
                }
                _ => {}
            }
        }
        images
    });
    pages.collect()
}
