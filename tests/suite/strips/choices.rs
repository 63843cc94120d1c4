//! What the author and the user choose: two pieces, labels, a corrected printer;
//! and the stick gauges that come with every choice.

use super::*;
use crate::drawing::Point;
use crate::support::{AS_OF, GAS, coldring_with, gas_alone, squeezed};

/// A part of the gas demo's strips: its own use and thickness.
const LAMINATED: &str = "strips: {use: laminated, thickness: 0.4 mm}";

/// Outside diameter and depth of the gas demo's sizes, in millimeters.
const GAS_PIPES: [(f64, f64); 5] = [
    (15.875, 13.208),
    (22.225, 14.732),
    (33.401, 17.780),
    (42.164, 20.320),
    (60.325, 23.622),
];

/// Whether a page draws a line from one point to the other.
fn has_line(page: &PageDrawing, a: Point, b: Point) -> bool {
    let at = |p: Point, q: Point| near(p.0, q.0) && near(p.1, q.1);
    let mut lines = page.paths.iter().filter_map(Drawn::segment);
    lines.any(|(p, q)| (at(p, a) && at(q, b)) || (at(p, b) && at(q, a)))
}

/// A page as the corrected printer prints it: `x` and `y` are its 100 mm bars.
fn printed(page: PageDrawing, x: f64, y: f64) -> PageDrawing {
    let paths = page.paths.into_iter().map(|path| Drawn {
        points: (path.points.iter())
            .map(|p| (p.0 * x / 100.0, p.1 * y / 100.0))
            .collect(),
        ..path
    });
    PageDrawing {
        width: page.width * x / 100.0,
        paths: paths.collect(),
    }
}

#[test]
fn two_pieces_are_as_long_as_the_strip_and_meet_at_the_joint() {
    let folder = tempfile::tempdir().unwrap();
    let papers = build_text(folder.path(), &with_four_inch());
    let pages = read(&papers.join("depth-marks.pdf"));
    assert!(pages.iter().all(|page| page.width < 280.0), "larger paper");
    let found = strips_of(&pages);
    // By hand: 114.7 × 3.14159265 = 360.341, in halves of 180.170.
    let [.., first, second] = found[..] else {
        panic!("{found:?}")
    };
    let sum = first.wrap + second.wrap;
    assert!(near(sum, PI * (114.3 + 0.4)) && near(sum, 360.341), "{sum}");
    assert!(near(first.depth, 35.56) && near(second.depth, 35.56));
    // The register ticks stand 25 mm from the joint: at the cut edge of the one
    // piece and at the joint line of the other, on the marking edge and the fold.
    let pieces = pages.iter().flat_map(|page| {
        let long = |outline: &&Drawn| measure(page, outline).wrap > 150.0;
        outlines(page)
            .into_iter()
            .filter(long)
            .map(move |o| (page, o))
    });
    let registers: Vec<[bool; 2]> = pieces
        .map(|(page, outline)| {
            let across = distinct(outline.points.iter().map(|p| p.0));
            let down = distinct(outline.points.iter().map(|p| p.1));
            let (edge, fold) = (down[1], down[2]);
            [across[3] - 25.0, across[1] + 25.0].map(|x| {
                has_line(page, (x, edge), (x, edge + 3.0))
                    && has_line(page, (x, fold), (x, fold - 3.0))
            })
        })
        .collect();
    assert_eq!(registers, [[true, false], [false, true]]);
}

#[test]
fn a_label_is_a_plain_rectangle_of_its_true_size() {
    let folder = tempfile::tempdir().unwrap();
    let text = gas_alone().replace(LAMINATED, "strips: {use: label, thickness: 0.2 mm}");
    let papers = build_text(folder.path(), &text);
    let pdf = papers.join("depth-marks.pdf");
    let pages = read(&pdf);
    assert!(pages.iter().all(|page| outlines(page).is_empty()));
    for (diameter, depth) in GAS_PIPES {
        let width = PI * (diameter + 0.2) + TAB;
        let rectangles = pages.iter().flat_map(|page| &page.paths).filter(|path| {
            let size = |of: fn(&Point) -> f64| {
                let (least, most) = path.extent(of);
                most - least
            };
            path.stroked
                && path.points.len() == 4
                && near(size(|p| p.0), width)
                && near(size(|p| p.1), depth)
        });
        assert_eq!(rectangles.count(), 1, "{diameter}");
    }
    let text = pages_text(&pdf).concat();
    assert!(text.contains("on an undivided label sheet"), "{text}");
}

/// Both arms of every gauge, from the butting edge, shortest first.
fn gauges(pages: &[PageDrawing]) -> Vec<(f64, f64)> {
    let drawn = pages.iter().flat_map(|page| &page.paths);
    let mut arms: Vec<_> = drawn
        .filter(|path| path.stroked && path.points.len() == 10 && is_true_size(path))
        .filter_map(|path| {
            let across = distinct(path.points.iter().map(|p| p.0));
            let down = distinct(path.points.iter().map(|p| p.1));
            let [_, butt, depth, witness] = across[..] else {
                return None;
            };
            // The foot reaches past both arms, which are equally high.
            let [low, a, b, c, high] = down[..] else {
                panic!("{down:?}")
            };
            assert!(near(a - low, 8.0) && near(high - c, 8.0) && near(b - a, c - b));
            Some((depth - butt, witness - butt))
        })
        .collect();
    arms.sort_by(|a, b| a.0.total_cmp(&b.0));
    arms
}

#[test]
fn every_size_has_a_stick_gauge_of_its_depth() {
    let found = gauges(&read(&demos().gas.join("depth-marks.pdf")));
    assert_eq!(found.len(), GAS_PIPES.len(), "{found:?}");
    for ((depth, witness), (_, stated)) in found.iter().zip(GAS_PIPES) {
        assert!(near(*depth, stated), "{depth} for {stated}");
        assert!(near(*witness, stated + TONGUE), "{witness} for {stated}");
    }
}

#[test]
fn a_corrected_page_prints_true_on_the_printer_that_was_measured() {
    let folder = tempfile::tempdir().unwrap();
    let spec = folder.path().join("spec.yaml");
    std::fs::write(&spec, with_four_inch()).unwrap();
    let out = folder.path().join("out");
    let ran = coldring_with(&[
        "build",
        "--as-of",
        AS_OF,
        "--measured-x",
        "99.6mm",
        "--measured-y",
        "100.2 mm",
        "--out",
        out.to_str().unwrap(),
        spec.to_str().unwrap(),
    ]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let corrected = out.join("AF-JP-12-r2");
    let drawn = read(&corrected.join("depth-marks.pdf"));
    assert!(near(drawn[0].width, 279.4), "the paper is not corrected");
    let pages: Vec<_> = (drawn.into_iter())
        .map(|page| printed(page, 99.6, 100.2))
        .collect();

    let found = strips_of(&pages);
    let [.., first, second] = found[..] else {
        panic!("{found:?}")
    };
    assert_strips(&found[..4], &GAS_PIPES[..4], 0.4);
    assert!(near(first.wrap + second.wrap, PI * 114.7));
    let arms = gauges(&pages);
    assert!(near(arms[4].0, 35.56) && near(arms[4].1, 60.56), "{arms:?}");
    // Bars of 100 mm and 4 in along both axes, as a rule would find them.
    for page in &pages {
        for across in [true, false] {
            for bar in [100.0, 101.6] {
                let bars = page.paths.iter().filter_map(Drawn::segment);
                let bars = bars.filter(|(a, b)| {
                    let (along, beside) = ((a.0 - b.0).abs(), (a.1 - b.1).abs());
                    let (along, beside) = if across {
                        (along, beside)
                    } else {
                        (beside, along)
                    };
                    near(along, bar) && near(beside, 0.0)
                });
                assert_eq!(bars.count(), 1, "{bar} mm, across: {across}");
            }
        }
    }
    let texts = pages_text(&corrected.join("depth-marks.pdf"));
    for text in &texts {
        assert!(
            text.contains("Corrected for x 99.6 mm, y 100.2 mm"),
            "{text}"
        );
    }

    // Nothing else is corrected, and the digest tells the builds apart.
    let plain = tempfile::tempdir().unwrap();
    let plain = build_text(plain.path(), &with_four_inch());
    for paper in ["card.pdf", "procedure.pdf"] {
        let of = |folder: &Path| std::fs::read(folder.join(paper)).unwrap();
        assert!(of(&plain) == of(&corrected), "{paper}");
    }
    let digest = |folder: &Path| {
        let manifest = std::fs::read_to_string(folder.join("manifest.json")).unwrap();
        let manifest: serde_json::Value = serde_json::from_str(&manifest).unwrap();
        manifest["build_digest"].as_str().unwrap().to_owned()
    };
    assert_ne!(digest(&plain), digest(&corrected));
}

#[test]
fn a_bar_that_no_printer_prints_is_refused() {
    for bar in ["94.9mm", "105.1mm", "99.6", "100 °F"] {
        let ran = coldring_with(&["build", GAS, "--measured-x", "100mm", "--measured-y", bar]);
        assert_eq!(ran.code, Some(2), "{bar}");
        assert!(ran.err.contains("'--measured-y"), "{}", ran.err);
    }
    // A length with a sign is a length, and no option of its own.
    let ran = coldring_with(&["build", GAS, "--measured-x", "-5mm"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("between 95 and 105 mm"), "{}", ran.err);
    // A page corrected along one way would say that the other was measured.
    for alone in ["--measured-x", "--measured-y"] {
        let ran = coldring_with(&["build", GAS, alone, "99.6mm"]);
        assert_eq!(ran.code, Some(2));
        let other = if alone == "--measured-x" {
            "--measured-y"
        } else {
            "--measured-x"
        };
        assert!(ran.err.contains(other), "{}", ran.err);
    }
}

#[test]
fn measured_bars_without_depth_marks_are_told_of() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let bars = ["--measured-x", "99.6mm", "--measured-y", "100.2mm"];
    let build = |papers: &str| {
        let mut arguments = vec![
            "build", GAS, "--as-of", AS_OF, "--out", out, "--only", papers,
        ];
        arguments.extend(bars);
        coldring_with(&arguments)
    };
    let ran = build("card");
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(
        ran.err.contains("only depth marks are corrected"),
        "{}",
        ran.err
    );
    let ran = build("card,depth-marks");
    assert!(
        !ran.err.contains("only depth marks are corrected"),
        "{}",
        ran.err
    );
}

#[test]
fn every_page_says_what_a_marker_line_and_paper_hold() {
    for folder in [&demos().geothermal, &demos().gas] {
        for text in pages_text(&folder.join("depth-marks.pdf")) {
            let text = squeezed(&text);
            assert!(text.contains("markerlineis0.5to1.0mmwide"), "{text}");
        }
    }
}
