//! A laid-out document → a picture of each page, as SVG in true size.

use typst_layout::{Page, PagedDocument};
use typst_svg::{SvgOptions, svg};

/// The pages as SVG, in their order. Text is drawn as shapes, so that a picture
/// looks the same wherever it is shown and needs no font.
pub fn svg_pages(document: &PagedDocument) -> Vec<String> {
    document.pages().iter().map(page_svg).collect()
}

/// One page as SVG.
pub(super) fn page_svg(page: &Page) -> String {
    svg(page, &SvgOptions::default())
}
