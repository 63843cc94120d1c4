//! The embedded fonts, and how wide a line is in them: what has to fit is made to fit
//! before it is laid out.

use std::sync::LazyLock;

use typst::foundations::Bytes;
use typst::layout::Abs;
use typst::text::{Font, FontBook, FontInstance, FontStyle, FontVariations, FontWeight};
use typst::utils::LazyHash;

use crate::core::units::Length;

/// The same for every paper and costly to build, so built once.
pub(crate) static FONTS: LazyLock<(LazyHash<FontBook>, Vec<Font>)> = LazyLock::new(|| {
    let files: [&'static [u8]; 6] = [
        notosans::REGULAR_TTF,
        notosans::BOLD_TTF,
        notosans::ITALIC_TTF,
        notosans::BOLD_ITALIC_TTF,
        dejavu::sans::regular(),
        dejavu::sans::bold(),
    ];
    let fonts: Vec<Font> = files
        .into_iter()
        .flat_map(|data| Font::iter(Bytes::new(data)))
        .collect();
    (LazyHash::new(FontBook::from_fonts(&fonts)), fonts)
});

/// A font file of the papers' typeface, `regular` or `bold`, for web pages that
/// should look like them.
pub(crate) fn page_fonts(name: &str) -> Option<&'static [u8]> {
    match name {
        "regular" => Some(notosans::REGULAR_TTF),
        "bold" => Some(notosans::BOLD_TTF),
        _ => None,
    }
}

/// Whether one of the embedded fonts has a glyph for `c`.
pub(crate) fn can_draw(c: char) -> bool {
    FONTS
        .1
        .iter()
        .any(|font| font.info().coverage.contains(u32::from(c)))
}

/// The upright fonts of a weight, in fallback order.
fn upright(weight: FontWeight) -> Vec<FontInstance> {
    let of_weight = |font: &&Font| {
        let variant = font.info().variant;
        variant.weight == weight && variant.style == FontStyle::Normal
    };
    let plain = FontVariations::default();
    let fonts = FONTS.1.iter().filter(of_weight).cloned();
    fonts
        .map(|font| {
            let variant = font.info().variant;
            font.instantiate(variant, Abs::zero(), &plain)
        })
        .collect()
}

/// The widths of characters in ems: those of ASCII, which nearly all text has, are
/// looked up once.
struct Widths {
    fonts: Vec<FontInstance>,
    ascii: Vec<f64>,
}

impl Widths {
    fn new(weight: FontWeight) -> Self {
        let fonts = upright(weight);
        let ascii = ('\0'..='\x7f').map(|c| advance(&fonts, c)).collect();
        Self { fonts, ascii }
    }

    fn of_line(&self, text: &str, size_pt: f64) -> Length {
        const MM_PER_POINT: f64 = 25.4 / 72.0;
        let width = |c: char| {
            let known = usize::try_from(u32::from(c)).ok();
            let known = known.and_then(|at| self.ascii.get(at)).copied();
            known.unwrap_or_else(|| advance(&self.fonts, c))
        };
        let ems: f64 = text.chars().map(width).sum();
        Length::from_mm(ems * size_pt * MM_PER_POINT)
    }
}

/// Width of a character in the first font that has it.
fn advance(fonts: &[FontInstance], c: char) -> f64 {
    // The templates set the backtick in the second font.
    let faces = fonts.iter().skip(usize::from(c == '`'));
    let mut glyphs = faces.filter_map(|font| {
        let glyph = font.ttf().glyph_index(c)?;
        font.x_advance(glyph.0)
    });
    // A character in none of them is set in a font that is no wider.
    glyphs.next().map_or(1.0, |width| width.get())
}

static BOLD: LazyLock<Widths> = LazyLock::new(|| Widths::new(FontWeight::BOLD));
static REGULAR: LazyLock<Widths> = LazyLock::new(|| Widths::new(FontWeight::REGULAR));

/// Width of a line of bold text at a size in points, without kerning, which
/// usually makes it narrower.
pub(crate) fn line_width(text: &str, size_pt: f64) -> Length {
    BOLD.of_line(text, size_pt)
}

/// The same of regular text.
pub(crate) fn regular_width(text: &str, size_pt: f64) -> Length {
    REGULAR.of_line(text, size_pt)
}
