//! Quantities as findings and papers print them: US units first, the others
//! beside.

use super::{Length, LengthUnit, Range, Temperature, TemperatureUnit};

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
