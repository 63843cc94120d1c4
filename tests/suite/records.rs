//! Records of test joints: each rule at its limit and just beyond, the range
//! that joints support, and the forms. The record is the one of the demo, which
//! is invented.

mod criteria;
mod forms;
mod made_by;
mod metric;
mod range;
mod slips;

use std::collections::BTreeSet;
use std::fs;

use coldring::core::finding::{Finding, Severity};
use coldring::core::source::{Role, Source, Sources, Unavailable};
use coldring::papers::compile::check;

use crate::support::{AS_OF, GAS, as_of, coldring, gas_with_record, read, run};

const RECORD: &str = "specs/records/AF-PQ-07.yaml";

/// The first joint of the demo's record: 1/2 CTS, tested by straps.
const FIRST_FACES: &str = "{pipe_adapter: 500 °F, fitting_adapter: 501 °F}";
const FIRST_STRAPS: &str = "straps: 3, with_voids: 0, failed_in_joint: 0, result: pass";
/// The tensile test of the last joint: 2 IPS.
const LAST_TENSILE: &str = "elongation: 27 %, failure: outside the joint, result: pass";

type Edit<'e> = (&'e str, &'e str);

/// The text with the first place of each edit changed.
fn edited(name: &str, edits: &[Edit<'_>]) -> String {
    let start = match name {
        GAS => gas_with_record(),
        _ => read(name),
    };
    edits.iter().fold(start, |text, (old, new)| {
        assert!(text.contains(old), "'{old}' is not in {name}");
        text.replacen(old, new, 1)
    })
}

fn found_in(spec: &str, record: &str) -> Vec<Finding> {
    let sources = Sources::from(Source::new("spec.yaml", spec));
    let record = Source::new("records/AF-PQ-07.yaml", record);
    check(&sources.with(Role::Record, Ok(record)), as_of()).findings
}

/// What is found in the demo with these edits of its record.
fn found(record: &[Edit<'_>]) -> Vec<Finding> {
    found_in(&gas_with_record(), &edited(RECORD, record))
}

fn told(findings: &[Finding]) -> Vec<(&str, &str)> {
    let told = findings.iter();
    told.map(|f| (f.rule.slug, f.message.as_str())).collect()
}

/// What a record with these edits gives beyond the demo's own findings.
fn new(record: &[Edit<'_>]) -> Vec<Finding> {
    let always = found(&[]);
    let mut new = found(record);
    new.retain(|f| always.iter().all(|known| known.message != f.message));
    new
}

/// Fires this rule and no other but the loss of rows.
#[track_caller]
fn fires(slug: &str, says: &str, record: &[Edit<'_>]) {
    let new = new(record);
    let of_rule: Vec<_> = new.iter().filter(|f| f.rule.slug == slug).collect();
    assert!(
        of_rule.iter().any(|f| f.message.contains(says)),
        "{slug}: {:?}",
        told(&new)
    );
    for finding in of_rule {
        let span = finding.span.expect("a place");
        assert!(!span.range().is_empty() && finding.help.is_some(), "{slug}");
    }
    let others: BTreeSet<_> = new.iter().map(|f| f.rule.slug).collect();
    let may = [
        slug,
        "qualified-outside-range",
        "qualified-outside-temperatures",
    ];
    assert!(
        others.iter().all(|other| may.contains(other)),
        "{slug}: {others:?}"
    );
}

#[track_caller]
fn quiet(record: &[Edit<'_>]) {
    let new = new(record);
    assert!(new.is_empty(), "{:?}", told(&new));
}

#[test]
fn the_record_of_the_demo_covers_all_that_is_claimed() {
    let found = found(&[]);
    assert!(
        found
            .iter()
            .all(|f| f.severity() != Severity::Error && f.file == Default::default()),
        "{:?}",
        told(&found)
    );
}

#[test]
fn every_problem_of_a_record_is_told_at_once_and_nothing_is_said_to_be_missing() {
    // Rule and text that it points at, and the edit that makes it.
    let problems = [
        (
            "format-version",
            "2",
            ("coldring-record: 1", "coldring-record: 2"),
        ),
        ("not-a-size", "1/2", ("size: 1/2 CTS", "size: 1/2")),
        ("missing-unit", "6", ("heating: 6 s", "heating: 6")),
        (
            "unknown-field",
            "resing",
            ("resin: PE2708\n", "resin: PE2708\n    resing: PE2708\n"),
        ),
        ("unknown-word", "tensil", ("kind: tensile", "kind: tensil")),
        ("duplicate-key", "T-1b", ("id: T-2a", "id: T-1b")),
        (
            "implausible-value",
            "-27 %",
            ("elongation: 27 %", "elongation: -27 %"),
        ),
    ];
    let edits = problems.map(|(_, _, edit)| edit);
    let record = edited(RECORD, &edits);
    let always = found(&[]);
    let found = found_in(&gas_with_record(), &record);
    let new = found
        .iter()
        .filter(|f| always.iter().all(|known| known.message != f.message));
    let at = |f: &Finding| &record[f.span.expect("a place").range()];
    let mut told: Vec<_> = new.map(|f| (f.rule.slug, at(f))).collect();
    let mut expected = problems.map(|(slug, text, _)| (slug, text));
    told.sort_unstable();
    expected.sort_unstable();
    assert_eq!(told, expected);
}

#[test]
fn a_record_that_is_not_at_hand_is_told_once() {
    let spec = || Sources::from(Source::new("spec.yaml", gas_with_record()));
    for sources in [
        spec(),
        spec().with(Role::Record, Err(Unavailable::Outside)),
        spec().with(Role::Record, Err(Unavailable::Unreadable("gone".into()))),
    ] {
        let found = check(&sources, as_of()).findings;
        let errors: Vec<_> = found
            .iter()
            .filter(|f| f.severity() == Severity::Error)
            .collect();
        let slugs: Vec<_> = errors.iter().map(|f| f.rule.slug).collect();
        assert_eq!(slugs, ["file-not-read"]);
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("spec.yaml");
    for outside in ["../AF-PQ-07.yaml", "/etc/hostname"] {
        fs::write(&path, edited(GAS, &[("records/AF-PQ-07.yaml", outside)])).unwrap();
        let ran = run(coldring().args(["check", "--as-of", AS_OF]).arg(&path));
        assert_eq!(ran.code, Some(1));
        assert!(ran.err.contains("file-not-read"), "{}", ran.err);
    }
}

#[test]
fn several_records_of_one_spec_each_have_their_file() {
    let record = read(RECORD);
    let spec = edited(
        GAS,
        &[("    - records/AF-PQ-07.yaml", "    - a.yaml\n    - b.yaml")],
    );
    let sources = Sources::from(Source::new("spec.yaml", spec))
        .with(Role::Record, Ok(Source::new("a.yaml", record.clone())))
        .with(
            Role::Record,
            Ok(Source::new(
                "b.yaml",
                record.replacen("visual: pass", "visual: fail", 1),
            )),
        );
    let found = check(&sources, as_of()).findings;
    let refused: Vec<_> = found
        .iter()
        .filter(|f| f.rule.slug == "test-joint-refused")
        .collect();
    let [refused] = refused.as_slice() else {
        panic!("{:?}", told(&found));
    };
    assert_eq!(sources.get(refused.file).name, "b.yaml");
}
