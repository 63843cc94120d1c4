//! Comparing two revisions: every field of a spec is compared, units make no
//! difference, changes are classed as the table has them, and the rules, the
//! command and the notice.

mod command;
mod fields;
mod rules;

use chrono::NaiveDate;
use coldring::core::finding::Finding;
use coldring::core::source::{Source, Sources};
use coldring::papers::compile::{Compared, NoticeOptions, compare};
use coldring::procedure::compare::{Comparison, Fusers};

use crate::support::read;

/// The clean specs of the rules' tests.
const BASE: &str = "tests/data/base.yaml";
const METRIC: &str = "tests/data/metric-base.yaml";

fn sources(text: &str) -> Sources {
    Source::new("spec.yaml", text).into()
}

fn compared(old: &str, new: &str) -> Compared {
    let as_of = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap();
    let options = NoticeOptions::default();
    compare(&sources(old), &sources(new), options, as_of).unwrap()
}

/// What differs; both have to be readable and of one procedure.
fn comparison(old: &str, new: &str) -> Comparison {
    let compared = compared(old, new);
    let told = || compared.checked.findings.iter().map(|f| f.message.clone());
    let told: Vec<_> = told().collect();
    compared
        .comparison
        .unwrap_or_else(|| panic!("not compared: {told:?}"))
}

/// A text with one part of it replaced, which has to stand there once.
fn edited(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "{from}");
    text.replace(from, to)
}

/// Variable, way and class of each change.
fn told(comparison: &Comparison) -> Vec<(&'static str, &'static str, &'static str)> {
    let changes = comparison.changes.iter();
    changes
        .map(|c| (c.variable, c.kind.key(), c.rating.class.word()))
        .collect()
}

fn slugs(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.rule.slug).collect()
}

#[test]
fn other_units_and_other_spellings_are_no_change() {
    let us = read(BASE);
    let mut other = us.clone();
    for (from, to) in [
        ("set_point: 500 °F", "set_point: 260 °C"),
        // A difference of 9 °F is one of 5 °C.
        ("swing: 4 °F", "swing: \"4 °F\""),
        ("40 °F to 110 °F", "4.4444444 °C to 43.3333333 °C"),
        ("depth: 0.71 in", "depth: 18.034 mm"),
        ("depth: 23.88 mm", "depth: 0.94015748 in"),
        ("value: 6 min", "value: 360 s"),
        ("heat: 18 to 20 s", "heat: 18-20 s"),
        (
            "sizes: 1 IPS to 2 IPS",
            "sizes: [1 IPS, 1-1/4 IPS, 1-1/2 IPS, 2 IPS]",
        ),
        ("dimension_ratio: [9, 11]", "dimension_ratio: [11, 9]"),
    ] {
        if !us.contains(from) {
            panic!("{from}");
        }
        let one = compared(&us, &edited(&us, from, to));
        // Some of these spellings may not be taken; those that are, mean the same.
        let Some(comparison) = one.comparison else {
            continue;
        };
        let exact = !to.contains("4.444") && !to.contains("0.94015748");
        assert!(
            comparison.changes.is_empty() == exact,
            "{to}: {:?}",
            told(&comparison)
        );
        if exact {
            other = edited(&other, from, to);
        }
    }
    assert_ne!(us, other);
    assert!(comparison(&us, &other).changes.is_empty());
    assert!(
        comparison(&us, &format!("# A note\n{us}"))
            .changes
            .is_empty()
    );
}

#[test]
fn a_change_is_classed_by_the_way_it_goes() {
    let base = read(BASE);
    let drafted = edited(&base, "status: qualified", "status: draft");
    for (from, to, variable, way, class) in [
        ("hold: 65 s", "hold: 64 s", "hold", "lower", "essential"),
        (
            "hold: 65 s",
            "hold: 66 s",
            "hold",
            "higher",
            "supplementary",
        ),
        (
            "heat: 18 to 20 s",
            "heat: 18 to 21 s",
            "heating",
            "changed",
            "essential",
        ),
        (
            "40 °F to 110 °F",
            "40 °F to 111 °F",
            "pipe-temperature",
            "wider",
            "essential",
        ),
        (
            "40 °F to 110 °F",
            "40 °F to 109 °F",
            "pipe-temperature",
            "narrower",
            "supplementary",
        ),
        (
            "40 °F to 110 °F",
            "39 °F to 109 °F",
            "pipe-temperature",
            "changed",
            "essential",
        ),
        (
            "depth: 0.71 in",
            "depth: 0.72 in",
            "gauge-depth",
            "higher",
            "essential",
        ),
        (
            "set_point: 500 °F",
            "set_point: 501 °F",
            "set-point",
            "higher",
            "essential",
        ),
        (
            "swing: 4 °F",
            "swing: 3 °F",
            "heater-swing",
            "lower",
            "supplementary",
        ),
        (
            "title: Socket",
            "title: The socket",
            "title",
            "changed",
            "editorial",
        ),
        (
            "caliper on G-1",
            "caliper on G1",
            "gauge-source",
            "changed",
            "editorial",
        ),
        (
            "largest: 2 IPS",
            "largest: 3 IPS",
            "cutter",
            "higher",
            "supplementary",
        ),
        (
            "agent: isopropyl alcohol",
            "agent: acetone",
            "cleaning-agent",
            "changed",
            "essential",
        ),
        // Nothing was found on it, so it is held for essential.
        (
            "Base Line Utility",
            "Base Line",
            "organization",
            "changed",
            "essential",
        ),
        (
            "[coupling, elbow, spigot]",
            "[coupling, elbow, tee, spigot]",
            "fitting-kind",
            "added",
            "supplementary",
        ),
        (
            "[coupling, elbow, spigot]",
            "[coupling, spigot]",
            "fitting-kind",
            "removed",
            "supplementary",
        ),
    ] {
        let told = told(&comparison(&drafted, &edited(&drafted, from, to)));
        assert_eq!(told, [(variable, way, class)], "{from} → {to}");
    }
}

#[test]
fn a_size_is_told_once_with_its_tools_and_times() {
    let base = read(BASE);
    let more = edited(&base, "sizes: 1 IPS to 2 IPS", "sizes: 3/4 IPS to 2 IPS");
    let more = edited(
        &more,
        "  depth_gauges:\n",
        "  depth_gauges:\n    3/4 IPS: {depth: 0.64 in, source: A}\n",
    );
    let told_of = told(&comparison(&base, &more));
    assert_eq!(
        told_of,
        [("pipe", "added", "essential"); 2],
        "one for each wall"
    );
    let back = told(&comparison(&more, &base));
    assert_eq!(back, [("pipe", "removed", "supplementary"); 2]);
}

#[test]
fn another_family_of_resin_asks_fusers_to_qualify_again() {
    let base = read(METRIC);
    let of = |resin: &str| {
        let other = edited(&base, "resin: PE100", resin);
        comparison(&base, &other)
    };
    let same_family = of("resin: PE80");
    assert_eq!(told(&same_family)[0], ("resin", "changed", "essential"));
    assert_eq!(same_family.fusers(), Fusers::Tell);
    let other_family = of("resin: PP-R");
    assert_eq!(other_family.fusers(), Fusers::Requalify);
    assert!(other_family.requalify());
}

#[test]
fn what_only_the_papers_have_asks_nothing_of_anybody() {
    let base = read(BASE);
    let other = edited(&base, "paper: letter", "paper: a4");
    let comparison = comparison(&base, &other);
    assert_eq!(told(&comparison), [("paper", "changed", "editorial")]);
    assert!(!comparison.requalify());
    assert_eq!(comparison.fusers(), Fusers::Nothing);
}

#[test]
fn a_record_of_its_joints_takes_a_size_into_the_range() {
    let earlier = read("specs/earlier/alder-fork-gas-r1.yaml");
    let later = crate::support::gas_with_record();
    let record = Source::new("r.yaml", read("specs/records/AF-PQ-07.yaml"));
    let role = coldring::core::source::Role::Record;
    let with = sources(&later).with(role, Ok(record));
    let as_of = NaiveDate::from_ymd_opt(2026, 11, 20).unwrap();
    let options = NoticeOptions::default();
    let proven = compare(&sources(&earlier), &with, options, as_of).unwrap();
    assert_eq!(slugs(&proven.checked.findings), [""; 0]);
    let proven = proven.comparison.unwrap();
    assert_eq!(proven.proof, ["AF-PQ-07"]);
    let pipes = |comparison: &Comparison| -> Vec<_> {
        let told = told(comparison).into_iter();
        told.filter(|(variable, ..)| *variable == "pipe").collect()
    };
    assert_eq!(pipes(&proven), [("pipe", "added", "supplementary"); 2]);
    // The same record without its joints at hand reaches nowhere.
    let alone = comparison(&earlier, &crate::support::gas_alone());
    assert_eq!(pipes(&alone), [("pipe", "added", "essential"); 2]);
    assert_eq!(alone.fusers(), Fusers::Requalify);
}
