//! Which revision a specimen was made by, and for which a card may be printed. The
//! gas demo is at revision 2, in force from 2026-10-01; revision 1 is of 2025-01-13.

use tempfile::TempDir;

use super::{cards, rows};
use crate::support::{GAS, Run, file, gas_alone, names_in, read};

const EARLIER: &str = "specs/earlier/alder-fork-gas-r1.yaml";
const HEADER: &str = "name,badge,procedure,specimen_date,specimen_result,specimen_revision,\
                      specimen_record\n";

/// Asks for the card of one fuser with this specimen: its date and revision.
fn asked(specimen: (&str, &str), more: &[&str]) -> (Option<String>, Run) {
    let folder = TempDir::new().unwrap();
    let (date, revision) = specimen;
    let row = format!("Ada Fennimore,A-1,AF-JP-12,{date},pass,{revision},R-1\n");
    let roster = file(&folder, "people.csv", format!("{HEADER}{row}"));
    let fixed = [
        GAS, "--fusers", &roster, "--rules", "us-gas", "--format", "json",
    ];
    let (out, run) = cards(&folder, &[&fixed[..], more].concat());
    let rows = rows(&run);
    let [row] = rows.as_slice() else {
        panic!("{}", run.out);
    };
    assert_eq!(row["card"] == true, out.exists(), "{}", run.out);
    if row["card"] == true {
        assert_eq!(names_in(&out), ["AF-JP-12-r2-en.pdf", "manifest.json"]);
    } else if row["reason"] != "the spec of AF-JP-12 has errors" {
        // No day stands beside a card that was refused for its revision.
        assert!(row["valid_until"].is_null(), "{row}");
    }
    (row["reason"].as_str().map(str::to_owned), run)
}

#[track_caller]
fn printed(specimen: (&str, &str), more: &[&str]) {
    let (reason, run) = asked(specimen, more);
    assert_eq!(reason, None, "{specimen:?}");
    assert_eq!(run.code, Some(0), "{}", run.err);
}

#[track_caller]
fn refused(specimen: (&str, &str), more: &[&str], says: &[&str]) -> Run {
    let (reason, run) = asked(specimen, more);
    let reason = reason.expect("a reason");
    for words in says {
        assert!(reason.contains(words), "{words}: {reason}");
    }
    run
}

#[test]
fn a_specimen_counts_for_the_revision_it_was_made_by() {
    printed(("2026-08-31", "2"), &[]);
    let told = [
        "was made by revision 1",
        "nothing shows that it holds for revision 2",
        "--previous",
    ];
    refused(("2026-08-31", "1"), &[], &told);
    refused(
        ("2026-08-31", "7"),
        &[],
        &["revision 7, which the spec does not list"],
    );
    // Revision 2 is younger than the first one.
    printed(("2025-10-13", "2"), &[]);
    let before = of_young_procedure("2026-07-31,pass,2");
    assert!(
        before.out.contains("older than revision 1 of 2026-08-01"),
        "{}",
        before.out
    );
    let near = of_young_procedure("2026-08-01,pass,2");
    assert!(near.out.contains(": 1 card\n"), "{}", near.out);
}

/// The card of a specimen, where revision 1 is of 2026-08-01.
fn of_young_procedure(specimen: &str) -> Run {
    let folder = TempDir::new().unwrap();
    let spec = gas_alone().replace(
        "{revision: 1, date: 2025-01-13",
        "{revision: 1, date: 2026-08-01",
    );
    let spec = file(&folder, "young.yaml", spec);
    let row = format!("Ada Fennimore,A-1,AF-JP-12,{specimen},R-1\n");
    let roster = file(&folder, "people.csv", format!("{HEADER}{row}"));
    cards(&folder, &[&spec, "--fusers", &roster, "--rules", "us-gas"]).1
}

#[test]
fn without_a_word_on_it_the_revision_in_force_on_the_day_is_meant() {
    printed(("2026-10-01", ""), &[]);
    refused(
        ("2026-09-30", ""),
        &[],
        &["2026-09-30", "dates from revision 1"],
    );
    // Before the first revision there was none to make it by.
    let run = of_young_procedure("2026-07-31,pass,");
    for words in [
        "older than revision 1, effective 2026-08-01",
        "specimen_revision",
    ] {
        assert!(run.out.contains(words), "{words}: {}", run.out);
    }
    let near = of_young_procedure("2026-08-01,pass,");
    assert!(near.out.contains("dates from revision 1"), "{}", near.out);
}

#[test]
fn the_earlier_spec_tells_whether_its_specimens_still_hold() {
    let specimen = ("2026-03-10", "");
    refused(specimen, &[], &["dates from revision 1"]);
    printed(specimen, &["--previous", EARLIER]);
    // By hand is another handwork than by machine (16 NYCRR 255.281).
    let folder = TempDir::new().unwrap();
    let by_machine = read(EARLIER).replace(
        "  cutter: {largest: 2 IPS}\n",
        "  cutter: {largest: 2 IPS}\n  machine: {largest: 2 IPS}\n",
    );
    let by_machine = file(&folder, "machine.yaml", by_machine);
    let told = [
        "asks fusers to qualify again",
        "machine",
        "made by revision 2",
    ];
    refused(specimen, &["--previous", &by_machine], &told);
    printed(("2026-03-10", "2"), &["--previous", &by_machine]);
}

#[test]
fn an_earlier_spec_is_of_the_same_procedure_and_earlier() {
    let specimen = ("2026-03-10", "");
    let run = refused(
        specimen,
        &["--previous", "specs/hollow-creek-geothermal.yaml"],
        &["nothing shows"],
    );
    assert_eq!(run.code, Some(1), "{}", run.err);
    assert!(
        run.err.contains("compared-with-other-procedure"),
        "{}",
        run.err
    );
    let run = refused(specimen, &["--previous", GAS], &["nothing shows"]);
    assert_eq!(run.code, Some(1), "{}", run.err);
    assert!(run.err.contains("compared-in-reverse"), "{}", run.err);
    let folder = TempDir::new().unwrap();
    let broken = file(&folder, "r1.yaml", read(EARLIER).replace("0.69 in", "0.69"));
    let run = refused(specimen, &["--previous", &broken], &["nothing shows"]);
    assert_eq!(run.code, Some(1), "{}", run.err);
    assert!(run.err.contains("missing-unit"), "{}", run.err);
}

#[test]
fn a_change_that_nothing_proves_keeps_every_card_back() {
    let folder = TempDir::new().unwrap();
    // The record is cited by the earlier spec already, so it proves no change.
    let cited = read(EARLIER).replace(
        "    - {number: AF-PQ-05, date: 2024-12-19, revision: 1}\n",
        "    - {number: AF-PQ-07, date: 2026-08-28, revision: 1}\n",
    );
    let cited = file(&folder, "r1.yaml", cited);
    let run = refused(
        ("2026-08-31", "2"),
        &["--previous", &cited],
        &["has errors"],
    );
    assert_eq!(run.code, Some(1), "{}", run.err);
    assert!(
        run.err.contains("essential-change-without-record"),
        "{}",
        run.err
    );
}

#[test]
fn the_organization_can_say_that_specimens_hold() {
    let folder = TempDir::new().unwrap();
    let roster = |held: &str| {
        format!(
            "coldring-fusers: 1\nrules:\n  default: us-gas\n  revisions: [{{procedure: AF-JP-12, \
             {held}, source: Manual 4.9}}]\nfusers:\n  - {{name: Ada, badge: A-1, qualifications: \
             [{{procedure: AF-JP-12, specimen: {{date: 2026-03-10, result: pass, record: R}}}}]}}\n"
        )
    };
    for (held, prints) in [
        ("made_by: 1, holds_for: 2", true),
        // Another revision than the one in force.
        ("made_by: 1, holds_for: 3", false),
        ("made_by: 2, holds_for: 3", false),
    ] {
        let people = file(&folder, "people.yaml", roster(held));
        let (_, run) = cards(&folder, &[GAS, "--fusers", &people]);
        let one = run.out.contains(": 1 card\n");
        assert_eq!((one, run.code), (prints, Some(0)), "{held}: {}", run.out);
    }
}
