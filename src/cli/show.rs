//! `coldring show`: a procedure as it resolves, as a spec, JSON or CSV.

use std::error::Error;

use serde::Serialize;
use serde_json::Value;

use super::ExitStatus;
use super::args::{Format, ShowArguments, ShowFormat};
use super::check::unread;
use super::documents::{Head, PROCEDURE};
use super::heat::report_errors;
use super::input::{self, ReadError};
use super::limits::number;
use super::report::Report;
use crate::core::source::Sources;
use crate::papers::compile::{self, Checked, Given};
use crate::procedure::numbers::{Numbers, Row, rows, yaml};
use crate::published::Basis;

/// What goes with every listing.
const NOTICE: &str = "Figures of the procedure as it resolves. A figure whose standing is recalled \
                      is from memory and to be verified. The qualified procedure governs.";

/// The head of the CSV, in the order of [`record`].
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

/// The document.
#[derive(Debug, Serialize)]
struct Document<'p> {
    #[serde(flatten)]
    head: Head,
    notice: &'static str,
    file: &'p str,
    procedure: &'p str,
    revision: u32,
    status: &'p str,
    practice: &'static str,
    resin: &'p str,
    spec_digest: &'p str,
    library: &'p str,
    figures: Vec<Figure>,
}

/// One figure, as `coldring limits` has them.
#[derive(Debug, Serialize)]
struct Figure {
    size: Option<String>,
    walls: Option<String>,
    wall: Option<String>,
    figure: &'static str,
    kind: Option<&'static str>,
    value: Value,
    unit: Option<&'static str>,
    written: Option<String>,
    basis: Basis,
    standing: Basis,
    source: String,
    id: Option<String>,
    conflict: Option<String>,
}

/// Prints a procedure as it resolves.
pub fn run(arguments: &ShowArguments) -> ExitStatus {
    let as_of = input::date_or_today(arguments.as_of);
    let mut report = Report::new(Format::Text);
    match input::read_spec(&arguments.spec) {
        Ok(sources) => compile::resolved(&sources, as_of, |checked, given| {
            if report_errors(&sources, &checked, &mut report) > 0 {
                return;
            }
            let Some(given) = given else { return };
            match shown(&sources, &checked, given, arguments.format) {
                Ok(text) if arguments.format == ShowFormat::Json => super::print_json(&text),
                Ok(text) => super::print_file(&text),
                Err(error) => report.add_failure(&format!(
                    "cannot print the procedure: {error}\n{}",
                    super::internal_error::PLEASE_REPORT
                )),
            }
        }),
        Err(ReadError::Io(message)) => report.add_failure(&message),
        Err(ReadError::Rejected(sources, finding)) => {
            report_errors(&sources, &unread(&sources, *finding), &mut report);
        }
    }
    report.finish()
}

fn shown(
    sources: &Sources,
    checked: &Checked,
    given: Given<'_>,
    format: ShowFormat,
) -> Result<String, Box<dyn Error>> {
    let Given { procedure, limits } = given;
    if format == ShowFormat::Yaml {
        return Ok(yaml(procedure, limits));
    }
    let spec = procedure.spec;
    let document = Document {
        head: PROCEDURE,
        notice: NOTICE,
        file: &sources.spec().name,
        procedure: &spec.number,
        revision: spec.revisions.last().map_or(0, |last| last.number.value),
        status: spec.status.value.word(),
        practice: procedure.practice().key(),
        resin: &spec.resin,
        spec_digest: &checked.spec_digest,
        library: limits.version(),
        figures: rows(procedure)
            .into_iter()
            .map(|row| figure(row, given))
            .collect(),
    };
    if format == ShowFormat::Json {
        return Ok(serde_json::to_string_pretty(&document)? + "\n");
    }
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(COLUMNS)?;
    for figure in &document.figures {
        writer.write_record(record(&document, figure))?;
    }
    Ok(String::from_utf8(writer.into_inner()?)?)
}

fn figure(row: Row, given: Given<'_>) -> Figure {
    let numbers = row.numbers(given.procedure);
    let one = |decimal| number(decimal).map_or(Value::Null, Value::Number);
    let value = match &numbers {
        Some(Numbers { least, most, .. }) => match most {
            Some(most) => Value::Array(vec![one(*least), one(*most)]),
            None => one(*least),
        },
        None if row.basis == Basis::NotFound => Value::Null,
        None => Value::String(row.shown(given.procedure)),
    };
    let published = row.id.as_deref().and_then(|id| given.limits.figure(id));
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
        figure: row.figure,
        basis: row.basis,
        standing: row.standing,
        source: row.source,
        id: row.id,
        conflict: row.conflict.map(|slug| format!("conflicts:{slug}")),
    }
}

/// A figure as a row of the CSV, empty where it has nothing; a range has its
/// ends in columns of their own.
fn record(document: &Document, figure: &Figure) -> [String; COLUMNS.len()] {
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let end = |ends: &[Value], n: usize| ends.get(n).map(Value::to_string).unwrap_or_default();
    let (value, least, most) = match &figure.value {
        Value::Array(ends) => (String::new(), end(ends, 0), end(ends, 1)),
        Value::Null => Default::default(),
        Value::String(text) => (text.clone(), String::new(), String::new()),
        number => (number.to_string(), String::new(), String::new()),
    };
    [
        document.procedure.to_owned(),
        document.revision.to_string(),
        document.status.to_owned(),
        text(&figure.size),
        text(&figure.walls),
        text(&figure.wall),
        figure.figure.to_owned(),
        figure.kind.unwrap_or_default().to_owned(),
        value,
        least,
        most,
        figure.unit.unwrap_or_default().to_owned(),
        text(&figure.written),
        figure.basis.word().to_owned(),
        figure.standing.word().to_owned(),
        figure.source.clone(),
        text(&figure.id),
        text(&figure.conflict),
        document.library.to_owned(),
    ]
}
