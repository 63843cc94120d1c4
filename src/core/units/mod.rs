//! Quantities as types. Lengths are whole nanometers, temperatures whole
//! 9000ths of a degree Celsius, times whole milliseconds, so inches and
//! millimeters, Fahrenheit and Celsius all convert exactly: 0.840 in and 21.336
//! mm are the same value. A value is rounded once, when it is printed. A
//! temperature difference is a type of its own.

mod duration;
mod length;
mod number;
mod numeral;
mod parse;
mod pressure;
pub(crate) mod print;
mod ratio;
mod separators;
mod spelling;
mod temperature;

pub use duration::Duration;
pub(crate) use duration::TimeUnit;
pub use length::Length;
pub(crate) use length::LengthUnit;
pub(crate) use number::{Decimal, NumberError};
pub(crate) use parse::Quantity;
pub use parse::QuantityError;
pub use parse::parse_quantity;
pub(crate) use pressure::{Pressure, PressureUnit};
pub use ratio::DimensionRatio;
pub(crate) use ratio::{Percent, RatioError};
pub(crate) use separators::{Readings, readings};
pub(crate) use spelling::{Measure, RANGE_WORDS, pattern as unit_pattern};
pub use temperature::Temperature;
pub(crate) use temperature::{TemperatureDifference, TemperatureUnit};

/// A closed range, `least` to `most`; a single value is a range of no width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Range<T> {
    /// Lower end.
    pub least: T,
    /// Upper end, never below `least` in a parsed quantity.
    pub most: T,
}

impl<T: Copy + Ord> Range<T> {
    /// From `least` to `most`.
    pub fn new(least: T, most: T) -> Self {
        Self { least, most }
    }

    /// Whether `value` lies in the range, its ends included.
    pub fn contains(&self, value: T) -> bool {
        self.least <= value && value <= self.most
    }
}
