//! The first page: every limit of the spec, its status, and what the lines say.

use crate::process::socket::sheets::procedure::tests::*;

const WATER: &str = include_str!("../../../../../../specs/tern-valley-water.yaml");
const QUALIFIED: &str = include_str!("../../../../../../specs/tour/5-qualified.yaml");

/// All that the first page says of a spec, and its frame.
fn page(text: &str) -> String {
    let sheet = sheet(text);
    loose(&serde_json::to_string(&(sheet.first, sheet.frame)).unwrap())
}

fn lines(text: &str, label: &str) -> Vec<String> {
    let facts = sheet(text).first.facts;
    let fact = facts.into_iter().find(|fact| fact.label == label);
    let lines = fact.unwrap_or_else(|| panic!("no {label}")).lines;
    lines.into_iter().map(|line| loose(&line.text)).collect()
}

#[test]
fn what_holds_in_the_cold_stands_with_the_pipe_temperature() {
    let temperature = |text: &str| lines(text, "Pipe temperature");
    // Cold work is covered down to the end of the range.
    assert_eq!(
        temperature(GEOTHERMAL),
        ["20 to 110 °F", "Trial joints below 40 °F"]
    );
    // The range ends where cold work would begin.
    assert_eq!(temperature(GAS), ["40 to 100 °F"]);
    // A range that reaches into the cold without a section on it.
    let cold = GAS.replace("40 °F to 100 °F", "30 °F to 100 °F");
    assert_eq!(temperature(&cold), ["30 to 100 °F", "No joint below 40 °F"]);
    // A floor above the end of the range.
    let floor = GEOTHERMAL.replace(
        "cold_weather:\n",
        "cold_weather:\n  no_joints_below: {value: 25 °F, source: HC trial 3}\n",
    );
    assert_ne!(floor, GEOTHERMAL);
    assert_eq!(temperature(&floor)[2], "No joint below 25 °F");
    let open = GAS.replace("  pipe_temperature: 40 °F to 100 °F\n", "");
    assert_ne!(open, GAS);
    assert_eq!(
        temperature(&open),
        [
            "No range stated: ask before fusing in heat or cold",
            "No joint below 40 °F"
        ]
    );
}

#[test]
fn the_longest_time_may_be_passed_only_where_cold_work_is_covered() {
    assert!(page(GAS).contains("Never go past max."));
    assert!(page(GEOTHERMAL).contains("Past max only by a cold-weather trial."));
    assert!(!page(GEOTHERMAL).contains("Never go past max."));
    // Where no time has a longest, nothing is said of one.
    let times = sheet(WATER).first.times;
    assert!(
        times
            .rows
            .iter()
            .all(|row| row.times.as_ref().unwrap().max.is_none())
    );
    assert!(!page(WATER).contains(" max."));
}

#[test]
fn a_wait_that_is_not_set_stops_the_pressure_test() {
    let wait = "    before_pressure_test: {value: 30 min";
    let line = GAS.lines().find(|line| line.starts_with(wait)).unwrap();
    let open = GAS.replace(&format!("{line}\n"), "");
    let page = page(&open);
    assert!(page.contains("NOT SET") && page.contains("No pressure test until"));
    assert!(!self::page(GAS).contains("NOT SET"));
}

#[test]
fn times_of_its_own_are_named_with_their_source() {
    let own = "cycles:\n  rows: [{size: 1 IPS, hold: 40 s, source: AF trial 7}]\n";
    let text = GAS.replace("cycles:\n", own);
    assert_ne!(text, GAS);
    let says = "Own times of the organization, with their source: 1 IPS DR 11 (AF trial 7).";
    assert!(page(&text).contains(says), "{}", page(&text));
    assert!(!page(GAS).contains("Own times"));
}

#[test]
fn waits_that_differ_by_size_are_columns_and_not_in_the_bar() {
    let own = "cycles:\n  rows: [{size: 1 IPS, before_handling: 9 min, source: AF trial 7}]\n";
    let times = sheet(&GAS.replace("cycles:\n", own)).first.times;
    assert!(times.limits.hands_off.is_none() && times.limits.off_heater.is_some());
    let waits = times
        .rows
        .iter()
        .map(|row| row.times.as_ref().unwrap().cool.as_ref());
    let waits: Vec<_> = waits.map(|wait| wait.unwrap().text.as_str()).collect();
    assert_eq!(waits, ["9", "5", "5", "5", "5"]);
    let alike = sheet(GAS).first.times;
    assert_eq!(alike.limits.hands_off.unwrap().number, "5 min");
    assert!(
        alike
            .rows
            .iter()
            .all(|row| row.times.as_ref().unwrap().cool.is_none())
    );
}

/// The gas demo with its record cited by number, date and revision alone.
fn gas() -> String {
    let cited = "    - {number: AF-PQ-07, date: 2026-08-28, revision: 2}";
    let text = GAS.replace("    - records/AF-PQ-07.yaml", cited);
    assert_ne!(text, GAS);
    text
}

fn status(text: &str) -> (Option<String>, String, String) {
    let frame = sheet(text).frame;
    (frame.tag, frame.status_line, frame.effective_line)
}

#[test]
fn a_qualified_procedure_names_its_record_and_the_effective_date() {
    let gas = gas();
    let (tag, line, effective) = status(&gas);
    assert_eq!(tag, None);
    assert_eq!(line, "Qualified: record AF-PQ-07, effective 2026-10-01");
    assert_eq!(effective, "Effective 2026-10-01; do not use earlier");
    // The record of another revision is no record of this one.
    let earlier = gas.replace("08-28, revision: 2", "08-28, revision: 1");
    assert_ne!(earlier, gas);
    assert_eq!(
        status(&earlier).1,
        "Qualification claimed: no record of this revision, effective 2026-10-01"
    );
    let undated = gas.replace("effective: 2026-10-01", "change: none");
    assert_ne!(undated, gas);
    assert_eq!(status(&undated).1, "Qualified: record AF-PQ-07");
    assert_eq!(status(&undated).2, "Effective: not stated");
}

#[test]
fn several_records_are_named_and_many_are_counted() {
    let gas = gas();
    let record = gas.lines().find(|line| line.contains("AF-PQ-07")).unwrap();
    let more = |count: usize| {
        let records = (1..=count).map(|n| record.replace("AF-PQ-07", &format!("AF-PQ-1{n}")));
        let records: Vec<_> = std::iter::once(record.to_owned()).chain(records).collect();
        status(&gas.replace(record, &records.join("\n"))).1
    };
    let end = ", effective 2026-10-01";
    assert_eq!(
        more(1),
        format!("Qualified: records AF-PQ-07, AF-PQ-11{end}")
    );
    assert_eq!(
        more(3),
        format!("Qualified: records AF-PQ-07, AF-PQ-11 and 2 more{end}")
    );
}

#[test]
fn joints_that_do_not_reach_the_scope_leave_a_claim() {
    let record = include_str!("../../../../../../specs/tour/records/HC-TQ-5.yaml");
    let line = |spec: &str| {
        use crate::core::source::{FileId, Source, Span};
        let (spec, _) = decode(spec);
        let spec = spec.unwrap();
        let mut records = crate::procedure::record::Records::default();
        let source = Source::new("record.yaml", record);
        records.add(FileId::SPEC, Span::default(), &source);
        let resolved = resolve(&spec, library()).with_records(&records.files);
        let digest = "0a".repeat(32);
        let kind = PaperKind::Procedure;
        Frame::new(&resolved, Paper::Letter, &digest, kind, Language::En).record_line
    };
    assert_eq!(line(QUALIFIED), "Qualified: record HC-TQ-5");
    // Thinner than any wall that was tested.
    let beyond = QUALIFIED.replace("dimension_ratio: 11", "dimension_ratio: [11, 13.5]");
    assert_ne!(beyond, QUALIFIED);
    assert_eq!(
        line(&beyond),
        "Qualification claimed: HC-TQ-5 does not support it"
    );
}

#[test]
fn drafts_and_withdrawn_procedures_have_a_tag_and_are_not_in_effect() {
    let (tag, line, effective) = status(GEOTHERMAL);
    assert_eq!((tag.as_deref(), line.as_str()), (Some("DRAFT"), "DRAFT"));
    assert_eq!(effective, "Effective: not in effect");
    let (tag, line, effective) = status(&GAS.replace("status: qualified", "status: withdrawn"));
    assert_eq!(
        (tag.as_deref(), line.as_str()),
        (Some("WITHDRAWN"), "WITHDRAWN")
    );
    assert_eq!(effective, "Effective: no longer in effect");
}

/// A long number is set smaller, and the number of a draft leaves room for its tag.
#[test]
fn a_number_stays_beside_the_tag() {
    let size = |number: &str, status: &str| {
        let text = GEOTHERMAL.replace("number: HC-SF-104", &format!("number: {number}"));
        sheet(&text.replace("status: draft", &format!("status: {status}")))
            .frame
            .number_pt
    };
    assert_eq!(size("HC-SF-104", "draft"), 14.0);
    let long = "HC-SF-104-NORTHEAST";
    assert!(size(long, "draft") < size(long, "withdrawn").max(size(long, "qualified")));
    assert!(size(&"W".repeat(40), "draft") >= 9.0);
}
