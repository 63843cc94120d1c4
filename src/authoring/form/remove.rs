//! How a field is taken out of a text. What is remarked beside it stays.

use super::extent::{dash, end, entry_end, is_flow, line_end, line_start, margin, next_line};
use super::find::{Found, Step};
use super::write::{Plan, Writer};
use crate::core::finding::Edit;
use crate::spec::node::{Node, NodeKind};

impl Writer<'_> {
    /// How a field is taken out.
    pub(super) fn removed<'n>(&self, found: &Found<'n, '_>) -> Option<Plan<'n>> {
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
