//! `coldring fusers`: who on a roster is qualified under which procedure, until
//! when and why.

mod text;

use std::path::Path;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::args::{FusersArguments, FusersFormat};
use super::head::{FUSERS, Head};
use super::input::{self, Failure, is_csv};
use super::report::{Report, is_error};
use super::{RunResult, csv_table, print, print_file, print_json};
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::source::{Source, Sources};
use crate::papers::compile;
use crate::people::fusers::{self, Choice, Roster, Rules, Standing};
use crate::published::library;
use crate::spec::nearest;

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Document<'r> {
    #[serde(flatten)]
    head: Head,
    /// The roster as you gave it.
    file: &'r str,
    /// Day of the list.
    as_of: String,
    /// How long ahead an end is due soon.
    due_within_days: u32,
    /// How many rows are qualified.
    qualified: usize,
    /// How many of these end soon.
    due: usize,
    /// How many are not.
    not_qualified: usize,
    /// What the organization has decided on specimens of earlier revisions.
    held_revisions: Vec<HeldRevision<'r>>,
    rows: Vec<Row<'r>>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct HeldRevision<'r> {
    /// Number of the procedure.
    procedure: &'r str,
    /// Revision that the specimens were made by.
    made_by: u32,
    /// Later revision that they count for too.
    holds_for: u32,
    /// Where the organization says so.
    source: &'r str,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Row<'r> {
    /// Name of the fuser.
    name: &'r str,
    /// Badge.
    badge: &'r str,
    /// Language, as the roster has it.
    language: Option<&'r str>,
    /// Number of the procedure.
    procedure: Option<&'r str>,
    /// Whether qualified that day.
    qualified: bool,
    /// Sizes it is for, and smaller ones; null if for all, or if not qualified.
    sizes: Option<String>,
    /// Last day.
    valid_until: Option<String>,
    /// Days until then.
    days_left: Option<i64>,
    /// Whether it ends soon.
    due: bool,
    /// State in a word.
    state: &'static str,
    /// Why.
    reason: &'r str,
    /// Rule set.
    rule: Option<&'static str>,
    /// Where the rule is from.
    source: &'r str,
    /// How well it is known.
    basis: &'static str,
}

pub(crate) fn run(arguments: &FusersArguments) -> RunResult {
    let mut report = Report::text();
    let result = list_fusers(arguments, &mut report);
    Ok(report.finish_with(result))
}

fn list_fusers(arguments: &FusersArguments, report: &mut Report) -> Result<(), Failure> {
    let as_of = input::date_or_today(arguments.as_of);
    let source = read_roster_file(&arguments.file)?;
    let (roster, rules, findings) = read_roster(&arguments.file, &arguments.rules, as_of, &source);
    let has_errors = findings.iter().any(is_error);
    let sources = Sources::from(source);
    report.add_findings(&sources, findings);
    // A row that was not read may be the joint that somebody failed.
    if has_errors {
        return Ok(());
    }
    let name = &sources.spec().name;
    let mut standings = fusers::evaluate(&roster, &rules, library(), as_of);
    if let Some(procedure) = &arguments.procedure {
        let has = |standing: &Standing<'_>| standing.procedure() == Some(procedure);
        if !standings.iter().any(has) {
            return Err(no_such_procedure(procedure, &standings, name).into());
        }
        standings.retain(has);
    }
    let due = arguments.due_within;
    let document = || document(name, &standings, &rules, due, as_of);
    match arguments.format {
        FusersFormat::Ics => print_file(&fusers::calendar(&standings, due, as_of)),
        FusersFormat::Text => print(&text::list(name, &standings, &rules, due, as_of)),
        FusersFormat::Json => print_json(&document()),
        FusersFormat::Csv => print_file(&csv_table(document().rows)),
    }
    Ok(())
}

/// The text of a roster.
pub(crate) fn read_roster_file(path: &Path) -> Result<Source, Failure> {
    input::read_text(path, budget::ROSTER.bytes).map_err(|failure| {
        if is_csv(path) {
            failure.of_rule(&fusers::rules::CSV_NOT_READABLE)
        } else {
            failure
        }
    })
}

/// The roster, its rule sets, and all findings.
pub(crate) fn read_roster(
    file: &Path,
    chosen: &[Choice],
    as_of: NaiveDate,
    source: &Source,
) -> (Roster, Rules, Vec<Finding>) {
    compile::read_roster(source, is_csv(file), chosen, as_of)
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
    rules: &'r Rules,
    due_within: u32,
    as_of: NaiveDate,
) -> Document<'r> {
    let listed = |procedure: &str| standings.iter().any(|s| s.procedure() == Some(procedure));
    let held = rules.held().iter().filter(|held| listed(&held.procedure));
    let held = held.map(|held| HeldRevision {
        procedure: &held.procedure,
        made_by: held.made_by.value,
        holds_for: held.holds_for.value,
        source: &held.source,
    });
    let rows = standings.iter().map(|standing| Row {
        name: &standing.fuser.name,
        badge: &standing.fuser.badge,
        language: standing.fuser.language.as_ref().map(|l| l.value.as_str()),
        procedure: standing.procedure(),
        qualified: standing.qualified(),
        sizes: Some(standing.sizes())
            .filter(|s| !s.is_empty())
            .map(fusers::size_list),
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
        held_revisions: held.collect(),
        rows,
    }
}
