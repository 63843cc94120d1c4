//! Checks the logo: an SVG or PNG in the house style's folder that is
//! self-contained, not too large, and can be drawn.

use super::{reason, rules};
use crate::core::finding::Finding;
use crate::core::sandbox::Sandbox;
use crate::core::source::{FileId, HouseFile, Span, Spanned};
use crate::papers::typeset::try_logo;

/// Most pixels of a PNG along a side.
const MAX_PIXELS: u32 = 4096;

/// SVG features that a logo does not need, and what each would do.
const EXTERNAL_FEATURES: &[(&str, &str)] = &[
    ("<script", "holds a script"),
    ("<foreignobject", "holds a page of another kind"),
    ("<text", "needs a font; convert its letters to paths"),
    ("<image", "holds or loads a picture"),
    ("<!entity", "defines entities"),
    ("@import", "loads a style"),
    ("@font-face", "loads a font"),
];

/// Checks the logo that `house.yaml` names and returns the name of its virtual
/// file.
pub(crate) fn check(
    named: &Spanned<String>,
    id: FileId,
    file: &HouseFile,
    sandbox: Option<Sandbox>,
) -> Result<String, Box<Finding>> {
    let bytes = match &file.bytes {
        Ok(bytes) => bytes,
        Err(why) => {
            return Err(Box::new(rules::HOUSE_NOT_READ.at(
                named.span,
                format!("the logo {} cannot be read: {}", named.value, reason(why)),
            )));
        }
    };
    let not_read = |message: String| Box::new(rules::LOGO_NOT_READ.at(named.span, message));
    let name = match named.rsplit_once('.').map(|(_, ending)| ending) {
        Some("svg") => {
            if file.source.text.is_empty() {
                return Err(not_read(format!("{} is not SVG text", named.value)));
            }
            match external_reference(&file.source.text) {
                Some(finding) => return Err(Box::new(finding.in_file(id))),
                None => "/house/logo.svg",
            }
        }
        Some("png") => {
            let (width, height) =
                pixels(bytes).ok_or_else(|| not_read(format!("{} is not a PNG", named.value)))?;
            if width == 0 || height == 0 || width.max(height) > MAX_PIXELS {
                return Err(not_read(format!(
                    "{} has {width} × {height} pixels; a logo has at most {MAX_PIXELS} each way",
                    named.value
                )));
            }
            "/house/logo.png"
        }
        _ => {
            return Err(not_read(format!(
                "{} is neither .svg nor .png",
                named.value
            )));
        }
    };
    match try_logo(name, bytes, sandbox) {
        Ok(()) => Ok(name.to_owned()),
        Err(fault) => Err(match fault.range.filter(|_| name.ends_with("svg")) {
            Some(range) => Box::new(
                rules::LOGO_NOT_READ
                    .at(Span::new(range.start, range.end), fault.message)
                    .in_file(id),
            ),
            None => not_read(format!("{}: {}", named.value, fault.message)),
        }),
    }
}

/// Reports the first place where an SVG reaches outside its file.
fn external_reference(text: &str) -> Option<Finding> {
    let lower = text.to_ascii_lowercase();
    let found = EXTERNAL_FEATURES
        .iter()
        .filter_map(|(mark, what)| lower.find(mark).map(|at| (at, mark.len(), *what)));
    let links = links(&lower).map(|(at, length)| (at, length, "refers to another file"));
    let (at, length, what) = found.chain(links).min()?;
    Some(
        rules::LOGO_REACHES_OUT
            .at(Span::new(at, at + length), format!("the logo {what}"))
            .help("save it as plain SVG: shapes and paths alone"),
    )
}

/// References that leave the file: `href` and `url()` of anything but a fragment.
fn links(lower: &str) -> impl Iterator<Item = (usize, usize)> {
    let of = |mark: &'static str| {
        lower.match_indices(mark).filter_map(move |(at, _)| {
            let rest = lower.get(at + mark.len()..)?;
            let target =
                rest.trim_start_matches(|c: char| c.is_whitespace() || "='\"(".contains(c));
            (!target.starts_with('#')).then_some((at, mark.len()))
        })
    };
    of("href").chain(of("url("))
}

/// Width and height of a PNG, from its first chunk.
fn pixels(bytes: &[u8]) -> Option<(u32, u32)> {
    let rest = bytes.strip_prefix(b"\x89PNG\r\n\x1a\n")?;
    let number = |from: usize| {
        let four = rest.get(from..from + 4)?;
        Some(u32::from_be_bytes(four.try_into().ok()?))
    };
    (rest.get(4..8)? == b"IHDR").then_some(())?;
    Some((number(8)?, number(12)?))
}
