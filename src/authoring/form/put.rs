//! The smallest change of a text that gives one field another value: its characters are
//! replaced, a line is put in or taken out, and every other byte stays.
//!
//! A change is only given once the changed text was read again and is the old one but
//! for that value. So a value is tried as it was typed and then in quotes, and whatever
//! way of writing YAML is not foreseen here ends as a refusal.

use super::extent::{
    colon, end, entry_end, is_flow, is_marked, line_break, line_end, line_start, margin, next_line,
};
use super::find::{Found, Step, follow};
use super::shape;
use crate::authoring::schema::Kind;
use crate::core::budget;
use crate::core::finding::Edit;
use crate::core::source::Span;
use crate::spec::node::{Node, NodeKind, parse};
use crate::spec::quoted;
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

/// The change is not made here.
const IN_THE_TEXT: &str = "Edit this in the text.";
/// Nothing is changed in a text that cannot be read.
const UNREADABLE: &str = "The text cannot be read as it stands. Fix that in the text first.";

/// A value to put into a text, before it is known whether it needs quotes.
enum New<'v> {
    Value(&'v str),
    List(Vec<New<'v>>),
    Group(Vec<(String, New<'v>)>),
}

/// A change of the text, and what it makes of the value that `steps` lead to.
struct Plan<'n> {
    steps: Vec<Step<'n>>,
    becomes: NodeKind,
    edit: Edit,
}

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

fn node(kind: NodeKind) -> Node {
    Node {
        span: Span::default(),
        kind,
    }
}

impl New<'_> {
    fn kind(&self) -> NodeKind {
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

fn named(key: &str) -> Node {
    node(NodeKind::Scalar(key.to_owned()))
}

/// A value below a group that is not there yet: the groups on the way to it, too.
fn built<'v>(shape: &Shape, path: &[String], change: Change<'v>) -> Option<New<'v>> {
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

/// Writes changes for a text.
struct Writer<'t> {
    text: &'t str,
    /// Whether values are put in quotes.
    quotes: bool,
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

    fn edit(start: usize, end: usize, text: impl Into<String>) -> Edit {
        Edit {
            span: Span::new(start, end),
            text: text.into(),
        }
    }

    /// How a field comes to its value.
    fn written<'n>(&self, found: &Found<'n, '_>, change: Change<'_>) -> Option<Plan<'n>> {
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
                    (named(&name), self::node(NodeKind::Scalar(known.clone()))),
                    (named(first), self::node(new.kind())),
                ]);
                plan(becomes, Self::edit(node.span.start, node.span.end, text))
            }
            (Shape::List { item, alone: true }, NodeKind::Scalar(_) | NodeKind::Map(_)) => {
                let new = built(item, rest, change)?;
                let edit = self.second(node, &new)?;
                plan(
                    NodeKind::List(vec![node.clone(), self::node(new.kind())]),
                    edit,
                )
            }
            (Shape::List { item, .. }, NodeKind::List(items)) => {
                let new = built(item, rest, change)?;
                let mut items = items.clone();
                let edit = self.appended(node, &items, &new)?;
                items.push(self::node(new.kind()));
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
                entries.insert(at, (named(first), self::node(new.kind())));
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

    /// How a field is taken out.
    fn removed<'n>(&self, found: &Found<'n, '_>) -> Option<Plan<'n>> {
        let mut steps = found.steps.clone();
        let mut step = steps.pop()?;
        // A group that may be left out goes with its last field, unless a remark is in it.
        while count(step.holder) == 1
            && let Some(outer) = steps.last()
            && outer.optional
            && let Some((start, end)) = self.extent(outer)
            && !self.text.get(start..end)?.contains('#')
        {
            step = *outer;
            steps.pop();
        }
        let (start, end) = self.extent(&step)?;
        let becomes = match &step.holder.kind {
            NodeKind::Map(entries) => {
                let mut entries = entries.clone();
                entries.remove(step.index);
                NodeKind::Map(entries)
            }
            NodeKind::List(items) => {
                let mut items = items.clone();
                items.remove(step.index);
                NodeKind::List(items)
            }
            _ => return None,
        };
        let edit = match is_flow(step.holder, self.text) {
            true => self.out_of_flow(&step, (start, end))?,
            false => self.out_of_block(&step, (start, end))?,
        };
        Some(Plan {
            steps,
            becomes,
            edit,
        })
    }

    /// From the first character of an entry to its last.
    fn extent(&self, step: &Step<'_>) -> Option<(usize, usize)> {
        let start = self.start(step.holder, step.index)?;
        let end = match &step.holder.kind {
            NodeKind::Map(entries) => {
                let (key, value) = entries.get(step.index)?;
                entry_end(key, value, self.text)?
            }
            NodeKind::List(items) => end(items.get(step.index)?, self.text)?,
            _ => return None,
        };
        Some((start, end))
    }

    /// Where an entry begins: with its key, or its hyphen.
    fn start(&self, holder: &Node, index: usize) -> Option<usize> {
        match &holder.kind {
            NodeKind::Map(entries) => entries.get(index).map(|(key, _)| key.span.start),
            NodeKind::List(items) => {
                let item = items.get(index)?;
                match is_flow(holder, self.text) {
                    true => Some(item.span.start),
                    false => dash(self.text, item),
                }
            }
            _ => None,
        }
    }

    fn out_of_flow(&self, step: &Step<'_>, (start, end): (usize, usize)) -> Option<Edit> {
        if let Some(next) = self.start(step.holder, step.index + 1) {
            return Some(Self::edit(start, next, ""));
        }
        let before = step.index.checked_sub(1);
        let before = before.and_then(|index| self.extent(&Step { index, ..*step }));
        let start = before.map_or(start, |(_, end)| end);
        Some(Self::edit(start, end, ""))
    }

    fn out_of_block(&self, step: &Step<'_>, (start, end): (usize, usize)) -> Option<Edit> {
        let text = self.text;
        let rest = text.get(end..line_end(text, end))?;
        if count(step.holder) == 1 {
            let nothing = match step.holder.kind {
                NodeKind::List(_) => "[]",
                _ => "{}",
            };
            return Some(Self::edit(start, end, nothing));
        }
        // A remark beside it stays.
        if let Some(remark) = rest.find('#') {
            return Some(Self::edit(start, end + remark, ""));
        }
        let is_first_of_item = !margin(text, start).trim().is_empty();
        if is_first_of_item {
            let next = self.start(step.holder, step.index + 1)?;
            return Some(Self::edit(start, next, ""));
        }
        let line = line_start(text, start);
        let Some(next) = next_line(text, end) else {
            // The last line has no end of its own: that of the line before goes.
            let before = text.get(..line)?;
            let before = before.strip_suffix('\n').unwrap_or(before);
            let before = before.strip_suffix('\r').unwrap_or(before);
            return Some(Self::edit(before.len(), text.len(), ""));
        };
        // Of the blank lines around a section at the top one is left.
        let is_blank = |at: usize| {
            let line = text.get(at..line_end(text, at));
            line.is_some_and(|line| line.trim().is_empty())
        };
        let blank_before = line
            .checked_sub(1)
            .is_some_and(|at| is_blank(line_start(text, at)));
        let after = match next_line(text, next) {
            Some(after) if line == start && blank_before && is_blank(next) => after,
            _ => next,
        };
        Some(Self::edit(line, after, ""))
    }
}

fn count(holder: &Node) -> usize {
    match &holder.kind {
        NodeKind::Map(entries) => entries.len(),
        NodeKind::List(items) => items.len(),
        _ => 0,
    }
}

/// Where the hyphen of an entry stands.
fn dash(text: &str, item: &Node) -> Option<usize> {
    let before = margin(text, item.span.start).trim_end_matches(' ');
    let dash = before.strip_suffix('-')?;
    Some(line_start(text, item.span.start) + dash.len())
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
