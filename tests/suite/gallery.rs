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

/// The pictures: name, paper of the demo with IPS sizes, and its page.
const PICTURES: [(&str, &str, Shown); 6] = [
    ("procedure", "procedure.pdf", Shown::Page(0)),
    (
        "procedure-times",
        "procedure.pdf",
        Shown::With("Joint cycle"),
    ),
    ("card", "card.pdf", Shown::Page(0)),
    ("card-back", "card.pdf", Shown::Page(1)),
    ("depth-marks", "depth-marks.pdf", Shown::Page(0)),
    ("worksheet", "worksheet.pdf", Shown::Page(0)),
];

/// The paper of that name. The worksheet is not one of a build.
fn paper(name: &str) -> PathBuf {
    if name != "worksheet.pdf" {
        return demos().geothermal.join(name);
    }
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("gallery-worksheet");
    let ran = run(coldring().args(["confirm", GEOTHERMAL, "--out"]).arg(&out));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let mut found = names_in(&out).into_iter().map(|name| out.join(name));
    let folder = found.next_back().unwrap();
    folder.join(
        names_in(&folder)
            .into_iter()
            .find(|name| name.ends_with(".pdf"))
            .unwrap(),
    )
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
    let make = std::env::var_os("GALLERY").is_some();
    let drawn = Path::new(env!("CARGO_TARGET_TMPDIR")).join("gallery");
    std::fs::create_dir_all(&drawn).unwrap();
    let mut drifted = Vec::new();
    for (name, file, shown) in PICTURES {
        let pdf = paper(file);
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
        let place = if make {
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
        make || drifted.is_empty(),
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
