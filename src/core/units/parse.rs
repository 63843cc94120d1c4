//! Reads quantities as people write them: `500 °F`, `0.64 in`, `18 to 21 s`,
//! `20 °F to 110 °F`, `91 %`.

use super::numeral::{RANGE_SIGNS, take_number};
use super::separators;
use super::spelling::{RANGE_WORDS, Unit, take_unit};
use super::{
    Decimal, Duration, Length, LengthUnit, NumberError, Percent, Pressure, Range, Temperature,
    TemperatureDifference, TemperatureUnit, TimeUnit,
};

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

impl From<NumberError> for QuantityError {
    fn from(error: NumberError) -> Self {
        match error {
            NumberError::NotANumber => Self::NotANumber,
            NumberError::TooLong => Self::TooManyDigits,
        }
    }
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
        Unit::Centimeter => {
            let millimeters = Decimal {
                millionths: number.millionths.checked_mul(10)?,
                places: number.places.saturating_sub(1),
            };
            Some(Length::written(millimeters, LengthUnit::Millimeter))
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
