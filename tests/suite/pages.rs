//! How long the crew's procedure is, and how its pages are filled: a paper that
//! is too long is not read, and a hole looks like an end.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use hayro::hayro_syntax::Pdf;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{RenderCache, RenderSettings};

use crate::support::{AS_OF, coldring, path, run, tool};

/// A spec, the folder of its papers, and how long its procedure may be: pages in
/// English and in Spanish, and words in English.
struct Bound {
    spec: &'static str,
    folder: &'static str,
    pages: [usize; 2],
    words: usize,
}

const BOUNDS: [Bound; 10] = [
    // With reducers, transitions, spigot ends and cold weather it has it all.
    bound(
        "specs/hollow-creek-geothermal.yaml",
        "HC-SF-104-r2",
        [8, 8],
        2600,
    ),
    bound("specs/alder-fork-gas.yaml", "AF-JP-12-r2", [7, 7], 2600),
    bound(
        "specs/saddle-works-hot-water.yaml",
        "SW-PP-07-r2",
        [7, 7],
        2600,
    ),
    bound("specs/tern-valley-water.yaml", "TV-W-031-r1", [7, 7], 2600),
    bound("specs/tour/1-least.yaml", "HC-TOUR-1-r1", [5, 6], 2600),
    bound("specs/tour/2-measured.yaml", "HC-TOUR-2-r1", [6, 6], 2600),
    bound("specs/tour/3-own-times.yaml", "HC-TOUR-3-r1", [6, 6], 2600),
    bound("specs/tour/4-papers.yaml", "HC-TOUR-4-r1", [6, 7], 2600),
    bound("specs/tour/5-qualified.yaml", "HC-TOUR-5-r2", [6, 6], 2600),
    // An unlike pair, two systems, and duties that the organization words itself.
    bound("specs/tour/6-full.yaml", "HC-TOUR-6-r2", [8, 8], 2900),
];

const fn bound(spec: &'static str, folder: &'static str, pages: [usize; 2], words: usize) -> Bound {
    Bound {
        spec,
        folder,
        pages,
        words,
    }
}

/// The papers of all bounds, built once.
fn built() -> &'static Path {
    static OUT: LazyLock<PathBuf> = LazyLock::new(|| {
        let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("pages");
        let specs = BOUNDS.iter().map(|bound| path(bound.spec));
        let ran = run(coldring()
            .args(["build", "--as-of", AS_OF, "--language", "en,es", "--out"])
            .arg(&out)
            .args(specs));
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        out
    });
    &OUT
}

/// What stands on the pages between running head and foot, and how many they are.
fn text_between_head_and_foot(pdf: &Path) -> (String, usize) {
    let info = tool("pdfinfo", &[pdf]);
    let number = |field: &str, place: usize| -> f64 {
        let line = info.lines().find(|line| line.starts_with(field)).unwrap();
        let word = line.split_whitespace().nth(place).unwrap();
        word.parse().unwrap()
    };
    let (wide, high) = (number("Page size:", 2), number("Page size:", 4));
    // The head is above 16 mm, the foot below 14 mm.
    let (head, foot) = (45.0, 39.0);
    let crop = [
        ("-x", 0.0),
        ("-y", head),
        ("-W", wide),
        ("-H", high - head - foot),
    ];
    let mut arguments: Vec<String> = Vec::new();
    for (name, points) in crop {
        arguments.extend([name.to_owned(), format!("{points:.0}")]);
    }
    arguments.extend([pdf.display().to_string(), "-".to_owned()]);
    (tool("pdftotext", &arguments), number("Pages:", 1) as usize)
}

#[test]
fn a_working_procedure_has_no_more_pages_and_words_than_a_crew_reads() {
    let mut wrong = Vec::new();
    for bound in &BOUNDS {
        for (name, most) in ["procedure.pdf", "procedure-es.pdf"]
            .iter()
            .zip(bound.pages)
        {
            let pdf = built().join(bound.folder).join(name);
            let (text, pages) = text_between_head_and_foot(&pdf);
            // A word has two letters; numbers and units of one letter are not read as text.
            let is_word = |word: &&str| word.chars().filter(|c| c.is_alphabetic()).count() > 1;
            let words = text.split_whitespace().filter(is_word).count();
            let too_many = words > bound.words && *name == "procedure.pdf";
            if pages > most || too_many {
                wrong.push(format!(
                    "{}/{name}: {pages} pages, {words} words",
                    bound.folder
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Pixels a millimeter.
const PIXELS: f64 = 2.0;

/// The tallest band of white between the first and the last ink of each page,
/// in millimeters: its height, and where it begins.
fn holes(pdf: &Path) -> Vec<(f64, f64)> {
    let document = Pdf::new(std::fs::read(pdf).unwrap()).unwrap();
    let scale = (PIXELS * 25.4 / 72.0) as f32;
    let settings = RenderSettings {
        x_scale: scale,
        y_scale: scale,
        bg_color: WHITE,
        ..RenderSettings::default()
    };
    let pages = document.pages().iter();
    pages
        .map(|page| {
            let cache = RenderCache::new();
            let pixmap = hayro::render(
                page,
                &cache,
                &hayro::hayro_interpret::InterpreterSettings::default(),
                &settings,
            );
            let wide = usize::from(pixmap.width());
            let inked = |row: &[u8]| {
                let mut pixels = row.chunks(4);
                pixels.any(|pixel| pixel.iter().take(3).any(|level| *level < 215))
            };
            let rows: Vec<usize> = pixmap
                .data_as_u8_slice()
                .chunks(4 * wide)
                .enumerate()
                .filter(|(_, row)| inked(row))
                .map(|(place, _)| place)
                .collect();
            let gaps = rows.windows(2).map(|pair| (pair[1] - pair[0], pair[0]));
            let (tall, at) = gaps.max().unwrap_or_default();
            (tall as f64 / PIXELS, at as f64 / PIXELS)
        })
        .collect()
}

#[test]
fn no_page_but_the_last_has_a_hole() {
    const MOST_MM: f64 = 40.0;
    let mut wrong = Vec::new();
    for bound in &BOUNDS {
        for name in [
            "procedure.pdf",
            "procedure-es.pdf",
            "sources.pdf",
            "sources-es.pdf",
            "lid.pdf",
            "lid-es.pdf",
            "depth-marks.pdf",
            "depth-marks-es.pdf",
        ] {
            let pdf = built().join(bound.folder).join(name);
            // Without a measured depth there are no marks.
            if !pdf.is_file() && name.starts_with("depth-marks") {
                continue;
            }
            let holes = holes(&pdf);
            let all_but_last = holes.len() - 1;
            for (page, (tall, at)) in holes.into_iter().take(all_but_last).enumerate() {
                if tall > MOST_MM {
                    wrong.push(format!(
                        "{}/{name}, page {}: {tall} mm white from {at} mm",
                        bound.folder,
                        page + 1
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
