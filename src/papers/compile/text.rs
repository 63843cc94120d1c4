//! Finds text that no paper may carry: characters that no embedded font can draw,
//! and placeholders never filled in. Checks the values of every file people
//! write, after quotes and escapes are resolved: `"\u4e2d"` is a Chinese
//! character like any other.

use crate::core::budget::{self, Budget};
use crate::core::finding::Finding;
use crate::core::source::{Role, Source, Spanned};
use crate::papers::fonts;
use crate::people::fusers;
use crate::spec::{self, rules};

/// Checks the values of a YAML text.
pub(super) fn check_text(text: &str, budget: &Budget) -> Vec<Finding> {
    // Parsing the text costs more than seeing whether there is anything to find.
    let escapes = text.contains('\\');
    if !escapes && !text.chars().any(is_rare) && !spec::may_be_unfilled(text) {
        return Vec::new();
    }
    check_values(&spec::scalars_within(text, budget))
}

/// Checks the values of a file that a spec names, according to its role.
pub(super) fn check_file(role: Role, source: &Source) -> Vec<Finding> {
    match role {
        Role::Confirmations => check_text(&source.text, &budget::CONFIRMATIONS),
        Role::Record => check_text(&source.text, &budget::RECORD),
        Role::Earlier => check_text(&source.text, &budget::SPEC),
        Role::House => check_text(&source.text, &budget::HOUSE),
        Role::Template | Role::Logo => Vec::new(),
    }
}

/// Checks the values of a roster, as YAML or CSV.
pub fn check_roster_text(source: &Source, is_csv: bool) -> Vec<Finding> {
    if is_csv {
        check_values(&fusers::cells(&source.text))
    } else {
        check_text(&source.text, &budget::ROSTER)
    }
}

fn check_values(values: &[Spanned<String>]) -> Vec<Finding> {
    let missing_glyph = values.iter().filter_map(missing_glyph);
    missing_glyph.chain(spec::unfilled(values)).collect()
}

/// Reports the first character that no embedded font can draw.
pub(super) fn missing_glyph(value: &Spanned<String>) -> Option<Finding> {
    let c = value
        .chars()
        .find(|c| is_rare(*c) && !fonts::can_draw(*c))?;
    let message = format!("no embedded font can draw '{c}' (U+{:04X})", u32::from(c));
    let finding = rules::NO_GLYPH.at(value.span, message);
    Some(finding.help("write it in Latin, Greek or Cyrillic letters and common signs"))
}

/// Whether a character is outside those that every Latin font has. Only then are
/// the fonts searched.
fn is_rare(c: char) -> bool {
    c > '\u{17F}'
}
