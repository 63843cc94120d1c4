//! People, tools and lots of a record that cannot be what it says.

use super::{RECORD, edited, fires, found_in, quiet, told};
use crate::support::{gas_with_record, read};

const FIRST_GAUGE: &str = "gauge: C-1";
const PYROMETER: &str = "&pyrometer {id: P-3, calibrated: 2026-08-03}";
/// The pyrometer of the other joints, when the first one has its own.
const OTHERS: (&str, &str) = (
    "pyrometer: *pyrometer",
    "pyrometer: &pyrometer {id: P-3, calibrated: 2026-08-03}",
);

#[test]
fn the_witness_is_somebody_else() {
    fires(
        "witness-made-the-joint",
        "also made joint T-1a",
        &[("witness: Ada Fennimore", "witness: marta  Quill")],
    );
    quiet(&[("witness: Ada Fennimore", "witness: Martha Quill")]);
}

#[test]
fn no_company_makes_or_sees_a_joint() {
    let slug = "person-is-organization";
    fires(
        slug,
        "the witness",
        &[("witness: Ada Fennimore", "witness: Stillwater Test House")],
    );
    fires(
        slug,
        "the operator",
        &[("operator: Marta Quill", "operator: Alder Fork Gas")],
    );
    // A laboratory of one's own is no person.
    quiet(&[(
        "laboratory: Stillwater Test House",
        "laboratory: Alder Fork Gas",
    )]);
}

/// Findings are printed on the papers of the procedure, which name nobody.
#[test]
fn what_is_said_of_people_does_not_name_them() {
    let record = edited(
        RECORD,
        &[("witness: Ada Fennimore", "witness: Marta Quill")],
    );
    let found = found_in(&gas_with_record(), &record);
    let about = found
        .iter()
        .find(|f| f.rule.slug == "witness-made-the-joint");
    let about = about.unwrap_or_else(|| panic!("{:?}", told(&found)));
    assert!(!about.message.contains("Quill"), "{}", about.message);
}

#[test]
fn a_joint_is_made_with_the_gauge_of_its_size() {
    fires(
        "test-gauge-of-other-size",
        "joint T-1a is 1/2 CTS, and I-3 is the gauge of 2 IPS",
        &[(FIRST_GAUGE, "gauge: I-3")],
    );
    // A gauge that the procedure does not list may be an older one of the size.
    quiet(&[(FIRST_GAUGE, "gauge: C-11")]);
}

#[test]
fn the_calibration_has_not_run_out() {
    let slug = "pyrometer-calibration-expired";
    let due = |due: &str| format!("{{id: P-3, calibrated: 2026-08-03, due: {due}}}");
    // Joint T-1a was made on 2026-08-18.
    fires(
        slug,
        "was due on 2026-08-17, before joint T-1a of 2026-08-18",
        &[(PYROMETER, &due("2026-08-17")), OTHERS],
    );
    quiet(&[(PYROMETER, &due("2026-08-18")), OTHERS]);
    fires(
        slug,
        "not before it",
        &[(PYROMETER, &due("2026-08-03")), OTHERS],
    );
}

#[test]
fn tools_and_lots_are_told_apart() {
    fires(
        "one-mark-two-tools",
        "the heater and the pyrometer of joint T-1a are both P-3",
        &[("heater: H-2", "heater: P-3")],
    );
    quiet(&[("heater: H-2", "heater: H-3")]);
    let fitting = "fitting: {maker: Ledgerock Fittings, lot: LR-210}";
    fires(
        "pipe-and-fitting-of-one-lot",
        "both of lot BC-26E-11",
        &[(
            fitting,
            "fitting: {maker: Brindle Creek Pipe, lot: BC-26E-11}",
        )],
    );
    quiet(&[(
        fitting,
        "fitting: {maker: Brindle Creek Pipe, lot: BC-26E-12}",
    )]);
}

/// The first joint is of 2026-08-18, and its straps were tested a day later.
#[test]
fn no_test_is_older_than_its_joint() {
    let with = |date: &'static str| [("date: 2026-08-19, straps: 3", date)];
    fires(
        "tested-before-made",
        "the strap test of joint T-1a is dated 2026-08-17, and the joint was made on 2026-08-18",
        &with("date: 2026-08-17, straps: 3"),
    );
    quiet(&with("date: 2026-08-18, straps: 3"));
    // A record need not date its tests.
    quiet(&with("straps: 3"));
}

/// A joint that was pulled is not whole any more, and a burst test takes a whole one.
#[test]
fn a_joint_is_pulled_or_burst() {
    const BURST: &str = "{kind: burst, date: 2026-08-26, pressure: 509 psi";
    const TENSILE: &str = "- {kind: tensile, date: 2026-08-25, elongation: 27 %, \
                           failure: outside the joint, result: pass}\n";
    let text = read(RECORD);
    let burst = text.lines().find(|line| line.contains(BURST)).unwrap();
    let slug = "pulled-and-burst";
    let both = format!("{TENSILE}{burst}\n");
    fires(
        slug,
        "joint T-5b has a tensile test and a burst test",
        &[(TENSILE, &both)],
    );
    let twice = format!("{burst}\n{burst}");
    fires(
        slug,
        "joint T-5c has a burst test and a burst test",
        &[(burst, &twice)],
    );
    // Held under pressure first, it is whole; and several specimens are cut from one joint.
    let sustained = "      - {kind: sustained pressure, pressure: 100 psi, time: 200 h, failed: no, \
                     criterion: {pressure: 100 psi, time: 200 h, source: Plan 3}, result: pass}";
    quiet(&[(burst, &format!("{sustained}\n{burst}"))]);
    quiet(&[(TENSILE, &format!("{TENSILE}      {TENSILE}"))]);
}
