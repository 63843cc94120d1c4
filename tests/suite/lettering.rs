//! Reads what type a PDF sets: every run of letters with where it begins, how
//! large it is and which way up it stands, and every word with its box.

use std::path::Path;

use lopdf::Document;

use crate::support::tool;

const MM_PER_POINT: f64 = 25.4 / 72.0;

/// A run of letters in one size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Where its baseline begins, in millimeters from the left.
    pub x: f64,
    /// The same from the bottom.
    pub y: f64,
    /// Its size in points.
    pub size: f64,
    /// Whether it stands on its head.
    pub turned: bool,
}

/// A word as `pdftotext` finds it, with its box in millimeters from the left and from the
/// bottom of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    pub text: String,
    pub left: f64,
    pub right: f64,
    pub low: f64,
    pub high: f64,
}

impl Word {
    /// The middle of its box.
    pub fn middle(&self) -> (f64, f64) {
        (
            f64::midpoint(self.left, self.right),
            f64::midpoint(self.low, self.high),
        )
    }
}

/// The words of every page.
pub fn words(pdf: &Path) -> Vec<Vec<Word>> {
    let arguments = ["-bbox".as_ref(), pdf.as_os_str(), "-".as_ref()];
    let text = tool("pdftotext", &arguments);
    let number = |line: &str, name: &str| -> f64 {
        let rest = line.split_once(&format!("{name}=\"")).unwrap().1;
        rest.split_once('"').unwrap().0.parse::<f64>().unwrap() * MM_PER_POINT
    };
    let (mut pages, mut height) = (Vec::new(), 0.0);
    for line in text.lines() {
        if line.contains("<page ") {
            height = number(line, "height");
            pages.push(Vec::new());
        } else if line.contains("<word ") {
            let word = line.split_once('>').unwrap().1.split_once('<').unwrap().0;
            let page: &mut Vec<_> = pages.last_mut().unwrap();
            page.push(Word {
                text: word.to_owned(),
                left: number(line, "xMin"),
                right: number(line, "xMax"),
                low: height - number(line, "yMax"),
                high: height - number(line, "yMin"),
            });
        }
    }
    pages
}

/// `a b c d e f`, as PDF writes a transformation.
pub type Matrix = [f64; 6];

/// `first`, then `second`.
pub fn then(first: Matrix, second: Matrix) -> Matrix {
    let [a, b, c, d, e, f] = first;
    let [p, q, r, s, t, u] = second;
    [
        a * p + b * r,
        a * q + b * s,
        c * p + d * r,
        c * q + d * s,
        e * p + f * r + t,
        e * q + f * s + u,
    ]
}

/// The runs of every page.
pub fn runs(pdf: &Path) -> Vec<Vec<Run>> {
    let document = Document::load(pdf).unwrap();
    let pages = document.page_iter();
    pages.map(|page| runs_of(&document, page)).collect()
}

fn runs_of(document: &Document, page: lopdf::ObjectId) -> Vec<Run> {
    let mut matrix: Matrix = [1.0, 0.0, 0.0, 1.0, 0.0, 0.0];
    let (mut saved, mut runs) = (Vec::new(), Vec::new());
    let (mut text, mut size) = (matrix, 0.0);
    let content = document.get_and_decode_page_content(page).unwrap();
    for operation in content.operations {
        let numbers: Vec<f64> = operation
            .operands
            .iter()
            .filter_map(|operand| operand.as_float().ok())
            .map(f64::from)
            .collect();
        match (operation.operator.as_str(), numbers.as_slice()) {
            ("q", _) => saved.push(matrix),
            ("Q", _) => matrix = saved.pop().unwrap(),
            ("cm", &[a, b, c, d, e, f]) => matrix = then([a, b, c, d, e, f], matrix),
            ("Tf", &[points]) => size = points,
            ("Tm", &[a, b, c, d, e, f]) => text = [a, b, c, d, e, f],
            ("Tj" | "TJ", _) => {
                let [a, b, _, _, e, f] = then(text, matrix);
                runs.push(Run {
                    x: e * MM_PER_POINT,
                    y: f * MM_PER_POINT,
                    size: size * a.hypot(b),
                    turned: a < 0.0,
                });
            }
            _ => {}
        }
    }
    runs
}

/// Height of the lower case and of the capitals as shares of the type size, as
/// the font file itself gives them.
pub fn heights(font: &[u8]) -> (f64, f64) {
    let number = |at: usize| f64::from(i16::from_be_bytes([font[at], font[at + 1]]));
    let table = |tag: &[u8]| {
        let count = usize::from(u16::from_be_bytes([font[4], font[5]]));
        let entry = (0..count)
            .map(|table| 12 + 16 * table)
            .find(|at| &font[*at..at + 4] == tag)
            .unwrap();
        let offset: [u8; 4] = font[entry + 8..entry + 12].try_into().unwrap();
        usize::try_from(u32::from_be_bytes(offset)).unwrap()
    };
    let em = number(table(b"head") + 18);
    let (lower, capital) = (table(b"OS/2") + 86, table(b"OS/2") + 88);
    (number(lower) / em, number(capital) / em)
}
