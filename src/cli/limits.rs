//! `coldring limits`: every published figure with its size, basis and source.

use super::Ending;
use super::args::LimitsArguments;
use crate::limits::{Figure, Table, library};
use crate::spec::nearest;

/// Lists one table, or all.
pub fn run(arguments: &LimitsArguments) -> Ending {
    let library = library();
    let tables = library.tables();
    let Some(name) = &arguments.table else {
        super::print(&format!("figures of {}\n", library.version()));
        for table in tables {
            super::print(&list(table));
        }
        return Ending::Clean;
    };
    if let Some(table) = tables.iter().find(|table| table.name == *name) {
        super::print(&list(table));
        return Ending::Clean;
    }
    let names: Vec<_> = tables.iter().map(|table| table.name.as_str()).collect();
    let near = nearest(name, &names)
        .map(|near| format!("did you mean '{near}'? "))
        .unwrap_or_default();
    super::complain(&format!(
        "there is no table '{name}'; {near}there are: {}",
        names.join(", ")
    ));
    Ending::CouldNotRun
}

fn list(table: &Table) -> String {
    let mut text = format!("\n{}: {}\n", table.name, table.title);
    for figure in &table.figures {
        text.push_str(&line(figure));
    }
    text
}

fn line(figure: &Figure) -> String {
    let size = figure.size.map(|size| size.to_string()).unwrap_or_default();
    let mut text = format!(
        "  {:44} {:9}  {}\n      {}: {}\n",
        figure.id,
        size,
        figure.written,
        figure.basis.word(),
        figure.source
    );
    if let Some(note) = &figure.note {
        text.push_str(&format!("      note: {note}\n"));
    }
    if let Some(conflict) = &figure.conflict {
        text.push_str(&format!("      sources disagree: conflicts:{conflict}\n"));
    }
    text
}
