//! Readers for quantities: lengths, times, temperatures and percentages, each
//! with its unit.

use super::node::{Node, NodeKind};
use super::plausible::{Band, Quantifiable};
use super::rules;
use super::scalar::scalar;
use super::written::Written;
use crate::core::finding::Finding;
use crate::core::source::Span;
use crate::core::units::{
    Decimal, Duration, Length, Measure, Percent, Pressure, Quantity, QuantityError, Range,
    Readings, Temperature, TemperatureDifference, TemperatureUnit, parse_quantity, readings,
};

/// What kind of quantity a field takes, for the messages and the schema.
pub(crate) struct Wanted {
    pub(crate) what: &'static str,
    pub(crate) units: &'static str,
    /// None for a length: whoever reads a figure may take it for a depth, which is
    /// only measured.
    pub(crate) example: Option<&'static str>,
    pub(crate) measure: Measure,
}

pub(crate) const LENGTH: Wanted = Wanted {
    what: "a length",
    units: "in or mm",
    example: None,
    measure: Measure::Length,
};
pub(crate) const LENGTH_RANGE: Wanted = Wanted {
    what: "a length or a range of lengths",
    units: "in or mm",
    example: Some("62.0 to 62.4 mm"),
    measure: Measure::Length,
};
pub(crate) const TIME: Wanted = Wanted {
    what: "a time",
    units: "s, min or h",
    example: Some("30 s"),
    measure: Measure::Time,
};
pub(crate) const TIME_RANGE: Wanted = Wanted {
    what: "a time or a range of times",
    units: "s, min or h",
    example: Some("18 to 21 s"),
    measure: Measure::Time,
};
pub(crate) const TEMPERATURE: Wanted = Wanted {
    what: "a temperature",
    units: "°F or °C",
    example: Some("500 °F"),
    measure: Measure::Temperature,
};
pub(crate) const TEMPERATURE_RANGE: Wanted = Wanted {
    what: "a range of temperatures",
    units: "°F or °C",
    example: Some("20 °F to 110 °F"),
    measure: Measure::Temperature,
};
pub(crate) const DIFFERENCE: Wanted = Wanted {
    what: "a difference of temperature",
    units: "°F or °C",
    example: Some("2 °F"),
    measure: Measure::Temperature,
};
pub(crate) const PERCENT: Wanted = Wanted {
    what: "a percentage",
    units: "%",
    example: Some("91 %"),
    measure: Measure::Percent,
};

pub(crate) const PRESSURE: Wanted = Wanted {
    what: "a pressure",
    units: "psi, bar, kPa or MPa",
    example: Some("630 psi"),
    measure: Measure::Pressure,
};

fn quantity<T>(
    node: &Node,
    findings: &mut Vec<Finding>,
    wanted: &Wanted,
    convert: impl Fn(&Quantity) -> Result<T, QuantityError>,
    fits: impl Fn(&T) -> bool,
) -> Option<Written<T>> {
    let written = scalar(node, findings)?;
    match parse_quantity(written).and_then(|q| convert(&q)) {
        Ok(value) => Some(Written {
            value,
            text: written.trim().to_owned(),
            span: node.span,
        }),
        Err(error) => {
            let is_one = |text: &str| {
                let value = parse_quantity(text).and_then(|q| convert(&q));
                value.is_ok_and(|value| fits(&value))
            };
            findings.push(not_the_quantity(node.span, written, wanted, &error, is_one));
            None
        }
    }
}

fn not_the_quantity(
    span: Span,
    written: &str,
    wanted: &Wanted,
    error: &QuantityError,
    is_one: impl Fn(&str) -> bool,
) -> Finding {
    let Wanted {
        what,
        units,
        example,
        ..
    } = wanted;
    let as_in = example.map(|example| format!(", as in `{example}`"));
    let as_in = as_in.unwrap_or_default();
    let allowed = format!("this field takes {what} with its unit ({units}){as_in}");
    match error {
        // With the person's own number: an example would be somebody else's figure.
        QuantityError::MissingUnit => {
            let finding = rules::MISSING_UNIT.at(span, format!("'{written}' has no unit"));
            let share = as_share(written).filter(|_| wanted.measure == Measure::Percent);
            if let (None, Some(with_unit)) = (share, only_with(written, units, &is_one)) {
                return finding
                    .help(format!("write {with_unit}"))
                    .edit(span, with_unit);
            }
            let help = match share {
                Some(percent) => format!(
                    "this field takes {what}: write {percent} % or {written} %, whichever is meant"
                ),
                None => format!("this field takes {what}: write {written} and its unit, {units}"),
            };
            finding.help(help)
        }
        QuantityError::Separators => separated(span, written, is_one),
        QuantityError::Fraction(number) => rules::NOT_A_QUANTITY
            .at(
                span,
                format!("'{written}' has a fraction; only inches are read so"),
            )
            .help(format!("write the number as a decimal: {number}"))
            .edit(span, number.to_string()),
        QuantityError::UnknownUnit(unit) => {
            let message = format!("'{unit}' is not a unit that is known here");
            let finding = rules::WRONG_UNIT.at(span, message);
            let number = written.trim().strip_suffix(unit.as_str());
            let is_degrees = unit_in_doubt(unit) == Some(DEGREES);
            match number
                .filter(|_| is_degrees)
                .and_then(|number| only_with(number, units, &is_one))
            {
                Some(with_unit) => finding
                    .help(format!("write {with_unit}"))
                    .edit(span, with_unit),
                None => finding.help(unit_in_doubt(unit).map_or(allowed, ToOwned::to_owned)),
            }
        }
        QuantityError::WrongUnit(unit) => rules::WRONG_UNIT
            .at(span, format!("'{unit}' does not measure {what}"))
            .help(allowed),
        QuantityError::NotOneValue => rules::NOT_A_QUANTITY
            .at(span, format!("'{written}' is a range; one value is wanted"))
            .help(allowed),
        QuantityError::Reversed => {
            let message = format!("the range '{written}' runs backwards");
            let finding = rules::NOT_A_QUANTITY.at(span, message);
            match turned(written, &is_one) {
                Some(turned) => finding.help(format!("write {turned}")).edit(span, turned),
                None => finding.help("write the lower value first"),
            }
        }
        QuantityError::TooManyDigits => rules::NOT_A_QUANTITY
            .at(
                span,
                format!("'{written}' has more digits than any measurement has"),
            )
            .help("at most six decimal places and nine digits before the point"),
        QuantityError::NotANumber => rules::NOT_A_QUANTITY
            .at(span, format!("'{written}' is not a number with a unit"))
            .help(allowed),
    }
}

/// A number with the one unit that makes it a value of the field.
fn only_with(number: &str, units: &str, is_one: &impl Fn(&str) -> bool) -> Option<String> {
    let is_between = |c: char| c == ',' || c.is_whitespace();
    let units = units
        .split(is_between)
        .filter(|unit| !matches!(*unit, "" | "or"));
    let mut fitting = units
        .map(|unit| format!("{} {unit}", number.trim()))
        .filter(|text| is_one(text));
    let only = fitting.next()?;
    fitting.next().is_none().then_some(only)
}

/// A range of two values with one unit, its ends the other way around.
fn turned(written: &str, is_one: &impl Fn(&str) -> bool) -> Option<String> {
    let words: Vec<_> = written.split_whitespace().collect();
    let turned = match words.as_slice() {
        [high, to, low, unit] => format!("{low} {to} {high} {unit}"),
        [high, unit, to, low, second] => format!("{low} {second} {to} {high} {unit}"),
        _ => return None,
    };
    is_one(&turned).then_some(turned)
}

/// What a reader of a field gives back.
type Read<T> = Option<Written<T>>;

/// A number up to one as a percentage: a spreadsheet stores 91 % as 0.91.
fn as_share(written: &str) -> Option<Decimal> {
    let number = Decimal::parse(written.trim()).ok()?;
    let percent = Decimal::from_scaled(number.millionths.checked_mul(100)?, 1_000_000);
    (percent.millionths > 0 && number.millionths <= 1_000_000).then_some(percent)
}

/// Says what may be meant by digits with a comma, or in groups: only what the field
/// takes.
fn separated(span: Span, written: &str, is_one: impl Fn(&str) -> bool) -> Finding {
    let is_taken = |text: &String| is_one(text);
    let Readings { thousands, decimal } = readings(written);
    let (thousands, decimal) = (thousands.filter(is_taken), decimal.filter(is_taken));
    let what = match written.contains(',') {
        true => "has a comma in its number",
        false => "has its digits in groups",
    };
    let finding = rules::NOT_A_QUANTITY.at(span, format!("'{written}' {what}"));
    match (thousands, decimal) {
        (Some(thousands), Some(decimal)) => finding.help(format!(
            "write {thousands} if the comma separates thousands, or {decimal} if it is the \
             decimal mark"
        )),
        (Some(thousands), None) => finding
            .help(format!(
                "numbers have no thousands separators in a spec: {thousands}"
            ))
            .edit(span, thousands),
        (None, Some(decimal)) => finding
            .help(format!(
                "numbers have a point in a spec, whatever the papers print: {decimal}"
            ))
            .edit(span, decimal),
        (None, None) => finding.help(
            "write the number with a decimal point, and without thousands separators".to_owned(),
        ),
    }
}

/// What to write for a temperature that does not say its scale.
const DEGREES: &str = "write °F or °C";

/// What to write for a unit that means one thing here and another there.
fn unit_in_doubt(unit: &str) -> Option<&'static str> {
    match unit.to_lowercase().as_str() {
        tolerance if tolerance.starts_with(['±', '+']) => Some(
            "write the value alone, without its tolerance: how far the faces may be off comes \
             from the tables, and the accuracy of an instrument has a field of its own",
        ),
        "m" => {
            Some("'m' may be meters or minutes: write the length in in or mm, or the time in min")
        }
        "mil" | "mils" | "thou" => Some(
            "a mil is a thousandth of an inch to some and a millimeter to others: write the \
             length in in or mm",
        ),
        "deg" | "degs" | "degree" | "degrees" | "°" | "º" => Some(DEGREES),
        "k" | "kelvin" => Some("write the temperature in °F or °C"),
        "'" | "’" | "′" => Some("write the unit in letters: in, min or s"),
        _ => None,
    }
}

/// One value inside its band.
fn one<T: Quantifiable>(
    node: &Node,
    findings: &mut Vec<Finding>,
    wanted: &Wanted,
    band: &Band<T>,
    convert: impl Fn(&Quantity) -> Result<T, QuantityError>,
) -> Read<T> {
    let written = quantity(node, findings, wanted, convert, |value| {
        band.contains(*value)
    })?;
    let value = written.value;
    inside(written, Range::new(value, value), band, findings)
}

/// A range of values, all of them inside their band.
fn range<T: Quantifiable>(
    node: &Node,
    findings: &mut Vec<Finding>,
    wanted: &Wanted,
    band: &Band<T>,
    convert: impl Fn(&Quantity) -> Result<Range<T>, QuantityError>,
) -> Read<Range<T>> {
    let fits = |range: &Range<T>| band.contains(range.least) && band.contains(range.most);
    let written = quantity(node, findings, wanted, convert, fits)?;
    let range = written.value;
    inside(written, range, band, findings)
}

/// What was written, if all of it lies inside the band.
fn inside<T, Q: Quantifiable>(
    written: Written<T>,
    range: Range<Q>,
    band: &Band<Q>,
    findings: &mut Vec<Finding>,
) -> Read<T> {
    if band.contains(range.least) && band.contains(range.most) {
        return Some(written);
    }
    findings.push(band.refuse(written.span, &written.text));
    None
}

pub(crate) fn length(
    band: &'static Band<Length>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Length> + Copy {
    move |node, findings| one(node, findings, &LENGTH, band, Quantity::length)
}

pub(crate) fn length_range(
    band: &'static Band<Length>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Range<Length>> + Copy {
    move |node, findings| range(node, findings, &LENGTH_RANGE, band, Quantity::length_range)
}

/// A time.
pub(crate) fn duration(
    band: &'static Band<Duration>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Duration> + Copy {
    move |node, findings| one(node, findings, &TIME, band, Quantity::duration)
}

/// A time or a range of times.
pub(crate) fn duration_range(
    band: &'static Band<Duration>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Range<Duration>> + Copy {
    move |node, findings| range(node, findings, &TIME_RANGE, band, Quantity::duration_range)
}

/// A temperature, with the scale it was written in.
pub(crate) fn temperature(
    band: &'static Band<Temperature>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<(Temperature, TemperatureUnit)> + Copy {
    move |node, findings| {
        let written = quantity(
            node,
            findings,
            &TEMPERATURE,
            |q| {
                let unit = q.temperature_unit().unwrap_or(TemperatureUnit::Fahrenheit);
                Ok((q.temperature()?, unit))
            },
            |(value, _)| band.contains(*value),
        )?;
        let (value, _) = written.value;
        inside(written, Range::new(value, value), band, findings)
    }
}

/// A range of temperatures.
pub(crate) fn temperature_range(
    band: &'static Band<Temperature>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Range<Temperature>> + Copy {
    move |node, findings| {
        let convert = Quantity::temperature_range;
        range(node, findings, &TEMPERATURE_RANGE, band, convert)
    }
}

/// A difference of temperature, with the scale it was written in.
pub(crate) fn temperature_difference(
    band: &'static Band<TemperatureDifference>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<(TemperatureDifference, TemperatureUnit)> + Copy {
    move |node, findings| {
        let written = quantity(
            node,
            findings,
            &DIFFERENCE,
            |q| {
                let unit = q.temperature_unit().unwrap_or(TemperatureUnit::Fahrenheit);
                Ok((q.temperature_difference()?, unit))
            },
            |(value, _)| band.contains(*value),
        )?;
        let (value, _) = written.value;
        inside(written, Range::new(value, value), band, findings)
    }
}

/// A difference of temperature that counts each way: a swing, a step, an accuracy.
/// It may be written with the sign for that.
pub(crate) fn temperature_spread(
    band: &'static Band<TemperatureDifference>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<(TemperatureDifference, TemperatureUnit)> + Copy {
    move |node, findings| {
        let mut node = node.clone();
        if let NodeKind::Scalar(text) = &mut node.kind {
            let number = ["±", "+/-"]
                .iter()
                .find_map(|sign| text.trim_start().strip_prefix(sign));
            if let Some(number) = number {
                *text = number.trim_start().to_owned();
            }
        }
        temperature_difference(band)(&node, findings)
    }
}

pub(crate) fn pressure(
    band: &'static Band<Pressure>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Pressure> + Copy {
    move |node, findings| one(node, findings, &PRESSURE, band, Quantity::pressure)
}

/// A percentage.
pub(crate) fn percent(
    band: &'static Band<Percent>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Percent> + Copy {
    move |node, findings| one(node, findings, &PERCENT, band, Quantity::percent)
}
