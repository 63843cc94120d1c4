//! What stands on a page beside its strips, and its true scale once more, in the
//! pixels of a picture as a ruler finds them.

use std::path::Path;

use super::outlines;
use crate::drawing::read;
use crate::support::{
    AS_OF, build_text, coldring_with, demos, gas_alone, pages_text, read as read_file, squeezed,
    tool,
};

const HOT_WATER: &str = "specs/saddle-works-hot-water.yaml";
/// Depth marks in both languages, on label stock.
const BOTH_LANGUAGES: &str = "specs/tour/6-full.yaml";

#[test]
fn five_sizes_take_one_sheet_of_strips_and_one_of_gauges() {
    for folder in [&demos().geothermal, &demos().gas] {
        let pages = read(&folder.join("depth-marks.pdf"));
        let strips: Vec<_> = pages.iter().map(|page| outlines(page).len()).collect();
        assert_eq!(strips, [5, 0]);
    }
}

#[test]
fn a_picture_has_at_most_eight_words() {
    let pictures = [
        "marks-cut",
        "marks-fold-it",
        "marks-wrap",
        "marks-mark-tongue",
        "marks-mark-edges",
        "marks-label-cut",
        "marks-label-set",
        "marks-label-mark",
        "marks-gauge-cut",
        "marks-gauge-butt",
        "marks-gauge-mark",
        "marks-gauge-turn",
    ];
    for language in ["en", "es"] {
        let clauses = read_file(&format!("templates/clauses/{language}.yaml"));
        for key in pictures {
            let start = format!("{key}: \"");
            let line = clauses.lines().find_map(|line| line.strip_prefix(&start));
            let words = line
                .unwrap_or_else(|| panic!("{key}"))
                .split_whitespace()
                .count();
            assert!((2..=8).contains(&words), "{language} {key}: {words}");
        }
    }
}

#[test]
fn the_unit_of_the_practice_comes_first() {
    let order = |pdf: &Path, first: &str, second: &str| {
        let text = squeezed(&pages_text(pdf).concat());
        let [first, second] = [first, second].map(|words| text.find(&squeezed(words)));
        assert!(first.is_some() && first < second, "{text}");
    };
    let us = demos().geothermal.join("depth-marks.pdf");
    order(&us, "0.94 in.", "23.88 mm");
    order(&us, "+0.98 in.", "(25 mm)");
    let folder = tempfile::tempdir().unwrap();
    let metric = build_text(folder.path(), &read_file(HOT_WATER)).join("depth-marks.pdf");
    order(&metric, "26.0 mm", "1.024 in.");
}

#[test]
fn no_page_prints_a_command_or_its_options() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let built = coldring_with(&["build", BOTH_LANGUAGES, "--as-of", AS_OF, "--out", out]);
    assert_eq!(built.code, Some(0), "{}", built.err);
    let papers = folder.path().join("HC-TOUR-6-r2");
    let mut seen = 0;
    for name in ["depth-marks.pdf", "depth-marks-es.pdf"] {
        for text in pages_text(&papers.join(name)) {
            assert!(!text.contains("--") && !text.contains("coldring"), "{text}");
            seen += 1;
        }
    }
    assert!(seen >= 4, "{seen} pages");
    let spanish = squeezed(&pages_text(&papers.join("depth-marks-es.pdf")).concat());
    for words in [
        "QUITE ANTES DE CALENTAR",
        "ENROLLE",
        "Medida equivocada. PARE.",
    ] {
        assert!(spanish.contains(&squeezed(words)), "{words}");
    }
}

/// The published witness line of PP-R is an edge as long as a part of the strip, not
/// a narrow tip a few millimeters past the marking edge.
#[test]
fn a_published_witness_line_has_an_edge_of_its_own() {
    let folder = tempfile::tempdir().unwrap();
    let pdf = build_text(folder.path(), &read_file(HOT_WATER)).join("depth-marks.pdf");
    let pages = read(&pdf);
    let strips: Vec<_> = pages.iter().flat_map(outlines).collect();
    assert_eq!(strips.len(), 6);
    for outline in strips {
        let across = super::distinct(outline.points.iter().map(|p| p.0));
        let share = (across[3] - across[2]) / (across[3] - across[1]);
        assert!((0.35..0.45).contains(&share), "{share}");
    }
}

/// The longest run of dark pixels of every row, or of every column.
fn longest_runs(picture: &Path, across: bool) -> Vec<usize> {
    let bytes = std::fs::read(picture).unwrap();
    let mut fields = bytes.splitn(4, |byte| byte.is_ascii_whitespace());
    let mut field = || {
        std::str::from_utf8(fields.next().unwrap())
            .unwrap()
            .to_owned()
    };
    assert_eq!(field(), "P5");
    let (width, height): (usize, usize) = (field().parse().unwrap(), field().parse().unwrap());
    let pixels = &bytes[bytes.len() - width * height..];
    let (lines, length) = if across {
        (height, width)
    } else {
        (width, height)
    };
    let dark = |line: usize, n: usize| {
        let at = if across {
            line * width + n
        } else {
            n * width + line
        };
        pixels[at] < 128
    };
    let longest = |line| {
        let (mut longest, mut run) = (0, 0);
        for n in 0..length {
            run = if dark(line, n) { run + 1 } else { 0 };
            longest = longest.max(run);
        }
        longest
    };
    (0..lines).map(longest).collect()
}

/// At 300 dots per inch 100 mm are 1181 pixels and 4 in. are 1200: what a ruler
/// laid on the print would read, a pixel at either end for the width of a line.
#[test]
fn a_printed_page_measures_true_to_the_pixel() {
    let folder = tempfile::tempdir().unwrap();
    let papers = build_text(folder.path(), &gas_alone());
    let picture = folder.path().join("page");
    let pdf = papers.join("depth-marks.pdf");
    tool(
        "pdftoppm",
        &[
            "-r",
            "300",
            "-gray",
            "-singlefile",
            pdf.to_str().unwrap(),
            picture.to_str().unwrap(),
        ],
    );
    let picture = picture.with_extension("pgm");
    for across in [true, false] {
        let runs = longest_runs(&picture, across);
        for (bar, pixels) in [("100 mm", 1181), ("4 in.", 1200)] {
            let near = runs.iter().any(|run| run.abs_diff(pixels) <= 2);
            let long = runs.iter().filter(|run| **run > 1000).collect::<Vec<_>>();
            assert!(near, "{bar}, across: {across}: {long:?}");
        }
    }
    // The flap of 2 IPS at 0.4 mm: 60.725 mm × 3.14159 = 190.77 mm, or 2253 pixels.
    let runs = longest_runs(&picture, true);
    assert!(runs.iter().any(|run| run.abs_diff(2253) <= 3), "{runs:?}");
}
