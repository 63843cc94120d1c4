//! What the page asks beside the papers: why a rule exists, what a field is for, a text
//! as a form, and how the text changes with a field.

use serde::{Deserialize, Serialize};

use crate::authoring::{form, rule_index, schema};
use crate::core::finding_json::JsonEdit;

/// A rule as `coldring explain` tells it.
#[derive(Debug, Clone, Copy, Serialize)]
pub(crate) struct Why {
    rule: &'static str,
    severity: &'static str,
    summary: &'static str,
    why: &'static str,
    example: &'static str,
    fix: &'static str,
    dated: bool,
}

/// The rule of this name.
pub(crate) fn why(slug: &str) -> Option<Why> {
    let rule = rule_index::rules().find(|rule| rule.slug == slug)?;
    Some(Why {
        rule: rule.slug,
        severity: rule.severity.word(),
        summary: rule.summary,
        why: rule.why,
        example: rule.example,
        fix: rule.fix,
        dated: rule.dated,
    })
}

/// What the field of a spec is for; `path` is its keys from the top down. An entry of
/// a list or a size has no help of its own: that of its group is given.
pub(crate) fn describe(path: &[String]) -> Option<String> {
    let path: Vec<_> = path.iter().map(String::as_str).collect();
    let mut groups = (1..=path.len()).rev().filter_map(|keys| path.get(..keys));
    groups.find_map(|path| schema::describe(schema::Kind::Spec, path))
}

/// The form of a text.
pub(crate) fn form(text: &str) -> form::Form {
    form::form(schema::Kind::Spec, text)
}

/// A field and its new value.
#[derive(Debug, Deserialize)]
pub(crate) struct PutRequest {
    text: String,
    path: Vec<String>,
    /// None takes the field out.
    value: Option<String>,
    /// Whether it becomes a group with nothing in it, as a size that is added.
    #[serde(default)]
    open: bool,
}

/// The change of the text that gives a field its value; none where it has it already.
///
/// # Errors
/// A sentence that says where to change it instead.
pub(crate) fn put(request: &PutRequest) -> Result<Vec<JsonEdit>, &'static str> {
    let change = match &request.value {
        _ if request.open => form::Change::Open,
        Some(value) => form::Change::Write(value),
        None => form::Change::Remove,
    };
    let edit = form::put(schema::Kind::Spec, &request.text, &request.path, change)?;
    Ok(edit.iter().map(JsonEdit::from).collect())
}
