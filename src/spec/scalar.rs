//! Readers for the characters of a single value and for a line of text.

use unicode_properties::{GeneralCategoryGroup, UnicodeGeneralCategory};

use super::node::{Node, NodeKind};
use super::rules;
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::source::Spanned;

/// Longest text a field may hold, in characters.
pub(crate) const LONGEST_TEXT: usize = 300;

/// The characters of a scalar, few enough to be repeated in a message.
pub(crate) fn scalar<'n>(node: &'n Node, findings: &mut Vec<Finding>) -> Option<&'n str> {
    let NodeKind::Scalar(text) = &node.kind else {
        findings.push(rules::WRONG_TYPE.at(
            node.span,
            format!("a single value is wanted here, not {}", node.kind_name()),
        ));
        return None;
    };
    let characters = text.chars().count();
    if characters > LONGEST_TEXT {
        let message = format!(
            "the text has {characters} characters; at most {LONGEST_TEXT} fit on the papers"
        );
        let help = format!("shorten it by {} characters", characters - LONGEST_TEXT);
        findings.push(rules::TEXT_NOT_PRINTABLE.at(node.span, message).help(help));
        return None;
    }
    Some(text)
}

/// A line of text for people to read.
pub(crate) fn text(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<String>> {
    let value = scalar(node, findings)?.trim();
    if value.is_empty() {
        let finding = rules::TEXT_NOT_PRINTABLE.at(node.span, "the text is empty");
        findings.push(finding.help("write the text that belongs here"));
        return None;
    }
    if let Some(marks) = most_marks(value).filter(|marks| *marks > budget::MARKS) {
        let message =
            format!("the text has {marks} accents on one letter, which run into other lines");
        let help = format!("write up to {} on a letter", budget::MARKS);
        findings.push(rules::TEXT_NOT_PRINTABLE.at(node.span, message).help(help));
        return None;
    }
    match unprintable(value, |c| c.is_control()) {
        Some((message, help)) => {
            findings.push(rules::TEXT_NOT_PRINTABLE.at(node.span, message).help(help));
            None
        }
        None => Some(Spanned::new(value.to_owned(), node.span)),
    }
}

/// How many characters are shown before one that cannot be seen.
const CHARACTERS_BEFORE: usize = 12;

/// What is wrong with the first character that no paper can show, and how to fix it.
/// `is_control` says which control characters are among these.
pub(crate) fn unprintable(
    text: &str,
    is_control: impl Fn(char) -> bool,
) -> Option<(String, String)> {
    let unfit = |c: char| is_control(c) || is_invisible(c);
    let (before, c) = text.chars().enumerate().find(|(_, c)| unfit(*c))?;
    let message = format!(
        "the text holds U+{:04X}, which prints as nothing or turns the text around",
        u32::from(c)
    );
    let skipped = before.saturating_sub(CHARACTERS_BEFORE);
    let lead: String = { text.chars() }.take(before).skip(skipped).collect();
    let help = match lead.trim() {
        "" => "delete it: it is the first character of the text".to_owned(),
        lead => format!("delete the character that follows '{lead}'"),
    };
    Some((message, help))
}

/// The most marks that follow each other, so that they stand on one letter.
fn most_marks(text: &str) -> Option<usize> {
    let is_mark = |c: char| c.general_category_group() == GeneralCategoryGroup::Mark;
    let stacks = text.split(|c| !is_mark(c));
    stacks.map(|stack| stack.chars().count()).max()
}

/// Characters that have no shape of their own: marks that turn the direction of
/// a text, byte-order marks, soft hyphens, and code points without a meaning.
fn is_invisible(c: char) -> bool {
    matches!(c,
        '\u{AD}' | '\u{34F}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}'
        | '\u{FEFF}' | '\u{E000}'..='\u{F8FF}' | '\u{FFF0}'..='\u{FFFF}'
        | '\u{F0000}'..='\u{10FFFF}')
}
