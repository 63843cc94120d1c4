//! Readers for single values: each takes a node, returns the typed value, and
//! says in a finding why it could not. Quantities have a file of their own.

use chrono::NaiveDate;
use unicode_properties::{GeneralCategoryGroup, UnicodeGeneralCategory};

use super::model::Reducer;
use super::node::{Node, NodeKind};
use super::rules;
use crate::budget;
use crate::finding::Finding;
use crate::size::{Size, SizeError, SizeSystem};
use crate::source::{Span, Spanned};
use crate::units::{Decimal, DimensionRatio, Range};

pub use super::quantities::*;

/// Longest text a field may hold, in characters.
pub(crate) const LONGEST_TEXT: usize = 300;
/// Longest number of a procedure, in characters: a folder's name has more to say.
pub(crate) const LONGEST_NUMBER: usize = 40;

/// A quantity as it was written, beside its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written<T> {
    /// The value.
    pub value: T,
    /// The characters in the spec.
    pub text: String,
    /// Where they stand.
    pub span: Span,
}

/// The characters of a scalar, few enough to be repeated in a message.
pub fn scalar<'n>(node: &'n Node, findings: &mut Vec<Finding>) -> Option<&'n str> {
    let NodeKind::Scalar(text) = &node.kind else {
        findings.push(rules::WRONG_TYPE.at(
            node.span,
            format!("a single value is wanted here, not {}", node.kind_name()),
        ));
        return None;
    };
    let characters = text.chars().count();
    if characters > LONGEST_TEXT {
        findings.push(rules::TEXT_NOT_PRINTABLE.at(
            node.span,
            format!(
                "the text has {characters} characters; at most {LONGEST_TEXT} fit on the papers"
            ),
        ));
        return None;
    }
    Some(text)
}

/// A line of text for people to read.
pub fn text(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<String>> {
    let value = scalar(node, findings)?.trim();
    let problem = if value.is_empty() {
        Some("the text is empty".to_owned())
    } else if let Some(marks) = most_marks(value).filter(|marks| *marks > budget::MARKS) {
        Some(format!(
            "the text has {marks} accents on one letter, which run into other lines; write up to {}",
            budget::MARKS
        ))
    } else {
        value
            .chars()
            .find(|c| c.is_control() || is_invisible(*c))
            .map(|c| {
                format!(
                    "the text holds U+{:04X}, which prints as nothing or turns the text around",
                    u32::from(c)
                )
            })
    };
    match problem {
        Some(message) => {
            findings.push(rules::TEXT_NOT_PRINTABLE.at(node.span, message));
            None
        }
        None => Some(Spanned::new(value.to_owned(), node.span)),
    }
}

/// The most marks that follow each other, so that they stand on one letter.
fn most_marks(text: &str) -> Option<usize> {
    let is_mark = |c: char| c.general_category_group() == GeneralCategoryGroup::Mark;
    let stacks = text.split(|c| !is_mark(c));
    stacks.map(|stack| stack.chars().count()).max()
}

/// Characters that have no shape of their own: marks that turn the direction of
/// a text, byte-order marks, soft hyphens, and code points without a meaning.
pub fn is_invisible(c: char) -> bool {
    matches!(c,
        '\u{AD}' | '\u{34F}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}'
        | '\u{FEFF}' | '\u{E000}'..='\u{F8FF}' | '\u{FFF0}'..='\u{FFFF}'
        | '\u{F0000}'..='\u{10FFFF}')
}

/// The number of the procedure, which also names its output folder.
pub fn procedure_number(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<String>> {
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

/// A whole number from 1.
pub fn counting_number(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<u32>> {
    let written = scalar(node, findings)?;
    match written.parse::<u32>() {
        Ok(value) if value > 0 => Some(Spanned::new(value, node.span)),
        _ => {
            findings.push(rules::NOT_A_QUANTITY.at(
                node.span,
                format!("'{written}' is not a whole number from 1"),
            ));
            None
        }
    }
}

/// A date, year first.
pub fn date(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<NaiveDate>> {
    let written = scalar(node, findings)?;
    match NaiveDate::parse_from_str(written, "%Y-%m-%d") {
        Ok(date) if written.len() == 10 => Some(Spanned::new(date, node.span)),
        _ => {
            findings.push(
                rules::NOT_A_DATE
                    .at(node.span, format!("'{written}' is not a date"))
                    .help("write the year, the month and the day: 2026-09-14"),
            );
            None
        }
    }
}

/// One of a few words.
pub fn word<T: Copy>(
    words: &'static [(&'static str, T)],
) -> impl Fn(&Node, &mut Vec<Finding>) -> Option<Spanned<T>> {
    move |node, findings| {
        let written = scalar(node, findings)?;
        if let Some((_, value)) = words.iter().find(|(name, _)| *name == written) {
            return Some(Spanned::new(*value, node.span));
        }
        let names: Vec<_> = words.iter().map(|(name, _)| *name).collect();
        let mut help = format!("use one of: {}", names.join(", "));
        if let Some(near) = nearest(written, &names) {
            help = format!("did you mean '{near}'? {help}");
        }
        findings.push(
            rules::UNKNOWN_WORD
                .at(
                    node.span,
                    format!("'{written}' is not a word this field knows"),
                )
                .help(help),
        );
        None
    }
}

/// The candidate that is close enough to be a slip of the keys.
pub fn nearest<'c>(written: &str, candidates: &[&'c str]) -> Option<&'c str> {
    candidates
        .iter()
        .map(|candidate| (strsim::damerau_levenshtein(written, candidate), *candidate))
        .filter(|(distance, candidate)| *distance <= (candidate.len() / 3).max(1))
        .min()
        .map(|(_, candidate)| candidate)
}

/// A nominal size.
pub fn size(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<Size>> {
    let written = scalar(node, findings)?;
    match Size::parse(written) {
        Ok(size) => Some(Spanned::new(size, node.span)),
        Err(error) => {
            findings.push(not_a_size(node.span, written, error));
            None
        }
    }
}

/// A size, or a range of sizes in one system: `3/4 IPS to 2 IPS`, `3/4 to 2 IPS`.
pub fn size_range(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<Range<Size>>> {
    let written = scalar(node, findings)?;
    let Some((first, second)) = written.split_once(" to ") else {
        return size(node, findings)
            .map(|size| Spanned::new(Range::new(size.value, size.value), size.span));
    };
    let to = Size::parse(second).map_err(|error| (second, error));
    let from = Size::parse(first).or_else(|error| match (error, &to) {
        // "3/4 to 2 IPS": the system is said once, at the end.
        (SizeError::NoSystem, Ok(to)) => {
            Size::parse(&format!("{first} {}", to.system().name())).map_err(|e| (first, e))
        }
        _ => Err((first, error)),
    });
    match (from, to) {
        (Ok(from), Ok(to)) if from.system() != to.system() => {
            findings.push(
                rules::MIXED_SIZE_SYSTEMS
                    .at(
                        node.span,
                        format!(
                            "the range begins in {} and ends in {}",
                            from.system().name(),
                            to.system().name()
                        ),
                    )
                    .help(if [from, to].iter().any(|size| size.system() == SizeSystem::Metric) {
                        "a range runs through sizes of one system; inch and metric pipe take a procedure each"
                    } else {
                        "a range runs through sizes of one system: give each system its own entry under `pipe`"
                    }),
            );
            None
        }
        (Ok(from), Ok(to)) if to < from => {
            findings.push(
                rules::NOT_A_QUANTITY
                    .at(
                        node.span,
                        format!("the range runs backwards, from {from} down to {to}"),
                    )
                    .help(format!("write {to} to {from}")),
            );
            None
        }
        (Ok(from), Ok(to)) => Some(Spanned::new(Range::new(from, to), node.span)),
        (Err((text, error)), _) | (_, Err((text, error))) => {
            findings.push(not_a_size(node.span, text, error));
            None
        }
    }
}

/// Two sizes of one fitting: `1 IPS x 3/4 IPS`. The larger may stand on either
/// side; a reducer between size systems has no larger, so the first is taken.
pub fn size_pair(node: &Node, findings: &mut Vec<Finding>) -> Option<Reducer> {
    let written = scalar(node, findings)?;
    let Some((first, second)) = written.split_once(['x', '×']) else {
        findings.push(
            rules::NOT_A_SIZE
                .at(node.span, format!("'{written}' does not name two sizes"))
                .help("write both ends of the reducing fitting: 1 IPS x 3/4 IPS"),
        );
        return None;
    };
    let mut read = |text: &str| {
        Size::parse(text)
            .map_err(|error| findings.push(not_a_size(node.span, text.trim(), error)))
            .ok()
    };
    let (first, second) = (read(first)?, read(second)?);
    if first == second {
        findings.push(
            rules::NOT_A_SIZE
                .at(
                    node.span,
                    format!("both ends are {first}, so nothing is reduced"),
                )
                .help("name the two sizes of the fitting: 1 IPS x 3/4 IPS"),
        );
        return None;
    }
    let swap = first.system() == second.system() && first < second;
    let (large, small) = if swap {
        (second, first)
    } else {
        (first, second)
    };
    Some(Reducer {
        large,
        small,
        span: node.span,
    })
}

fn not_a_size(span: Span, written: &str, error: SizeError) -> Finding {
    match error {
        SizeError::NoSystem => rules::NOT_A_SIZE
            .at(
                span,
                format!("the size '{written}' does not say IPS or CTS"),
            )
            .help(format!(
                "write '{written} IPS' or '{written} CTS': they are different pipes"
            )),
        SizeError::NotASize => {
            let finding =
                rules::NOT_A_SIZE.at(span, format!("'{written}' is not a nominal pipe size"));
            if written.contains(',') {
                finding.help(format!(
                    "several sizes are a list, in brackets: [{written}]"
                ))
            } else if written.contains('.') {
                finding.help("inch sizes are written with a fraction: 1-1/4 IPS, 1/2 CTS")
            } else {
                finding.help("write 1-1/4 IPS, 1/2 CTS or 63 mm")
            }
        }
    }
}

/// A dimension ratio: `11`, `DR 11`, `SDR 13.5`.
pub fn dimension_ratio(
    node: &Node,
    findings: &mut Vec<Finding>,
) -> Option<Spanned<DimensionRatio>> {
    let written = scalar(node, findings)?;
    let number = written.trim_start_matches(['S', 'D', 'R']).trim();
    match Decimal::parse(number).map(DimensionRatio::written) {
        Ok(ratio) if ratio.is_possible() => Some(Spanned::new(ratio, node.span)),
        _ => {
            findings.push(
                rules::NOT_A_QUANTITY
                    .at(node.span, format!("'{written}' is not a dimension ratio"))
                    .help("write the ratio of outside diameter to wall, above 2: 11, DR 11 or SDR 13.5"),
            );
            None
        }
    }
}

/// A whole number from 0.
pub fn count(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<u32>> {
    let written = scalar(node, findings)?;
    let Ok(value) = written.parse::<u32>() else {
        findings.push(rules::NOT_A_QUANTITY.at(
            node.span,
            format!("'{written}' is not a whole number from 0"),
        ));
        return None;
    };
    Some(Spanned::new(value, node.span))
}
