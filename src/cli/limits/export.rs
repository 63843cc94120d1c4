//! The figures for programs: one JSON document, or CSV with a row a figure. Numbers
//! are in the unit they were published in, so that nothing is rounded; the unit and
//! the kind of quantity tell how to convert them.

use std::error::Error;

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Number, Value};

use super::Selected;
use crate::cli::head::{Head, LIMITS};
use crate::core::units::{Decimal, parse_quantity};
use crate::published::{self, Basis, Figure, Table};

/// The columns of the CSV.
const COLUMNS: [&str; 14] = [
    "id", "table", "size", "kind", "value", "least", "most", "unit", "written", "basis", "source",
    "note", "conflict", "library",
];

#[derive(Debug, Serialize, JsonSchema)]
pub(in crate::cli) struct JsonLimits<'l> {
    #[serde(flatten)]
    head: Head,
    /// Version of the tables.
    library: &'l str,
    figures: Vec<JsonFigure<'l>>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct JsonFigure<'l> {
    /// Name of the figure, which stays.
    id: &'l str,
    /// Table it stands in.
    table: &'l str,
    /// Pipe size, where it is of one.
    size: Option<String>,
    /// Length, temperature, temperature difference, time, ratio and so on.
    kind: Option<&'static str>,
    /// A number, [least, most], words, or null where none was found.
    #[schemars(with = "serde_json::Value")]
    value: JsonValue<'l>,
    /// Unit of the value.
    unit: Option<String>,
    /// The figure as the table writes it.
    written: &'l str,
    /// How well it is known.
    #[schemars(with = "&str")]
    basis: Basis,
    /// Where it was read.
    source: &'l str,
    /// What is to be said of it.
    note: Option<&'l str>,
    /// The conflict of sources it is in.
    conflict: Option<String>,
}

/// A number, the two ends of a range, a statement (`not advisable` is one), or
/// `null` for a figure that was not found.
#[derive(Debug, Serialize)]
#[serde(untagged)]
enum JsonValue<'l> {
    One(Number),
    Range([Number; 2]),
    Text(&'l str),
    NotFound,
}

pub(crate) fn document<'l>(library: &'l str, selected: &[Selected<'l>]) -> JsonLimits<'l> {
    JsonLimits {
        head: LIMITS,
        library,
        figures: rows(selected).collect(),
    }
}

#[expect(
    clippy::indexing_slicing,
    reason = "an index of JSON by name gives null, or adds the field"
)]
pub(crate) fn csv(library: &str, selected: &[Selected]) -> Result<String, Box<dyn Error>> {
    let figures = rows(selected).map(|figure| {
        let mut figure = serde_json::to_value(figure)?;
        figure["library"] = library.into();
        Ok(figure)
    });
    csv_of_figures(COLUMNS, figures)
}

/// CSV after RFC 4180: a header, then a row for each figure. The columns are fields
/// of its JSON, except that `least` and `most` hold the ends of a range.
///
/// # Errors
/// None that can happen: everything is written to memory.
#[expect(
    clippy::indexing_slicing,
    reason = "an index of JSON by name gives null, or adds the field"
)]
pub(crate) fn csv_of_figures<const N: usize>(
    columns: [&str; N],
    figures: impl Iterator<Item = Result<Value, Box<dyn Error>>>,
) -> Result<String, Box<dyn Error>> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(columns)?;
    for figure in figures {
        let figure = figure?;
        writer.write_record(columns.map(|column| match (column, &figure["value"]) {
            ("value", Value::Array(_)) => String::new(),
            ("least", Value::Array(ends)) => ends.first().map(cell).unwrap_or_default(),
            ("most", Value::Array(ends)) => ends.last().map(cell).unwrap_or_default(),
            _ => cell(&figure[column]),
        }))?;
    }
    Ok(String::from_utf8(writer.into_inner()?)?)
}

fn cell(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        value => value.to_string(),
    }
}

fn rows<'l>(selected: &[Selected<'l>]) -> impl Iterator<Item = JsonFigure<'l>> {
    selected.iter().flat_map(|(table, figures)| {
        let table: &Table = table;
        figures.iter().map(|figure| row(table, figure))
    })
}

fn row<'l>(table: &'l Table, figure: &'l Figure) -> JsonFigure<'l> {
    let (value, unit) = value(figure);
    JsonFigure {
        id: &figure.id,
        table: &table.name,
        size: figure.size.map(|size| size.to_string()),
        kind: figure.value.kind(),
        value,
        unit,
        written: &figure.written,
        basis: figure.basis,
        source: &figure.source,
        note: figure.note.as_deref(),
        conflict: figure
            .conflict
            .as_ref()
            .map(|slug| format!("conflicts:{slug}")),
    }
}

/// The value with its unit, as the table writes them.
fn value(figure: &Figure) -> (JsonValue<'_>, Option<String>) {
    let written = figure.written.as_str();
    match figure.value {
        published::Value::NotFound => return (JsonValue::NotFound, None),
        published::Value::Text(_) | published::Value::NotAdvisable => {
            return (JsonValue::Text(written), None);
        }
        _ => {}
    }
    // A range in two units, as in "50 s to 2 min", is given in words.
    let numbers = parse_quantity(written).ok().and_then(|q| q.numbers());
    let value = numbers.and_then(|(first, end, unit)| {
        let value = match end {
            Some(end) => JsonValue::Range([number(first)?, number(end)?]),
            None => JsonValue::One(number(first)?),
        };
        Some((value, Some(unit)))
    });
    value.unwrap_or((JsonValue::Text(written), None))
}

/// A decimal as a JSON number: whole numbers without a point; six places of nine
/// digits survive binary floating point.
pub(crate) fn number(decimal: Decimal) -> Option<Number> {
    const ONE: i64 = 1_000_000;
    if decimal.millionths % ONE == 0 {
        return Some(Number::from(decimal.millionths / ONE));
    }
    Number::from_f64(decimal.millionths as f64 / ONE as f64)
}
