//! The confirmations file: who read which figure, in which edition, and what
//! stood there. Read as a spec is: every problem at once, each at its place.

use chrono::NaiveDate;

use super::fields::{Fields, given_twice, long_list};
use super::node::NodeKind;
use super::recovery::read_file;
use super::values;
use crate::core::budget;
use crate::core::finding::{Finding, Severity};
use crate::core::source::{Span, Spanned};

/// A figure that somebody read in an edition of its source.
#[derive(Debug, Clone)]
pub struct Confirmation {
    /// The figure's id.
    pub figure: Spanned<String>,
    /// What stood there.
    pub read: Spanned<String>,
    /// The edition it was read in.
    pub edition: Spanned<String>,
    /// The table, section or page.
    pub place: Spanned<String>,
    /// Who read it.
    pub by: Spanned<String>,
    /// When.
    pub date: Spanned<NaiveDate>,
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
        Fields::open(root, "", Span::default(), findings)
            .and_then(|fields| entries(fields, findings))
            .unwrap_or_default()
    });
    let (entries, findings) = read.unwrap_or_else(|finding| (Vec::new(), vec![*finding]));
    let whole = findings.iter().all(|f| f.severity() != Severity::Error);
    (Confirmations { entries, whole }, findings)
}

fn entries(mut top: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Vec<Confirmation>> {
    top.format_one("coldring-confirmations", "the confirmations are", findings);
    let entries = match top.take("confirmations") {
        // A file whose entries are all still commented out.
        Some((node, _)) if matches!(node.kind, NodeKind::Null) => Some(Vec::new()),
        _ => top.required("confirmations", findings, |node, findings| {
            long_list(node, findings, |node, findings| {
                Fields::open(node, "confirmations", node.span, findings)
                    .and_then(|fields| confirmation(fields, findings))
            })
        }),
    };
    top.finish(findings);
    let mut once: Vec<Confirmation> = Vec::new();
    for entry in entries? {
        match once.iter().find(|e| e.figure.value == entry.figure.value) {
            Some(first) => findings.push(given_twice(
                &entry.figure.value,
                entry.figure.span,
                first.figure.span,
            )),
            None => once.push(entry),
        }
    }
    Some(once)
}

fn confirmation(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Confirmation> {
    let figure = fields.required("figure", findings, values::text);
    let read = fields.required("read", findings, values::text);
    let edition = fields.required("edition", findings, values::text);
    let place = fields.required("place", findings, values::text);
    let by = fields.required("by", findings, values::text);
    let date = fields.required("date", findings, values::date);
    fields.finish(findings);
    Some(Confirmation {
        figure: figure?,
        read: read?,
        edition: edition?,
        place: place?,
        by: by?,
        date: date?,
    })
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
