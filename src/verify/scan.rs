//! Reads QR codes off the pages, drawn or scanned: each page is rendered and
//! passed to a QR reader.

use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::page::Page;
use serde::{Deserialize, Serialize};

use crate::core::parallel;
use crate::papers::typeset::on_white;
use crate::proof::MARK;

/// Maximum number of pages scanned.
pub(crate) const MOST_PAGES: usize = 200;

/// Scales in pixels per point: 300 dpi, four pixels per module of the smallest code, and
/// half of that against the grain of a scan, which the first may take for modules.
/// Neither this QR reader nor another could read a 200 dpi scan.
const SCALES: [f32; 2] = [300.0 / 72.0, 150.0 / 72.0];

/// Maximum pixels per page: 11 by 17 inches at 300 dpi.
const MOST_PIXELS: f32 = 17_000_000.0;

/// Maximum pixels per side.
const LONGEST_SIDE: f32 = 20_000.0;

/// Maximum number of pages scanned at once: the largest takes four bytes per pixel, and
/// two more while codes are searched, of the memory in `crate::core::sandbox`.
const MOST_AT_ONCE: usize = 2;

/// The codes found on the pages.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub(crate) struct ScannedCodes {
    /// Texts of our codes, each with its pages, from 1.
    pub(crate) codes: Vec<(String, Vec<usize>)>,
    /// Number of pages.
    pub(crate) pages: usize,
    /// Number of pages not scanned.
    pub(crate) unseen: usize,
}

/// Reads the codes of a PDF on the given pages, from 1.
///
/// # Errors
/// Why its pages cannot be drawn.
pub(crate) fn scan(bytes: &[u8], with_images: &[usize]) -> Result<ScannedCodes, String> {
    let pdf = Pdf::new(bytes.to_vec()).map_err(|_| "its pages cannot be drawn".to_owned())?;
    let pages = pdf.pages();
    let mut seen = ScannedCodes {
        pages: pages.len(),
        unseen: pages.len().saturating_sub(MOST_PAGES),
        ..ScannedCodes::default()
    };
    let numbered = |number: &usize| Some((*number, pages.get(number.checked_sub(1)?)?));
    let looked_at: Vec<_> = with_images.iter().filter_map(numbered).collect();
    let at_once = parallel::cores().min(MOST_AT_ONCE);
    let found = parallel::map_on(at_once, &looked_at, |(_, page)| {
        let mut texts = SCALES.into_iter().map(|scale| on_page(page, scale));
        let mut texts = texts.find(|texts| !texts.is_empty()).unwrap_or_default();
        texts.sort();
        texts.dedup();
        texts
    });
    for ((page, _), texts) in looked_at.into_iter().zip(found) {
        for text in texts {
            match seen.codes.iter_mut().find(|(known, _)| *known == text) {
                Some((_, pages)) => pages.push(page),
                None => seen.codes.push((text, vec![page])),
            }
        }
    }
    Ok(seen)
}

/// Texts of our codes on a page at this scale.
fn on_page(page: &Page<'_>, scale: f32) -> Vec<String> {
    let (width, height) = page.render_dimensions();
    let scale = scale
        .min((MOST_PIXELS / (width * height)).sqrt())
        .min(LONGEST_SIDE / width.max(height));
    // Also true if a dimension is not a number.
    if !(width * scale >= 1.0 && height * scale >= 1.0) {
        return Vec::new();
    }
    let drawn = on_white(page, scale);
    let (width, height) = (usize::from(drawn.width()), usize::from(drawn.height()));
    let pixels = drawn.data_as_u8_slice();
    // Equal weights: a code is black on white.
    let gray = |x: usize, y: usize| {
        let at = (y * width + x) * 4;
        let channels = pixels.get(at..at + 3).unwrap_or(&[255; 3]);
        let sum: u16 = channels.iter().map(|c| u16::from(*c)).sum();
        u8::try_from(sum / 3).unwrap_or(u8::MAX)
    };
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(width, height, gray);
    let grids = image.detect_grids();
    let texts = grids.iter().filter_map(|grid| Some(grid.decode().ok()?.1));
    texts.filter(|text| text.starts_with(MARK)).collect()
}
