//! Reading a roster: every rule by a roster that breaks it and one that comes
//! near.

use coldring::core::finding::Finding;
use coldring::people::fusers::{Choice, decode_csv, decode_yaml, review};
use coldring::published::library;

use crate::rules::ELSEWHERE;
use crate::support::as_of;

/// A roster without a fault.
pub const YAML: &str = "\
coldring-fusers: 1
rules: {default: us-gas, procedures: {X-2: {rule: own, months: 12, source: Manual 7}}}
fusers:
  - name: A. Example
    badge: A-1
    language: en
    qualifications:
      - procedure: X-1
        specimen: {date: 2026-03-10, result: pass, joint: S-1, record: R-1}
        last_production_joint: 2026-10-01
        failed_joints: [{date: 2026-10-02, found_by: visual, note: cold lap}]
      - procedure: X-2
        certificate: 2026-01-05
        confirmed: [2026-07-01]
  - {name: B. Example, badge: B-1}
";

/// The same roster.
pub const CSV: &str = "\
name,badge,language,procedure,specimen_date,specimen_result,specimen_joint,specimen_record,\
last_production_joint,certificate,confirmed,failed_joint_date,failed_joint_found_by,failed_joint_note
A. Example,A-1,en,X-1,2026-03-10,pass,S-1,R-1,2026-10-01,,,2026-10-02,visual,cold lap
A. Example,A-1,en,X-2,,,,,,2026-01-05,2026-07-01,,,
B. Example,B-1,,,,,,,,,,,,
";

/// All that can be said of a roster written as CSV or YAML.
pub fn findings(text: &str) -> Vec<Finding> {
    let csv = !text.contains("coldring-fusers");
    let (roster, mut findings) = if csv {
        decode_csv(text)
    } else {
        decode_yaml(text)
    };
    let mut rules = roster.rules.clone();
    if csv {
        rules.choose(Choice::parse("us-gas").unwrap());
    }
    if findings.is_empty() {
        findings = review(&roster, &rules, library(), as_of());
    }
    findings
}

pub fn slugs(text: &str) -> Vec<&'static str> {
    findings(text)
        .iter()
        .map(|finding| finding.rule.slug)
        .collect()
}

pub fn edited(text: &str, old: &str, new: &str) -> String {
    assert_eq!(text.matches(old).count(), 1, "'{old}'");
    text.replace(old, new)
}

/// A rule, the base, an edit that breaks it, the text its finding points at,
/// what it says, and an edit that comes near.
type Case = (
    &'static str,
    &'static str,
    (&'static str, &'static str),
    &'static str,
    &'static str,
    (&'static str, &'static str),
);

const CASES: &[Case] = &[
    (
        "badge-of-two-people",
        YAML,
        ("badge: B-1", "badge: A-1"),
        "A-1",
        "'B. Example' here and to 'A. Example'",
        ("badge: B-1", "badge: a-1"),
    ),
    (
        "badge-of-two-people",
        CSV,
        ("A. Example,A-1,en,X-2", "A Example,A-1,en,X-2"),
        "A-1",
        "row 3",
        ("A. Example,A-1,en,X-2", "A. Example ,A-1,en,X-2"),
    ),
    (
        "rows-of-fuser-differ",
        CSV,
        ("A-1,en,X-2", "A-1,es,X-2"),
        "es",
        "row 3, column language: es here and en",
        ("A-1,en,X-2", "A-1,,X-2"),
    ),
    (
        "rows-of-fuser-differ",
        CSV,
        ("X-2,,,,,,2026-01-05", "X-1,,,,,2026-10-02,2026-01-05"),
        "2026-10-02",
        "row 3, column last_production_joint",
        ("X-2,,,,,,2026-01-05", "X-1,,,,,2026-10-01,2026-01-05"),
    ),
    (
        "row-and-header-differ",
        CSV,
        ("cold lap", "cold lap, cut out"),
        "A. Example,A-1,en,X-1,2026-03-10,pass,S-1,R-1,2026-10-01,,,2026-10-02,visual,cold lap, cut out",
        "row 2 has 15 cells and the header has 14",
        ("cold lap", "\"cold lap, cut out\""),
    ),
    (
        "csv-not-readable",
        CSV,
        ("cold lap", "\"cold lap"),
        "\"",
        "row 2: the quotation mark is never closed",
        ("cold lap", "cold \"lap\""),
    ),
    (
        "fuser-rule-not-chosen",
        YAML,
        ("default: us-gas, ", ""),
        "X-1",
        "no rule set is chosen for X-1, which 1 fuser on",
        (
            "default: us-gas, procedures: {",
            "procedures: {X-1: us-gas, ",
        ),
    ),
    (
        "fuser-rule-for-nobody",
        YAML,
        ("{X-2: {", "{X-3: us-gas, X-2: {"),
        "X-3",
        "did you mean X-1?",
        ("{X-2: {", "{X-1: us-gas, X-2: {"),
    ),
    (
        "fuser-rule-from-memory",
        YAML,
        ("default: us-gas", "default: six-months-without-use"),
        "six-months-without-use",
        "from memory",
        // Nobody's standing is read from it.
        (
            "default: us-gas, procedures: {",
            "default: two-year-certificate, procedures: {X-1: us-gas, ",
        ),
    ),
    (
        "fuser-date-in-future",
        YAML,
        ("date: 2026-10-02", "date: 2026-11-26"),
        "2026-11-26",
        "failed joint of 2026-11-26, which is after 2026-11-25",
        ("date: 2026-10-02", "date: 2026-11-25"),
    ),
    (
        "failed-before-qualified",
        YAML,
        ("date: 2026-10-02", "date: 2026-03-09"),
        "2026-03-09",
        "before the first specimen that passed of 2026-03-10",
        ("date: 2026-10-02", "date: 2026-03-10"),
    ),
    // The year of a failure that was mistyped lifts no bar.
    (
        "failed-before-qualified",
        CSV,
        ("2026-10-02", "2025-10-02"),
        "2025-10-02",
        "a production joint is said to have failed on 2025-10-02",
        ("2026-10-02,visual", "2026-10-02,test"),
    ),
    (
        "failed-before-qualified",
        YAML,
        (
            "certificate: 2026-01-05",
            "certificate: 2026-01-05\n        failed_joints: [{date: 2026-01-04, found_by: test}]",
        ),
        "2026-01-04",
        "before the certificate of 2026-01-05",
        (
            "certificate: 2026-01-05",
            "certificate: 2026-01-05\n        failed_joints: [{date: 2026-01-05, found_by: test}]",
        ),
    ),
    (
        "text-like-a-formula",
        CSV,
        ("cold lap", "=1+1"),
        "=1+1",
        "computed by a spreadsheet",
        ("cold lap", "1=1+1"),
    ),
    // The rules about reading any file, where they are read off a roster.
    (
        "format-version",
        YAML,
        ("coldring-fusers: 1", "coldring-fusers: 2"),
        "2",
        "format '2'",
        ("coldring-fusers: 1", "coldring-fusers: \"1\""),
    ),
    (
        "duplicate-key",
        YAML,
        ("procedure: X-2", "procedure: X-1"),
        "X-1",
        "second time",
        ("procedure: X-2", "procedure: X-12"),
    ),
    (
        "duplicate-key",
        CSV,
        ("specimen_joint", "Specimen Date"),
        "Specimen Date",
        "second time",
        ("specimen_joint", "Specimen Joint"),
    ),
    (
        "duplicate-key",
        YAML,
        (
            "{name: B. Example, badge: B-1}",
            "{name: A. Example, badge: A-1}",
        ),
        "A-1",
        "second time",
        (
            "{name: B. Example, badge: B-1}",
            "{name: A. Example, badge: B-1}",
        ),
    ),
    // Where a header has commas, a semicolon is part of a name.
    (
        "unknown-field",
        CSV,
        ("failed_joint_note", "failed_joint;note"),
        "failed_joint;note",
        "no column 'failed_joint;note'",
        ("failed_joint_note", "failed-joint note"),
    ),
    // A column without a name.
    (
        "unknown-field",
        CSV,
        ("failed_joint_note\n", "failed_joint_note,\n"),
        "",
        "row 1: a roster has no column ''",
        ("failed_joint_note\n", " failed_joint_note \n"),
    ),
    (
        "unknown-field",
        CSV,
        ("failed_joint_date", "failed_joint_dat"),
        "failed_joint_dat",
        "did you mean `failed_joint_date`?",
        ("failed_joint_date", "FAILED-JOINT-DATE"),
    ),
    (
        "missing-field",
        CSV,
        ("pass,S-1,R-1", "pass,S-1,"),
        "A. Example,A-1,en,X-1,2026-03-10,pass,S-1,,2026-10-01,,,2026-10-02,visual,cold lap",
        "row 2: column specimen_record is empty",
        ("pass,S-1,R-1", "pass,,R-1"),
    ),
    (
        "missing-field",
        CSV,
        ("en,X-2,", "en,,"),
        "A. Example,A-1,en,,,,,,,2026-01-05,2026-07-01,,,",
        "row 3: column procedure is empty",
        ("X-2,,,,,,2026-01-05,2026-07-01", "X-2,,,,,,2026-01-05,"),
    ),
    (
        "missing-field",
        CSV,
        ("badge,", "card,"),
        "",
        "the column badge is missing",
        // Misspelled, it is read.
        ("badge,", "badge_,"),
    ),
    (
        "missing-field",
        YAML,
        ("found_by: visual, ", ""),
        "",
        "found_by",
        (", note: cold lap", ""),
    ),
    (
        "missing-field",
        YAML,
        ("default: us-gas", "default: own"),
        "own",
        "months and its source",
        ("default: us-gas", "default: {rule: us-gas}"),
    ),
    (
        "not-a-date",
        CSV,
        ("2026-03-10", "3/10/2026"),
        "3/10/2026",
        "row 2, column specimen_date: '3/10/2026' is not a date",
        ("2026-03-10", " 2026-03-10 "),
    ),
    (
        "not-a-date",
        CSV,
        ("2026-07-01", "2026-07-01 2026-02-29"),
        "2026-07-01 2026-02-29",
        "row 3, column confirmed: '2026-02-29'",
        ("2026-07-01", "2026-07-01 2026-02-28"),
    ),
    (
        "unknown-word",
        CSV,
        (",pass,", ",good,"),
        "good",
        "row 2, column specimen_result",
        (",pass,", ",Passed,"),
    ),
    (
        "unknown-word",
        YAML,
        ("default: us-gas", "default: us-gass"),
        "us-gass",
        "did you mean 'us-gas'?",
        ("default: us-gas", "default: \"us-gas\""),
    ),
    (
        "unknown-word",
        YAML,
        ("language: en", "language: English"),
        "English",
        "not the code of a language",
        ("language: en", "language: pt-BR"),
    ),
    (
        "unknown-word",
        YAML,
        ("language: en", "language: pt-B"),
        "pt-B",
        "not the code of a language",
        ("language: en", "language: zh-Hant-TW"),
    ),
    (
        "unknown-word",
        YAML,
        ("language: en", "language: E"),
        "E",
        "not the code of a language",
        ("language: en", "language: EN"),
    ),
    (
        "not-a-quantity",
        YAML,
        ("months: 12", "months: 121"),
        "121",
        "longer than any rule",
        ("months: 12", "months: 120"),
    ),
    (
        "held-revision-not-later",
        YAML,
        (
            "rules: {default: us-gas, ",
            "rules: {revisions: [{procedure: X-1, made_by: 2, holds_for: 2, source: M}], default: us-gas, ",
        ),
        "2",
        "made by revision 2 are said to hold for revision 2",
        (
            "rules: {default: us-gas, ",
            "rules: {revisions: [{procedure: X-1, made_by: 1, holds_for: 2, source: M}], default: us-gas, ",
        ),
    ),
    (
        "fuser-rule-for-nobody",
        YAML,
        (
            "rules: {default: us-gas, ",
            "rules: {revisions: [{procedure: X-3, made_by: 1, holds_for: 2, source: M}], default: us-gas, ",
        ),
        "X-3",
        "did you mean X-1?",
        (
            "rules: {default: us-gas, ",
            "rules: {revisions: [{procedure: X-2, made_by: 1, holds_for: 2, source: M}], default: us-gas, ",
        ),
    ),
    (
        "not-a-quantity",
        YAML,
        ("joint: S-1, ", "joint: S-1, revision: 0, "),
        "0",
        "not a whole number from 1",
        ("joint: S-1, ", "joint: S-1, revision: 2, "),
    ),
    (
        "text-not-printable",
        CSV,
        ("A. Example,A-1,en,X-1", "\"A.\nExample\",A-1,en,X-1"),
        "\"A.\nExample\"",
        "row 2, column name",
        ("cold lap", "\"cold\r\nlap\""),
    ),
    (
        "number-not-a-file-name",
        CSV,
        ("en,X-2,", "en,X/2,"),
        "X/2",
        "row 3, column procedure",
        ("en,X-2,", "en,X_2.1,"),
    ),
];

/// A specimen without its record is no less missing where the whole column is.
#[test]
fn a_language_in_capitals_is_the_same_language() {
    for (written, read) in [
        ("EN", "en"),
        ("Es", "es"),
        ("ES-mx", "es-mx"),
        ("spa", "spa"),
    ] {
        let text = YAML.replacen("language: en", &format!("language: {written}"), 1);
        let (roster, found) = decode_yaml(&text);
        assert!(found.is_empty(), "{found:?}");
        let language = roster.fusers[0].language.as_ref();
        assert_eq!(
            language.map(|code| code.value.as_str()),
            Some(read),
            "{written}"
        );
    }
}

#[test]
fn a_value_that_is_needed_is_missed_without_its_column_too() {
    let text = "name,badge,procedure,specimen_date,specimen_result\n\
                A. Example,A-1,X-1,2026-03-10,pass\n";
    let found = findings(text);
    let [missing] = found.as_slice() else {
        panic!("{found:#?}");
    };
    assert_eq!(missing.rule.slug, "missing-field");
    assert_eq!(missing.message, "row 2: column specimen_record is empty");
    // What every roster needs is told once, not in every row.
    let text = "name,badge,specimen_date\nA. Example,A-1,2026-03-10\n";
    let found = findings(text);
    let about = found
        .iter()
        .filter(|f| f.message.contains("column procedure"));
    assert_eq!(about.count(), 1, "{found:#?}");
}

#[test]
fn every_rule_fires_at_the_text_that_is_wrong_and_not_near_it() {
    for (slug, base, (old, new), place, says, near) in CASES {
        let text = edited(base, old, new);
        let found = findings(&text);
        let of_rule = |finding: &&Finding| {
            let said = format!("{} {:?}", finding.message, finding.help);
            let at = finding.span.map_or("", |span| &text[span.range()]);
            finding.rule.slug == *slug && said.contains(says) && (place.is_empty() || at == *place)
        };
        assert!(found.iter().any(|f| of_rule(&f)), "{slug}: {found:#?}");
        for finding in &found {
            let mut spans = finding
                .span
                .into_iter()
                .chain(finding.related.iter().map(|r| r.span));
            assert!(
                spans.all(|span| !text[span.range()].is_empty()),
                "{slug}: {finding:?}"
            );
        }
        let text = edited(base, near.0, near.1);
        assert!(
            !slugs(&text).contains(slug),
            "{slug}: {:#?}",
            findings(&text)
        );
    }
    let cased: Vec<_> = CASES.iter().map(|case| case.0).collect();
    for (slug, said) in ELSEWHERE {
        let here = said.ends_with("see fusers/reading.rs");
        assert!(!here || cased.contains(slug), "{slug} has no case");
    }
}

#[test]
fn the_clean_rosters_are_clean() {
    assert_eq!(slugs(YAML), [""; 0]);
    assert_eq!(slugs(CSV), [""; 0]);
}

#[test]
fn everything_is_reported_at_once() {
    let text = "\
coldring-fusers: 1
rules: {default: gas}
fusers:
  - {name: A, badge: A-1, qualifications: [{procedure: X/1, specimen: {date: 1.2.26, result: ok}}]}
  - {nam: B, badge: A-1}
";
    let mut found = slugs(text);
    found.sort_unstable();
    assert_eq!(
        found,
        [
            // Of B, whose name is read although its field is misspelled.
            "badge-of-two-people",
            "missing-field",
            "not-a-date",
            "number-not-a-file-name",
            "unknown-field",
            "unknown-word",
            "unknown-word",
        ]
    );
}
