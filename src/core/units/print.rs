//! How quantities are printed: unit order, second unit, rounding, decimal mark.
//! US practice and English use a point, metric Spanish a comma. A quantity
//! prints itself where the language is not known, so `with_decimal_mark` sets
//! the mark around a whole sheet. Dates stay year-month-day and unit symbols
//! are the same in every language.

pub(crate) use super::number::{Bound, DecimalMark, marked, with_decimal_mark};
use super::{Length, LengthUnit, Range, Temperature, TemperatureDifference, TemperatureUnit};

/// The units that come first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum UnitsFirst {
    /// Inches and degrees Fahrenheit.
    Us,
    /// Millimeters and degrees Celsius.
    Metric,
}

impl UnitsFirst {
    /// The unit of length that comes first.
    pub(crate) fn length_unit(self) -> LengthUnit {
        match self {
            UnitsFirst::Us => LengthUnit::Inch,
            UnitsFirst::Metric => LengthUnit::Millimeter,
        }
    }

    /// The unit of temperature that comes first.
    pub(crate) fn temperature_unit(self) -> TemperatureUnit {
        match self {
            UnitsFirst::Us => TemperatureUnit::Fahrenheit,
            UnitsFirst::Metric => TemperatureUnit::Celsius,
        }
    }

    /// The unit of temperature that comes second.
    pub(crate) fn other_temperature_unit(self) -> TemperatureUnit {
        match self {
            UnitsFirst::Us => TemperatureUnit::Celsius,
            UnitsFirst::Metric => TemperatureUnit::Fahrenheit,
        }
    }

    /// `0.640 in (16.26 mm)`, or `16.0 mm (0.630 in)`.
    pub(crate) fn length(self, length: Length) -> String {
        self.both_lengths(length, Bound::Nominal)
    }

    /// The same of a least length that is allowed: both numbers are rounded up.
    pub(crate) fn minimum_length(self, length: Length) -> String {
        self.both_lengths(length, Bound::Minimum)
    }

    fn both_lengths(self, length: Length, bound: Bound) -> String {
        let printed = length.printed(self.length_unit(), bound);
        let first = match self {
            UnitsFirst::Us => printed.show(LengthUnit::Inch),
            UnitsFirst::Metric => millimeters(printed),
        };
        format!("{first} ({})", self.other_length(printed, bound))
    }

    /// The second number of a length whose first one is `printed`, with its unit.
    pub(crate) fn other_length(self, printed: Length, bound: Bound) -> String {
        let other = match self {
            UnitsFirst::Us => LengthUnit::Millimeter,
            UnitsFirst::Metric => LengthUnit::Inch,
        };
        printed.printed(other, bound).show(other)
    }

    /// `40 °F (4.4 °C)`, or `5 °C (41 °F)`.
    pub(crate) fn temperature(self, temperature: Temperature) -> String {
        self.both_temperatures(temperature, Bound::Nominal)
    }

    /// The same of the lowest temperature that is allowed: both numbers are
    /// rounded up.
    pub(crate) fn minimum_temperature(self, temperature: Temperature) -> String {
        self.both_temperatures(temperature, Bound::Minimum)
    }

    /// The same of the highest temperature that is allowed: both numbers are
    /// rounded down.
    pub(crate) fn maximum_temperature(self, temperature: Temperature) -> String {
        self.both_temperatures(temperature, Bound::Maximum)
    }

    /// `40 °F` and `4.4 °C`.
    pub(crate) fn temperature_pair(self, temperature: Temperature) -> [String; 2] {
        self.temperatures(temperature, Bound::Nominal)
    }

    fn both_temperatures(self, temperature: Temperature, bound: Bound) -> String {
        let [first, other] = self.temperatures(temperature, bound);
        format!("{first} ({other})")
    }

    /// A temperature in the first unit and in the other, both rounded to the side
    /// that `bound` says.
    pub(crate) fn temperatures(self, temperature: Temperature, bound: Bound) -> [String; 2] {
        let (unit, other) = (self.temperature_unit(), self.other_temperature_unit());
        let printed = temperature.printed(unit, bound);
        let beside = printed.printed(other, bound);
        [printed.show_exact(unit), beside.show_exact(other)]
    }

    /// `490 to 510 °F` and `254.5 to 265.5 °C`: neither allows more than the range
    /// does. `to` is the word between.
    pub(crate) fn temperature_range(self, range: Range<Temperature>, to: &str) -> [String; 2] {
        let (unit, other) = (self.temperature_unit(), self.other_temperature_unit());
        let printed = inside(range, unit);
        let beside = inside(printed, other);
        [
            temperature_range(printed, unit, to),
            temperature_range(beside, other, to),
        ]
    }

    /// `9 °F` and `5 °C`.
    pub(crate) fn difference(self, difference: TemperatureDifference) -> [String; 2] {
        let (unit, other) = (self.temperature_unit(), self.other_temperature_unit());
        let printed = difference.printed(unit);
        [printed.show(unit), printed.show(other)]
    }
}

/// The part of a range that tenths of a degree can say; all of it, rounded, where
/// it is narrower than they are.
fn inside(range: Range<Temperature>, unit: TemperatureUnit) -> Range<Temperature> {
    let least = range.least.printed(unit, Bound::Minimum);
    let most = range.most.printed(unit, Bound::Maximum);
    if least <= most {
        return Range::new(least, most);
    }
    let nearest = |end: Temperature| end.printed(unit, Bound::Nominal);
    Range::new(nearest(range.least), nearest(range.most))
}

/// Millimeters as metric tables write them: tenths, hundredths where they count.
pub(crate) fn millimeters(length: Length) -> String {
    let number = length.number(LengthUnit::Millimeter, 2);
    let number = number.strip_suffix('0').unwrap_or(&number);
    format!("{number} {}", LengthUnit::Millimeter.symbol())
}

/// `0.640 in (16.26 mm)`.
pub(crate) fn length(length: Length) -> String {
    UnitsFirst::Us.length(length)
}

/// `40 °F (4.4 °C)`.
pub(crate) fn temperature(temperature: Temperature) -> String {
    UnitsFirst::Us.temperature(temperature)
}

/// A range with its unit once, `490 to 510 °F`; `to` is the word between.
pub(crate) fn temperature_range(
    range: Range<Temperature>,
    unit: TemperatureUnit,
    to: &str,
) -> String {
    let most = range.most.show_exact(unit);
    if range.least == range.most {
        return most;
    }
    let least = range.least.show_exact(unit);
    let number = least.trim_end_matches(unit.symbol()).trim_end();
    format!("{number} {to} {most}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::units::parse_quantity;

    /// 40 °F is 4.44 °C, and 0.64 in is 16.256 mm.
    #[test]
    fn both_units_stand_side_by_side() {
        let read = |text| parse_quantity(text).unwrap();
        let cold = read("40 °F").temperature().unwrap();
        assert_eq!(temperature(cold), "40 °F (4.4 °C)");
        assert_eq!(
            temperature(read("5 °C").temperature().unwrap()),
            "41 °F (5 °C)"
        );
        let depth = read("0.64 in").length().unwrap();
        assert_eq!(length(depth), "0.640 in (16.26 mm)");
    }

    /// 1.315 in by DR 11 is 0.11955 in, printed 0.120 in, which is 3.048 mm. 490 °F
    /// is 254.44 °C and 510 °F is 265.56 °C; 3 mm is 0.1181 in.
    #[test]
    fn the_number_beside_is_that_of_the_printed_one_and_keeps_the_limit() {
        let read = |text| parse_quantity(text).unwrap();
        let of = |text| read(text).length().unwrap();
        let us = UnitsFirst::Us;
        assert_eq!(us.length(of("0.11955 in")), "0.120 in (3.05 mm)");
        assert_eq!(us.length(of("0.095 in")), "0.095 in (2.41 mm)");
        assert_eq!(us.minimum_length(of("0.095 in")), "0.095 in (2.42 mm)");
        assert_eq!(us.minimum_length(of("3 mm")), "0.119 in (3.03 mm)");
        let metric = UnitsFirst::Metric;
        assert_eq!(metric.length(of("0.11955 in")), "3.04 mm (0.120 in)");
        assert_eq!(metric.minimum_length(of("3 mm")), "3.0 mm (0.119 in)");
        let window = read("490 °F to 510 °F").temperature_range().unwrap();
        assert_eq!(
            us.temperature_range(window, "to"),
            ["490 to 510 °F", "254.5 to 265.5 °C"]
        );
        let low = read("40 °F").temperature().unwrap();
        assert_eq!(us.minimum_temperature(low), "40 °F (4.5 °C)");
        assert_eq!(us.maximum_temperature(low), "40 °F (4.4 °C)");
        // 254.4 °C is 489.92 °F.
        let celsius = read("254.4 °C").temperature().unwrap();
        assert_eq!(us.minimum_temperature(celsius), "490 °F (254.5 °C)");
    }

    #[test]
    fn a_range_narrower_than_a_tenth_does_not_turn_round() {
        let read = |text| parse_quantity(text).unwrap().temperature_range().unwrap();
        let narrow = UnitsFirst::Us.temperature_range(read("40.2 °F to 40.25 °F"), "to");
        assert_eq!(narrow, ["40.2 °F", "4.6 °C"]);
    }
}
