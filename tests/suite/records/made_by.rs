//! Joints and records held against the procedure that they were made by.

use coldring::core::finding::Severity;

use super::{FIRST_FACES, FIRST_STRAPS, RECORD, edited, fires, found, found_in, quiet, told};
use crate::support::{GAS, gas_with_record, read};

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
    // The set point of 500 °F swings by 4 °F and is checked to 2 °F.
    quiet(&[(
        FIRST_FACES,
        "{pipe_adapter: 494 °F, fitting_adapter: 506 °F}",
    )]);
    let off = "test-face-off-set-point";
    for (pipe, fitting, says) in [
        (
            "493.9",
            "500",
            "the pipe adapter of joint T-1a was at 493.9 °F",
        ),
        (
            "500",
            "506.1",
            "the fitting adapter of joint T-1a was at 506.1 °F",
        ),
        // The limits of the window, which the faces of this set point never reach.
        ("490", "500", "the set point gives 494 °F"),
        ("500", "510", "to 506 °F"),
    ] {
        let faces = format!("{{pipe_adapter: {pipe} °F, fitting_adapter: {fitting} °F}}");
        fires(off, says, &[(FIRST_FACES, &faces)]);
    }
    // It shows both places, each in its own file, and once a joint.
    let faces = "{pipe_adapter: 493 °F, fitting_adapter: 493 °F}";
    let all = found(&[(FIRST_FACES, faces)]);
    let of_rule: Vec<_> = all.iter().filter(|f| f.rule.slug == off).collect();
    let [finding] = of_rule.as_slice() else {
        panic!("{:?}", told(&all));
    };
    assert_ne!(finding.file, Default::default());
    let set_point = &finding.related[0];
    assert_eq!(set_point.file, Default::default());
    assert_eq!(&gas_with_record()[set_point.span.range()], "500 °F");
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
    // The first joint of all, at 71 °F.
    let pipe = "pipe_temperature: 71 °F";
    quiet(&[(pipe, "pipe_temperature: 40 °F")]);
    fires(
        "test-pipe-outside-temperatures",
        "39.9 °F",
        &[(pipe, "pipe_temperature: 39.9 °F")],
    );
    let depth = "gauge_depth: 0.52 in";
    // The same depth in millimeters.
    quiet(&[(depth, "gauge_depth: 13.21 mm")]);
    fires(
        "test-depth-differs",
        "0.53 in",
        &[(depth, "gauge_depth: 0.53 in")],
    );
    let late = "test-time-outside-row";
    let heating = "heating: 6 s";
    quiet(&[(heating, "heating: 6.5 s")]);
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
    let straps = format!("tests:\n      - {{kind: straps, date: 2026-08-19, {FIRST_STRAPS}}}\n");
    fires("test-joint-untested", "T-1a", &[(&straps, "tests: []\n")]);
}

#[test]
fn a_record_is_held_against_its_procedure_and_its_days() {
    let all = found(&[("procedure: AF-JP-12", "procedure: AF-JP-11")]);
    let slugs: Vec<_> = told(&all).into_iter().map(|(slug, _)| slug).collect();
    assert!(
        slugs.contains(&"record-of-other-procedure") && slugs.contains(&"qualified-outside-range")
    );
    quiet(&[("date: 2026-08-28", "date: 2026-08-26")]);
    fires(
        "record-before-its-joints",
        "the burst test of joint T-1c is dated 2026-08-26",
        &[("date: 2026-08-28", "date: 2026-08-25")],
    );
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
            ("date: 2026-08-28", "date: 2026-10-02"),
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

/// A record that carried another set point, with nothing else changed.
#[test]
fn joints_of_another_set_point_support_nothing() {
    let with = |set_point: &str| {
        let spec = edited(GAS, &[("set_point: 500 °F", set_point)]);
        let found = found_in(&spec, &read(RECORD));
        let errors = found.iter().filter(|f| f.severity() == Severity::Error);
        errors.map(|f| f.rule.slug).collect::<Vec<_>>()
    };
    // The faces of the record are 496 to 504 °F. At 502 °F the set point gives 496
    // to 508 °F, at 492 °F 486 to 498 °F.
    assert_eq!(with("set_point: 502 °F"), [""; 0]);
    assert!(with("set_point: 492 °F").contains(&"qualified-outside-range"));
}

/// The hold of 1 IPS is 30 s and the change-over 3 s at most. A joint of an
/// earlier revision that was let go sooner passed the harder test; one of the
/// current revision was not made by it.
#[test]
fn a_longer_hold_takes_joints_of_an_earlier_revision() {
    let spec = |third: &str| {
        edited(
            GAS,
            &[
                (
                    "effective: 2026-10-01}\n",
                    "effective: 2026-10-01}\n    - {revision: 3, date: 2026-11-02, effective: 2026-11-02}\n",
                ),
                (
                    "cycles:\n",
                    "cycles:\n  rows: [{size: 1 IPS, heat: 10 to 12 s, hold: 40 s, change_over: 2 s, source: M}]\n",
                ),
                (
                    "    - records/AF-PQ-07.yaml\n",
                    &format!("    - records/AF-PQ-07.yaml\n{third}"),
                ),
            ],
        )
    };
    let late = |spec: &str, record: &str| {
        let found = found_in(spec, record);
        let slugs = found.iter().map(|f| f.rule.slug);
        slugs.filter(|s| *s == "test-time-outside-row").count()
    };
    let review = "    - {number: AF-PQ-09, date: 2026-11-01, revision: 3}\n";
    let earlier = found_in(&spec(review), &read(RECORD));
    assert!(
        earlier.iter().all(|f| f.severity() != Severity::Error),
        "{:?}",
        told(&earlier)
    );
    assert_eq!(late(&spec(review), &read(RECORD)), 0);
    // Three joints of 1 IPS: held for 30 to 32 s, and two closed in 2.5 s.
    let current = edited(RECORD, &[("revision: 2", "revision: 3")]);
    assert_eq!(late(&spec(""), &current), 5);
}

#[test]
fn a_qualified_revision_needs_a_record_of_its_own() {
    let slug = "record-for-other-revision";
    let of = |record: &[(&str, &str)]| {
        let found = found(record);
        found.into_iter().find(|f| f.rule.slug == slug)
    };
    let older = of(&[("revision: 2", "revision: 1")]).expect("fires");
    assert_eq!(older.severity(), Severity::Error);
    assert!(of(&[]).is_none());
}
