//! Codes read off the pages as the eye sees them, drawn or scanned: each page is
//! made a picture, and looked at by a reader of QR codes.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;

use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::page::Page;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{RenderCache, RenderSettings};

use serde::{Deserialize, Serialize};

use crate::proof::MARK;

/// Most pages that are looked at.
pub const MOST_PAGES: usize = 200;

/// Pixels a point: 300 to the inch, four a module of the smallest code, and half
/// of it for the grain of a scan, which the first may take for modules. A scan of
/// 200 to the inch was read by neither this reader nor another.
const SCALES: [f32; 2] = [300.0 / 72.0, 150.0 / 72.0];

/// Most pixels of a page: a page of 11 by 17 inches at 300 to the inch.
const MOST_PIXELS: f32 = 17_000_000.0;

/// Most pixels along a side.
const LONGEST_SIDE: f32 = 20_000.0;

/// What was seen on the pages.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Seen {
    /// Texts of codes that are ours, each with its pages, from 1.
    pub codes: Vec<(String, Vec<usize>)>,
    /// How many pages there are.
    pub pages: usize,
    /// How many of them were not looked at.
    pub unseen: usize,
}

/// Reads the codes of a PDF, so many pages at a time.
///
/// # Errors
/// Why its pages cannot be drawn.
pub fn scan(bytes: &[u8], threads: usize) -> Result<Seen, String> {
    let pdf = Pdf::new(bytes.to_vec()).map_err(|_| "its pages cannot be drawn".to_owned())?;
    let pages = pdf.pages();
    let mut seen = Seen {
        pages: pages.len(),
        unseen: pages.len().saturating_sub(MOST_PAGES),
        ..Seen::default()
    };
    // Page by page, each taken by whichever thread is free.
    let found = Mutex::new(Vec::new());
    let next = AtomicUsize::new(0);
    let work = || {
        loop {
            let i = next.fetch_add(1, Ordering::Relaxed);
            let Some(page) = pages.get(i).filter(|_| i < MOST_PAGES) else {
                return;
            };
            let texts = SCALES.into_iter().map(|scale| on_page(page, scale));
            let texts = texts.into_iter().find(|texts| !texts.is_empty());
            let mut found = found.lock().unwrap_or_else(PoisonError::into_inner);
            found.extend(texts.into_iter().flatten().map(|text| (i + 1, text)));
        }
    };
    thread::scope(|scope| {
        for _ in 1..threads {
            scope.spawn(work);
        }
        work();
    });
    let mut found = found.into_inner().unwrap_or_else(PoisonError::into_inner);
    found.sort();
    found.dedup();
    for (page, text) in found {
        match seen.codes.iter_mut().find(|(known, _)| *known == text) {
            Some((_, pages)) => pages.push(page),
            None => seen.codes.push((text, vec![page])),
        }
    }
    Ok(seen)
}

/// The texts of our codes on a page, drawn at so many pixels a point.
fn on_page(page: &Page<'_>, scale: f32) -> Vec<String> {
    let (width, height) = page.render_dimensions();
    let scale = scale
        .min((MOST_PIXELS / (width * height)).sqrt())
        .min(LONGEST_SIDE / width.max(height));
    // Also where a dimension is no number.
    if !(width * scale >= 1.0 && height * scale >= 1.0) {
        return Vec::new();
    }
    let settings = RenderSettings {
        x_scale: scale,
        y_scale: scale,
        bg_color: WHITE,
        ..RenderSettings::default()
    };
    let drawn = hayro::render(
        page,
        &RenderCache::new(),
        &InterpreterSettings::default(),
        &settings,
    );
    let (width, height) = (usize::from(drawn.width()), usize::from(drawn.height()));
    let pixels = drawn.data_as_u8_slice();
    // Red, green and blue weigh alike; a code is black on white.
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
