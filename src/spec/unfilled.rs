//! What a person was to fill in and did not: dots, and the words of the starter
//! that `coldring new` writes.

use super::rules;
use crate::core::finding::Finding;
use crate::core::source::Spanned;

/// Words of the starter, and of the examples in findings, that are nobody's own.
const STARTER_WORDS: &[&str] = &[
    "Your organization",
    "your operations manual",
    "the rules you qualify under",
    "how your program covers the people who join",
    "caliper, date",
    "Who sees the tests",
    "Who makes the tests",
    "Your project",
    "The section that asks for it",
    "Who reviews it",
    "caliper on three fittings, date",
];

const DOTS: &[&str] = &["…", "..."];

/// Whether a text has such words at all, as far as it can be seen without reading it.
pub(crate) fn may_be_unfilled(text: &str) -> bool {
    let mut words = DOTS.iter().chain(STARTER_WORDS);
    words.any(|word| text.contains(word))
}

/// Whether a text is the dots of a blank.
pub(crate) fn is_blank(text: &str) -> bool {
    DOTS.contains(&text.trim())
}

/// Findings for the values that are still to be filled in.
pub(crate) fn unfilled(values: &[Spanned<String>]) -> Vec<Finding> {
    let judged = values.iter().filter_map(|value| {
        let text = value.trim();
        if is_blank(text) {
            let finding = rules::BLANK_LEFT.at(value.span, "this value was never filled in");
            Some(finding.help("fill it in, or delete the field if it may be left out"))
        } else if STARTER_WORDS.contains(&text) {
            let said = format!("'{text}' stands in the starter as an example");
            let finding = rules::EXAMPLE_LEFT.at(value.span, said);
            let finding = finding.help("write your own words in its place");
            Some(finding.asks("your own words", ""))
        } else {
            None
        }
    });
    judged.collect()
}
