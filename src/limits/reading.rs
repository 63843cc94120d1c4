//! What somebody read in an edition of a standard, laid over the published
//! figures: every stage after this one meets it as the figure.

use super::{Basis, Library, Value, table};
use crate::units::QuantityError;

/// A figure as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// The figure's id.
    pub id: String,
    /// What was read.
    pub value: Value,
    /// What was read, as it was written down.
    pub written: String,
    /// The edition, the place in it, and who read it when.
    pub source: String,
}

impl Library {
    /// The value that `written` gives for the figure `id`, which has to be of
    /// the kind that its column holds; `None` where there is no such figure.
    pub fn read_as(&self, id: &str, written: &str) -> Option<Result<Value, QuantityError>> {
        let (table, _) = self.figures.get(id)?;
        let kind = self.tables.get(*table)?.kinds.get(id.rsplit(':').next()?)?;
        Some(table::value(kind, written))
    }

    /// The library in which each figure that was read is as it was read.
    ///
    /// Whoever read a figure in the edition they work under has settled which of
    /// the sources that disagree holds for them, so it is in no conflict.
    pub fn confirmed(&self, readings: &[Reading]) -> Library {
        let mut confirmed = self.clone();
        for reading in readings {
            let place = self.figures.get(&reading.id);
            let Some(figure) = place.and_then(|(table, figure)| {
                confirmed.tables.get_mut(*table)?.figures.get_mut(*figure)
            }) else {
                continue;
            };
            figure.value = reading.value.clone();
            figure.written = reading.written.clone();
            figure.basis = Basis::Confirmed;
            figure.source = reading.source.clone();
            figure.conflict = None;
        }
        confirmed
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::library;
    use crate::units::{Duration, Range};

    const RECALLED: &str = "us-cycles:high-density:3/4-IPS:heat";

    #[test]
    fn a_reading_takes_the_place_of_the_figure_and_of_no_other() {
        let Some(Ok(value)) = library().read_as(RECALLED, "9 to 15 s") else {
            panic!("a range of times");
        };
        let read = library().confirmed(&[Reading {
            id: RECALLED.to_owned(),
            value,
            written: "9 to 15 s".to_owned(),
            source: "Example Edition 1, Table 3, read by XY, 2026-11-20".to_owned(),
        }]);
        let figure = read.figure(RECALLED).unwrap();
        let heat = figure.duration_range().unwrap();
        let s = Duration::from_seconds;
        assert_eq!(heat.value, Range::new(s(9), s(15)));
        assert_eq!(heat.standing, Basis::Confirmed);
        assert!(!heat.needs_verifying());
        assert_eq!(heat.conflict, None);
        assert!(heat.source.starts_with("Example Edition 1"));
        for figure in library().tables().iter().flat_map(|table| &table.figures) {
            if figure.id != RECALLED {
                assert_eq!(read.figure(&figure.id), Some(figure));
            }
        }
    }

    #[test]
    fn every_figure_reads_as_its_own_kind() {
        for figure in library().tables().iter().flat_map(|table| &table.figures) {
            let read = library().read_as(&figure.id, &figure.written);
            assert_eq!(read, Some(Ok(figure.value.clone())), "{}", figure.id);
        }
        assert!(matches!(library().read_as(RECALLED, "9 in"), Some(Err(_))));
        assert_eq!(library().read_as("us-cycles:none:heat", "9 s"), None);
    }
}
