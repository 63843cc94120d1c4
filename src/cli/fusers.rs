//! `coldring fusers`: who on a roster is qualified under which procedure, until
//! when and why.

mod text;

use std::path::Path;

use chrono::NaiveDate;
use serde::Serialize;

use super::ExitStatus;
use super::args::{Format, FusersArguments, FusersFormat};
use super::documents::{FUSERS, Head};
use super::input::{self, ReadError};
use super::report::Report;
use crate::core::budget;
use crate::core::finding::{self, Finding, Severity};
use crate::core::source::{Source, Sources};
use crate::papers::compile::{Checked, unfit_in_roster};
use crate::people::fusers::{self, Choice, Roster, Rules, Standing};
use crate::published::library;
use crate::spec::nearest;

/// The document.
#[derive(Debug, Serialize)]
struct Document<'r> {
    #[serde(flatten)]
    head: Head,
    file: &'r str,
    as_of: String,
    due_within_days: u32,
    qualified: usize,
    due: usize,
    not_qualified: usize,
    rows: Vec<Row<'r>>,
}

/// Where one person stands under one procedure.
#[derive(Debug, Serialize)]
struct Row<'r> {
    name: &'r str,
    badge: &'r str,
    language: Option<&'r str>,
    procedure: Option<&'r str>,
    qualified: bool,
    valid_until: Option<String>,
    days_left: Option<i64>,
    due: bool,
    state: &'static str,
    reason: &'r str,
    rule: Option<&'static str>,
    source: &'r str,
    basis: &'static str,
}

/// Lists the fusers of a roster.
pub fn run(arguments: &FusersArguments) -> ExitStatus {
    let mut report = Report::new(Format::Text);
    match input::read_text(&arguments.file, budget::ROSTER.bytes) {
        Ok(source) => list(arguments, source, &mut report),
        Err(ReadError::Io(message)) => report.add_failure(&message),
        Err(ReadError::Rejected(sources, mut finding)) => {
            if is_csv(&arguments.file) {
                finding.rule = &fusers::rules::CSV_NOT_READABLE;
            }
            report_roster_findings(&sources, vec![*finding], &mut report);
        }
    }
    report.finish()
}

fn list(arguments: &FusersArguments, source: Source, report: &mut Report) {
    let as_of = input::date_or_today(arguments.as_of);
    let (roster, rules, findings) = read_roster(&arguments.file, &arguments.rules, as_of, &source);
    let is_error = |finding: &Finding| finding.severity() == Severity::Error;
    let errors = findings.iter().any(is_error);
    let sources = Sources::from(source);
    report_roster_findings(&sources, findings, report);
    // A row that was not read may be the joint that somebody failed.
    if errors {
        return;
    }
    let mut standings = fusers::evaluate(&roster, &rules, library(), as_of);
    if let Some(procedure) = &arguments.procedure {
        let has = |standing: &Standing<'_>| standing.procedure() == Some(procedure);
        if !standings.iter().any(has) {
            let file = &sources.spec().name;
            return report.add_failure(&no_such_procedure(procedure, &standings, file));
        }
        standings.retain(has);
    }
    let name = &sources.spec().name;
    let text = match arguments.format {
        FusersFormat::Ics => fusers::calendar(&standings, arguments.due_within, as_of),
        FusersFormat::Text => text::list(name, &standings, arguments.due_within, as_of),
        FusersFormat::Json => json(&document(name, &standings, arguments.due_within, as_of)),
        FusersFormat::Csv => csv(&document(name, &standings, arguments.due_within, as_of)),
    };
    match arguments.format {
        FusersFormat::Text => super::print(&text),
        FusersFormat::Json => super::print_json(&text),
        FusersFormat::Csv | FusersFormat::Ics => super::print_file(&text),
    }
}

/// The roster, the rule sets that hold for it, and all there is to say of it.
pub fn read_roster(
    file: &Path,
    chosen: &[Choice],
    as_of: NaiveDate,
    source: &Source,
) -> (Roster, Rules, Vec<Finding>) {
    let (roster, mut findings) = if is_csv(file) {
        fusers::decode_csv(&source.text)
    } else {
        fusers::decode_yaml(&source.text)
    };
    let mut rules = roster.rules.clone();
    for choice in chosen {
        rules.choose(choice.clone());
    }
    findings.extend(unfit_in_roster(source, is_csv(file)));
    if findings.is_empty() {
        findings = fusers::review(&roster, &rules, library(), as_of);
    }
    finding::sort(&mut findings);
    (roster, rules, findings)
}

pub fn is_csv(file: &Path) -> bool {
    let ending = file.extension().and_then(|ending| ending.to_str());
    ending.is_some_and(|ending| ending.eq_ignore_ascii_case("csv"))
}

pub fn report_roster_findings(sources: &Sources, findings: Vec<Finding>, report: &mut Report) {
    if findings.is_empty() {
        return;
    }
    let checked = Checked {
        identity: None,
        spec_digest: String::new(),
        findings,
    };
    report.add_spec(sources, &checked, Vec::new());
}

fn no_such_procedure(procedure: &str, standings: &[Standing<'_>], file: &str) -> String {
    let known: Vec<_> = standings.iter().filter_map(Standing::procedure).collect();
    let near = nearest(procedure, &known);
    let near = near.map_or_else(String::new, |near| format!("; did you mean {near}?"));
    format!(
        "nobody on the roster has procedure {procedure}{near}; `coldring fusers {file}` lists all"
    )
}

fn document<'r>(
    file: &'r str,
    standings: &'r [Standing<'r>],
    due_within: u32,
    as_of: chrono::NaiveDate,
) -> Document<'r> {
    let rows = standings.iter().map(|standing| Row {
        name: &standing.fuser.name,
        badge: &standing.fuser.badge,
        language: standing.fuser.language.as_ref().map(|l| l.value.as_str()),
        procedure: standing.procedure(),
        qualified: standing.qualified(),
        valid_until: standing.valid_until.map(|day| day.to_string()),
        days_left: standing.days_left(as_of),
        due: standing.due_within(due_within, as_of),
        state: standing.state.word(),
        reason: &standing.reason,
        rule: standing.rule.map(|rule| rule.word()),
        source: &standing.source,
        basis: standing.basis.word(),
    });
    let rows: Vec<Row<'r>> = rows.collect();
    let count = |wanted: fn(&Row<'_>) -> bool| rows.iter().filter(|row| wanted(row)).count();
    Document {
        head: FUSERS,
        file,
        as_of: as_of.to_string(),
        due_within_days: due_within,
        qualified: count(|row| row.qualified),
        due: count(|row| row.due),
        not_qualified: count(|row| !row.qualified),
        rows,
    }
}

fn json(document: &Document<'_>) -> String {
    // Plain fields of plain types: there is nothing that cannot be written.
    let text = serde_json::to_string_pretty(document).unwrap_or_default();
    text + "\n"
}

/// A header and a row for each standing, with the fields of the JSON rows.
fn csv(document: &Document<'_>) -> String {
    let mut out = csv::Writer::from_writer(Vec::new());
    for row in &document.rows {
        // Writing to memory cannot fail.
        let _ = out.serialize(row);
    }
    String::from_utf8(out.into_inner().unwrap_or_default()).unwrap_or_default()
}
