//! A spec that is printed with every choice explicit is the same procedure:
//! it reads without a finding and resolves to the same figures, of the same
//! basis, source and id; the rules find the same in the same words; and beside
//! the choices that were made explicit the comparison finds no change. Only
//! places in the text and the author's comments differ.

use std::collections::BTreeSet;
use std::path::Path;

use coldring::procedure::compare::{Input, compare};
use coldring::procedure::numbers::yaml;
use coldring::procedure::resolve::resolve;
use coldring::published::library;
use proptest::prelude::*;
use proptest::sample::{Index, select};

use super::same::{essence, findings, readable, spec};
use crate::rules;
use crate::support::{AS_OF, GAS, GEOTHERMAL, coldring_with, gas_alone, path, read};

/// What is stated in the printed spec where the first one leaves it open.
const MADE_EXPLICIT: [&str; 6] = [
    "paper",
    "language",
    "long-strips",
    "card-trim",
    "card-flip",
    "card-lanyard",
];

/// Checks that a spec and the one that is printed for it are one procedure.
fn round_trip(text: &str) -> Result<(), TestCaseError> {
    let Some(first) = readable(text) else {
        // What cannot be read resolves to nothing that could be compared.
        return Ok(());
    };
    let procedure = resolve(&first, library());
    let printed = yaml(&procedure, library());
    let Some(second) = readable(&printed) else {
        return Err(TestCaseError::fail(format!(
            "it cannot be read:\n{printed}"
        )));
    };
    prop_assert_eq!(essence(&first, true), essence(&second, true), "\n{}", text);
    prop_assert_eq!(
        findings(&first, true),
        findings(&second, true),
        "\n{}",
        text
    );
    let again = resolve(&second, library());
    prop_assert_eq!(&yaml(&again, library()), &printed, "it does not settle");
    let side = |procedure, text| Input {
        procedure,
        text,
        digest: "",
    };
    let compared = compare(side(&procedure, text), side(&again, &printed), library());
    let changed = compared.changes.iter();
    let changed: Vec<_> = changed
        .filter(|change| change.old.is_some() || !MADE_EXPLICIT.contains(&change.variable))
        .collect();
    prop_assert!(changed.is_empty(), "{:?}", changed);
    Ok(())
}

fn holds(text: &str) {
    if let Err(error) = round_trip(text) {
        panic!("{error}");
    }
}

/// Every spec of the demo and of the tests.
fn specs() -> Vec<String> {
    let files = [
        GEOTHERMAL,
        "specs/saddle-works-hot-water.yaml",
        "specs/tern-valley-water.yaml",
        "specs/earlier/alder-fork-gas-r1.yaml",
        "tests/data/base.yaml",
        "tests/data/metric-base.yaml",
    ];
    let mut specs: Vec<_> = files.iter().map(|file| read(file)).collect();
    specs.push(gas_alone());
    specs
}

#[test]
fn every_demo_is_the_same_procedure_when_it_is_printed() {
    for text in specs() {
        // Each is read without a finding, or nothing would be compared.
        spec(&text);
        holds(&text);
    }
}

/// Each case of a rule is a spec that is a little out of the ordinary.
#[test]
fn every_case_of_a_rule_is_the_same_procedure_when_it_is_printed() {
    let cases = rules::edited_specs();
    let read = cases.iter().filter(|text| readable(text).is_some()).count();
    assert!(
        read > 200,
        "only {read} of {} cases are compared",
        cases.len()
    );
    for text in &cases {
        holds(text);
    }
}

/// Text that a file format, a template or a person could take for something else.
fn text() -> impl Strategy<Value = String> {
    let odd = select(vec![
        "null",
        "~",
        "yes",
        "-1",
        "1e3",
        "2026-09-14",
        "a: b",
        "a #b",
        "- a",
        "[a",
        "{a}",
        "*a",
        "&a",
        "!a",
        "%a",
        "@a",
        "`a",
        "'",
        "\"",
        "\\",
        "a,",
        "#eval(1)",
        "$x$",
        "{{ x }}",
        "|",
        ">",
        "é",
        "مرحبا",
        "日本",
        "a: ",
        "<<",
        "? a",
        "=1+1",
    ]);
    prop_oneof![
        odd.prop_map(str::to_owned),
        "[ -~]{1,40}".prop_map(|text| text.trim().to_owned()),
    ]
    .prop_filter("a text is not empty", |text| !text.is_empty())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// Several cases of rules at once, in one spec.
    #[test]
    fn variants_are_the_same_procedure(picks in prop::collection::vec(any::<Index>(), 2..6), metric: bool) {
        holds(&rules::edited_at_once(&picks, metric));
    }

    /// An author's words stay as they are, whatever they look like.
    #[test]
    fn words_are_kept(title in text(), reference in text(), source in text()) {
        let quoted = |text: &str| serde_json::to_string(text).unwrap();
        let text = read("tests/data/base.yaml")
            .replace("title: Socket fusion of PE4710 gas pipe", &format!("title: {}", quoted(&title)))
            .replace("- Operations Manual, section 4", &format!("- {}", quoted(&reference)))
            .replace("source: engineering decision", &format!("source: {}", quoted(&source)));
        let Some(first) = readable(&text) else { return Ok(()) };
        let printed = yaml(&resolve(&first, library()), library());
        let second = spec(&printed);
        prop_assert_eq!(&second.title.value, title.trim());
        prop_assert_eq!(&second.references[0].value, reference.trim());
        round_trip(&text)?;
    }
}

/// With its record beside it, the printed spec is checked as the first is.
#[test]
fn the_printed_spec_of_the_demo_takes_its_record_and_builds() {
    let shown = coldring_with(&["show", GAS, "--resolved", "--as-of", AS_OF]);
    assert_eq!((shown.code, shown.err.as_str()), (Some(0), ""));
    let folder = tempfile::TempDir::new().unwrap();
    let printed = folder.path().join("printed.yaml");
    std::fs::write(&printed, &shown.out).unwrap();
    for (below, name) in [
        ("records", "AF-PQ-07.yaml"),
        ("confirmations", "AF-EC-2.yaml"),
    ] {
        std::fs::create_dir(folder.path().join(below)).unwrap();
        let beside = Path::new(below).join(name);
        std::fs::copy(path("specs").join(&beside), folder.path().join(&beside)).unwrap();
    }
    let found = |spec: &str| {
        let ran = coldring_with(&["check", spec, "--as-of", AS_OF, "--format", "json"]);
        let document: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
        let findings = document["findings"].as_array().unwrap();
        let told = findings
            .iter()
            .map(|f| format!("{} {}", f["rule"], f["message"]));
        (ran.code, told.collect::<BTreeSet<_>>())
    };
    assert_eq!(found(GAS), found(printed.to_str().unwrap()));
}

#[test]
fn a_figure_from_memory_is_not_written_as_the_organizations_own() {
    let text = read("tests/data/base.yaml");
    let printed = yaml(&resolve(&spec(&text), library()), library());
    let (stated, comments) = printed.split_once("\n# What the tables").unwrap();
    assert!(comments.lines().skip(1).all(|line| line.starts_with('#')));
    // The base states its own change-over and the hold of one size alone.
    assert_eq!(stated.matches("hold:").count(), 1, "{stated}");
    let recalled = comments.lines().filter(|line| line.contains("(recalled; "));
    assert!(recalled.count() > 3, "{comments}");
    assert!(
        stated.contains("sizes: [1 IPS, 1-1/4 IPS, 1-1/2 IPS, 2 IPS]"),
        "{stated}"
    );
}
