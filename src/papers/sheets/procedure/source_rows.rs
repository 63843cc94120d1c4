//! The table of the sources: a row for each quantity, basis and source, with the
//! values of all sizes in it.

use serde::Serialize;

use super::source_places::{Part, placed};
use super::writer::{Clause, Writer, format};
use crate::core::size::SizeSystem;
use crate::core::units::Length;
use crate::core::units::print::Bound;
use crate::published::{Basis, Entry, Sourced};
use crate::spec::Stated;
use crate::spec::language::Language;

/// Characters of a statement that are quoted to identify it.
const FIRST_WORDS: usize = 18;

/// What a value belongs to: a size, one wall of it, or with neither the whole
/// procedure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Of {
    size: String,
    wall: Option<String>,
}

impl From<&str> for Of {
    fn from(size: &str) -> Self {
        Self {
            size: size.to_owned(),
            wall: None,
        }
    }
}

impl From<&String> for Of {
    fn from(size: &String) -> Self {
        Self::from(size.as_str())
    }
}

impl Of {
    /// One wall of a size.
    pub(crate) fn wall(size: &str, wall: String) -> Self {
        Self {
            wall: Some(wall),
            ..Self::from(size)
        }
    }
}

/// A part of the table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct SourceGroup {
    pub(crate) title: String,
    pub(crate) rows: Vec<SourceRow>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct SourceRow {
    pub(crate) name: String,
    pub(crate) values: Values,
    /// Where the papers print it.
    pub(crate) places: String,
    /// The basis in plain words; for a computed number its formula.
    pub(crate) basis: String,
    pub(crate) source: String,
    /// Language of the source, if it is not the paper's.
    pub(crate) lang: Option<Language>,
    pub(crate) status: String,
    pub(crate) verify: bool,
    /// Whether the values are the first words of sentences.
    pub(crate) sentences: bool,
}

/// The values of a row.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Values {
    /// The walls that each item has a number for, in this order.
    pub(crate) walls: Option<String>,
    /// Each is held on one line.
    pub(crate) items: Vec<String>,
}

/// Numbers with the same name, basis and source.
struct Group {
    part: Part,
    names: Vec<String>,
    places: Vec<String>,
    values: Vec<(Of, String)>,
    basis: Basis,
    weakest_basis: Basis,
    source: String,
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

    /// Adds a number to the row of its name, basis, and source.
    pub(crate) fn add<T>(
        &mut self,
        name: Clause,
        of: impl Into<Of>,
        number: &Sourced<T>,
        show: impl Fn(&T) -> String,
    ) {
        self.push(
            &name,
            of.into(),
            self.spelled(&show(&number.value)),
            (number.basis, number.weakest_basis),
            &number.source,
        );
        self.conflict(number.conflict.as_deref());
    }

    pub(crate) fn optional<T>(
        &mut self,
        name: Clause,
        of: impl Into<Of>,
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
            None => self.w.say(Clause::SourceSpec),
        };
        let number = Sourced::stated(stated.value.value, Basis::Organization, source);
        self.add(name, "", &number, show);
    }

    /// Adds a length in the first unit, with the author's digits.
    pub(crate) fn length(
        &mut self,
        name: Clause,
        of: impl Into<Of>,
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
            let opening = first_words(self.w.words.statement(entry).unwrap_or(&entry.id));
            self.statement(name, opening, entry.basis, &entry.source);
            self.conflict(entry.conflict.as_deref());
        }
    }

    /// Adds a statement by what identifies it.
    pub(crate) fn statement(&mut self, name: &Clause, what: String, basis: Basis, source: &str) {
        self.push(name, Of::from(""), what, (basis, basis), source);
    }

    fn push(
        &mut self,
        name: &Clause,
        of: Of,
        value: String,
        (basis, weakest_basis): (Basis, Basis),
        source: &str,
    ) {
        let (part, places) = placed(name);
        let (name, places) = (self.w.say(name.clone()), self.w.say(places));
        let lang = self.authors_language(basis, source);
        let source = self.w.words.source(source);
        let alike = self.groups.iter_mut().find(|group| {
            let same_name = part == Part::Sentences || group.names.contains(&name);
            group.part == part
                && same_name
                && (group.basis, group.weakest_basis) == (basis, weakest_basis)
                && group.source == source
        });
        let Some(group) = alike else {
            self.groups.push(Group {
                part,
                names: vec![name],
                places: vec![places],
                values: vec![(of, value)],
                basis,
                weakest_basis,
                source,
                lang,
            });
            return;
        };
        // Sentences of one source share a row, whatever they are about.
        for (known, new) in [(&mut group.names, name), (&mut group.places, places)] {
            if !known.contains(&new) {
                known.push(new);
            }
        }
        group.values.push((of, value));
    }

    /// A value with its units as papers spell them.
    fn spelled(&self, value: &str) -> String {
        let unit = |word: &str| match word {
            "in" => Some(self.w.say(Clause::HeadInch)),
            "s" => Some(self.w.say(Clause::HeadSecond)),
            _ => None,
        };
        let words = value
            .split(' ')
            .map(|word| unit(word).unwrap_or_else(|| word.to_owned()));
        words.collect::<Vec<_>>().join(" ")
    }

    /// Language of a source written by the author, if it is not the paper's.
    fn authors_language(&self, basis: Basis, source: &str) -> Option<Language> {
        let stated = matches!(
            basis,
            Basis::Organization | Basis::Measured | Basis::Confirmed
        );
        let ours = self.w.say(Clause::SourceSpec) == source;
        let untouched = self.w.words.source(source) == source;
        self.w.text_lang.filter(|_| stated && untouched && !ours)
    }

    pub(crate) fn conflict(&mut self, slug: Option<&str>) {
        let Some(slug) = slug else { return };
        if !self.conflicts.iter().any(|known| known == slug) {
            self.conflicts.push(slug.to_owned());
        }
    }

    /// The parts of the table that have rows; within a part, rows of one name stand
    /// together.
    pub(crate) fn groups(&self) -> Vec<SourceGroup> {
        let of_part = |(part, title): (Part, Clause)| {
            let mut groups: Vec<_> = self.groups.iter().filter(|g| g.part == part).collect();
            let mut order: Vec<&str> = Vec::new();
            for name in groups.iter().filter_map(|group| group.names.first()) {
                if !order.contains(&name.as_str()) {
                    order.push(name);
                }
            }
            groups.sort_by_key(|group| {
                let name = group.names.first().map(String::as_str);
                order.iter().position(|known| Some(*known) == name)
            });
            let rows: Vec<_> = groups.into_iter().map(|group| self.row(group)).collect();
            (!rows.is_empty()).then(|| SourceGroup {
                title: self.w.say(title),
                rows,
            })
        };
        Part::ALL.into_iter().filter_map(of_part).collect()
    }

    fn row(&self, group: &Group) -> SourceRow {
        let (basis, source) = if group.basis == Basis::Derived {
            (group.source.clone(), self.rests_on(group))
        } else {
            (
                self.w.say(basis_in_words(group.basis)),
                group.source.clone(),
            )
        };
        SourceRow {
            name: names(&group.names),
            values: self.values(&group.values),
            places: names(&group.places),
            basis,
            source,
            lang: group.lang,
            status: self.word(group.basis),
            verify: group.weakest_basis >= Basis::Recalled,
            sentences: group.part == Part::Sentences,
        }
    }

    fn word(&self, basis: Basis) -> String {
        match basis {
            Basis::Recalled => self.w.say(Clause::StatusRecalled),
            basis => format::basis(basis, self.w.words),
        }
    }

    /// Where the numbers of a formula stand, and the worst basis among them.
    fn rests_on(&self, group: &Group) -> String {
        self.w.say(if group.weakest_basis == group.basis {
            Clause::SourceNumbersOfFormula
        } else {
            Clause::SourceNumbersRestingOn {
                worst: self.word(group.weakest_basis),
            }
        })
    }

    /// The values by size; what they have in common at the end is said once:
    /// `3/4: 0.64 · 1: 0.71 in.` Values of several walls stand beside each other, in
    /// the order of the walls that the line begins with.
    fn values(&self, values: &[(Of, String)]) -> Values {
        let shown: Vec<_> = values.iter().map(|(_, value)| value.as_str()).collect();
        let unit = self.common_unit(&shown);
        let system = self.only_system();
        let mut walls: Vec<&str> = Vec::new();
        for wall in values.iter().filter_map(|(of, _)| of.wall.as_deref()) {
            if !walls.contains(&wall) {
                walls.push(wall);
            }
        }
        let mut sizes: Vec<(&str, Vec<(&str, &str)>)> = Vec::new();
        for (of, value) in values {
            let number = unit.map_or(value.as_str(), |unit| {
                value.strip_suffix(unit).unwrap_or(value).trim_end()
            });
            let wall = of.wall.as_deref().unwrap_or_default();
            let size = of.size.as_str();
            match sizes
                .last_mut()
                .filter(|(last, _)| *last == size && !size.is_empty())
            {
                Some((_, numbers)) => numbers.push((wall, number)),
                None => sizes.push((size, vec![(wall, number)])),
            }
        }
        // A size without some of the walls names the ones it has.
        let complete = sizes.iter().all(|(_, numbers)| {
            let of_size = numbers.iter().map(|(wall, _)| *wall);
            walls.is_empty() || of_size.eq(walls.iter().copied())
        });
        let item = |(size, numbers): &(&str, Vec<(&str, &str)>)| {
            let numbers: Vec<_> = numbers
                .iter()
                .map(|(wall, number)| match complete {
                    true => (*number).to_owned(),
                    false => format!("{wall} {number}"),
                })
                .collect();
            let numbers = numbers.join(" / ");
            if size.is_empty() {
                return numbers;
            }
            let size = system.map_or(*size, |system| {
                size.strip_suffix(format::system(system)).unwrap_or(size)
            });
            format!("{}: {numbers}", size.trim_end())
        };
        let mut items: Vec<_> = sizes.iter().map(item).collect();
        if let (Some(unit), Some(last)) = (unit, items.last_mut()) {
            last.push(' ');
            last.push_str(unit);
        }
        Values {
            walls: (complete && !walls.is_empty()).then(|| walls.join(" / ")),
            items,
        }
    }

    /// The unit that all these values end with, where there are several and nothing
    /// else in them is a word.
    fn common_unit<'v>(&self, values: &[&'v str]) -> Option<&'v str> {
        let (_, unit) = values
            .first()
            .filter(|_| values.len() > 1)?
            .rsplit_once(' ')?;
        let to = self.w.say(Clause::To);
        let bare = |value: &&str| {
            let number = value.strip_suffix(unit).unwrap_or("");
            let letters = |word: &str| word.chars().any(char::is_alphabetic);
            number.ends_with(' ') && !number.split(' ').any(|word| word != to && letters(word))
        };
        values.iter().all(bare).then_some(unit)
    }

    /// The size system of the procedure, if there is only one.
    fn only_system(&self) -> Option<SizeSystem> {
        let mut systems = self.w.p.joints.iter().map(|joint| joint.size.system());
        let first = systems.next()?;
        systems.all(|system| system == first).then_some(first)
    }
}

/// How a number is known, in plain words.
fn basis_in_words(basis: Basis) -> Clause {
    match basis {
        Basis::Standard => Clause::SourceHowStandard,
        Basis::Confirmed => Clause::SourceHowConfirmed,
        Basis::Measured => Clause::SourceHowMeasured,
        Basis::Organization => Clause::SourceHowOrganization,
        Basis::Derived => Clause::SourceHowDerived,
        Basis::Secondary => Clause::SourceHowSecondary,
        Basis::Practice => Clause::SourceHowPractice,
        Basis::Recalled | Basis::NotFound => Clause::SourceHowRecalled,
    }
}

/// `Safety, inspection`: in a row, only the first begins with a capital.
fn names(names: &[String]) -> String {
    let mut shown = String::new();
    for name in names {
        if shown.is_empty() {
            shown.push_str(name);
            continue;
        }
        shown.push_str(", ");
        let mut letters = name.chars();
        shown.extend(letters.next().into_iter().flat_map(char::to_lowercase));
        shown.push_str(letters.as_str());
    }
    shown
}

/// Enough of a statement to identify it.
fn first_words(text: &str) -> String {
    let mut shown = String::new();
    for word in text.split(' ') {
        if shown.chars().count() >= FIRST_WORDS {
            let shown = shown.trim_end_matches([',', '.', ':', ';']);
            return format!("{shown} \u{2026}");
        }
        if !shown.is_empty() {
            shown.push(' ');
        }
        shown.push_str(word);
    }
    shown
}
