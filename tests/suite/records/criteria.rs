//! Each kind of test at its criterion and just beyond.

use coldring::core::finding::{Finding, Severity};

use super::{FIRST_STRAPS, LAST_TENSILE, RECORD, edited, fires, found_in, quiet, told};
use crate::support::{gas_with_record, read};

#[test]
fn three_straps_pass_and_two_do_not() {
    let with = |new: &'static str| [(FIRST_STRAPS, new)];
    quiet(&with(
        "straps: 4, with_voids: 0, failed_in_joint: 0, result: pass",
    ));
    for (figures, says) in [
        ("straps: 2, with_voids: 0, failed_in_joint: 0", "2 straps"),
        (
            "straps: 3, with_voids: 1, failed_in_joint: 0",
            "1 with voids",
        ),
        (
            "straps: 3, with_voids: 0, failed_in_joint: 1",
            "1 failed in the joint",
        ),
    ] {
        let (pass, fail) = (
            format!("{figures}, result: pass"),
            format!("{figures}, result: fail"),
        );
        fires("test-result-contradicted", says, &[(FIRST_STRAPS, &pass)]);
        fires("test-joint-failed", says, &[(FIRST_STRAPS, &fail)]);
    }
    // The witness saw a failure that the figures do not show.
    fires(
        "test-result-contradicted",
        "the figures say pass",
        &with("straps: 3, with_voids: 0, failed_in_joint: 0, result: fail"),
    );
}

/// The text of 49 CFR 192.283(a)(3) before 2019 was read with an elongation of at
/// least 25 %; today's is recalled with no more than 25 %. Both pass a failure
/// outside the joint.
#[test]
fn an_elongation_alone_decides_nothing() {
    for elongation in ["2 %", "24.9 %", "25.0 %", "640 %"] {
        let outside = format!("elongation: {elongation}, failure: outside the joint, result: pass");
        quiet(&[(LAST_TENSILE, &outside)]);
        for failure in ["in the joint", "none"] {
            for result in ["pass", "fail"] {
                let alone =
                    format!("elongation: {elongation}, failure: {failure}, result: {result}");
                let record = edited(RECORD, &[(LAST_TENSILE, &alone)]);
                let found = found_in(&gas_with_record(), &record);
                let contradicted = found
                    .iter()
                    .any(|f| f.rule.slug == "test-result-contradicted");
                assert!(!contradicted, "{alone}");
            }
        }
    }
    // By the limit that the record states.
    const STATED: &str = "criterion: {at_least: 25 %, source: Material Standard 12}, result: pass";
    let enough = format!("elongation: 25.0 %, failure: in the joint, {STATED}");
    quiet(&[(LAST_TENSILE, &enough)]);
    let short = format!("elongation: 24.9 %, failure: in the joint, {STATED}");
    fires(
        "test-result-contradicted",
        "24.9 %",
        &[(LAST_TENSILE, &short)],
    );
}

#[test]
fn pressure_and_crush_tests_are_judged_by_a_stated_criterion_only() {
    const BURST: &str = "{kind: burst, date: 2026-08-26, pressure: 471 psi, criterion: {at_least: 450 psi, \
                         source: \"AFG Material Standard 12, table 3\"}, result: pass}";
    let with = |test: &str| edited(RECORD, &[(BURST, test)]);
    let slugs = |test: &str| {
        let found = found_in(&gas_with_record(), &with(test));
        let about = |f: &&Finding| f.rule.slug.starts_with("test-");
        found
            .iter()
            .filter(about)
            .map(|f| f.rule.slug)
            .collect::<Vec<_>>()
    };
    let sourced = |kind: &str| format!("{{kind: {kind}, source: Example 7}}, result: pass}}");
    for (test, slug) in [
        (
            "burst, pressure: 450 psi, criterion: {at_least: 450 psi",
            None,
        ),
        (
            "burst, pressure: 449.9 psi, criterion: {at_least: 450 psi",
            Some("test-result-contradicted"),
        ),
        // 31.1 bar is 451 psi.
        (
            "burst, pressure: 31.1 bar, criterion: {at_least: 450 psi",
            None,
        ),
        ("crush, separated: 33 %, criterion: {at_most: 33 %", None),
        (
            "crush, separated: 33.1 %, criterion: {at_most: 33 %",
            Some("test-result-contradicted"),
        ),
        (
            "sustained pressure, pressure: 100 psi, time: 10 h, failed: no, criterion: {pressure: 100 psi, time: 600 min",
            None,
        ),
        (
            "sustained pressure, pressure: 100 psi, time: 599 min, failed: no, criterion: {pressure: 100 psi, time: 600 min",
            Some("test-result-contradicted"),
        ),
        (
            "sustained pressure, pressure: 99 psi, time: 10 h, failed: no, criterion: {pressure: 100 psi, time: 600 min",
            Some("test-result-contradicted"),
        ),
        (
            "sustained pressure, pressure: 100 psi, time: 10 h, failed: yes, criterion: {pressure: 100 psi, time: 600 min",
            Some("test-result-contradicted"),
        ),
    ] {
        assert_eq!(slugs(&sourced(test)), Vec::from_iter(slug), "{test}");
    }
    for (test, name) in [
        (
            "{kind: burst, pressure: 471 psi, result: pass}",
            "burst test",
        ),
        ("{kind: crush, separated: 0 %, result: pass}", "crush test"),
        (
            "{kind: sustained pressure, pressure: 100 psi, time: 10 h, failed: no, result: pass}",
            "sustained pressure test",
        ),
    ] {
        assert_eq!(slugs(test), ["test-without-criterion"], "{test}");
        let found = found_in(&gas_with_record(), &with(test));
        let named =
            |f: &Finding| f.rule.slug != "test-without-criterion" || f.message.contains(name);
        assert!(found.iter().all(named), "{:?}", told(&found));
    }
    // Without a criterion the figures say nothing, and the witness's word stands.
    assert_eq!(
        slugs("{kind: burst, pressure: 471 psi, result: fail}"),
        ["test-without-criterion", "test-joint-failed"]
    );
    // A joint with no other test is told once, not as one without any test.
    let crush = "separated: 0 %, result: pass";
    let alone = [(FIRST_STRAPS, crush), ("kind: straps", "kind: crush")];
    fires("test-without-criterion", "T-1a", &alone);
    // A criterion without its source is none.
    let without = "{kind: burst, pressure: 471 psi, criterion: {at_least: 450 psi}, result: pass}";
    let found = found_in(&gas_with_record(), &with(without));
    assert!(
        found.iter().any(|f| f.rule.slug == "missing-field"),
        "{:?}",
        told(&found)
    );
}

#[test]
fn straps_alone_do_not_qualify_a_gas_procedure() {
    let text = read(RECORD);
    let straps = format!("      - {{kind: straps, {FIRST_STRAPS}}}");
    let other = |line: &str| line.contains("kind: burst") || line.contains("kind: tensile");
    let kept: Vec<_> = text
        .lines()
        .map(|line| if other(line) { &straps } else { line })
        .collect();
    let draft = gas_with_record().replace("status: qualified", "status: draft");
    let found = found_in(&draft, &kept.join("\n"));
    assert!(
        found
            .iter()
            .any(|f| f.rule.slug == "record-without-procedure-test")
    );
    // 49 CFR 192.283 binds gas alone.
    let water = found_in(
        &gas_with_record().replace("service: gas", "service: water"),
        &kept.join("\n"),
    );
    let asked = |f: &Finding| f.rule.slug.contains("without-procedure-test");
    assert!(!water.iter().any(asked), "{:?}", told(&water));
    assert!(
        found.iter().all(|f| f.severity() != Severity::Error),
        "{:?}",
        told(&found)
    );
}

/// 49 CFR 192.283(a), text before 2019: a pressure test, and a tensile test.
#[test]
fn a_qualified_gas_procedure_has_a_pressure_and_a_tensile_test() {
    let slug = "qualified-without-procedure-tests";
    let without = |kinds: &[&str]| {
        let text = read(RECORD);
        let straps = format!("      - {{kind: straps, {FIRST_STRAPS}}}");
        let kept = text.lines().map(|line| {
            let mut kinds = kinds.iter();
            let is_one = kinds.any(|kind| line.contains(&format!("kind: {kind}")));
            if is_one { &straps } else { line }
        });
        kept.collect::<Vec<_>>().join("\n")
    };
    let asked = |record: &str| {
        let found = found_in(&gas_with_record(), record);
        let finding = found.into_iter().find(|f| f.rule.slug == slug);
        finding.map(|f| (f.severity(), f.message))
    };
    assert_eq!(asked(&read(RECORD)), None);
    let (severity, said) = asked(&without(&["burst"])).expect("fires");
    assert_eq!(severity, Severity::Error);
    assert!(
        said.contains("a pressure test by a criterion (AF-PQ-07)"),
        "{said}"
    );
    // A burst test that states no criterion proves nothing.
    let unstated = read(RECORD)
        .lines()
        .map(|line| match line.split_once(", criterion: ") {
            Some((before, _)) => format!("{before}, result: pass}}"),
            None => line.to_owned(),
        })
        .collect::<Vec<_>>()
        .join("\n");
    assert!(asked(&unstated).is_some());
    // Without the tensile tests, the pressure test stands alone.
    let (_, said) = asked(&without(&["tensile"])).expect("fires");
    assert!(said.contains("a tensile test"), "{said}");
    // One pressure test of one joint is enough to have one.
    let one = without(&["burst"]).replacen(
        "failure: outside the joint, result: pass}",
        "failure: outside the joint, result: pass}\n      - {kind: sustained pressure, pressure: 300 psi, time: 200 h, failed: no, criterion: {pressure: 300 psi, time: 200 h, source: M 4}, result: pass}",
        1,
    );
    assert_eq!(asked(&one), None);
}
