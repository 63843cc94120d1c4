//! Readers for single values: each takes a node, returns the typed value, and
//! says in a finding why it could not. Quantities, sizes, dates and words have files of
//! their own.

use super::node::Node;
use super::plausible::{self, Band};
use super::rules;
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::core::units::{DimensionRatio, RatioError};
use crate::published::library;

pub(crate) use super::dates::date;
pub(crate) use super::quantities::*;
pub(crate) use super::scalar::{scalar, text, unprintable};
pub(crate) use super::sizes::{size, size_pair, size_range};
pub(crate) use super::words::{nearest, word};

/// Longest number of a procedure, in characters: a folder's name has more to say.
pub(crate) const LONGEST_NUMBER: usize = 40;

/// The number of the procedure, which also names its output folder.
pub(crate) fn procedure_number(
    node: &Node,
    findings: &mut Vec<Finding>,
) -> Option<Spanned<String>> {
    /// Names that some systems keep for devices, whatever the ending.
    const DEVICES: &[&str] = &["CON", "PRN", "AUX", "NUL", "COM", "LPT"];
    let number = text(node, findings)?;
    let stem = number.split('.').next().unwrap_or_default();
    let device = stem.trim_end_matches(|c: char| c.is_ascii_digit());
    let is_device = DEVICES.contains(&device.to_ascii_uppercase().as_str());
    let odd = number
        .chars()
        .find(|c| !c.is_ascii_alphanumeric() && !matches!(c, '-' | '_' | '.'));
    let problem = if let Some(odd) = odd {
        format!("it holds '{odd}'")
    } else if number.len() > LONGEST_NUMBER {
        format!("it has {} characters", number.len())
    } else if is_device {
        format!("some systems keep '{stem}' for a device")
    } else if !number.starts_with(|c: char| c.is_ascii_alphanumeric()) {
        "it begins with a mark".to_owned()
    } else if number.ends_with('.') {
        "it ends with a point".to_owned()
    } else {
        return Some(number);
    };
    findings.push(
        rules::NUMBER_NOT_A_FILE_NAME
            .at(number.span, format!("'{}' cannot name a folder of papers: {problem}", *number))
            .help("use letters, digits, hyphens, underscores and points, at most 40, beginning with a letter or a digit"),
    );
    None
}

/// The designation of a resin: as the tables have it where they know it, however it
/// is capitalized and hyphenated; otherwise as it is written.
pub(crate) fn resin(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<String>> {
    let written = text(node, findings)?;
    let known = library().resin_designation(&written);
    let value = known.map_or_else(|| written.value.clone(), ToOwned::to_owned);
    Some(Spanned::new(value, written.span))
}

/// A whole number from 1.
pub(crate) fn counting_number(
    band: &'static Band<u32>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Option<Spanned<u32>> + Copy {
    move |node, findings| whole_number(node, findings, 1, band)
}

/// A whole number from 0.
pub(crate) fn count(
    band: &'static Band<u32>,
) -> impl Fn(&Node, &mut Vec<Finding>) -> Option<Spanned<u32>> + Copy {
    move |node, findings| whole_number(node, findings, 0, band)
}

fn whole_number(
    node: &Node,
    findings: &mut Vec<Finding>,
    least: u32,
    band: &Band<u32>,
) -> Option<Spanned<u32>> {
    let written = scalar(node, findings)?;
    let Some(value) = written.trim().parse().ok().filter(|value| *value >= least) else {
        let message = format!("'{written}' is not a whole number from {least}");
        let finding = rules::NOT_A_QUANTITY.at(node.span, message);
        findings.push(match only_number(written).filter(|value| *value >= least) {
            Some(value) => finding
                .help(format!("write the number alone: {value}"))
                .edit(node.span, value.to_string()),
            None => finding,
        });
        return None;
    };
    let value = plausible::counted(band, value, node.span, written, findings)?;
    Some(Spanned::new(value, node.span))
}

/// The one whole number in a text: 2 of `2.0`, `Rev. 2` and `no. 2`.
fn only_number(text: &str) -> Option<u32> {
    let text = text.trim();
    let text = text.strip_suffix(".0").unwrap_or(text);
    if text.contains(['-', '−', ',']) {
        return None;
    }
    let mut numbers = text
        .split(|c: char| !c.is_ascii_digit())
        .filter(|p| !p.is_empty());
    let only = numbers.next()?;
    numbers
        .next()
        .is_none()
        .then(|| only.parse().ok())
        .flatten()
}

/// A dimension ratio: `11`, `DR 11`, `SDR 13.5`. A pipe series, `S 5`, is another
/// number and is never taken for one.
pub(crate) fn dimension_ratio(
    node: &Node,
    findings: &mut Vec<Finding>,
) -> Option<Spanned<DimensionRatio>> {
    let written = scalar(node, findings)?;
    match DimensionRatio::parse(written) {
        Ok(ratio) => plausible::ratio(ratio, node.span, written, findings)
            .map(|ratio| Spanned::new(ratio, node.span)),
        Err(error) => {
            findings.push(not_a_ratio(node.span, written, error));
            None
        }
    }
}

fn not_a_ratio(span: Span, written: &str, error: RatioError) -> Finding {
    let finding = |what: &str| {
        let message = format!("'{written}' is {what}");
        rules::NOT_A_QUANTITY.at(span, message)
    };
    match error {
        RatioError::Series(series) => {
            let ratio = DimensionRatio::of_series(series);
            let finding = finding("a pipe series, not a dimension ratio");
            finding.help(if plausible::RATIO.contains(ratio) {
                let ratio = ratio.exact();
                format!("if the print line says {written}, write SDR {ratio}: the ratio is 2 S + 1")
            } else {
                HOW_RATIO.to_owned()
            })
        }
        RatioError::OtherLetters => finding("not a dimension ratio").help(
            "only a number, DR or SDR is read, so that nothing else is taken for a ratio: 11, DR 11 or SDR 13.5",
        ),
        RatioError::NotARatio => finding("not a dimension ratio").help(HOW_RATIO),
    }
}

const HOW_RATIO: &str =
    "write the ratio of outside diameter to wall from the print line: 11, DR 11 or SDR 13.5";
