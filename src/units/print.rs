//! Quantities as findings and papers print them: the units of the practice
//! first, the others beside.

pub use super::number::{DecimalMark, marked, with_decimal_mark};
use super::{Length, LengthUnit, Range, Temperature, TemperatureUnit};

/// The units that come first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum UnitsFirst {
    /// Inches and degrees Fahrenheit.
    Us,
    /// Millimetres and degrees Celsius.
    Metric,
}

impl UnitsFirst {
    /// The unit of length that comes first.
    pub fn length_unit(self) -> LengthUnit {
        match self {
            UnitsFirst::Us => LengthUnit::Inch,
            UnitsFirst::Metric => LengthUnit::Millimetre,
        }
    }

    /// The unit of temperature that comes first.
    pub fn temperature_unit(self) -> TemperatureUnit {
        match self {
            UnitsFirst::Us => TemperatureUnit::Fahrenheit,
            UnitsFirst::Metric => TemperatureUnit::Celsius,
        }
    }

    /// The unit of temperature that comes second.
    pub fn other_temperature_unit(self) -> TemperatureUnit {
        match self {
            UnitsFirst::Us => TemperatureUnit::Celsius,
            UnitsFirst::Metric => TemperatureUnit::Fahrenheit,
        }
    }

    /// `0.640 in (16.26 mm)`, or `16.0 mm (0.630 in)`.
    pub fn length(self, length: Length) -> String {
        let inches = length.show(LengthUnit::Inch);
        match self {
            UnitsFirst::Us => format!("{inches} ({})", length.show(LengthUnit::Millimetre)),
            UnitsFirst::Metric => format!("{} ({inches})", millimetres(length)),
        }
    }

    /// `40 °F (4.4 °C)`, or `5 °C (41 °F)`.
    pub fn temperature(self, temperature: Temperature) -> String {
        format!(
            "{} ({})",
            temperature.show_exact(self.temperature_unit()),
            temperature.show_exact(self.other_temperature_unit())
        )
    }
}

/// Millimetres as metric tables write them: tenths, hundredths where they count.
pub fn millimetres(length: Length) -> String {
    let number = length.number(LengthUnit::Millimetre, 2);
    let number = number.strip_suffix('0').unwrap_or(&number);
    format!("{number} {}", LengthUnit::Millimetre.symbol())
}

/// `0.640 in (16.26 mm)`.
pub fn length(length: Length) -> String {
    format!(
        "{} ({})",
        length.show(LengthUnit::Inch),
        length.show(LengthUnit::Millimetre)
    )
}

/// `40 °F (4.4 °C)`.
pub fn temperature(temperature: Temperature) -> String {
    format!(
        "{} ({})",
        temperature.show_exact(TemperatureUnit::Fahrenheit),
        temperature.show_exact(TemperatureUnit::Celsius)
    )
}

/// A range with its unit once, `490 to 510 °F`; `to` is the word between.
pub fn temperature_range(range: Range<Temperature>, unit: TemperatureUnit, to: &str) -> String {
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
    use crate::units::parse_quantity;

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
}
