//! Converts between the project's exact units and the solver's SI floats. Only this
//! folder uses the latter.

use crate::core::units::{Decimal, DimensionRatio, Duration, Length, Percent, Temperature};

/// Metres.
pub(super) fn meters(length: Length) -> f64 {
    length.mm() / 1000.0
}

pub(super) fn length(meters: f64) -> Length {
    Length::from_mm(meters * 1000.0)
}

/// Degrees Celsius.
pub(super) fn celsius(temperature: Temperature) -> f64 {
    temperature.celsius()
}

pub(super) fn temperature(celsius: f64) -> Temperature {
    Temperature::from_celsius(celsius)
}

pub(super) fn seconds(duration: Duration) -> f64 {
    duration.seconds()
}

pub(super) fn duration(seconds: f64) -> Duration {
    Duration::from_float_seconds(seconds)
}

/// A share of one as a percentage.
pub(super) fn percent(share: f64) -> Percent {
    Percent::written(decimal(share * 100.0, 1))
}

fn decimal(value: f64, places: u8) -> Decimal {
    Decimal {
        millionths: (value * 1e6).round() as i64,
        places,
    }
}

/// A dimension ratio.
pub(super) fn ratio(value: f64) -> DimensionRatio {
    DimensionRatio::written(decimal(value, 1))
}
