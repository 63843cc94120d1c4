//! `coldring limits`: the published figures with their size, basis and source,
//! all or those asked for, for people, programs or a spreadsheet.

pub(super) mod export;

pub(super) use export::{csv_of_figures, number};

use clap::ValueEnum;
use clap::builder::PossibleValue;

use super::args::{LimitsArguments, TableFormat};
use super::internal_error::PLEASE_REPORT;
use super::{ExitStatus, RunResult, print, print_json};
use crate::published::{Basis, Entry, Library, Table, library};
use crate::spec::nearest;

/// A table and the figures of it that were asked for, at least one.
type Selected<'l> = (&'l Table, Vec<&'l Entry>);

pub(crate) fn run(arguments: &LimitsArguments) -> RunResult {
    let library = library();
    if arguments.changes {
        print(library.changes());
        return Ok(ExitStatus::Clean);
    }
    if let Some(name) = &arguments.table
        && !library.tables().iter().any(|table| table.name == *name)
    {
        return Err(no_table(library, name));
    }
    let selected = select(library, arguments);
    match arguments.format {
        TableFormat::Text => print(&text(library, arguments, &selected)),
        TableFormat::Json => print_json(&export::document(library.version(), &selected)),
        TableFormat::Csv => {
            print(&export::csv(library.version(), &selected).map_err(|error| {
                format!("the figures cannot be listed: {error}\n{PLEASE_REPORT}")
            })?)
        }
    }
    Ok(ExitStatus::Clean)
}

fn no_table(library: &Library, name: &str) -> String {
    let names: Vec<_> = library.tables().iter().map(|t| t.name.as_str()).collect();
    let near = nearest(name, &names)
        .map(|near| format!("did you mean '{near}'? "))
        .unwrap_or_default();
    format!(
        "there is no table '{name}'; {near}give one of: {}",
        names.join(", ")
    )
}

/// The figures that pass every filter.
fn select<'l>(library: &'l Library, arguments: &LimitsArguments) -> Vec<Selected<'l>> {
    let wanted = |figure: &&Entry| {
        (arguments.basis.is_empty() || arguments.basis.contains(&figure.basis))
            && (arguments.size.is_none() || arguments.size == figure.size)
    };
    let tables = library.tables().iter();
    tables
        .filter(|table| arguments.table.as_ref().is_none_or(|n| *n == table.name))
        .map(|table| (table, table.entries.iter().filter(wanted).collect()))
        .filter(|(_, figures): &Selected| !figures.is_empty())
        .collect()
}

fn text(library: &Library, arguments: &LimitsArguments, selected: &[Selected]) -> String {
    if selected.is_empty() {
        return no_figure(arguments);
    }
    let mut text = String::new();
    if arguments.table.is_none() {
        text.push_str(&format!("figures of {}\n", library.version()));
    }
    if let [_, _, ..] = selected {
        text.push_str("One table: coldring limits NAME. The tables:\n");
        for (table, figures) in selected {
            let (name, count) = (&table.name, figures.len());
            text.push_str(&format!("  {name:22} {count:4}  {}\n", table.title));
        }
    }
    for (table, figures) in selected {
        text.push_str(&format!("\n{}: {}\n", table.name, table.title));
        for figure in figures {
            text.push_str(&lines(figure));
        }
    }
    text
}

fn no_figure(arguments: &LimitsArguments) -> String {
    let mut text = String::from("no figure");
    if let Some(table) = &arguments.table {
        text.push_str(&format!(" of {table}"));
    }
    if let Some(size) = arguments.size {
        text.push_str(&format!(" for {size}"));
    }
    if !arguments.basis.is_empty() {
        let words: Vec<_> = arguments.basis.iter().map(|basis| basis.word()).collect();
        text.push_str(&format!(" has the basis {}", words.join(" or ")));
    }
    text + "\n"
}

fn lines(figure: &Entry) -> String {
    let size = figure.size.map(|size| size.to_string()).unwrap_or_default();
    let mut text = format!("  {:44} {size:9}  {}\n", figure.id, figure.written);
    // Of what was not found, the value says all that basis and source could.
    if figure.basis != Basis::NotFound || figure.note.is_none() {
        let basis = figure.basis.word();
        text.push_str(&format!("      {basis}: {}\n", figure.source));
    }
    if let Some(note) = &figure.note {
        text.push_str(&format!("      note: {note}\n"));
    }
    if let Some(conflict) = &figure.conflict {
        text.push_str(&format!("      sources disagree: conflicts:{conflict}\n"));
    }
    text
}

/// The words of the tables, without a space that would have to be quoted.
impl ValueEnum for Basis {
    fn value_variants<'a>() -> &'a [Self] {
        &Self::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(match self {
            Basis::NotFound => PossibleValue::new("not-found").alias(self.word()),
            _ => PossibleValue::new(self.word()),
        })
    }
}
