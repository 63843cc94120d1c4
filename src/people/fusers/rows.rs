//! Reads a roster from CSV: a header, then a row for each fuser and procedure. A person
//! with more specimens or failed joints has more rows.

use std::collections::HashMap;

use csv::StringRecord;

use super::cells::{Cells, each_record};
use super::roster::two_people;
use super::roster::{FailedJoint, Fuser, Qualification, Roster, Specimen};
use super::{language, rules};
use crate::core::budget::{self, ROSTER};
use crate::core::finding::Finding;
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::spec::node::{Node, NodeKind};
use crate::spec::words::Word;
use crate::spec::{given_twice, plausible, rules as reading, values};

/// The columns of a roster. `name`, `badge`, and `procedure` are required, but cells may
/// be empty.
pub const COLUMNS: [&str; 17] = [
    "name",
    "badge",
    "language",
    "procedure",
    "specimen_date",
    "specimen_result",
    "specimen_joint",
    "specimen_revision",
    "specimen_sizes",
    "specimen_record",
    "last_production_joint",
    "production_joints",
    "certificate",
    "confirmed",
    "failed_joint_date",
    "failed_joint_found_by",
    "failed_joint_note",
];
/// The required columns.
const NEEDED: [&str; 3] = ["name", "badge", "procedure"];
const BYTE_ORDER_MARK: char = '\u{FEFF}';

/// Reads a roster from CSV: UTF-8, with or without a byte-order mark, separated by commas
/// or, if the header is, by semicolons. Do not evaluate a roster that has errors: it is
/// incomplete.
pub fn decode_csv(text: &str) -> (Roster, Vec<Finding>) {
    let mut findings = Vec::new();
    if text.len() > ROSTER.bytes {
        findings.push(reading::SPEC_TOO_LARGE.about_file(format!(
            "the file has {} bytes; a roster may have {}",
            text.len(),
            ROSTER.bytes
        )));
        return (Roster::default(), findings);
    }
    let body = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text);
    let first = text.len() - body.len();
    let mut people = People::default();
    let mut header: Option<Header> = None;
    each_record(
        body,
        first,
        &mut findings,
        |record, cells, number, findings| match &header {
            None => header = Some(Header::read(record, &cells, findings)),
            Some(header) => {
                let row = Row {
                    record,
                    cells,
                    number,
                    header,
                };
                people.add_row(&row, findings);
            }
        },
    );
    if header.is_none() {
        findings.push(
            rules::CSV_NOT_READABLE
                .about_file("the file has no header")
                .help(format!(
                    "begin with a row of columns: {}",
                    COLUMNS.join(",")
                )),
        );
    }
    (people.roster, findings)
}

/// Positions of the columns.
struct Header {
    /// For each of [`COLUMNS`], the index of its cell.
    places: Vec<Option<usize>>,
    width: usize,
}

impl Header {
    fn read(record: &StringRecord, cells: &Cells, findings: &mut Vec<Finding>) -> Self {
        let mut places: Vec<Option<usize>> = vec![None; COLUMNS.len()];
        if record.len() > budget::COLUMNS {
            findings.push(reading::SPEC_TOO_LARGE.at(
                cells.record(),
                format!(
                    "the header has {} columns; a roster has {} at most",
                    record.len(),
                    COLUMNS.len()
                ),
            ));
        }
        let mut unknown = Vec::new();
        for (index, written) in record.iter().enumerate().take(budget::COLUMNS) {
            let name = written.trim().to_lowercase().replace([' ', '-'], "_");
            let column = COLUMNS.iter().position(|column| *column == name);
            let place = column.and_then(|column| places.get_mut(column));
            match place {
                Some(Some(first)) => {
                    findings.push(given_twice(&name, cells.span(index), cells.span(*first)));
                }
                Some(place) => *place = Some(index),
                None => unknown.push((name, index)),
            }
        }
        for (name, index) in unknown {
            // Read a misspelled column as the intended one, so rows do not miss it.
            let open = COLUMNS
                .iter()
                .zip(&places)
                .filter(|(_, place)| place.is_none());
            let open: Vec<_> = open.map(|(column, _)| *column).collect();
            let shown: String = name.chars().take(60).collect();
            let meant = values::nearest(&shown, &open);
            findings.push(unknown_column(&shown, meant, index, cells));
            let column = COLUMNS.iter().position(|column| Some(*column) == meant);
            if let Some(place) = column.and_then(|column| places.get_mut(column)) {
                *place = Some(index);
            }
        }
        let header = Self {
            places,
            width: record.len(),
        };
        for name in NEEDED {
            if header.place(name).is_none() {
                findings.push(
                    reading::MISSING_FIELD
                        .at(
                            cells.record(),
                            format!("row 1: the column {name} is missing"),
                        )
                        .help(format!("the columns are: {}", COLUMNS.join(", "))),
                );
            }
        }
        header
    }

    fn place(&self, name: &str) -> Option<usize> {
        let column = COLUMNS.iter().position(|column| *column == name)?;
        self.places.get(column).copied().flatten()
    }
}

fn unknown_column(shown: &str, meant: Option<&str>, index: usize, cells: &Cells) -> Finding {
    let span = match cells.span(index) {
        span if span.range().is_empty() => cells.record(),
        span => span,
    };
    let message = format!("row 1: a roster has no column '{shown}'");
    let finding = reading::UNKNOWN_FIELD.at(span, message);
    match meant {
        Some(near) => finding.help(format!("did you mean `{near}`?")),
        None => finding.help(format!("the columns are: {}", COLUMNS.join(", "))),
    }
}

struct Row<'r> {
    record: &'r StringRecord,
    cells: Cells,
    number: usize,
    header: &'r Header,
}

impl Row<'_> {
    /// Content and position of a cell; `None` if empty.
    fn cell(&self, column: &str) -> Option<(&str, Span)> {
        let index = self.header.place(column)?;
        let text = self.record.get(index)?.trim();
        (!text.is_empty()).then(|| (text, self.cells.span(index)))
    }

    fn has_any(&self, columns: &[&str]) -> bool {
        columns.iter().any(|column| self.cell(column).is_some())
    }

    /// Reads a cell that may be empty.
    fn optional<T>(
        &self,
        column: &str,
        findings: &mut Vec<Finding>,
        read: impl FnOnce(&Node, &mut Vec<Finding>) -> Option<T>,
    ) -> Option<T> {
        let (text, span) = self.cell(column)?;
        self.read(column, text.to_owned(), span, findings, read)
    }

    /// Reads a cell's value the way the YAML reader would.
    fn read<T>(
        &self,
        column: &str,
        text: String,
        span: Span,
        findings: &mut Vec<Finding>,
        read: impl FnOnce(&Node, &mut Vec<Finding>) -> Option<T>,
    ) -> Option<T> {
        let before = findings.len();
        let node = Node {
            span,
            kind: NodeKind::Scalar(text),
        };
        let value = read(&node, findings);
        for finding in findings.iter_mut().skip(before) {
            finding.message = format!("row {}, column {column}: {}", self.number, finding.message);
        }
        value
    }

    /// Reads a required cell.
    fn required<T>(
        &self,
        column: &str,
        findings: &mut Vec<Finding>,
        read: impl FnOnce(&Node, &mut Vec<Finding>) -> Option<T>,
    ) -> Option<T> {
        if self.cell(column).is_none() {
            // A missing column is reported once, by the header.
            if self.header.place(column).is_some() || !NEEDED.contains(&column) {
                let message = format!("row {}: column {column} is empty", self.number);
                let finding = reading::MISSING_FIELD.at(self.cells.record(), message);
                findings.push(finding.help(what_to_enter(column)));
            }
            return None;
        }
        self.optional(column, findings, read)
    }

    /// Reads a required word from a fixed list.
    fn word<T: Word>(&self, column: &str, findings: &mut Vec<Finding>) -> Option<T> {
        self.required(column, findings, values::word)
            .map(|word| word.value)
    }

    fn specimen(&self, findings: &mut Vec<Finding>) -> Option<Specimen> {
        const CELLS: [&str; 6] = [
            "specimen_date",
            "specimen_result",
            "specimen_joint",
            "specimen_revision",
            "specimen_sizes",
            "specimen_record",
        ];
        if !self.has_any(&CELLS) {
            return None;
        }
        let date = self.required("specimen_date", findings, values::date);
        let result = self.word("specimen_result", findings);
        let joint = self.optional("specimen_joint", findings, values::text);
        let revision = self.optional(
            "specimen_revision",
            findings,
            values::counting_number(&plausible::REVISION),
        );
        let sizes = self.sizes("specimen_sizes", findings);
        let record = self.required("specimen_record", findings, values::text);
        Some(Specimen {
            date: date?,
            result: result?,
            joint,
            revision,
            sizes,
            record: record?,
        })
    }

    fn failed_joint(&self, findings: &mut Vec<Finding>) -> Option<FailedJoint> {
        const CELLS: [&str; 3] = [
            "failed_joint_date",
            "failed_joint_found_by",
            "failed_joint_note",
        ];
        if !self.has_any(&CELLS) {
            return None;
        }
        let date = self.required("failed_joint_date", findings, values::date);
        let found_by = self.word("failed_joint_found_by", findings);
        let note = self.cell("failed_joint_note").and_then(|(note, span)| {
            // The only cell in which people write several lines.
            let note = note.split_whitespace().collect::<Vec<_>>().join(" ");
            self.read("failed_joint_note", note, span, findings, values::text)
        });
        Some(FailedJoint {
            date: date?,
            found_by: found_by?,
            note,
        })
    }

    /// Sizes separated by commas or semicolons.
    fn sizes(&self, column: &str, findings: &mut Vec<Finding>) -> Vec<Spanned<Size>> {
        let (text, span) = self.cell(column).unwrap_or_default();
        let sizes = text.split([',', ';']).map(str::trim);
        let sizes = sizes.filter(|size| !size.is_empty());
        sizes
            .filter_map(|size| self.read(column, size.to_owned(), span, findings, values::size))
            .collect()
    }

    /// Dates separated by spaces, commas, or semicolons.
    fn days(&self, column: &str, findings: &mut Vec<Finding>) -> Vec<Spanned<chrono::NaiveDate>> {
        let (text, span) = self.cell(column).unwrap_or_default();
        let between = |c: char| c.is_whitespace() || c == ',' || c == ';';
        let days = text.split(between).filter(|day| !day.is_empty());
        days.filter_map(|day| self.read(column, day.to_owned(), span, findings, values::date))
            .collect()
    }
}

/// Help for a required cell that is empty.
fn what_to_enter(column: &str) -> &'static str {
    match column {
        "name" => "enter the fuser's name, in every row of that fuser",
        "badge" => "enter the fuser's badge, in every row of that fuser",
        "procedure" => "enter the number of the procedure that the row is about",
        "specimen_date" | "specimen_result" | "specimen_record" => {
            "a specimen has its specimen_date, its specimen_result (pass or fail) and, as \
             specimen_record, the number of its record; leave all its cells empty where the row \
             is about none"
        }
        _ => {
            "a failed joint has its failed_joint_date and, as failed_joint_found_by, how it was \
             found; leave all its cells empty where the row is about none"
        }
    }
}

/// Text and position of every cell.
pub(crate) fn cells(text: &str) -> Vec<Spanned<String>> {
    let body = text.strip_prefix(BYTE_ORDER_MARK).unwrap_or(text);
    let mut all = Vec::new();
    let visit = |record: &StringRecord, cells: Cells, _, _: &mut Vec<Finding>| {
        let texts = record.iter().enumerate();
        all.extend(texts.map(|(at, text)| Spanned::new(text.to_owned(), cells.span(at))));
    };
    each_record(body, text.len() - body.len(), &mut Vec::new(), visit);
    all
}

/// The people read so far.
#[derive(Default)]
struct People {
    roster: Roster,
    badges: HashMap<String, usize>,
    procedures: HashMap<(usize, String), usize>,
}

impl People {
    fn add_row(&mut self, row: &Row<'_>, findings: &mut Vec<Finding>) {
        if row.record.iter().all(|cell| cell.trim().is_empty()) {
            return;
        }
        if row.record.len() != row.header.width {
            findings.push(
                rules::ROW_AND_HEADER_DIFFER
                    .at(
                        row.cells.record(),
                        format!(
                            "row {} has {} cells and the header has {}",
                            row.number,
                            row.record.len(),
                            row.header.width
                        ),
                    )
                    .help("put quotation marks around a cell that holds the separator"),
            );
            return;
        }
        let name = row.required("name", findings, values::text);
        let badge = row.required("badge", findings, values::text);
        let language = row.optional("language", findings, language);
        let qualification = qualification(row, findings);
        if let Some((name, badge)) = name.zip(badge) {
            self.add(row, name, badge, language, qualification, findings);
        }
    }

    fn add(
        &mut self,
        row: &Row<'_>,
        name: Spanned<String>,
        badge: Spanned<String>,
        language: Option<Spanned<String>>,
        qualification: Option<Qualification>,
        findings: &mut Vec<Finding>,
    ) {
        let known = self.badges.get(&badge.value).copied();
        let person = known.unwrap_or(self.roster.fusers.len());
        if known.is_none() {
            self.badges.insert(badge.value.clone(), person);
            self.roster.fusers.push(Fuser {
                name: name.clone(),
                badge: badge.clone(),
                language: None,
                qualifications: Vec::new(),
            });
        }
        let Some(fuser) = self.roster.fusers.get_mut(person) else {
            return;
        };
        if fuser.name.value != name.value {
            let mut finding = two_people(&name, &badge, fuser);
            finding.message = format!("row {}: {}", row.number, finding.message);
            findings.push(finding);
            return;
        }
        merge_cell(row, "language", &mut fuser.language, language, findings);
        let Some(more) = qualification else { return };
        let key = (person, more.procedure.value.clone());
        let known = self.procedures.get(&key);
        match known.and_then(|place| fuser.qualifications.get_mut(*place)) {
            None => {
                self.procedures.insert(key, fuser.qualifications.len());
                fuser.qualifications.push(more);
            }
            Some(first) => {
                let (joint, certificate) = (more.last_production_joint, more.certificate);
                let last = &mut first.last_production_joint;
                merge_cell(row, "last_production_joint", last, joint, findings);
                merge_cell(
                    row,
                    "certificate",
                    &mut first.certificate,
                    certificate,
                    findings,
                );
                first.specimens.extend(more.specimens);
                first.production_joints.extend(more.production_joints);
                first.confirmed.extend(more.confirmed);
                first.failed_joints.extend(more.failed_joints);
            }
        }
    }
}

/// Merges a value that must agree in all rows of a person.
fn merge_cell<T: PartialEq + std::fmt::Display>(
    row: &Row<'_>,
    column: &str,
    known: &mut Option<Spanned<T>>,
    given: Option<Spanned<T>>,
    findings: &mut Vec<Finding>,
) {
    match (known.as_ref(), given) {
        (_, None) => {}
        (None, given) => *known = given,
        (Some(first), Some(given)) if first.value != given.value => findings.push(
            rules::ROWS_OF_FUSER_DIFFER
                .at(
                    given.span,
                    format!(
                        "row {}, column {column}: {} here and {} in an earlier row of the same fuser",
                        row.number, given.value, first.value
                    ),
                )
                .related(first.span, "it is given here first")
                .help("keep the one that is right"),
        ),
        _ => {}
    }
}

fn qualification(row: &Row<'_>, findings: &mut Vec<Finding>) -> Option<Qualification> {
    /// Number of columns before those about joints.
    const PERSON: usize = 3;
    let about_joints = COLUMNS.get(PERSON..).unwrap_or_default();
    if !row.has_any(about_joints) {
        return None;
    }
    let procedure = row.required("procedure", findings, values::procedure_number);
    let specimen = row.specimen(findings);
    let last_production_joint = row.optional("last_production_joint", findings, values::date);
    let certificate = row.optional("certificate", findings, values::date);
    let production_joints = row.days("production_joints", findings);
    let confirmed = row.days("confirmed", findings);
    let failed_joint = row.failed_joint(findings);
    Some(Qualification {
        procedure: procedure?,
        specimens: specimen.into_iter().collect(),
        last_production_joint,
        production_joints,
        certificate,
        confirmed,
        failed_joints: failed_joint.into_iter().collect(),
    })
}
