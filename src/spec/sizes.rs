//! Reads nominal sizes, ranges of them and both ends of a fitting.

use super::node::Node;
use super::rules;
use super::scalar::scalar;
use crate::core::finding::Finding;
use crate::core::size::{Size, SizeError, SizeSystem};
use crate::core::source::{Span, Spanned};
use crate::core::units::{RANGE_WORDS, Range, readings};

/// A fitting with a socket of one size and a socket of a smaller one.
#[derive(Debug, Clone)]
pub struct Reducer {
    /// The larger socket.
    pub large: Size,
    /// The smaller socket.
    pub small: Size,
    /// The place of the pair.
    pub span: Span,
}

/// A nominal size.
pub(crate) fn size(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<Size>> {
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
pub(crate) fn size_range(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<Range<Size>>> {
    let written = scalar(node, findings)?;
    let ends = match Size::parse(written) {
        // A dash may be that of `1–1/4 IPS`.
        Ok(_) => None,
        Err(_) => ends_of_range(written),
    };
    let Some((first, second)) = ends else {
        return size(node, findings)
            .map(|size| Spanned::new(Range::new(size.value, size.value), size.span));
    };
    let to = Size::parse(second).map_err(|error| (second, error));
    let from = match &to {
        Ok(to) => in_system_of(first, *to),
        Err(_) => Size::parse(first),
    };
    match (from.map_err(|error| (first, error)), to) {
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
                        "a range runs through sizes of one system: write one for each, as in [1/2 to 3/4 CTS, 1 to 2 IPS]"
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
                    .help(format!("write {to} to {from}"))
                    .edit(node.span, format!("{to} to {from}")),
            );
            None
        }
        (Ok(from), Ok(to)) => Some(Spanned::new(Range::new(from, to), node.span)),
        (Err((text, error)), _) | (_, Err((text, error))) => {
            findings.push(part_not_a_size(node.span, text, error));
            None
        }
    }
}

/// The two ends that a range word or a dash sets apart.
fn ends_of_range(written: &str) -> Option<(&str, &str)> {
    let lower = written.to_ascii_lowercase();
    let words = RANGE_WORDS.iter().map(|word| format!(" {word} "));
    let signs = ["–", "—", " - "].into_iter().map(str::to_owned);
    let separator = words.chain(signs).find(|between| lower.contains(between))?;
    let at = lower.find(&separator)?;
    let first = written.get(..at)?;
    Some((first, written.get(at + separator.len()..)?))
}

/// A size that may leave its system to the other end: the first of `3/4 to 2 IPS`.
fn in_system_of(written: &str, other: Size) -> Result<Size, SizeError> {
    Size::parse(written).or_else(|error| match error {
        SizeError::NoSystem => Size::parse(&format!("{written} {}", other.system().name())),
        SizeError::NotASize => Err(error),
    })
}

/// Two sizes of one fitting: `1 IPS x 3/4 IPS` or `1 x 3/4 IPS`. The larger may stand on either
/// side; a reducer between size systems has no larger, so the first is taken.
pub(crate) fn size_pair(node: &Node, findings: &mut Vec<Finding>) -> Option<Reducer> {
    let written = scalar(node, findings)?;
    let Some((first, second)) = written.split_once(['x', 'X', '×']) else {
        findings.push(
            rules::NOT_A_SIZE
                .at(node.span, format!("'{written}' does not name two sizes"))
                .help("write both ends of the reducing fitting: 1 IPS x 3/4 IPS"),
        );
        return None;
    };
    let to = Size::parse(second);
    let from = match to {
        Ok(to) => in_system_of(first, to),
        Err(_) => Size::parse(first),
    };
    let (first, second) = match (from, to) {
        (Ok(from), Ok(to)) => (from, to),
        (from, to) => {
            let wrong = [(first, from), (second, to)].into_iter();
            let wrong = wrong.filter_map(|(text, read)| Some((text, read.err()?)));
            let found = wrong.map(|(text, error)| part_not_a_size(node.span, text.trim(), error));
            findings.extend(found);
            return None;
        }
    };
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

/// The finding about a text that is no size, where it is all that stands at `span`.
fn not_a_size(span: Span, written: &str, error: SizeError) -> Finding {
    match error {
        SizeError::NoSystem => {
            let message = format!("the size '{written}' does not say IPS or CTS");
            let finding = rules::NOT_A_SIZE.at(span, message);
            match metric_size(written) {
                Some(size) => finding
                    .help(format!(
                        "write '{size}' for metric pipe, by its outside diameter"
                    ))
                    .edit(span, size),
                None => finding.help(systems_of(written)),
            }
        }
        SizeError::NotASize => {
            let message = format!("'{written}' is not a nominal pipe size");
            let finding = rules::NOT_A_SIZE.at(span, message);
            match exact_spelling(written) {
                Some(Spelling { text, help }) => finding.help(help).edit(span, text),
                None => finding.help(how_a_size_is_written(written)),
            }
        }
    }
}

/// The same where `written` is a part of what stands at `span`.
fn part_not_a_size(span: Span, written: &str, error: SizeError) -> Finding {
    let mut finding = not_a_size(span, written, error);
    finding.edits.clear();
    finding
}

/// The metric size of a number without a unit that no inch size has.
fn metric_size(written: &str) -> Option<String> {
    /// Inch sizes that are fused in sockets end below this number, and metric ones begin at it.
    const METRIC_FROM: u16 = 16;
    let number = written.trim().parse::<u16>().ok()?;
    (number >= METRIC_FROM).then(|| format!("{number} mm"))
}

/// What a size without its system may be.
fn systems_of(written: &str) -> String {
    let inches = Size::parse(&format!("{written} IPS")).map(Size::nominal);
    let nominal = inches.unwrap_or_else(|_| written.trim().to_owned());
    format!("write '{nominal} IPS' or '{nominal} CTS': they are different pipes")
}

/// What is to be written for a text that names a size in a way that is not read.
struct Spelling {
    text: String,
    help: String,
}

/// The one spelling of what a text that is no size can only mean.
fn exact_spelling(written: &str) -> Option<Spelling> {
    let with_point = readings(written).decimal;
    if let Some(size) = with_point.and_then(|text| Size::parse(&text).ok()) {
        let text = size.to_string();
        let help = format!("write '{text}'");
        return Some(Spelling { text, help });
    }
    let split = [",", ";", " and ", " & ", "+"];
    if let Some(between) = split.iter().find(|between| written.contains(*between)) {
        let sizes = written.split(between).map(Size::parse);
        let sizes: Vec<_> = sizes
            .map(|size| Some(size.ok()?.to_string()))
            .collect::<Option<_>>()?;
        let text = format!("[{}]", sizes.join(", "));
        let help = format!("several sizes are a list, in brackets: {text}");
        return Some(Spelling { text, help });
    }
    let (first, second) = written.split_once('-')?;
    let to = Size::parse(second).ok()?;
    let from = in_system_of(first, to).ok()?;
    let text = format!("{from} to {to}");
    let help = format!("a range of sizes is written '{text}'");
    Some(Spelling { text, help })
}

/// What to write for a text that is no size.
fn how_a_size_is_written(written: &str) -> String {
    let split = [",", ";", " and ", " & ", "+"];
    if let Some(between) = split.iter().find(|between| written.contains(*between)) {
        let sizes: Vec<_> = written.split(between).map(str::trim).collect();
        return format!(
            "several sizes are a list, in brackets: [{}]",
            sizes.join(", ")
        );
    }
    if written.contains('.') {
        "inch sizes are written with a fraction, 1-1/4 IPS or 1/2 CTS: the nominal size, not the \
         outside diameter"
            .to_owned()
    } else if written.trim_start().to_lowercase().starts_with("dn") {
        "DN is about the bore; write the outside diameter of the pipe, as in 63 mm".to_owned()
    } else {
        "write 1-1/4 IPS, 1/2 CTS or 63 mm".to_owned()
    }
}
