//! What keeps a card back: each rule fires, and does not where it comes near.

use tempfile::TempDir;

use super::code::key;
use super::{ROSTER, cards, qualified_loops, rows};
use crate::cards::pieces::pieces;
use crate::drawing;
use crate::support::{GAS, Run, file, gas_alone, names_in, read};

const HEADER: &str =
    "name,badge,procedure,specimen_date,specimen_result,specimen_revision,specimen_record\n";

/// Prints cards of specs for a roster in CSV.
fn printed(specs: &[&str], roster: &str, more: &[&str]) -> (Vec<String>, Run) {
    let folder = TempDir::new().unwrap();
    let roster = file(&folder, "people.csv", format!("{HEADER}{roster}"));
    let specs: Vec<_> = (specs.iter().enumerate())
        .map(|(n, text)| file(&folder, &format!("{n}.yaml"), text))
        .collect();
    let mut arguments: Vec<_> = specs.iter().map(String::as_str).collect();
    arguments.extend(["--fusers", &roster]);
    arguments.extend(more);
    let key = key(&folder, 0o600);
    if more.contains(&"--combined") {
        arguments.extend(["--key", &key]);
    }
    let (out, run) = cards(&folder, &arguments);
    let names = if out.exists() {
        names_in(&out)
    } else {
        Vec::new()
    };
    (names, run)
}

const ADA: &str = "Ada Fennimore,A-1,AF-JP-12,2026-08-10,pass,2,R-1\n";
const BO: &str = "Bo Birchall,B-1,HC-SF-104,2026-09-10,pass,2,R-2\n";
const GAS_RULE: [&str; 2] = ["--rules", "us-gas"];
const OWN_RULE: [&str; 2] = ["--rules", "own:12:Operations Manual 7.9"];

fn assert_fires(run: &Run, rule: &str, code: i32) {
    assert!(
        run.err.contains(&format!("[{rule}]")),
        "{rule}: {}",
        run.err
    );
    assert_eq!(run.code, Some(code), "{rule}: {}", run.err);
}

fn assert_silent(run: &Run, rule: &str) {
    assert!(
        !run.err.contains(&format!("[{rule}]")),
        "{rule}: {}",
        run.err
    );
    assert_eq!(run.code, Some(0), "{rule}: {}", run.err);
}

#[test]
fn a_procedure_that_is_not_qualified_has_no_cards() {
    let rule = "cards-of-unqualified-procedure";
    let draft = read("specs/hollow-creek-geothermal.yaml");
    let (names, run) = printed(&[&draft], BO, &OWN_RULE);
    assert_fires(&run, rule, 1);
    assert!(names.is_empty());
    assert!(run.out.contains("HC-SF-104 is a draft"), "{}", run.out);
    let withdrawn = gas_alone().replace("status: qualified", "status: withdrawn");
    let (names, run) = printed(&[&withdrawn], ADA, &GAS_RULE);
    assert_fires(&run, rule, 1);
    assert!(names.is_empty());
    let (names, run) = printed(&[&qualified_loops()], BO, &OWN_RULE);
    assert_silent(&run, rule);
    assert_eq!(names, ["HC-SF-104-r2-en.pdf", "manifest.json"]);
}

#[test]
fn two_specs_of_one_number_have_no_cards_and_another_spec_still_has() {
    let rule = "two-specs-of-one-procedure";
    let (first, second) = (gas_alone(), gas_alone().replace("AF-JP-12", "af-jp-12"));
    let people = format!("{ADA}{BO}");
    let chosen = ["--rules", "us-gas", "--rules", "HC-SF-104=own:12:Manual"];
    let (names, run) = printed(&[&first, &second, &qualified_loops()], &people, &chosen);
    assert_fires(&run, rule, 1);
    assert_eq!(names, ["HC-SF-104-r2-en.pdf", "manifest.json"]);
    assert!(
        run.out.contains("the spec of AF-JP-12 has errors"),
        "{}",
        run.out
    );
    let (_, run) = printed(&[&first, &qualified_loops()], &people, &chosen);
    assert_silent(&run, rule);
}

#[test]
fn gas_cards_go_by_the_gas_rule_or_a_stricter_one() {
    let rule = "gas-cards-by-other-rule";
    for (chosen, fires) in [
        ("six-months-without-use", true),
        ("own:13:Manual", true),
        ("own:12:Manual", false),
        ("us-gas", false),
    ] {
        let (names, run) = printed(&[&gas_alone()], ADA, &["--rules", chosen]);
        if fires {
            assert_fires(&run, rule, 1);
            assert!(names.is_empty(), "{chosen}");
        } else {
            assert_silent(&run, rule);
            assert_eq!(names.len(), 2, "{chosen}");
        }
    }
}

#[test]
fn the_gas_rule_for_other_work_is_a_warning() {
    let rule = "gas-rule-for-other-work";
    let (names, run) = printed(&[&qualified_loops()], BO, &GAS_RULE);
    assert_fires(&run, rule, 0);
    assert_eq!(names.len(), 2);
    let (_, run) = printed(&[&qualified_loops()], BO, &OWN_RULE);
    assert_silent(&run, rule);
}

#[test]
fn what_does_not_fit_the_card_is_not_made_small() {
    let rule = "figures-past-wallet-card";
    let of = |number: &str| {
        let spec = gas_alone().replace("number: AF-JP-12", &format!("number: {number}"));
        printed(&[&spec], &ADA.replace("AF-JP-12", number), &GAS_RULE)
    };
    let (names, run) = of(&"W".repeat(40));
    assert_fires(&run, rule, 1);
    assert!(names.is_empty());
    assert!(run.out.contains("fit the card"), "{}", run.out);
    let (names, run) = of("AF-JP-12-OF-THE-NORTHERN-DISTRICT");
    assert_silent(&run, rule);
    assert_eq!(names.len(), 2);
}

#[test]
fn numbers_of_many_sizes_take_more_panels_on_a_small_card() {
    let folder = TempDir::new().unwrap();
    let six = crate::cards::six_sizes();
    let spec = file(&folder, "six.yaml", super::qualified(&six));
    let (out, run) = cards(&folder, &[&spec, "--fusers", ROSTER]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let cut = pieces(&drawing::read(&out.join("HC-SF-104-r2-en.pdf"))[0]);
    assert!(!cut.is_empty());
    for piece in cut {
        // One for the person, and two of numbers.
        assert!((piece.width - 3.0 * 53.98).abs() < 0.02, "{piece:?}");
    }
}

#[test]
fn a_name_that_fits_two_lines_has_a_card_and_a_longer_one_has_none() {
    let rule = "name-past-wallet-card";
    let named = |name: &str| format!("{name},A-9,AF-JP-12,2026-08-10,pass,2,R-9\n");
    let near = named("Maximiliana-Josephina Konstantinopolou-Feathers");
    let (_, run) = printed(&[&gas_alone()], &near, &GAS_RULE);
    assert_silent(&run, rule);
    let past = format!("{ADA}{}", named(&"Wenceslas ".repeat(12)));
    let (names, run) = printed(&[&gas_alone()], &past, &GAS_RULE);
    assert_fires(&run, rule, 0);
    assert_eq!(names.len(), 2);
    assert!(
        run.out.contains("the name does not fit the card"),
        "{}",
        run.out
    );
    let badge = ADA.replace("A-1", &"A-1".repeat(30));
    let (_, run) = printed(&[&gas_alone()], &badge, &GAS_RULE);
    assert_fires(&run, rule, 0);
}

#[test]
fn a_code_that_would_be_too_fine_is_not_printed() {
    let rule = "code-past-wallet-card";
    // Lower case takes three signs a letter in a code, and little room in type.
    let of = |badge: &str| {
        let gas = ADA.replace("A-1", badge);
        let loops = gas.replace("AF-JP-12", "HC-SF-104");
        gas + &loops
    };
    let specs = [gas_alone(), qualified_loops()];
    let specs: Vec<_> = specs.iter().map(String::as_str).collect();
    let chosen = [
        "--combined",
        "--rules",
        "us-gas",
        "--rules",
        "HC-SF-104=own:12:Manual",
    ];
    let (_, run) = printed(&specs, &of("a-1"), &chosen);
    assert_silent(&run, rule);
    let escaped = "é".repeat(16);
    let (_, run) = printed(&specs, &of(&escaped), &chosen);
    assert_silent(&run, rule);
    let (names, run) = printed(&specs, &of(&"'".repeat(90)), &chosen);
    assert_fires(&run, rule, 0);
    assert!(names.is_empty());
}

#[test]
fn an_accordion_that_does_not_fit_the_paper_is_not_made() {
    let rule = "panels-past-paper";
    let people = ADA.to_owned() + &ADA.replace("AF-JP-12", "HC-SF-104");
    let specs = [gas_alone(), qualified_loops()];
    let specs: Vec<_> = specs.iter().map(String::as_str).collect();
    let chosen = [
        "--combined",
        "--rules",
        "us-gas",
        "--rules",
        "HC-SF-104=own:12:Manual",
    ];
    let (_, run) = printed(&specs, &people, &chosen);
    assert_silent(&run, rule);
    let larger = [&chosen[..], &["--card-trim", "id-3"]].concat();
    let (names, run) = printed(&specs, &people, &larger);
    assert_fires(&run, rule, 0);
    assert!(names.is_empty());
    assert!(run.out.contains("3 panels in a row"), "{}", run.out);
}

#[test]
fn an_error_in_the_roster_keeps_all_cards_back() {
    let (names, run) = printed(
        &[&gas_alone()],
        &format!("{ADA}Bo,A-1,AF-JP-12,,,,\n"),
        &GAS_RULE,
    );
    assert_fires(&run, "badge-of-two-people", 1);
    assert!(names.is_empty() && run.out.is_empty(), "{}", run.out);
    let strange = ADA.replace("Ada", "Ada 漢");
    let (names, run) = printed(&[&gas_alone()], &strange, &GAS_RULE);
    assert_fires(&run, "no-glyph", 1);
    assert!(names.is_empty() && run.out.is_empty(), "{}", run.out);
}

#[test]
fn each_row_without_a_card_says_why() {
    let folder = TempDir::new().unwrap();
    let (_, run) = cards(&folder, &[GAS, "--fusers", ROSTER, "--format", "json"]);
    for row in rows(&run) {
        let said = row["reason"]
            .as_str()
            .is_some_and(|reason| !reason.is_empty());
        assert_eq!(said, row["card"] == false, "{row}");
    }
}
