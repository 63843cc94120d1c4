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
    /// A part of a page, larger: the page, and left, top, width and height in
    /// millimeters.
    Part(usize, [f32; 4]),
}

/// Where a paper comes from: a command that writes into `--out`, and its path in
/// there.
type Made = (&'static [&'static str], &'static str);

/// How much larger a part of a page is shown.
const CLOSER: f32 = 2.0;

const GAS_PAPERS: &[&str] = &["build", GAS];
/// The metric papers, in Spanish.
const METRIC: &[&str] = &["build", "specs/tern-valley-water.yaml", "--language", "es"];

/// A card with its cut marks, of two to a row and of one.
const CARD: Shown = Shown::Part(0, [15.5, 17.0, 92.0, 61.0]);
const CARD_BACK: Shown = Shown::Part(1, [15.5, 17.0, 92.0, 61.0]);
const LARGE_CARD: Shown = Shown::Part(0, [48.5, 25.0, 113.0, 82.0]);

/// The pictures: name, paper, and what is shown of it.
const PICTURES: [(&str, Made, Shown); 15] = [
    ("card", (GAS_PAPERS, "AF-JP-12-r2/card.pdf"), CARD),
    ("card-back", (GAS_PAPERS, "AF-JP-12-r2/card.pdf"), CARD_BACK),
    (
        "procedure",
        (GAS_PAPERS, "AF-JP-12-r2/procedure.pdf"),
        Shown::Page(0),
    ),
    (
        "steps",
        (GAS_PAPERS, "AF-JP-12-r2/procedure.pdf"),
        Shown::Page(1),
    ),
    (
        "inspection",
        (GAS_PAPERS, "AF-JP-12-r2/procedure.pdf"),
        Shown::Page(2),
    ),
    ("lid", (GAS_PAPERS, "AF-JP-12-r2/lid.pdf"), Shown::Page(0)),
    (
        "depth-marks",
        (GAS_PAPERS, "AF-JP-12-r2/depth-marks.pdf"),
        Shown::Page(0),
    ),
    (
        "sources",
        (&["build", GEOTHERMAL], "HC-SF-104-r2/sources.pdf"),
        Shown::Page(0),
    ),
    (
        "wallet",
        (
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
        "test-sheet",
        (
            &["forms", GAS, "--only", "test-sheet"],
            "AF-JP-12-r2-forms/test-sheet.pdf",
        ),
        Shown::Page(0),
    ),
    (
        "change-notice",
        (
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
        (
            &["submittal", "specs/submittal/AF-S-031.yaml"],
            "AF-S-031-r0-submittal/submittal.pdf",
        ),
        Shown::Page(0),
    ),
    (
        "procedure-es",
        (METRIC, "TV-W-031-r1/procedure.pdf"),
        Shown::Page(0),
    ),
    ("card-es", (METRIC, "TV-W-031-r1/card.pdf"), LARGE_CARD),
    (
        "steps-es",
        (METRIC, "TV-W-031-r1/procedure.pdf"),
        Shown::Page(1),
    ),
];

/// The paper of a picture.
fn paper(name: &str, (arguments, file): Made) -> PathBuf {
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("gallery-{name}"));
    let folder = match arguments[0] {
        "compare" => "--notice",
        _ => "--out",
    };
    let ran = run(coldring().args(arguments).arg(folder).arg(&out));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    out.join(file)
}

/// The page as a picture on white.
fn picture(pdf: &Path, shown: &Shown) -> Pixmap {
    let document = hayro::hayro_syntax::Pdf::new(std::fs::read(pdf).unwrap()).unwrap();
    let (page, scale) = match shown {
        Shown::Page(page) => (*page, SCALE),
        Shown::Part(page, _) => (*page, CLOSER * SCALE),
    };
    let settings = RenderSettings {
        x_scale: scale,
        y_scale: scale,
        bg_color: WHITE,
        ..RenderSettings::default()
    };
    let pages = document.pages();
    let whole = hayro::render(
        &pages[page],
        &RenderCache::new(),
        &hayro::hayro_interpret::InterpreterSettings::default(),
        &settings,
    );
    match shown {
        Shown::Page(_) => whole,
        Shown::Part(_, part) => {
            let pixels = part.map(|mm| (mm * scale * 72.0 / 25.4) as u16);
            cut(&whole, pixels)
        }
    }
}

/// A part of a picture: left, top, width and height in pixels.
fn cut(whole: &Pixmap, [left, top, wide, high]: [u16; 4]) -> Pixmap {
    let across = usize::from(whole.width());
    let rows = whole.data().chunks(across).skip(usize::from(top));
    let inside = rows
        .take(usize::from(high))
        .flat_map(|row| row[usize::from(left)..].iter().take(usize::from(wide)));
    Pixmap::from_parts(inside.copied().collect(), wide, high)
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
        let now = picture(&paper(name, made), &shown);
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
