//! What the page asks beside the papers: why a rule exists, what a field is for.

use serde::Serialize;

use crate::authoring::{rule_index, schema};

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
