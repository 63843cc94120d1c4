//! The rows of the sources sheet. Numbers with the same basis and source share a
//! row.

use super::writer::{Cell, Clause, Writer, format};
use crate::core::units::Length;
use crate::core::units::print::Bound;
use crate::published::{Basis, Entry, Sourced};
use crate::spec::Stated;
use crate::spec::language::Language;

/// Characters of a statement that are quoted to identify it.
const FIRST_WORDS: usize = 18;

/// Longest item that is sure to fit the value column, in characters.
const LONGEST_UNBROKEN: usize = 34;

/// Numbers with the same basis and source: one row of the sheet.
struct Group {
    name: String,
    values: Vec<String>,
    basis: Basis,
    weakest_basis: Basis,
    source: String,
    /// Language of the source, if it is not the paper's.
    lang: Option<Language>,
}

/// The rows, and the conflicts that their numbers are part of.
pub(crate) struct SourceRows<'w> {
    pub(crate) w: &'w Writer<'w>,
    groups: Vec<Group>,
    pub(crate) conflicts: Vec<String>,
}

impl<'w> SourceRows<'w> {
    pub(crate) fn new(w: &'w Writer<'w>) -> Self {
        Self {
            w,
            groups: Vec::new(),
            conflicts: Vec::new(),
        }
    }

    /// Groups the rows by quantity, in order of first appearance.
    pub(crate) fn sort(&mut self) {
        let mut order: Vec<String> = Vec::new();
        for group in &self.groups {
            if !order.contains(&group.name) {
                order.push(group.name.clone());
            }
        }
        self.groups
            .sort_by_key(|group| order.iter().position(|name| *name == group.name));
    }

    /// Adds a number to the row of its name, basis, and source.
    pub(crate) fn add<T>(
        &mut self,
        name: Clause,
        of: &str,
        number: &Sourced<T>,
        show: impl Fn(&T) -> String,
    ) {
        let shown = show(&number.value);
        let value = match of {
            "" => shown,
            // `20 mm 12.5 mm` would be hard to read.
            of if self.w.practice().size_is_diameter && !of.ends_with(':') => {
                format!("{of}: {shown}")
            }
            of => format!("{of} {shown}"),
        };
        self.push(
            name,
            value,
            number.basis,
            number.weakest_basis,
            &number.source,
        );
        self.conflict(number.conflict.as_deref());
    }

    pub(crate) fn optional<T>(
        &mut self,
        name: Clause,
        of: &str,
        number: Option<&Sourced<T>>,
        show: impl Fn(&T) -> String,
    ) {
        if let Some(number) = number {
            self.add(name, of, number, show);
        }
    }

    /// Adds a number that the author states outside the resolved procedure.
    pub(crate) fn stated<T: Copy>(
        &mut self,
        name: Clause,
        stated: &Stated<T>,
        show: impl Fn(&T) -> String,
    ) {
        let source = match &stated.source {
            Some(source) => source.value.clone(),
            None => self.w.say(Clause::SourceUnsourced),
        };
        let number = Sourced::stated(stated.value.value, Basis::Organization, source);
        self.add(name, "", &number, show);
    }

    /// Adds a length in the first unit, with the author's digits.
    pub(crate) fn length(
        &mut self,
        name: Clause,
        of: &str,
        number: Option<&Sourced<Length>>,
        bound: Bound,
    ) {
        let units = self.w.units();
        if let Some(number) = number {
            self.add(name, of, number, |_| {
                format::with_unit(units, number, bound)
            });
        }
    }

    /// Adds a value that the spec states without a source.
    pub(crate) fn add_spec_value<T>(
        &mut self,
        name: Clause,
        value: T,
        show: impl Fn(&T) -> String,
    ) {
        let source = self.w.say(Clause::SourceSpec);
        let number = Sourced::stated(value, Basis::Organization, source);
        self.add(name, "", &number, show);
    }

    /// Adds statements of the tables, by their first words.
    pub(crate) fn statements<'f>(
        &mut self,
        name: &Clause,
        entries: impl IntoIterator<Item = &'f Entry>,
    ) {
        for entry in entries {
            self.push(
                name.clone(),
                first_words(self.w.words.statement(entry).unwrap_or(&entry.id)),
                entry.basis,
                entry.basis,
                &entry.source,
            );
            self.conflict(entry.conflict.as_deref());
        }
    }

    pub(crate) fn push(
        &mut self,
        name: Clause,
        value: String,
        basis: Basis,
        weakest_basis: Basis,
        source: &str,
    ) {
        let name = self.w.say(name);
        let lang = self.authors_language(basis, source);
        let source = self.w.words.source(source);
        let value = unbroken(value);
        let alike = self.groups.iter_mut().find(|group| {
            group.name == name
                && (group.basis, group.weakest_basis) == (basis, weakest_basis)
                && group.source == source
        });
        match alike {
            Some(group) => group.values.push(value),
            None => self.groups.push(Group {
                name,
                values: vec![value],
                basis,
                weakest_basis,
                source,
                lang,
            }),
        }
    }

    /// Language of a source written by the author, if it is not the paper's.
    fn authors_language(&self, basis: Basis, source: &str) -> Option<Language> {
        let stated = matches!(
            basis,
            Basis::Organization | Basis::Measured | Basis::Confirmed
        );
        let ours = [Clause::SourceSpec, Clause::SourceUnsourced]
            .into_iter()
            .any(|clause| self.w.say(clause) == source);
        let untouched = self.w.words.source(source) == source;
        self.w.text_lang.filter(|_| stated && untouched && !ours)
    }

    pub(crate) fn conflict(&mut self, slug: Option<&str>) {
        let Some(slug) = slug else { return };
        if !self.conflicts.iter().any(|known| known == slug) {
            self.conflicts.push(slug.to_owned());
        }
    }

    pub(crate) fn rows(&self) -> Vec<Vec<Cell>> {
        self.groups
            .iter()
            .map(|group| {
                vec![
                    Cell::plain(&group.name),
                    Cell::plain(group.values.join("; ")),
                    Cell::plain(self.basis_text(group))
                        .verify(group.weakest_basis >= Basis::Recalled),
                    Cell::plain(&group.source).lang(group.lang),
                ]
            })
            .collect()
    }

    /// The basis in words; a derived number also says what it rests on.
    fn basis_text(&self, group: &Group) -> String {
        if group.basis == group.weakest_basis {
            return format::basis(group.basis, self.w.words);
        }
        self.w.say(Clause::BasisDerivedFrom {
            worst: format::basis(group.weakest_basis, self.w.words),
        })
    }
}

/// Keeps an item on one line, so that no size is read with another's number; one
/// too long for its column may break.
fn unbroken(item: String) -> String {
    if item.chars().count() > LONGEST_UNBROKEN {
        return item;
    }
    item.replace(' ', "\u{a0}")
}

/// Enough of a statement to identify it.
fn first_words(text: &str) -> String {
    let mut shown = String::new();
    for word in text.split(' ') {
        if shown.chars().count() >= FIRST_WORDS {
            let shown = shown.trim_end_matches([',', '.', ':', ';']);
            return format!("{shown}\u{a0}\u{2026}");
        }
        if !shown.is_empty() {
            shown.push(' ');
        }
        shown.push_str(word);
    }
    shown
}
