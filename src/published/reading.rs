//! Applies what somebody read in an edition of a standard to the published numbers, so
//! that every later stage sees the confirmed value.

use super::{Basis, Library, Value, table};
use crate::core::units::{Duration, Length, QuantityError};

/// A confirmed number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Reading {
    /// ID of the number.
    pub(crate) id: String,
    /// The value read.
    pub(crate) value: Value,
    /// The value as written.
    pub(crate) written: String,
    /// The edition, the place in it, and who read it when.
    pub(crate) source: String,
}

impl Library {
    /// Parses `written` as a value of the entry `id`, by the kind of its column; `None`
    /// if there is no such entry.
    pub(crate) fn parse_value(
        &self,
        id: &str,
        written: &str,
    ) -> Option<Result<Value, QuantityError>> {
        let (table, _) = self.index.get(id)?;
        let kind = self.tables.get(*table)?.kinds.get(id.rsplit(':').next()?)?;
        Some(table::value(kind, written))
    }

    /// Whether an entry can have this value: times, lengths, and percentages are
    /// positive, and only some columns allow "not advisable".
    pub(crate) fn is_possible_value(&self, id: &str, value: &Value) -> bool {
        match value {
            Value::Length(length) => *length > Length::ZERO,
            Value::LengthRange(range) => range.least > Length::ZERO,
            Value::Duration(time) => *time > Duration::ZERO,
            Value::DurationRange(range) => range.least > Duration::ZERO,
            Value::Percent(share) => share.of(100) > 0,
            Value::NotAdvisable => self.can_be_not_advisable(id),
            Value::NotFound => false,
            Value::Temperature(_)
            | Value::TemperatureRange(_)
            | Value::TemperatureDifference(_)
            | Value::Text(_) => true,
        }
    }

    /// Whether any entry in the same column says "not advisable".
    fn can_be_not_advisable(&self, id: &str) -> bool {
        let column = |id: &str| id.rsplit(':').next().map(str::to_owned);
        let table = self
            .index
            .get(id)
            .and_then(|(table, _)| self.tables.get(*table));
        table.is_some_and(|table| {
            let mut entries = table.entries.iter();
            entries.any(|f| f.value == Value::NotAdvisable && column(&f.id) == column(id))
        })
    }

    /// The library with each confirmed number as it was read.
    ///
    /// Whoever reads the edition they work under settles which of the conflicting sources
    /// applies, so the number is no longer in conflict.
    pub(crate) fn confirmed(&self, readings: &[Reading]) -> Library {
        let mut confirmed = self.clone();
        for reading in readings {
            let place = self.index.get(&reading.id);
            let Some(entry) = place.and_then(|(table, entry)| {
                confirmed.tables.get_mut(*table)?.entries.get_mut(*entry)
            }) else {
                continue;
            };
            entry.value = reading.value.clone();
            entry.written = reading.written.clone();
            entry.basis = Basis::Confirmed;
            entry.source = reading.source.clone();
            entry.conflict = None;
        }
        confirmed
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::units::{Duration, Range};
    use crate::published::library;

    const RECALLED: &str = "us-cycles:high-density:3/4-IPS:heat";

    #[test]
    fn a_reading_takes_the_place_of_the_figure_and_of_no_other() {
        let Some(Ok(value)) = library().parse_value(RECALLED, "9 to 15 s") else {
            panic!("a range of times");
        };
        let read = library().confirmed(&[Reading {
            id: RECALLED.to_owned(),
            value,
            written: "9 to 15 s".to_owned(),
            source: "Example Edition 1, Table 3, read by XY, 2026-11-20".to_owned(),
        }]);
        let entry = read.entry(RECALLED).unwrap();
        let heat = entry.duration_range().unwrap();
        let s = Duration::from_seconds;
        assert_eq!(heat.value, Range::new(s(9), s(15)));
        assert_eq!(heat.weakest_basis, Basis::Confirmed);
        assert!(!heat.needs_verifying());
        assert_eq!(heat.conflict, None);
        assert!(heat.source.starts_with("Example Edition 1"));
        for entry in library().tables().iter().flat_map(|table| &table.entries) {
            if entry.id != RECALLED {
                assert_eq!(read.entry(&entry.id), Some(entry));
            }
        }
    }

    #[test]
    fn no_figure_is_nothing_and_only_heating_is_advised_against() {
        for (id, written) in [
            (RECALLED, "0 s"),
            (RECALLED, "0 to 5 s"),
            (RECALLED, "not advisable"),
            ("metric-pe-cycles:all:63-metric:hold", "not advisable"),
            ("metric-pe-cycles:thick:63-metric:heat", "0 s"),
            ("sockets-pe:63-metric:mouth", "-62.0 to 62.4 mm"),
            ("sockets-pe:63-metric:mouth", "0 to 62.4 mm"),
            ("pipe-metric:63-metric:od", "0 mm"),
            ("us-coil:ovality:percent", "0 %"),
        ] {
            match library().parse_value(id, written) {
                Some(Ok(value)) => {
                    assert!(!library().is_possible_value(id, &value), "{id}: {written}")
                }
                Some(Err(_)) => {}
                None => panic!("{id} is no figure"),
            }
        }
        let id = "metric-pe-cycles:thick:63-metric:heat";
        assert!(library().is_possible_value(id, &Value::NotAdvisable));
        for entry in library().tables().iter().flat_map(|table| &table.entries) {
            let is_value = entry.value != Value::NotFound;
            assert_eq!(
                library().is_possible_value(&entry.id, &entry.value),
                is_value,
                "{}",
                entry.id
            );
        }
    }

    #[test]
    fn a_hold_read_for_all_of_pp_r_is_its_hold() {
        const HOLD: &str = "metric-ppr-cycles:hold:hold";
        let value = Value::Duration(Duration::from_seconds(6));
        let read = library().confirmed(&[Reading {
            id: HOLD.to_owned(),
            value,
            written: "6 s".to_owned(),
            source: "Example Edition 1".to_owned(),
        }]);
        let hold = |limits: &Library, size| {
            let size = crate::core::size::Size::parse(size).unwrap();
            limits
                .cycle(crate::published::ResinGroup::PpR, size, None)
                .hold
        };
        assert_eq!(hold(library(), "32 mm"), None);
        let six = hold(&read, "32 mm").unwrap();
        assert_eq!(
            (six.value, six.id.as_deref()),
            (Duration::from_seconds(6), Some(HOLD))
        );
        assert_eq!(
            hold(&read, "110 mm"),
            None,
            "a size without times has no hold"
        );
    }

    #[test]
    fn every_figure_reads_as_its_own_kind() {
        for entry in library().tables().iter().flat_map(|table| &table.entries) {
            let read = library().parse_value(&entry.id, &entry.written);
            assert_eq!(read, Some(Ok(entry.value.clone())), "{}", entry.id);
        }
        assert!(matches!(
            library().parse_value(RECALLED, "9 in"),
            Some(Err(_))
        ));
        assert_eq!(library().parse_value("us-cycles:none:heat", "9 s"), None);
    }
}
