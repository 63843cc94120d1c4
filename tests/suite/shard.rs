//! A batch in parts: two local runs side by side make what one run makes, and a
//! part that is missing is found.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use serde_json::Value;
use tempfile::TempDir;

use crate::support::{
    AS_OF, GAS, GEOTHERMAL, Run, WRONG, coldring_with, document, list, names_in, read, root, run,
};

const WATER: &str = "specs/tern-valley-water.yaml";
const ROSTER: &str = "specs/people/fusers.yaml";

/// What GNU parallel runs: the program, the arguments, and one part of each run.
fn in_parallel(arguments: &[&str], out: &Path, parts: u32) -> Run {
    let mut command = Command::new("parallel");
    command
        .current_dir(root())
        .args(["--will-cite", "--jobs", "2", env!("CARGO_BIN_EXE_coldring")])
        .args(arguments)
        .args(["--as-of", AS_OF, "--shard", &format!("{{}}/{parts}")])
        .args(["--out", &format!("{}-{{}}", out.display()), ":::"])
        .args((1..=parts).map(|part| part.to_string()));
    run(&mut command)
}

fn merged(folders: &[&Path]) -> (Run, Value) {
    let folders = folders.iter().map(|folder| folder.to_str().unwrap());
    let arguments: Vec<_> = ["merge", "--format", "json"]
        .into_iter()
        .chain(folders)
        .collect();
    let run = coldring_with(&arguments);
    let document = document(&run);
    (run, document)
}

/// Digest of each paper by procedure and name.
fn papers(merged: &Value) -> BTreeSet<String> {
    let procedures = list(merged, "procedures").iter();
    let named = procedures.flat_map(|procedure| {
        let of = |file: &Value| {
            format!(
                "{} {} {}",
                procedure["number"], file["name"], file["sha256"]
            )
        };
        list(procedure, "files").iter().map(of).collect::<Vec<_>>()
    });
    named.collect()
}

#[test]
fn two_runs_side_by_side_make_what_one_run_makes() {
    let folder = TempDir::new().unwrap();
    let out = folder.path().join("out");
    let specs = [GEOTHERMAL, GAS, WATER, WRONG];
    let build = [&["build", "--only", "card"], &specs[..]].concat();
    let ran = in_parallel(&build, &out, 2);
    // One part has the spec with errors: GNU parallel counts the runs that failed.
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    let parts = [1, 2].map(|part| folder.path().join(format!("out-{part}")));
    let (run, document) = merged(&[&parts[0], &parts[1]]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let without = list(&document["batches"][0], "without_papers");
    assert_eq!(without.len(), 1, "{document}");
    assert_ne!(without[0]["errors"], 0);

    let whole = folder.path().join("whole");
    let whole_text = whole.to_str().unwrap();
    let one = coldring_with(&[&build[..], &["--as-of", AS_OF, "--out", whole_text]].concat());
    assert_eq!(one.code, Some(1), "{}", one.err);
    let (_, at_once) = merged(&[&whole]);
    assert_eq!(papers(&document), papers(&at_once));
    assert_eq!(papers(&document).len(), 3);

    // One part alone, or with a part of another batch, is not whole.
    let (run, alone) = merged(&[&parts[0]]);
    assert_eq!(run.code, Some(1));
    assert_eq!(alone["findings"][0]["rule"], "shard-missing");
    assert!(run.err.contains("part 2/2 of this batch"), "{}", run.err);
    let less = ["build", "--only", "card", GEOTHERMAL, "--as-of", AS_OF];
    let other = folder.path().join("other");
    let part = ["--shard", "2/2", "--out", other.to_str().unwrap()];
    coldring_with(&[&less[..], &part].concat());
    let (run, mixed) = merged(&[&parts[0], &other]);
    assert_eq!(run.code, Some(1));
    assert_eq!(list(&mixed, "batches").len(), 2);
    assert!(run.err.contains("another batch"), "{}", run.err);
}

/// The order in which a machine lists its files does not matter, and specs of one
/// number meet in one part, which tells them apart as a whole run does.
#[test]
fn specs_of_one_number_meet_in_one_part() {
    let folder = TempDir::new().unwrap();
    let twin = folder.path().join("twin.yaml");
    std::fs::write(
        &twin,
        read(GEOTHERMAL).replace("First issue", "First edition"),
    )
    .unwrap();
    let twin = twin.to_str().unwrap();
    let mut found = 0;
    for part in 1..=5 {
        let shard = format!("{part}/5");
        let arguments = |specs: [&str; 2]| {
            let run = coldring_with(&[
                "build",
                "--only",
                "card",
                "--as-of",
                AS_OF,
                "--format",
                "json",
                "--shard",
                &shard,
                "--out",
                folder.path().join("out").to_str().unwrap(),
                specs[0],
                specs[1],
            ]);
            let told = folder
                .path()
                .join(format!("out/shard-{part}-of-5/manifest.json"));
            let told: Value = serde_json::from_slice(&std::fs::read(told).unwrap()).unwrap();
            (run, told["shard"]["batch"].clone())
        };
        let (run, batch) = arguments([GEOTHERMAL, twin]);
        let (_, turned) = arguments([twin, GEOTHERMAL]);
        assert_eq!(batch, turned);
        let document = document(&run);
        let specs = list(&document, "specs").len();
        assert!(specs == 0 || specs == 2, "{specs}");
        let twice = |finding: &&Value| finding["rule"] == "same-number-twice";
        found += list(&document, "findings").iter().filter(twice).count();
    }
    assert_eq!(found, 1);
}

#[test]
fn every_fuser_is_in_one_part_and_no_manifest_names_anybody() {
    let folder = TempDir::new().unwrap();
    let out = folder.path().join("out");
    let cards = ["cards", GAS, "--fusers", ROSTER, "--format", "csv"];
    // More parts than some have fusers: a part without any leaves word too.
    let ran = in_parallel(&cards, &out, 9);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let whole = folder.path().join("whole");
    let whole_text = whole.to_str().unwrap();
    let once = coldring_with(&[&cards[..], &["--as-of", AS_OF, "--out", whole_text]].concat());
    let mine = |text: &str| -> Vec<String> {
        let rows = text.lines().filter(|line| !line.starts_with("name,badge,"));
        let mut rows: Vec<_> = rows.map(str::to_owned).collect();
        rows.sort();
        rows
    };
    assert_eq!(mine(&ran.out), mine(&once.out));
    assert!(mine(&once.out).len() > 5);

    let parts: Vec<_> = (1..=9)
        .map(|part| folder.path().join(format!("out-{part}")))
        .collect();
    let parts: Vec<&Path> = parts.iter().map(AsRef::as_ref).collect();
    let (run, document) = merged(&parts);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let count = |document: &Value| -> u64 {
        let cards = list(document, "cards").iter();
        let files = cards.flat_map(|cards| list(cards, "files"));
        files.map(|file| file["cards"].as_u64().unwrap()).sum()
    };
    assert_eq!(count(&document), count(&merged(&[&whole]).1));
    assert_eq!(list(&document, "cards").len(), 9);

    let roster = read(ROSTER);
    let badges = roster
        .split("badge: ")
        .skip(1)
        .map(|rest| rest.split([',', '}', '\n']).next().unwrap().trim());
    let badges: Vec<_> = badges.collect();
    assert!(badges.len() > 5 && badges.contains(&"AF-014"), "{badges:?}");
    let (text, _) = merged(&parts);
    for (part, told) in parts.iter().zip(1..) {
        let name = format!("cards-{AS_OF}-shard-{told}-of-9");
        assert_eq!(names_in(part), [name.as_str()]);
        let manifest = std::fs::read_to_string(part.join(name).join("manifest.json")).unwrap();
        for badge in &badges {
            assert!(
                !manifest.contains(badge) && !text.out.contains(badge),
                "{badge}"
            );
        }
    }
}

#[test]
fn a_folder_without_manifests_could_not_be_joined() {
    let folder = TempDir::new().unwrap();
    let run = coldring_with(&["merge", folder.path().to_str().unwrap()]);
    assert_eq!(run.code, Some(2));
    assert!(
        run.err.contains("give the folders that --out named"),
        "{}",
        run.err
    );
}
