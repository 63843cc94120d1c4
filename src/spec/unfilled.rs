//! What a person was to fill in and did not: dots, and the words of the starter
//! that `coldring new` writes.

use super::node::scalars;
use super::rules;
use crate::finding::Finding;

/// Words of the starter, and of the examples in findings, that are nobody's own.
const STARTER_WORDS: &[&str] = &[
    "Your organization",
    "your operations manual",
    "the rules you qualify under",
    "how your program covers the people who join",
    "caliper, date",
    "caliper on three fittings, date",
];

const DOTS: &[&str] = &["…", "..."];

/// Findings for what is still to be filled in. The text is only read again where
/// it has such words at all.
pub fn unfilled(text: &str) -> Vec<Finding> {
    let mut words = DOTS.iter().chain(STARTER_WORDS);
    if !words.any(|word| text.contains(word)) {
        return Vec::new();
    }
    let judged = scalars(text).into_iter().filter_map(|scalar| {
        let value = scalar.value.trim();
        if DOTS.contains(&value) {
            let finding = rules::BLANK_LEFT.at(scalar.span, "this was never filled in");
            Some(finding.help("write what holds for you, or take the field out"))
        } else if STARTER_WORDS.contains(&value) {
            let said = format!("'{value}' stands in the starter as an example");
            let finding = rules::EXAMPLE_LEFT.at(scalar.span, said);
            Some(finding.help("write your own words in its place"))
        } else {
            None
        }
    });
    judged.collect()
}
