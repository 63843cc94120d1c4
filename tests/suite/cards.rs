//! The pocket cards, measured in the PDF: front and back on each other however
//! they are printed, type no smaller than it may be, nothing read near an edge.

pub mod pieces;
mod whole;

use std::path::{Path, PathBuf};

use tempfile::TempDir;

use self::pieces::{APART, Rect, faces, pieces, slots, turned};
use crate::drawing::{Drawn, read};
use crate::lettering::{Run, heights, runs, words};
use crate::support::{
    AS_OF, GAS, GEOTHERMAL, coldring, gas_alone, pages_text, read as read_file, run,
};

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
const SAFE: f64 = 3.0;
/// From the trim to what is read, at the edge of the slot.
const SLOT_ZONE: f64 = 9.0;

/// The text of a demo spec that needs no other file.
fn text_of(spec: &str) -> String {
    if spec == GAS {
        return gas_alone();
    }
    read_file(spec)
}

fn spec_with(spec: &str, card: &str) -> String {
    text_of(spec).replace("documents:\n", &format!("documents:\n  card: {card}\n"))
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
    // A card that is withheld leaves its reason in the manifest.
    let card = made.map(|folder| folder.join("card.pdf"));
    (card.filter(|card| card.is_file()), ran.err + &ran.out)
}

fn card(folder: &TempDir, text: &str, arguments: &[&str]) -> PathBuf {
    built(folder, text, arguments).0.unwrap()
}

/// The card on a trim; none where a size or all steps do not fit it, which is then
/// said with the trim to choose. No card has a part of the steps.
fn card_if_it_fits(folder: &TempDir, text: &str, arguments: &[&str]) -> Option<PathBuf> {
    let (made, said) = built(folder, text, arguments);
    if made.is_none() {
        assert!(arguments.contains(&"id-1"), "{said}");
        assert!(said.contains("choose id-2"), "{said}");
    }
    made
}

fn assert_same(fronts: &[Rect], backs: &[Rect], place: &str) {
    assert!(!fronts.is_empty(), "{place}");
    assert_eq!(fronts.len(), backs.len(), "{place}");
    for front in fronts {
        let meets = backs.iter().any(|back| back.near(front));
        assert!(meets, "{place}: {front:?} meets none of {backs:?}");
    }
}

/// Every way of printing, with the slot that shows which edge is which.
fn every_way(check: impl Fn(&Path, &str, (f64, f64), (&str, f64, f64), &str)) {
    let text = spec_with(GAS, "{lanyard: yes}");
    for flip in FLIPS {
        for (paper, width, height) in PAPERS {
            for trim in TRIMS {
                let folder = tempfile::tempdir().unwrap();
                let arguments = ["--flip", flip, "--paper", paper, "--card-trim", trim.0];
                let Some(pdf) = card_if_it_fits(&folder, &text, &arguments) else {
                    continue;
                };
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
                for word in &words[at] {
                    let (x, y) = word.middle();
                    if face.holds(x, y) {
                        let inside =
                            word.left >= face.x + left && word.right <= face.x + face.width - right;
                        assert!(inside, "{place}: {word:?} in {face:?}");
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

/// The words of each page that have a digit, with the size that they are set in.
fn numbers(pdf: &Path) -> Vec<Vec<(String, f64, f64, f64)>> {
    // From the baseline to the middle of the box that `pdftotext` draws, in ems.
    const MIDDLE: f64 = 0.388;
    let type_set = runs(pdf);
    let pages = words(pdf).into_iter().zip(&type_set);
    let sized = pages.map(|(words, runs)| {
        let numbers = words
            .into_iter()
            .filter(|word| word.text.contains(|c: char| c.is_ascii_digit()));
        let sized = numbers.map(|word| {
            let (x0, y) = (word.left, word.middle().1);
            let off = |run: &Run| {
                let rise = MIDDLE * run.size * 25.4 / 72.0;
                (run.y + if run.turned { -rise } else { rise } - y).abs()
            };
            let of = runs
                .iter()
                .filter(|run| off(run) < 0.3 && run.x <= x0 + 0.2)
                .max_by(|a, b| a.x.total_cmp(&b.x))
                .unwrap_or_else(|| panic!("no run sets {word:?}"));
            (word.text, of.size, x0, y)
        });
        sized.collect()
    });
    sized.collect()
}

/// The digest, the day before it and the version of the tables, which nobody works
/// by.
fn is_digest(word: &str) -> bool {
    let hexadecimal = word.len() == 16 && word.chars().all(|c| c.is_ascii_hexdigit());
    let version = coldring::published::library().version();
    hexadecimal || word.contains("2026-") || word == version
}

/// Heating times 2.5 mm, whatever the trim; anything else that has a number 1.5;
/// words alone 1.2 mm, more than 6 points.
#[test]
fn type_is_as_high_as_the_print_table_asks_and_the_notes_say() {
    let (lower, _) = heights(notosans::REGULAR_TTF);
    let millimeters = |size: f64| size * lower * 25.4 / 72.0;
    for (spec, times) in [
        (GEOTHERMAL, &["8", "15", "18", "20", "24"][..]),
        (GAS, &["10", "12", "16", "6"]),
        (WATER, &["5", "7", "8", "12", "18", "24", "40"]),
        (HOT_WATER, &["6", "7", "8", "12", "18", "24"]),
    ] {
        for trim in ["smallest", "id-1", "id-2", "id-3"] {
            let folder = tempfile::tempdir().unwrap();
            let arguments = ["--card-trim", trim, "--paper", "letter"];
            let Some(pdf) = card_if_it_fits(&folder, &text_of(spec), &arguments) else {
                continue;
            };
            let place = format!("{spec}, {trim}");
            let all = runs(&pdf).into_iter().flatten();
            let (least, most) = all
                .map(|run| run.size)
                .fold((f64::MAX, f64::MIN), |(a, b), size| {
                    (a.min(size), b.max(size))
                });
            assert!(
                least >= 6.0 && millimeters(least) >= 1.2,
                "{place}: {least} pt"
            );
            let pages = numbers(&pdf);
            for time in times {
                let large = pages[0]
                    .iter()
                    .filter(|(word, size, ..)| word == time && millimeters(*size) >= 2.5);
                assert!(large.count() > 0, "{place}: {time}");
            }
            // Cards are at least this far from the notes above and below them.
            for (word, size, _, y) in pages.iter().flatten() {
                if !is_digest(word) && (12.0..267.4).contains(y) {
                    assert!(millimeters(*size) >= 1.5, "{place}: {word} in {size} pt");
                }
            }
            let notes = pages_text(&pdf)[0]
                .split_whitespace()
                .collect::<Vec<_>>()
                .join(" ");
            let heating = stated(&notes, "heating times ");
            assert!(heating >= 2.5, "{notes}");
            // Of several cards, the smallest is stated.
            assert!(
                heating <= millimeters(most) + 0.051,
                "{place}: {most} pt, {notes}"
            );
        }
    }
}

/// With or without a cold-weather rule, the smallest card holds five sizes.
#[test]
fn five_sizes_fit_the_smallest_card() {
    for (spec, language) in [
        (GEOTHERMAL, "en"),
        (GAS, "en"),
        (GEOTHERMAL, "es"),
        (GAS, "es"),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let pdf = card(&folder, &text_of(spec), &["--language", language]);
        let cut = pieces(&read(&pdf)[0]);
        assert!(cut.len() > 4, "{spec}");
        for piece in cut {
            assert!((piece.width - 85.60).abs() < 0.02, "{spec}: {piece:?}");
            assert!((piece.height - 53.98).abs() < 0.02, "{spec}: {piece:?}");
        }
        let front = pages_text(&pdf).remove(0);
        assert!(
            !front.contains("Card 1") && !front.contains("Tarjeta 1"),
            "{spec}"
        );
    }
}

#[test]
fn a_larger_card_has_larger_steps() {
    let (lower, _) = heights(notosans::REGULAR_TTF);
    let steps = |trim: &str| {
        let folder = tempfile::tempdir().unwrap();
        let pdf = card(&folder, &read_file(GEOTHERMAL), &["--card-trim", trim]);
        let mut back: Vec<f64> = runs(&pdf)[1].iter().map(|run| run.size).collect();
        back.sort_by(f64::total_cmp);
        back[back.len() / 2] * lower * 25.4 / 72.0
    };
    let (small, large) = (steps("id-1"), steps("id-3"));
    assert!(small >= 1.5, "{small}");
    assert!(large > 1.9, "{large}");
}

/// The demo with a sixth size, which is one more than the smallest card holds.
pub fn six_sizes() -> String {
    let text = read_file(GEOTHERMAL).replace("3/4 IPS to 2 IPS", "1/2 IPS to 2 IPS");
    let text = text.replace("  adapters:\n", "  adapters:\n    1/2 IPS: {}\n");
    let text = text.replace(
        "    3/4 IPS: {insert_in",
        "    1/2 IPS: {}\n    3/4 IPS: {insert_in",
    );
    let gauge = "    1/2 IPS: {depth: 0.55 in, id: DG-0, source: \"caliper, 2026-10-28\"}\n";
    text.replace("  depth_gauges:\n", &format!("  depth_gauges:\n{gauge}"))
        .replace(
            "cycles:\n",
            "cycles:\n  rows: [{size: 1/2 IPS, heat: 7 s to 9 s, hold: 30 s, source: HC-T-1}]\n",
        )
}

#[test]
fn many_sizes_go_on_to_the_next_card() {
    let folder = tempfile::tempdir().unwrap();
    let pdf = card(&folder, &six_sizes(), &["--card-trim", "id-1"]);
    let front = pages_text(&pdf).remove(0);
    let cards = (2..9)
        .find(|cards| front.contains(&format!("Card 1 of {cards}")))
        .unwrap();
    for n in 1..=cards {
        assert!(front.contains(&format!("Card {n} of {cards}")), "{front}");
    }
    for size in ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2"] {
        assert!(
            front.split_whitespace().any(|word| word == size),
            "{size}: {front}"
        );
    }
}

/// Where the walls differ, each row says those that its times are for.
#[test]
fn a_row_has_its_walls_if_they_are_not_those_of_all() {
    let folder = tempfile::tempdir().unwrap();
    let front = pages_text(&card(&folder, &read_file(WATER), &[])).remove(0);
    for size in ["20", "25", "32", "40", "50", "63", "90"]
        .map(|size| format!("{size} SDR 11"))
        .iter()
        .chain([&"90 SDR 17".to_owned()])
    {
        let words = front.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(size.as_str()), "{size}: {front}");
    }
    // Those of a system stand at the head.
    let folder = tempfile::tempdir().unwrap();
    let front = pages_text(&card(&folder, &text_of(GAS), &[])).remove(0);
    assert!(front.contains("IPS DR 11; CTS 0.090 in"), "{front}");
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
fn a_size_without_depth_shows_no_number_that_could_be_worked_by() {
    let folder = tempfile::tempdir().unwrap();
    let text = read_file(GEOTHERMAL).replace(
        "1 IPS: {depth: 0.71 in, id: DG-2, source: \"caliper, gauge DG-2, 2026-10-28\"}",
        "1 IPS: {depth: to be measured, id: DG-2}",
    );
    let pages = pages_text(&card(&folder, &text, &[]));
    let row = pages[0]
        .lines()
        .find(|line| line.contains("NO JOINT"))
        .unwrap();
    for number in ["15", "17", "0.71"] {
        assert!(!row.split_whitespace().any(|word| word == number), "{row}");
    }
    assert!(row.contains("until its depth is measured"), "{row}");
    assert!(!pages[1].contains("1.315"), "{}", pages[1]);
}

#[test]
fn sizes_are_printed_as_on_pipe() {
    let folder = tempfile::tempdir().unwrap();
    let pages = pages_text(&card(&folder, &read_file(GEOTHERMAL), &[]));
    for size in ["3/4", "1-1/4", "1-1/2"] {
        assert!(
            pages[0].split_whitespace().any(|word| word == size),
            "{size}: {}",
            pages[0]
        );
    }
    for page in pages {
        assert!(!page.contains(['¼', '½', '¾']), "{page}");
    }
}

/// Modules of a signed code are never finer than 0.4 mm; the card grows instead.
#[test]
fn a_code_has_modules_that_a_phone_reads() {
    let folder = tempfile::tempdir().unwrap();
    let key = crate::wallet::key(&folder, 0o600);
    for spec in [GEOTHERMAL, GAS] {
        let pdf = card(&folder, &text_of(spec), &["--key", &key]);
        let codes: Vec<(f64, i32)> = crate::drawing::images(&pdf).remove(1);
        assert!(!codes.is_empty(), "{spec}");
        for (width, pixels) in codes {
            assert!(
                width / f64::from(pixels) >= 0.4 - 1e-3,
                "{spec}: {width} mm, {pixels}"
            );
        }
    }
}
