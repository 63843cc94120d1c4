//! Records of test joints: each rule at its limit and just beyond, the range
//! that joints support, and the forms. The record is the one of the demo, which
//! is invented.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use coldring::compile::check;
use coldring::finding::{Finding, Severity};
use coldring::source::{Role, Source, Sources, Unavailable};

use crate::support::{
    AS_OF, GAS, as_of, coldring, coldring_with, demos, names_in, pages_text, read, run, squeezed,
};

const RECORD: &str = "specs/records/AF-PQ-07.yaml";

/// The first joint of the demo's record: 1/2 CTS, tested by straps.
const FIRST_FACES: &str = "{pipe_adapter: 500 °F, fitting_adapter: 501 °F}";
const FIRST_STRAPS: &str = "straps: 3, with_voids: 0, failed_in_joint: 0, result: pass";
/// The tensile test of the last joint: 2 IPS.
const LAST_TENSILE: &str = "elongation: 27 %, failure: outside the joint, result: pass";

type Edit<'e> = (&'e str, &'e str);

/// The text with the first place of each edit changed.
fn edited(name: &str, edits: &[Edit<'_>]) -> String {
    edits.iter().fold(read(name), |text, (old, new)| {
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
    found_in(&read(GAS), &edited(RECORD, record))
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
    let may = [slug, "qualified-outside-range"];
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

#[test]
fn elongation_passes_at_25_percent_or_with_a_failure_outside() {
    let with = |new: &'static str| [(LAST_TENSILE, new)];
    quiet(&with(
        "elongation: 25.0 %, failure: in the joint, result: pass",
    ));
    quiet(&with(
        "elongation: 24.9 %, failure: outside the joint, result: pass",
    ));
    quiet(&with("elongation: 640 %, failure: none, result: pass"));
    for failure in ["in the joint", "none"] {
        let short = format!("elongation: 24.9 %, failure: {failure}, result: pass");
        fires(
            "test-result-contradicted",
            "24.9 %",
            &[(LAST_TENSILE, &short)],
        );
    }
    fires(
        "test-joint-failed",
        "at least 25 %",
        &with("elongation: 24.9 %, failure: in the joint, result: fail"),
    );
}

#[test]
fn pressure_and_crush_tests_are_judged_by_a_stated_criterion_only() {
    const BURST: &str = "{kind: burst, pressure: 471 psi, criterion: {at_least: 450 psi, \
                         source: \"AFG Material Standard 12, table 3\"}, result: pass}";
    let with = |test: &str| edited(RECORD, &[(BURST, test)]);
    let slugs = |test: &str| {
        let found = found_in(&read(GAS), &with(test));
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
        let found = found_in(&read(GAS), &with(test));
        let named =
            |f: &Finding| f.rule.slug != "test-without-criterion" || f.message.contains(name);
        assert!(found.iter().all(named), "{:?}", told(&found));
    }
    // A criterion without its source is none.
    let without = "{kind: burst, pressure: 471 psi, criterion: {at_least: 450 psi}, result: pass}";
    let found = found_in(&read(GAS), &with(without));
    assert!(
        found.iter().any(|f| f.rule.slug == "missing-field"),
        "{:?}",
        told(&found)
    );
}

#[test]
fn a_joint_is_held_against_the_procedure_at_its_limits() {
    // Calibrated on the day of the joint, and the day after.
    let calibrated = "&pyrometer {id: P-3, calibrated: 2026-08-03}";
    quiet(&[
        (calibrated, "{id: P-3, calibrated: 2026-08-18}"),
        (
            "pyrometer: *pyrometer",
            "pyrometer: &pyrometer {id: P-3, calibrated: 2026-08-03}",
        ),
    ]);
    fires(
        "pyrometer-calibrated-later",
        "after joint T-1a",
        &[
            (calibrated, "{id: P-3, calibrated: 2026-08-19}"),
            (
                "pyrometer: *pyrometer",
                "pyrometer: &pyrometer {id: P-3, calibrated: 2026-08-03}",
            ),
        ],
    );
    quiet(&[(
        FIRST_FACES,
        "{pipe_adapter: 490 °F, fitting_adapter: 510 °F}",
    )]);
    let outside = "test-face-outside-window";
    fires(
        outside,
        "pipe adapter",
        &[(
            FIRST_FACES,
            "{pipe_adapter: 489.9 °F, fitting_adapter: 500 °F}",
        )],
    );
    fires(
        outside,
        "fitting adapter",
        &[(
            FIRST_FACES,
            "{pipe_adapter: 500 °F, fitting_adapter: 510.1 °F}",
        )],
    );
    let pipe = "pipe_temperature: 71 °F";
    quiet(&[(pipe, "pipe_temperature: 40 °F")]);
    fires(
        "test-pipe-outside-temperatures",
        "39.9 °F",
        &[(pipe, "pipe_temperature: 39.9 °F")],
    );
    let depth = "gauge_depth: 0.52 in";
    // The same depth in millimetres.
    quiet(&[(depth, "gauge_depth: 13.21 mm")]);
    fires(
        "test-depth-differs",
        "0.53 in",
        &[(depth, "gauge_depth: 0.53 in")],
    );
    let late = "test-time-outside-row";
    let heating = "heating: 6.5 s";
    quiet(&[(heating, "heating: 6 s")]);
    quiet(&[(heating, "heating: 7 s")]);
    fires(late, "5.9 s", &[(heating, "heating: 5.9 s")]);
    fires(late, "7.1 s", &[(heating, "heating: 7.1 s")]);
    let change_over = "change_over: 2.5 s";
    quiet(&[(change_over, "change_over: 3 s")]);
    fires(late, "at most 3 s", &[(change_over, "change_over: 3.1 s")]);
    fires(late, "at least 30 s", &[("hold: 30 s", "hold: 29.9 s")]);
    fires(
        "test-joint-refused",
        "T-1a",
        &[("visual: pass", "visual: fail")],
    );
    fires(
        "test-joint-of-other-resin",
        "PE4710",
        &[("resin: PE2708", "resin: PE4710")],
    );
    fires(
        "test-joint-not-claimed",
        "3 IPS",
        &[(
            "size: 1/2 CTS\n    wall: 0.090 in",
            "size: 3 IPS\n    wall: DR 11",
        )],
    );
    let straps = format!("tests:\n      - {{kind: straps, {FIRST_STRAPS}}}\n");
    fires("test-joint-untested", "T-1a", &[(&straps, "tests: []\n")]);
}

#[test]
fn a_record_is_held_against_its_procedure_and_its_days() {
    let all = found(&[("procedure: AF-JP-12", "procedure: AF-JP-11")]);
    let slugs: Vec<_> = told(&all).into_iter().map(|(slug, _)| slug).collect();
    assert!(
        slugs.contains(&"record-of-other-procedure") && slugs.contains(&"qualified-outside-range")
    );
    quiet(&[("date: 2026-08-28", "date: 2026-08-21")]);
    fires(
        "record-before-its-joints",
        "T-5b",
        &[("date: 2026-08-28", "date: 2026-08-20")],
    );
    // The rules about cited records hold for a file too, at its place.
    for (edit, slug) in [
        (
            ("date: 2026-08-28", "date: 2026-11-26"),
            "record-after-as-of",
        ),
        (
            ("date: 2026-08-28", "date: 2026-09-02"),
            "record-after-revision",
        ),
        (
            ("revision: 2", "revision: 7"),
            "record-for-unknown-revision",
        ),
    ] {
        let all = found(&[edit]);
        let of_rule = all.iter().find(|f| f.rule.slug == slug);
        let finding = of_rule.unwrap_or_else(|| panic!("{slug}: {:?}", told(&all)));
        assert_ne!(finding.file, Default::default(), "{slug}");
    }
    let older = found(&[("revision: 2", "revision: 1")]);
    assert!(
        older
            .iter()
            .any(|f| f.rule.slug == "record-for-other-revision")
    );
}

#[test]
fn straps_alone_do_not_qualify_a_gas_procedure() {
    let text = read(RECORD);
    let straps = format!("      - {{kind: straps, {FIRST_STRAPS}}}");
    let kept: Vec<_> = text
        .lines()
        .filter(|line| !line.contains("kind: burst"))
        .map(|line| {
            if line.contains("kind: tensile") {
                &straps
            } else {
                line
            }
        })
        .collect();
    let found = found_in(&read(GAS), &kept.join("\n"));
    assert!(
        found
            .iter()
            .any(|f| f.rule.slug == "record-without-procedure-test")
    );
    assert!(
        found.iter().all(|f| f.severity() != Severity::Error),
        "{:?}",
        told(&found)
    );
}

/// The rows that the finding about the range names.
fn uncovered(spec: &[Edit<'_>], keep: impl Fn(&str) -> bool) -> Option<String> {
    let record = read(RECORD);
    let (head, joints) = record.split_once("  - id: ").unwrap();
    let anchored = joints.replace("*pyrometer", "{id: P-3, calibrated: 2026-08-03}");
    let joints = anchored.replace("&pyrometer ", "");
    let kept: String = joints
        .split("  - id: ")
        .filter(|joint| keep(joint))
        .map(|joint| format!("  - id: {joint}"))
        .collect();
    let found = found_in(&edited(GAS, spec), &(head.to_owned() + &kept));
    let unread = found.iter().any(coldring::spec::rules::leaves_value_unread);
    assert!(!unread, "{:?}", told(&found));
    let of_rule = found
        .into_iter()
        .find(|f| f.rule.slug == "qualified-outside-range");
    of_rule.map(|finding| finding.message)
}

#[test]
fn sizes_between_the_tested_ones_are_supported_and_no_others() {
    assert_eq!(uncovered(&[], |_| true), None);
    // 1-1/4 IPS lies between 1 IPS and 2 IPS.
    assert_eq!(
        uncovered(&[], |joint| !joint.contains("size: 1-1/4 IPS")),
        None
    );
    let without_largest = uncovered(&[], |joint| !joint.contains("size: 2 IPS")).unwrap();
    assert!(
        without_largest.contains("supports 2 IPS DR 11 (size);"),
        "{without_largest}"
    );
    assert!(
        without_largest.contains("1 IPS to 1-1/4 IPS"),
        "{without_largest}"
    );
    // A system is not supported by another.
    let without_tubing = uncovered(&[], |joint| !joint.contains("CTS")).unwrap();
    assert!(without_tubing.contains("1/2 CTS 0.090 in (size), 3/4 CTS 0.090 in (size)"));
    let refused = found_in(
        &read(GAS),
        &read(RECORD).replace("visual: pass", "visual: fail"),
    );
    let none = refused
        .iter()
        .find(|f| f.rule.slug == "qualified-outside-range");
    assert!(none.is_some_and(|f| f.message.contains("no joint of the records counts")));
    // A draft may claim what is still to be tested.
    let draft = [("status: qualified", "status: draft")];
    assert_eq!(uncovered(&draft, |joint| !joint.contains("CTS")), None);
}

#[test]
fn walls_down_to_the_thinnest_tested_are_supported() {
    let walls = |ratios: &'static str| [("dimension_ratio: 11", ratios)];
    assert_eq!(
        uncovered(&walls("dimension_ratio: [9, 11]"), |_| true),
        None
    );
    // 2 IPS DR 13.5 is thicker than 1 IPS DR 11, the other two are not.
    let thinner = uncovered(&walls("dimension_ratio: [11, 13.5]"), |_| true).unwrap();
    assert!(
        thinner.contains("supports 1 IPS DR 13.5 (wall); "),
        "{thinner}"
    );
}

#[test]
fn a_wider_rule_widens_only_what_it_names() {
    let without_smallest = |joint: &str| !joint.contains("size: 1 IPS");
    let rule = "  operator_qualification:";
    let smaller =
        "  range: {rule: smaller sizes too, source: PI-92-061}\n  operator_qualification:";
    let both = "  range:\n    - {rule: smaller sizes too, source: PI-92-061}\n    \
                - {rule: thinner walls too, source: AFG letter 4}\n  operator_qualification:";
    let plain = uncovered(&[], without_smallest).unwrap();
    assert!(plain.contains("1 IPS DR 11 (size)"), "{plain}");
    // The size is let through; its wall is still thinner than any tested.
    let by_wall = uncovered(&[(rule, smaller)], without_smallest).unwrap();
    assert!(by_wall.contains("1 IPS DR 11 (wall)"), "{by_wall}");
    assert_eq!(uncovered(&[(rule, both)], without_smallest), None);
    // What rests on the rule alone is said; where nothing does, nothing is.
    let record = read(RECORD).replace("size: 1 IPS", "size: 1-1/4 IPS");
    let widened = found_in(&edited(GAS, &[(rule, both)]), &record);
    let said = widened
        .iter()
        .find(|f| f.rule.slug == "range-widened-by-rule");
    assert!(
        said.is_some_and(|f| f.message.contains("1 IPS DR 11")),
        "{:?}",
        told(&widened)
    );
    let whole = found_in(&edited(GAS, &[(rule, both)]), &read(RECORD));
    assert!(whole.iter().all(|f| f.rule.slug != "range-widened-by-rule"));
}

#[test]
fn every_problem_of_a_record_is_told_at_once_and_nothing_is_said_to_be_missing() {
    let found = found(&[
        ("coldring-record: 1", "coldring-record: 2"),
        ("size: 1/2 CTS", "size: 1/2"),
        ("heating: 6.5 s", "heating: 6.5"),
        ("resin: PE2708\n", "resin: PE2708\n    resing: PE2708\n"),
        ("kind: tensile", "kind: tensil"),
        ("id: T-2a", "id: T-1b"),
        ("elongation: 27 %", "elongation: -27 %"),
    ]);
    let in_record: BTreeSet<_> = found
        .iter()
        .filter(|f| f.file != Default::default())
        .map(|f| f.rule.slug)
        .collect();
    for slug in [
        "format-version",
        "not-a-size",
        "missing-unit",
        "unknown-field",
        "unknown-word",
        "not-a-quantity",
    ] {
        assert!(in_record.contains(slug), "{slug}: {in_record:?}");
    }
    assert!(
        found
            .iter()
            .all(|f| f.rule.slug != "qualified-outside-range")
    );
    assert!(
        found
            .iter()
            .all(|f| f.rule.slug != "qualified-without-record")
    );
}

#[test]
fn a_record_that_is_not_at_hand_is_told_once() {
    let spec = || Sources::from(Source::new("spec.yaml", read(GAS)));
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

#[test]
fn the_procedure_says_what_the_record_supports_and_names_nobody() {
    let pdf = demos().gas.join("procedure.pdf");
    let text = squeezed(&pages_text(&pdf).concat());
    for words in [
        "10 of 10 test joints were made by this procedure and passed",
        "1 IPS to 2 IPS",
        "Brindle Creek Pipe",
        "that is no approval",
        "Straps: 49 CFR 192.285(b)(2)(iii)",
    ] {
        assert!(text.contains(&squeezed(words)), "{words}");
    }
    let bytes = fs::read(&pdf).unwrap();
    let manifest = fs::read_to_string(demos().gas.join("manifest.json")).unwrap();
    for person in ["Marta Quill", "Ada Fennimore"] {
        assert!(!text.contains(&squeezed(person)) && !manifest.contains(person));
        assert!(
            !bytes
                .windows(person.len())
                .any(|part| part == person.as_bytes())
        );
    }
    assert!(manifest.contains("\"record\""));
    assert!(crate::support::tool("pdfdetach", &[Path::new("-list"), &pdf]).contains("1 embedded"));
}

/// The forms of the demo in a folder of their own.
fn forms(arguments: &[&str]) -> (tempfile::TempDir, std::path::PathBuf) {
    let out = tempfile::tempdir().unwrap();
    let ran = run(coldring()
        .args(["forms", GAS, "--as-of", AS_OF, "--out"])
        .arg(out.path())
        .args(arguments));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let folder = out.path().join("AF-JP-12-r2-forms");
    (out, folder)
}

#[test]
fn blank_forms_have_room_and_are_tied_to_procedure_and_revision() {
    for language in ["en", "es"] {
        for paper in ["letter", "a4"] {
            let (_out, folder) = forms(&["--language", language, "--paper", paper]);
            assert_eq!(names_in(&folder), ["joint-log.pdf", "record-form.pdf"]);
            for (name, pages) in [("joint-log.pdf", 1), ("record-form.pdf", 2)] {
                let text = pages_text(&folder.join(name));
                assert_eq!(text.len(), pages, "{name} {language} {paper}");
                for page in text {
                    assert!(page.contains("AF-JP-12"), "{name}");
                    assert!(!page.contains("Marta Quill"));
                }
            }
        }
    }
}

#[test]
fn a_filled_form_says_what_the_record_says_and_what_the_figures_say() {
    let (_out, folder) = forms(&["--record", RECORD]);
    assert_eq!(names_in(&folder), ["record.pdf"]);
    let text = squeezed(&pages_text(&folder.join("record.pdf")).concat());
    for words in [
        "AF-PQ-07",
        "Marta Quill",
        "Ada Fennimore",
        "Stillwater Test House",
        "38 %",
        "471 psi",
        "By the figures",
        "T-5b",
    ] {
        assert!(text.contains(&squeezed(words)), "{words}");
    }
}

#[test]
fn a_record_that_contradicts_itself_prints_and_fails_the_run() {
    let folder = tempfile::tempdir().unwrap();
    let record = folder.path().join("record.yaml");
    let out = folder.path().join("out");
    let wrong = "elongation: 24.9 %, failure: in the joint, result: pass";
    fs::write(&record, edited(RECORD, &[(LAST_TENSILE, wrong)])).unwrap();
    let arguments = || ["forms", GAS, "--as-of", AS_OF, "--record"];
    let ran = run(coldring()
        .args(arguments())
        .arg(&record)
        .arg("--out")
        .arg(&out));
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.err.contains("test-result-contradicted"), "{}", ran.err);
    let text = squeezed(&pages_text(&out.join("AF-JP-12-r2-forms/record.pdf")).concat());
    assert!(text.contains("fail"), "{text}");
    // Half of a record would print as a whole one.
    fs::write(&record, edited(RECORD, &[("size: 1/2 CTS", "size: half")])).unwrap();
    fs::remove_dir_all(&out).unwrap();
    let ran = run(coldring()
        .args(arguments())
        .arg(&record)
        .arg("--out")
        .arg(&out));
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(
        ran.err.contains("not-a-size") && !out.exists(),
        "{}",
        ran.err
    );
    let ran = coldring_with(&["forms", GAS, "--record", "no-such-file.yaml"]);
    assert_eq!(ran.code, Some(2), "{}", ran.err);
}
