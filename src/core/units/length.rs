//! Lengths.

use serde::{Deserialize, Serialize};

use std::ops::{Add, Sub};

use super::number::{Bound, Decimal, divide_rounded, print_scaled};

/// A length in whole nanometers: an inch is exactly 25 400 000 of them.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
pub struct Length(i64);

/// A unit that lengths are written and printed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum LengthUnit {
    /// International inch, 25.4 mm exactly.
    Inch,
    Millimeter,
}

impl LengthUnit {
    fn nanometers(self) -> i64 {
        match self {
            LengthUnit::Inch => 25_400_000,
            LengthUnit::Millimeter => 1_000_000,
        }
    }

    /// How many decimals the trade prints.
    fn places(self) -> u8 {
        match self {
            LengthUnit::Inch => 3,
            LengthUnit::Millimeter => 2,
        }
    }

    /// The unit's symbol as printed.
    pub(crate) fn symbol(self) -> &'static str {
        match self {
            LengthUnit::Inch => "in",
            LengthUnit::Millimeter => "mm",
        }
    }
}

impl Length {
    pub(crate) const ZERO: Length = Length(0);

    /// The length written as `number` of `unit`.
    pub(crate) fn written(number: Decimal, unit: LengthUnit) -> Self {
        Self(number.scaled(unit.nanometers()))
    }

    /// A length from whole micrometers.
    pub const fn from_micrometers(micrometers: i64) -> Self {
        Self(micrometers * 1000)
    }

    /// A length from whole thousandths of an inch.
    pub(crate) const fn from_mils(mils: i64) -> Self {
        Self(mils * 25_400)
    }

    /// A length from millimeters as a float, for geometry whose result is
    /// rounded to the nanometer.
    pub fn from_mm(mm: f64) -> Self {
        Self((mm * 1e6).round() as i64)
    }

    /// Millimeters, for geometry and drawing.
    pub fn mm(self) -> f64 {
        self.0 as f64 / 1e6
    }

    /// This length times `numerator / denominator`, rounded to the nanometer.
    pub fn scaled(self, numerator: i64, denominator: i64) -> Self {
        Self(divide_rounded(
            i128::from(self.0) * i128::from(numerator),
            i128::from(denominator),
        ))
    }

    /// The circumference of a circle of this diameter.
    pub(crate) fn circumference(self) -> Self {
        Self::from_mm(self.mm() * std::f64::consts::PI)
    }

    /// The distance between two lengths.
    pub(crate) fn distance(self, other: Self) -> Self {
        Self((self.0 - other.0).abs())
    }

    /// How many times `other` fits into this length, in thousandths.
    pub(crate) fn thousandths_of(self, other: Self) -> Option<i64> {
        (other.0 != 0).then(|| divide_rounded(i128::from(self.0) * 1000, i128::from(other.0)))
    }

    /// The number alone, in `unit`, to a millionth of it.
    pub(crate) fn decimal(self, unit: LengthUnit) -> Decimal {
        Decimal::from_scaled(self.0, unit.nanometers())
    }

    /// The number alone, in `unit`, with `places` decimals.
    pub(crate) fn number(self, unit: LengthUnit, places: u8) -> String {
        print_scaled(self.0, unit.nanometers(), places)
    }

    /// Number and unit, with as many decimals as the trade prints: three for
    /// inches, two for millimeters.
    pub(crate) fn show(self, unit: LengthUnit) -> String {
        format!("{} {}", self.number(unit, unit.places()), unit.symbol())
    }

    /// This length rounded to the decimals that [`show`](Self::show) prints.
    pub(crate) fn printed(self, unit: LengthUnit, bound: Bound) -> Self {
        let last_place = unit.nanometers() / 10_i64.pow(u32::from(unit.places()));
        Self(bound.round(self.0, last_place))
    }
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length(self.0 - other.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn inches_and_millimeters_are_exact_twins() {
        let inch = Length::written(Decimal::parse("0.840").unwrap(), LengthUnit::Inch);
        let mm = Length::written(Decimal::parse("21.336").unwrap(), LengthUnit::Millimeter);
        assert_eq!(inch, mm);
        assert_eq!(inch.show(LengthUnit::Millimeter), "21.34 mm");
        assert_eq!(inch.show(LengthUnit::Inch), "0.840 in");
    }
}
