//! Resins and the practice whose tables cover each.

use super::{Entry, Library};
use crate::process::socket::practice::{METRIC, Practice, US};

/// Polymer families; resins of one fuse with each other and never with another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Family {
    /// PE.
    Polyethylene,
    /// PP.
    Polypropylene,
}

impl Family {
    /// Its abbreviation.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Family::Polyethylene => "PE",
            Family::Polypropylene => "PP",
        }
    }
}

/// Resins with the same times.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ResinGroup {
    /// PE 2xxx, US times.
    MediumDensity,
    /// PE 3xxx and PE 4xxx, US times.
    HighDensity,
    /// PE 80 and PE 100, metric times.
    MetricPe,
    /// PP-R, metric times.
    PpR,
    /// PP-H, for which no metric row was found.
    PpH,
}

impl ResinGroup {
    /// Every group.
    pub(crate) const ALL: [ResinGroup; 5] = [
        ResinGroup::MediumDensity,
        ResinGroup::HighDensity,
        ResinGroup::MetricPe,
        ResinGroup::PpR,
        ResinGroup::PpH,
    ];

    /// The word in the tables.
    pub(crate) fn key(self) -> &'static str {
        match self {
            ResinGroup::MediumDensity => "medium-density",
            ResinGroup::HighDensity => "high-density",
            ResinGroup::MetricPe => "metric-pe",
            ResinGroup::PpR => "pp-r",
            ResinGroup::PpH => "pp-h",
        }
    }

    /// The polymer.
    pub(crate) fn family(self) -> Family {
        match self {
            ResinGroup::MediumDensity | ResinGroup::HighDensity | ResinGroup::MetricPe => {
                Family::Polyethylene
            }
            ResinGroup::PpR | ResinGroup::PpH => Family::Polypropylene,
        }
    }

    /// The practice whose tables cover the group.
    pub(crate) fn practice(self) -> &'static Practice {
        match self {
            ResinGroup::MediumDensity | ResinGroup::HighDensity => &US,
            ResinGroup::MetricPe | ResinGroup::PpR | ResinGroup::PpH => &METRIC,
        }
    }
}

/// A resin designation in the tables.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Resin {
    /// The designation, as in the print line.
    pub code: String,
    /// The group whose times it uses.
    pub group: ResinGroup,
    /// Why new pipe no longer gets this designation, if so.
    pub superseded: Option<String>,
}

impl Library {
    /// Looks up a resin of any practice by its designation.
    pub fn resin(&self, code: &str) -> Option<Resin> {
        let entry = self.entry(&format!("resins:{code}:group"))?;
        let word = entry.text()?;
        let group = ResinGroup::ALL.into_iter().find(|g| g.key() == word)?;
        Some(Resin {
            code: code.to_owned(),
            group,
            superseded: entry
                .note
                .clone()
                .filter(|note| note.contains("superseded")),
        })
    }

    /// The designations covered by a practice.
    pub fn resin_codes(&self, practice: &Practice) -> Vec<&str> {
        self.texts("resins", "group")
            .into_iter()
            .filter_map(|entry| entry.id.split(':').nth(1))
            .filter(|code| {
                self.resin(code)
                    .is_some_and(|resin| resin.group.practice() == practice)
            })
            .collect()
    }

    /// The table's spelling of a designation, whatever its capitals and hyphens: `PE4710`
    /// for `pe-4710`.
    pub(crate) fn resin_designation(&self, written: &str) -> Option<&str> {
        let letters = |text: &str| -> String {
            let letters = text.chars().filter(|c| c.is_alphanumeric());
            letters.flat_map(char::to_lowercase).collect()
        };
        let written = letters(written);
        let codes = self.texts("resins", "group").into_iter();
        let mut codes = codes.filter_map(|entry| entry.id.split(':').nth(1));
        codes.find(|code| letters(code) == written)
    }

    /// An entry of the practice's own table: `heater-face` of `temperatures` is in
    /// `us-temperatures` or its metric counterpart.
    pub(crate) fn practice_entry(&self, practice: &Practice, rest: &str) -> Option<&Entry> {
        self.entry(&format!("{}-{rest}", practice.key))
    }
}
