//! Temperatures, and differences of temperature, which are not temperatures:
//! a swing of 4 °F is 2.2 °C, not -15.6 °C.

use std::ops::{Add, Neg, Sub};

use super::number::{Bound, Decimal, print_scaled};

/// A temperature in whole 9000ths of a degree Celsius, so that a thousandth of
/// a degree is a whole number in both scales.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Temperature(i64);

/// A difference between two temperatures, in the same small unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct TemperatureDifference(i64);

/// A scale that temperatures are written and printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TemperatureUnit {
    /// Degree Fahrenheit.
    Fahrenheit,
    /// Degree Celsius.
    Celsius,
}

impl TemperatureUnit {
    /// Small units in one degree.
    fn per_degree(self) -> i64 {
        match self {
            TemperatureUnit::Fahrenheit => 5000,
            TemperatureUnit::Celsius => 9000,
        }
    }

    /// Where this scale's zero lies, in small units above 0 °C.
    fn zero(self) -> i64 {
        match self {
            TemperatureUnit::Fahrenheit => -32 * 5000,
            TemperatureUnit::Celsius => 0,
        }
    }

    /// The unit's symbol as printed.
    pub(crate) fn symbol(self) -> &'static str {
        match self {
            TemperatureUnit::Fahrenheit => "°F",
            TemperatureUnit::Celsius => "°C",
        }
    }
}

impl Temperature {
    /// The temperature written as `number` degrees of `unit`.
    pub(crate) fn written(number: Decimal, unit: TemperatureUnit) -> Self {
        Self(number.scaled(unit.per_degree()) + unit.zero())
    }

    /// A temperature of whole degrees Fahrenheit.
    pub(crate) const fn from_fahrenheit(degrees: i64) -> Self {
        Self((degrees - 32) * 5000)
    }

    /// Degrees Celsius, for physics.
    pub(crate) fn celsius(self) -> f64 {
        self.0 as f64 / 9000.0
    }

    /// A temperature from degrees Celsius as a float, for physics whose result
    /// is rounded to the small unit.
    pub fn from_celsius(degrees: f64) -> Self {
        Self((degrees * 9000.0).round() as i64)
    }

    /// The number alone, in `unit`, to a millionth of it.
    pub(crate) fn decimal(self, unit: TemperatureUnit) -> Decimal {
        Decimal::from_scaled(self.0 - unit.zero(), unit.per_degree())
    }

    /// The number alone, in `unit`, with `places` decimals.
    pub(crate) fn number(self, unit: TemperatureUnit, places: u8) -> String {
        print_scaled(self.0 - unit.zero(), unit.per_degree(), places)
    }

    /// Number and unit, in whole degrees.
    #[cfg(test)]
    pub(crate) fn show(self, unit: TemperatureUnit) -> String {
        format!("{} {}", self.number(unit, 0), unit.symbol())
    }

    /// Number and unit, with a decimal only when whole degrees would hide
    /// something.
    pub(crate) fn show_exact(self, unit: TemperatureUnit) -> String {
        let whole = (self.0 - unit.zero()) % unit.per_degree() == 0;
        format!("{} {}", self.number(unit, u8::from(!whole)), unit.symbol())
    }

    /// This temperature rounded to the tenth that [`show_exact`](Self::show_exact)
    /// prints.
    pub(crate) fn printed(self, unit: TemperatureUnit, bound: Bound) -> Self {
        let above_zero = self.0 - unit.zero();
        Self(bound.round(above_zero, unit.per_degree() / 10) + unit.zero())
    }

    /// How far this temperature lies above the scale's zero; what a controller
    /// that counts in steps from zero has to reach.
    pub(crate) fn above_zero(self, unit: TemperatureUnit) -> TemperatureDifference {
        TemperatureDifference(self.0 - unit.zero())
    }

    /// `part` in a thousand of the reading on the scale of `unit`: how makers
    /// state the accuracy of an indicating stick.
    pub(crate) fn share(
        self,
        part: super::Percent,
        unit: TemperatureUnit,
    ) -> TemperatureDifference {
        TemperatureDifference(part.of(self.0 - unit.zero()))
    }
}

impl TemperatureDifference {
    pub(crate) const ZERO: TemperatureDifference = TemperatureDifference(0);

    /// The difference written as `number` degrees of `unit`.
    pub(crate) fn written(number: Decimal, unit: TemperatureUnit) -> Self {
        Self(number.scaled(unit.per_degree()))
    }

    /// A difference of whole tenths of a degree Fahrenheit.
    pub(crate) const fn from_fahrenheit_tenths(tenths: i64) -> Self {
        Self(tenths * 500)
    }

    /// The number alone, in `unit`, to a millionth of it.
    pub(crate) fn decimal(self, unit: TemperatureUnit) -> Decimal {
        Decimal::from_scaled(self.0, unit.per_degree())
    }

    /// Number and unit, with a decimal only when whole degrees would hide
    /// something.
    pub(crate) fn show(self, unit: TemperatureUnit) -> String {
        let places = u8::from(self.0 % unit.per_degree() != 0);
        format!(
            "{} {}",
            print_scaled(self.0, unit.per_degree(), places),
            unit.symbol()
        )
    }

    /// This difference rounded to the tenth that [`show`](Self::show) prints.
    pub(crate) fn printed(self, unit: TemperatureUnit) -> Self {
        Self(Bound::Nominal.round(self.0, unit.per_degree() / 10))
    }

    /// What is left over after whole steps of `step`; `None` for a step of zero.
    pub(crate) fn remainder(self, step: TemperatureDifference) -> Option<TemperatureDifference> {
        (step.0 != 0).then(|| TemperatureDifference(self.0.rem_euclid(step.0.abs())))
    }

    /// The size of the difference, without its sign.
    pub(crate) fn magnitude(self) -> Self {
        Self(self.0.abs())
    }
}

impl Add<TemperatureDifference> for Temperature {
    type Output = Temperature;
    fn add(self, other: TemperatureDifference) -> Temperature {
        Temperature(self.0 + other.0)
    }
}

impl Sub<TemperatureDifference> for Temperature {
    type Output = Temperature;
    fn sub(self, other: TemperatureDifference) -> Temperature {
        Temperature(self.0 - other.0)
    }
}

impl Sub for Temperature {
    type Output = TemperatureDifference;
    fn sub(self, other: Temperature) -> TemperatureDifference {
        TemperatureDifference(self.0 - other.0)
    }
}

impl Add for TemperatureDifference {
    type Output = TemperatureDifference;
    fn add(self, other: TemperatureDifference) -> TemperatureDifference {
        TemperatureDifference(self.0 + other.0)
    }
}

impl Neg for TemperatureDifference {
    type Output = TemperatureDifference;
    fn neg(self) -> TemperatureDifference {
        TemperatureDifference(-self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn f(n: &str) -> Temperature {
        Temperature::written(Decimal::parse(n).unwrap(), TemperatureUnit::Fahrenheit)
    }
    fn c(n: &str) -> Temperature {
        Temperature::written(Decimal::parse(n).unwrap(), TemperatureUnit::Celsius)
    }

    #[test]
    fn the_scales_meet_where_they_should() {
        assert_eq!(f("-40"), c("-40"));
        assert_eq!(f("32"), c("0"));
        assert_eq!(f("212"), c("100"));
        assert_eq!(f("500"), c("260"));
        assert_eq!(f("490").show_exact(TemperatureUnit::Celsius), "254.4 °C");
    }

    #[test]
    fn a_swing_is_not_a_temperature() {
        let swing = TemperatureDifference::written(
            Decimal::parse("9").unwrap(),
            TemperatureUnit::Fahrenheit,
        );
        assert_eq!(swing.show(TemperatureUnit::Celsius), "5 °C");
        assert_eq!(f("500") - swing, f("491"));
    }
}
