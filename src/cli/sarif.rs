//! Findings as a SARIF 2.1.0 log (Static Analysis Results Interchange Format,
//! OASIS), for build servers and editors. Section numbers are those of the
//! standard. It is written by hand as JSON values: the standard has a thousand
//! fields and we need thirty. Columns count Unicode characters, as everywhere
//! here, and the log says so.

use std::path::Path;

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use serde_json::{Value, json};

use super::ExitStatus;
use crate::authoring::rule_index;
use crate::core::finding::{Edit, Finding, Rule};
use crate::core::source::{Source, Sources, Span};

/// The schema of the standard with its errata.
const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// Characters that are not encoded in a URI, the unreserved ones of RFC 3986.
const UNRESERVED: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~');

/// The log of one run.
#[derive(Debug, Default)]
pub(crate) struct SarifLog {
    results: Vec<Value>,
    failures: Vec<Value>,
}

impl SarifLog {
    pub(crate) fn add_findings(&mut self, findings: &[Finding], sources: &Sources) {
        let results = findings.iter().map(|finding| result(finding, sources));
        self.results.extend(results);
    }

    pub(crate) fn add_failure(&mut self, message: &str) {
        self.failures
            .push(json!({"level": "error", "message": text(message)}));
    }

    pub(crate) fn finish(self, status: ExitStatus) -> Value {
        json!({
            "$schema": SCHEMA,
            "version": "2.1.0",
            "runs": [{
                "tool": {"driver": {
                    "name": "coldring",
                    "version": env!("CARGO_PKG_VERSION"),
                    "rules": rule_index::rules().map(rule).collect::<Vec<_>>(),
                }},
                "invocations": [{
                    "executionSuccessful": status != ExitStatus::CouldNotRun,
                    "exitCode": status as u8,
                    "toolExecutionNotifications": self.failures,
                }],
                "columnKind": "unicodeCodePoints",
                "results": self.results,
            }],
        })
    }
}

fn rule(rule: &Rule) -> Value {
    let help = format!("{}\n\nWhat it finds:\n{}", rule.fix, rule.example);
    json!({
        "id": rule.slug,
        "shortDescription": text(rule.summary),
        "fullDescription": text(rule.why),
        "help": text(&help),
        // Our severities are named like the levels of the standard.
        "defaultConfiguration": {"level": rule.severity.word()},
    })
}

fn result(finding: &Finding, sources: &Sources) -> Value {
    let mut message = finding.message.clone();
    if let Some(help) = &finding.help {
        message.push_str(&format!("\n\nTo fix it: {help}"));
    }
    if let Some(limit) = &finding.source {
        message.push_str(&format!("\n\nLimit from: {limit}"));
    }
    let related = finding.related.iter().map(|related| {
        let mut location = location(sources.get(related.file), Some(related.span));
        if let Some(fields) = location.as_object_mut() {
            fields.insert("message".to_owned(), text(&related.message));
        }
        location
    });
    let mut result = json!({
        "ruleId": finding.rule.slug,
        "ruleIndex": rule_index::rules().position(|rule| rule.slug == finding.rule.slug),
        "level": finding.severity().word(),
        "message": text(&message),
        "locations": [location(sources.get(finding.file), finding.span)],
        "relatedLocations": related.collect::<Vec<_>>(),
    });
    if let (false, Some(fields)) = (finding.edits.is_empty(), result.as_object_mut()) {
        let fix = fix(&finding.edits, sources.get(finding.file));
        fields.insert("fixes".to_owned(), json!([fix]));
    }
    result
}

/// The change that makes a result right (3.55): all of it in one file.
fn fix(edits: &[Edit], source: &Source) -> Value {
    let written: Vec<_> = edits.iter().map(|edit| edit.text.trim_end()).collect();
    let replacements = edits.iter().map(|edit| {
        json!({
            "deletedRegion": region(source, edit.span),
            "insertedContent": {"text": edit.text},
        })
    });
    json!({
        "description": text(&format!("Write {}", written.join(", "))),
        "artifactChanges": [{
            "artifactLocation": {"uri": uri(&source.name)},
            "replacements": replacements.collect::<Vec<_>>(),
        }],
    })
}

/// A place; a file as a whole has no region (3.29.4).
fn location(source: &Source, span: Option<Span>) -> Value {
    let mut physical = json!({"artifactLocation": {"uri": uri(&source.name)}});
    if let (Some(span), Some(fields)) = (span, physical.as_object_mut()) {
        fields.insert("region".to_owned(), region(source, span));
    }
    json!({"physicalLocation": physical})
}

/// A region of a text. It ends just past the last character (3.30.8), so a block
/// ends with its last word rather than on the next line.
fn region(source: &Source, span: Span) -> Value {
    let marked = source.text.get(span.range()).unwrap_or_default();
    let end = match marked.trim_end() {
        "" => span.end,
        marked => span.start + marked.len(),
    };
    // A byte order mark is no column (3.30.2).
    let mark = source.text.starts_with('\u{feff}');
    let place = |offset| {
        let at = source.line_column(offset);
        let before = usize::from(mark && at.line == 1 && at.column > 1);
        (at.line, at.column - before)
    };
    let ((start_line, start_column), (end_line, end_column)) = (place(span.start), place(end));
    json!({
        "startLine": start_line,
        "startColumn": start_column,
        "endLine": end_line,
        "endColumn": end_column,
    })
}

/// A message, with literal braces and brackets escaped: they would make
/// placeholders (3.11.5) and links (3.11.6).
fn text(text: &str) -> Value {
    let mut escaped = text.replace('{', "{{").replace('}', "}}");
    if escaped.contains("](") {
        escaped = escaped.replace('[', "\\[").replace(']', "\\]");
    }
    json!({"text": escaped})
}

/// The URI of a file (3.4.3), relative where its path is, so that a log reveals
/// nothing about the machine.
fn uri(name: &str) -> String {
    let absolute = Path::new(name).has_root();
    let mut segments: Vec<&str> = Vec::new();
    for segment in name.split('/') {
        match segment {
            "" | "." => {}
            // A file URI has no way up in it; a relative one may begin with it.
            ".." if absolute => drop(segments.pop()),
            segment => segments.push(segment),
        }
    }
    let encoded = segments
        .iter()
        .map(|segment| utf8_percent_encode(segment, UNRESERVED).to_string());
    let path = encoded.collect::<Vec<_>>().join("/");
    match absolute {
        true => format!("file:///{path}"),
        false => path,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_become_uris() {
        for (path, is) in [
            ("specs/my spec.yaml", "specs/my%20spec.yaml"),
            ("./a/./b.yaml", "a/b.yaml"),
            ("../b.yaml", "../b.yaml"),
            ("é #1?.yaml", "%C3%A9%20%231%3F.yaml"),
            ("a:b.yaml", "a%3Ab.yaml"),
            ("100%.yaml", "100%25.yaml"),
            ("/tmp/x/../y z.yaml", "file:///tmp/y%20z.yaml"),
        ] {
            assert_eq!(uri(path), is);
        }
    }

    #[test]
    fn a_text_is_no_placeholder_and_no_link() {
        for (written, is) in [
            ("{0} of {sizes}", "{{0}} of {{sizes}}"),
            ("[9, 11]", "[9, 11]"),
            ("[see](javascript:x)", "\\[see\\](javascript:x)"),
        ] {
            assert_eq!(text(written), json!({"text": is}));
        }
    }

    #[test]
    fn a_region_ends_with_its_last_character() {
        let source = Source::new("x", "\u{feff}a: °1\ntimes:\n  heat: 1 s\n\nb: 2\n");
        let of = |marked: &str| {
            let start = source.text.find(marked).unwrap();
            let region = region(&source, Span::new(start, start + marked.len()));
            ["startLine", "startColumn", "endLine", "endColumn"].map(|key| region[key].clone())
        };
        assert_eq!(of("°1"), [1, 4, 1, 6]);
        assert_eq!(of("a"), [1, 1, 1, 2]);
        assert_eq!(of("times:\n  heat: 1 s\n\n"), [2, 1, 3, 12]);
        let point = region(&source, Span::new(9, 9));
        assert_eq!(point["startColumn"], point["endColumn"]);
    }
}
