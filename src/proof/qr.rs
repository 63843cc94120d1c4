//! QR codes (ISO/IEC 18004) as small pictures.

use fast_qr::qr::{QRBuilder, QRCode};
use fast_qr::{ECL, Module};

/// The text is longer than a QR code of this strength can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct QrTooLong;

/// A QR code as a 1-bit grayscale PNG, a pixel a module, without the quiet zone
/// of four modules that must stay around it. Its error correction is level M.
///
/// # Errors
/// [`QrTooLong`] when the text does not fit.
pub fn qr_png(text: &str) -> Result<Vec<u8>, QrTooLong> {
    let code = QRBuilder::new(text)
        .ecl(ECL::M)
        .build()
        .map_err(|_| QrTooLong)?;
    Ok(png_of(&code))
}

fn png_of(code: &QRCode) -> Vec<u8> {
    let side = code.size;
    let mut rows = Vec::with_capacity(side * side.div_ceil(8));
    for row in 0..side {
        for bits in code[row].chunks(8) {
            let white = |byte: u8, (i, module): (usize, &Module)| match module.value() {
                true => byte,
                false => byte | (0x80 >> i),
            };
            rows.push(bits.iter().enumerate().fold(0, white));
        }
    }
    let mut png = Vec::new();
    let side = u32::try_from(side).unwrap_or_default();
    let mut encoder = png::Encoder::new(&mut png, side, side);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::One);
    // Writing to memory cannot fail.
    if let Ok(mut writer) = encoder.write_header() {
        let _ = writer.write_image_data(&rows);
    }
    png
}
