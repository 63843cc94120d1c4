//! What stands on a piece once it is cut out of its page: whose it is, that it is
//! a draft, that it comes off before heating, and one witness line with one meaning.

use std::path::Path;

use super::{distinct, is_true_size, near, outlines};
use crate::drawing::{Drawn, PageDrawing, read};
use crate::lettering::words;
use crate::support::{build_text, demos, pages_text, read as read_file, squeezed};

const HOT_WATER: &str = "specs/saddle-works-hot-water.yaml";
const WATER: &str = "specs/tern-valley-water.yaml";
const TAKE_OFF: [&str; 3] = ["REMOVE", "BEFORE", "HEATING"];

/// Whether a point lies inside a closed outline.
fn holds(outline: &Drawn, (x, y): (f64, f64)) -> bool {
    let points = &outline.points;
    let next = points.iter().cycle().skip(1);
    let crossed = points
        .iter()
        .zip(next)
        .filter(|(a, b)| (a.1 > y) != (b.1 > y) && x < (b.0 - a.0) * (y - a.1) / (b.1 - a.1) + a.0);
    crossed.count() % 2 == 1
}

/// Strips and gauges: all outlines of eight and of ten corners.
fn all_pieces(page: &PageDrawing) -> Vec<&Drawn> {
    let stroked = page.paths.iter().filter(|path| path.stroked);
    let cornered = stroked.filter(|path| [8, 10].contains(&path.points.len()));
    cornered.filter(|path| is_true_size(path)).collect()
}

/// Labels of these depths: outlines of four corners, long and as high as deep.
fn labels<'p>(page: &'p PageDrawing, depths: &[f64]) -> Vec<&'p Drawn> {
    let is_label = |path: &&Drawn| {
        let ((low, high), (left, right)) = (path.extent(|p| p.1), path.extent(|p| p.0));
        let deep = depths.iter().any(|depth| near(high - low, *depth));
        path.stroked && path.points.len() == 4 && deep && right - left > 48.0
    };
    page.paths.iter().filter(is_label).collect()
}

/// How many pieces there are, after each was seen to have all the words in it.
fn each_says(pdf: &Path, pieces: impl Fn(&PageDrawing) -> Vec<&Drawn>, wanted: &[&str]) -> usize {
    let mut count = 0;
    for (page, words) in read(pdf).iter().zip(words(pdf)) {
        for outline in pieces(page) {
            count += 1;
            let inside = words.iter().filter(|word| holds(outline, word.middle()));
            let inside: Vec<_> = inside.map(|word| word.text.as_str()).collect();
            for word in wanted {
                assert!(inside.contains(word), "{word} among {inside:?}");
            }
        }
    }
    count
}

#[test]
fn status_number_and_revision_stand_inside_every_piece() {
    let draft = demos().geothermal.join("depth-marks.pdf");
    let said = ["DRAFT", "HC-SF-104", "rev."];
    // Five strips and five gauges.
    assert_eq!(each_says(&draft, all_pieces, &said), 10);
    let qualified = demos().gas.join("depth-marks.pdf");
    assert_eq!(each_says(&qualified, all_pieces, &["AF-JP-12", "rev."]), 10);
    let text = pages_text(&qualified).concat();
    assert!(!text.contains("DRAFT"), "{text}");
}

#[test]
fn every_strip_says_to_take_it_off_before_heating() {
    for folder in [&demos().geothermal, &demos().gas] {
        let pdf = folder.join("depth-marks.pdf");
        assert_eq!(each_says(&pdf, outlines, &TAKE_OFF), 5);
    }
}

#[test]
fn the_pieces_of_a_strip_and_the_smallest_strips_say_it_too() {
    // Six sizes on one strip each and one in two pieces, and seven gauges; six and six.
    for (spec, number, strips, all) in [(WATER, "TV-W-031", 8, 15), (HOT_WATER, "SW-PP-07", 6, 12)]
    {
        let folder = tempfile::tempdir().unwrap();
        let pdf = build_text(folder.path(), &read_file(spec)).join("depth-marks.pdf");
        assert_eq!(
            each_says(&pdf, all_pieces, &["DRAFT", number, "rev."]),
            all,
            "{spec}"
        );
        assert_eq!(each_says(&pdf, outlines, &TAKE_OFF), strips, "{spec}");
    }
}

#[test]
fn labels_say_it_too() {
    let folder = tempfile::tempdir().unwrap();
    let text = read_file(HOT_WATER).replace("use: bare", "use: label, thickness: 0.2 mm");
    let pdf = build_text(folder.path(), &text).join("depth-marks.pdf");
    let depths = [14.0, 15.0, 17.0, 19.0, 22.0, 26.0];
    let said = [&["DRAFT", "SW-PP-07"], &TAKE_OFF[..]].concat();
    assert_eq!(
        each_says(&pdf, |page| labels(page, &depths), &said),
        depths.len()
    );
}

/// Where the mark must still be seen by SP 40-101-96, Table 5.1.
#[test]
fn the_tongue_of_a_pp_r_strip_ends_at_the_witness_line_of_the_procedure() {
    let published = [17.0, 19.0, 22.0, 24.0, 27.0, 30.0];
    let folder = tempfile::tempdir().unwrap();
    let papers = build_text(folder.path(), &read_file(HOT_WATER));
    let marks = papers.join("depth-marks.pdf");
    let pages = read(&marks);
    let strips = pages.iter().flat_map(outlines);
    let mut ends: Vec<f64> = strips
        .map(|outline| {
            let down = distinct(outline.points.iter().map(|p| p.1));
            let [tip, _, fold, _] = down[..] else {
                panic!("{down:?}")
            };
            fold - tip
        })
        .collect();
    ends.sort_by(f64::total_cmp);
    assert_eq!(ends.len(), published.len());
    for (end, line) in ends.iter().zip(published) {
        assert!(near(*end, line), "{end} for {line}");
    }
    let text = pages_text(&marks).concat();
    assert!(
        squeezed(&text).contains("witness17.0mm")
            && text.contains("Witness distances are published"),
        "{text}"
    );
    assert!(!text.contains("line +"), "{text}");
    // None is published for PE: the one chosen by the program stays.
    let folder = tempfile::tempdir().unwrap();
    let papers = build_text(folder.path(), &read_file(WATER));
    let text = pages_text(&papers.join("depth-marks.pdf")).concat();
    assert!(
        squeezed(&text).contains("line+25mm") && !text.contains("are published"),
        "{text}"
    );
}
