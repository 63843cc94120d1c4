//! Tests whether the pages of a PDF can be placed, before a paper relies on it.

use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandards};

use super::Page;
use super::world::World;

/// Places every page of a PDF in a document that is thrown away.
///
/// # Errors
/// Typst's message if it cannot.
pub(crate) fn try_pages(pdf: &[u8], pages: usize) -> Result<(), String> {
    let path = "/attached/trial.pdf";
    let text = format!(
        "#for page in range({pages}) {{ image(\"{path}\", page: page + 1, width: 10mm, alt: \"-\") }}"
    );
    let world = World::with_file(&text, path, pdf);
    let options = PdfOptions {
        standards: PdfStandards::new(Page::Submittal.standards()).unwrap_or_default(),
        ..PdfOptions::default()
    };
    let placed = typst::compile::<PagedDocument>(&world)
        .output
        .and_then(|document| typst_pdf::pdf(&document, &options));
    typst::comemo::evict(0);
    placed.map(|_| ()).map_err(|errors| {
        let messages = errors.iter().map(|error| error.message.to_string());
        messages.collect::<Vec<_>>().join("; ")
    })
}
