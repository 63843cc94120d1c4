//! Reads quantities as people write them: `500 °F`, `0.64 in`, `18 to 21 s`,
//! `20 °F to 110 °F`, `91 %`.

use super::{
    Decimal, Duration, Length, LengthUnit, NumberError, Percent, Pressure, PressureUnit, Range,
    Temperature, TemperatureDifference, TemperatureUnit, TimeUnit,
};

/// A unit of any kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unit {
    Length(LengthUnit),
    Temperature(TemperatureUnit),
    Time(TimeUnit),
    Percent,
    Pressure(PressureUnit),
}

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Measure {
    Length,
    Temperature,
    Time,
    Percent,
    Pressure,
}

impl Unit {
    fn measures(self) -> Measure {
        match self {
            Unit::Length(_) => Measure::Length,
            Unit::Temperature(_) => Measure::Temperature,
            Unit::Time(_) => Measure::Time,
            Unit::Percent => Measure::Percent,
            Unit::Pressure(_) => Measure::Pressure,
        }
    }
}

/// Every way to write a unit of this measure; a spelling of more than one letter
/// may have capitals or not.
pub(crate) fn spellings(measure: Measure) -> impl Iterator<Item = &'static str> {
    let of_measure = SPELLINGS
        .iter()
        .filter(move |(_, u)| u.measures() == measure);
    of_measure.map(|(name, _)| *name)
}

/// Units as people write them, and what they mean.
const SPELLINGS: &[(&str, Unit)] = &[
    ("°F", Unit::Temperature(TemperatureUnit::Fahrenheit)),
    ("F", Unit::Temperature(TemperatureUnit::Fahrenheit)),
    ("degF", Unit::Temperature(TemperatureUnit::Fahrenheit)),
    ("°C", Unit::Temperature(TemperatureUnit::Celsius)),
    ("C", Unit::Temperature(TemperatureUnit::Celsius)),
    ("degC", Unit::Temperature(TemperatureUnit::Celsius)),
    ("in", Unit::Length(LengthUnit::Inch)),
    ("inch", Unit::Length(LengthUnit::Inch)),
    ("inches", Unit::Length(LengthUnit::Inch)),
    ("\"", Unit::Length(LengthUnit::Inch)),
    ("mm", Unit::Length(LengthUnit::Millimetre)),
    ("s", Unit::Time(TimeUnit::Second)),
    ("sec", Unit::Time(TimeUnit::Second)),
    ("second", Unit::Time(TimeUnit::Second)),
    ("seconds", Unit::Time(TimeUnit::Second)),
    ("min", Unit::Time(TimeUnit::Minute)),
    ("minute", Unit::Time(TimeUnit::Minute)),
    ("minutes", Unit::Time(TimeUnit::Minute)),
    ("h", Unit::Time(TimeUnit::Hour)),
    ("hr", Unit::Time(TimeUnit::Hour)),
    ("hour", Unit::Time(TimeUnit::Hour)),
    ("hours", Unit::Time(TimeUnit::Hour)),
    ("%", Unit::Percent),
    ("percent", Unit::Percent),
    ("psi", Unit::Pressure(PressureUnit::Psi)),
    ("bar", Unit::Pressure(PressureUnit::Bar)),
    ("kPa", Unit::Pressure(PressureUnit::Kilopascal)),
    ("MPa", Unit::Pressure(PressureUnit::Megapascal)),
];

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
    /// A range where one value is wanted.
    NotOneValue,
    /// A range that ends below its start.
    Reversed,
}

/// Reads one number with a unit, or a range; the first unit of a range may be
/// left out, as in `18 to 21 s`.
///
/// # Errors
/// A [`QuantityError`] that says what is missing or not understood.
pub fn parse_quantity(text: &str) -> Result<Quantity, QuantityError> {
    let text = text.trim();
    let (first, rest) = take_number(text)?;
    let (first_unit, rest) = take_unit(rest)?;
    let Some(rest) = take_separator(rest) else {
        if !rest.is_empty() {
            return Err(QuantityError::UnknownUnit(rest.to_owned()));
        }
        let unit = first_unit.ok_or(QuantityError::MissingUnit)?;
        return Ok(Quantity {
            least: (first, unit),
            most: (first, unit),
            is_range: false,
        });
    };
    let (second, rest) = take_number(rest)?;
    let (second_unit, rest) = take_unit(rest)?;
    if !rest.is_empty() {
        return Err(QuantityError::UnknownUnit(rest.to_owned()));
    }
    let second_unit = second_unit.ok_or(QuantityError::MissingUnit)?;
    Ok(Quantity {
        least: (first, first_unit.unwrap_or(second_unit)),
        most: (second, second_unit),
        is_range: true,
    })
}

fn take_number(text: &str) -> Result<(Decimal, &str), QuantityError> {
    let sign = text
        .chars()
        .next()
        .filter(|c| matches!(c, '-' | '+' | '\u{2212}'))
        .map_or(0, char::len_utf8);
    let digits = text[sign..]
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len() - sign);
    let (number, rest) = text.split_at(sign + digits);
    match Decimal::parse(number) {
        Ok(decimal) => Ok((decimal, rest.trim_start())),
        Err(NumberError::NotANumber) => Err(QuantityError::NotANumber),
        Err(NumberError::TooLong) => Err(QuantityError::TooManyDigits),
    }
}

fn take_unit(text: &str) -> Result<(Option<Unit>, &str), QuantityError> {
    let end = text
        .find(|c: char| !(c.is_alphabetic() || matches!(c, '°' | '%' | '"' | 'º')))
        .unwrap_or(text.len());
    let (word, rest) = text.split_at(end);
    if word.is_empty() || word == "to" {
        return Ok((None, text));
    }
    let spelled = word.replace('º', "°");
    SPELLINGS
        .iter()
        .find(|(name, _)| {
            *name == spelled || (name.len() > 1 && name.eq_ignore_ascii_case(&spelled))
        })
        .map(|(_, unit)| (Some(*unit), rest.trim_start()))
        .ok_or_else(|| QuantityError::UnknownUnit(word.to_owned()))
}

fn take_separator(text: &str) -> Option<&str> {
    ["to ", "\u{2013}", "-"]
        .iter()
        .find_map(|separator| text.strip_prefix(separator))
        .map(str::trim_start)
}

impl Quantity {
    fn range<T: Copy + Ord>(
        &self,
        convert: impl Fn(Decimal, Unit) -> Option<T>,
    ) -> Result<Range<T>, QuantityError> {
        let of = |(number, unit): (Decimal, Unit)| {
            convert(number, unit).ok_or_else(|| QuantityError::WrongUnit(unit_name(unit)))
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
    pub fn length(&self) -> Result<Length, QuantityError> {
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
    pub fn duration(&self) -> Result<Duration, QuantityError> {
        self.single(to_duration)
    }

    /// The quantity as a range of times; one value is a range of no width.
    ///
    /// # Errors
    /// When a unit is not one of time, or the range runs backwards.
    pub fn duration_range(&self) -> Result<Range<Duration>, QuantityError> {
        self.range(to_duration)
    }

    /// The quantity as one temperature.
    ///
    /// # Errors
    /// When its unit is not one of temperature, or it is a range.
    pub fn temperature(&self) -> Result<Temperature, QuantityError> {
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
    pub fn temperature_difference(&self) -> Result<TemperatureDifference, QuantityError> {
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
        (unit == same).then(|| (least, self.is_range.then_some(most), unit_name(unit)))
    }

    /// The temperature scale it was written in, if any.
    pub fn temperature_unit(&self) -> Option<TemperatureUnit> {
        match self.least.1 {
            Unit::Temperature(unit) => Some(unit),
            _ => None,
        }
    }
}

fn to_length(number: Decimal, unit: Unit) -> Option<Length> {
    match unit {
        Unit::Length(unit) => Some(Length::written(number, unit)),
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

fn unit_name(unit: Unit) -> String {
    let name = match unit {
        Unit::Length(unit) => unit.symbol(),
        Unit::Temperature(unit) => unit.symbol(),
        Unit::Time(unit) => unit.symbol(),
        Unit::Percent => "%",
        Unit::Pressure(unit) => unit.symbol(),
    };
    name.to_owned()
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

    /// A unit of one letter has its own case: no `18 S`, and no `500 f`.
    #[test]
    fn capitals_do_not_matter_in_a_word() {
        let length = |text| parse_quantity(text).and_then(|q| q.length());
        assert_eq!(length("12 MM"), length("12 mm"));
        assert_eq!(length("0.5 Inches"), length("12.7 mm"));
        assert_eq!(time("2 MIN"), time("120 s"));
        for unit in ["S", "H", "f", "c"] {
            let found = time(&format!("18 {unit}"));
            assert_eq!(found, Err(QuantityError::UnknownUnit(unit.into())));
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
