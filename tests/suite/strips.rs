//! True scale: strips, scale bars and cards measured in the PDF as drawn.

mod choices;
mod cut_out;
mod page;

use std::f64::consts::PI;
use std::path::Path;

use crate::drawing::{Drawn, PageDrawing, read};
use crate::lettering::{heights, runs};
use crate::support::{build_text, demos, gas_alone, pages_text, read as read_file};

/// What a printer, a knife and an eye together can't see.
const CLOSE_MM: f64 = 0.02;

/// The flap before the fold line.
const FLAP: f64 = 8.0;
/// The tab past the lap line.
const TAB: f64 = 12.0;
/// How far the tongue's witness edge lies past the marking edge.
const TONGUE: f64 = 25.0;

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= CLOSE_MM
}

/// Distinct values, sorted; those closer than the tolerance count as one.
fn distinct(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values.dedup_by(|a, b| near(*a, *b));
    values
}

/// The outlines of strips: the stroked figures of eight corners, four distances
/// across.
fn outlines(page: &PageDrawing) -> Vec<&Drawn> {
    let drawn = page.paths.iter();
    drawn
        .filter(|path| path.stroked && path.points.len() == 8)
        .filter(|path| distinct(path.points.iter().map(|p| p.0)).len() == 4)
        .filter(|path| is_true_size(path))
        .collect()
}

/// Whether it is a piece to cut out, not a picture of one.
fn is_true_size(path: &Drawn) -> bool {
    let (left, right) = path.extent(|p| p.0);
    right - left > 30.0
}

/// A strip as drawn, in millimeters.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Measured {
    wrap: f64,
    depth: f64,
}

/// Measures a strip and checks all that does not depend on the pipe.
fn measure(page: &PageDrawing, outline: &Drawn) -> Measured {
    // Left to right: tab's end, lap line, tongue, and the edge that meets the line.
    let across = distinct(outline.points.iter().map(|p| p.0));
    let [start, lap, tongue, end] = across[..] else {
        panic!("{across:?}")
    };
    // Bottom to top: tongue's tip, marking edge, fold line, flap's edge.
    let down = distinct(outline.points.iter().map(|p| p.1));
    let [tip, edge, fold, top] = down[..] else {
        panic!("{down:?}")
    };
    assert!(near(lap - start, TAB), "tab {}", lap - start);
    assert!(near(top - fold, FLAP), "flap {}", top - fold);
    assert!(near(edge - tip, TONGUE), "tongue {}", edge - tip);
    // Marking edge beside the tongue, more than twice as long.
    assert!(tongue - lap > 2.0 * (end - tongue) && near(end - tongue, 16.0));
    // The fold line and the lap line are drawn where the outline has them.
    let dashed = |a: (f64, f64), b: (f64, f64)| {
        page.paths.iter().filter(|path| path.dashed).any(|path| {
            let at = |p: (f64, f64), q: (f64, f64)| near(p.0, q.0) && near(p.1, q.1);
            path.segment()
                .is_some_and(|(p, q)| (at(p, a) && at(q, b)) || (at(p, b) && at(q, a)))
        })
    };
    assert!(dashed((lap, fold), (end, fold)), "no fold line");
    assert!(dashed((lap, fold), (lap, edge)), "no lap line");
    Measured {
        wrap: end - lap,
        depth: fold - edge,
    }
}

/// Every strip of a sheet, shortest first.
fn strips(pdf: &Path) -> Vec<Measured> {
    strips_of(&read(pdf))
}

fn strips_of(pages: &[PageDrawing]) -> Vec<Measured> {
    let mut strips: Vec<Measured> = pages
        .iter()
        .flat_map(|page| {
            outlines(page)
                .into_iter()
                .map(|outline| measure(page, outline))
        })
        .collect();
    strips.sort_by(|a, b| a.wrap.total_cmp(&b.wrap));
    strips
}

/// Compares with (OD, depth), both in millimeters, and the strip's thickness.
fn assert_strips(found: &[Measured], pipes: &[(f64, f64)], thickness: f64) {
    assert_eq!(found.len(), pipes.len(), "{found:?}");
    for (strip, (diameter, depth)) in found.iter().zip(pipes) {
        let wrap = PI * (diameter + thickness);
        assert!(
            near(strip.wrap, wrap),
            "wrap {} for OD {diameter}: {wrap}",
            strip.wrap
        );
        assert!(
            near(strip.depth, *depth),
            "depth {} for {depth}",
            strip.depth
        );
    }
}

#[test]
fn strips_of_bare_paper_have_their_true_size() {
    let found = strips(&demos().geothermal.join("depth-marks.pdf"));
    // 3/4, 1, 1-1/4, 1-1/2 and 2 IPS; 0.64, 0.71, 0.81, 0.88 and 0.94 in.
    let pipes = [
        (26.670, 16.256),
        (33.401, 18.034),
        (42.164, 20.574),
        (48.260, 22.352),
        (60.325, 23.876),
    ];
    assert_strips(&found, &pipes, 0.1);
    // Worked out apart: 3.14159265 × 60.425.
    assert!(near(found[4].wrap, 189.83), "{}", found[4].wrap);
}

#[test]
fn laminated_strips_allow_for_their_thickness() {
    let found = strips(&demos().gas.join("depth-marks.pdf"));
    // 1/2 and 3/4 CTS, 1, 1-1/4 and 2 IPS; 0.52, 0.58, 0.70, 0.80 and 0.93 in.
    let pipes = [
        (15.875, 13.208),
        (22.225, 14.732),
        (33.401, 17.780),
        (42.164, 20.320),
        (60.325, 23.622),
    ];
    assert_strips(&found, &pipes, 0.4);
}

#[test]
fn a_depth_written_in_millimeters_is_drawn_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let text = gas_alone().replace("{depth: 0.93 in", "{depth: 23.622 mm");
    let papers = build_text(folder.path(), &text);
    let (inch, metric) = (
        strips(&demos().gas.join("depth-marks.pdf")),
        strips(&papers.join("depth-marks.pdf")),
    );
    assert_eq!(inch, metric);
}

#[test]
fn a_size_whose_depth_is_to_be_measured_gets_no_strip() {
    let folder = tempfile::tempdir().unwrap();
    let text = read_file("specs/hollow-creek-geothermal.yaml").replace(
        "1 IPS: {depth: 0.71 in, id: DG-2, source: \"caliper, gauge DG-2, 2026-10-28\"}",
        "1 IPS: {depth: to be measured, id: DG-2}",
    );
    let papers = build_text(folder.path(), &text);
    let found = strips(&papers.join("depth-marks.pdf"));
    let pipes = [
        (26.670, 16.256),
        (42.164, 20.574),
        (48.260, 22.352),
        (60.325, 23.876),
    ];
    assert_strips(&found, &pipes, 0.1);
}

/// The gas demo with its largest size made 4 IPS, 1.40 in deep.
fn with_four_inch() -> String {
    gas_alone()
        .replace("depth: 0.93 in", "depth: 1.40 in")
        .replace("2 IPS", "4 IPS")
        // From 3 IPS on a tool holds and pushes.
        .replace("  cutter:", "  machine: {largest: 4 IPS}\n  cutter:")
}

#[test]
fn a_strip_longer_than_the_page_goes_on_larger_paper_at_true_size() {
    let folder = tempfile::tempdir().unwrap();
    let text = with_four_inch().replace("0.4 mm}", "0.4 mm, long: larger paper}");
    let papers = build_text(folder.path(), &text);
    let pages = read(&papers.join("depth-marks.pdf"));
    let large: Vec<_> = pages.iter().filter(|page| page.width > 400.0).collect();
    let [page] = large[..] else {
        panic!("{} large pages", large.len())
    };
    assert_eq!(strips_of(&pages).len(), 5);
    let found: Vec<_> = outlines(page)
        .into_iter()
        .map(|outline| measure(page, outline))
        .collect();
    assert_strips(&found, &[(114.3, 35.56)], 0.4);
}

type Box2 = ((f64, f64), (f64, f64));

/// A strip without its tongue, and its tongue, from the box around both.
fn parts((x, y): &Box2) -> [Box2; 2] {
    let edge = y.0 + TONGUE;
    [(*x, (edge, y.1)), ((x.1 - 16.0, x.1), (y.0, edge))]
}

/// Every part of the one strip with every part of the other.
fn pairs(a: &Box2, b: &Box2) -> Vec<(Box2, Box2)> {
    let of_b = parts(b);
    (parts(a).into_iter())
        .flat_map(|a| of_b.map(|b| (a, b)))
        .collect()
}

#[test]
fn every_strip_lies_on_its_page_and_apart_from_the_others() {
    for folder in [&demos().geothermal, &demos().gas] {
        for page in read(&folder.join("depth-marks.pdf")) {
            let boxes: Vec<_> = outlines(&page)
                .into_iter()
                .map(|outline| (outline.extent(|p| p.0), outline.extent(|p| p.1)))
                .collect();
            for (i, (x, y)) in boxes.iter().enumerate() {
                assert!(
                    x.0 > 5.0 && x.1 < page.width - 5.0 && y.0 > 5.0,
                    "{x:?} {y:?}"
                );
                // The next, shorter strip may stand beside a tongue.
                for other in &boxes[..i] {
                    for ((ax, ay), (bx, by)) in pairs(&(*x, *y), other) {
                        let beside = ax.0 > bx.1 || ax.1 < bx.0;
                        assert!(beside || ay.0 > by.1 || ay.1 < by.0, "{boxes:?}");
                    }
                }
            }
        }
    }
}

/// The lower case of everything on the sheets, the names at the ticks too.
#[test]
fn nothing_is_set_too_small_to_read() {
    let (lower, _) = heights(notosans::REGULAR_TTF);
    for folder in [&demos().geothermal, &demos().gas] {
        for run in runs(&folder.join("depth-marks.pdf")).into_iter().flatten() {
            let height = run.size * lower * 25.4 / 72.0;
            assert!(height >= 1.199, "{run:?}: {height} mm");
        }
    }
}

#[test]
fn every_page_has_both_scale_bars_along_both_axes() {
    for folder in [&demos().geothermal, &demos().gas] {
        let pages = read(&folder.join("depth-marks.pdf"));
        assert!(!pages.is_empty());
        for page in pages {
            let lengths = |across: bool| -> Vec<f64> {
                let segments = page.paths.iter().filter_map(Drawn::segment);
                segments
                    .filter(|(a, b)| {
                        near(
                            if across { a.1 } else { a.0 },
                            if across { b.1 } else { b.0 },
                        )
                    })
                    .map(|(a, b)| {
                        if across {
                            (a.0 - b.0).abs()
                        } else {
                            (a.1 - b.1).abs()
                        }
                    })
                    .collect()
            };
            for across in [true, false] {
                for bar in [100.0, 101.6] {
                    let found = lengths(across)
                        .into_iter()
                        .filter(|length| near(*length, bar))
                        .count();
                    assert_eq!(found, 1, "{bar} mm, across: {across}");
                }
            }
        }
    }
}
