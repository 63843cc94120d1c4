//! What a person was to fill in and did not: dots, and the words of the starter
//! that `coldring new` writes.

use super::rules;
use crate::core::finding::Finding;
use crate::core::source::Spanned;

/// Words of the starter, and of the examples in findings, that are nobody's own, and what
/// each stands for.
const STARTER_WORDS: &[(&str, &str)] = &[
    ("Your organization", "`organization`"),
    ("your operations manual", "the name of your manual"),
    ("the rules you qualify under", "`rules`"),
    (
        "how your program covers the people who join",
        "`operator_qualification`",
    ),
    ("caliper, date", "`source`"),
    ("Name of the witness", "`witness`"),
    ("Who sees the tests", "`witness`"),
    ("Who makes the tests", "`laboratory`"),
    ("Your project", "`project`"),
    ("The section that asks for it", "`section`"),
    ("Who reviews it", "`submitted_to`"),
    ("caliper on three fittings, date", "`source`"),
];

const DOTS: &[&str] = &["…", "..."];

/// Whether a text has such words at all, as far as it can be seen without reading it.
pub(crate) fn may_be_unfilled(text: &str) -> bool {
    let mut words = DOTS
        .iter()
        .chain(STARTER_WORDS.iter().map(|(words, _)| words));
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
        } else if let Some((_, field)) = STARTER_WORDS.iter().find(|(words, _)| *words == text) {
            let said = format!("'{text}' is still the example");
            let finding = rules::EXAMPLE_LEFT.at(value.span, said);
            let finding = finding.help("write your own words in its place");
            Some(finding.asks(field, ""))
        } else {
            None
        }
    });
    judged.collect()
}
