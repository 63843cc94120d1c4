//! Ratios: dimension ratio and percent.

use super::number::{Decimal, divide_rounded, print_scaled};

/// A dimension ratio, OD over least wall, in thousandths: DR 11 is 11 000.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DimensionRatio(i64);

/// Why a text is not a dimension ratio.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum RatioError {
    /// A pipe series, `S 5`, which is half of the ratio less one.
    Series(Decimal),
    /// A number with other letters than DR or SDR.
    OtherLetters,
    /// No number above zero.
    NotARatio,
}

impl DimensionRatio {
    /// Reads `11`, `DR 11`, `sdr 13.5`, `SDR-11`.
    ///
    /// # Errors
    /// [`RatioError::Series`] for `S 5`, which is another number for the same
    /// pipe; [`RatioError::OtherLetters`] and [`RatioError::NotARatio`] for the rest.
    pub(crate) fn parse(text: &str) -> Result<Self, RatioError> {
        let text = text.trim();
        let end = text.find(|c: char| !c.is_alphabetic());
        let (letters, rest) = text.split_at(end.unwrap_or(text.len()));
        let rest = rest.trim_start();
        let number = match letters {
            "" => rest,
            _ => rest.strip_prefix('-').unwrap_or(rest).trim_start(),
        };
        let number = Decimal::parse(number).map_err(|_| RatioError::NotARatio)?;
        if number.millionths <= 0 {
            return Err(RatioError::NotARatio);
        }
        match letters.to_ascii_uppercase().as_str() {
            "" | "DR" | "SDR" => Ok(Self::written(number)),
            "S" => Err(RatioError::Series(number)),
            _ => Err(RatioError::OtherLetters),
        }
    }

    /// The ratio of a pipe series: 2 S + 1.
    pub(crate) fn of_series(series: Decimal) -> Self {
        Self(series.scaled(1000).saturating_mul(2).saturating_add(1000))
    }

    /// The ratio written as `number`.
    pub(crate) fn written(number: Decimal) -> Self {
        Self(number.scaled(1000))
    }

    /// The ratio of this many tenths: DR 13.5 is 135 of them.
    pub(crate) const fn from_tenths(tenths: i64) -> Self {
        Self(tenths * 100)
    }

    /// The least wall of a pipe of diameter `od`: OD / DR.
    pub(crate) fn wall(self, od: super::Length) -> super::Length {
        od.scaled(1000, self.0)
    }

    /// A ratio of OD to wall; `None` for a wall of zero.
    pub fn from_wall(od: super::Length, wall: super::Length) -> Option<Self> {
        od.thousandths_of(wall).map(Self)
    }

    /// The number alone, as a paper shows it: `11`, `13.5`, `6.94`.
    pub fn number(self) -> String {
        self.printed(2)
    }

    /// The number with all its places, as a spec writes it.
    pub(crate) fn exact(self) -> String {
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
}

/// A share of a hundred, in thousandths of a percent.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Percent(i64);

impl Percent {
    /// Nothing of the whole.
    pub(crate) const ZERO: Percent = Percent(0);
    /// All of it.
    pub(crate) const WHOLE: Percent = Percent(100_000);

    /// A share of whole percent.
    pub(crate) const fn from_whole(percent: i64) -> Self {
        Self(percent * 1000)
    }

    /// The share written as `number` percent.
    pub(crate) fn written(number: Decimal) -> Self {
        Self(number.scaled(1000))
    }

    /// The number of percent.
    pub(crate) fn decimal(self) -> Decimal {
        Decimal::from_scaled(self.0, 1000)
    }

    /// Number and sign, with as many decimals as it takes: `91 %`.
    pub(crate) fn show(self) -> String {
        format!("{} %", self.decimal())
    }

    /// This share of a whole number of small units.
    pub(crate) fn of(self, whole: i64) -> i64 {
        divide_rounded(i128::from(whole) * i128::from(self.0), 100_000)
    }

    /// This share of a length.
    pub(crate) fn of_length(self, whole: super::Length) -> super::Length {
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

    /// S 5 and SDR 11 are the same pipe, and so are S 8 and SDR 17, S 3.2 and SDR 7.4
    /// (the series of ISO 4065).
    #[test]
    fn a_pipe_series_is_never_read_as_a_ratio() {
        for (series, sdr) in [("S 5", "11"), ("S8", "17"), ("s-3.2", "7.4")] {
            let Err(RatioError::Series(number)) = DimensionRatio::parse(series) else {
                panic!("{series} is taken for something else");
            };
            assert_eq!(DimensionRatio::of_series(number), ratio(sdr), "{series}");
        }
    }

    #[test]
    fn only_a_number_dr_and_sdr_are_ratios() {
        for text in ["11", "DR 11", "dr11", "SDR-11", "Sdr11", " SDR 11.0 "] {
            assert_eq!(DimensionRatio::parse(text), Ok(ratio("11")), "{text}");
        }
        for text in ["RD 11", "D 11", "R 11", "SRD 11", "PN 11", "SIDR 11"] {
            let other = Err(RatioError::OtherLetters);
            assert_eq!(DimensionRatio::parse(text), other, "{text}");
        }
        for text in ["", "SDR", "-11", "0", "DR --11", "11 mm", "SDR 1l", "11/2"] {
            let none = Err(RatioError::NotARatio);
            assert_eq!(DimensionRatio::parse(text), none, "{text}");
        }
    }
}
