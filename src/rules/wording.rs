//! Shared wording, so that every finding prints numbers alike: inches and °F first, then
//! metric.

use crate::core::size::Size;
pub(crate) use crate::core::units::print::length;
use crate::core::units::{
    Decimal, Duration, Range, TemperatureDifference, TemperatureUnit, TimeUnit,
};
use crate::published::{Entry, Sourced};

/// `18 to 21 s`.
pub(crate) fn times(range: Range<Duration>) -> String {
    let second = |time: Duration| time.number(TimeUnit::Second);
    if range.least == range.most {
        return format!("{} s", second(range.least));
    }
    format!("{} to {} s", second(range.least), second(range.most))
}

/// `1 IPS, 1-1/4 IPS and 2 IPS`.
pub(crate) fn sizes(sizes: &[Size]) -> String {
    let names: Vec<_> = sizes.iter().map(Size::to_string).collect();
    list(&names)
}

/// Sizes with nothing but commas between them, for a paper in any language.
pub(crate) fn enumerate(sizes: &[Size]) -> String {
    let names: Vec<_> = sizes.iter().map(Size::to_string).collect();
    names.join(", ")
}

/// `one, two and three`.
pub(crate) fn list(names: &[String]) -> String {
    match names.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} and {last}", before.join(", ")),
        None => String::new(),
    }
}

/// Source of a number and its weakest basis.
pub(crate) fn source<T>(number: &Sourced<T>) -> String {
    format!("{} ({})", number.source, number.weakest_basis.word())
}

/// Source and basis of an entry, such as a statement.
pub(crate) fn entry_source(entry: &Entry) -> String {
    format!("{} ({})", entry.source, entry.basis.word())
}

/// A whole number of degrees.
pub(crate) fn whole(number: i64) -> Decimal {
    Decimal {
        millionths: number * 1_000_000,
        places: 0,
    }
}

/// A positive difference; it never prints as zero.
pub(crate) fn difference(difference: TemperatureDifference, unit: TemperatureUnit) -> String {
    let shown = difference.show(unit);
    if shown.starts_with("0.0 ") {
        return format!("less than 0.1 {}", unit.symbol());
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_as_people_say_them() {
        let all: Vec<_> = ["1 IPS", "1-1/4 IPS", "2 IPS"]
            .iter()
            .filter_map(|s| Size::parse(s).ok())
            .collect();
        assert_eq!(sizes(&all), "1 IPS, 1-1/4 IPS and 2 IPS");
        assert_eq!(sizes(&all[..2]), "1 IPS and 1-1/4 IPS");
        assert_eq!(sizes(&all[..1]), "1 IPS");
    }

    #[test]
    fn a_range_of_no_width_is_one_time() {
        let s = Duration::from_seconds;
        assert_eq!(times(Range::new(s(18), s(21))), "18 to 21 s");
        assert_eq!(times(Range::new(s(18), s(18))), "18 s");
        assert_eq!(times(Range::new(s(120), s(180))), "120 to 180 s");
    }
}
