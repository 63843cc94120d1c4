//! The drawings of the procedure, measured in the PDF as drawn and read as a
//! screen reader would: the insertion depth is to its scale, every figure says
//! in words what it shows, and metric practice has no cold ring.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use lopdf::{Document, Object};

use crate::drawing::{Drawn, PageDrawing, Point, read};
use crate::support::{AS_OF, coldring, pages_text, run, squeezed, tool};

/// What the eye and a scale rule can't tell apart.
const CLOSE_MM: f64 = 0.05;

/// A procedure: its folder, the depth of its largest size as its spec has it, the steps
/// of a joint, and whether a cold ring says how deep.
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
        steps: 13,
        ring: true,
    },
    Case {
        folder: "AF-JP-12-r2",
        depth_mm: 0.93 * 25.4,
        steps: 13,
        ring: true,
    },
    Case {
        folder: "SW-PP-07-r2",
        depth_mm: 26.0,
        // The largest sizes by machine.
        steps: 14,
        ring: false,
    },
    Case {
        folder: "TV-W-031-r1",
        depth_mm: 30.0,
        // Peeled, and the largest sizes by machine.
        steps: 15,
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

    /// Where its numbers come from, with the joint drawn to scale.
    fn sources(&self) -> PathBuf {
        self.pdf().with_file_name("sources.pdf")
    }

    fn paper_height(&self) -> f64 {
        if self.ring { 279.4 } else { 297.0 }
    }

    /// The page whose heading is this, counted from 0.
    fn page(&self, heading: &str) -> usize {
        let pages = pages_text(&self.pdf());
        let starts = |line: &str| line.trim_start().starts_with(heading);
        let has_heading = |text: &String| {
            text.lines()
                .filter(|line| !line.trim().is_empty())
                .take(6)
                .any(starts)
        };
        pages.iter().position(has_heading).unwrap()
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
        let pdf = case.sources();
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
        let all = alternatives(&case.pdf());
        let told: Vec<_> = all.iter().flatten().collect();
        assert_eq!(told.len(), all.len(), "{}", case.folder);
        assert!(told.iter().all(|alt| alt.len() > 20), "{told:#?}");
        let count = |part: &str| told.iter().filter(|alt| alt.contains(part)).count();
        // Every step but the black bar has a picture; the melts have two.
        let steps = [
            "A heater with both adapters.",
            "each with its print line",
            "A blade cuts the pipe",
            "takes off its outside edge",
            "Cloths wipe",
            "Arrow 1 pushes the fitting",
            "fully on the heater",
            "leave the heater straight",
            "goes straight into the fitting",
            "is held without moving",
            "A magnifying glass",
        ];
        for step in steps {
            assert_eq!(count(step), 1, "{}: {step}", case.folder);
        }
        assert_eq!(count("A pipe end as it leaves the heater"), 2);
        // Without a ring there is no print of one to miss.
        let rejected = if case.ring { 8 } else { 7 };
        assert_eq!(count("GOOD: "), 1, "{}", case.folder);
        assert_eq!(count("REJECT: "), rejected, "{}", case.folder);
        assert_eq!(count("DO NOT JOIN: "), 1, "{}", case.folder);
        let joint = alternatives(&case.sources());
        let joint: Vec<_> = joint
            .iter()
            .flatten()
            .filter(|alt| alt.contains("cut along its axis"))
            .collect();
        let depth = if case.ring {
            format!("{:.2} mm", case.depth_mm)
        } else {
            format!("{:.1} mm", case.depth_mm)
        };
        assert!(joint.len() == 1 && joint[0].contains(&depth), "{joint:?}");
    }
}

#[test]
fn the_steps_stand_on_one_page_in_their_order_and_each_caution_in_its_step() {
    for case in &CASES {
        let page = case.page("Steps");
        assert_eq!(case.page("Visual inspection"), page + 1, "{}", case.folder);
        let number = (page + 1).to_string();
        // In the order of reading aloud.
        let raw = ["-raw", "-f", &number, "-l", &number];
        let pdf = case.pdf();
        let mut arguments: Vec<_> = raw.iter().map(std::ffi::OsStr::new).collect();
        arguments.extend([pdf.as_os_str(), std::ffi::OsStr::new("-")]);
        let text = squeezed(&tool("pdftotext", &arguments));
        let at = |words: &str| {
            let words = squeezed(words);
            let found = text.match_indices(&words).map(|(at, _)| at);
            let found: Vec<_> = found.collect();
            assert_eq!(found.len(), 1, "{}: {words}: {text}", case.folder);
            found[0]
        };
        // The number of steps that only some procedures have, before the heating.
        let more = case.steps - 13;
        let orders = [
            (1, "Heat up to"),
            (2, "Read the print line, pipe"),
            (3, "Cut square."),
            (4, "Chamfer the outside edge."),
            (7 + more, "Fitting on male adapter FIRST"),
            (8 + more, "Both fully seated:"),
            (9 + more, "Snap both straight off."),
            (10 + more, "BAD MELT OR LATE?"),
            (11 + more, "Join at once:"),
            (12 + more, "Hold still"),
        ];
        let places: Vec<_> = orders.map(|(_, order)| at(order)).into();
        assert!(places.is_sorted(), "{}: {places:?}", case.folder);
        for (number, order) in orders {
            at(&format!("{number}{order}"));
        }
        // A caution stands between the order of its step and the next.
        let between = |caution: &str, order: &str, next: &str| {
            let place = at(caution);
            assert!(
                at(order) < place && place < at(next),
                "{}: {caution}",
                case.folder
            );
        };
        // The hazards are those of the safety panels: none of gas in water work.
        if case.folder.starts_with("TV") {
            assert!(!text.contains("Gasnear"), "{}", case.folder);
        } else {
            between("Gas near? No heater.", orders[0].1, orders[1].1);
        }
        between("Sharp: cut away", orders[2].1, orders[3].1);
        between("Flammable: keep it away", "Clean pipe end", orders[4].1);
        between("Never touch the melt.", orders[4].1, orders[5].1);
        // Water is no gas, and PP pipe has no such hazard in the tables.
        if ["AF", "HC"].iter().any(|at| case.folder.starts_with(at)) {
            between("Static precautions", orders[2].1, orders[3].1);
        } else {
            assert!(!text.contains("Staticprecautions"), "{}", case.folder);
        }
        let wait = if case.ring { "30 min" } else { " h" };
        assert!(text.contains(&squeezed(wait)), "{}", case.folder);
    }
}

/// A page in one bit, as a photocopier leaves it: whether each point is black, which it
/// is where it is darker than half way to white.
struct Photocopy {
    wide: usize,
    black: Vec<bool>,
}

impl Photocopy {
    const PER_MM: f64 = 300.0 / 25.4;

    /// A page of a PDF, counted from 0.
    fn of_page(pdf: &Path, page: usize) -> Self {
        let number = (page + 1).to_string();
        let arguments = ["-r", "300", "-gray", "-f", &number, "-l", &number];
        let mut command = std::process::Command::new("pdftoppm");
        let picture = command.args(arguments).arg(pdf).output().unwrap().stdout;
        // P5, width, height, the value of white, then a byte for each point.
        let mut at = 0;
        let mut fields = Vec::new();
        while fields.len() < 4 {
            let end = at
                + picture[at..]
                    .iter()
                    .position(u8::is_ascii_whitespace)
                    .unwrap();
            fields.push(String::from_utf8(picture[at..end].to_vec()).unwrap());
            at = end + 1;
        }
        assert_eq!(fields[0], "P5");
        let black = picture[at..].iter().map(|grey| *grey < 128);
        Self {
            wide: fields[1].parse().unwrap(),
            black: black.collect(),
        }
    }

    /// The side of the largest black square in a part of the page.
    fn black_square(&self, x: (f64, f64), y: (f64, f64)) -> f64 {
        let at = |mm: f64| (mm * Self::PER_MM).round() as usize;
        let mut above = vec![0_usize; at(x.1) + 2];
        let mut largest = 0;
        for row in at(y.0)..=at(y.1) {
            let (mut left, mut corner) = (0, 0);
            let columns = above.iter_mut().enumerate().take(at(x.1) + 1);
            for (column, above) in columns.skip(at(x.0)) {
                let up = *above;
                let here = if self.black[row * self.wide + column] {
                    1 + left.min(up).min(corner)
                } else {
                    0
                };
                corner = up;
                left = here;
                *above = here;
                largest = largest.max(here);
            }
        }
        largest as f64 / Self::PER_MM
    }

    /// Whether a point is black, in millimeters from the top left.
    fn is_black(&self, x: f64, y: f64) -> bool {
        let at = |mm: f64| (mm * Self::PER_MM).round() as usize;
        self.black[at(y) * self.wide + at(x)]
    }

    /// Whether a ring about a point is black all around and `thick` at least.
    fn has_ring(&self, (x, y): Point, within: f64, thick: f64) -> bool {
        let all_around = |radius: f64| {
            (0..360).all(|degrees| {
                let angle = f64::from(degrees).to_radians();
                self.is_black(x + radius * angle.cos(), y + radius * angle.sin())
            })
        };
        let mut run = 0.0;
        let step = 0.05;
        (0..(within / step) as usize).any(|n| {
            run = if all_around(n as f64 * step) {
                run + step
            } else {
                0.0
            };
            run >= thick
        })
    }

    /// Whether there is an upright black bar of a size in a part of the page.
    fn has_bar(&self, x: (f64, f64), y: (f64, f64), wide: f64, high: f64) -> bool {
        let step = 0.1;
        let count = |of: f64| (of / step) as usize;
        let column_has_run = |x: f64| {
            let mut run = 0.0;
            (0..count(y.1 - y.0)).any(|n| {
                run = if self.is_black(x, y.0 + n as f64 * step) {
                    run + step
                } else {
                    0.0
                };
                run >= high
            })
        };
        let mut run = 0.0;
        (0..count(x.1 - x.0)).any(|n| {
            run = if column_has_run(x.0 + n as f64 * step) {
                run + step
            } else {
                0.0
            };
            run >= wide
        })
    }
}

/// Where the mouths of fittings are looked into on the plate, row by row: the
/// largest circles of the page, millimeters from the top left.
fn mouths(page: &PageDrawing, height: f64) -> Vec<Point> {
    let size = |path: &Drawn| {
        let ((x, x2), (y, y2)) = (path.extent(|p| p.0), path.extent(|p| p.1));
        (x2 - x, y2 - y)
    };
    let is_circle = |path: &&Drawn| {
        let (wide, high) = size(path);
        path.points.len() == 12 && near(wide, high) && !path.dashed
    };
    let circles: Vec<_> = page.paths.iter().filter(is_circle).collect();
    let largest = circles.iter().map(|path| size(path).0).fold(0.0, f64::max);
    let outer = circles
        .into_iter()
        .filter(|path| near(size(path).0, largest));
    let mut centers: Vec<_> = outer
        .map(|path| {
            let ((x, x2), (y, y2)) = (path.extent(|p| p.0), path.extent(|p| p.1));
            ((x + x2) / 2.0, height - (y + y2) / 2.0)
        })
        .collect();
    centers.sort_by(|a, b| (a.1.round(), a.0).partial_cmp(&(b.1.round(), b.0)).unwrap());
    centers
}

/// A cold joint held beside the plate must not pass for the good one, and the
/// plate must say so after it has been through a photocopier.
#[test]
fn only_a_full_ring_of_melt_is_drawn_good_and_a_gap_is_refused() {
    for case in &CASES {
        let pdf = case.pdf();
        let pages = read(&pdf);
        let height = case.paper_height();
        let page = case.page("Visual inspection");
        let mouths = mouths(&pages[page], height);
        // The last case is drawn before joining, without a fitting.
        assert_eq!(
            mouths.len(),
            if case.ring { 9 } else { 8 },
            "{}",
            case.folder
        );
        let copy = Photocopy::of_page(&pdf, page);
        let full = |at: usize| copy.has_ring(mouths[at], 8.2, 1.0);
        // From outside: the bead of the lower half is 7.5 mm high where it is whole.
        let bead = |at: usize| {
            let (x, y) = mouths[at];
            copy.has_bar((x - 62.0, x - 30.0), (y - 9.5, y + 9.5), 0.5, 6.0)
        };
        let (good, gap) = (0, 1);
        assert!(full(good) && bead(good), "{}: the good joint", case.folder);
        assert!(!full(gap) && !bead(gap), "{}: the gap", case.folder);
        // A folded end and dirt show their bead; what is wrong is beside it.
        let folded = if case.ring { 7 } else { 6 };
        assert!(
            full(folded) && bead(folded),
            "{}: the folded end",
            case.folder
        );
        assert!(!full(folded + 1), "{}: specks in the melt", case.folder);
        let one_sided = folded - 2;
        assert!(!full(one_sided), "{}: melt on one side", case.folder);
    }
}

/// Where melt is, a photocopy is solid black; tools and ring, which are grey, are not.
#[test]
fn a_photocopy_tells_melt_from_tools_and_ring() {
    for case in &CASES {
        let pdf = case.pdf();
        let page = case.page("Steps");
        let drawing = &read(&pdf)[page];
        let height = case.paper_height();
        let copy = Photocopy::of_page(&pdf, page);
        // The frames of the pictures, in the order of the steps.
        let mut frames: Vec<_> = drawing
            .paths
            .iter()
            .filter(|path| path.stroked && path.points.len() == 4)
            .map(|path| (path.extent(|p| p.0), path.extent(|p| p.1)))
            .filter(|(x, y)| near(x.1 - x.0, 29.8) && near(y.1 - y.0, 20.8))
            .map(|(x, y)| (x, (height - y.1, height - y.0)))
            .collect();
        frames.sort_by(|a, b| {
            let place = |frame: &((f64, f64), (f64, f64))| (frame.1.0.round(), frame.0.0);
            place(a).partial_cmp(&place(b)).unwrap()
        });
        assert_eq!(frames.len(), case.steps - 1, "{}", case.folder);
        let more = case.steps - 13;
        for (step, (x, y)) in (1..).zip(&frames) {
            // The black bar has no picture.
            let step = if step >= 10 + more { step + 1 } else { step };
            let black = copy.black_square(*x, *y);
            // Taken off the heater, and on the way into the fitting.
            if [9, 11].map(|melt| melt + more).contains(&step) {
                assert!(black > 2.2, "{}: step {step}: {black}", case.folder);
            } else {
                assert!(black < 2.0, "{}: step {step}: {black}", case.folder);
            }
        }
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

/// Pictures stand beside their words, so none has a number to refer to.
#[test]
fn no_text_sends_the_reader_to_a_figure() {
    for case in &CASES {
        let text = pages_text(&case.pdf()).join(" ");
        assert!(!text.contains("Figure "), "{}", case.folder);
    }
}
