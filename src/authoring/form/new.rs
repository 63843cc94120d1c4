//! A value that comes into a text, with the groups on the way to it.

use crate::core::source::Span;
use crate::spec::node::{Node, NodeKind};
use crate::spec::schema::{Part, Shape};

/// What becomes of a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Change<'v> {
    /// It has this value.
    Write(&'v str),
    /// It is a group with nothing in it, as the entry of a size may be.
    Open,
    /// It is left out.
    Remove,
}

/// A value to put into a text, before it is known whether it needs quotes.
pub(super) enum New<'v> {
    Value(&'v str),
    List(Vec<New<'v>>),
    Group(Vec<(String, New<'v>)>),
}

pub(super) fn node(kind: NodeKind) -> Node {
    Node {
        span: Span::default(),
        kind,
    }
}

impl New<'_> {
    pub(super) fn kind(&self) -> NodeKind {
        match self {
            New::Value(value) => NodeKind::Scalar((*value).to_owned()),
            New::List(items) => {
                NodeKind::List(items.iter().map(|item| node(item.kind())).collect())
            }
            New::Group(entries) => NodeKind::Map(
                entries
                    .iter()
                    .map(|(key, value)| (named(key), node(value.kind())))
                    .collect(),
            ),
        }
    }
}

pub(super) fn named(key: &str) -> Node {
    node(NodeKind::Scalar(key.to_owned()))
}

/// A value below a group that is not there yet: the groups on the way to it, too.
pub(super) fn built<'v>(shape: &Shape, path: &[String], change: Change<'v>) -> Option<New<'v>> {
    let shape = match shape {
        Shape::Either(shapes) => shapes.first()?,
        shape => shape,
    };
    let in_group = |parts: &[Part], name: &str, rest: &[String]| {
        let part = parts.iter().find(|part| part.name == name)?;
        built(&part.shape, rest, change)
    };
    let group = |name: &str, value| New::Group(vec![(name.to_owned(), value)]);
    Some(match (shape, path.split_first(), change) {
        (Shape::Single(_) | Shape::Stated(_), None, Change::Write(value)) => New::Value(value),
        (Shape::Group(_) | Shape::Keyed { .. }, None, Change::Open) => New::Group(Vec::new()),
        (Shape::Stated(parts), Some((name, rest)), _) => {
            let value = in_group(parts, name, rest)?;
            match parts.first()?.name == *name {
                true => value,
                false => group(name, value),
            }
        }
        (Shape::Group(parts), Some((name, rest)), _) => group(name, in_group(parts, name, rest)?),
        (Shape::Keyed { entry, .. }, Some((name, rest)), _) if !name.is_empty() => {
            group(name, built(entry, rest, change)?)
        }
        (Shape::List { item, alone }, Some((first, rest)), _) if first == "0" => {
            let item = built(item, rest, change)?;
            match alone {
                true => item,
                false => New::List(vec![item]),
            }
        }
        _ => return None,
    })
}
