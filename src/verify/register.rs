//! The register of current revisions, as CSV or YAML. Only a register can say
//! that a paper is superseded: a signature does not age.

use chrono::NaiveDate;
use serde::Deserialize;

use super::Verdict;
use crate::core::budget::{ALIASES, DEPTH, REGISTER};
use crate::proof::ClaimedProcedure;
use crate::spec::nearest;

/// The current revisions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Register {
    entries: Vec<Entry>,
}

/// A procedure in the register.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Entry {
    number: String,
    revision: u32,
    withdrawn: Option<NaiveDate>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Document {
    procedures: Vec<Written>,
}

/// An entry as written.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    number: String,
    revision: String,
    #[serde(default)]
    withdrawn: Option<String>,
}

impl Register {
    /// Reads a register from CSV.
    ///
    /// # Errors
    /// Every row that cannot be read, and why.
    pub(crate) fn from_csv(text: &str) -> Result<Self, Vec<String>> {
        let text = text.trim_start_matches('\u{feff}');
        let header = text.lines().next().unwrap_or_default();
        let separator = match header.contains(';') && !header.contains(',') {
            true => b';',
            false => b',',
        };
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(separator)
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut rows = Vec::new();
        let mut wrong = Vec::new();
        for row in reader.deserialize::<Written>() {
            let line = |position: Option<&csv::Position>| position.map_or(0, csv::Position::line);
            match row {
                Ok(row) => rows.push((format!("row {}", rows.len() + 2), row)),
                Err(error) => wrong.push(format!("line {}: {error}", line(error.position()))),
            }
        }
        Self::from_rows(rows, wrong)
    }

    /// Reads a register from YAML.
    ///
    /// # Errors
    /// Every entry that cannot be read, and why.
    pub fn from_yaml(text: &str) -> Result<Self, Vec<String>> {
        let options = serde_yaml::options! {
            budget: serde_yaml::budget! {
                max_depth: DEPTH,
                max_nodes: REGISTER.nodes,
                max_events: 4 * REGISTER.nodes,
                max_aliases: ALIASES,
            },
        };
        let read: Result<Document, _> = serde_yaml::from_str_with_options(text, options);
        let document = read.map_err(|error| vec![error.without_snippet().to_string()])?;
        let rows = document.procedures.into_iter().enumerate();
        let rows = rows.map(|(i, row)| (format!("entry {}", i + 1), row));
        Self::from_rows(rows.collect(), Vec::new())
    }

    fn from_rows(
        rows: Vec<(String, Written)>,
        mut wrong: Vec<String>,
    ) -> Result<Self, Vec<String>> {
        let mut entries: Vec<Entry> = Vec::new();
        for (place, row) in rows {
            match row.read() {
                Ok(entry) if entries.iter().any(|e| e.number == entry.number) => {
                    wrong.push(format!(
                        "{place}: {} is listed twice; one revision is current",
                        entry.number
                    ));
                }
                Ok(entry) => entries.push(entry),
                Err(why) => wrong.push(format!("{place}: {why}")),
            }
        }
        if wrong.is_empty() {
            Ok(Self { entries })
        } else {
            Err(wrong)
        }
    }

    /// The verdict on a procedure that a paper was made from.
    pub(super) fn about(&self, claimed: &ClaimedProcedure, as_of: NaiveDate) -> (Verdict, String) {
        let (number, revision) = (&claimed.number, claimed.revision);
        let Some(entry) = self.entries.iter().find(|entry| entry.number == *number) else {
            let known: Vec<_> = self.entries.iter().map(|e| e.number.as_str()).collect();
            let near = nearest(number, &known);
            let near = near.map_or_else(String::new, |near| format!("; it has {near}"));
            return (
                Verdict::Missing,
                format!("{number} is not in the register{near}"),
            );
        };
        let current = entry.revision;
        match entry.withdrawn {
            Some(day) if day <= as_of => (
                Verdict::False,
                format!("{number} was WITHDRAWN on {day}, by the register"),
            ),
            _ if revision < current => (
                Verdict::False,
                format!(
                    "SUPERSEDED: by the register {number} is at revision {current}, and this is revision {revision}"
                ),
            ),
            _ if revision > current => (
                Verdict::Missing,
                format!(
                    "this is revision {revision} of {number}, and the register knows {current} at the latest"
                ),
            ),
            _ => (
                Verdict::Proven,
                format!("revision {revision} of {number} is the current one, by the register"),
            ),
        }
    }
}

impl Written {
    fn read(self) -> Result<Entry, String> {
        if self.number.is_empty() {
            return Err("the number of the procedure is missing".to_owned());
        }
        let revision = self.revision.parse();
        let revision = revision
            .map_err(|_| format!("the revision is a whole number, not {:?}", self.revision))?;
        let withdrawn = self.withdrawn.filter(|day| !day.is_empty());
        let withdrawn = withdrawn.map(|day| {
            day.parse()
                .map_err(|_| format!("withdrawn is a day, as in 2026-05-01, not {day:?}"))
        });
        Ok(Entry {
            number: self.number,
            revision,
            withdrawn: withdrawn.transpose()?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spec::Status;

    const CSV: &str = "number,revision,withdrawn\nAF-JP-12,3,\n007,1,2026-05-01\n";
    const YAML: &str = "procedures:\n- {number: AF-JP-12, revision: 3}\n- {number: 007, revision: 1, withdrawn: 2026-05-01}\n";

    fn message(number: &str, revision: u32, day: &str) -> (Verdict, String) {
        let claimed = ClaimedProcedure {
            number: number.to_owned(),
            revision,
            status: Status::Qualified,
            digest: String::new(),
            valid_until: None,
        };
        let register = Register::from_csv(CSV).unwrap();
        register.about(&claimed, day.parse().unwrap())
    }

    #[test]
    fn both_forms_say_the_same() {
        assert_eq!(Register::from_csv(CSV), Register::from_yaml(YAML));
        let semicolons = CSV.replace(',', ";");
        assert_eq!(Register::from_csv(&semicolons), Register::from_yaml(YAML));
        let short = "number,revision\nAF-JP-12,3\n";
        assert!(Register::from_csv(short).is_ok());
    }

    #[test]
    fn a_revision_is_superseded_only_by_a_later_one() {
        for (revision, verdict) in [
            (2, Verdict::False),
            (3, Verdict::Proven),
            (4, Verdict::Missing),
        ] {
            assert_eq!(message("AF-JP-12", revision, "2026-11-25").0, verdict);
        }
        let (verdict, text) = message("AF-JP-21", 3, "2026-11-25");
        assert_eq!(verdict, Verdict::Missing);
        assert!(text.contains("AF-JP-12"), "{text}");
    }

    #[test]
    fn a_withdrawal_counts_from_its_day() {
        assert_eq!(message("007", 1, "2026-04-30").0, Verdict::Proven);
        assert_eq!(message("007", 1, "2026-05-01").0, Verdict::False);
    }

    #[test]
    fn all_that_is_wrong_is_said_at_once() {
        let wrong = "number,revision,withdrawn\nA,x,\nB,1,May\nC,1,\nC,2,\n,1,\n";
        let wrong = Register::from_csv(wrong).unwrap_err();
        assert_eq!(wrong.len(), 4, "{wrong:?}");
        assert!(wrong[0].starts_with("row 2: the revision"), "{wrong:?}");
        assert!(Register::from_csv("name,revision\nA,1\n").is_err());
        assert!(Register::from_yaml("procedures: 3").is_err());
        assert!(Register::from_yaml("procedures: []\nother: 1").is_err());
    }
}
