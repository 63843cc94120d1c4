//! Times, as in so many seconds on the heater.

use std::ops::{Add, Sub};

use super::number::{Decimal, divide_rounded};

/// A time in whole milliseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Duration(i64);

/// A unit that times are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum TimeUnit {
    Second,
    Minute,
    Hour,
}

impl TimeUnit {
    fn milliseconds(self) -> i64 {
        match self {
            TimeUnit::Second => 1000,
            TimeUnit::Minute => 60_000,
            TimeUnit::Hour => 3_600_000,
        }
    }

    /// The unit's symbol as printed.
    pub(crate) fn symbol(self) -> &'static str {
        match self {
            TimeUnit::Second => "s",
            TimeUnit::Minute => "min",
            TimeUnit::Hour => "h",
        }
    }
}

impl Duration {
    /// No time.
    pub(crate) const ZERO: Duration = Duration(0);

    /// The time written as `number` of `unit`.
    pub(crate) fn written(number: Decimal, unit: TimeUnit) -> Self {
        Self(number.scaled(unit.milliseconds()))
    }

    /// A time of whole seconds.
    pub const fn from_seconds(seconds: i64) -> Self {
        Self(seconds * 1000)
    }

    /// Seconds, for physics.
    pub(crate) fn seconds(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// A time from seconds as a float, for physics whose result is rounded to
    /// the millisecond.
    pub(crate) fn from_float_seconds(seconds: f64) -> Self {
        Self((seconds * 1000.0).round() as i64)
    }

    /// `share` in a thousand of this time.
    pub(crate) fn thousandths(self, share: i64) -> Self {
        Self(divide_rounded(i128::from(self.0) * i128::from(share), 1000))
    }

    /// This time, so many times over.
    pub(crate) fn times(self, count: u32) -> Self {
        Self(self.0.saturating_mul(i64::from(count)))
    }

    /// Hours, minutes and seconds, as a clock counts: `1 h 12 min 5 s`.
    pub(crate) fn clock(self) -> String {
        let seconds = divide_rounded(i128::from(self.0), 1000);
        let parts = [
            (seconds / 3600, TimeUnit::Hour),
            (seconds / 60 % 60, TimeUnit::Minute),
            (seconds % 60, TimeUnit::Second),
        ];
        let shown: Vec<_> = parts
            .into_iter()
            .filter(|(number, _)| *number != 0)
            .map(|(number, unit)| format!("{number} {}", unit.symbol()))
            .collect();
        if shown.is_empty() {
            return self.show();
        }
        shown.join(" ")
    }

    /// The number alone, in `unit`, to a millionth of it.
    pub(crate) fn decimal(self, unit: TimeUnit) -> Decimal {
        Decimal::from_scaled(self.0, unit.milliseconds())
    }

    /// The number alone, in `unit`, with as many decimals as it takes: a longest
    /// time of 3.25 s must not read 3.3.
    pub(crate) fn number(self, unit: TimeUnit) -> String {
        self.decimal(unit).to_string()
    }

    /// Number and unit, in the largest unit that keeps the number whole;
    /// below two minutes always in seconds, as a stopwatch counts.
    pub(crate) fn show(self) -> String {
        let unit = if self.0 >= 3_600_000 && self.0 % 3_600_000 == 0 {
            TimeUnit::Hour
        } else if self.0 >= 120_000 && self.0 % 60_000 == 0 {
            TimeUnit::Minute
        } else {
            TimeUnit::Second
        };
        format!("{} {}", self.number(unit), unit.symbol())
    }
}

impl Add for Duration {
    type Output = Duration;
    fn add(self, other: Duration) -> Duration {
        Duration(self.0.saturating_add(other.0))
    }
}

impl Sub for Duration {
    type Output = Duration;
    fn sub(self, other: Duration) -> Duration {
        Duration(self.0.saturating_sub(other.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prints_the_unit_a_person_would_use() {
        assert_eq!(Duration::from_seconds(60).show(), "60 s");
        assert_eq!(Duration::from_seconds(300).show(), "5 min");
        assert_eq!(Duration::from_seconds(3600).show(), "1 h");
        assert_eq!(Duration::from_seconds(3660).show(), "61 min");
        assert_eq!(Duration::from_seconds(150).show(), "150 s");
        assert_eq!(Duration(3250).show(), "3.25 s");
        assert_eq!(Duration(3500).show(), "3.5 s");
    }

    #[test]
    fn a_clock_leaves_out_what_is_nothing() {
        let clock = |seconds| Duration::from_seconds(seconds).clock();
        assert_eq!(clock(384), "6 min 24 s");
        assert_eq!(clock(7260), "2 h 1 min");
        assert_eq!(clock(3605), "1 h 5 s");
        assert_eq!(clock(0), "0 s");
    }

    #[test]
    fn a_sum_that_is_too_long_for_any_clock_does_not_wrap_round() {
        let longest = Duration(i64::MAX);
        assert_eq!(longest + Duration::from_seconds(1), longest);
        assert_eq!(longest.times(2), longest);
    }
}
