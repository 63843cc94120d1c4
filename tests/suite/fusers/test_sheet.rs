//! The test sheet of a fuser: what it prints of a procedure, until when it says that a
//! test holds, and the roster entry that a filled one becomes.

use std::path::{Path, PathBuf};

use chrono::{Datelike, Months, NaiveDate};
use regex::Regex;
use tempfile::TempDir;

use crate::support::{
    AS_OF, GAS, GEOTHERMAL, coldring, coldring_with, document, file, list, names_in, pages_text,
    read, run, tool,
};

const WATER: &str = "specs/tern-valley-water.yaml";
const HOT_WATER: &str = "specs/saddle-works-hot-water.yaml";

/// A form of a spec, made with these arguments.
pub fn form(spec: &str, kind: &str, arguments: &[&str]) -> (TempDir, PathBuf) {
    let out = TempDir::new().unwrap();
    let ran = run(coldring()
        .args(["forms", spec, "--only", kind, "--as-of", AS_OF, "--out"])
        .arg(out.path())
        .args(arguments));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let [folder] = names_in(out.path()).try_into().unwrap();
    let folder = out.path().join(folder);
    assert_eq!(names_in(&folder), [format!("{kind}.pdf")]);
    let pdf = folder.join(format!("{kind}.pdf"));
    (out, pdf)
}

/// The words of a paper in reading order, with single spaces.
pub fn words(pdf: &Path) -> String {
    let text = tool(
        "pdftotext",
        &["-raw".as_ref(), pdf.as_os_str(), "-".as_ref()],
    );
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A row as printed: number, size, wall, time to aim for, longest time.
type Printed<'a> = (&'a str, &'a str, &'a str, Option<&'a str>);

/// The specs of the demo: the limits of the heater faces and of the pipe, and the rows.
/// The times are those that the published tables have for the sizes and the resin; a
/// question mark is printed where that row is recalled and nobody confirmed it.
const DEMOS: [(&str, [&str; 2], &[Printed<'_>]); 4] = [
    (
        GEOTHERMAL,
        ["490\u{2013}510", "20\u{2013}110"],
        &[
            ("3/4", "DR ____", "8 ?", Some("14")),
            ("1", "DR ____", "15", Some("17")),
            ("1-1/4", "DR ____", "18", Some("21")),
            ("1-1/2", "DR ____", "20", Some("23")),
            ("2", "DR ____", "24", Some("28")),
        ],
    ),
    (
        GAS,
        ["490\u{2013}510", "40\u{2013}100"],
        &[
            ("1", "IPS DR 11", "10", Some("12")),
            ("1-1/4", "IPS DR 11", "12", Some("14")),
            ("2", "IPS DR 11", "16", Some("19")),
            ("1/2", "CTS 0.090 in", "6", Some("7")),
            ("3/4", "CTS 0.090 in", "6", Some("7")),
        ],
    ),
    (
        WATER,
        ["250\u{2013}270", "5\u{2013}35"],
        &[
            ("20", "SDR 11", "5", None),
            ("25", "SDR 11", "7", None),
            ("32", "SDR 11", "8", None),
            ("40", "SDR 11", "12", None),
            ("50", "SDR 11", "18 ?", None),
            ("63", "SDR 11", "24", None),
            ("90", "SDR 11", "40", None),
            ("90", "SDR 17", "22 ?", None),
        ],
    ),
    (
        HOT_WATER,
        ["250\u{2013}270", "5\u{2013}40"],
        &[
            ("20", "SDR 7.4", "6", None),
            ("25", "SDR 7.4", "7", None),
            ("32", "SDR 7.4", "8", None),
            ("40", "SDR 7.4", "12", None),
            ("50", "SDR 7.4", "18", None),
            ("63", "SDR 7.4", "24", None),
        ],
    ),
];

#[test]
fn each_size_stands_on_one_page_with_its_limits() {
    for (spec, [faces, pipe], rows) in DEMOS {
        for (language, max, good) in [("en", "max", "good"), ("es", "máx.", "buena")] {
            for paper in ["letter", "a4"] {
                let arguments = ["--language", language, "--paper", paper];
                let (_out, pdf) = form(spec, "test-sheet", &arguments);
                let at = format!("{spec} {language} {paper}");
                assert_eq!(pages_text(&pdf).len(), 1, "{at}");
                let words = words(&pdf);
                for (n, (size, wall, aim, most)) in rows.iter().enumerate() {
                    // Spanish metric papers have a decimal comma.
                    let wall = match language {
                        "es" if spec == HOT_WATER => wall.replace('.', ","),
                        _ => (*wall).to_owned(),
                    };
                    let most = most.map_or_else(String::new, |most| format!(" {max} {most}"));
                    let row = format!(" {} {size} {wall} {aim}{most} {good} ", n + 1);
                    assert!(words.contains(&row), "{at}: {row}\n{words}");
                }
                assert_eq!(words.matches(faces).count(), 2, "{at}");
                assert!(words.contains(pipe), "{at}");
                let draft = words.contains("DRAFT") || words.contains("BORRADOR");
                assert_eq!(draft, spec != GAS, "{at}");
            }
        }
    }
}

#[test]
fn only_gas_has_a_number_of_straps_and_others_leave_it_to_the_examiner() {
    for (spec, ..) in DEMOS {
        let (_out, pdf) = form(spec, "test-sheet", &[]);
        let words = words(&pdf);
        let gas = spec == GAS;
        for counted in ["at least 3", "49 CFR 192.285(a)(2)", "PI-92-061"] {
            assert_eq!(words.contains(counted), gas, "{spec}: {counted}");
        }
        let open = "The examiner says how many, in which sizes, and how they are tested";
        assert_eq!(words.contains(open), !gas, "{spec}");
    }
}

#[test]
fn no_joint_is_made_in_a_size_whose_depth_is_not_measured() {
    let (_out, pdf) = form("specs/tour/1-least.yaml", "test-sheet", &[]);
    let words = words(&pdf);
    assert!(words.contains("1 1 DR 11 NO JOINT until its depth is measured"));
    // The time of the size, 15 to 17 s.
    assert!(!words.contains("max 17"), "{words}");
}

#[test]
fn the_date_is_left_open_without_a_rule_set() {
    let open = "The date comes from the rule set on the roster";
    let words_of = |arguments: &[&str]| words(&form(GAS, "test-sheet", arguments).1);
    assert!(words_of(&[]).contains(open));
    let roster = ["--fusers", "specs/people/fusers.yaml"];
    assert!(words_of(&roster).contains("15 months after the test"));
    // Another procedure's rule set says nothing of this one.
    assert!(words_of(&["--rules", "HC-SF-104=us-gas"]).contains(open));
    let own = words_of(&["--rules", "own:12:Operations Manual 7.9"]);
    assert!(own.contains("Good through the day 12 months after the test. (Operations Manual 7.9)"));
    // A period from memory is marked, and only this rule knows a lapse in months.
    let arguments = ["--rules", "six-months-without-use"];
    let unused = words(&form(GEOTHERMAL, "test-sheet", &arguments).1);
    assert!(unused.contains("6 months without use"), "{unused}");
    assert!(unused.contains("B31.3 A328.2, as recalled) ?"), "{unused}");
}

/// 49 CFR 192.285(c) allows no interval over 15 months for gas; 13 months may end later
/// than December 31 of the next year.
#[test]
fn no_date_is_stated_for_gas_by_a_rule_that_may_end_later() {
    let made = |rule: &str| {
        let out = TempDir::new().unwrap();
        let ran = run(coldring()
            .args(["forms", GAS, "--only", "test-sheet", "--as-of", AS_OF])
            .args(["--rules", rule, "--out"])
            .arg(out.path()));
        let pdf = out.path().join("AF-JP-12-r2-forms/test-sheet.pdf");
        (ran.code, ran.err, words(&pdf))
    };
    let open = "The date comes from the rule set on the roster";
    let (code, err, printed) = made("own:13:Operations Manual 7.9");
    assert_eq!(code, Some(1), "{err}");
    assert!(err.contains("gas-cards-by-other-rule"), "{err}");
    assert!(printed.contains(open), "{printed}");
    let (code, err, printed) = made("own:12:Operations Manual 7.9");
    assert_eq!(code, Some(0), "{err}");
    assert!(printed.contains("12 months after the test"), "{printed}");
}

#[test]
fn a_roster_with_errors_makes_no_sheet() {
    let folder = TempDir::new().unwrap();
    let roster = file(&folder, "people.yaml", "coldring-fusers: 1\nfusers: none\n");
    let out = folder.path().join("out");
    let ran = run(coldring()
        .args([
            "forms",
            GAS,
            "--only",
            "test-sheet",
            "--fusers",
            &roster,
            "--out",
        ])
        .arg(&out));
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(!out.exists());
}

#[test]
fn nobody_is_tested_by_a_withdrawn_procedure() {
    let folder = TempDir::new().unwrap();
    let withdrawn = read(GEOTHERMAL).replace("status: draft", "status: withdrawn");
    let spec = file(&folder, "withdrawn.yaml", withdrawn);
    let out = folder.path().join("out").to_str().unwrap().to_owned();
    let forms = ["forms", &spec, "--as-of", AS_OF, "--out", &out];
    let ran = coldring_with(&[&forms[..], &["--only", "test-sheet,lesson-sheet"]].concat());
    assert_eq!(ran.code, Some(2), "{}", ran.err);
    assert!(ran.err.contains("withdrawn"), "{}", ran.err);
    let ran = coldring_with(&forms);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert_eq!(
        names_in(&Path::new(&out).join("HC-SF-104-r2-forms")),
        ["record-form.pdf"]
    );
}

/// The roster entry that the help makes of a filled sheet: what stands right of the bar.
fn entry() -> (String, String) {
    let told = coldring_with(&["explain", "fusers"]);
    let lines = told.out.lines().filter_map(|line| line.split_once("|  "));
    let (sheet, roster): (Vec<_>, Vec<_>) = lines.unzip();
    let indented = roster.iter().skip(1).map(|line| format!("  {line}\n"));
    (sheet.join("\n"), indented.collect())
}

#[test]
fn a_filled_sheet_typed_as_the_help_shows_is_due_on_the_day_that_the_sheet_states() {
    let (sheet, entry) = entry();
    let folder = TempDir::new().unwrap();
    let roster = format!(
        "coldring-fusers: 1\nrules: {{procedures: {{AF-JP-12: us-gas}}}}\nfusers:\n{entry}"
    );
    let people = file(&folder, "people.yaml", &roster);

    // By the words of the sheet.
    let (_out, pdf) = form(GAS, "test-sheet", &["--fusers", &people]);
    let stated = Regex::new(
        r"December 31 of the year after the test, or (\d+) months after the test, whichever is first",
    );
    let printed = words(&pdf);
    let months = &stated
        .unwrap()
        .captures(&printed)
        .expect("the rule of the sheet")[1];
    let tested = Regex::new(r"Test date +(\S+)").unwrap();
    let tested: NaiveDate = tested.captures(&sheet).unwrap()[1].parse().unwrap();
    let by_months = tested + Months::new(months.parse().unwrap());
    let by_year = NaiveDate::from_ymd_opt(tested.year() + 1, 12, 31).unwrap();
    let due = by_months.min(by_year);

    // By the roster.
    let listed = coldring_with(&["fusers", &people, "--as-of", AS_OF, "--format", "json"]);
    let listed = document(&listed);
    let [row] = list(&listed, "rows").as_slice() else {
        panic!("{listed}");
    };
    assert_eq!(row["valid_until"], due.to_string());
    assert_eq!(row["qualified"], true);
    for (label, value) in [
        ("Fuser, name", "name"),
        ("Badge", "badge"),
        ("Procedure", "procedure"),
    ] {
        let value = row[value].as_str().unwrap();
        let line = sheet
            .lines()
            .find(|line| line.trim_start().starts_with(label));
        assert!(line.unwrap().contains(value), "{label}");
        assert!(printed.contains(label), "{label}");
    }
    for field in [
        "Sheet no.",
        "Test date",
        "Revision",
        "Sizes passed",
        "Result",
    ] {
        assert!(printed.contains(field) && sheet.contains(field), "{field}");
    }
    let reason = row["reason"].as_str().unwrap();
    assert!(
        reason.contains("passed in 2 IPS, 1/2 CTS") || reason.contains("passed in 1/2 CTS, 2 IPS"),
        "{reason}"
    );
    assert!(reason.contains("AF-FQ-33"), "{reason}");
}

/// A stick gives no reading, so no form of a kit without a pyrometer asks for one, and none
/// says that one stick shows a face to be not too hot.
#[test]
fn forms_of_a_kit_with_a_stick_ask_whether_it_melted() {
    let folder = TempDir::new().unwrap();
    let check = "{method: pyrometer, accuracy: 2 °F}";
    let spec = read(GEOTHERMAL);
    assert!(spec.contains(check));
    // A stick is coarser, so the faces keep farther from the ends of the window.
    let spec = spec.replace("  face_offset: -2 °F ", "  face_offset: 0 °F ");
    let spec = spec.replace("  swing: 4 °F\n", "  swing: 1 °F\n");
    let with = |stick: &str| file(&folder, "stick.yaml", spec.replace(check, stick));
    for (stick, melted, asked) in [
        (
            "{method: indicating stick, melts: 500 °F}",
            "stick melted",
            "no face is too cold",
        ),
        (
            "{method: two indicating sticks, melts: 496 °F, stays_solid: 504 °F}",
            "sticks right",
            "504 °f stick stays solid",
        ),
    ] {
        let spec = with(stick);
        for kind in ["joint-log", "test-sheet"] {
            let (_out, pdf) = form(&spec, kind, &[]);
            let text = words(&pdf);
            assert!(text.to_lowercase().contains(melted), "{kind}: {text}");
            for reading in ["yrometer", "ace, °F", "aces, °F"] {
                assert!(!text.contains(reading), "{kind}: {text}");
            }
        }
        let (_out, pdf) = form(&spec, "lesson-sheet", &[]);
        let text = words(&pdf).to_lowercase();
        assert!(text.contains(asked), "{text}");
    }
}

/// A time that is an error is taught to nobody; the form of a record, which proves a draft,
/// is still made.
#[test]
fn no_sheet_teaches_the_times_of_a_spec_with_an_error() {
    let folder = TempDir::new().unwrap();
    let wrong = read(GEOTHERMAL).replace("cutter: {largest: 2 IPS}", "cutter: {largest: 1 IPS}");
    let spec = file(&folder, "wrong.yaml", wrong);
    let out = folder.path().join("out");
    let ran = run(coldring()
        .args(["forms", &spec, "--as-of", AS_OF, "--out"])
        .arg(&out));
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(ran.err.contains("wrong.yaml:"), "{}", ran.err);
    let [made] = names_in(&out).try_into().unwrap();
    assert_eq!(
        names_in(&out.join(made)),
        ["joint-log.pdf", "record-form.pdf"]
    );
}
