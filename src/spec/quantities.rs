//! Readers for quantities: lengths, times, temperatures and percentages, each
//! with its unit.

use super::node::{Node, NodeKind};
use super::rules;
use super::values::{Written, scalar};
use crate::finding::Finding;
use crate::source::Span;
use crate::units::{
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
) -> Option<Written<T>> {
    let written = scalar(node, findings)?;
    match parse_quantity(written).and_then(|q| convert(&q)) {
        Ok(value) => Some(Written {
            value,
            text: written.trim().to_owned(),
            span: node.span,
        }),
        Err(error) => {
            findings.push(not_the_quantity(node.span, written, wanted, &error));
            None
        }
    }
}

fn not_the_quantity(span: Span, written: &str, wanted: &Wanted, error: &QuantityError) -> Finding {
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
            let help = match as_share(written).filter(|_| wanted.measure == Measure::Percent) {
                Some(percent) => format!(
                    "this field takes {what}: write {percent} % or {written} %, whichever is meant"
                ),
                None => format!("this field takes {what}: write {written} and its unit, {units}"),
            };
            rules::MISSING_UNIT
                .at(span, format!("'{written}' has no unit"))
                .help(help)
        }
        QuantityError::Separators => separated(span, written),
        QuantityError::Fraction(number) => rules::NOT_A_QUANTITY
            .at(
                span,
                format!("'{written}' has a fraction; only inches are read so"),
            )
            .help(format!("write the number as a decimal: {number}")),
        QuantityError::UnknownUnit(unit) => rules::WRONG_UNIT
            .at(span, format!("'{unit}' is not a unit that is known here"))
            .help(unit_in_doubt(unit).map_or(allowed, ToOwned::to_owned)),
        QuantityError::WrongUnit(unit) => rules::WRONG_UNIT
            .at(span, format!("'{unit}' does not measure {what}"))
            .help(allowed),
        QuantityError::NotOneValue => rules::NOT_A_QUANTITY
            .at(span, format!("'{written}' is a range; one value is wanted"))
            .help(allowed),
        QuantityError::Reversed => rules::NOT_A_QUANTITY
            .at(span, format!("the range '{written}' runs backwards"))
            .help("write the lower value first"),
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

/// A number up to one as a percentage: a spreadsheet stores 91 % as 0.91.
fn as_share(written: &str) -> Option<Decimal> {
    let number = Decimal::parse(written.trim()).ok()?;
    let percent = Decimal::of(number.millionths.checked_mul(100)?, 1_000_000);
    (percent.millionths > 0 && number.millionths <= 1_000_000).then_some(percent)
}

/// Says what may be meant by digits with a comma, or in groups.
fn separated(span: Span, written: &str) -> Finding {
    let of_quantity = |text: &String| parse_quantity(text).is_ok();
    let Readings { thousands, decimal } = readings(written);
    let (thousands, decimal) = (thousands.filter(of_quantity), decimal.filter(of_quantity));
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
        (Some(thousands), None) => finding.help(format!(
            "numbers have no thousands separators in a spec: {thousands}"
        )),
        (None, Some(decimal)) => finding.help(format!(
            "numbers have a point in a spec, whatever the papers print: {decimal}"
        )),
        (None, None) => finding.help(
            "write the number with a decimal point, and without thousands separators".to_owned(),
        ),
    }
}

/// What to write for a unit that means one thing here and another there.
fn unit_in_doubt(unit: &str) -> Option<&'static str> {
    match unit.to_lowercase().as_str() {
        "m" => {
            Some("'m' may be meters or minutes: write the length in in or mm, or the time in min")
        }
        "mil" | "mils" | "thou" => Some(
            "a mil is a thousandth of an inch to some and a millimeter to others: write the \
             length in in or mm",
        ),
        "deg" | "degs" | "degree" | "degrees" | "°" | "º" => Some("write °F or °C"),
        "k" | "kelvin" => Some("write the temperature in °F or °C"),
        "'" | "’" | "′" => Some("write the unit in letters: in, min or s"),
        _ => None,
    }
}

/// A length above zero.
pub fn length(node: &Node, findings: &mut Vec<Finding>) -> Option<Written<Length>> {
    let length = quantity(node, findings, &LENGTH, Quantity::length)?;
    above(length, Length::ZERO, findings)
}

/// A length or a range of lengths, above zero.
pub fn length_range(node: &Node, findings: &mut Vec<Finding>) -> Option<Written<Range<Length>>> {
    let range = quantity(node, findings, &LENGTH_RANGE, Quantity::length_range)?;
    least_above(range, Length::ZERO, findings)
}

/// A time above zero.
pub fn duration(node: &Node, findings: &mut Vec<Finding>) -> Option<Written<Duration>> {
    let time = quantity(node, findings, &TIME, Quantity::duration)?;
    above(time, Duration::ZERO, findings)
}

/// A time or a range of times, above zero.
pub fn duration_range(
    node: &Node,
    findings: &mut Vec<Finding>,
) -> Option<Written<Range<Duration>>> {
    let range = quantity(node, findings, &TIME_RANGE, Quantity::duration_range)?;
    least_above(range, Duration::ZERO, findings)
}

fn least_above<T: Copy + Ord>(
    range: Written<Range<T>>,
    floor: T,
    findings: &mut Vec<Finding>,
) -> Option<Written<Range<T>>> {
    let least = Written {
        value: range.value.least,
        text: range.text.clone(),
        span: range.span,
    };
    above(least, floor, findings).map(|_| range)
}

fn above<T: Ord>(written: Written<T>, floor: T, findings: &mut Vec<Finding>) -> Option<Written<T>> {
    if written.value > floor {
        return Some(written);
    }
    findings.push(rules::NOT_A_QUANTITY.at(
        written.span,
        format!("'{}' is not above zero", written.text),
    ));
    None
}

/// A temperature, with the scale it was written in.
pub fn temperature(
    node: &Node,
    findings: &mut Vec<Finding>,
) -> Option<Written<(Temperature, TemperatureUnit)>> {
    quantity(node, findings, &TEMPERATURE, |q| {
        let unit = q.temperature_unit().unwrap_or(TemperatureUnit::Fahrenheit);
        Ok((q.temperature()?, unit))
    })
}

/// A range of temperatures.
pub fn temperature_range(
    node: &Node,
    findings: &mut Vec<Finding>,
) -> Option<Written<Range<Temperature>>> {
    quantity(
        node,
        findings,
        &TEMPERATURE_RANGE,
        Quantity::temperature_range,
    )
}

/// A difference of temperature, with the scale it was written in.
pub fn temperature_difference(
    node: &Node,
    findings: &mut Vec<Finding>,
) -> Option<Written<(TemperatureDifference, TemperatureUnit)>> {
    quantity(node, findings, &DIFFERENCE, |q| {
        let unit = q.temperature_unit().unwrap_or(TemperatureUnit::Fahrenheit);
        Ok((q.temperature_difference()?, unit))
    })
}

/// What counts each way may be written with the sign for it.
fn without_plus_minus(node: &Node) -> Node {
    let mut node = node.clone();
    if let NodeKind::Scalar(text) = &mut node.kind {
        let number = ["±", "+/-"]
            .iter()
            .find_map(|sign| text.trim_start().strip_prefix(sign));
        if let Some(number) = number {
            *text = number.trim_start().to_owned();
        }
    }
    node
}

/// A difference of temperature that has no sign: a swing, a step, an accuracy.
pub fn temperature_spread(
    node: &Node,
    findings: &mut Vec<Finding>,
) -> Option<Written<(TemperatureDifference, TemperatureUnit)>> {
    let spread = temperature_difference(&without_plus_minus(node), findings)?;
    if spread.value.0 >= TemperatureDifference::ZERO {
        return Some(spread);
    }
    findings.push(rules::NOT_A_QUANTITY.at(
        spread.span,
        format!("'{}' is below zero; it counts each way", spread.text),
    ));
    None
}

/// A pressure above zero.
pub fn pressure(node: &Node, findings: &mut Vec<Finding>) -> Option<Written<Pressure>> {
    let pressure = quantity(node, findings, &PRESSURE, Quantity::pressure)?;
    above(pressure, Pressure::ZERO, findings)
}

/// A percentage from 0, with no upper end: how much longer something became.
pub fn elongation(node: &Node, findings: &mut Vec<Finding>) -> Option<Written<Percent>> {
    let elongation = quantity(node, findings, &PERCENT, Quantity::percent)?;
    if elongation.value >= Percent::ZERO {
        return Some(elongation);
    }
    findings.push(rules::NOT_A_QUANTITY.at(
        elongation.span,
        format!("'{}' is below zero", elongation.text),
    ));
    None
}

/// A percentage from 0 to 100.
pub fn share(node: &Node, findings: &mut Vec<Finding>) -> Option<Written<Percent>> {
    up_to_the_whole(elongation(node, findings)?, findings)
}

fn up_to_the_whole(
    percent: Written<Percent>,
    findings: &mut Vec<Finding>,
) -> Option<Written<Percent>> {
    if percent.value <= Percent::WHOLE {
        return Some(percent);
    }
    findings.push(rules::NOT_A_QUANTITY.at(
        percent.span,
        format!("'{}' is more than the whole, 100 %", percent.text),
    ));
    None
}

/// A percentage above 0 and up to 100.
pub fn percent(node: &Node, findings: &mut Vec<Finding>) -> Option<Written<Percent>> {
    let percent = quantity(node, findings, &PERCENT, Quantity::percent)?;
    up_to_the_whole(above(percent, Percent::ZERO, findings)?, findings)
}
