//! Decimal numbers as people write them, exact to six places.

use std::cell::Cell;
use std::fmt;

/// A decimal number: its value in millionths, and how many decimal places were
/// written, so that `0.640` is printed back as `0.640`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Decimal {
    /// The value times 1 000 000.
    pub millionths: i64,
    /// Decimal places as written.
    pub places: u8,
}

/// Why a text is not a number that can be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum NumberError {
    /// Not a decimal number at all.
    NotANumber,
    /// More than six decimal places, or more than nine digits before the point.
    TooLong,
}

/// Millionths in one.
pub(super) const ONE: i64 = 1_000_000;

impl Decimal {
    /// Reads `12`, `-2`, `+4`, `0.64`, `.5`; the minus may be the typographic one.
    ///
    /// # Errors
    /// [`NumberError::NotANumber`] for anything else (exponents, thousands
    /// separators, a decimal comma), [`NumberError::TooLong`] for digits beyond
    /// what any measurement in the field has.
    pub(crate) fn parse(text: &str) -> Result<Self, NumberError> {
        let (negative, digits) = match text.strip_prefix(['-', '\u{2212}']) {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        let all_digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
        if (whole.is_empty() && fraction.is_empty())
            || (digits.contains('.') && fraction.is_empty())
            || !all_digits(whole)
            || !all_digits(fraction)
        {
            return Err(NumberError::NotANumber);
        }
        if whole.len() > 9 || fraction.len() > 6 {
            return Err(NumberError::TooLong);
        }
        let padded = format!("{fraction:0<6}");
        let parse = |s: &str| {
            if s.is_empty() {
                Ok(0)
            } else {
                s.parse::<i64>()
            }
        };
        let (Ok(whole), Ok(part)) = (parse(whole), parse(&padded)) else {
            return Err(NumberError::NotANumber);
        };
        let magnitude = whole * ONE + part;
        Ok(Self {
            millionths: if negative { -magnitude } else { magnitude },
            places: u8::try_from(fraction.len()).unwrap_or(6),
        })
    }

    /// `value / per_one` to a millionth, with no more places than it takes.
    pub(crate) fn from_scaled(value: i64, per_one: i64) -> Self {
        let millionths = divide_rounded(i128::from(value) * i128::from(ONE), i128::from(per_one));
        let zeros = (0..6).take_while(|n| millionths % 10_i64.pow(n + 1) == 0);
        Self {
            millionths,
            places: 6 - u8::try_from(zeros.count()).unwrap_or(6),
        }
    }

    /// The value in whole units of `1 / per_one`, rounded to the nearest.
    pub(crate) fn scaled(self, per_one: i64) -> i64 {
        divide_rounded(
            i128::from(self.millionths) * i128::from(per_one),
            i128::from(ONE),
        )
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&print_scaled(self.millionths, ONE, self.places))
    }
}

/// `numerator / denominator`, rounded half away from zero.
pub(crate) fn divide_rounded(numerator: i128, denominator: i128) -> i64 {
    let (n, d) = if denominator < 0 {
        (-numerator, -denominator)
    } else {
        (numerator, denominator)
    };
    let half = d / 2;
    let rounded = if n >= 0 {
        (n + half) / d
    } else {
        (n - half) / d
    };
    i64::try_from(rounded).unwrap_or(if rounded < 0 { i64::MIN } else { i64::MAX })
}

/// What a quantity is to whoever works by it. A number that is rounded, in the
/// same unit or into another, must not ask for less than a minimum or allow more
/// than a maximum.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bound {
    /// Neither: rounded to the nearest.
    Nominal,
    /// The least that is allowed: rounded up.
    Minimum,
    /// The most that is allowed: rounded down.
    Maximum,
}

impl Bound {
    /// A whole multiple of `step`, which is above zero.
    pub(super) fn round(self, value: i64, step: i64) -> i64 {
        let (wide, step) = (i128::from(value), i128::from(step));
        let multiples = match self {
            Bound::Nominal => i128::from(divide_rounded(wide, step)),
            Bound::Minimum => -(-wide).div_euclid(step),
            Bound::Maximum => wide.div_euclid(step),
        };
        i64::try_from(multiples * step).unwrap_or(value)
    }
}

/// The mark between whole number and decimals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DecimalMark {
    /// `1.5`, as everywhere in specs, tables and listings.
    #[default]
    Point,
    /// `1,5`
    Comma,
}

impl DecimalMark {
    fn character(self) -> char {
        match self {
            DecimalMark::Point => '.',
            DecimalMark::Comma => ',',
        }
    }
}

thread_local! {
    static MARK: Cell<DecimalMark> = const { Cell::new(DecimalMark::Point) };
}

/// Does `body` with this mark in every number it prints. A quantity prints
/// itself deep inside a sheet, where nothing knows a language, so the mark is
/// set around the whole sheet and put back after it.
pub(crate) fn with_decimal_mark<T>(mark: DecimalMark, body: impl FnOnce() -> T) -> T {
    struct Restore(DecimalMark);
    impl Drop for Restore {
        fn drop(&mut self) {
            MARK.set(self.0);
        }
    }
    let _restore = Restore(MARK.replace(mark));
    body()
}

/// A number that was written with a point, with the mark in force.
pub(crate) fn marked(number: &str) -> String {
    number.replace('.', &MARK.get().character().to_string())
}

/// Prints `value / per_one` with `places` decimals, rounding half away from zero.
pub(crate) fn print_scaled(value: i64, per_one: i64, places: u8) -> String {
    let scale = 10_i128.pow(u32::from(places));
    let scaled = divide_rounded(i128::from(value) * scale, i128::from(per_one));
    let sign = if scaled < 0 { "\u{2212}" } else { "" };
    let magnitude = scaled.unsigned_abs();
    if places == 0 {
        return format!("{sign}{magnitude}");
    }
    let divisor = 10_u64.pow(u32::from(places));
    format!(
        "{sign}{}{}{:0width$}",
        magnitude / divisor,
        MARK.get().character(),
        magnitude % divisor,
        width = usize::from(places)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_what_people_write() {
        let value = |s: &str| Decimal::parse(s).map(|d| (d.millionths, d.places));
        assert_eq!(value("0.64"), Ok((640_000, 2)));
        assert_eq!(value("0.640"), Ok((640_000, 3)));
        assert_eq!(value("-2"), Ok((-2_000_000, 0)));
        assert_eq!(value(".5"), Ok((500_000, 1)));
        for wrong in ["", ".", "5.", "1e3", "1,5", "0x10", "--1", "1 2", "nan"] {
            assert_eq!(value(wrong), Err(NumberError::NotANumber), "{wrong}");
        }
        // Nine digits before the point and six behind it are still read.
        assert_eq!(value("123456789"), Ok((123_456_789_000_000, 0)));
        assert_eq!(value("0.123456"), Ok((123_456, 6)));
        assert_eq!(value("0.1234567"), Err(NumberError::TooLong));
        assert_eq!(value("1234567890"), Err(NumberError::TooLong));
    }

    #[test]
    fn a_decimal_mark_holds_where_it_was_set_and_no_longer() {
        let shown = with_decimal_mark(DecimalMark::Comma, || {
            let inner = with_decimal_mark(DecimalMark::Point, || print_scaled(15, 10, 1));
            (print_scaled(15, 10, 1), inner, marked("14.0 mm"))
        });
        assert_eq!(
            shown,
            ("1,5".to_owned(), "1.5".to_owned(), "14,0 mm".to_owned())
        );
        let panicked = std::panic::catch_unwind(|| {
            with_decimal_mark(DecimalMark::Comma, || panic!("in a sheet"))
        });
        assert!(panicked.is_err());
        assert_eq!(print_scaled(15, 10, 1), "1.5");
    }

    #[test]
    fn what_is_too_large_stops_at_the_end_of_its_own_side() {
        assert_eq!(divide_rounded(i128::from(i64::MAX) * 10, 1), i64::MAX);
        assert_eq!(divide_rounded(i128::from(i64::MIN) * 10, 1), i64::MIN);
        assert_eq!(divide_rounded(i128::from(i64::MAX) * 10, -1), i64::MIN);
    }

    #[test]
    fn rounds_half_away_from_zero_once() {
        assert_eq!(print_scaled(25, 10, 0), "3");
        assert_eq!([divide_rounded(5, -2), divide_rounded(-5, -2)], [-3, 3]);
        assert_eq!(print_scaled(-25, 10, 0), "\u{2212}3");
        assert_eq!(print_scaled(1_195, 10_000, 3), "0.120");
        assert_eq!(print_scaled(5, 1000, 2), "0.01");
    }

    #[test]
    fn a_minimum_is_rounded_up_and_a_maximum_down() {
        for (value, nominal, minimum, maximum) in [
            (3048, 3050, 3050, 3040),
            (3041, 3040, 3050, 3040),
            (3040, 3040, 3040, 3040),
            (-1778, -1780, -1770, -1780),
            (-1772, -1770, -1770, -1780),
            (0, 0, 0, 0),
        ] {
            assert_eq!(Bound::Nominal.round(value, 10), nominal, "{value}");
            assert_eq!(Bound::Minimum.round(value, 10), minimum, "{value}");
            assert_eq!(Bound::Maximum.round(value, 10), maximum, "{value}");
        }
        assert_eq!(Bound::Minimum.round(i64::MAX, 10), i64::MAX);
    }

    #[test]
    fn a_computed_number_has_the_places_that_it_takes() {
        for (value, per_one, printed) in [
            (91_000, 1000, "91"),
            (24_900, 1000, "24.9"),
            (125, 1000, "0.125"),
            (100_000, 1000, "100"),
            (-4_050, 1000, "\u{2212}4.05"),
            // A third to a millionth, and a sixth rounded up.
            (1, 3, "0.333333"),
            (1, 6, "0.166667"),
            (0, 1000, "0"),
        ] {
            assert_eq!(Decimal::from_scaled(value, per_one).to_string(), printed);
        }
    }
}
