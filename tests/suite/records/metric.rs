//! Records of metric joints, where the wall says which time a joint was heated
//! for. d 90 is heated for 40 s up to SDR 11 and for 22 s with SDR 17 and 17.6
//! (tests/data/metric_pe_cycles.csv); the procedure claims SDR 11 and 17.

use std::collections::BTreeSet;

use super::found_in;
use crate::support::read;

/// What is found of a record with one joint of d 90.
fn slugs(wall: &str, heating: &str) -> BTreeSet<&'static str> {
    let spec = read("tests/data/metric-base.yaml")
        + "\nqualification:\n  records:\n    - records/ML-PQ-1.yaml\n";
    let record = format!(
        "coldring-record: 1
number: ML-PQ-1
date: 2026-05-20
procedure: ML-SF-2
revision: 1
witness: Ada Fennimore
laboratory: Stillwater Test House
joints:
  - id: M-1
    date: 2026-05-11
    operator: Marta Quill
    size: 90 mm
    wall: {wall}
    resin: PE100
    pipe: {{maker: Brindle Creek Pipe, lot: BC-1}}
    fitting: {{maker: Ledgerock Fittings, lot: LR-1}}
    partner: socket
    heater: H-1
    gauge: C-1
    pyrometer: {{id: P-1, calibrated: 2026-05-02}}
    pipe_temperature: 21 °C
    ambient_temperature: 20 °C
    face_temperatures: {{pipe_adapter: 259 °C, fitting_adapter: 260 °C}}
    gauge_depth: 30 mm
    heating: {heating}
    change_over: 6 s
    hold: 40 s
    visual: pass
    tests:
      - {{kind: crush, separated: 0 %, criterion: {{at_most: 33 %, source: Works manual 3.9}}, result: pass}}
"
    );
    let found = found_in(&spec, &record);
    let about = found.iter().filter(|f| f.rule.slug.starts_with("test-"));
    let slugs = about.map(|f| f.rule.slug).collect();
    let unread = found.iter().any(|finding| finding.rule.leaves_unread);
    assert!(!unread, "{:?}", super::told(&found));
    slugs
}

#[test]
fn a_metric_joint_is_held_against_the_time_of_its_own_wall() {
    let late = BTreeSet::from(["test-time-outside-row"]);
    // The walls that are claimed, by ratio and as they are made.
    for (wall, right, wrong) in [
        ("SDR 11", "40 s", "22 s"),
        ("8.2 mm", "40 s", "22 s"),
        ("SDR 17", "22 s", "40 s"),
        ("5.4 mm", "22 s", "40 s"),
        // Walls that are not claimed go by the group they belong to.
        ("SDR 9", "40 s", "22 s"),
        // SDR 17 is 5.4 mm at least and 13.6 is 6.7 mm, so these are measured on SDR 17.
        ("5.5 mm", "22 s", "40 s"),
        ("6.6 mm", "22 s", "40 s"),
    ] {
        assert_eq!(slugs(wall, right), BTreeSet::new(), "{wall}");
        assert_eq!(slugs(wall, wrong), late, "{wall}");
    }
}

/// No wall is published for SDR 17.6, so nothing says how thin that pipe was.
#[test]
fn a_test_joint_of_an_unknown_wall_supports_nothing() {
    let unknown = BTreeSet::from(["test-wall-unknown"]);
    assert_eq!(slugs("SDR 17.6", "22 s"), unknown);
    assert_eq!(slugs("SDR 17", "22 s"), BTreeSet::new());
}

#[test]
fn a_metric_wall_between_the_groups_belongs_to_no_row() {
    for heating in ["40 s", "22 s"] {
        let none = BTreeSet::from(["test-joint-not-claimed"]);
        for wall in ["SDR 13.6", "6.7 mm", "8.1 mm"] {
            assert_eq!(slugs(wall, heating), none, "{wall}");
        }
    }
}
