//! How people spell units, from a caliper's `in` to a spreadsheet's `degrees F`.

use super::{LengthUnit, PressureUnit, QuantityError, TemperatureUnit, TimeUnit};

/// A unit of any kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    Length(LengthUnit),
    /// Read, and never printed: papers have millimeters.
    Centimeter,
    Temperature(TemperatureUnit),
    Time(TimeUnit),
    Percent,
    Pressure(PressureUnit),
}

/// Words between the ends of a range, which are no unit.
pub(crate) const RANGE_WORDS: [&str; 3] = ["to", "thru", "through"];

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Measure {
    Length,
    Temperature,
    Time,
    Percent,
    Pressure,
}

const FAHRENHEIT: Unit = Unit::Temperature(TemperatureUnit::Fahrenheit);
const CELSIUS: Unit = Unit::Temperature(TemperatureUnit::Celsius);
const INCH: Unit = Unit::Length(LengthUnit::Inch);
const MILLIMETER: Unit = Unit::Length(LengthUnit::Millimeter);
const SECOND: Unit = Unit::Time(TimeUnit::Second);
const MINUTE: Unit = Unit::Time(TimeUnit::Minute);
const HOUR: Unit = Unit::Time(TimeUnit::Hour);

/// Every spelling as [`folded`] leaves it: small letters, one space between words.
const SPELLINGS: &[(&str, Unit)] = &[
    ("°f", FAHRENHEIT),
    ("° f", FAHRENHEIT),
    ("f", FAHRENHEIT),
    ("degf", FAHRENHEIT),
    ("deg f", FAHRENHEIT),
    ("degree f", FAHRENHEIT),
    ("degrees f", FAHRENHEIT),
    ("°fahrenheit", FAHRENHEIT),
    ("° fahrenheit", FAHRENHEIT),
    ("deg fahrenheit", FAHRENHEIT),
    ("degree fahrenheit", FAHRENHEIT),
    ("degrees fahrenheit", FAHRENHEIT),
    ("fahrenheit", FAHRENHEIT),
    ("°c", CELSIUS),
    ("° c", CELSIUS),
    ("c", CELSIUS),
    ("degc", CELSIUS),
    ("deg c", CELSIUS),
    ("degree c", CELSIUS),
    ("degrees c", CELSIUS),
    ("°celsius", CELSIUS),
    ("° celsius", CELSIUS),
    ("deg celsius", CELSIUS),
    ("degree celsius", CELSIUS),
    ("degrees celsius", CELSIUS),
    ("celsius", CELSIUS),
    ("centigrade", CELSIUS),
    ("in", INCH),
    ("inch", INCH),
    ("inches", INCH),
    ("\"", INCH),
    ("mm", MILLIMETER),
    ("millimeter", MILLIMETER),
    ("millimeters", MILLIMETER),
    ("millimetre", MILLIMETER),
    ("millimetres", MILLIMETER),
    ("cm", Unit::Centimeter),
    ("centimeter", Unit::Centimeter),
    ("centimeters", Unit::Centimeter),
    ("centimetre", Unit::Centimeter),
    ("centimetres", Unit::Centimeter),
    ("s", SECOND),
    ("sec", SECOND),
    ("secs", SECOND),
    ("second", SECOND),
    ("seconds", SECOND),
    ("min", MINUTE),
    ("mins", MINUTE),
    ("minute", MINUTE),
    ("minutes", MINUTE),
    ("h", HOUR),
    ("hr", HOUR),
    ("hrs", HOUR),
    ("hour", HOUR),
    ("hours", HOUR),
    ("%", Unit::Percent),
    ("percent", Unit::Percent),
    ("per cent", Unit::Percent),
    ("pct", Unit::Percent),
    ("psi", Unit::Pressure(PressureUnit::Psi)),
    ("psig", Unit::Pressure(PressureUnit::Psi)),
    ("bar", Unit::Pressure(PressureUnit::Bar)),
    ("barg", Unit::Pressure(PressureUnit::Bar)),
    ("kpa", Unit::Pressure(PressureUnit::Kilopascal)),
    ("mpa", Unit::Pressure(PressureUnit::Megapascal)),
];

/// Characters that stand for others in the spelling of a unit.
const ALIKE: &[(char, &str)] = &[
    ('º', "°"),
    ('˚', "°"),
    ('℉', "°f"),
    ('℃', "°c"),
    ('″', "\""),
    ('”', "\""),
    ('“', "\""),
];

impl Unit {
    fn measures(self) -> Measure {
        match self {
            Unit::Length(_) | Unit::Centimeter => Measure::Length,
            Unit::Temperature(_) => Measure::Temperature,
            Unit::Time(_) => Measure::Time,
            Unit::Percent => Measure::Percent,
            Unit::Pressure(_) => Measure::Pressure,
        }
    }

    pub(super) fn symbol(self) -> &'static str {
        match self {
            Unit::Length(unit) => unit.symbol(),
            Unit::Centimeter => "cm",
            Unit::Temperature(unit) => unit.symbol(),
            Unit::Time(unit) => unit.symbol(),
            Unit::Percent => "%",
            Unit::Pressure(unit) => unit.symbol(),
        }
    }
}

/// A pattern for every spelling of the units of this measure, as the editors'
/// regular expressions have it.
pub(crate) fn pattern(measure: Measure) -> String {
    let of_measure = SPELLINGS.iter().filter(|(_, u)| u.measures() == measure);
    let spelled: Vec<_> = of_measure.map(|(name, _)| pattern_of(name)).collect();
    let fahrenheit_celsius = match measure {
        Measure::Temperature => "|℉|℃",
        _ => "",
    };
    format!("(?:(?:{}{fahrenheit_celsius})[.]?)", spelled.join("|"))
}

fn pattern_of(spelling: &str) -> String {
    let letter = |c: char| match c {
        '°' => "[°º˚]".to_owned(),
        '"' => "(?:[\"″”“]|'')".to_owned(),
        ' ' => r"[.]?\s*".to_owned(),
        c if c.is_ascii_alphabetic() => format!("[{c}{}]", c.to_ascii_uppercase()),
        c => c.to_string(),
    };
    spelling.chars().map(letter).collect()
}

/// The unit that a text begins with, and the rest of the text. Capitals and the
/// point of an abbreviation do not matter.
pub(super) fn take_unit(text: &str) -> Result<(Option<Unit>, &str), QuantityError> {
    let (first, after_first) = take_word(text);
    if first.is_empty() || RANGE_WORDS.contains(&first.to_lowercase().as_str()) {
        return Ok((None, text));
    }
    let (second, after_second) = take_word(after_first.trim_start());
    let known = |spelled: &str| {
        let spelled = folded(spelled);
        SPELLINGS.iter().find(|(name, _)| *name == spelled)
    };
    let both = known(&format!("{first} {second}")).map(|(_, unit)| (*unit, after_second));
    let one = || known(first).map(|(_, unit)| (*unit, after_first));
    match both.or_else(one) {
        Some((unit, rest)) => Ok((Some(unit), rest.trim_start())),
        None => Err(QuantityError::UnknownUnit(first.to_owned())),
    }
}

/// The letters and signs that a text begins with, without the point after them.
fn take_word(text: &str) -> (&str, &str) {
    let is_part = |c: char| c.is_alphabetic() || "°˚%\"'″”“℉℃".contains(c);
    let end = text.find(|c| !is_part(c)).unwrap_or(text.len());
    let (word, rest) = text.split_at(end);
    match word.is_empty() {
        true => (word, rest),
        false => (word, rest.strip_prefix('.').unwrap_or(rest)),
    }
}

fn folded(spelled: &str) -> String {
    let mut folded = spelled.replace("''", "\"");
    for (c, meant) in ALIKE {
        folded = folded.replace(*c, meant);
    }
    folded.to_lowercase()
}
