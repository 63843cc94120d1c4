//! QR codes (ISO/IEC 18004) as small pictures.

use fast_qr::qr::{QRBuilder, QRCode};
use fast_qr::{ECL, Module};

/// The text does not fit a QR code of this error correction level.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct QrTooLong;

/// A QR code.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Qr {
    /// A 1-bit grayscale PNG, one pixel per module, without the required quiet zone of
    /// four modules.
    pub(crate) png: Vec<u8>,
    /// Modules per side.
    pub(crate) modules: usize,
}

impl Qr {
    /// Encodes a text at error correction level M: 15 % of it may be scratched off a
    /// card.
    ///
    /// # Errors
    /// [`QrTooLong`] when the text does not fit.
    pub(crate) fn encode(text: &str) -> Result<Self, QrTooLong> {
        let code = QRBuilder::new(text)
            .ecl(ECL::M)
            .build()
            .map_err(|_| QrTooLong)?;
        Ok(Self {
            png: png_of(&code),
            modules: code.size,
        })
    }
}

/// The PNG of a QR code; see [`Qr`].
///
/// # Errors
/// [`QrTooLong`] when the text does not fit.
pub(crate) fn qr_png(text: &str) -> Result<Vec<u8>, QrTooLong> {
    Ok(Qr::encode(text)?.png)
}

fn png_of(code: &QRCode) -> Vec<u8> {
    let side = code.size;
    let mut rows = Vec::with_capacity(side * side.div_ceil(8));
    for row in 0..side {
        for bits in code[row].chunks(8) {
            let white = |byte: u8, (i, module): (usize, &Module)| {
                if module.value() {
                    byte
                } else {
                    byte | (0x80 >> i)
                }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// The modules of a PNG, true for dark, read by a decoder.
    fn modules(png: &[u8]) -> (usize, Vec<bool>) {
        let mut reader = png::Decoder::new(std::io::Cursor::new(png))
            .read_info()
            .unwrap();
        let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut bytes).unwrap();
        assert_eq!(
            (info.bit_depth, info.width),
            (png::BitDepth::One, info.height)
        );
        let side = info.width as usize;
        let dark = |i: usize| {
            let byte = bytes[i / side * info.line_size + i % side / 8];
            byte & (0x80 >> (i % side % 8)) == 0
        };
        (side, (0..side * side).map(dark).collect())
    }

    #[test]
    fn another_reader_reads_the_text() {
        for text in ["COLDRING/1/CARD//AF-JP-12/3", &"A1-/".repeat(60)] {
            let qr = Qr::encode(text).unwrap();
            let (side, dark) = modules(&qr.png);
            assert_eq!(side, qr.modules);
            let grid = rqrr::SimpleGrid::from_func(side, |x, y| dark[y * side + x]);
            let (meta, read) = rqrr::Grid::new(grid).decode().unwrap();
            assert_eq!(read, text);
            // Level M is 0 in the bits of the format (ISO/IEC 18004).
            assert_eq!(meta.ecc_level, 0);
        }
    }

    #[test]
    fn dense_characters_take_the_dense_mode() {
        // Version 8, 49 modules, holds 221 of them at level M (ISO/IEC 18004).
        assert_eq!(Qr::encode(&"A".repeat(221)).unwrap().modules, 49);
        assert_eq!(Qr::encode(&"A".repeat(222)).unwrap().modules, 53);
        assert_eq!(Qr::encode(&"A".repeat(5000)), Err(QrTooLong));
    }
}
