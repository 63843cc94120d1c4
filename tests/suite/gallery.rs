//! The pictures in `out/gallery` are pictures of the papers as they are now.
//!
//! The rasteriser is hayro, pinned in `Cargo.toml`, so every machine draws the
//! same picture. Pictures are compared by counting the pixels that differ: a
//! score of likeness averages a blot away. `tests/gallery` makes them anew.

use std::path::{Path, PathBuf};

use hayro::vello_cpu::Pixmap;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{RenderCache, RenderSettings};

use super::support::*;

/// Pixels a point, which is 90 to the inch: fine print can be read on a screen.
const SCALE: f32 = 1.25;

/// A channel that is off by more than this many of its 255 levels makes a pixel
/// differ. Processors round the edge of a letter differently, by a few levels.
const LEVELS: u8 = 16;

/// Pixels that may differ. A comma at this scale has about 8.
const MOST: usize = 4;

/// What is shown of a paper.
enum Shown {
    /// A page by its number, from 0.
    Page(usize),
    /// The first page with these words.
    With(&'static str),
}

/// Where a paper comes from.
enum Made {
    /// From the build of the geothermal demo.
    Built(&'static str),
    /// By a command that writes into `--out`, at this path in there.
    By(&'static [&'static str], &'static str),
}

use Made::{Built, By};

/// The metric papers, in Spanish.
const METRIC: &[&str] = &["build", "specs/tern-valley-water.yaml", "--language", "es"];

/// The pictures: name, paper, and its page.
const PICTURES: [(&str, Made, Shown); 12] = [
    ("procedure", Built("procedure.pdf"), Shown::Page(0)),
    (
        "procedure-times",
        Built("procedure.pdf"),
        Shown::With("Joint cycle"),
    ),
    ("card", Built("card.pdf"), Shown::Page(0)),
    ("card-back", Built("card.pdf"), Shown::Page(1)),
    ("depth-marks", Built("depth-marks.pdf"), Shown::Page(0)),
    (
        "worksheet",
        By(
            &["confirm", GEOTHERMAL],
            "HC-SF-104-r2-confirm/worksheet.pdf",
        ),
        Shown::Page(0),
    ),
    (
        "procedure-es",
        By(METRIC, "TV-W-031-r1/procedure.pdf"),
        Shown::With("Ciclo"),
    ),
    (
        "card-es",
        By(METRIC, "TV-W-031-r1/card.pdf"),
        Shown::Page(0),
    ),
    (
        "depth-marks-es",
        By(METRIC, "TV-W-031-r1/depth-marks.pdf"),
        Shown::Page(0),
    ),
    (
        "wallet",
        By(
            &[
                "cards",
                GAS,
                "--fusers",
                "specs/people/fusers.yaml",
                "--as-of",
                "2026-11-25",
            ],
            "cards-2026-11-25/AF-JP-12-r2-en.pdf",
        ),
        Shown::Page(0),
    ),
    (
        "change-notice",
        By(
            &[
                "compare",
                "specs/earlier/alder-fork-gas-r1.yaml",
                GAS,
                "--as-of",
                "2026-11-25",
            ],
            "AF-JP-12-r2-changes/change-notice.pdf",
        ),
        Shown::Page(0),
    ),
    (
        "submittal",
        By(
            &["submittal", "specs/submittal/AF-S-031.yaml"],
            "AF-S-031-r0-submittal/submittal.pdf",
        ),
        Shown::Page(0),
    ),
];

/// The paper of a picture.
fn paper(name: &str, made: &Made) -> PathBuf {
    let (arguments, file) = match made {
        Built(file) => return demos().geothermal.join(file),
        By(arguments, file) => (arguments, file),
    };
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("gallery-{name}"));
    let folder = match arguments[0] {
        "compare" => "--notice",
        _ => "--out",
    };
    let ran = run(coldring().args(*arguments).arg(folder).arg(&out));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    out.join(file)
}

/// The page as a picture on white.
fn picture(pdf: &Path, page: usize) -> Pixmap {
    let document = hayro::hayro_syntax::Pdf::new(std::fs::read(pdf).unwrap()).unwrap();
    let settings = RenderSettings {
        x_scale: SCALE,
        y_scale: SCALE,
        bg_color: WHITE,
        ..RenderSettings::default()
    };
    let pages = document.pages();
    hayro::render(
        &pages[page],
        &RenderCache::new(),
        &hayro::hayro_interpret::InterpreterSettings::default(),
        &settings,
    )
}

/// How many pixels differ; none where the pictures are not of one size.
fn differing(a: &Pixmap, b: &Pixmap) -> Option<usize> {
    let alike = (a.width(), a.height()) == (b.width(), b.height());
    alike.then(|| {
        let (a, b) = (a.data_as_u8_slice(), b.data_as_u8_slice());
        a.chunks(4)
            .zip(b.chunks(4))
            .filter(|(a, b)| a.iter().zip(*b).any(|(a, b)| a.abs_diff(*b) > LEVELS))
            .count()
    })
}

#[test]
fn the_gallery_shows_the_papers_as_they_are() {
    let keep = std::env::var_os("GALLERY").is_some();
    let drawn = Path::new(env!("CARGO_TARGET_TMPDIR")).join("gallery");
    std::fs::create_dir_all(&drawn).unwrap();
    let mut drifted = Vec::new();
    for (name, made, shown) in PICTURES {
        let pdf = paper(name, &made);
        let page = match shown {
            Shown::Page(page) => page,
            Shown::With(words) => {
                let pages = pages_text(&pdf);
                pages.iter().position(|text| text.contains(words)).unwrap()
            }
        };
        let now = picture(&pdf, page);
        let kept = path(&format!("out/gallery/{name}.png"));
        let before = std::fs::read(&kept)
            .ok()
            .and_then(|png| Pixmap::from_png(std::io::Cursor::new(png)).ok());
        let off = before.and_then(|before| differing(&before, &now));
        if off.is_some_and(|off| off <= MOST) {
            continue;
        }
        let place = if keep {
            kept
        } else {
            drawn.join(format!("{name}.png"))
        };
        std::fs::write(&place, now.into_png().unwrap()).unwrap();
        let off = off.map_or("another size, or none".into(), |off| {
            format!("{off} pixels")
        });
        drifted.push(format!("{name} ({off}), now {}", place.display()));
    }
    assert!(
        keep || drifted.is_empty(),
        "pictures are not of the papers as they are; look at both, then run tests/gallery:\n{}",
        drifted.join("\n")
    );
}

#[test]
fn a_moved_comma_is_seen() {
    let white = Pixmap::from_parts(
        vec![
            hayro::vello_cpu::peniko::color::PremulRgba8 {
                r: 255,
                g: 255,
                b: 255,
                a: 255
            };
            400
        ],
        20,
        20,
    );
    let mut blot = white.clone();
    for n in 0..8 {
        blot.data_mut()[n * 21].g = 0;
    }
    assert_eq!(differing(&white, &white), Some(0));
    assert!(differing(&white, &blot) > Some(MOST));
    assert_eq!(differing(&white, &Pixmap::new(20, 21)), None);
}
