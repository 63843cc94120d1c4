//! How a field comes to its value: what is replaced, and where a line is put in.

use super::extent::{
    colon, dash, end, entry_end, is_flow, is_marked, line_break, line_end, margin,
};
use super::find::{Found, Step};
use super::new::{self, Change, New, built, named};
use crate::core::finding::Edit;
use crate::core::source::Span;
use crate::spec::node::{Node, NodeKind};
use crate::spec::quoted;
use crate::spec::schema::{Part, Shape};

/// A change of the text, and what it makes of the value that `steps` lead to.
pub(super) struct Plan<'n> {
    pub(super) steps: Vec<Step<'n>>,
    pub(super) becomes: NodeKind,
    pub(super) edit: Edit,
}

/// Writes changes for a text.
pub(super) struct Writer<'t> {
    pub(super) text: &'t str,
    /// Whether values are put in quotes.
    pub(super) quotes: bool,
}

impl Writer<'_> {
    /// A value on one line.
    fn flow(&self, new: &New<'_>) -> String {
        let joined = |parts: Vec<String>| parts.join(", ");
        match new {
            New::Value(value) if self.quotes || value.contains(char::is_control) => {
                // A text can always be written as JSON.
                serde_json::to_string(value).unwrap_or_default()
            }
            New::Value(value) => (*value).to_owned(),
            New::List(items) => {
                format!(
                    "[{}]",
                    joined(items.iter().map(|item| self.flow(item)).collect())
                )
            }
            New::Group(entries) => {
                let entry = |(key, value): &(String, New<'_>)| self.entry(key, value);
                format!("{{{}}}", joined(entries.iter().map(entry).collect()))
            }
        }
    }

    fn entry(&self, key: &str, value: &New<'_>) -> String {
        format!("{}: {}", quoted(key), self.flow(value))
    }

    /// An entry on lines of its own; a group at the top is set out, one field a line.
    fn lines(&self, key: &str, value: &New<'_>, indent: &str) -> String {
        let set_out: Vec<_> = match value {
            New::Group(entries) if indent.is_empty() => entries
                .iter()
                .map(|(key, value)| self.entry(key, value))
                .collect(),
            New::List(items) if indent.is_empty() => items
                .iter()
                .map(|item| format!("- {}", self.flow(item)))
                .collect(),
            _ => Vec::new(),
        };
        if set_out.is_empty() {
            return format!("{indent}{}", self.entry(key, value));
        }
        let inner: Vec<_> = set_out
            .iter()
            .map(|line| format!("{}  {line}", line_break(self.text)))
            .collect();
        format!("{}:{}", quoted(key), inner.concat())
    }

    pub(super) fn edit(start: usize, end: usize, text: impl Into<String>) -> Edit {
        Edit {
            span: Span::new(start, end),
            text: text.into(),
        }
    }

    /// How a field comes to its value.
    pub(super) fn written<'n>(
        &self,
        found: &Found<'n, '_>,
        change: Change<'_>,
    ) -> Option<Plan<'n>> {
        let node = found.node;
        let plan = |becomes, edit| {
            let steps = found.steps.clone();
            Some(Plan {
                steps,
                becomes,
                edit,
            })
        };
        if is_marked(node, self.text) {
            return None;
        }
        let Some((first, rest)) = found.rest.split_first() else {
            let new = built(found.shape, &[], change)?;
            return match &node.kind {
                NodeKind::Null => plan(new.kind(), self.after_key(found, &new)?),
                NodeKind::Scalar(_) => {
                    let written = self.text.get(node.span.range())?;
                    let quotes = self.quotes || written.starts_with(['"', '\'']);
                    let text = Writer { quotes, ..*self }.flow(&new);
                    plan(new.kind(), Self::edit(node.span.start, node.span.end, text))
                }
                _ => None,
            };
        };
        match (found.shape, &node.kind) {
            // A value gets its source, one entry gets others beside it.
            (Shape::Stated(parts), NodeKind::Scalar(known)) => {
                let name = parts.first()?.name.clone();
                let new = New::Value(match change {
                    Change::Write(value) => value,
                    _ => return None,
                });
                let kept = self.kept(node)?;
                let text = format!("{{{name}: {kept}, {}}}", self.entry(first, &new));
                let becomes = NodeKind::Map(vec![
                    (named(&name), new::node(NodeKind::Scalar(known.clone()))),
                    (named(first), new::node(new.kind())),
                ]);
                plan(becomes, Self::edit(node.span.start, node.span.end, text))
            }
            (Shape::List { item, alone: true }, NodeKind::Scalar(_) | NodeKind::Map(_)) => {
                let new = built(item, rest, change)?;
                let edit = self.second(node, &new)?;
                plan(
                    NodeKind::List(vec![node.clone(), new::node(new.kind())]),
                    edit,
                )
            }
            (Shape::List { item, .. }, NodeKind::List(items)) => {
                let new = built(item, rest, change)?;
                let mut items = items.clone();
                let edit = self.appended(node, &items, &new)?;
                items.push(new::node(new.kind()));
                plan(NodeKind::List(items), edit)
            }
            (Shape::Group(_) | Shape::Stated(_) | Shape::Keyed { .. }, NodeKind::Map(entries)) => {
                let (new, parts) = match found.shape {
                    Shape::Keyed { entry, .. } => (built(entry, rest, change)?, &[][..]),
                    Shape::Group(parts) | Shape::Stated(parts) => {
                        let part = parts.iter().find(|part| part.name == *first)?;
                        (built(&part.shape, rest, change)?, parts.as_slice())
                    }
                    _ => return None,
                };
                let at = place_of(first, parts, entries);
                let edit = self.inserted(found, entries, at, (first, &new))?;
                let mut entries = entries.clone();
                entries.insert(at, (named(first), new::node(new.kind())));
                plan(NodeKind::Map(entries), edit)
            }
            (shape, NodeKind::Null) => {
                let new = built(shape, found.rest, change)?;
                plan(new.kind(), self.after_key(found, &new)?)
            }
            _ => None,
        }
    }

    /// A second entry after one that stands without a list. The lines of a group are
    /// indented for it.
    fn second(&self, only: &Node, new: &New<'_>) -> Option<Edit> {
        let (text, new) = (self.text, self.flow(new));
        let (start, end) = (only.span.start, end(only, text)?);
        let written = text.get(start..end)?;
        let list = match &only.kind {
            NodeKind::Scalar(_) => format!("[{}, {new}]", self.kept(only)?),
            _ if is_flow(only, text) => format!("[{written}, {new}]"),
            _ => {
                let end = line_end(text, end);
                let indent = " ".repeat(margin(text, start).chars().count());
                let lines = text
                    .get(start..end)?
                    .split('\n')
                    .map(|line| match line.trim() {
                        "" => line.to_owned(),
                        _ => format!("  {line}"),
                    });
                let lines: Vec<_> = lines.collect();
                let lines = lines.join("\n");
                let line_break = line_break(text);
                let list = format!("- {}{line_break}{indent}- {new}", lines.trim_start());
                return Some(Self::edit(start, end, list));
            }
        };
        Some(Self::edit(start, end, list))
    }

    /// A value as it is written, or in quotes where it would end early in braces.
    fn kept(&self, node: &Node) -> Option<String> {
        let NodeKind::Scalar(value) = &node.kind else {
            return None;
        };
        let written = self.text.get(node.span.range())?;
        let quoted = written.starts_with(['"', '\'']);
        Some(
            match !quoted && written.contains([',', '[', ']', '{', '}']) {
                true => serde_json::to_string(value).unwrap_or_default(),
                false => written.to_owned(),
            },
        )
    }

    /// A value after a key that has none.
    fn after_key(&self, found: &Found<'_, '_>, new: &New<'_>) -> Option<Edit> {
        let text = self.text;
        let span = found.node.span;
        if !span.range().is_empty() {
            return Some(Self::edit(span.start, span.end, self.flow(new)));
        }
        let Some(step) = found.steps.last() else {
            // A file with nothing in it, or with remarks alone.
            let New::Group(entries) = new else {
                return None;
            };
            let (key, value) = entries.first()?;
            let lines = self.lines(key, value, "");
            let begins = text.is_empty() || text.ends_with('\n');
            let before = if begins { "" } else { line_break(text) };
            let added = format!("{before}{lines}{}", line_break(text));
            return Some(Self::edit(text.len(), text.len(), added));
        };
        let NodeKind::Map(entries) = &step.holder.kind else {
            return None;
        };
        let (key, _) = entries.get(step.index)?;
        let colon = colon(key, text)?;
        if let New::Group(fields) = new
            && margin(text, key.span.start).is_empty()
            && !fields.is_empty()
        {
            let line = |(key, value): &(String, New<'_>)| {
                format!("{}  {}", line_break(text), self.entry(key, value))
            };
            let at = line_end(text, colon);
            return Some(Self::edit(
                at,
                at,
                fields.iter().map(line).collect::<String>(),
            ));
        }
        Some(Self::edit(colon, colon, format!(" {}", self.flow(new))))
    }

    /// An entry at the end of a list.
    fn appended(&self, list: &Node, items: &[Node], new: &New<'_>) -> Option<Edit> {
        let (text, flow) = (self.text, self.flow(new));
        let Some(last) = items.last() else {
            let at = list.span.start + 1;
            return is_flow(list, text).then(|| Self::edit(at, at, flow));
        };
        let last_end = end(last, text)?;
        if is_flow(list, text) {
            return Some(Self::edit(last_end, last_end, format!(", {flow}")));
        }
        let dash = dash(text, last)?;
        let at = line_end(text, last_end);
        let indent = " ".repeat(margin(text, dash).chars().count());
        Some(Self::edit(
            at,
            at,
            format!("{}{indent}- {flow}", line_break(text)),
        ))
    }

    /// An entry of a group, as the one at `at`.
    fn inserted(
        &self,
        found: &Found<'_, '_>,
        entries: &[(Node, Node)],
        at: usize,
        (key, new): (&str, &New<'_>),
    ) -> Option<Edit> {
        let (text, node) = (self.text, found.node);
        let before = at.checked_sub(1).and_then(|before| entries.get(before));
        let before_end = match before {
            Some((key, value)) => Some(entry_end(key, value, text)?),
            None => None,
        };
        if is_flow(node, text) {
            let entry = self.entry(key, new);
            return Some(match (before_end, entries.first()) {
                (Some(end), _) => Self::edit(end, end, format!(", {entry}")),
                (None, Some((next, _))) => {
                    Self::edit(next.span.start, next.span.start, format!("{entry}, "))
                }
                (None, None) => self.first_in_braces(found, &entry)?,
            });
        }
        let (first, _) = entries.first()?;
        let indent = " ".repeat(margin(text, first.span.start).chars().count());
        let lines = self.lines(key, new, &indent);
        let line_break = line_break(text);
        Some(match before_end {
            Some(end) => {
                let at = line_end(text, end);
                let is_section = indent.is_empty() && lines.contains('\n');
                let blank = if is_section { line_break } else { "" };
                Self::edit(at, at, format!("{line_break}{blank}{lines}"))
            }
            None => {
                let at = first.span.start;
                Self::edit(
                    at,
                    at,
                    format!("{}{line_break}{indent}", lines.trim_start()),
                )
            }
        })
    }

    /// The first entry between braces; a group at the top is set out on a line of its own.
    fn first_in_braces(&self, found: &Found<'_, '_>, entry: &str) -> Option<Edit> {
        let (text, start) = (self.text, found.node.span.start);
        let close = end(found.node, text)?;
        let key = found.steps.last().and_then(|step| match &step.holder.kind {
            NodeKind::Map(entries) => entries.get(step.index).map(|(key, _)| key),
            _ => None,
        });
        let is_top = key.is_some_and(|key| margin(text, key.span.start).is_empty());
        let is_alone = text.get(close..line_end(text, close))?.trim().is_empty();
        if let Some(key) = key.filter(|_| is_top && is_alone) {
            let colon = colon(key, text)?;
            if text.get(colon..start)?.chars().all(|c| c == ' ') {
                let line = format!("{}  {entry}", line_break(text));
                return Some(Self::edit(colon, close, line));
            }
        }
        Some(Self::edit(start + 1, start + 1, entry))
    }
}

/// Where a field belongs among those that are given: after the last that the declarations
/// have before it. An entry of a size goes to the end.
fn place_of(name: &str, parts: &[Part], entries: &[(Node, Node)]) -> usize {
    let order = |name: &str| parts.iter().position(|part| part.name == name);
    let Some(own) = order(name) else {
        return entries.len();
    };
    let is_before = |(key, _): &(Node, Node)| match &key.kind {
        NodeKind::Scalar(key) => order(key).is_none_or(|at| at < own),
        _ => false,
    };
    entries
        .iter()
        .rposition(is_before)
        .map_or(0, |before| before + 1)
}
