//! The drawings of the procedure, measured in the PDF as drawn and read as a
//! screen reader would: the insertion depth is to its scale, every figure says
//! in words what it shows, and metric practice has no cold ring.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use lopdf::{Document, Object};

use crate::drawing::{Drawn, PageDrawing, Point, read};
use crate::support::{AS_OF, coldring, pages_text, run};

/// What the eye and a scale rule can't tell apart.
const CLOSE_MM: f64 = 0.05;

/// A procedure: its folder, the depth of its largest size as its spec has it,
/// its steps that have a small figure, and whether a cold ring says how deep.
struct Case {
    folder: &'static str,
    depth_mm: f64,
    steps: usize,
    ring: bool,
}

const CASES: [Case; 4] = [
    Case {
        folder: "HC-SF-104-r2",
        depth_mm: 0.94 * 25.4,
        steps: 10,
        ring: true,
    },
    Case {
        folder: "AF-JP-12-r2",
        depth_mm: 0.93 * 25.4,
        steps: 10,
        ring: true,
    },
    Case {
        folder: "SW-PP-07-r2",
        depth_mm: 26.0,
        // The largest sizes by machine.
        steps: 11,
        ring: false,
    },
    Case {
        folder: "TV-W-031-r1",
        depth_mm: 30.0,
        // Peeled, and the largest sizes by machine.
        steps: 12,
        ring: false,
    },
];

impl Case {
    fn pdf(&self) -> PathBuf {
        static OUT: LazyLock<PathBuf> = LazyLock::new(|| {
            let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join("figures-drawn");
            let ran = run(coldring()
                .args(["build", "--as-of", AS_OF])
                .args([
                    "specs/hollow-creek-geothermal.yaml",
                    "specs/alder-fork-gas.yaml",
                    "specs/saddle-works-hot-water.yaml",
                    "specs/tern-valley-water.yaml",
                    "--out",
                ])
                .arg(&out));
            assert_eq!(ran.code, Some(0), "{}", ran.err);
            out
        });
        OUT.join(self.folder).join("procedure.pdf")
    }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= CLOSE_MM
}

/// Arrowheads that lie along the paper: tip, and whether it points right.
fn arrowheads(page: &PageDrawing) -> Vec<(Point, bool)> {
    let filled = page.paths.iter().filter(|path| !path.stroked);
    filled
        .filter_map(|path| match path.points.as_slice() {
            [tip, a, b] if near(a.0, b.0) => Some((*tip, tip.0 > a.0)),
            _ => None,
        })
        .collect()
}

/// Both ends of every dimension: arrowheads that point away from each other on
/// one line.
fn dimensions(page: &PageDrawing) -> Vec<(Point, Point)> {
    let heads = arrowheads(page);
    let lefts = heads.iter().filter(|(_, right)| !right);
    lefts
        .flat_map(|(left, _)| {
            let facing = heads
                .iter()
                .filter(move |(tip, right)| *right && near(tip.1, left.1) && tip.0 > left.0);
            facing.map(move |(right, _)| (*left, *right))
        })
        .collect()
}

/// The figures after "to scale" in a caption: length drawn over length meant.
fn scale(caption: &str) -> f64 {
    let (_, after) = caption.split_once("to scale ").unwrap();
    let (drawn, meant) = after.split_once(':').unwrap();
    let number = |text: &str| -> f64 {
        let digits: String = text.chars().take_while(char::is_ascii_digit).collect();
        digits.parse().unwrap()
    };
    number(drawn) / number(meant)
}

#[test]
fn the_insertion_depth_is_drawn_to_its_scale_from_the_end_plane_to_the_face() {
    for case in &CASES {
        let pdf = case.pdf();
        let texts = pages_text(&pdf);
        let (number, caption) = texts
            .iter()
            .enumerate()
            .find_map(|(number, text)| {
                let start = text.find("The finished joint of")?;
                Some((number, text[start..].split_whitespace().collect::<Vec<_>>()))
            })
            .unwrap();
        let wanted = case.depth_mm * scale(&caption.join(" "));
        let page = &read(&pdf)[number];
        let found: Vec<_> = dimensions(page)
            .into_iter()
            .filter(|(left, right)| near(right.0 - left.0, wanted))
            .collect();
        let [(face, plane)] = found[..] else {
            panic!("{}: {wanted} mm among {:?}", case.folder, dimensions(page))
        };
        // The pipe ends at the plane: it is the one part of five corners, the
        // fifth its chamfer.
        let ends_at = |path: &Drawn, x: f64| near(path.extent(|p| p.0).1, x);
        let pipe = |path: &&Drawn| path.points.len() == 5 && ends_at(path, plane.0);
        assert!(
            page.paths.iter().any(|path| pipe(&path)),
            "{}: no pipe ends at the plane",
            case.folder
        );
        // The ring's face, or the edge of the depth mark, is where the depth ends.
        let stands = |path: &&Drawn| {
            let above = path.extent(|p| p.1).0 > face.1;
            let is_bar = path.points.len() == 4 && path.stroked == case.ring;
            is_bar && ends_at(path, face.0) && above
        };
        assert!(
            page.paths.iter().any(|path| stands(&path)),
            "{}: neither ring nor mark at the depth",
            case.folder
        );
    }
}

/// What each figure of a PDF says to a screen reader; none where it says nothing.
fn alternatives(pdf: &Path) -> Vec<Option<String>> {
    let document = Document::load(pdf).unwrap();
    let figures = document.objects.values().filter_map(|object| {
        let element = object.as_dict().ok()?;
        let is_figure = element.get(b"S").and_then(Object::as_name).ok()? == b"Figure";
        is_figure.then_some(element)
    });
    figures
        .map(|figure| lopdf::decode_text_string(figure.get(b"Alt").ok()?).ok())
        .collect()
}

#[test]
fn every_figure_says_in_words_what_it_shows() {
    for case in &CASES {
        let alternatives = alternatives(&case.pdf());
        let told: Vec<_> = alternatives.iter().flatten().collect();
        assert_eq!(told.len(), alternatives.len(), "{}", case.folder);
        let one = |part: &str| {
            let with: Vec<_> = told.iter().filter(|alt| alt.contains(part)).collect();
            let [alt] = with[..] else {
                panic!("{}: {part}: {with:#?}", case.folder)
            };
            alt.as_str()
        };
        let joint = one("cut along its axis");
        let depth = if case.ring {
            format!("{:.2} mm", case.depth_mm)
        } else {
            format!("{:.1} mm", case.depth_mm)
        };
        assert!(joint.contains(&depth), "{joint}");
        let steps = one("Small figures of the steps");
        assert_eq!(steps.matches("Step ").count(), case.steps, "{steps}");
        let heater = one("A heater plate");
        assert!(heater.contains('°'), "{heater}");
        let plate = one("drawings of joints");
        assert!(plate.starts_with("9 "), "{plate}");
        assert_eq!(plate.matches("REJECT.").count(), 8, "{plate}");
        assert_eq!(plate.matches("GOOD.").count(), 1, "{plate}");
    }
}

#[test]
fn metric_practice_draws_a_mark_where_us_practice_draws_gauge_and_ring() {
    for case in &CASES {
        let told = alternatives(&case.pdf());
        let told: Vec<_> = told.into_iter().flatten().collect();
        let says = |word: &str| told.iter().any(|alt| alt.contains(word));
        for word in ["cold ring", "depth gauge", "No ring impression"] {
            assert_eq!(says(word), case.ring, "{}: {word}", case.folder);
        }
        assert_eq!(says("depth mark"), !case.ring, "{}", case.folder);
    }
}

#[test]
fn figures_are_numbered_in_their_order_and_referred_to() {
    for case in &CASES {
        let text = pages_text(&case.pdf()).join(" ");
        let words: Vec<_> = text.split_whitespace().collect();
        let mut captions = Vec::new();
        let mut references = Vec::new();
        for pair in words.windows(2) {
            if pair[0] != "Figure" {
                continue;
            }
            match pair[1].strip_suffix('.').map(str::parse::<usize>) {
                Some(Ok(number)) => captions.push(number),
                _ => references.extend(pair[1].trim_end_matches(',').parse::<usize>()),
            }
        }
        assert!(captions.len() >= 4, "{}: {captions:?}", case.folder);
        assert!(captions.iter().copied().eq(1..=captions.len()));
        references.sort_unstable();
        references.dedup();
        assert_eq!(references, captions, "{}", case.folder);
    }
}
