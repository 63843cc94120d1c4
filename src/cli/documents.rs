//! The JSON documents that the program prints and writes. Each begins with what
//! it is and the version of its form. What its fields hold, for `coldring explain
//! --json`, stands with the fields: it is their documentation.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde_json::Value;

use super::head::{
    CARDS, CARDS_MANIFEST, COMPARISON, ESTIMATES, FINDINGS, FUSERS, Head, LIMITS, MANIFEST, MERGED,
    PART_MANIFEST, PLAN, PROCEDURE, VERIFICATION,
};
use super::{
    cards, compare, fusers, heat, json, limits, manifest, merge, plan, shard, show, verify,
};
use crate::spec::nearest;

/// A document: how it begins, where it comes from, and the fields it has.
type Document = (Head, &'static str, fn() -> Schema);

/// Every document.
const DOCUMENTS: &[Document] = &[
    (
        FINDINGS,
        "check and build, with --format json",
        fields_of::<json::JsonDocument>,
    ),
    (
        LIMITS,
        "limits, with --format json",
        fields_of::<limits::export::JsonLimits>,
    ),
    (
        PROCEDURE,
        "show --resolved, with --format json",
        fields_of::<show::Document>,
    ),
    (
        ESTIMATES,
        "heat, with --format json",
        fields_of::<heat::Document>,
    ),
    (
        PLAN,
        "plan, with --format json",
        fields_of::<plan::Document>,
    ),
    (
        COMPARISON,
        "compare, with --format json",
        fields_of::<compare::json::Document>,
    ),
    (
        FUSERS,
        "fusers, with --format json",
        fields_of::<fusers::Document>,
    ),
    (
        CARDS,
        "cards, with --format json",
        fields_of::<cards::list::Document>,
    ),
    (
        MERGED,
        "merge, with --format json",
        fields_of::<merge::Document>,
    ),
    (
        VERIFICATION,
        "verify, with --format json",
        fields_of::<verify::answer::Document>,
    ),
    (
        MANIFEST,
        "manifest.json beside the papers of a procedure",
        fields_of::<manifest::Manifest>,
    ),
    (
        CARDS_MANIFEST,
        "manifest.json beside wallet cards",
        fields_of::<cards::Manifest>,
    ),
    (
        PART_MANIFEST,
        "manifest.json of a part of a batch, for merge",
        fields_of::<shard::Manifest>,
    ),
];

fn fields_of<T: JsonSchema>() -> Schema {
    let settings =
        SchemaSettings::draft2020_12().with(|settings| settings.inline_subschemas = true);
    settings.into_generator().into_root_schema_for::<T>()
}

/// Gathers the path of each field that holds no others, with what it holds; `[]`
/// stands for each entry of a list.
fn gather(schema: &Value, path: &str, into: &mut Vec<(String, String)>) {
    let Some(fields) = schema.get("properties").and_then(Value::as_object) else {
        return;
    };
    for (name, field) in fields {
        let path = format!("{path}{name}");
        let described = into.len();
        // A field that may be without content is one of two.
        let kinds = field.get("anyOf").and_then(Value::as_array);
        for kind in kinds.map_or(std::slice::from_ref(field), Vec::as_slice) {
            match kind.get("items") {
                Some(entry) => gather(entry, &format!("{path}[]."), into),
                None => gather(kind, &format!("{path}."), into),
            }
        }
        if into.len() == described {
            let holds = field.get("description").and_then(Value::as_str);
            let holds = holds.unwrap_or_default().replace('\n', " ");
            into.push((path, holds.trim_end_matches('.').to_owned()));
        }
    }
}

/// What a document holds, or which there are.
///
/// # Errors
/// That there is none of this name.
pub(crate) fn explain(name: Option<&str>) -> Result<String, String> {
    let Some(name) = name else {
        return Ok(list());
    };
    let short = |(head, ..): &Document| head.format.trim_start_matches("coldring-");
    let found = DOCUMENTS
        .iter()
        .find(|document| document.0.format == name || short(document) == name);
    match found {
        Some(document) => Ok(page(document)),
        None => {
            let names: Vec<_> = DOCUMENTS.iter().map(short).collect();
            let near = nearest(name, &names)
                .map(|near| format!("did you mean '{near}'? "))
                .unwrap_or_default();
            Err(format!(
                "there is no JSON document '{name}'; {near}`coldring explain --json` lists all"
            ))
        }
    }
}

fn list() -> String {
    let wide = DOCUMENTS.iter().map(|(head, ..)| head.format.len()).max();
    let wide = wide.unwrap_or_default();
    let mut text = String::from(
        "Each JSON document begins with its format and version. A version changes when a field\n\
         changes meaning or goes; fields may be added. Read the fields you know.\n\n",
    );
    for (Head { format, version }, of, _) in DOCUMENTS {
        text.push_str(&format!("{format:wide$}  version {version}  {of}\n"));
    }
    text + "\n`coldring explain --json NAME` documents the fields of one. `check --format sarif`\n\
            is a log in SARIF 2.1.0, which OASIS describes.\n"
}

fn page((Head { format, version }, of, schema): &Document) -> String {
    let mut fields = Vec::new();
    gather(schema().as_value(), "", &mut fields);
    let wide = fields.iter().map(|(path, _)| path.len()).max();
    let wide = wide.unwrap_or_default();
    let mut text = format!("{format}, version {version}: {of}\n\n");
    for (path, holds) in fields {
        text.push_str(&format!("{path:wide$}  {holds}\n"));
    }
    text + "\n[] stands for each entry of a list. A field without content is null, or left out.\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_of_every_document_is_described() {
        for document in DOCUMENTS {
            let page = page(document);
            // What a terminal of usual width shows without breaking lines.
            for line in page.lines() {
                assert!(line.chars().count() <= 110, "{line}");
            }
            let mut fields = Vec::new();
            gather(document.2().as_value(), "", &mut fields);
            assert_eq!(fields[0].0, "format");
            for (path, holds) in fields {
                assert!(!holds.is_empty(), "{path} of {}", document.0.format);
            }
        }
    }
}
