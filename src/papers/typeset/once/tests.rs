//! What is laid out once has to be typst's own, byte for byte.

use typst::diag::FileResult;
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, Source};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, pdf};

use super::super::pixels::drawn;
use super::super::world::{HouseFiles, World};

const PAGE: &str = "#set page(width: 120mm, height: 60mm, margin: 5mm)\n#set text(font: \"Noto Sans\", size: 8pt)\n";

/// The same files and fonts with typst's own rules.
struct Untouched(World, LazyHash<Library>);

impl typst::World for Untouched {
    fn library(&self) -> &LazyHash<Library> {
        &self.1
    }
    fn book(&self) -> &LazyHash<FontBook> {
        self.0.book()
    }
    fn main(&self) -> FileId {
        self.0.main()
    }
    fn source(&self, id: FileId) -> FileResult<Source> {
        self.0.source(id)
    }
    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.0.file(id)
    }
    fn font(&self, index: usize) -> Option<Font> {
        self.0.font(index)
    }
    fn today(&self, offset: Option<Duration>) -> Option<Datetime> {
        self.0.today(offset)
    }
}

fn typeset(world: &impl typst::World) -> Vec<u8> {
    let document = typst::compile::<PagedDocument>(world).output.unwrap();
    pdf(&document, &PdfOptions::default()).unwrap()
}

/// The file with typst's own layout, and with this one.
fn both(grid: &str) -> [Vec<u8>; 2] {
    let world = || World::with_text(&format!("{PAGE}{grid}"), &HouseFiles::default());
    let untouched = Untouched(world(), LazyHash::new(Library::default()));
    [typeset(&untouched), typeset(&world())]
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
        // With lines, grounds, and cells that go on.
        "#grid(columns: (1fr, 1fr), stroke: 1pt, [a], lorem(9))",
        "#grid(columns: (1fr, 1fr), grid.cell(colspan: 2)[a], [b], grid.cell(fill: red)[c])",
        "#grid(columns: (1fr, 2fr), gutter: 2mm, inset: 1mm, stroke: (x: 1pt, y: 2pt + red), align: horizon, ..range(6).map(n => lorem(3 * n)))",
        "#table(columns: 3, ..range(9).map(n => lorem(1 + n)))",
        "#table(columns: (auto, 1fr, 9mm), align: (left, right + horizon, center + bottom), stroke: (x, y) => (top: if y == 1 { 2pt } else { 0.3pt + gray }), fill: (x, y) => if x == 1 { luma(230) }, table.header([a], [b \\ b], [c]), ..range(9).map(n => lorem(n)), table.hline(stroke: 2pt))",
        "#table(columns: (1fr, 1fr, 1fr), table.cell(rowspan: 3, align: horizon)[high], [a], lorem(9), [b], [c], table.cell(colspan: 2, lorem(20)), table.vline(x: 1, stroke: 2pt + blue))",
        "#table(columns: (20mm, 1fr), rows: (auto, 9mm, auto), table.cell(rowspan: 3, lorem(30)), [a], [b], [c])",
        "#table(columns: (20mm, 1fr), rows: (auto, 9mm), table.cell(rowspan: 2, breakable: false, lorem(3)), [a], [b], [c], [d])",
        "#table(columns: (1fr, 1fr), table.header(table.cell(colspan: 2)[head]), [a], table.cell(inset: 4mm, align: bottom)[b], [c], lorem(20), table.footer(table.cell(colspan: 2, stroke: none)[foot]))",
        "#table(columns: (1fr, 1fr), [a], table(columns: 2, [b], lorem(9)), [c #label(\"c\")], link(<c>)[d])",
        // What typst lays out itself.
        "#table(columns: 2, table.cell(colspan: 2)[a and more], [b], [c])",
        "#table(columns: (1fr, 1fr), gutter: 1mm, table.cell(rowspan: 2, lorem(20)), [b], [c])",
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
        "#table(columns: (1fr, 1fr), table.header([a], [b]), ..range(30).map(n => lorem(2 + n)), table.footer([c], [d]))",
        "#v(45mm)\n#grid(columns: 1fr, block(breakable: false, height: 20mm, fill: red), [b])",
    ] {
        let [own, once] = both(grid).map(|file| drawn(&file, 72).unwrap());
        assert!(own.len() > 1 && own == once, "{grid}");
    }
}
