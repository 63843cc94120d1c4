//! Notes of an author to themselves that were left in a text: `TODO`, `TBD`.

use super::node::scalars;
use super::rules;
use crate::core::finding::Finding;

/// Words that stand for work to be done and for nothing else.
const NOTES: &[&str] = &["FIXME", "TBD", "TBA", "TBC", "XXX", "???"];

/// Words that follow a TODO in English and are no words of Spanish.
const ENGLISH: &[&str] = &[
    "the", "this", "add", "ask", "check", "confirm", "fill", "find", "fix", "measure", "write",
    "verify",
];

/// Reports every value with such a note in it.
pub(crate) fn unfinished(text: &str) -> Vec<Finding> {
    let found = scalars(text).into_iter().filter_map(|scalar| {
        let note = note_left_in(&scalar.value)?;
        let message = format!("'{note}' was left in this text");
        let finding = rules::UNFINISHED_TEXT.at(scalar.span, message);
        Some(finding.help("finish the text, or take it out"))
    });
    found.collect()
}

/// The note that was left in a text.
pub(crate) fn note_left_in(text: &str) -> Option<&str> {
    let part_of_word = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_');
    let words = || text.split(|c: char| !part_of_word(c) && c != '?');
    if let Some(note) = words().find(|word| NOTES.contains(word)) {
        return Some(note);
    }
    // TODO is a word in Spanish: TODO EL PERSONAL. As a note it has a colon after it,
    // ends its text or its parentheses, or begins a text of small English letters.
    let english = || {
        ENGLISH
            .iter()
            .any(|known| words().any(|word| word == *known))
    };
    let is_note = |(at, _): (usize, &str)| {
        let (before, rest) = text.split_at(at);
        let after = rest.strip_prefix("TODO").unwrap_or_default();
        let alone = !before.ends_with(part_of_word) && !after.starts_with(part_of_word);
        let ends = after.trim_start().is_empty() || after.starts_with([':', ')']);
        alone && (ends || (before.trim_start().is_empty() && english()))
    };
    text.match_indices("TODO").any(is_note).then_some("TODO")
}

#[cfg(test)]
mod tests {
    use super::note_left_in;

    #[test]
    fn notes_are_told_from_words() {
        for text in [
            "TODO",
            "(TODO)",
            "TODO: ask the lab",
            "TODO ask the lab",
            "caliper, TODO",
            "Manual 4.6, TODO: page",
            "TBD",
            "caliper, date TBD",
            "gauge ???",
            "XXX",
            "FIXME later",
        ] {
            assert!(note_left_in(text).is_some(), "{text}");
        }
        for text in [
            "EN TODO CASO",
            "TODO EL PERSONAL",
            "Limpie TODO el tubo",
            "METODO: lija",
            "Which gauge?",
            "XXXII",
            "drawing TBD-4",
            "todo",
            "tbd",
        ] {
            assert!(note_left_in(text).is_none(), "{text}");
        }
    }
}
