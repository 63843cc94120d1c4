//! The pocket cards, measured in the PDF: front and back on each other however
//! they are printed, type no smaller than it may be, nothing read near an edge.

use std::path::{Path, PathBuf};

use tempfile::TempDir;

use crate::drawing::{Drawn, PageDrawing, read};
use crate::lettering::{Run, heights, runs};
use crate::support::{AS_OF, GAS, GEOTHERMAL, coldring, pages_text, read as read_file, run};

const WATER: &str = "specs/tern-valley-water.yaml";
const HOT_WATER: &str = "specs/saddle-works-hot-water.yaml";

const FLIPS: [&str; 3] = ["long", "short", "fold"];
const PAPERS: [(&str, f64, f64); 2] = [("letter", 215.9, 279.4), ("a4", 210.0, 297.0)];
/// ISO/IEC 7810.
const TRIMS: [(&str, f64, f64); 3] = [
    ("id-1", 85.60, 53.98),
    ("id-2", 105.0, 74.0),
    ("id-3", 125.0, 88.0),
];
/// How far front and back may be apart, in millimetres.
const APART: f64 = 0.1;
/// Length of a cut mark.
const MARK: f64 = 2.5;
const SAFE: f64 = 3.0;
/// From the trim to what is read, at the edge of the slot.
const SLOT_ZONE: f64 = 9.0;

/// A cut piece: left, bottom, width and height.
#[derive(Debug, Clone, Copy)]
struct Rect {
    x: f64,
    y: f64,
    width: f64,
    height: f64,
}

impl Rect {
    fn near(&self, other: &Rect) -> bool {
        let pairs = [
            (self.x, other.x),
            (self.y, other.y),
            (self.width, other.width),
            (self.height, other.height),
        ];
        pairs.iter().all(|(a, b)| (a - b).abs() <= APART)
    }

    fn holds(&self, x: f64, y: f64) -> bool {
        (self.x..self.x + self.width).contains(&x) && (self.y..self.y + self.height).contains(&y)
    }
}

fn spec_with(spec: &str, card: &str) -> String {
    read_file(spec).replace("documents:\n", &format!("documents:\n  card: {card}\n"))
}

/// Builds the card of a spec's text; what the program said comes with it.
fn built(folder: &TempDir, text: &str, arguments: &[&str]) -> (Option<PathBuf>, String) {
    let spec = folder.path().join("spec.yaml");
    std::fs::write(&spec, text).unwrap();
    let out = folder.path().join("out");
    let ran = run(coldring()
        .args(["build", "--as-of", AS_OF, "--only", "card", "--out"])
        .args([out.as_os_str(), spec.as_os_str()])
        .args(arguments));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let made = std::fs::read_dir(&out).ok().and_then(|entries| {
        let folders = entries.map(|entry| entry.unwrap().path());
        folders.into_iter().find(|path| path.is_dir())
    });
    (
        made.map(|folder| folder.join("card.pdf")),
        ran.err + &ran.out,
    )
}

fn card(folder: &TempDir, text: &str, arguments: &[&str]) -> PathBuf {
    built(folder, text, arguments).0.unwrap()
}

/// The pieces that the cut marks of a page mark out.
fn pieces(page: &PageDrawing) -> Vec<Rect> {
    let marks: Vec<_> = page
        .paths
        .iter()
        .filter_map(Drawn::segment)
        .filter(|(a, b)| ((a.0 - b.0).hypot(a.1 - b.1) - MARK).abs() < 0.01)
        .collect();
    // Each piece draws its eight marks together, a level and an upright one to a corner.
    let pieces = marks.chunks(8).map(|marks| {
        let level = marks.iter().filter(|(a, b)| (a.1 - b.1).abs() < 0.01);
        let upright = marks.iter().filter(|(a, b)| (a.0 - b.0).abs() < 0.01);
        let span = |values: Vec<f64>| {
            let values = values.into_iter();
            values.fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)))
        };
        let (bottom, top) = span(level.map(|(a, _)| a.1).collect());
        let (left, right) = span(upright.map(|(a, _)| a.0).collect());
        Rect {
            x: left,
            y: bottom,
            width: right - left,
            height: top - bottom,
        }
    });
    pieces.collect()
}

/// The outlines of the lanyard slots: the dashed figures that are no line.
fn slots(page: &PageDrawing) -> Vec<Rect> {
    let outlines = page.paths.iter();
    outlines
        .filter(|path| path.dashed && path.points.len() > 4)
        .map(|path| {
            let (x, y) = (path.extent(|p| p.0), path.extent(|p| p.1));
            Rect {
                x: x.0,
                y: y.0,
                width: x.1 - x.0,
                height: y.1 - y.0,
            }
        })
        .collect()
}

/// What a rectangle of the other side covers, seen from this one.
fn turned(rect: &Rect, flip: &str, width: f64, height: f64) -> Rect {
    match flip {
        "long" => Rect {
            x: width - rect.x - rect.width,
            ..*rect
        },
        _ => Rect {
            y: height - rect.y - rect.height,
            ..*rect
        },
    }
}

fn assert_same(fronts: &[Rect], backs: &[Rect], place: &str) {
    assert!(!fronts.is_empty(), "{place}");
    assert_eq!(fronts.len(), backs.len(), "{place}");
    for front in fronts {
        let meets = backs.iter().any(|back| back.near(front));
        assert!(meets, "{place}: {front:?} meets none of {backs:?}");
    }
}

/// The faces of a side: each cut piece, or its halves where it is folded.
fn faces(page: &PageDrawing, flip: &str, back: bool) -> Vec<(Rect, bool)> {
    let pieces = pieces(page).into_iter();
    if flip != "fold" {
        return pieces.map(|piece| (piece, back)).collect();
    }
    let halves = pieces.flat_map(|piece| {
        let width = piece.width / 2.0;
        let right = Rect {
            x: piece.x + width,
            width,
            ..piece
        };
        [(Rect { width, ..piece }, false), (right, true)]
    });
    halves.collect()
}

/// Every way of printing, with the slot that shows which edge is which.
fn every_way(check: impl Fn(&Path, &str, (f64, f64), (&str, f64, f64), &str)) {
    let text = spec_with(GAS, "{lanyard: yes}");
    for flip in FLIPS {
        for (paper, width, height) in PAPERS {
            for trim in TRIMS {
                let folder = tempfile::tempdir().unwrap();
                let arguments = ["--flip", flip, "--paper", paper, "--card-trim", trim.0];
                let pdf = card(&folder, &text, &arguments);
                let place = format!("{flip}, {paper}, {}", trim.0);
                check(&pdf, flip, (width, height), trim, &place);
            }
        }
    }
}

#[test]
fn fronts_and_backs_lie_on_each_other_however_they_are_printed() {
    every_way(|pdf, flip, (width, height), (_, wide, high), place| {
        let pages = read(pdf);
        if flip == "fold" {
            for page in &pages {
                assert!(!pieces(page).is_empty(), "{place}");
                for piece in pieces(page) {
                    assert!(
                        (piece.width - 2.0 * wide).abs() <= APART,
                        "{place}: {piece:?}"
                    );
                    assert!((piece.height - high).abs() <= APART, "{place}: {piece:?}");
                    // The fold line halves the piece, and the slots mirror each other in it.
                    let fold = piece.x + wide;
                    let lines = page.paths.iter().filter(|path| path.dashed);
                    let halves = lines.filter_map(Drawn::segment).any(|(a, b)| {
                        (a.0 - fold).abs() <= APART
                            && (b.0 - fold).abs() <= APART
                            && piece.holds(piece.x, (a.1 + b.1) / 2.0)
                    });
                    assert!(halves, "{place}: no fold at {fold}");
                    let of_piece = |slot: &Rect| piece.holds(slot.x, slot.y);
                    let slots: Vec<_> = slots(page).into_iter().filter(of_piece).collect();
                    let mirrored = |slot: &Rect| Rect {
                        x: 2.0 * fold - slot.x - slot.width,
                        ..*slot
                    };
                    let backs: Vec<_> = slots.iter().map(mirrored).collect();
                    assert_eq!(slots.len(), 2, "{place}");
                    assert_same(&slots, &backs, place);
                }
            }
            return;
        }
        assert!(pages.len().is_multiple_of(2), "{place}");
        for sheet in pages.chunks(2) {
            for of in [pieces, slots] {
                let backs = of(&sheet[1]);
                let backs: Vec<_> = backs
                    .iter()
                    .map(|back| turned(back, flip, width, height))
                    .collect();
                assert_same(&of(&sheet[0]), &backs, place);
            }
            for piece in pieces(&sheet[0]) {
                assert!((piece.width - wide).abs() <= APART, "{place}: {piece:?}");
                assert!((piece.height - high).abs() <= APART, "{place}: {piece:?}");
            }
        }
    });
}

/// Where the letters of a face begin, from its own lower left and its own way up.
fn letters(page: &[Run], face: &Rect) -> Vec<(f64, f64, f64)> {
    let on_face = page.iter().filter(|run| face.holds(run.x, run.y));
    let mut letters: Vec<_> = on_face
        .map(|run| {
            let (x, y) = (run.x - face.x, run.y - face.y);
            if run.turned {
                (face.width - x, face.height - y, run.size)
            } else {
                (x, y, run.size)
            }
        })
        .collect();
    letters.sort_by(|a, b| a.partial_cmp(b).unwrap());
    letters
}

#[test]
fn a_card_is_the_same_however_it_is_printed() {
    let text = read_file(GEOTHERMAL);
    for (trim, ..) in TRIMS {
        let ways: Vec<_> = FLIPS
            .iter()
            .map(|flip| {
                let folder = tempfile::tempdir().unwrap();
                let pdf = card(&folder, &text, &["--flip", flip, "--card-trim", trim]);
                let (pages, type_set) = (read(&pdf), runs(&pdf));
                let sides: Vec<_> = [false, true]
                    .into_iter()
                    .map(|back| {
                        let at = usize::from(back && *flip != "fold");
                        let faces = faces(&pages[at], flip, back);
                        let (face, _) = faces.iter().find(|(_, is_back)| *is_back == back).unwrap();
                        letters(&type_set[at], face)
                    })
                    .collect();
                sides
            })
            .collect();
        for way in &ways[1..] {
            for (side, first) in way.iter().zip(&ways[0]) {
                assert!(first.len() > 10, "{trim}");
                assert_eq!(side.len(), first.len(), "{trim}");
                let same = |a: f64, b: f64| (a - b).abs() <= APART;
                for (a, b) in side.iter().zip(first) {
                    let near = same(a.0, b.0) && same(a.1, b.1) && same(a.2, b.2);
                    assert!(near, "{trim}: {a:?} {b:?}");
                }
            }
        }
    }
}

/// The boxes of the words on each page, as `pdftotext` finds them: least and
/// greatest distance from the left, and the middle from the bottom.
fn words(pdf: &Path) -> Vec<Vec<(f64, f64, f64, String)>> {
    let text = crate::support::tool(
        "pdftotext",
        &["-bbox".as_ref(), pdf.as_os_str(), "-".as_ref()],
    );
    let number = |line: &str, name: &str| -> f64 {
        let rest = line.split_once(&format!("{name}=\"")).unwrap().1;
        rest.split_once('"').unwrap().0.parse::<f64>().unwrap() * 25.4 / 72.0
    };
    let mut pages = Vec::new();
    let mut height = 0.0;
    for line in text.lines() {
        if line.contains("<page ") {
            height = number(line, "height");
            pages.push(Vec::new());
        } else if line.contains("<word ") {
            let middle = (number(line, "yMin") + number(line, "yMax")) / 2.0;
            let word = line.split_once('>').unwrap().1.split_once('<').unwrap().0;
            let found = (
                number(line, "xMin"),
                number(line, "xMax"),
                height - middle,
                word.to_owned(),
            );
            pages.last_mut().unwrap().push(found);
        }
    }
    pages
}

#[test]
fn nothing_is_read_near_the_trim_or_the_slot() {
    every_way(|pdf, flip, _, _, place| {
        let (_, capital) = heights(notosans::BOLD_TTF);
        let (pages, type_set, words) = (read(pdf), runs(pdf), words(pdf));
        let mut seen = 0;
        for (at, page) in pages.iter().enumerate() {
            for (face, back) in faces(page, flip, at % 2 == 1) {
                // Short-edge backs stand on their heads, and their slot with them.
                let slot_right = back != (flip == "short" && back);
                let (left, right) = if slot_right {
                    (SAFE, SLOT_ZONE)
                } else {
                    (SLOT_ZONE, SAFE)
                };
                for (x0, x1, y, word) in &words[at] {
                    if face.holds((x0 + x1) / 2.0, *y) {
                        let inside = *x0 >= face.x + left && *x1 <= face.x + face.width - right;
                        assert!(inside, "{place}: {word} from {x0} to {x1} in {face:?}");
                        seen += 1;
                    }
                }
                for run in type_set[at].iter().filter(|run| face.holds(run.x, run.y)) {
                    let rise = run.size * capital * 25.4 / 72.0;
                    let (low, high) = if run.turned {
                        (run.y - rise, run.y)
                    } else {
                        (run.y, run.y + rise)
                    };
                    assert!(low >= face.y + SAFE, "{place}: {run:?} in {face:?}");
                    assert!(
                        high <= face.y + face.height - SAFE,
                        "{place}: {run:?} in {face:?}"
                    );
                }
            }
        }
        assert!(seen > 100, "{place}: {seen} words");
    });
}

/// The height that a note states before `unit`, after `words`.
fn stated(notes: &str, words: &str) -> f64 {
    let rest = notes
        .split_once(words)
        .unwrap_or_else(|| panic!("{notes}"))
        .1;
    rest.split_once(" mm").unwrap().0.trim().parse().unwrap()
}

#[test]
fn type_is_as_high_as_the_print_table_asks_and_the_notes_say() {
    let (lower, _) = heights(notosans::REGULAR_TTF);
    let millimetres = |size: f64| size * lower * 25.4 / 72.0;
    for spec in [GEOTHERMAL, GAS, WATER, HOT_WATER] {
        for (trim, ..) in TRIMS {
            let folder = tempfile::tempdir().unwrap();
            let pdf = card(&folder, &read_file(spec), &["--card-trim", trim]);
            let place = format!("{spec}, {trim}");
            let sizes: Vec<f64> = runs(&pdf)
                .into_iter()
                .flatten()
                .map(|run| run.size)
                .collect();
            let least = sizes.iter().copied().fold(f64::MAX, f64::min);
            let most = sizes.iter().copied().fold(f64::MIN, f64::max);
            // Fine print 1.2 mm; heating times above the 1.5 mm of other numbers.
            assert!(millimetres(least) >= 1.2, "{place}: {least} pt");
            assert!(millimetres(most) > 1.5, "{place}: {most} pt");
            let notes = pages_text(&pdf)[0]
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ");
            let heating = stated(&notes, "heating times ");
            assert!(
                (millimetres(most) - heating).abs() <= 0.051,
                "{place}: {most} pt, {notes}"
            );
            assert!(
                !notes.contains("2.5 mm is asked") || heating < 2.5,
                "{notes}"
            );
            assert!(
                heating >= 2.5 || notes.contains("2.5 mm is asked"),
                "{notes}"
            );
        }
    }
}

#[test]
fn numbers_and_steps_are_never_fine_print() {
    let (lower, _) = heights(notosans::REGULAR_TTF);
    for spec in [GEOTHERMAL, GAS, WATER, HOT_WATER] {
        let folder = tempfile::tempdir().unwrap();
        let pdf = card(&folder, &read_file(spec), &["--card-trim", "id-1"]);
        let back = runs(&pdf).remove(1);
        let body = back
            .iter()
            .filter(|run| run.size * lower * 25.4 / 72.0 >= 1.5);
        // Of a back, only the deference and the version of the tables are smaller.
        assert!(body.count() * 10 > back.len() * 6, "{spec}");
    }
}

#[test]
fn many_sizes_go_on_to_the_next_card() {
    let folder = tempfile::tempdir().unwrap();
    let pdf = card(&folder, &read_file(WATER), &["--card-trim", "id-1"]);
    let front = pages_text(&pdf).remove(0);
    let cards = (2..9)
        .find(|cards| front.contains(&format!("Card 1 of {cards}")))
        .unwrap();
    for n in 1..=cards {
        assert!(front.contains(&format!("Card {n} of {cards}")), "{front}");
    }
    for size in ["20", "25", "32", "40", "50", "63", "90 SDR 11", "90 SDR 17"] {
        let row = |line: &str| line.split("  ").any(|part| part.trim() == size);
        assert!(front.lines().any(row), "{size}: {front}");
    }
}

#[test]
fn as_many_cards_are_printed_as_asked() {
    for (copies, sheets) in [(1, 1), (8, 1), (9, 2), (17, 3)] {
        let folder = tempfile::tempdir().unwrap();
        let text = spec_with(GEOTHERMAL, &format!("{{trim: id-1, copies: {copies}}}"));
        let pages = read(&card(&folder, &text, &[]));
        assert_eq!(pages.len(), 2 * sheets, "{copies}");
        let printed: usize = pages.iter().map(|page| pieces(page).len()).sum();
        assert_eq!(printed, 2 * copies);
    }
}

#[test]
fn more_cards_than_a_file_should_hold_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let spec = folder.path().join("spec.yaml");
    std::fs::write(&spec, spec_with(GAS, "{copies: 5000}")).unwrap();
    let ran = run(coldring().args(["check", "--as-of", AS_OF]).arg(&spec));
    assert_eq!(ran.code, Some(1));
    assert!(ran.err.contains("5000 cards"), "{}", ran.err);
}

#[test]
fn a_size_without_depth_shows_no_figure_that_could_be_worked_by() {
    let folder = tempfile::tempdir().unwrap();
    let text = read_file(GEOTHERMAL).replace(
        "1 IPS: {depth: 0.71 in, id: DG-2, source: \"caliper, gauge DG-2, 2026-10-28\"}",
        "1 IPS: {depth: to be measured, id: DG-2}",
    );
    let front = pages_text(&card(&folder, &text, &[])).remove(0);
    let row = front
        .lines()
        .find(|line| line.contains("no joint"))
        .unwrap();
    for figure in ["15", "17", "1.315"] {
        assert!(!row.split_whitespace().any(|word| word == figure), "{row}");
    }
    assert!(row.contains("depth not measured"), "{row}");
}

#[test]
fn the_resin_is_in_words_and_sizes_have_true_fractions() {
    for (spec, words) in [
        (GEOTHERMAL, "PE4710 – high density"),
        (GAS, "PE2708 – medium density, fuel gas"),
        (WATER, "PE100 – polyethylene, water"),
        (HOT_WATER, "PP-R – polypropylene"),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let front = pages_text(&card(&folder, &read_file(spec), &[])).remove(0);
        assert!(front.contains(words), "{words}: {front}");
        assert!(!front.contains("1-1/4"), "{front}");
    }
    let folder = tempfile::tempdir().unwrap();
    let front = pages_text(&card(&folder, &read_file(GEOTHERMAL), &[])).remove(0);
    for size in ["¾", "1¼", "1½"] {
        assert!(
            front.split_whitespace().any(|word| word == size),
            "{size}: {front}"
        );
    }
}

#[test]
fn a_trim_that_holds_no_readable_card_is_withheld_with_what_to_choose() {
    let folder = tempfile::tempdir().unwrap();
    // Nothing but the lines common to all sizes and the longest of numbers.
    let text = spec_with(GAS, "{trim: id-1, lanyard: yes}")
        .replace(
            "number: AF-JP-12",
            "number: AF-JP-12-AND-A-LONG-NUMBER-WITH-A-TAIL-1",
        )
        .replace("value: 5 min", "value: 12345.5 min")
        .replace("value: 30 min", "value: 23456.5 min");
    let (made, said) = built(&folder, &text, &[]);
    assert!(made.is_none(), "{said}");
    assert!(
        said.contains("no card.pdf") && said.contains("choose id-2"),
        "{said}"
    );
}
