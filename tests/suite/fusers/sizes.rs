//! The sizes that a test passed in: what is listed, and who gets a card.

use tempfile::TempDir;

use crate::support::{AS_OF, GAS, coldring, coldring_with, document, file, list, run};

/// A roster of one person who passed in these sizes, in YAML.
fn roster(sizes: &str) -> String {
    format!(
        "coldring-fusers: 1\nrules: {{default: us-gas}}\nfusers:\n  - name: A. Example\n    badge: A-1\n    \
         qualifications:\n      - procedure: AF-JP-12\n        specimen: {{date: 2026-11-09, \
         result: pass, revision: 2, {sizes}record: R-1}}\n"
    )
}

/// Whether the one person on a roster gets a card, and why not.
fn card(roster: &str, name: &str, rules: &[&str]) -> (bool, String) {
    let folder = TempDir::new().unwrap();
    let people = file(&folder, name, roster);
    let ran = run(coldring()
        .args([
            "cards", GAS, "--as-of", AS_OF, "--format", "json", "--fusers", &people,
        ])
        .args(rules)
        .arg("--out")
        .arg(folder.path()));
    let rows = document(&ran);
    let [row] = list(&rows, "rows").as_slice() else {
        panic!("{}", ran.err);
    };
    let reason = row["reason"].as_str().unwrap_or_default();
    (row["card"].as_bool().unwrap(), reason.to_owned())
}

/// The procedure is for 1 to 2 IPS and 1/2 and 3/4 CTS.
#[test]
fn a_test_in_the_largest_size_counts_for_smaller_pipe_and_one_in_a_smaller_size_does_not() {
    let has_card = |sizes: &str| card(&roster(sizes), "people.yaml", &[]).0;
    for whole in ["", "sizes: 2 IPS, ", "sizes: [2 IPS, 1/2 CTS], "] {
        assert!(has_card(whole), "{whole}");
    }
    for part in [
        "sizes: 1-1/4 IPS, ",
        "sizes: [3/4 CTS, 1-1/4 IPS], ",
        "sizes: 3/4 CTS, ",
    ] {
        assert!(!has_card(part), "{part}");
    }
    let (_, reason) = card(&roster("sizes: [1 IPS, 3/4 CTS], "), "people.yaml", &[]);
    for told in ["1-1/4 IPS, 2 IPS too", "in the largest size", "R-1"] {
        assert!(reason.contains(told), "{reason}");
    }
}

#[test]
fn a_table_has_the_sizes_in_one_cell() {
    let table = |sizes: &str| {
        format!(
            "name,badge,procedure,specimen_date,specimen_result,specimen_revision,specimen_sizes,\
             specimen_record\nA. Example,A-1,AF-JP-12,2026-11-09,pass,2,\"{sizes}\",R-1\n"
        )
    };
    let rules = ["--rules", "us-gas"];
    assert!(card(&table("1 IPS, 2 IPS"), "people.csv", &rules).0);
    assert!(!card(&table("1 IPS; 3/4 CTS"), "people.csv", &rules).0);
    let folder = TempDir::new().unwrap();
    let people = file(&folder, "people.csv", table("1 IPS, two"));
    let ran = coldring_with(&["fusers", &people, "--rules", "us-gas", "--as-of", AS_OF]);
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(
        ran.err.contains("row 2, column specimen_sizes"),
        "{}",
        ran.err
    );
}

#[test]
fn what_the_organization_decides_of_revisions_is_listed_with_its_source() {
    let folder = TempDir::new().unwrap();
    let decided = "rules: {default: us-gas, revisions: [{procedure: AF-JP-12, made_by: 1, \
                   holds_for: 2, source: Joining Manual 4.9}]}";
    let text = roster("").replace("rules: {default: us-gas}", decided);
    let people = file(&folder, "people.yaml", text);
    let listed = coldring_with(&["fusers", &people, "--as-of", AS_OF]);
    let line = "a specimen made by revision 1 counts for revision 2: Joining Manual 4.9";
    assert!(listed.out.contains(line), "{}", listed.out);
    let json = document(&coldring_with(&[
        "fusers", &people, "--as-of", AS_OF, "--format", "json",
    ]));
    let [held] = list(&json, "held_revisions").as_slice() else {
        panic!("{json}");
    };
    assert_eq!(held["source"], "Joining Manual 4.9");
    // Without a decision nothing is said.
    let plain = file(&folder, "plain.yaml", roster(""));
    let listed = coldring_with(&["fusers", &plain, "--as-of", AS_OF]);
    assert!(
        !listed.out.contains("a specimen made by revision"),
        "{}",
        listed.out
    );
}
