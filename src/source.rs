//! Source texts and places in them.
//!
//! A place is a source and a range of bytes; lines and columns are computed
//! only when a finding is printed.

use std::ops::Range;
use std::sync::OnceLock;

/// One text a finding can point into: its name as the user gave it, and its
/// content.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// The path as the user typed it, with `/` between folders.
    pub name: String,
    /// The whole text. Bytes that are not UTF-8 never get this far.
    pub text: String,
    /// Where each line starts, once somebody has asked for a line: a spec with
    /// thousands of findings must not be read from the top for each.
    line_starts: OnceLock<Vec<usize>>,
}

/// A range of bytes in the spec's text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte; equal to `start` for a point.
    pub end: usize,
}

impl Span {
    /// The span from `start` up to, not including, `end`.
    pub fn new(start: usize, end: usize) -> Self {
        Self {
            start,
            end: end.max(start),
        }
    }

    /// The same span as a range of bytes.
    pub fn range(self) -> Range<usize> {
        self.start..self.end
    }
}

/// A value read from a spec, with the place it was written at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// `value`, written at `span`.
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

impl<T> std::ops::Deref for Spanned<T> {
    type Target = T;
    fn deref(&self) -> &T {
        &self.value
    }
}

/// A line and a column, both counted from 1; columns count Unicode scalar values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LineColumn {
    /// Line, from 1.
    pub line: usize,
    /// Column in Unicode scalar values, from 1.
    pub column: usize,
}

impl Source {
    /// A source from its name and text.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            text: text.into(),
            line_starts: OnceLock::new(),
        }
    }

    /// The line and column of a byte offset; an offset past the end, or inside
    /// a character, counts as the nearest character boundary before it.
    pub fn line_column(&self, offset: usize) -> LineColumn {
        let mut at = offset.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        let starts = self.line_starts.get_or_init(|| {
            let ends = self.text.match_indices('\n').map(|(end, _)| end + 1);
            std::iter::once(0).chain(ends).collect()
        });
        let line = starts.partition_point(|start| *start <= at);
        let start = line.checked_sub(1).and_then(|i| starts.get(i));
        let before = start.and_then(|start| self.text.get(*start..at));
        LineColumn {
            line,
            column: before.map_or(0, |text| text.chars().count()) + 1,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_not_bytes() {
        let source = Source::new("x.yaml", "a: 1\né°: 2\n");
        let offset = source.text.find('2').unwrap_or_default();
        assert_eq!(
            source.line_column(offset),
            LineColumn { line: 2, column: 5 }
        );
        // Past the end is the start of the line after the last newline.
        assert_eq!(source.line_column(999), LineColumn { line: 3, column: 1 });
    }
}
