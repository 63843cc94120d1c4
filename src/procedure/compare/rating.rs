//! Rates a change by the table `essential-variables`.

use crate::published::{Entry, Library, Value};

/// The table.
const TABLE: &str = "essential-variables";

/// Class of a change, in the order of the papers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Class {
    /// Proven by test joints, so a change needs new ones.
    Essential,
    /// Changes how the work is done or checked, not what was proven.
    Supplementary,
    /// Changes wording or papers only.
    Editorial,
}

impl Class {
    /// The word of the table.
    pub fn word(self) -> &'static str {
        match self {
            Class::Essential => "essential",
            Class::Supplementary => "supplementary",
            Class::Editorial => "editorial",
        }
    }
}

/// What a change requires of fusers, mildest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fusers {
    /// Nothing.
    Nothing,
    /// They are told before they work by it.
    Tell,
    /// They qualify again before they work by it.
    Requalify,
}

impl Fusers {
    /// The word of the table.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Fusers::Nothing => "nothing",
            Fusers::Tell => "tell",
            Fusers::Requalify => "requalify",
        }
    }
}

/// The rating of a change.
#[derive(Debug, Clone)]
pub struct Rating {
    /// The trade's name for the variable.
    pub name: Entry,
    /// The class as published, with basis and source.
    pub class_entry: Entry,
    /// The class; essential if none was found.
    pub class: Class,
    /// What it requires of fusers; requalification if nothing was found.
    pub fusers: Fusers,
    /// The reason, if the table gives one.
    pub why: Option<Entry>,
}

impl Rating {
    /// Whether no class was found, so the organization decides.
    pub(crate) fn undecided(&self) -> bool {
        self.class_entry.value == Value::NotFound
    }
}

/// The rating of a change, by the row for this way of changing or else the row for the
/// variable. A test looks up every variable.
pub(crate) fn rating(limits: &Library, variable: &str, way: &str) -> Option<Rating> {
    let of_way = format!("{TABLE}:{variable}-{way}");
    let of_variable = format!("{TABLE}:{variable}");
    let row = [&of_way, &of_variable]
        .into_iter()
        .find(|row| limits.entry(&format!("{row}:class")).is_some())?;
    let cell = |column: &str| limits.entry(&format!("{row}:{column}")).cloned();
    let class_entry = cell("class")?;
    let class = [Class::Supplementary, Class::Editorial]
        .into_iter()
        .find(|class| class_entry.text() == Some(class.word()));
    let fusers = cell("fusers")?;
    let requirements = [Fusers::Nothing, Fusers::Tell]
        .into_iter()
        .find(|requirements| fusers.text() == Some(requirements.word()));
    Some(Rating {
        name: limits.entry(&format!("{of_variable}:name"))?.clone(),
        class_entry,
        class: class.unwrap_or(Class::Essential),
        fusers: requirements.unwrap_or(Fusers::Requalify),
        why: cell("why"),
    })
}

/// Position of a variable in the table.
pub(crate) fn place(limits: &Library, variable: &str) -> usize {
    let id = format!("{TABLE}:{variable}:name");
    let tables = limits.tables().iter().filter(|table| table.name == TABLE);
    let mut entries = tables.flat_map(|table| &table.entries);
    entries.position(|entry| entry.id == id).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::procedure::compare::ChangeKind;
    use crate::published::library;

    #[test]
    fn every_row_is_one_of_the_known_words_and_is_a_variable_or_a_way_of_one() {
        let mut tables = library().tables().iter();
        let table = tables.find(|table| table.name == TABLE).unwrap();
        let column = |name: &str| -> Vec<&Entry> {
            let of = |f: &&Entry| f.id.rsplit(':').next() == Some(name);
            table.entries.iter().filter(of).collect()
        };
        let classes = [Class::Essential, Class::Supplementary, Class::Editorial];
        assert!(column("class").len() > 80);
        for entry in column("class") {
            let known = classes.iter().any(|c| entry.text() == Some(c.word()));
            assert!(known || entry.value == Value::NotFound, "{}", entry.id);
            let why = library().other_column(entry, "why");
            let editorial = entry.text() == Some(Class::Editorial.word());
            assert_eq!(why.is_none(), editorial, "{}: a reason", entry.id);
        }
        let requirements = [Fusers::Nothing, Fusers::Tell, Fusers::Requalify];
        for entry in column("fusers") {
            let known = requirements.iter().any(|f| entry.text() == Some(f.word()));
            assert!(known || entry.value == Value::NotFound, "{}", entry.id);
        }
        let ways = [
            ChangeKind::Added,
            ChangeKind::Removed,
            ChangeKind::Higher,
            ChangeKind::Lower,
            ChangeKind::Wider,
            ChangeKind::Narrower,
        ]
        .map(ChangeKind::key);
        let ways = [&ways[..], &["family", "added-in-range"]].concat();
        for entry in column("class") {
            let key = entry.id.split(':').nth(1).unwrap();
            let named = |key: &str| library().entry(&format!("{TABLE}:{key}:name")).is_some();
            let of_way = ways.iter().any(|way| {
                let variable = key.strip_suffix(way).and_then(|k| k.strip_suffix('-'));
                variable.is_some_and(named)
            });
            assert!(named(key) != of_way, "{key}");
        }
    }
}
