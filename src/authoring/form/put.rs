//! The smallest change of a text that gives one field another value: its characters are
//! replaced, a line is put in or taken out, and every other byte stays.
//!
//! A change is only given once the changed text was read again and is the old one but
//! for that value. So a value is tried as it was typed and then in quotes, and whatever
//! way of writing YAML is not foreseen here ends as a refusal.

use super::find::{Step, follow};
use super::new::Change;
use super::shape;
use super::write::{Plan, Writer};
use crate::authoring::schema::Kind;
use crate::core::budget;
use crate::core::finding::Edit;
use crate::spec::node::{Node, NodeKind, parse};

/// The change is not made here.
const IN_THE_TEXT: &str = "Edit this in the text.";
/// Nothing is changed in a text that cannot be read.
const UNREADABLE: &str = "The text cannot be read as it stands. Fix that in the text first.";

/// The change of a text that gives a field a value; `None` where it has it already.
///
/// # Errors
/// A sentence that says where to change it instead.
pub fn put(
    kind: Kind,
    text: &str,
    path: &[String],
    change: Change<'_>,
) -> Result<Option<Edit>, &'static str> {
    let root = parse(text, &budget::SPEC).map_err(|_| UNREADABLE)?;
    let shape = shape(kind).ok_or(IN_THE_TEXT)?;
    let found = follow(shape, &root, path).ok_or(IN_THE_TEXT)?;
    if found.rest.is_empty() && found.steps.is_empty() {
        return Err(IN_THE_TEXT);
    }
    let is_there = match (change, &found.node.kind) {
        (Change::Write(value), NodeKind::Scalar(known)) => value == known,
        (Change::Open, NodeKind::Map(_)) => true,
        _ => false,
    };
    match change {
        Change::Write(_) | Change::Open if is_there && found.rest.is_empty() => return Ok(None),
        Change::Remove if !found.rest.is_empty() => return Ok(None),
        _ => {}
    }
    let fits = |plan: &Plan<'_>| {
        let changed = applied(text, &plan.edit)?;
        let read = parse(&changed, &budget::SPEC).ok()?;
        same(&read, &expected(&root, &plan.steps, &plan.becomes)).then_some(())
    };
    let plans = [false, true].into_iter().filter_map(|quotes| {
        let writer = Writer { text, quotes };
        match change {
            Change::Remove => writer.removed(&found),
            Change::Write(_) | Change::Open => writer.written(&found, change),
        }
    });
    let plan = plans.into_iter().find(|plan| fits(plan).is_some());
    plan.map(|plan| Some(plan.edit)).ok_or(IN_THE_TEXT)
}

fn applied(text: &str, edit: &Edit) -> Option<String> {
    let before = text.get(..edit.span.start)?;
    let after = text.get(edit.span.end..)?;
    Some(format!("{before}{}{after}", edit.text))
}

/// The tree in which the value at the end of the steps is another.
fn expected(root: &Node, steps: &[Step<'_>], becomes: &NodeKind) -> Node {
    let Some((step, rest)) = steps.split_first() else {
        return Node {
            span: root.span,
            kind: becomes.clone(),
        };
    };
    let mut root = root.clone();
    let inner = match &mut root.kind {
        NodeKind::Map(entries) => entries.get_mut(step.index).map(|(_, value)| value),
        NodeKind::List(items) => items.get_mut(step.index),
        _ => None,
    };
    if let Some(inner) = inner {
        *inner = expected(inner, rest, becomes);
    }
    root
}

/// Whether two trees are alike, wherever they stand; a group or list with nothing in it
/// reads like nothing.
fn same(one: &Node, other: &Node) -> bool {
    let is_empty = |node: &Node| match &node.kind {
        NodeKind::Null => true,
        NodeKind::Scalar(_) => false,
        NodeKind::List(items) => items.is_empty(),
        NodeKind::Map(entries) => entries.is_empty(),
    };
    match (&one.kind, &other.kind) {
        (NodeKind::Scalar(one), NodeKind::Scalar(other)) => one == other,
        (NodeKind::List(one), NodeKind::List(other)) if one.len() == other.len() => {
            one.iter().zip(other).all(|(one, other)| same(one, other))
        }
        (NodeKind::Map(one), NodeKind::Map(other)) if one.len() == other.len() => one
            .iter()
            .zip(other)
            .all(|((key, value), (other, its))| same(key, other) && same(value, its)),
        _ => is_empty(one) && is_empty(other),
    }
}
