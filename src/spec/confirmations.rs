//! The confirmations file: who read which figure, in which edition, and what
//! stood there. Read as a spec is: every problem at once, each at its place. Its list is
//! read by hand: one whose entries are all still commented out is as good as empty.

use chrono::NaiveDate;
use schemars::json_schema;

use super::declare::kinds::{date, text, text_like};
use super::declare::{Kind, group, list, nested, read_top, required};
use super::fields::{At, Fields};
use super::node::{Node, NodeKind};
use super::recovery::read_file;
use super::schema::{self, either};
use crate::core::budget;
use crate::core::finding::{Finding, Severity};
use crate::core::source::{Span, Spanned};

/// The field with the number of the format.
pub(crate) const FORMAT: &str = "coldring-confirmations";

group! {
    /// A figure that somebody read in an edition of its source.
    pub struct Confirmation {
        /// The id of the figure, as coldring limits lists it.
        figure: Spanned<String> = required(text_like("us-cycles:high-density:3/4-IPS:heat")),
        /// What the edition says, with its unit, whether or not the tables agree.
        read: Spanned<String> = required(text("As it is printed there.")),
        /// The edition that it was read in.
        edition: Spanned<String> = required(text("Designation and year, as on the title page.")),
        /// Where in that edition.
        place: Spanned<String> = required(text("Example: Table 3, or page 12.")),
        /// Who read it.
        by: Spanned<String> = required(text("Initials will do.")),
        /// The day it was read.
        date: Spanned<NaiveDate> = required(date()),
    }
}

group! {
    /// The whole file.
    pub struct ConfirmationsFile {
        /// What was read, each figure once.
        confirmations: Vec<Confirmation> = required(Entries),
    }
}

/// A list of confirmations, or nothing at all.
struct Entries;

fn entries() -> impl Kind<Value = Vec<Confirmation>> {
    let entries = list(nested()).long();
    entries.once(|entry: &Confirmation| (entry.figure.value.clone(), entry.figure.span))
}

impl Kind for Entries {
    type Value = Vec<Confirmation>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        match node.kind {
            NodeKind::Null => Some(Vec::new()),
            _ => entries().read(node, at, findings),
        }
    }

    fn schema(&self) -> schema::Value {
        let none = schema::Value::new(json_schema!({"type": "null"}), "");
        either([entries().schema(), none]).told("A list.")
    }

    fn takes_nothing(&self) -> bool {
        true
    }
}

/// What a confirmations file holds.
#[derive(Debug, Clone)]
pub struct Confirmations {
    /// Each figure once.
    pub entries: Vec<Confirmation>,
    /// Whether all that the file gives was read.
    pub whole: bool,
}

/// Reads a confirmations file.
pub fn confirmations(text: &str) -> (Confirmations, Vec<Finding>) {
    let read = read_file(text, &budget::CONFIRMATIONS, |root, findings| {
        let top = Fields::open(root, "", Span::default(), findings)?;
        read_top::<ConfirmationsFile>(top, (FORMAT, "the confirmations are"), findings)
    });
    let (file, findings) = read.unwrap_or_else(|finding| (None, vec![*finding]));
    let entries = file.map_or_else(Vec::new, |file| file.confirmations);
    let whole = findings.iter().all(|f| f.severity() != Severity::Error);
    (Confirmations { entries, whole }, findings)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_problem_is_reported_at_once() {
        let text = "\
coldring-confirmations: 2
confirmations:
  - {figure: a:b:c, read: 8 s, edition: Example Edition 1, place: Table 3, by: XY, date: 20.11.2026}
  - {figure: a:b:d, read: 8 s, edition: Example Edition 1, plaice: Table 3, by: XY, date: 2026-11-20}
  - {figure: a:b:e, read: 8 s, edition: Example Edition 1, place: Table 3, by: XY, date: 2026-11-20}
  - {figure: a:b:f, read: 8 s, edition: Example Edition 1, by: XY, date: 2026-11-20}
  - {figure: a:b:e, read: 9 s, edition: Example Edition 1, place: Table 3, by: XY, date: 2026-11-20}
";
        let (found, findings) = confirmations(text);
        let mut slugs: Vec<_> = findings.iter().map(|f| f.rule.slug).collect();
        slugs.sort_unstable();
        assert_eq!(
            slugs,
            [
                "duplicate-key",
                "format-version",
                "missing-field",
                "not-a-date",
                "unknown-field"
            ]
        );
        assert!(!found.whole);
        // A misspelled field is read all the same.
        let read = found.entries.iter();
        let read: Vec<_> = read.map(|e| (e.figure.as_str(), e.read.as_str())).collect();
        assert_eq!(read, [("a:b:d", "8 s"), ("a:b:e", "8 s")]);
    }

    #[test]
    fn a_file_to_be_filled_in_is_whole() {
        for list in ["", " []", "\n  # - {figure: a:b:c, read: }"] {
            let text = format!("coldring-confirmations: 1\nconfirmations:{list}\n");
            let (found, findings) = confirmations(&text);
            assert!(found.entries.is_empty() && found.whole, "{text:?}");
            assert!(findings.is_empty(), "{text:?}");
        }
    }

    #[test]
    fn nothing_and_nonsense_are_findings() {
        for text in [
            "",
            "[]",
            "coldring-confirmations: 1",
            "a: [",
            "coldring-confirmations: 1\nconfirmations: {}",
        ] {
            let (found, findings) = confirmations(text);
            assert!(found.entries.is_empty() && !found.whole, "{text:?}");
            assert!(!findings.is_empty(), "{text:?}");
        }
    }
}
