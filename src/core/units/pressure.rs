//! Pressures, as a test of a joint gives them.

use super::number::{Decimal, divide_rounded};

/// A pressure in whole pascals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pressure(i64);

/// A unit that pressures are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum PressureUnit {
    /// Pound-force a square inch.
    Psi,
    Bar,
    Kilopascal,
    Megapascal,
}

impl PressureUnit {
    /// The unit's symbol as printed.
    pub(crate) fn symbol(self) -> &'static str {
        match self {
            PressureUnit::Psi => "psi",
            PressureUnit::Bar => "bar",
            PressureUnit::Kilopascal => "kPa",
            PressureUnit::Megapascal => "MPa",
        }
    }

    /// Micropascals in one, the last digit rounded.
    fn micropascals(self) -> i128 {
        match self {
            PressureUnit::Psi => 6_894_757_293,
            PressureUnit::Bar => 100_000_000_000,
            PressureUnit::Kilopascal => 1_000_000_000,
            PressureUnit::Megapascal => 1_000_000_000_000,
        }
    }
}

impl Pressure {
    /// A pressure of whole pounds-force a square inch.
    pub(crate) const fn from_psi(psi: i64) -> Self {
        Self((psi * 6_894_757_293 + 500_000) / 1_000_000)
    }

    /// The number alone, in `unit`, to a millionth of it.
    pub(crate) fn decimal(self, unit: PressureUnit) -> Decimal {
        let picopascals = i128::from(self.0) * 1_000_000_000_000;
        let millionths = divide_rounded(picopascals, unit.micropascals());
        Decimal {
            millionths,
            places: 6,
        }
    }

    /// The pressure written as `number` of `unit`.
    pub(crate) fn written(number: Decimal, unit: PressureUnit) -> Self {
        let picopascals = i128::from(number.millionths) * unit.micropascals();
        Self(divide_rounded(picopascals, 1_000_000_000_000))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_of_pressure_meet_where_they_should() {
        let of = |number: &str, unit| Pressure::written(Decimal::parse(number).unwrap(), unit);
        assert_eq!(
            of("10", PressureUnit::Bar),
            of("1", PressureUnit::Megapascal)
        );
        assert_eq!(
            of("100", PressureUnit::Kilopascal),
            of("1", PressureUnit::Bar)
        );
        // 1 lbf is 4.4482216152605 N, 1 in² is 6.4516 cm².
        assert_eq!(of("630", PressureUnit::Psi), Pressure(4_343_697));
        assert!(of("629.9", PressureUnit::Psi) < of("630", PressureUnit::Psi));
    }
}
