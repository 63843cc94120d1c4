//! `coldring show`: a procedure as it resolves, as a spec, JSON or CSV.

use std::error::Error;

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;

use super::args::{ShowArguments, ShowFormat};
use super::head::{Head, PROCEDURE};
use super::heat::report_errors;
use super::input::{self, Failure};
use super::internal_error::PLEASE_REPORT;
use super::limits::{csv_of_figures, number};
use super::report::Report;
use super::{RunResult, print_file, print_json};
use crate::core::source::Sources;
use crate::papers::compile::{self, Checked, ResolvedSpec};
use crate::procedure::numbers::{Numbers, Row, rows, yaml};
use crate::published::Basis;

/// The notice that goes with every listing.
const NOTICE: &str = "Figures of the procedure as it resolves. A figure whose standing is recalled \
                      is from memory and to be verified. The qualified procedure governs.";

/// The columns of the CSV.
const COLUMNS: [&str; 19] = [
    "procedure",
    "revision",
    "status",
    "size",
    "walls",
    "wall",
    "figure",
    "kind",
    "value",
    "least",
    "most",
    "unit",
    "written",
    "basis",
    "standing",
    "source",
    "id",
    "conflict",
    "library",
];

#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Document<'p> {
    #[serde(flatten)]
    head: Head,
    /// What goes with every listing.
    notice: &'static str,
    /// The spec as you gave it.
    file: &'p str,
    /// Number of the procedure.
    procedure: &'p str,
    /// Its revision.
    revision: u32,
    /// Draft, qualified or withdrawn.
    status: &'p str,
    /// Us or metric.
    practice: &'static str,
    /// Resin of the pipe.
    resin: &'p str,
    /// SHA-256 of the spec and the files it names.
    spec_digest: &'p str,
    /// Version of the tables.
    library: &'p str,
    figures: Vec<Figure>,
}

/// One figure, as `coldring limits` has them.
#[derive(Debug, Serialize, JsonSchema)]
struct Figure {
    /// Pipe size, where it is of one.
    size: Option<String>,
    /// Group of walls, where it is of one.
    walls: Option<String>,
    /// Wall, where it is of one.
    wall: Option<String>,
    /// Name of the figure.
    figure: &'static str,
    /// Kind of quantity.
    kind: Option<&'static str>,
    /// A number, [least, most], words, or null where there is none.
    value: Value,
    /// Unit of the value.
    unit: Option<&'static str>,
    /// The figure as it was written.
    written: Option<String>,
    /// How this figure came about.
    #[schemars(with = "&str")]
    basis: Basis,
    /// How well it is known; that of the worst it rests on.
    #[schemars(with = "&str")]
    standing: Basis,
    /// Where it is from.
    source: String,
    /// Its id in the tables.
    id: Option<String>,
    /// The conflict of sources it is in.
    conflict: Option<String>,
}

pub(crate) fn run(arguments: &ShowArguments) -> RunResult {
    let mut report = Report::text();
    let result = show(arguments, &mut report);
    Ok(report.finish_with(result))
}

fn show(arguments: &ShowArguments, report: &mut Report) -> Result<(), Failure> {
    let as_of = input::date_or_today(arguments.as_of);
    let sources = input::read_spec(&arguments.spec)?;
    compile::with_procedure(&sources, as_of, |checked, resolved| {
        let errors = report_errors(&sources, &checked, report);
        let Some(resolved) = resolved.filter(|_| errors == 0) else {
            return Ok(());
        };
        let document = || document(&sources, &checked, resolved);
        match arguments.format {
            ShowFormat::Yaml => print_file(&yaml(resolved.procedure, resolved.limits)),
            ShowFormat::Json => print_json(&document()),
            ShowFormat::Csv => print_file(&csv(&document()).map_err(|error| {
                format!("cannot print the procedure: {error}\n{PLEASE_REPORT}")
            })?),
        }
        Ok(())
    })
}

fn document<'p>(
    sources: &'p Sources,
    checked: &'p Checked,
    resolved: ResolvedSpec<'p>,
) -> Document<'p> {
    let ResolvedSpec { procedure, limits } = resolved;
    let spec = procedure.spec;
    let figures = rows(procedure).into_iter().map(|row| figure(row, resolved));
    Document {
        head: PROCEDURE,
        notice: NOTICE,
        file: &sources.spec().name,
        procedure: &spec.number,
        revision: spec.revisions.last().map_or(0, |last| last.number.value),
        status: spec.status.value.word(),
        practice: procedure.practice().key,
        resin: &spec.resin,
        spec_digest: &checked.spec_digest,
        library: limits.version(),
        figures: figures.collect(),
    }
}

#[expect(
    clippy::indexing_slicing,
    reason = "an index of JSON by name gives null, or adds the field"
)]
fn csv(document: &Document) -> Result<String, Box<dyn Error>> {
    let figures = document.figures.iter().map(|figure| {
        let mut figure = serde_json::to_value(figure)?;
        figure["procedure"] = document.procedure.into();
        figure["revision"] = document.revision.into();
        figure["status"] = document.status.into();
        figure["library"] = document.library.into();
        Ok(figure)
    });
    csv_of_figures(COLUMNS, figures)
}

fn figure(row: Row, resolved: ResolvedSpec<'_>) -> Figure {
    let numbers = row.numbers(resolved.procedure);
    let one = |decimal| number(decimal).map_or(Value::Null, Value::Number);
    let value = match &numbers {
        Some(Numbers { least, most, .. }) => match most {
            Some(most) => Value::Array(vec![one(*least), one(*most)]),
            None => one(*least),
        },
        None if row.basis == Basis::NotFound => Value::Null,
        None => Value::String(row.shown(resolved.procedure)),
    };
    let published = row.id.as_deref().and_then(|id| resolved.limits.entry(id));
    Figure {
        size: row.size.map(|size| size.to_string()),
        kind: row.kind(),
        value,
        unit: numbers.map(|numbers| numbers.unit),
        written: row
            .written
            .or(published.map(|figure| figure.written.clone())),
        walls: row.walls,
        wall: row.wall,
        figure: row.name,
        basis: row.basis,
        standing: row.weakest_basis,
        source: row.source,
        id: row.id,
        conflict: row.conflict.map(|slug| format!("conflicts:{slug}")),
    }
}
