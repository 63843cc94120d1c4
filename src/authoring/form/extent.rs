//! Where values end, and the lines they stand on. The tree of a text only has where a
//! group or a list begins.

use crate::spec::node::{Node, NodeKind};

/// Whether a value is written in a way of its own: by an alias, behind an anchor or a
/// tag, or as a text of several lines.
pub(super) fn is_marked(node: &Node, text: &str) -> bool {
    let span = node.span;
    let written = text.get(span.range()).unwrap_or_default();
    let before = text.get(..span.start).unwrap_or_default();
    let word = before.split_whitespace().next_back().unwrap_or_default();
    let after_mark = before.ends_with(char::is_whitespace)
        && word.starts_with(['&', '!', '|', '>'])
        && !word.ends_with(',');
    let is_scalar = matches!(node.kind, NodeKind::Scalar(_));
    written.starts_with('*') || after_mark || is_scalar && written.contains('\n')
}

/// Whether a group or list is written in braces or brackets.
pub(super) fn is_flow(node: &Node, text: &str) -> bool {
    let rest = text.get(node.span.start..).unwrap_or_default();
    match node.kind {
        NodeKind::Map(_) => rest.starts_with('{'),
        NodeKind::List(_) => rest.starts_with('['),
        _ => false,
    }
}

/// One past the last character of a value; `None` where it has none, or it is not certain.
pub(super) fn end(node: &Node, text: &str) -> Option<usize> {
    let flow = is_flow(node, text);
    let last = match &node.kind {
        NodeKind::Null | NodeKind::Scalar(_) => {
            return (!node.span.range().is_empty()).then_some(node.span.end);
        }
        NodeKind::List(items) => items.last().map(|last| end(last, text)),
        NodeKind::Map(entries) => entries
            .last()
            .map(|(key, value)| entry_end(key, value, text)),
    };
    match last {
        Some(last) if flow => closing(text, last?),
        Some(last) => last,
        None if flow => closing(text, node.span.start + 1),
        None => None,
    }
}

/// One past the last character of an entry of a group.
pub(super) fn entry_end(key: &Node, value: &Node, text: &str) -> Option<usize> {
    end(value, text).or_else(|| match value.kind {
        NodeKind::Null => colon(key, text),
        _ => None,
    })
}

/// One past the colon after a key.
pub(super) fn colon(key: &Node, text: &str) -> Option<usize> {
    let rest = text.get(key.span.end..)?;
    let after = rest.trim_start_matches(' ');
    let at = key.span.end + (rest.len() - after.len());
    after.starts_with(':').then_some(at + 1)
}

/// One past the bracket or brace that closes what ends at a place.
fn closing(text: &str, mut at: usize) -> Option<usize> {
    loop {
        let rest = text.get(at..)?;
        let c = rest.chars().next()?;
        at += match c {
            '}' | ']' => return Some(at + 1),
            '#' => rest.find('\n')?,
            ',' => 1,
            c if c.is_whitespace() => c.len_utf8(),
            _ => return None,
        };
    }
}

/// Where the line of a place begins.
pub(super) fn line_start(text: &str, at: usize) -> usize {
    let before = text.get(..at).unwrap_or_default();
    before.rfind('\n').map_or(0, |end| end + 1)
}

/// Where the line of a place ends, before its line end.
pub(super) fn line_end(text: &str, at: usize) -> usize {
    let rest = text.get(at..).unwrap_or_default();
    let line = rest.split('\n').next().unwrap_or_default();
    at + line.strip_suffix('\r').unwrap_or(line).len()
}

/// Where the next line begins, if there is one.
pub(super) fn next_line(text: &str, at: usize) -> Option<usize> {
    let rest = text.get(at..)?;
    rest.find('\n').map(|end| at + end + 1)
}

/// What stands in the line before a place.
pub(super) fn margin(text: &str, at: usize) -> &str {
    text.get(line_start(text, at)..at).unwrap_or_default()
}

/// The line end of a text.
pub(super) fn line_break(text: &str) -> &'static str {
    match text.contains("\r\n") {
        true => "\r\n",
        false => "\n",
    }
}

/// Where the hyphen of an entry stands.
pub(super) fn dash(text: &str, item: &Node) -> Option<usize> {
    let before = margin(text, item.span.start).trim_end_matches(' ');
    let dash = before.strip_suffix('-')?;
    Some(line_start(text, item.span.start) + dash.len())
}
