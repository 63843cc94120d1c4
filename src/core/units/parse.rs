//! Reads quantities as people write them: `500 °F`, `0.64 in`, `18 to 21 s`,
//! `20 °F to 110 °F`, `91 %`.

use super::number::ONE;
use super::separators;
use super::spelling::{RANGE_WORDS, Unit, take_unit};
use super::{
    Decimal, Duration, Length, LengthUnit, NumberError, Percent, Pressure, Range, Temperature,
    TemperatureDifference, TemperatureUnit, TimeUnit,
};

/// Signs between the ends of a range: hyphens, dashes, and the minus.
const RANGE_SIGNS: [char; 6] = ['-', '\u{2010}', '\u{2011}', '–', '—', '\u{2212}'];

/// A number, or a range of two, with its units; not yet any kind of quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quantity {
    least: (Decimal, Unit),
    most: (Decimal, Unit),
    is_range: bool,
}

/// Why a text is not the quantity that was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum QuantityError {
    /// The text does not start with a number.
    NotANumber,
    /// More digits than can be kept exactly.
    TooManyDigits,
    /// A number without a unit.
    MissingUnit,
    /// A unit nobody knows, as written.
    UnknownUnit(String),
    /// A known unit of another kind, as written.
    WrongUnit(String),
    /// A fraction of another unit than the inch; the decimal number instead.
    Fraction(Decimal),
    /// Digits with a comma, or in groups.
    Separators,
    /// A range where one value is wanted.
    NotOneValue,
    /// A range that ends below its start.
    Reversed,
}

/// Reads one number with a unit, or a range; the first unit of a range may be
/// left out, as in `18 to 21 s`. Inches may be fractions, times of two units.
///
/// # Errors
/// A [`QuantityError`] that says what is missing or not understood.
pub fn parse_quantity(text: &str) -> Result<Quantity, QuantityError> {
    let text = text.trim();
    parse(text).map_err(|error| match error {
        QuantityError::TooManyDigits => error,
        _ if separators::readings(text) == separators::Readings::default() => error,
        _ => QuantityError::Separators,
    })
}

fn parse(text: &str) -> Result<Quantity, QuantityError> {
    let (first, rest) = take_part(text)?;
    let Some(rest) = take_separator(rest) else {
        if !rest.is_empty() {
            return Err(QuantityError::UnknownUnit(rest.to_owned()));
        }
        let only = first.with_unit(None)?;
        return Ok(Quantity {
            least: only,
            most: only,
            is_range: false,
        });
    };
    let (second, rest) = take_part(rest)?;
    if !rest.is_empty() {
        return Err(QuantityError::UnknownUnit(rest.to_owned()));
    }
    let most = second.with_unit(None)?;
    Ok(Quantity {
        least: first.with_unit(Some(most.1))?,
        most,
        is_range: true,
    })
}

/// A number and the unit after it, if there is one.
#[derive(Clone, Copy)]
struct Part {
    number: Decimal,
    is_fraction: bool,
    unit: Option<Unit>,
}

impl Part {
    /// With its own unit, or else with that of the other end of the range.
    fn with_unit(self, other: Option<Unit>) -> Result<(Decimal, Unit), QuantityError> {
        let unit = self.unit.or(other).ok_or(QuantityError::MissingUnit)?;
        if self.is_fraction && unit != Unit::Length(LengthUnit::Inch) {
            return Err(QuantityError::Fraction(self.number));
        }
        Ok((self.number, unit))
    }
}

fn take_part(text: &str) -> Result<(Part, &str), QuantityError> {
    let (number, is_fraction, rest) = take_number(text)?;
    let (unit, rest) = take_unit(rest)?;
    let part = Part {
        number,
        is_fraction,
        unit,
    };
    let digit_follows = rest.starts_with(|c: char| c.is_ascii_digit());
    let Some(Unit::Time(unit)) = unit.filter(|_| digit_follows) else {
        return Ok((part, rest));
    };
    // `1 min 30 s`
    let (more, _, rest) = take_number(rest)?;
    let (smaller, rest) = take_unit(rest)?;
    let steps = match (unit, smaller) {
        (TimeUnit::Hour, Some(Unit::Time(TimeUnit::Minute)))
        | (TimeUnit::Minute, Some(Unit::Time(TimeUnit::Second))) => 60,
        (TimeUnit::Hour, Some(Unit::Time(TimeUnit::Second))) => 3600,
        _ => return Err(QuantityError::NotANumber),
    };
    let whole = number.millionths.checked_mul(steps);
    let millionths = whole.and_then(|whole| whole.checked_add(more.millionths));
    let number = Decimal {
        millionths: millionths.ok_or(QuantityError::TooManyDigits)?,
        places: more.places,
    };
    let part = Part {
        number,
        is_fraction,
        unit: smaller,
    };
    Ok((part, rest))
}

/// A decimal number, or a fraction as a rule is divided: `0.64`, `5/8`, `1-1/4`, `1¼`.
fn take_number(text: &str) -> Result<(Decimal, bool, &str), QuantityError> {
    let mut characters = text.chars();
    let (negative, unsigned) = match characters.next() {
        Some(sign) if RANGE_SIGNS.contains(&sign) => (true, characters.as_str()),
        Some('+') => (false, characters.as_str()),
        _ => (false, text),
    };
    if let Some((millionths, rest)) = take_fraction(unsigned) {
        let millionths = if negative { -millionths } else { millionths };
        let number = Decimal::from_scaled(millionths, ONE);
        return Ok((number, true, rest.trim_start()));
    }
    let end = unsigned.find(|c: char| !c.is_ascii_digit() && c != '.');
    let (digits, rest) = unsigned.split_at(end.unwrap_or(unsigned.len()));
    match Decimal::parse(digits) {
        Ok(number) => {
            let sign = if negative { -1 } else { 1 };
            let number = Decimal {
                millionths: sign * number.millionths,
                ..number
            };
            Ok((number, false, rest.trim_start()))
        }
        Err(NumberError::NotANumber) => Err(QuantityError::NotANumber),
        Err(NumberError::TooLong) => Err(QuantityError::TooManyDigits),
    }
}

/// Fractions that have a character of their own, as top and bottom.
const VULGAR: &[(char, i64, i64)] = &[
    ('½', 1, 2),
    ('¼', 1, 4),
    ('¾', 3, 4),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
];

/// A fraction of a rule with 64 divisions or fewer, which millionths hold exactly.
fn take_fraction(text: &str) -> Option<(i64, &str)> {
    let (whole, after_whole) = take_digits(text);
    if let Some(rest) = after_whole.strip_prefix(['/', '⁄']) {
        let (millionths, rest) = part_of_one(whole?, rest)?;
        return Some((millionths, rest));
    }
    let joined = match whole {
        Some(_) => after_whole.trim_start_matches([' ', '-', '\u{2011}', '\u{A0}']),
        None => after_whole,
    };
    let whole = whole.unwrap_or(0).checked_mul(ONE)?;
    let mut characters = joined.chars();
    let sign = characters.next()?;
    if let Some((_, top, bottom)) = VULGAR.iter().find(|(vulgar, ..)| *vulgar == sign) {
        return Some((whole.checked_add(top * ONE / bottom)?, characters.as_str()));
    }
    let (top, rest) = take_digits(joined);
    // Digits that are not set off would be those of one number.
    let rest = rest
        .strip_prefix(['/', '⁄'])
        .filter(|_| joined != after_whole)?;
    let (millionths, rest) = part_of_one(top?, rest)?;
    Some((whole.checked_add(millionths)?, rest))
}

fn part_of_one(top: i64, rest: &str) -> Option<(i64, &str)> {
    let (bottom, rest) = take_digits(rest);
    let bottom = bottom.filter(|bottom| matches!(bottom, 2 | 4 | 8 | 16 | 32 | 64))?;
    (0 < top && top < bottom).then(|| (top * ONE / bottom, rest))
}

/// The whole number of up to nine digits that a text begins with.
fn take_digits(text: &str) -> (Option<i64>, &str) {
    let end = text.find(|c: char| !c.is_ascii_digit());
    let (digits, rest) = text.split_at(end.unwrap_or(text.len()));
    let number = (digits.len() <= 9).then(|| digits.parse().ok());
    (number.flatten(), rest)
}

fn take_separator(text: &str) -> Option<&str> {
    if let Some(rest) = text.strip_prefix(RANGE_SIGNS) {
        return Some(rest.trim_start());
    }
    RANGE_WORDS.iter().find_map(|word| {
        let (start, rest) = text.split_at_checked(word.len())?;
        let ends = !rest.starts_with(char::is_alphabetic);
        (ends && start.eq_ignore_ascii_case(word)).then(|| rest.trim_start())
    })
}

impl Quantity {
    fn range<T: Copy + Ord>(
        &self,
        convert: impl Fn(Decimal, Unit) -> Option<T>,
    ) -> Result<Range<T>, QuantityError> {
        let of = |(number, unit): (Decimal, Unit)| {
            let wrong = || QuantityError::WrongUnit(unit.symbol().to_owned());
            convert(number, unit).ok_or_else(wrong)
        };
        let (least, most) = (of(self.least)?, of(self.most)?);
        if most < least {
            return Err(QuantityError::Reversed);
        }
        Ok(Range::new(least, most))
    }

    fn single<T: Copy + Ord>(
        &self,
        convert: impl Fn(Decimal, Unit) -> Option<T>,
    ) -> Result<T, QuantityError> {
        let range = self.range(convert)?;
        if self.is_range {
            return Err(QuantityError::NotOneValue);
        }
        Ok(range.least)
    }

    /// The quantity as one length.
    ///
    /// # Errors
    /// When its unit is not one of length, or it is a range.
    pub(crate) fn length(&self) -> Result<Length, QuantityError> {
        self.single(to_length)
    }

    /// The quantity as a range of lengths; one value is a range of no width.
    ///
    /// # Errors
    /// When a unit is not one of length, or the range runs backwards.
    pub fn length_range(&self) -> Result<Range<Length>, QuantityError> {
        self.range(to_length)
    }

    /// The quantity as one time.
    ///
    /// # Errors
    /// When its unit is not one of time, or it is a range.
    pub(crate) fn duration(&self) -> Result<Duration, QuantityError> {
        self.single(to_duration)
    }

    /// The quantity as a range of times; one value is a range of no width.
    ///
    /// # Errors
    /// When a unit is not one of time, or the range runs backwards.
    pub(crate) fn duration_range(&self) -> Result<Range<Duration>, QuantityError> {
        self.range(to_duration)
    }

    /// The quantity as one temperature.
    ///
    /// # Errors
    /// When its unit is not one of temperature, or it is a range.
    pub(crate) fn temperature(&self) -> Result<Temperature, QuantityError> {
        self.single(to_temperature)
    }

    /// The quantity as a range of temperatures.
    ///
    /// # Errors
    /// When a unit is not one of temperature, or the range runs backwards.
    pub fn temperature_range(&self) -> Result<Range<Temperature>, QuantityError> {
        self.range(to_temperature)
    }

    /// The quantity as a difference of temperature.
    ///
    /// # Errors
    /// When its unit is not one of temperature, or it is a range.
    pub(crate) fn temperature_difference(&self) -> Result<TemperatureDifference, QuantityError> {
        self.single(|number, unit| match unit {
            Unit::Temperature(unit) => Some(TemperatureDifference::written(number, unit)),
            _ => None,
        })
    }

    /// The quantity as a percentage.
    ///
    /// # Errors
    /// When its unit is not per cent, or it is a range.
    pub fn percent(&self) -> Result<Percent, QuantityError> {
        self.single(|number, unit| (unit == Unit::Percent).then(|| Percent::written(number)))
    }

    /// The quantity as one pressure.
    ///
    /// # Errors
    /// When its unit is not one of pressure, or it is a range.
    pub fn pressure(&self) -> Result<Pressure, QuantityError> {
        self.single(|number, unit| match unit {
            Unit::Pressure(unit) => Some(Pressure::written(number, unit)),
            _ => None,
        })
    }

    /// The number as written, for a range the two, with their unit; nothing
    /// when the ends of a range have units of their own.
    pub fn numbers(&self) -> Option<(Decimal, Option<Decimal>, String)> {
        let ((least, unit), (most, same)) = (self.least, self.most);
        (unit == same).then(|| {
            (
                least,
                self.is_range.then_some(most),
                unit.symbol().to_owned(),
            )
        })
    }

    /// The temperature scale it was written in, if any.
    pub(crate) fn temperature_unit(&self) -> Option<TemperatureUnit> {
        match self.least.1 {
            Unit::Temperature(unit) => Some(unit),
            _ => None,
        }
    }
}

fn to_length(number: Decimal, unit: Unit) -> Option<Length> {
    match unit {
        Unit::Length(unit) => Some(Length::written(number, unit)),
        Unit::Centimetre => {
            let millimetres = Decimal {
                millionths: number.millionths.checked_mul(10)?,
                places: number.places.saturating_sub(1),
            };
            Some(Length::written(millimetres, LengthUnit::Millimetre))
        }
        _ => None,
    }
}

fn to_duration(number: Decimal, unit: Unit) -> Option<Duration> {
    match unit {
        Unit::Time(unit) => Some(Duration::written(number, unit)),
        _ => None,
    }
}

fn to_temperature(number: Decimal, unit: Unit) -> Option<Temperature> {
    match unit {
        Unit::Temperature(unit) => Some(Temperature::written(number, unit)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn time(text: &str) -> Result<Range<Duration>, QuantityError> {
        parse_quantity(text).and_then(|q| q.duration_range())
    }

    #[test]
    fn ranges_share_a_unit_or_have_their_own() {
        let expected = Range::new(Duration::from_seconds(18), Duration::from_seconds(21));
        for text in [
            "18 to 21 s",
            "18 s to 21 s",
            "18-21 s",
            "18\u{2013}21 sec",
            " 18 to 21s ",
        ] {
            assert_eq!(time(text), Ok(expected), "{text}");
        }
        let cold = parse_quantity("-20 °C to 40 °C").and_then(|q| q.temperature_range());
        assert_eq!(
            cold.map(|r| r.least.show(TemperatureUnit::Celsius)),
            Ok("\u{2212}20 °C".to_owned())
        );
    }

    #[test]
    fn the_letter_alone_is_a_scale() {
        let a = parse_quantity("500 F").and_then(|q| q.temperature());
        let b = parse_quantity("260 °C").and_then(|q| q.temperature());
        assert_eq!(a, b);
    }

    #[test]
    fn capitals_do_not_matter() {
        let length = |text| parse_quantity(text).and_then(|q| q.length());
        assert_eq!(length("12 MM"), length("12 mm"));
        assert_eq!(length("0.5 Inches"), length("12.7 mm"));
        assert_eq!(time("2 MIN"), time("120 s"));
        assert_eq!(time("18 S"), time("18 s"));
        assert_eq!(time("1 H"), time("60 min"));
        let temperature = |text| parse_quantity(text).and_then(|q| q.temperature());
        assert_eq!(temperature("500 f"), temperature("260 c"));
    }

    #[test]
    fn units_are_read_as_people_spell_them() {
        let temperature = |text: &str| parse_quantity(text).and_then(|q| q.temperature());
        for text in [
            "500 degrees F",
            "500 deg. F",
            "500 Deg F",
            "500℉",
            "500 ° F",
            "500 degrees Fahrenheit",
            "260 ℃",
            "260 degrees C",
            "260 Celsius",
        ] {
            assert_eq!(temperature(text), temperature("500 °F"), "{text}");
        }
        let length = |text: &str| parse_quantity(text).and_then(|q| q.length());
        for text in [
            "0.70 in.",
            "0.70″",
            "0.70''",
            "1.778 cm",
            "17.78 millimeters",
        ] {
            assert_eq!(length(text), length("0.70 in"), "{text}");
        }
        for text in ["5 mins", "300 secs", "300 sec.", "4 min 60 s"] {
            let found = time(text).map(|range| range.least);
            assert_eq!(found, time("5 min").map(|range| range.least), "{text}");
        }
        let share = |text: &str| parse_quantity(text).and_then(|q| q.percent());
        assert_eq!(share("91 pct"), share("91 %"));
        assert_eq!(share("91 per cent"), share("91 %"));
        for text in ["5 degrees", "5 deg K", "5 m", "5 mil", "1 min 1 h", "1 s 5"] {
            assert!(parse_quantity(text).is_err(), "{text}");
        }
    }

    #[test]
    fn inches_are_read_as_a_rule_is_divided() {
        let length = |text: &str| parse_quantity(text).and_then(|q| q.length());
        for (text, decimal) in [
            ("5/8 in", "0.625 in"),
            ("1-1/4 in", "1.25 in"),
            ("1 1/4\"", "1.25 in"),
            ("1¼ in.", "1.25 in"),
            ("⅞ inch", "0.875 in"),
            ("21/32 in", "0.65625 in"),
            ("1/64 in", "0.015625 in"),
        ] {
            assert_eq!(length(text), length(decimal), "{text}");
        }
        let range = parse_quantity("1/2-3/4 in").and_then(|q| q.length_range());
        let expected = parse_quantity("0.5 in to 0.75 in").and_then(|q| q.length_range());
        assert_eq!(range, expected);
        assert!(matches!(time("1/2 min"), Err(QuantityError::Fraction(_))));
        for text in ["4/3 in", "1/3 in", "1/0 in", "11/4 in", "1/ in", "/4 in"] {
            assert!(length(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_dash_is_a_range_or_a_minus() {
        let temperatures = |text: &str| parse_quantity(text).and_then(|q| q.temperature_range());
        let expected = temperatures("-20 °C to 40 °C");
        assert!(expected.is_ok());
        for text in [
            "–20–40 °C",
            "−20 °C — 40 °C",
            "-20 °C thru 40 °C",
            "-20 TO 40 °C",
        ] {
            assert_eq!(temperatures(text), expected, "{text}");
        }
        assert_eq!(temperatures("-20 - -5 °C"), temperatures("-20 °C to -5 °C"));
    }

    #[test]
    fn separators_are_never_guessed() {
        for text in ["0,71 in", "1,050 psi", "1 050 psi", "18,5 to 21,5 s"] {
            assert_eq!(
                parse_quantity(text),
                Err(QuantityError::Separators),
                "{text}"
            );
        }
    }

    #[test]
    fn says_what_is_missing() {
        assert_eq!(time("18"), Err(QuantityError::MissingUnit));
        assert_eq!(time("18 to 21"), Err(QuantityError::MissingUnit));
        assert_eq!(time("21 to 18 s"), Err(QuantityError::Reversed));
        assert_eq!(time("18 mm"), Err(QuantityError::WrongUnit("mm".into())));
        for unit in ["psi", "bar", "kPa", "MPa"] {
            let found = time(&format!("18 {unit}"));
            assert_eq!(found, Err(QuantityError::WrongUnit(unit.into())));
        }
        assert_eq!(time("18 sx"), Err(QuantityError::UnknownUnit("sx".into())));
        assert_eq!(time("soon"), Err(QuantityError::NotANumber));
        assert_eq!(
            parse_quantity("18 to 21 s").and_then(|q| q.duration()),
            Err(QuantityError::NotOneValue)
        );
    }

    proptest::proptest! {
        #[test]
        fn never_panics(text in "\\PC*") {
            let _ = parse_quantity(&text);
        }
    }
}
