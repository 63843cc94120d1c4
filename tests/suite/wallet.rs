//! Wallet cards: who gets one and who does not, what stands on it, how large it
//! is, and where nobody's name may be.

mod code;
mod privacy;
mod refused;
mod revision;

pub use code::key;

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use coldring::core::source::Source;
use coldring::papers::compile::{WalletOptions, WalletOrder, wallet};
use coldring::people::fusers::{Choice, decode_csv, evaluate};
use coldring::published::library;
use serde_json::Value;
use tempfile::TempDir;

use crate::cards::pieces::{pieces, turned};
use crate::drawing;
use crate::support::{
    AS_OF, GAS, Run, as_of, coldring_with, document, file, gas_alone, list, names_in, read,
    squeezed,
};

const ROSTER: &str = "specs/people/fusers.yaml";

/// A geothermal procedure that claims to be qualified.
pub fn qualified_loops() -> String {
    qualified(&read("specs/hollow-creek-geothermal.yaml"))
}

/// The geothermal demo, or one made of it, that claims to be qualified.
pub fn qualified(text: &str) -> String {
    let text = text.replace("status: draft", "status: qualified");
    let in_force = "{revision: 2, date: 2026-11-02, effective: 2026-11-02,";
    let text = text.replace("{revision: 2, date: 2026-11-02,", in_force);
    let gas = gas_alone();
    let own = gas.split_once("own_rules:").unwrap().1;
    let own = own.split_once("documents:").unwrap().0.replace(
        "    roster:",
        "    cold_trials: {by: Engineering, until: the next winter}\n    roster:",
    );
    text + "\nown_rules:"
        + &own
        + "\nqualification:\n  rules: [HC Operations Manual 7]\n  records:\n    \
            - {number: HC-PQ-03, date: 2026-11-01, revision: 2}\n"
}

/// Prints cards into a folder of their own; the folder and what was said.
fn cards(folder: &TempDir, arguments: &[&str]) -> (PathBuf, Run) {
    let out = folder.path().join("out");
    let fixed = ["cards", "--as-of", AS_OF, "--out", out.to_str().unwrap()];
    let run = coldring_with(&[&fixed, arguments].concat());
    (out.join(format!("cards-{AS_OF}")), run)
}

/// The rows of the list of cards, or of fusers.
fn rows(run: &Run) -> Vec<Value> {
    list(&document(run), "rows").clone()
}

/// The text of a page in the order in which it is written, without spaces: a name
/// has two lines, and cards stand side by side.
fn written(pdf: &Path) -> Vec<String> {
    let arguments = ["-raw".as_ref(), pdf.as_os_str(), "-".as_ref()];
    let text = crate::support::tool("pdftotext", &arguments);
    text.trim_end_matches('\u{c}')
        .split('\u{c}')
        .map(squeezed)
        .collect()
}

/// All text of the cards, a page after another.
fn text_of(cards: &Path) -> String {
    let pdfs = names_in(cards)
        .into_iter()
        .filter(|name| name.ends_with(".pdf"));
    let texts = pdfs.flat_map(|name| written(&cards.join(name)));
    texts.collect::<Vec<_>>().join("\n")
}

/// A time of the day is written on the card if its panel has the width for boxes;
/// otherwise no field sends anybody to a column that is not there.
#[test]
fn a_panel_names_a_cold_column_only_where_it_has_one() {
    for (trim, boxes) in [("id-1", false), ("id-2", true), ("id-3", true)] {
        let folder = TempDir::new().unwrap();
        let loops = file(&folder, "loops.yaml", qualified_loops());
        let (out, run) = cards(&folder, &[&loops, "--fusers", ROSTER, "--card-trim", trim]);
        assert_eq!(run.code, Some(0), "{}", run.err);
        let pages = written(&out.join("HC-SF-104-r2-en.pdf")).join("");
        assert_eq!(pages.contains("COLDCOLUMN"), boxes, "{trim}: {pages}");
        assert_eq!(pages.contains("stoday"), boxes, "{trim}: {pages}");
        assert_eq!(pages.contains("DAY'SCOLDTIME"), !boxes, "{trim}: {pages}");
    }
}

#[test]
fn each_qualified_fuser_has_one_card_and_nobody_else_has_any() {
    let folder = TempDir::new().unwrap();
    let loops = file(&folder, "loops.yaml", qualified_loops());
    let (out, run) = cards(
        &folder,
        &[GAS, &loops, "--fusers", ROSTER, "--format", "json"],
    );
    assert_eq!(run.code, Some(0), "{}", run.err);
    let listed = coldring_with(&["fusers", ROSTER, "--as-of", AS_OF, "--format", "json"]);
    let text = text_of(&out);
    let (mine, theirs) = (rows(&run), rows(&listed));
    assert_eq!(mine.len(), theirs.len());
    let mut expected = std::collections::BTreeMap::new();
    for (mine, theirs) in mine.iter().zip(&theirs) {
        let badge = theirs["badge"].as_str().unwrap();
        assert_eq!(mine["badge"], theirs["badge"]);
        assert_eq!(mine["card"], theirs["qualified"], "{badge}");
        assert_eq!(mine["valid_until"], theirs["valid_until"], "{badge}");
        assert_eq!(mine["reason"].is_null(), mine["card"] == true, "{badge}");
        let name = theirs["name"].as_str().unwrap();
        *expected.entry(name).or_insert(0) += usize::from(theirs["qualified"] == true);
        if theirs["qualified"] == true {
            // The day stands on a page of the file that the list names.
            let pdf = out.join(mine["file"].as_str().unwrap());
            let until = theirs["valid_until"].as_str().unwrap();
            let pages = written(&pdf);
            assert!(
                pages
                    .iter()
                    .any(|page| page.contains(&squeezed(name)) && page.contains(until)),
                "{badge}"
            );
        }
    }
    for (name, count) in expected {
        assert_eq!(text.matches(&squeezed(name)).count(), count, "{name}");
    }
    assert_eq!(document(&run)["cards"], 7);
}

/// A fuser may have this card alone in the pocket.
#[test]
fn a_panel_of_figures_has_every_limit_that_its_times_hold_within() {
    let folder = TempDir::new().unwrap();
    let loops = file(&folder, "loops.yaml", qualified_loops());
    let (out, run) = cards(&folder, &[GAS, &loops, "--fusers", ROSTER]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let text = text_of(&out);
    for limit in [
        // Of the gas procedure, then of the loops.
        "PIPE 40–100 °F",
        "under 20",
        "20 to under 40",
        "40 to 110",
        "over 110",
        "SET 500 °F",
        "FACES 490–510 °F",
        "DR 9, DR 11",
        "IPS DR 11; CTS 0.090 in",
        "3 s MAX",
        "HANDS OFF 5 min",
        "TEST AFTER 30 min",
        "BAD MELT OR LATE: DO NOT JOIN. CUT BACK.",
    ] {
        assert!(text.contains(&squeezed(limit)), "{limit}");
    }
}

#[test]
fn a_card_is_in_the_fusers_own_language_or_else_in_the_specs() {
    let folder = TempDir::new().unwrap();
    let roster = "name,badge,procedure,language,specimen_date,specimen_result,specimen_revision,specimen_record\n\
        Ada One,A-1,AF-JP-12,es,2026-08-10,pass,2,R-1\n\
        Bo Two,A-2,AF-JP-12,es-MX,2026-08-10,pass,2,R-2\n\
        Cy Three,A-3,AF-JP-12,fr,2026-08-10,pass,2,R-3\n\
        Di Four,A-4,AF-JP-12,,2026-08-10,pass,2,R-4\n";
    let roster = file(&folder, "people.csv", roster);
    let gas = file(&folder, "gas.yaml", gas_alone());
    let arguments = [gas.as_str(), "--fusers", &roster, "--rules", "us-gas"];
    let (out, run) = cards(&folder, &arguments);
    assert_eq!(run.code, Some(0), "{}", run.err);
    assert_eq!(
        names_in(&out),
        ["AF-JP-12-r2-en.pdf", "AF-JP-12-r2-es.pdf", "manifest.json"]
    );
    let (en, es) = (
        &written(&out.join("AF-JP-12-r2-en.pdf")),
        &written(&out.join("AF-JP-12-r2-es.pdf")),
    );
    for name in ["AdaOne", "BoTwo"] {
        assert!(es[0].contains(name) && !en[0].contains(name), "{name}");
    }
    for name in ["CyThree", "DiFour"] {
        assert!(en[0].contains(name) && !es[0].contains(name), "{name}");
    }
    assert!(es[0].contains("Calificadohasta") && es[1].contains("CALOR"));
    assert!(en[0].contains("Qualifiedthrough") && en[1].contains("HEAT"));
    assert!(
        run.out.contains("reads fr, the card is in en"),
        "{}",
        run.out
    );
    assert!(!run.out.contains("Di Four"), "{}", run.out);
}

/// ISO/IEC 7810: sides of the trims in millimeters, upright.
const TRIMS: [(&str, f64, f64); 3] = [
    ("id-1", 53.98, 85.60),
    ("id-2", 74.0, 105.0),
    ("id-3", 88.0, 125.0),
];

#[test]
fn cards_are_cut_to_their_true_size_on_both_papers() {
    let folder = TempDir::new().unwrap();
    // Few sizes, so that the smallest trim has one panel of figures.
    let few = qualified_loops()
        .replace("3/4 IPS to 2 IPS", "1-1/4 IPS to 2 IPS")
        .replace(", 1-1/4 IPS x 3/4 IPS]", "]");
    let loops = file(&folder, "loops.yaml", few);
    for (paper, page_height) in [("letter", 279.4), ("a4", 297.0)] {
        for (trim, width, height) in TRIMS {
            for (flip, across) in [("long", 1.0), ("short", 1.0), ("fold", 2.0)] {
                let place = format!("{paper} {trim} {flip}");
                let (out, run) = cards(
                    &folder,
                    &[
                        &loops,
                        "--fusers",
                        ROSTER,
                        "--paper",
                        paper,
                        "--card-trim",
                        trim,
                        "--flip",
                        flip,
                    ],
                );
                assert_eq!(run.code, Some(0), "{place}: {}", run.err);
                let sheets = drawing::read(&out.join("HC-SF-104-r2-en.pdf"));
                assert_eq!(sheets.len(), if flip == "fold" { 1 } else { 2 }, "{place}");
                for sheet in &sheets {
                    let lying = (sheet.width - page_height).abs() < 0.01;
                    assert!(lying || trim != "id-1", "{place}: {}", sheet.width);
                    let cut = pieces(sheet);
                    if trim == "id-1" && flip != "fold" {
                        assert_eq!(cut.len(), 8, "{place}");
                    }
                    assert!(!cut.is_empty(), "{place}");
                    for piece in cut {
                        assert!(
                            (piece.width - width * across).abs() < 0.02,
                            "{place}: {piece:?}"
                        );
                        assert!((piece.height - height).abs() < 0.02, "{place}: {piece:?}");
                    }
                }
            }
        }
    }
}

/// Backs fall on fronts: the places of both sides mirror each other about the edge
/// that the sheet is flipped on.
#[test]
fn backs_lie_on_the_fronts_of_the_same_cards() {
    let folder = TempDir::new().unwrap();
    for (paper, width, height) in [("letter", 279.4, 215.9), ("a4", 297.0, 210.0)] {
        for flip in ["short", "long"] {
            let (out, run) = cards(
                &folder,
                &[GAS, "--fusers", ROSTER, "--paper", paper, "--flip", flip],
            );
            assert_eq!(run.code, Some(0), "{paper} {flip}: {}", run.err);
            let sheets = drawing::read(&out.join("AF-JP-12-r2-en.pdf"));
            // The sheet lies, so its short edges are upright.
            let flip = if flip == "short" { "long" } else { "short" };
            let back: Vec<_> = pieces(&sheets[1])
                .iter()
                .map(|piece| turned(piece, flip, width, height))
                .collect();
            for front in pieces(&sheets[0]) {
                assert!(back.iter().any(|back| back.near(&front)), "{paper} {flip}");
            }
        }
    }
}

/// A place that nobody has a card for is crossed out, and has no back.
#[test]
fn a_place_without_a_person_is_no_card() {
    let folder = TempDir::new().unwrap();
    let (out, run) = cards(&folder, &[GAS, "--fusers", ROSTER]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let pages = written(&out.join("AF-JP-12-r2-en.pdf"));
    // Three of the demo read English.
    assert_eq!(pages[0].matches("nocard").count(), 5, "{}", pages[0]);
    assert_eq!(pages[0].matches("Qualifiedthrough").count(), 3);
    assert_eq!(
        pages[1].matches("OFFHEATERTOJOINED").count(),
        3,
        "{}",
        pages[1]
    );
}

#[test]
fn a_combined_card_has_a_panel_for_the_person_and_one_for_each_procedure() {
    let folder = TempDir::new().unwrap();
    let loops = file(&folder, "loops.yaml", qualified_loops());
    let (out, run) = cards(&folder, &[GAS, &loops, "--fusers", ROSTER, "--combined"]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    // Of the demo, one person has both.
    let both = out.join("AF-JP-12-r2+HC-SF-104-r2-en.pdf");
    let text = written(&both);
    assert_eq!(text.len(), 1);
    for said in [
        "GraceTolliver",
        "2027-11-30",
        "2027-01-19",
        "PE2708",
        "PE4710",
    ] {
        assert!(text[0].contains(said), "{said}");
    }
    let sheet = &drawing::read(&both)[0];
    let cut = pieces(sheet);
    assert!(!cut.is_empty());
    let near = |a: f64, b: f64| (a - b).abs() < 0.02;
    assert!(near(cut[0].width, 3.0 * 53.98) && near(cut[0].height, 85.60));
    let folds: Vec<_> = sheet
        .paths
        .iter()
        .filter(|path| path.dashed && path.segment().is_some())
        .collect();
    let along = folds.iter().filter(|fold| {
        let ((ax, ay), (bx, by)) = fold.segment().unwrap();
        let first = cut[0].y..cut[0].y + cut[0].height;
        (ax - bx).abs() < 0.01 && (ay - by).abs() > 85.60 && first.contains(&((ay + by) / 2.0))
    });
    let places: Vec<_> = along.map(|fold| fold.points[0].0 - cut[0].x).collect();
    assert_eq!(places.len(), 2);
    for (place, panels) in places.iter().zip([1.0, 2.0]) {
        assert!(near(*place, panels * 53.98), "{places:?}");
    }
}

#[test]
fn the_cards_are_the_same_for_any_number_of_threads() {
    let mut roster =
        "name,badge,procedure,specimen_date,specimen_result,specimen_revision,specimen_record\n"
            .to_owned();
    for n in 0..900 {
        roster.push_str(&format!(
            "Ada Fennimore,A-{n},AF-JP-12,2026-08-10,pass,2,R-{n}\n"
        ));
    }
    let (roster, findings) = decode_csv(&roster);
    assert!(findings.is_empty(), "{findings:?}");
    let mut rules = roster.rules.clone();
    rules.choose(Choice::parse("us-gas").unwrap());
    let standings = evaluate(&roster, &rules, library(), as_of());
    let specs = [Source::new("gas.yaml", gas_alone()).into()];
    let told = AtomicUsize::new(0);
    let made = |threads| {
        let order = WalletOrder {
            specs: &specs,
            previous: &[],
            standings: &standings,
            rules: &rules,
            as_of: as_of(),
            options: WalletOptions::default(),
            signer: None,
            threads,
            made: &|cards, of| {
                assert_eq!(of, 900);
                told.fetch_add(cards, Ordering::Relaxed);
            },
        };
        let files = wallet(&order).unwrap().files;
        files
            .into_iter()
            .map(|file| (file.name, file.cards, file.bytes))
            .collect::<Vec<_>>()
    };
    let (one, many) = (made(1), made(5));
    assert!(one.len() > 1);
    assert_eq!(one.iter().map(|(_, cards, _)| cards).sum::<usize>(), 900);
    assert!(one == many);
    // Of each of the two runs, every card was told of.
    assert_eq!(told.into_inner(), 1800);
}

#[test]
fn a_name_is_printed_as_written_and_never_run() {
    let folder = TempDir::new().unwrap();
    let names = [
        "#eval(\"1+1\") $x$",
        "\\u{41} @ref // *b*",
        "Łukasz Öztürk",
        "{{ 7*7 }}",
    ];
    let mut roster =
        "name,badge,procedure,specimen_date,specimen_result,specimen_revision,specimen_record\n"
            .to_owned();
    for (n, name) in names.iter().enumerate() {
        let quoted = name.replace('"', "\"\"");
        roster.push_str(&format!(
            "\"{quoted}\",A-{n},AF-JP-12,2026-08-10,pass,2,R-{n}\n"
        ));
    }
    let roster = file(&folder, "people.csv", roster);
    let gas = file(&folder, "gas.yaml", gas_alone());
    let (out, run) = cards(&folder, &[&gas, "--fusers", &roster, "--rules", "us-gas"]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let text = text_of(&out);
    for name in names {
        assert!(text.contains(&squeezed(name)), "{name}: {text}");
    }
}
