//! The two forms of a roster, and hostile ones.

use std::fmt::Write;

use chrono::NaiveDate;
use coldring::core::finding::Finding;
use coldring::people::fusers::{COLUMNS, Roster, decode_csv, decode_yaml};
use proptest::prelude::*;

use super::reading::{CSV, YAML, findings, slugs};
use crate::support::read;

/// A roster without its places.
fn plain(roster: &Roster) -> String {
    let mut out = String::new();
    for fuser in &roster.fusers {
        let language = fuser.language.as_ref().map(|l| &l.value);
        writeln!(
            out,
            "{} {} {language:?}",
            fuser.name.value, fuser.badge.value
        )
        .unwrap();
        for q in &fuser.qualifications {
            let date = |d: &Option<coldring::core::source::Spanned<NaiveDate>>| {
                d.as_ref().map(|d| d.value)
            };
            let confirmed: Vec<_> = q.confirmed.iter().map(|d| d.value).collect();
            writeln!(
                out,
                "  {} {:?} {:?} {confirmed:?}",
                q.procedure.value,
                date(&q.last_production_joint),
                date(&q.certificate)
            )
            .unwrap();
            for s in &q.specimens {
                let joint = s.joint.as_ref().map(|j| &j.value);
                writeln!(
                    out,
                    "    {} {:?} {joint:?} {}",
                    s.date.value, s.result, s.record.value
                )
                .unwrap();
            }
            for j in &q.failed_joints {
                let note = j.note.as_ref().map(|n| &n.value);
                writeln!(out, "    {} {:?} {note:?}", j.date.value, j.found_by).unwrap();
            }
        }
    }
    out
}

#[test]
fn both_forms_give_the_same_roster() {
    for (yaml, csv) in [
        (YAML.to_owned(), CSV.to_owned()),
        (
            read("specs/people/fusers.yaml"),
            read("specs/people/fusers.csv"),
        ),
    ] {
        let (yaml, found) = decode_yaml(&yaml);
        assert!(found.is_empty(), "{found:?}");
        let forms = [
            csv.clone(),
            format!("\u{feff}{csv}"),
            csv.replace('\n', "\r\n"),
            csv.replace('\n', "\n\n"),
            csv.trim_end().to_owned(),
            format!("{csv}{}\n", ",".repeat(COLUMNS.len() - 1)),
        ];
        for csv in forms {
            let (csv, found) = decode_csv(&csv);
            assert!(found.is_empty(), "{found:?}");
            assert_eq!(plain(&yaml), plain(&csv));
        }
    }
}

#[test]
fn the_rows_of_a_fuser_are_taken_together() {
    let (together, _) = decode_yaml(
        "coldring-fusers: 1\nfusers: [{name: A, badge: A-1, language: en, qualifications: \
         [{procedure: X-1, specimen: [{date: 2026-03-10, result: pass, record: R-1}, {date: \
         2026-04-10, result: fail, revision: 3, record: R-2}], last_production_joint: 2026-05-01, \
         production_joints: [2026-04-01, 2026-04-02], certificate: \
         2026-01-05, confirmed: [2026-02-01, 2026-02-02, 2026-06-01], failed_joints: [{date: \
         2026-06-02, found_by: visual}, {date: 2026-06-03, found_by: test}]}]}]\n",
    );
    let (rows, found) = decode_csv(
        "name,badge,language,procedure,specimen_date,specimen_result,specimen_revision,specimen_record,\
         last_production_joint,production_joints,certificate,confirmed,failed_joint_date,failed_joint_found_by\n\
         A,A-1,,X-1,2026-03-10,pass,,R-1,,2026-04-01,2026-01-05,2026-02-01 2026-02-02,2026-06-02,visual\n\
         A,A-1,en,X-1,2026-04-10,fail,3,R-2,2026-05-01,2026-04-02,,2026-06-01,2026-06-03,test\n",
    );
    assert!(found.is_empty(), "{found:?}");
    assert_eq!(plain(&together), plain(&rows));
}

#[test]
fn semicolons_separate_where_the_header_has_them() {
    let (commas, _) = decode_csv(CSV);
    let (semicolons, found) = decode_csv(&CSV.replace(',', ";"));
    assert!(found.is_empty(), "{found:?}");
    assert_eq!(plain(&commas), plain(&semicolons));
}

#[test]
fn rows_are_counted_as_a_spreadsheet_counts() {
    let text = CSV
        .replace("cold lap", "\"cold\nlap\"")
        .replace("B. Example", "\n\nB. Example");
    let text = text.replace("B-1,,", "B-1,Basque,");
    let found = findings(&text);
    assert!(
        found[0].message.starts_with("row 6, column language"),
        "{found:?}"
    );
}

#[test]
fn a_table_without_a_header_or_columns_is_said_to_have_none() {
    assert_eq!(slugs(""), ["csv-not-readable"]);
    assert_eq!(slugs("\u{feff}\n\n"), ["csv-not-readable"]);
    // Tabs are not read: the one column is none that a roster has.
    let found = slugs("name\tbadge\tprocedure\nA\tA-1\tX-1\n");
    assert_eq!(found[..2], ["unknown-field", "missing-field"]);
}

#[test]
fn hostile_rosters_end_soon() {
    let many = |count: usize| (0..count).map(|i| format!("f{i}: 1\n")).collect::<String>();
    let top = format!("coldring-fusers: 1\n{}fusers: []\n", many(300_000));
    assert_eq!(slugs(&top), ["spec-too-large"]);
    let wide = format!("coldring-fusers: 1\n{}", "#".repeat(17 * 1024 * 1024));
    assert_eq!(slugs(&wide), ["spec-too-large"]);
    let long = format!("name,badge,procedure\n{}", "x".repeat(17 * 1024 * 1024));
    assert_eq!(slugs(&long), ["spec-too-large"]);
    // One person under very many procedures.
    let mut rows = "name,badge,procedure,certificate\n".to_owned();
    for i in 0..100_000 {
        writeln!(rows, "A,A-1,P-{i},2026-01-01").unwrap();
    }
    let (roster, found) = decode_csv(&rows);
    assert!(found.is_empty());
    assert_eq!(roster.fusers[0].qualifications.len(), 100_000);
    let quotes = format!("name,badge,procedure\n{}", "\"a".repeat(50_000));
    assert!(!findings(&quotes).is_empty());
}

fn spans_are_inside(text: &str, findings: &[Finding]) {
    for finding in findings {
        let related = finding.related.iter().map(|related| related.span);
        for span in finding.span.into_iter().chain(related) {
            assert!(text.get(span.range()).is_some(), "{finding:?} in {text:?}");
        }
    }
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in "[-a-c,;\"\r\né={}\\[\\]:0-9 ]{0,80}") {
        spans_are_inside(&text, &decode_csv(&text).1);
        spans_are_inside(&text, &decode_yaml(&text).1);
        let rows = format!("name,badge,procedure,specimen_date,failed_joint_note\n{text}");
        spans_are_inside(&rows, &decode_csv(&rows).1);
    }

    /// Cells written by the csv crate come back as they were, each where it stands.
    #[test]
    fn cells_are_found_where_they_stand(
        names in prop::collection::vec("[A-Z][a-z,;\" é]{0,12}[a-z]", 1..6),
    ) {
        let mut out = csv::Writer::from_writer(Vec::new());
        out.write_record(["badge", "name", "procedure"]).unwrap();
        for (index, name) in names.iter().enumerate() {
            out.write_record([&format!("B-{index}"), name, ""]).unwrap();
        }
        let text = String::from_utf8(out.into_inner().unwrap()).unwrap();
        let (roster, found) = decode_csv(&text);
        prop_assert!(found.is_empty(), "{:?}", found);
        prop_assert_eq!(roster.fusers.len(), names.len());
        for (fuser, name) in roster.fusers.iter().zip(&names) {
            prop_assert_eq!(&fuser.name.value, name);
            let raw = &text[fuser.name.span.range()];
            let bare = raw.strip_prefix('"').and_then(|r| r.strip_suffix('"')).unwrap_or(raw);
            prop_assert_eq!(&bare.replace("\"\"", "\""), name);
        }
    }
}
