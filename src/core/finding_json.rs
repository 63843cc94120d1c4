//! A finding as JSON: for editors, build servers, and the page that edits a spec.

use schemars::JsonSchema;
use serde::Serialize;

use crate::core::finding::{Edit, Finding, Severity};
use crate::core::source::{LineColumn, Source, Sources, Span};

/// One finding. Lines and columns count from 1, columns in Unicode scalar
/// values; the end is the place just past the last character.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct JsonFinding {
    /// Name of the rule, as `coldring explain` lists it.
    pub(crate) rule: &'static str,
    /// Error, warning or note.
    #[schemars(with = "&str")]
    pub(crate) severity: Severity,
    /// The spec as you gave it, or a file that it names.
    pub(crate) file: String,
    /// Line it starts on, from 1; 1 for a file as a whole.
    pub(crate) line: usize,
    /// Column it starts at, from 1, in Unicode characters.
    pub(crate) column: usize,
    /// Line it ends on.
    pub(crate) end_line: usize,
    /// Column just past its last character.
    pub(crate) end_column: usize,
    /// What is wrong, and by how much.
    pub(crate) message: String,
    /// How to fix it.
    pub(crate) help: Option<String>,
    /// Where the limit is from.
    pub(crate) source: Option<String>,
    /// Other places that belong to it.
    pub(crate) related: Vec<JsonRelated>,
    /// The exact change of `file` that makes it right, where there is only one; else
    /// empty.
    pub(crate) edits: Vec<JsonEdit>,
}

/// A change of the text of a file: the bytes from `start` to just before `end` are
/// replaced.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct JsonEdit {
    /// First byte that is replaced, from 0.
    pub(crate) start: usize,
    /// One past the last byte; equal to `start` where something is put in.
    pub(crate) end: usize,
    /// Replacement text.
    pub(crate) text: String,
}

impl From<&Edit> for JsonEdit {
    fn from(Edit { span, text }: &Edit) -> Self {
        Self {
            start: span.start,
            end: span.end,
            text: text.clone(),
        }
    }
}

/// Another place that belongs to a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct JsonRelated {
    /// File of another place that belongs to it.
    pub(crate) file: String,
    /// Its line.
    pub(crate) line: usize,
    /// Its column.
    pub(crate) column: usize,
    /// What is there.
    pub(crate) message: String,
}

pub(crate) fn json_finding(finding: &Finding, sources: &Sources) -> JsonFinding {
    let source = sources.get(finding.file);
    let (start, end) = start_and_end(finding.span, source);
    JsonFinding {
        rule: finding.rule.slug,
        severity: finding.severity(),
        file: source.name.clone(),
        line: start.line,
        column: start.column,
        end_line: end.line,
        end_column: end.column,
        message: finding.message.clone(),
        help: finding.help.clone(),
        source: finding.source.clone(),
        related: finding
            .related
            .iter()
            .map(|related| {
                let source = sources.get(related.file);
                let at = source.line_column(related.span.start);
                JsonRelated {
                    file: source.name.clone(),
                    line: at.line,
                    column: at.column,
                    message: related.message.clone(),
                }
            })
            .collect(),
        edits: (finding.edits.iter()).map(JsonEdit::from).collect(),
    }
}

/// Where a finding starts and ends; the first character when it is about the
/// whole file.
fn start_and_end(span: Option<Span>, source: &Source) -> (LineColumn, LineColumn) {
    let Span { start, end } = span.unwrap_or_default();
    (source.line_column(start), source.line_column(end))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::finding::Rule;

    static RULE: Rule = Rule::error(b"face-too-hot", "");

    #[test]
    fn places_outside_the_text_still_have_a_line() {
        let source = Source::new("é.yaml", "a: 1\n\"é°\": 590 °F\nb: 2\n");
        let shown = json_finding(&RULE.at(Span::new(900, 999), "?"), &source.into());
        assert_eq!((shown.line, shown.column), (4, 1));
        assert_eq!((shown.end_line, shown.end_column), (4, 1));
    }
}
