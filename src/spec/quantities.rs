//! Readers for quantities: lengths, times, temperatures and percentages, each
//! with its unit.

use super::node::Node;
use super::plausible::{Band, Quantifiable};
use super::rules;
use super::values::{Written, scalar};
use crate::finding::Finding;
use crate::source::Span;
use crate::units::{
    Duration, Length, Measure, Percent, Pressure, Quantity, QuantityError, Range, Temperature,
    TemperatureDifference, TemperatureUnit, parse_quantity,
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
        QuantityError::MissingUnit => rules::MISSING_UNIT
            .at(span, format!("'{written}' has no unit"))
            .help(format!(
                "this field takes {what}: write {written} and its unit, {units}"
            )),
        QuantityError::UnknownUnit(unit) if unit.starts_with(',') => rules::NOT_A_QUANTITY
            .at(span, format!("'{written}' has a comma in its number"))
            .help(format!(
                "numbers have a point in a spec, whatever the papers print: {}",
                written.replacen(',', ".", 1)
            )),
        QuantityError::UnknownUnit(unit) => rules::WRONG_UNIT
            .at(span, format!("'{unit}' is not a unit that is known here"))
            .help(allowed),
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

/// What a reader of a field gives back.
type Read<T> = Option<Written<T>>;

/// One value inside its band.
fn one<T: Quantifiable>(
    node: &Node,
    findings: &mut Vec<Finding>,
    wanted: &Wanted,
    band: &Band<T>,
    convert: impl Fn(&Quantity) -> Result<T, QuantityError>,
) -> Read<T> {
    let written = quantity(node, findings, wanted, convert)?;
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
    let written = quantity(node, findings, wanted, convert)?;
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

/// A length.
pub fn length(
    band: &'static Band<Length>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Length> + Copy {
    move |node, findings| one(node, findings, &LENGTH, band, Quantity::length)
}

/// A length or a range of lengths.
pub fn length_range(
    band: &'static Band<Length>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Range<Length>> + Copy {
    move |node, findings| range(node, findings, &LENGTH_RANGE, band, Quantity::length_range)
}

/// A time.
pub fn duration(
    band: &'static Band<Duration>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Duration> + Copy {
    move |node, findings| one(node, findings, &TIME, band, Quantity::duration)
}

/// A time or a range of times.
pub fn duration_range(
    band: &'static Band<Duration>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Range<Duration>> + Copy {
    move |node, findings| range(node, findings, &TIME_RANGE, band, Quantity::duration_range)
}

/// A temperature, with the scale it was written in.
pub fn temperature(
    band: &'static Band<Temperature>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<(Temperature, TemperatureUnit)> + Copy {
    move |node, findings| {
        let written = quantity(node, findings, &TEMPERATURE, |q| {
            let unit = q.temperature_unit().unwrap_or(TemperatureUnit::Fahrenheit);
            Ok((q.temperature()?, unit))
        })?;
        let (value, _) = written.value;
        inside(written, Range::new(value, value), band, findings)
    }
}

/// A range of temperatures.
pub fn temperature_range(
    band: &'static Band<Temperature>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Range<Temperature>> + Copy {
    move |node, findings| {
        let convert = Quantity::temperature_range;
        range(node, findings, &TEMPERATURE_RANGE, band, convert)
    }
}

/// A difference of temperature, with the scale it was written in.
pub fn temperature_difference(
    band: &'static Band<TemperatureDifference>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<(TemperatureDifference, TemperatureUnit)> + Copy {
    move |node, findings| {
        let written = quantity(node, findings, &DIFFERENCE, |q| {
            let unit = q.temperature_unit().unwrap_or(TemperatureUnit::Fahrenheit);
            Ok((q.temperature_difference()?, unit))
        })?;
        let (value, _) = written.value;
        inside(written, Range::new(value, value), band, findings)
    }
}

/// A pressure.
pub fn pressure(
    band: &'static Band<Pressure>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Pressure> + Copy {
    move |node, findings| one(node, findings, &PRESSURE, band, Quantity::pressure)
}

/// A percentage.
pub fn percent(
    band: &'static Band<Percent>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Read<Percent> + Copy {
    move |node, findings| one(node, findings, &PERCENT, band, Quantity::percent)
}
