//! Each page of a PDF as PNG, drawn from the PDF itself so that the picture
//! shows what the file holds. The rasterizer picks its instructions by
//! processor, so bytes are the same only on machines of one kind.

use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::hayro_syntax::page::Page;
use hayro::vello_cpu::Pixmap;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{RenderCache, RenderSettings};

use super::{Print, TypesetError, sandbox};

/// Most pixels along a side of a page. No paper has that many, and a square of
/// them takes a gigabyte to draw.
const LONGEST_SIDE: f32 = 16_000.0;

/// Rasterizes each page of a paper that was typeset from `print`.
///
/// # Errors
/// [`TypesetError`] if the PDF cannot be drawn.
pub(crate) fn pixels(
    print: &Print<'_>,
    pdf: &[u8],
    dots_per_inch: u16,
) -> Result<Vec<Vec<u8>>, TypesetError> {
    match print.sandbox() {
        Some(sandbox) => sandbox::pixels(sandbox, pdf, dots_per_inch),
        None => drawn(pdf, dots_per_inch),
    }
}

/// Rasterizes the pages of a PDF, in order.
///
/// # Errors
/// [`TypesetError`] if it cannot be read, or a page has an unusual size.
pub(crate) fn drawn(pdf: &[u8], dots_per_inch: u16) -> Result<Vec<Vec<u8>>, TypesetError> {
    let unread = |error| TypesetError::new(format!("the PDF cannot be drawn: {error:?}"));
    let document = Pdf::new(pdf.to_vec()).map_err(unread)?;
    let scale = f32::from(dots_per_inch) / 72.0;
    let pages = document.pages().iter();
    let pictures = pages.map(|page| {
        let (width, height) = page.render_dimensions();
        if width.max(height) * scale > LONGEST_SIDE {
            let large = format!("a page of {width} by {height} pt is too large to draw");
            return Err(TypesetError::new(large));
        }
        let drawn = on_white(page, scale);
        let size = (drawn.width().into(), drawn.height().into());
        // The page is drawn on white, so alpha can be dropped.
        let pixels = drawn.data_as_u8_slice().chunks_exact(4);
        let colors: Vec<u8> = pixels
            .flat_map(|pixel| pixel.iter().take(3))
            .copied()
            .collect();
        encoded(size, &colors, dots_per_inch)
            .map_err(|error| TypesetError::new(format!("a picture cannot be written: {error}")))
    });
    pictures.collect()
}

/// A page of a PDF on white paper; `scale` is in pixels per point.
pub(crate) fn on_white(page: &Page<'_>, scale: f32) -> Pixmap {
    let settings = RenderSettings {
        x_scale: scale,
        y_scale: scale,
        bg_color: WHITE,
        ..RenderSettings::default()
    };
    let interpreter = InterpreterSettings::default();
    hayro::render(page, &RenderCache::new(), &interpreter, &settings)
}

/// Encodes the RGB values as PNG with its resolution, so that a picture placed in
/// another document has the size of the page.
fn encoded(
    (width, height): (u32, u32),
    colors: &[u8],
    dots_per_inch: u16,
) -> Result<Vec<u8>, png::EncodingError> {
    let dots_per_meter = (u32::from(dots_per_inch) * 10_000 + 127) / 254;
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_pixel_dims(Some(png::PixelDimensions {
        xppu: dots_per_meter,
        yppu: dots_per_meter,
        unit: png::Unit::Meter,
    }));
    let mut writer = encoder.write_header()?;
    writer.write_image_data(colors)?;
    writer.finish()?;
    Ok(bytes)
}
