//! Reads a table of published numbers from its YAML.
//!
//! A table names its columns and the kind of value in each. Cells are written as an
//! engineer writes them (`18 to 21 s`), so that a page can be proofread against its
//! source.

use std::collections::BTreeMap;
use std::fmt;

use serde::Deserialize;

use super::entry::{Basis, Entry, Value};
use crate::core::size::Size;
use crate::core::units::{Quantity, QuantityError, parse_quantity};

/// A table of published numbers.
#[derive(Debug, Clone)]
pub struct Table {
    /// Its name, the first part of its entries' IDs.
    pub name: String,
    /// Its title for readers.
    pub title: String,
    /// Its position in lists of tables.
    pub(super) order: u32,
    /// The kind of value in each column.
    pub(super) kinds: BTreeMap<String, String>,
    /// Its entries, row by row.
    pub entries: Vec<Entry>,
}

#[derive(Debug)]
pub struct TableError(String);

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawTable {
    table: String,
    title: String,
    order: u32,
    columns: BTreeMap<String, String>,
    basis: Option<String>,
    source: Option<String>,
    rows: Vec<RawRow>,
}

#[derive(Deserialize)]
struct RawRow {
    key: String,
    size: Option<String>,
    basis: Option<String>,
    source: Option<String>,
    note: Option<String>,
    conflict: Option<String>,
    #[serde(flatten)]
    cells: BTreeMap<String, RawCell>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum RawCell {
    Plain(String),
    Full {
        value: String,
        basis: Option<String>,
        source: Option<String>,
        note: Option<String>,
        conflict: Option<String>,
    },
}

/// Cell text for a number looked for and not found.
const NOT_FOUND: &str = "not found";
/// Cell text for work that the source advises against.
const NOT_ADVISABLE: &str = "not advisable";

impl Table {
    /// Reads a table as it is written, in YAML.
    ///
    /// # Errors
    /// When the text is not a table, a cell is not of its column's kind, or a
    /// figure has no basis or no source.
    pub fn read(text: &str) -> Result<Self, TableError> {
        let raw = serde_yaml::from_str(text)
            .map_err(|error| TableError(error.without_snippet().to_string()))?;
        Self::new(raw)
    }

    /// Reads a table as `build.rs` embeds it.
    ///
    /// # Errors
    /// As [`read`](Self::read).
    pub(super) fn from_json(text: &str) -> Result<Self, TableError> {
        let raw = serde_json::from_str(text).map_err(|error| TableError(error.to_string()))?;
        Self::new(raw)
    }

    fn new(raw: RawTable) -> Result<Self, TableError> {
        let mut entries = Vec::new();
        for row in &raw.rows {
            for (column, cell) in &row.cells {
                entries.push(entry(&raw, row, column, cell)?);
            }
        }
        Ok(Self {
            name: raw.table,
            title: raw.title,
            order: raw.order,
            kinds: raw.columns,
            entries,
        })
    }
}

fn entry(
    table: &RawTable,
    row: &RawRow,
    column: &str,
    cell: &RawCell,
) -> Result<Entry, TableError> {
    let id = format!("{}:{}:{column}", table.table, row.key);
    let wrong = |what: &str| TableError(format!("{id}: {what}"));
    let (written, basis, source, note, conflict) = match cell {
        RawCell::Plain(value) => (value, None, None, None, None),
        RawCell::Full {
            value,
            basis,
            source,
            note,
            conflict,
        } => (
            value,
            basis.as_ref(),
            source.as_ref(),
            note.as_ref(),
            conflict.as_ref(),
        ),
    };
    let kind = table
        .columns
        .get(column)
        .ok_or_else(|| wrong("the column is not declared"))?;
    let value = value(kind, written).map_err(|error| wrong(&format!("{written:?}: {error:?}")))?;
    let word = basis.or(row.basis.as_ref()).or(table.basis.as_ref());
    let basis = match value {
        Value::NotFound => Basis::NotFound,
        _ => word
            .and_then(|word| Basis::parse(word))
            .ok_or_else(|| wrong("no basis, or one that is not known"))?,
    };
    let source = source
        .or(row.source.as_ref())
        .or(table.source.as_ref())
        .ok_or_else(|| wrong("no source"))?;
    let size = match &row.size {
        Some(size) => Some(Size::parse(size).map_err(|_| wrong("the size cannot be read"))?),
        None => None,
    };
    Ok(Entry {
        id: id.clone(),
        size,
        value,
        written: written.clone(),
        basis,
        source: source.clone(),
        note: note.or(row.note.as_ref()).cloned(),
        conflict: conflict.or(row.conflict.as_ref()).cloned(),
    })
}

/// Reads a cell of a column of this kind.
pub(super) fn value(kind: &str, written: &str) -> Result<Value, QuantityError> {
    if written == NOT_FOUND {
        return Ok(Value::NotFound);
    }
    if written == NOT_ADVISABLE {
        return Ok(Value::NotAdvisable);
    }
    if kind == "text" {
        return Ok(Value::Text(written.to_owned()));
    }
    let quantity: Quantity = parse_quantity(written)?;
    match kind {
        "length" => quantity.length().map(Value::Length),
        "length range" => quantity.length_range().map(Value::LengthRange),
        "time" => quantity.duration().map(Value::Duration),
        "time range" => quantity.duration_range().map(Value::DurationRange),
        "temperature" => quantity.temperature().map(Value::Temperature),
        "temperature range" => quantity.temperature_range().map(Value::TemperatureRange),
        "difference" => quantity
            .temperature_difference()
            .map(Value::TemperatureDifference),
        "percent" => quantity.percent().map(Value::Percent),
        other => Err(QuantityError::UnknownUnit(other.to_owned())),
    }
}
