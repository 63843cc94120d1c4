//! The sizes and walls that test joints support.

use coldring::core::source::{Role, Source, Sources};
use coldring::procedure::record::{records, support};
use coldring::procedure::resolve::resolve;
use coldring::published::library;
use coldring::spec::decode;

use super::{Edit, RECORD, edited, found_in, told};
use crate::support::{GAS, gas_with_record, read};

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
    let unread = found.iter().any(|finding| finding.rule.leaves_unread);
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
        &gas_with_record(),
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
        "  range: {rule: smaller sizes too, source: AFG letter 3}\n  operator_qualification:";
    let both = "  range:\n    - {rule: smaller sizes too, source: AFG letter 3}\n    \
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

/// Each line: the smallest and the largest size, the thinnest wall, the joint that
/// had it first, and how many joints; the record's joints in this order.
fn tested(order: impl Fn(&mut Vec<&str>)) -> Vec<String> {
    let record = read(RECORD);
    let (head, joints) = record.split_once("  - id: ").unwrap();
    let anchored = joints.replace("*pyrometer", "{id: P-3, calibrated: 2026-08-03}");
    let joints = anchored.replace("&pyrometer ", "");
    let mut joints: Vec<_> = joints.split("  - id: ").map(str::trim_end).collect();
    order(&mut joints);
    let joints: String = joints.iter().map(|j| format!("  - id: {j}\n")).collect();
    let text = gas_with_record();
    let (spec, _) = decode(&text);
    let spec = spec.unwrap();
    let sources = Sources::from(Source::new("spec.yaml", text));
    let record = Source::new("records/AF-PQ-07.yaml", head.to_owned() + &joints);
    let read = records(&spec, &sources.with(Role::Record, Ok(record)));
    assert!(read.findings.is_empty(), "{:?}", told(&read.findings));
    let procedure = resolve(&spec, library()).with_records(&read.files);
    let support = support(&procedure, library());
    let line = |tested: &coldring::procedure::record::Tested<'_>| {
        let thinnest = &tested.thinnest.joint.id.value;
        let (least, most, joints) = (tested.smallest, tested.largest, tested.joints);
        format!(
            "{least} to {most}, {:.3} in of {thinnest}, {joints}",
            tested.wall.mm() / 25.4
        )
    };
    support.tested().iter().map(line).collect()
}

/// 1/2 and 3/4 CTS have the same wall; 1 IPS DR 11 is 1.315 / 11 = 0.1195 in, and
/// every larger IPS size is thicker.
#[test]
fn what_is_proven_does_not_hang_on_the_order_of_the_joints() {
    let tubing = "1/2 CTS to 3/4 CTS, 0.090 in of";
    let pipe = "1 IPS to 2 IPS, 0.120 in of";
    assert_eq!(
        tested(|_| {}),
        [format!("{pipe} T-3a, 9"), format!("{tubing} T-1a, 6")]
    );
    assert_eq!(
        tested(|joints| joints.reverse()),
        [format!("{pipe} T-3c, 9"), format!("{tubing} T-2c, 6")]
    );
}

/// What is said of pipe temperatures when the two joints at the ends of the range
/// are made at others.
fn beyond(
    spec: &[Edit<'_>],
    coldest: &str,
    hottest: &str,
) -> Option<coldring::core::finding::Finding> {
    let record = edited(
        RECORD,
        &[
            (
                "pipe_temperature: 40 °F",
                &format!("pipe_temperature: {coldest}"),
            ),
            (
                "pipe_temperature: 100 °F",
                &format!("pipe_temperature: {hottest}"),
            ),
        ],
    );
    let found = found_in(&edited(GAS, spec), &record);
    let slug = "qualified-outside-temperatures";
    found.into_iter().find(|f| f.rule.slug == slug)
}

#[test]
fn joints_support_the_pipe_temperatures_between_the_coldest_and_the_hottest() {
    assert!(beyond(&[], "40 °F", "100 °F").is_none());
    // 100 °F is 37.78 °C.
    assert!(beyond(&[], "4.4 °C", "37.7 °C").is_some());
    for (coldest, hottest) in [("41 °F", "100 °F"), ("40 °F", "99 °F"), ("70 °F", "71 °F")] {
        let finding = beyond(&[], coldest, hottest).expect("fires");
        let says = "allows pipe at 40 °F (4.4 °C) to 100 °F (37.8 °C)";
        assert!(finding.message.contains(says), "{}", finding.message);
        assert!(finding.message.contains(coldest) || coldest == "40 °F");
    }
    let draft = [("status: qualified", "status: draft")];
    assert!(beyond(&draft, "70 °F", "71 °F").is_none());
    let narrow = [("40 °F to 100 °F", "70 °F to 73 °F")];
    assert!(beyond(&narrow, "70 °F", "73 °F").is_none());
    // A rule that the spec names widens it, and is told where something rests on it.
    let rule = "  operator_qualification:";
    let wider = "  range: {rule: other pipe temperatures too, source: AFG O&M Manual 4.4}\n  \
                 operator_qualification:";
    assert!(beyond(&[(rule, wider)], "70 °F", "71 °F").is_none());
    let widened = |record: &str| {
        let found = found_in(&edited(GAS, &[(rule, wider)]), record);
        let told = found
            .into_iter()
            .find(|f| f.rule.slug == "range-widened-by-rule");
        told.map(|f| f.message)
    };
    assert_eq!(widened(&read(RECORD)), None);
    let warm = edited(
        RECORD,
        &[("pipe_temperature: 40 °F", "pipe_temperature: 70 °F")],
    );
    let said = widened(&warm).expect("fires");
    assert!(said.contains("pipe at 40 °F"), "{said}");
}
