//! Joints and records held against the procedure that they were made by.

use super::{FIRST_FACES, FIRST_STRAPS, fires, found, quiet, told};

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
