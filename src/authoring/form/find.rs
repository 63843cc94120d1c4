//! Finds a field in the text by its path, and the path of what stands at a place.

use super::shape;
use crate::authoring::schema::Kind;
use crate::core::budget;
use crate::core::source::Span;
use crate::spec::node::{Node, NodeKind, parse};
use crate::spec::schema::Shape;

/// The path of a field one level below.
pub(super) fn below(path: &[String], name: &str) -> Vec<String> {
    let names = path.iter().map(String::as_str).chain([name]);
    names.map(str::to_owned).collect()
}

/// The entries of a group with a key.
fn keyed<'n>(group: &'n Node, name: &str) -> Vec<(usize, &'n Node)> {
    let NodeKind::Map(entries) = &group.kind else {
        return Vec::new();
    };
    let entries = entries.iter().enumerate();
    let named =
        entries.filter(|(_, (key, _))| matches!(&key.kind, NodeKind::Scalar(key) if key == name));
    named.map(|(index, (_, value))| (index, value)).collect()
}

/// The value of a field, the first where it is given twice.
pub(super) fn value<'n>(group: &'n Node, name: &str) -> Option<&'n Node> {
    keyed(group, name).first().map(|(_, value)| *value)
}

/// The entries of a list, or the one that may stand without it; `None` for what is no list.
pub(super) fn items(node: &Node, alone: bool) -> Option<Vec<&Node>> {
    match &node.kind {
        NodeKind::Null => Some(Vec::new()),
        NodeKind::List(items) => Some(items.iter().collect()),
        _ if alone => Some(vec![node]),
        _ => None,
    }
}

/// Of several shapes the one that a value is written in.
pub(super) fn fitting<'s>(shape: &'s Shape, node: Option<&Node>) -> &'s Shape {
    let Shape::Either(shapes) = shape else {
        return shape;
    };
    let fits = |shape: &&Shape| match (node.map(|node| &node.kind), shape) {
        (None | Some(NodeKind::Null), _) => true,
        (Some(NodeKind::Scalar(_)), shape) => matches!(shape, Shape::Single(_)),
        (Some(NodeKind::List(_)), shape) => matches!(shape, Shape::List { .. }),
        (Some(NodeKind::Map(_)), shape) => {
            matches!(
                shape,
                Shape::Group(_) | Shape::Keyed { .. } | Shape::Stated(_)
            )
        }
    };
    shapes.iter().find(fits).unwrap_or(shape)
}

/// A step on the way to a field: entry `index` of a group or a list.
#[derive(Clone, Copy)]
pub(super) struct Step<'n> {
    pub(super) holder: &'n Node,
    pub(super) index: usize,
    /// Whether the whole entry may be left out once there is nothing in it.
    pub(super) optional: bool,
}

/// How far a path leads.
pub(super) struct Found<'n, 'p> {
    pub(super) steps: Vec<Step<'n>>,
    pub(super) node: &'n Node,
    pub(super) shape: &'static Shape,
    /// What of the path is not in the text.
    pub(super) rest: &'p [String],
}

/// Follows a path as far as the text has it; `None` where it cannot lead anywhere, or
/// leads to two places.
pub(super) fn follow<'n, 'p>(
    mut shape: &'static Shape,
    mut node: &'n Node,
    path: &'p [String],
) -> Option<Found<'n, 'p>> {
    let mut steps = Vec::new();
    let mut rest = path;
    while let Some((first, tail)) = rest.split_first() {
        shape = fitting(shape, Some(node));
        let nothing = matches!(node.kind, NodeKind::Null);
        let step = match shape {
            Shape::Group(parts) | Shape::Stated(parts) => {
                let part = parts.iter().find(|part| part.name == *first)?;
                let is_stated = matches!(shape, Shape::Stated(_));
                if is_stated && matches!(node.kind, NodeKind::Scalar(_)) {
                    if parts.first()?.name != *first {
                        break;
                    }
                    (shape, rest) = (&part.shape, tail);
                    continue;
                }
                let entries = keyed(node, first);
                let is_group = nothing || matches!(node.kind, NodeKind::Map(_));
                match entries.as_slice() {
                    [] if is_group => break,
                    [(index, value)] => Some((*index, *value, part.without.is_some(), &part.shape)),
                    _ => None,
                }
            }
            Shape::Keyed { entry, .. } => {
                let is_group = nothing || matches!(node.kind, NodeKind::Map(_));
                match keyed(node, first).as_slice() {
                    [] if is_group => break,
                    [(index, value)] => Some((*index, *value, false, &**entry)),
                    _ => None,
                }
            }
            Shape::List { item, alone } => {
                let index: usize = first.parse().ok()?;
                let items = items(node, *alone)?;
                if index == items.len() {
                    break;
                }
                let value = *items.get(index)?;
                if !matches!(node.kind, NodeKind::List(_)) {
                    (shape, rest) = (item, tail);
                    continue;
                }
                Some((index, value, false, &**item))
            }
            Shape::Single(_) | Shape::Either(_) => None,
        };
        let (index, value, optional, inner) = step?;
        steps.push(Step {
            holder: node,
            index,
            optional,
        });
        (node, shape, rest) = (value, inner, tail);
    }
    Some(Found {
        steps,
        node,
        shape: fitting(shape, Some(node)),
        rest,
    })
}

/// The fields that stand at these places, or that are missing there by name. Empty for
/// what is no field.
pub(crate) fn fields_at(
    kind: Kind,
    text: &str,
    places: &[Option<(Span, Option<&str>)>],
) -> Vec<Vec<String>> {
    let (Some(shape), Ok(root)) = (shape(kind), parse(text, &budget::SPEC)) else {
        return vec![Vec::new(); places.len()];
    };
    let path = |place: &Option<(Span, Option<&str>)>| {
        let mut path = Vec::new();
        let Some((span, missing)) = place else {
            return path;
        };
        let mut inner = Some(shape);
        // A finding about the whole file may stand at its first character.
        if *span != Span::default() {
            inner = descend(shape, &root, span.start, &mut path);
        }
        let name = missing.and_then(|missing| missing.rsplit('.').next());
        if let (Some(Shape::Group(parts)), Some(name)) = (inner, name)
            && parts.iter().any(|part| part.name == name)
        {
            path.push(name.to_owned());
        }
        path
    };
    places.iter().map(path).collect()
}

/// Adds the keys that lead to what stands at a place; returns what it is made of, unless
/// it is a key.
fn descend(
    shape: &'static Shape,
    node: &Node,
    at: usize,
    path: &mut Vec<String>,
) -> Option<&'static Shape> {
    let shape = fitting(shape, Some(node));
    let before = |node: &Node| node.span.start <= at;
    match (shape, &node.kind) {
        (Shape::Stated(parts), NodeKind::Scalar(_)) => {
            path.push(parts.first()?.name.clone());
            None
        }
        (Shape::Group(_) | Shape::Stated(_) | Shape::Keyed { .. }, NodeKind::Map(entries)) => {
            let Some((key, value)) = entries.iter().rfind(|(key, _)| before(key)) else {
                return Some(shape);
            };
            let NodeKind::Scalar(name) = &key.kind else {
                return None;
            };
            let inner = match shape {
                Shape::Keyed { entry, .. } => &**entry,
                Shape::Group(parts) | Shape::Stated(parts) => {
                    &parts.iter().find(|part| part.name == *name)?.shape
                }
                _ => return None,
            };
            path.push(name.clone());
            // What is missing in a group is told at its key.
            if at < key.span.end {
                return Some(fitting(inner, Some(value)));
            }
            descend(inner, value, at, path)
        }
        (Shape::List { item, .. }, NodeKind::List(items)) => {
            let index = items.iter().rposition(before)?;
            path.push(index.to_string());
            descend(item, items.get(index)?, at, path)
        }
        (Shape::List { item, alone: true }, NodeKind::Scalar(_) | NodeKind::Map(_)) => {
            path.push("0".to_owned());
            descend(item, node, at, path)
        }
        _ => Some(shape),
    }
}
