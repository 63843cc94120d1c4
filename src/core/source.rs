//! Source texts and positions in them: a spec and the files it names.
//!
//! A position is a file and a range of bytes; lines and columns are computed
//! only when a finding is printed. [`Sources`] holds the spec and its files
//! with their roles, and every position says which file it is in ([`FileId`];
//! the spec unless stated). Only `cli/input.rs` reads files, and only inside
//! the spec's own folder with links resolved.

use std::ops::Range;
use std::path::{Component, Path};
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use crate::core::sandbox::Sandbox;

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
    /// How many characters stand before each [`STRIDE`] of bytes: a line may be
    /// the whole of a file.
    characters: OnceLock<Vec<usize>>,
}

/// A range of bytes in a text.
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
    pub(crate) fn new(value: T, span: Span) -> Self {
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
pub(crate) struct LineColumn {
    /// Line, from 1.
    pub(crate) line: usize,
    /// Column in Unicode scalar values, from 1.
    pub(crate) column: usize,
}

/// How many bytes are counted at most for a column.
const STRIDE: usize = 4096;

/// How many characters begin in UTF-8 that may be cut anywhere: every byte but
/// the later ones of a character, which are 10xxxxxx.
fn characters_begun(bytes: &[u8]) -> usize {
    bytes.iter().filter(|byte| *byte & 0xC0 != 0x80).count()
}

impl Source {
    /// A source from its name and text.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            text: text.into(),
            line_starts: OnceLock::new(),
            characters: OnceLock::new(),
        }
    }

    /// The line and column of a byte offset; an offset past the end, or inside
    /// a character, counts as the nearest character boundary before it.
    pub(crate) fn line_column(&self, offset: usize) -> LineColumn {
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
        let before = start.map_or(0, |start| self.characters_before(*start));
        LineColumn {
            line,
            column: self.characters_before(at).saturating_sub(before) + 1,
        }
    }

    /// How many characters begin before the byte at `end`.
    fn characters_before(&self, end: usize) -> usize {
        let bytes = self.text.as_bytes();
        let counted = self.characters.get_or_init(|| {
            let counts = bytes.chunks(STRIDE).scan(0, |before, chunk| {
                let here = *before;
                *before += characters_begun(chunk);
                Some(here)
            });
            counts.collect()
        });
        let stride = end / STRIDE;
        let before = counted.get(stride).copied();
        let rest = bytes.get(stride * STRIDE..end).unwrap_or_default();
        before.unwrap_or_else(|| self.text.chars().count()) + characters_begun(rest)
    }
}

/// Which of the texts of a [`Sources`] a place is in; the spec unless it is
/// said otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct FileId(usize);

impl FileId {
    /// The spec itself.
    pub(crate) const SPEC: FileId = FileId(0);
}

/// What a file that a spec names is to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    /// Who read which figure in which edition.
    Confirmations,
    /// A record of test joints.
    Record,
    /// An earlier revision of the spec, to compare it with.
    Earlier,
    /// How an organization wants its papers to look.
    House,
    /// A folder of page templates, which a house style no longer has.
    Template,
    /// The organization's logo.
    Logo,
}

impl Role {
    pub(crate) fn word(self) -> &'static str {
        match self {
            Role::Confirmations => "confirmations",
            Role::Record => "record",
            Role::Earlier => "earlier",
            Role::House => "house",
            Role::Template => "template",
            Role::Logo => "logo",
        }
    }
}

/// Whether the path of a file that a spec names stays inside its folder. A path that
/// leads out of the folder on another system does not.
pub(crate) fn stays_inside(named: &str) -> bool {
    !named.contains(['\\', ':'])
        && Path::new(named)
            .components()
            .all(|part| matches!(part, Component::Normal(_) | Component::CurDir))
}

/// Why a file that a spec names is not at hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Unavailable {
    /// Nobody looked for it.
    NotGiven,
    /// It lies outside the folder of the spec, or its path could lead there.
    Outside,
    /// It cannot be read; the reason in words.
    Unreadable(String),
}

/// A file of a house style: how papers look, never what they are based on.
#[derive(Debug, Clone)]
pub struct HouseFile {
    /// What it is.
    pub role: Role,
    /// Its path from the folder of the house style.
    pub path: String,
    /// Its name and text; the text is empty when the file holds none.
    pub source: Source,
    /// What it holds, or why it is not at hand.
    pub bytes: Result<Vec<u8>, Unavailable>,
}

/// A spec, the files it names and the house style: all that a run goes by.
#[derive(Debug, Clone)]
pub struct Sources {
    spec: Source,
    included: Vec<(Role, Result<Source, Unavailable>)>,
    house: Vec<HouseFile>,
    sandbox: Option<Sandbox>,
}

impl Sources {
    /// The spec.
    pub fn spec(&self) -> &Source {
        &self.spec
    }

    /// The same texts with one more file that the spec names, or why it is not
    /// at hand.
    pub fn with(mut self, role: Role, file: Result<Source, Unavailable>) -> Self {
        self.included.push((role, file));
        self
    }

    /// The same texts, to be printed in a house style.
    pub fn in_house(mut self, files: Vec<HouseFile>) -> Self {
        self.house = files;
        self
    }

    /// The same texts, with house style and attached PDFs processed in a sandbox.
    /// Without one, that is done in this process.
    pub(crate) fn with_sandbox(mut self, sandbox: Sandbox) -> Self {
        self.sandbox = Some(sandbox);
        self
    }

    /// The sandbox for untrusted files.
    pub(crate) fn sandbox(&self) -> Option<Sandbox> {
        self.sandbox
    }

    /// The files of the house style, where there is one.
    pub(crate) fn house(&self) -> impl Iterator<Item = (FileId, &HouseFile)> {
        let first = self.included.len() + 1;
        let numbered = self.house.iter().enumerate();
        numbered.map(move |(index, file)| (FileId(first + index), file))
    }

    /// The text that a finding points into.
    pub fn get(&self, file: FileId) -> &Source {
        let included = self.readable().map(|(id, _, source)| (id, source));
        let house = self.house().map(|(id, file)| (id, &file.source));
        included
            .chain(house)
            .find(|(id, _)| *id == file)
            .map_or(&self.spec, |(_, source)| source)
    }

    /// The first file of a role, with its id.
    ///
    /// # Errors
    /// Why there is none.
    pub(crate) fn of_role(&self, role: Role) -> Result<(FileId, &Source), Unavailable> {
        let first = self.all_of_role(role).next();
        first.unwrap_or(Err(Unavailable::NotGiven))
    }

    /// The files of a role in the order that the spec names them, or why each
    /// is not at hand.
    pub(crate) fn all_of_role(
        &self,
        role: Role,
    ) -> impl Iterator<Item = Result<(FileId, &Source), Unavailable>> {
        let numbered = self.included.iter().enumerate();
        let of_role = numbered.filter(move |(_, (is, _))| *is == role);
        of_role.map(|(index, (_, file))| match file {
            Ok(source) => Ok((FileId(index + 1), source)),
            Err(why) => Err(why.clone()),
        })
    }

    /// The files named by the spec that could be read.
    pub(crate) fn readable(&self) -> impl Iterator<Item = (FileId, Role, &Source)> {
        let numbered = self.included.iter().enumerate();
        numbered.filter_map(|(index, (role, file))| {
            let source = file.as_ref().ok()?;
            Some((FileId(index + 1), *role, source))
        })
    }
}

impl From<Source> for Sources {
    /// A spec that names no file.
    fn from(spec: Source) -> Self {
        Self {
            spec,
            included: Vec::new(),
            house: Vec::new(),
            sandbox: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_found_by_its_id_and_by_its_role() {
        let confirmations = Source::new("c.yaml", "c");
        let alone = Sources::from(Source::new("spec.yaml", "s"));
        let role = Role::Confirmations;
        assert_eq!(alone.of_role(role).err(), Some(Unavailable::NotGiven));
        let both = alone.with(role, Ok(confirmations));
        let (id, found) = both.of_role(role).unwrap();
        assert_eq!(found.name, "c.yaml");
        assert_eq!(both.get(id).name, "c.yaml");
        assert_eq!(both.get(FileId::SPEC).name, "spec.yaml");
        assert_eq!(both.readable().count(), 1);
    }

    #[test]
    fn a_file_that_is_not_at_hand_keeps_its_reason() {
        let spec = Source::new("spec.yaml", "s");
        let without = Sources::from(spec).with(Role::Confirmations, Err(Unavailable::Outside));
        let found = without.of_role(Role::Confirmations);
        assert_eq!(found.err(), Some(Unavailable::Outside));
        assert_eq!(without.readable().count(), 0);
    }

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
