//! Value types that only house styles have: colors, which must be dark enough,
//! and paragraphs.

use schemars::json_schema;

use super::rules;
use crate::core::finding::Finding;
use crate::core::source::Spanned;
use crate::spec::declare::Kind;
use crate::spec::declare::kinds::single;
use crate::spec::node::{Node, NodeKind};
use crate::spec::values::{text, unprintable};
use crate::spec::{rules as reading, schema};

/// Longest paragraph or clause, in characters.
pub(crate) const MAX_TEXT_LENGTH: usize = 1_500;
/// What a color is used for.
#[derive(Debug, Clone, Copy)]
pub(super) enum ColorUse {
    Text,
    /// Lines in the header and footer.
    Rule,
}

impl ColorUse {
    /// The contrast with white that it needs, and what needs it.
    fn contrast(self) -> (f64, &'static str) {
        match self {
            ColorUse::Text => (7.0, "text"),
            ColorUse::Rule => (3.0, "a rule"),
        }
    }
}

pub(super) fn color(of: ColorUse) -> impl Kind<Value = String> {
    single(
        move |node: &Node, findings: &mut Vec<Finding>| read_color(node, of, findings),
        color_schema,
    )
}

pub(super) fn long_text() -> impl Kind<Value = Spanned<String>> {
    single(read_long_text, long_text_schema)
}

fn color_schema() -> schema::Value {
    let schema = json_schema!({"type": "string", "pattern": r"^\s*#[0-9A-Fa-f]{6}\s*$"});
    let how = "Six hexadecimal digits in quotes, as in \"#0b3d5c\".";
    schema::Value::new(schema, how)
}

fn long_text_schema() -> schema::Value {
    let schema = json_schema!({
        "type": ["string", "number", "boolean"],
        "minLength": 1,
        "maxLength": MAX_TEXT_LENGTH,
    });
    schema::Value::new(schema, format!("Up to {MAX_TEXT_LENGTH} characters."))
}

/// Reads a paragraph, which may be longer than a line and span several.
pub(super) fn read_long_text(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<String>> {
    let NodeKind::Scalar(text) = &node.kind else {
        findings.push(reading::WRONG_TYPE.at(
            node.span,
            format!("a text is wanted here, not {}", node.kind_name()),
        ));
        return None;
    };
    let long = text.chars().count();
    if long > MAX_TEXT_LENGTH {
        let problem = format!(
            "the text has {long} characters; there is room for {MAX_TEXT_LENGTH} in a paragraph"
        );
        let help = "shorten it, or make two paragraphs of it";
        findings.push(rules::HOUSE_TOO_MUCH.at(node.span, problem).help(help));
        return None;
    }
    let (message, help) = if text.trim().is_empty() {
        let help = "write the text that belongs here".to_owned();
        ("the text is empty".to_owned(), help)
    } else {
        match unprintable(text, |c| c.is_control() && c != '\n') {
            Some(problem) => problem,
            None => return Some(Spanned::new(text.clone(), node.span)),
        }
    };
    let finding = reading::TEXT_NOT_PRINTABLE.at(node.span, message);
    findings.push(finding.help(help));
    None
}

fn read_color(node: &Node, of: ColorUse, findings: &mut Vec<Finding>) -> Option<String> {
    let (least, of) = of.contrast();
    let written = text(node, findings)?;
    let digits = written.strip_prefix('#').filter(|digits| {
        digits.len() == 6 && digits.chars().all(|digit| digit.is_ascii_hexdigit())
    });
    let Some(digits) = digits else {
        findings.push(
            rules::COLOR_NOT_READ
                .at(written.span, format!("'{}' is not a color", written.value))
                .help("write six hexadecimal digits in quotes, such as \"#0b3d5c\""),
        );
        return None;
    };
    let contrast = contrast_with_white(digits);
    if contrast < least {
        // Truncated, not rounded: 6.96 must not read as the 7.0 it misses.
        let shown = (contrast * 10.0).floor() / 10.0;
        findings.push(
            rules::COLOR_TOO_PALE
                .at(
                    written.span,
                    format!(
                        "{} has a contrast of {shown:.1} to 1 with white; {of} needs {least} to 1",
                        written.value
                    ),
                )
                .help("take a darker shade"),
        );
    }
    Some(format!("#{}", digits.to_ascii_lowercase()))
}

/// Contrast of a color with white, by the relative luminance of sRGB (WCAG 2).
fn contrast_with_white(digits: &str) -> f64 {
    let channel = |at: usize| {
        let pair = digits.get(at..at + 2).unwrap_or("00");
        let value = f64::from(u8::from_str_radix(pair, 16).unwrap_or(0)) / 255.0;
        if value <= 0.040_45 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    };
    let luminance = 0.2126 * channel(0) + 0.7152 * channel(2) + 0.0722 * channel(4);
    1.05 / (luminance + 0.05)
}

#[cfg(test)]
mod tests {
    use super::contrast_with_white;

    /// Pairs that are commonly quoted for WCAG.
    #[test]
    fn contrast_is_that_of_wcag() {
        for (color, contrast) in [
            ("000000", 21.0),
            ("ffffff", 1.0),
            ("777777", 4.48),
            ("767676", 4.54),
            ("ff0000", 4.0),
            ("0000ff", 8.59),
        ] {
            let found = contrast_with_white(color);
            assert!((found - contrast).abs() < 0.01, "{color}: {found}");
        }
    }
}
