//! Selects the table statements that the papers of a practice print.

use super::{Entry, Family, Library};
use crate::process::socket::practice::Practice;

/// The federal rules for gas pipelines, cited for gas only.
const GAS_RULES: &str = "49 CFR 192";

/// The kind of work, so that no statement names a resin, place, or agent that it does not
/// have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Work<'a> {
    /// The practice.
    pub practice: &'static Practice,
    /// The polymer; `None` if the resin is not in the tables.
    pub family: Option<Family>,
    /// The cleaning agent as written in the spec, if stated.
    pub agent: Option<&'a str>,
    /// Whether the pipe is buried.
    pub buried: bool,
    /// What the pipe carries, as written in the spec.
    pub service: &'a str,
}

impl Library {
    /// The statements of a table that apply to the work, in order.
    pub fn statements(&self, table: &str, work: &Work<'_>) -> Vec<&Entry> {
        let mut statements = self.texts(table, "text");
        statements.retain(|entry| self.applies_to(entry, work));
        statements
    }

    /// Whether an entry's row applies to the work. A row that names a practice, polymer,
    /// agent, service, or place applies to that one only, and one that excepts a service
    /// to every other; if the work does not say which it has, the row applies.
    pub(crate) fn applies_to(&self, entry: &Entry, work: &Work<'_>) -> bool {
        let only_for = |column| self.other_column(entry, column).and_then(Entry::text);
        let suits = |column, has: Option<&str>| {
            let pair = only_for(column).zip(has);
            pair.is_none_or(|(only, has)| only == has)
        };
        suits("practice", Some(work.practice.key))
            && suits("family", work.family.map(Family::name))
            && suits("agent", work.agent)
            && only_for("except") != Some(work.service)
            && (work.buried || only_for("place") != Some("ground"))
    }

    /// The entry in another column of the same row.
    pub(crate) fn other_column(&self, entry: &Entry, column: &str) -> Option<&Entry> {
        let (row, _) = entry.id.rsplit_once(':')?;
        self.entry(&format!("{row}:{column}"))
    }

    /// Sections of regulations and standards on joining, with their texts. In US practice
    /// these are the federal gas rules, which apply to gas only.
    pub(crate) fn extracts(&self, practice: &Practice, gas: bool) -> Vec<(&str, &Entry)> {
        let applies = |entry: &Entry, cite: &str| {
            if practice.federal_gas_rules {
                return gas && cite.len() > GAS_RULES.len() && cite.starts_with(GAS_RULES);
            }
            self.other_column(entry, "practice")
                .is_some_and(|word| word.text() == Some(practice.key))
        };
        self.texts("regulation", "cite")
            .into_iter()
            .filter_map(|entry| {
                let cite = entry.text()?;
                let text = self.other_column(entry, "text")?;
                applies(entry, cite).then_some((cite, text))
            })
            .collect()
    }

    /// Trade facts that a cold-weather section quotes.
    pub fn cold_statements(&self, practice: &Practice) -> impl Iterator<Item = &Entry> {
        let ids = practice.cold_statements.into_iter();
        ids.filter_map(|id| self.entry(id))
    }
}
