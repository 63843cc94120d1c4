//! Spec + confirmations + published numbers → the numbers that hold for this
//! spec. [`Library::confirmed`] replaces the numbers somebody read in an
//! edition, so later stages need not know about it. Reading the edition you
//! work under settles a conflict, so a confirmed number is in none. A number
//! that reads differently in the edition is an error until the spec says which
//! governs.
//!
//! [`Library::confirmed`]: crate::published::Library::confirmed

pub(crate) mod rules;
mod template;

use std::borrow::Cow;

pub(crate) use template::template;

use chrono::NaiveDate;

use crate::core::finding::Finding;
use crate::core::source::{FileId, Role, Sources, Spanned};
use crate::procedure::unavailable::file_unavailable;
use crate::published::{Entry, Library, Reading, Value};
use crate::spec::{self, Confirmation, Confirmations, Figures, Governing, Governs, Spec, nearest};

/// Confirms a statement without copying it.
const AS_PRINTED: &str = "as printed";

/// The published numbers as confirmed for a spec, and findings about the confirmations.
pub(crate) fn confirm<'l>(
    spec: &Spec,
    sources: &Sources,
    limits: &'l Library,
) -> (Cow<'l, Library>, Vec<Finding>) {
    let mut findings = Vec::new();
    let Some(figures) = &spec.figures else {
        return (Cow::Borrowed(limits), findings);
    };
    let (file, confirmations) = match &figures.confirmations {
        None => (
            FileId::SPEC,
            Confirmations {
                entries: Vec::new(),
                whole: true,
            },
        ),
        Some(path) => match sources.of_role(Role::Confirmations) {
            Err(why) => {
                return (
                    Cow::Borrowed(limits),
                    vec![file_unavailable(
                        path,
                        &why,
                        "hand it over with the spec, or take the field out",
                        "confirmations/read.yaml",
                        ", or take the field out",
                    )],
                );
            }
            Ok((file, source)) => {
                let (confirmations, found) = spec::confirmations(&source.text);
                findings.extend(found.into_iter().map(|finding| finding.in_file(file)));
                if confirmations.whole && confirmations.entries.is_empty() {
                    findings.push(
                        rules::CONFIRMATIONS_EMPTY
                            .at(path.span, format!("'{}' has no readings yet", path.value))
                            .help("enter what was read, as its comments and the worksheet show"),
                    );
                }
                (file, confirmations)
            }
        },
    };
    let mut confirmer = Confirmer {
        figures,
        file,
        limits,
        readings: Vec::new(),
        differing: Vec::new(),
        findings,
    };
    for confirmation in &confirmations.entries {
        confirmer.confirmation(confirmation);
    }
    // An unreadable confirmation may be the one that `governing` refers to.
    if confirmations.whole {
        confirmer.choices();
    }
    let confirmed = match confirmer.readings.as_slice() {
        [] => Cow::Borrowed(limits),
        readings => Cow::Owned(limits.confirmed(readings)),
    };
    (confirmed, confirmer.findings)
}

/// Confirmations dated after `as_of`.
pub(crate) fn from_tomorrow(sources: &Sources, as_of: NaiveDate) -> Vec<Finding> {
    let Ok((file, source)) = sources.of_role(Role::Confirmations) else {
        return Vec::new();
    };
    let (confirmations, _) = spec::confirmations(&source.text);
    let late = confirmations
        .entries
        .iter()
        .filter(|c| c.date.value > as_of);
    late.map(|confirmation| {
        rules::READING_AFTER_AS_OF
            .at(
                confirmation.date.span,
                format!(
                    "{} is said to be read on {}, after {as_of}",
                    confirmation.figure.value, confirmation.date.value
                ),
            )
            .in_file(file)
            .help("correct the date, or enter the figure when it has been read")
    })
    .collect()
}

/// Checks confirmations one after the other.
struct Confirmer<'a> {
    figures: &'a Figures,
    file: FileId,
    limits: &'a Library,
    readings: Vec<Reading>,
    /// IDs of numbers that read differently in the edition.
    differing: Vec<&'a str>,
    findings: Vec<Finding>,
}

impl<'a> Confirmer<'a> {
    fn confirmation(&mut self, confirmation: &'a Confirmation) {
        let id = confirmation.figure.value.as_str();
        let Some(entry) = self.limits.entry(id) else {
            let finding = unknown(self.limits, &confirmation.figure).in_file(self.file);
            return self.findings.push(finding);
        };
        let Some((value, written)) = read_value(self.limits, entry, &confirmation.read) else {
            let finding = not_a_value(entry, &confirmation.read).in_file(self.file);
            return self.findings.push(finding);
        };
        let reading = Reading {
            id: id.to_owned(),
            value,
            written,
            source: source(confirmation),
        };
        if reading.value == entry.value || entry.value == Value::NotFound {
            return self.readings.push(reading);
        }
        self.differing.push(id);
        let mut choices = self.figures.governing.iter();
        match choices.find(|choice| choice.figure.value == id) {
            Some(Governing { governs, .. }) if governs.value == Governs::Edition => {
                self.readings.push(reading)
            }
            Some(Governing { governs, .. }) => self.findings.push(
                rules::EDITION_OVERRULED
                    .at(
                        governs.span,
                        format!(
                            "{id} was read as {} but stays at {}, as the tables give it",
                            reading.written, entry.written
                        ),
                    )
                    .related_in(self.file, confirmation.read.span, "read here")
                    .limit(both_sources(entry, &reading)),
            ),
            None => {
                let finding = self.differs(confirmation, entry, &reading);
                self.findings.push(finding);
            }
        }
    }

    fn differs(&self, confirmation: &Confirmation, entry: &Entry, reading: &Reading) -> Finding {
        let id = &entry.id;
        let finding = rules::FIGURE_READ_OTHERWISE
            .at(
                confirmation.read.span,
                format!(
                    "{id} was read as {}, and the tables give {}",
                    reading.written, entry.written
                ),
            )
            .in_file(self.file)
            .help(format!(
                "read the edition once more; then say in the spec which governs: figures: \
                 {{governing: [{{figure: \"{id}\", governs: edition}}]}}, or `governs: tables`"
            ))
            .limit(both_sources(entry, reading));
        match &self.figures.confirmations {
            Some(path) => finding.related(path.span, "the spec names the confirmations here"),
            None => finding,
        }
    }

    /// Reports `governing` entries that decide nothing.
    fn choices(&mut self) {
        let mut chosen: Vec<&Spanned<String>> = Vec::new();
        for Governing { figure: entry, .. } in &self.figures.governing {
            if let Some(first) = chosen.iter().find(|first| first.value == entry.value) {
                let finding = spec::given_twice(&entry.value, entry.span, first.span);
                self.findings.push(finding);
                continue;
            }
            chosen.push(entry);
            if self.differing.contains(&entry.value.as_str()) {
                continue;
            }
            self.findings.push(if self.limits.entry(entry).is_none() {
                unknown(self.limits, entry)
            } else {
                rules::NOTHING_TO_GOVERN
                    .at(
                        entry.span,
                        format!(
                            "nobody read {} otherwise than the tables give it",
                            entry.value
                        ),
                    )
                    .help("take the entry out, or enter what was read in the confirmations file")
            });
        }
    }
}

/// The confirmed value as read and as written; `None` if it does not fit the number's
/// kind.
fn read_value(limits: &Library, entry: &Entry, read: &str) -> Option<(Value, String)> {
    if read == AS_PRINTED {
        let text = entry.text()?;
        return Some((entry.value.clone(), text.to_owned()));
    }
    match limits.parse_value(&entry.id, read)? {
        Ok(value) if limits.is_possible_value(&entry.id, &value) => Some((value, read.to_owned())),
        Ok(_) | Err(_) => None,
    }
}

/// The printed source of a confirmed number.
fn source(confirmation: &Confirmation) -> String {
    let Confirmation {
        edition,
        place,
        by,
        date,
        ..
    } = confirmation;
    format!(
        "{}, {}, read by {}, {}",
        edition.value, place.value, by.value, date.value
    )
}

fn both_sources(entry: &Entry, reading: &Reading) -> String {
    format!(
        "read: {} ({}); tables: {} ({}, {})",
        reading.written,
        reading.source,
        entry.written,
        entry.source,
        entry.basis.word()
    )
}

fn unknown(limits: &Library, id: &Spanned<String>) -> Finding {
    let ids: Vec<_> = limits
        .tables()
        .iter()
        .flat_map(|table| &table.entries)
        .map(|entry| entry.id.as_str())
        .collect();
    let near = match nearest(id, &ids) {
        Some(near) => format!("did you mean '{near}'? "),
        None => String::new(),
    };
    rules::UNKNOWN_FIGURE_CONFIRMED
        .at(id.span, format!("the tables have no figure '{}'", id.value))
        .help(format!(
            "{near}`coldring confirm SPEC` prints the ids of the recalled figures a spec uses"
        ))
}

fn not_a_value(entry: &Entry, read: &Spanned<String>) -> Finding {
    let help = match &entry.value {
        Value::Text(_) => "write `as printed`, or the sentence that the edition prints".to_owned(),
        Value::NotFound => "write the value with its unit, as the edition prints it".to_owned(),
        _ => format!(
            "write the value that was read as the tables write theirs: {}",
            entry.written
        ),
    };
    rules::READING_NOT_A_VALUE
        .at(
            read.span,
            format!("'{}' is not a value that {} can have", read.value, entry.id),
        )
        .help(help)
}
