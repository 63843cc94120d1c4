//! The JSON documents that the program prints and writes. Each begins with what
//! it is and the version of its form; `documents.yaml` says of each what its
//! fields hold, for `coldring explain --json`.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::spec::nearest;

/// How every document begins. Its version changes when a field changes meaning
/// or goes; a field may be added to a version.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Head {
    /// What the document is.
    pub format: &'static str,
    /// The version of its form.
    pub version: u32,
}

/// Of `check` and `build`.
pub const FINDINGS: Head = first("coldring-findings");
/// Of `cards`.
pub const CARDS: Head = first("coldring-cards");
/// The manifest of wallet cards.
pub const CARDS_MANIFEST: Head = first("coldring-cards-manifest");
/// Of `compare`.
pub const COMPARISON: Head = first("coldring-comparison");
/// Of `fusers`.
pub const FUSERS: Head = first("coldring-fusers");
/// Of `heat`.
pub const ESTIMATES: Head = first("coldring-estimates");
/// Of `limits`.
pub const LIMITS: Head = first("coldring-limits");
/// The manifest of the papers of a procedure.
pub const MANIFEST: Head = first("coldring-manifest");
/// Of `merge`.
pub const MERGED: Head = first("coldring-merged");
/// The manifest of a part of a batch.
pub const PART_MANIFEST: Head = first("coldring-part-manifest");
/// Of `plan`.
pub const PLAN: Head = first("coldring-plan");
/// Of `show`.
pub const PROCEDURE: Head = first("coldring-procedure");
/// Of `verify`.
pub const VERIFICATION: Head = first("coldring-verification");

const fn first(format: &'static str) -> Head {
    Head { format, version: 1 }
}

/// What a document holds.
#[derive(Debug, Deserialize)]
struct Document {
    format: String,
    version: u32,
    /// Where it comes from.
    of: String,
    /// What each field holds, by its path; `[]` stands for each entry of a list.
    fields: Map<String, Value>,
}

const DOCUMENTS: &str = include_str!("documents.yaml");

/// What a document holds, or which there are.
///
/// # Errors
/// That there is none of this name.
pub fn explain(name: Option<&str>) -> Result<String, String> {
    let documents = documents()?;
    let Some(name) = name else {
        return Ok(list(&documents));
    };
    let short = |document: &Document| document.format.replacen("coldring-", "", 1);
    let found = documents
        .iter()
        .find(|document| document.format == name || short(document) == name);
    match found {
        Some(document) => Ok(page(document)),
        None => {
            let names: Vec<_> = documents.iter().map(short).collect();
            let names: Vec<_> = names.iter().map(String::as_str).collect();
            let near = nearest(name, &names)
                .map(|near| format!("did you mean '{near}'? "))
                .unwrap_or_default();
            Err(format!(
                "there is no JSON document '{name}'; {near}`coldring explain --json` lists all"
            ))
        }
    }
}

fn documents() -> Result<Vec<Document>, String> {
    // The program's own; a test reads it.
    serde_yaml::from_str(DOCUMENTS).map_err(|error| error.to_string())
}

fn list(documents: &[Document]) -> String {
    let wide = documents.iter().map(|document| document.format.len()).max();
    let wide = wide.unwrap_or_default();
    let mut text = String::from(
        "Each JSON document begins with its format and version. A version changes when a field\n\
         changes meaning or goes; fields may be added. Read the fields you know.\n\n",
    );
    for Document {
        format,
        version,
        of,
        ..
    } in documents
    {
        text.push_str(&format!("{format:wide$}  version {version}  {of}\n"));
    }
    text + "\n`coldring explain --json NAME` tells what the fields of one hold. `check --format sarif`\n\
            is a log in SARIF 2.1.0, which OASIS describes.\n"
}

fn page(document: &Document) -> String {
    let Document {
        format,
        version,
        of,
        fields,
    } = document;
    let wide = fields.keys().map(String::len).max().unwrap_or_default();
    let mut text = format!("{format}, version {version}: {of}\n\n");
    for (path, holds) in fields {
        let holds = holds.as_str().unwrap_or_default();
        text.push_str(&format!("{path:wide$}  {holds}\n"));
    }
    text + "\n[] stands for each entry of a list. A field without content is null, or left out.\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_document_is_told_with_its_version() {
        let documents = documents().unwrap();
        let told: Vec<_> = documents
            .iter()
            .map(|document| (document.format.as_str(), document.version))
            .collect();
        let all = [
            FINDINGS,
            LIMITS,
            PROCEDURE,
            ESTIMATES,
            PLAN,
            COMPARISON,
            FUSERS,
            CARDS,
            MERGED,
            VERIFICATION,
            MANIFEST,
            CARDS_MANIFEST,
            PART_MANIFEST,
        ];
        assert_eq!(told, all.map(|head| (head.format, head.version)));
        for document in &documents {
            let page = page(document);
            // What a terminal of usual width shows without breaking lines.
            for line in page.lines() {
                assert!(line.chars().count() <= 110, "{line}");
            }
            assert!(document.fields.values().all(Value::is_string), "{page}");
        }
    }
}
