//! Reads CSV records with the position of each cell in the text, so findings can point at
//! it. The crate `csv` reads the cells.

use csv::{ReaderBuilder, StringRecord};

use super::rules;
use crate::core::budget::{self, ROSTER};
use crate::core::finding::Finding;
use crate::core::source::Span;
use crate::spec::fields::too_many;
use crate::spec::rules::SPEC_TOO_LARGE;

/// Calls `visit` with each record, its cell positions, and its row number as spreadsheets
/// count.
pub(super) fn each_record(
    body: &str,
    first: usize,
    findings: &mut Vec<Finding>,
    mut visit: impl FnMut(&StringRecord, Cells, usize, &mut Vec<Finding>),
) {
    let separator = separator(body);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(body.as_bytes());
    let mut record = StringRecord::new();
    let (mut number, mut held) = (0, 0);
    loop {
        let start = offset(&reader);
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => return,
            // The text is UTF-8, and rows may differ in length.
            Err(error) => {
                findings.push(rules::CSV_NOT_READABLE.about_file(error.to_string()));
                return;
            }
        }
        let raw = body.get(start..offset(&reader)).unwrap_or_default();
        let cells = Cells::locate(raw, first + start, char::from(separator));
        number += cells.blank_lines + 1;
        if let Some(quote) = cells.unclosed {
            findings.push(
                rules::CSV_NOT_READABLE
                    .at(
                        Span::new(quote, quote + 1),
                        format!("row {number}: the quotation mark is never closed"),
                    )
                    .help("close it at the end of the cell"),
            );
        }
        held += record.len();
        if held > ROSTER.nodes {
            findings.push(too_many_cells(cells.record()));
            return;
        }
        if findings.len() >= budget::FINDINGS {
            findings.push(too_many(cells.record()));
            return;
        }
        visit(&record, cells, number, findings);
    }
}

fn too_many_cells(at: Span) -> Finding {
    let message = format!("from here on the file has more than {} cells", ROSTER.nodes);
    SPEC_TOO_LARGE
        .at(at, message)
        .help("check that the right file was given, or split the roster")
}

fn offset(reader: &csv::Reader<&[u8]>) -> usize {
    usize::try_from(reader.position().byte()).unwrap_or(usize::MAX)
}

/// A semicolon if the header has one and no comma; otherwise a comma.
fn separator(body: &str) -> u8 {
    let header = body.trim_start().lines().next().unwrap_or_default();
    if header.contains(';') && !header.contains(',') {
        b';'
    } else {
        b','
    }
}

/// Positions of a record's cells, including quotation marks.
pub(super) struct Cells {
    spans: Vec<Span>,
    /// Number of empty lines before the record.
    blank_lines: usize,
    /// Position of a quotation mark that is never closed.
    unclosed: Option<usize>,
}

impl Cells {
    fn locate(raw: &str, first: usize, separator: char) -> Self {
        #[derive(PartialEq)]
        enum In {
            Start,
            Plain,
            Quoted,
            Closed,
        }
        let record = raw.trim_start_matches(['\r', '\n']);
        let skipped = raw.len() - record.len();
        let blank = raw.get(..skipped).unwrap_or_default();
        let blank_lines = blank.matches('\n').count().max(blank.matches('\r').count());
        let first = first + skipped;
        let (mut spans, mut begun, mut state) = (Vec::new(), 0, In::Start);
        let mut end = record.len();
        for (at, c) in record.char_indices() {
            state = match (state, c) {
                (In::Start, '"') | (In::Closed, '"') => In::Quoted,
                (In::Quoted, '"') => In::Closed,
                (In::Quoted, _) => In::Quoted,
                (_, c) if c == separator => {
                    spans.push(Span::new(first + begun, first + at));
                    begun = at + c.len_utf8();
                    In::Start
                }
                (_, '\r' | '\n') => {
                    end = at;
                    state = In::Plain;
                    break;
                }
                _ => In::Plain,
            };
        }
        spans.push(Span::new(first + begun, first + end));
        Self {
            spans,
            blank_lines,
            unclosed: (state == In::Quoted).then_some(first + begun),
        }
    }

    /// Position of a cell; that of the record if unknown.
    pub(super) fn span(&self, index: usize) -> Span {
        self.spans.get(index).copied().unwrap_or(self.record())
    }

    pub(super) fn record(&self) -> Span {
        let start = self.spans.first().map_or(0, |span| span.start);
        Span::new(start, self.spans.last().map_or(start, |span| span.end))
    }
}
