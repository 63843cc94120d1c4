//! Ratios: dimension ratio and percent.

use super::number::{Decimal, divide_rounded, print_scaled};

/// A dimension ratio, OD over least wall, in thousandths: DR 11 is 11 000.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DimensionRatio(i64);

impl DimensionRatio {
    /// The ratio written as `number`.
    pub fn written(number: Decimal) -> Self {
        Self(number.scaled(1000))
    }

    /// The ratio of this many tenths: DR 13.5 is 135 of them.
    pub const fn from_tenths(tenths: i64) -> Self {
        Self(tenths * 100)
    }

    /// The least wall of a pipe of diameter `od`: OD / DR.
    pub fn wall(self, od: super::Length) -> super::Length {
        od.scaled(1000, self.0)
    }

    /// A ratio of OD to wall; `None` for a wall of zero.
    pub fn of(od: super::Length, wall: super::Length) -> Option<Self> {
        od.thousandths_of(wall).map(Self)
    }

    /// The number alone, as a paper shows it: `11`, `13.5`, `6.94`.
    pub fn number(self) -> String {
        self.printed(2)
    }

    /// The number with all its places, as a spec writes it.
    pub fn exact(self) -> String {
        self.printed(3)
    }

    fn printed(self, most: u8) -> String {
        let places = match self.0 {
            whole if whole % 1000 == 0 => 0,
            tenths if tenths % 100 == 0 => 1,
            hundredths if hundredths % 10 == 0 => 2,
            _ => 3,
        };
        print_scaled(self.0, 1000, places.min(most))
    }

    /// Whether it is a ratio a pipe can have: above 2, where the bore closes.
    pub fn is_possible(self) -> bool {
        self.0 > 2000
    }
}

/// A share of a hundred, in thousandths of a percent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Percent(i64);

impl Percent {
    /// Nothing of the whole.
    pub const ZERO: Percent = Percent(0);
    /// All of it.
    pub const WHOLE: Percent = Percent(100_000);

    /// The share written as `number` percent.
    pub fn written(number: Decimal) -> Self {
        Self(number.scaled(1000))
    }

    /// The number of percent.
    pub fn decimal(self) -> Decimal {
        Decimal::of(self.0, 1000)
    }

    /// Number and sign, with as many decimals as it takes: `91 %`.
    pub fn show(self) -> String {
        format!("{} %", self.decimal())
    }

    /// This share of a whole number of small units.
    pub(crate) fn of(self, whole: i64) -> i64 {
        divide_rounded(i128::from(whole) * i128::from(self.0), 100_000)
    }

    /// This share of a length.
    pub fn of_length(self, whole: super::Length) -> super::Length {
        whole.scaled(self.0, 100_000)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ratio(number: &str) -> DimensionRatio {
        DimensionRatio::written(Decimal::parse(number).unwrap())
    }

    #[test]
    fn a_ratio_is_printed_with_the_places_that_it_takes() {
        for (written, number, exact) in [
            ("11", "11", "11"),
            ("11.0", "11", "11"),
            ("13.5", "13.5", "13.5"),
            ("6.94", "6.94", "6.94"),
            ("10.976", "10.98", "10.976"),
            ("20.001", "20.00", "20.001"),
        ] {
            let ratio = ratio(written);
            assert_eq!(
                (ratio.number().as_str(), ratio.exact().as_str()),
                (number, exact)
            );
        }
    }

    #[test]
    fn tenths_are_those_of_the_number() {
        assert_eq!(DimensionRatio::from_tenths(135), ratio("13.5"));
    }

    /// With a wall of half its diameter a pipe has no bore.
    #[test]
    fn a_pipe_has_a_ratio_above_two() {
        assert!(!ratio("2").is_possible() && !ratio("1.5").is_possible());
        assert!(ratio("2.001").is_possible() && ratio("11").is_possible());
    }
}
