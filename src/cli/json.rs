//! The document that `--format json` of `check` and `build` prints, for editors and
//! build servers. Its `version` changes when a field changes meaning.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::head::{FINDINGS, Head};
use crate::core::finding::{Finding, Severity};
use crate::core::finding_json::JsonFinding;
use crate::papers::compile::Withheld;

/// The whole document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct JsonDocument {
    /// What it is, and the version of its form.
    #[serde(flatten)]
    pub(crate) head: Head,
    /// Every finding, in the order of the specs.
    pub(crate) findings: Vec<JsonFinding>,
    /// One entry for each spec that was read.
    pub(crate) specs: Vec<JsonSpec>,
    /// How many errors there are.
    pub(crate) errors: usize,
    /// How many warnings.
    pub(crate) warnings: usize,
}

/// One spec and what became of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct JsonSpec {
    /// The spec as you gave it.
    pub(crate) file: String,
    /// Number of the procedure; null where it cannot be read.
    pub(crate) number: Option<String>,
    /// Its revision.
    pub(crate) revision: Option<u32>,
    /// SHA-256 of the spec and the files it names.
    pub(crate) spec_digest: String,
    /// How many errors it has.
    pub(crate) errors: usize,
    /// How many warnings.
    pub(crate) warnings: usize,
    /// Paths of the files that are its papers.
    pub(crate) written: Vec<String>,
    /// The papers that were asked for and cannot be made.
    pub(crate) withheld: Vec<WithheldPaper>,
}

/// A paper that was asked for and cannot be made; in the manifest too.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub(crate) struct WithheldPaper {
    /// A paper that was asked for and cannot be made.
    pub(crate) paper: String,
    /// Why not.
    pub(crate) reason: String,
}

impl From<&Withheld> for WithheldPaper {
    fn from((kind, reason): &Withheld) -> Self {
        Self {
            paper: kind.file_name().to_owned(),
            reason: reason.clone().into_owned(),
        }
    }
}

/// The entry of the spec `file`: `procedure` is its number and revision when it
/// could be read as one, `findings` are its own, `written` the files made, `withheld`
/// the papers that were not.
pub(crate) fn json_spec(
    file: impl Into<String>,
    procedure: Option<(String, u32)>,
    spec_digest: impl Into<String>,
    findings: &[Finding],
    written: Vec<String>,
    withheld: Vec<WithheldPaper>,
) -> JsonSpec {
    let (number, revision) = procedure.unzip();
    let count = |severity| findings.iter().filter(|f| f.severity() == severity).count();
    JsonSpec {
        file: file.into(),
        number,
        revision,
        spec_digest: spec_digest.into(),
        errors: count(Severity::Error),
        warnings: count(Severity::Warning),
        written,
        withheld,
    }
}

impl JsonDocument {
    /// The document of these findings and specs, with the counts added up.
    pub(crate) fn new(findings: Vec<JsonFinding>, specs: Vec<JsonSpec>) -> Self {
        let count = |severity| findings.iter().filter(|f| f.severity == severity).count();
        Self {
            head: FINDINGS,
            errors: count(Severity::Error),
            warnings: count(Severity::Warning),
            findings,
            specs,
        }
    }
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::*;
    use crate::core::finding::Rule;
    use crate::core::finding_json::json_finding;
    use crate::core::source::{Source, Span};

    static TOO_HOT: Rule = Rule::error(b"face-too-hot", "");
    static RECALLED: Rule = Rule::warning(b"recalled-figures", "");

    fn source() -> Source {
        Source::new("specs/é.yaml", "a: 1\n\"é°\": 590 °F\nb: 2\n")
    }

    fn span(source: &Source, text: &str) -> Span {
        let start = source.text.find(text).unwrap();
        Span::new(start, start + text.len())
    }

    #[test]
    fn the_document_has_exactly_the_agreed_fields() {
        let source = source();
        let found = [
            TOO_HOT
                .at(span(&source, "590 °F"), "too hot")
                .help("lower it")
                .limit("table 1")
                .edit(span(&source, "590"), "500")
                .related(span(&source, "2"), "set here"),
            RECALLED.about_file("recalled"),
        ];
        let document = JsonDocument::new(
            found
                .iter()
                .map(|f| json_finding(f, &source.clone().into()))
                .collect(),
            vec![json_spec(
                &source.name,
                Some(("HC-1".into(), 3)),
                "ab12",
                &found,
                vec!["out/HC-1-r3/card.pdf".into()],
                vec![WithheldPaper {
                    paper: "depth-marks.pdf".into(),
                    reason: "no depth".into(),
                }],
            )],
        );
        let read = serde_json::to_value(&document).unwrap();
        // The columns are past `"é°": `: six characters, eight bytes.
        let expected = json!({
            "format": "coldring-findings",
            "version": 1,
            "findings": [
                {
                    "rule": "face-too-hot", "severity": "error", "file": "specs/é.yaml",
                    "line": 2, "column": 7, "end_line": 2, "end_column": 13,
                    "message": "too hot", "help": "lower it", "source": "table 1",
                    "related": [{
                        "file": "specs/é.yaml", "line": 3, "column": 4, "message": "set here"
                    }],
                    "edits": [{"start": 13, "end": 16, "text": "500"}],
                },
                {
                    "rule": "recalled-figures", "severity": "warning", "file": "specs/é.yaml",
                    "line": 1, "column": 1, "end_line": 1, "end_column": 1,
                    "message": "recalled", "help": null, "source": null, "related": [],
                    "edits": [],
                },
            ],
            "specs": [{
                "file": "specs/é.yaml", "number": "HC-1", "revision": 3, "spec_digest": "ab12",
                "errors": 1, "warnings": 1, "written": ["out/HC-1-r3/card.pdf"],
                "withheld": [{"paper": "depth-marks.pdf", "reason": "no depth"}],
            }],
            "errors": 1,
            "warnings": 1,
        });
        // As text, so that the order of the fields counts too.
        assert_eq!(read.to_string(), expected.to_string());
    }

    #[test]
    fn a_spec_that_could_not_be_read_has_no_number() {
        let found = [TOO_HOT.about_file("?")];
        let unread = json_spec("x.yaml", None, "ab12", &found, vec![], vec![]);
        let value = serde_json::to_value(&unread).unwrap();
        assert_eq!(value.get("number"), Some(&Value::Null));
        assert_eq!(value.get("revision"), Some(&Value::Null));
        assert_eq!((unread.errors, unread.warnings), (1, 0));
    }
}
