//! `coldring fusers`: its forms of output, its exit codes, and what it keeps to
//! itself.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use icalendar::{Calendar, CalendarComponent, Component};
use serde_json::Value;
use tempfile::TempDir;

use crate::support::{AS_OF, Run, coldring_with, document, file, list, names_in, read};

const ROSTER: &str = "specs/people/fusers.yaml";
const ROWS: &str = "specs/people/fusers.csv";

/// What is told of a person: badge, procedure, last day, state, due.
type Told = (
    &'static str,
    Option<&'static str>,
    Option<&'static str>,
    &'static str,
    bool,
);

/// The demo's people on [`AS_OF`]: badge, procedure, last day, state, due.
const DEMO: [Told; 13] = [
    (
        "AF-014",
        Some("AF-JP-12"),
        Some("2027-06-10"),
        "qualified",
        false,
    ),
    (
        "AF-021",
        Some("AF-JP-12"),
        Some("2026-12-31"),
        "qualified",
        true,
    ),
    (
        "AF-007",
        Some("AF-JP-12"),
        Some("2026-04-30"),
        "lapsed",
        false,
    ),
    (
        "AF-032",
        Some("AF-JP-12"),
        Some("2026-10-01"),
        "failed joint",
        false,
    ),
    (
        "AF-035",
        Some("AF-JP-12"),
        Some("2027-09-15"),
        "qualified",
        false,
    ),
    ("AF-040", None, None, "never qualified", false),
    ("AF-041", Some("AF-JP-12"), None, "failed specimen", false),
    (
        "AF-018",
        Some("AF-JP-12"),
        Some("2027-10-21"),
        "qualified",
        false,
    ),
    (
        "HC-102",
        Some("HC-SF-104"),
        Some("2027-05-11"),
        "qualified",
        false,
    ),
    (
        "HC-108",
        Some("HC-SF-104"),
        Some("2026-11-05"),
        "lapsed",
        false,
    ),
    (
        "AF-029",
        Some("AF-JP-12"),
        Some("2027-11-30"),
        "qualified",
        false,
    ),
    (
        "AF-029",
        Some("HC-SF-104"),
        Some("2027-01-19"),
        "qualified",
        true,
    ),
    (
        "HC-111",
        Some("HC-SF-104"),
        Some("2026-10-18"),
        "failed specimen",
        false,
    ),
];

/// Lists a roster with more arguments; it has to succeed.
fn listed(roster: &str, format: &str, more: &[&str]) -> Run {
    let arguments = ["fusers", roster, "--as-of", AS_OF, "--format", format];
    let run = coldring_with(&[&arguments, more].concat());
    assert_eq!(run.code, Some(0), "{}", run.err);
    run
}

#[test]
fn the_demo_has_every_state() {
    let found = document(&listed(ROSTER, "json", &[]));
    let rows = list(&found, "rows");
    assert_eq!(rows.len(), DEMO.len());
    for (row, (badge, procedure, until, state, due)) in rows.iter().zip(DEMO) {
        assert_eq!(row["badge"], badge);
        assert_eq!(row["procedure"], Value::from(procedure), "{badge}");
        assert_eq!(row["valid_until"], Value::from(until), "{badge}");
        assert_eq!(row["state"], state, "{badge}");
        assert_eq!(row["qualified"], state == "qualified", "{badge}");
        assert_eq!(row["due"], due, "{badge}");
        assert!(!row["reason"].as_str().unwrap().is_empty(), "{badge}");
        assert_eq!(row["source"] == "", procedure.is_none(), "{badge}");
    }
    assert_eq!(found["version"], 1);
    assert_eq!(found["as_of"], AS_OF);
    assert_eq!((&found["qualified"], &found["due"]), (&7.into(), &2.into()));
    assert_eq!(found["not_qualified"], 6);
}

#[test]
fn rows_of_csv_and_yaml_are_listed_alike() {
    let chosen = [
        "--rules",
        "AF-JP-12=us-gas",
        "--rules",
        "HC-SF-104=six-months-without-use",
    ];
    let yaml = document(&listed(ROSTER, "json", &[]));
    let csv = document(&listed(ROWS, "json", &chosen));
    assert_eq!(yaml["rows"], csv["rows"]);
}

#[test]
fn csv_has_the_fields_of_the_rows() {
    let run = listed(ROSTER, "csv", &[]);
    let header = run.out.lines().next().unwrap();
    assert_eq!(
        header,
        "name,badge,language,procedure,qualified,sizes,valid_until,days_left,due,state,reason,rule,\
         source,basis"
    );
    let mut reader = csv::Reader::from_reader(run.out.as_bytes());
    let rows: Vec<BTreeMap<String, String>> = reader.deserialize().map(Result::unwrap).collect();
    let json = document(&listed(ROSTER, "json", &[]));
    for (row, expected) in rows.iter().zip(list(&json, "rows")) {
        for (column, cell) in row {
            let value = match &expected[column] {
                Value::Null => String::new(),
                Value::String(text) => text.clone(),
                other => other.to_string(),
            };
            assert_eq!(*cell, value, "{column}");
        }
    }
    assert_eq!(rows.len(), DEMO.len());
}

#[test]
fn the_text_is_for_people() {
    let run = listed(ROSTER, "text", &["--due-within", "40 days"]);
    for part in [
        "AF-JP-12, us-gas: 49 CFR 192.285(c), as amended 2015 (Amdt. 192-120) (standard)",
        "as recalled (recalled: verify)",
        "qualified, due within 40 days: 1",
        "2026-12-31  36 days",
        "by test on 2026-10-02",
        "Tomás Wrenfield",
        "nothing is on record",
        "approves nobody",
    ] {
        assert!(run.out.contains(part), "{part}: {}", run.out);
    }
    assert!(run.err.contains("fuser-rule-from-memory"), "{}", run.err);
}

/// A roster names no sizes of a procedure, so nobody who passed in some sizes is listed as
/// qualified for all.
#[test]
fn who_passed_in_some_sizes_is_listed_apart() {
    let folder = TempDir::new().unwrap();
    let people = |sizes: &str| {
        format!(
            "coldring-fusers: 1\nrules: {{default: us-gas}}\nfusers:\n  - name: A. Example\n    \
             badge: A-1\n    qualifications:\n      - procedure: AF-JP-12\n        specimen: \
             {{date: 2026-11-09, result: pass, {sizes}record: R-1}}\n"
        )
    };
    let some = file(&folder, "some.yaml", people("sizes: [3/4 IPS, 1 IPS], "));
    let all = file(&folder, "all.yaml", people(""));
    let text = listed(&some, "text", &[]).out;
    assert!(
        text.contains("qualified in the sizes named only: 1"),
        "{text}"
    );
    assert!(text.contains("for 3/4 IPS, 1 IPS and smaller"), "{text}");
    assert!(!text.contains("  qualified: "), "{text}");
    let text = listed(&all, "text", &[]).out;
    assert!(text.contains("  qualified: 1"), "{text}");
    let sizes =
        |people: &str| list(&document(&listed(people, "json", &[])), "rows")[0]["sizes"].clone();
    assert_eq!(sizes(&some), "3/4 IPS, 1 IPS");
    assert_eq!(sizes(&all), Value::Null);
}

#[test]
fn one_procedure_is_listed_alone() {
    let found = document(&listed(ROSTER, "json", &["--procedure", "HC-SF-104"]));
    let rows = list(&found, "rows");
    assert_eq!(rows.len(), 4);
    assert!(rows.iter().all(|row| row["procedure"] == "HC-SF-104"));
    let arguments = [
        "fusers",
        ROSTER,
        "--as-of",
        AS_OF,
        "--procedure",
        "HC-SF-140",
    ];
    let run = coldring_with(&arguments);
    assert_eq!((run.code, run.out.as_str()), (Some(2), ""));
    assert!(run.err.contains("did you mean HC-SF-104?"), "{}", run.err);
}

#[test]
fn a_rule_of_the_command_line_governs() {
    let chosen = ["--rules", "AF-JP-12=own:3:Operations Manual 7.9"];
    let found = document(&listed(ROSTER, "json", &chosen));
    let row = &list(&found, "rows")[0];
    assert_eq!(row["valid_until"], "2026-06-10");
    assert_eq!(row["source"], "Operations Manual 7.9");
    assert_eq!(row["basis"], "organization");
}

#[test]
fn no_rule_is_guessed() {
    let run = coldring_with(&[
        "fusers",
        ROWS,
        "--as-of",
        AS_OF,
        "--rules",
        "AF-JP-12=us-gas",
    ]);
    assert_eq!((run.code, run.out.as_str()), (Some(1), ""));
    assert!(
        run.err.contains("no rule set is chosen for HC-SF-104"),
        "{}",
        run.err
    );
    for rule in ["gas", "own", "own:0:M", "own:12"] {
        let run = coldring_with(&["fusers", ROWS, "--rules", rule]);
        assert_eq!(run.code, Some(2), "{rule}");
    }
    for days in ["soon", "-1", "3651", "2 weeks"] {
        let within = format!("--due-within={days}");
        let run = coldring_with(&["fusers", ROSTER, &within]);
        assert_eq!(run.code, Some(2), "{days}");
    }
}

#[test]
fn nobody_is_listed_from_a_roster_with_an_error() {
    let folder = TempDir::new().unwrap();
    let text = read(ROWS).replace("2026-10-02,test", "2.10.2026,test");
    let roster = file(&folder, "people.CSV", text);
    for format in ["text", "json", "csv", "ics"] {
        let run = coldring_with(&["fusers", &roster, "--rules", "us-gas", "--format", format]);
        assert_eq!((run.code, run.out.as_str()), (Some(1), ""), "{format}");
        assert!(
            run.err.contains("row 5, column failed_joint_date"),
            "{}",
            run.err
        );
    }
    let latin = file(
        &folder,
        "latin.csv",
        b"name,badge,procedure\nIn\xe9s,A-1,X-1\n",
    );
    let run = coldring_with(&["fusers", &latin, "--rules", "us-gas"]);
    assert_eq!(run.code, Some(1), "{}", run.err);
    assert!(run.err.contains("csv-not-readable"), "{}", run.err);
    assert!(run.err.contains("UTF-8"), "{}", run.err);
    let run = coldring_with(&["fusers", "no/such.yaml"]);
    assert_eq!(run.code, Some(2));
}

#[test]
fn nothing_about_people_is_written_to_disk() {
    let folder = TempDir::new().unwrap();
    let roster = file(&folder, "people.yaml", read(ROSTER));
    listed(&roster, "ics", &[]);
    listed(&roster, "text", &[]);
    assert_eq!(names_in(folder.path()), ["people.yaml"]);
}

#[test]
fn the_calendar_has_the_last_day_of_everybody_qualified() {
    let text = listed(ROSTER, "ics", &["--due-within", "45 days"]).out;
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    for line in text.split_terminator("\r\n") {
        assert!(line.len() <= 75 && !line.contains(['\r', '\n']), "{line:?}");
    }
    let calendar: Calendar = text.parse().unwrap();
    let events: Vec<_> = calendar
        .components
        .iter()
        .map(|component| match component {
            CalendarComponent::Event(event) => event,
            other => panic!("{other:?}"),
        })
        .collect();
    let expected: Vec<_> = DEMO.iter().filter(|row| row.3 == "qualified").collect();
    assert_eq!(events.len(), expected.len());
    for (event, (badge, procedure, until, ..)) in events.iter().zip(expected) {
        let until: NaiveDate = until.unwrap().parse().unwrap();
        assert_eq!(event.get_start(), Some(until.into()), "{badge}");
        assert_eq!(event.get_end(), Some(until.succ_opt().unwrap().into()));
        let summary = event.get_summary().unwrap();
        assert!(summary.contains(badge) && summary.contains(procedure.unwrap()));
        assert_eq!(event.property_value("DTSTAMP"), Some("20261125T000000Z"));
    }
    let unfolded = text.replace("\r\n ", "");
    let reason = "(AF-FQ-21)\\; 15 months end before December 31 of the next year. Rule: us-gas\\, \
                  49 CFR 192.285(c)\\, as amended 2015";
    assert!(unfolded.contains(reason), "{unfolded}");
    assert!(unfolded.contains("SUMMARY:Tomás Wrenfield (AF-021): last day"));
    assert_eq!(unfolded.matches("TRIGGER:-P45D\r\n").count(), events.len());
    // The same day gives the same bytes; a later day moves entries, not names.
    assert_eq!(
        text,
        listed(ROSTER, "ics", &["--due-within", "45 days"]).out
    );
    let names = |text: &str| -> Vec<String> {
        let lines = text.lines().filter(|line| line.starts_with("UID:"));
        lines.map(str::to_owned).collect()
    };
    let mut unique = names(&text);
    unique.sort();
    unique.dedup();
    assert_eq!(unique.len(), events.len());
    let later = coldring_with(&["fusers", ROSTER, "--as-of", "2026-11-26", "--format", "ics"]);
    assert_eq!(names(&text), names(&later.out));
}

#[test]
fn long_names_are_folded_between_characters() {
    let folder = TempDir::new().unwrap();
    let name = format!("Zoë; \\, {}", "é".repeat(150));
    let text = format!(
        "name,badge,procedure,specimen_date,specimen_result,specimen_record\n\
         \"{name}\",A-1,X-1,2026-03-10,pass,R-1\n"
    );
    let roster = file(&folder, "people.csv", text);
    let text = listed(&roster, "ics", &["--rules", "us-gas"]).out;
    assert!(text.split("\r\n").all(|line| line.len() <= 75), "{text}");
    let calendar: Calendar = text.parse().unwrap();
    let [CalendarComponent::Event(event)] = calendar.components.as_slice() else {
        panic!("{calendar:?}");
    };
    let summary = event.get_summary().unwrap();
    assert!(summary.starts_with(&name), "{summary}");
}

#[test]
fn ten_thousand_fusers_are_listed_in_one_run() {
    let mut text =
        "name,badge,procedure,specimen_date,specimen_result,specimen_record\n".to_owned();
    for i in 0..10_000 {
        let month = i % 12 + 1;
        text.push_str(&format!(
            "Person {i},B-{i},X-1,2025-{month:02}-15,pass,R-{i}\n"
        ));
    }
    let folder = TempDir::new().unwrap();
    let roster = file(&folder, "people.csv", text);
    let found = document(&listed(&roster, "json", &["--rules", "us-gas"]));
    assert_eq!(list(&found, "rows").len(), 10_000);
    // 2025-08-15 and later count until 2026-11-15 or later; 15 months of
    // August end before the day, those of September do not.
    let qualified = (0..10_000).filter(|i| i % 12 + 1 >= 9).count();
    assert_eq!(found["qualified"], qualified);
}
