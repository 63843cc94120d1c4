//! A roster (YAML or CSV) and a day → who is qualified under which procedure,
//! until when, and why.
//!
//! Procedures never name people: no spec and no paper of a procedure does. Each
//! person is judged by a rule set that was chosen, never guessed; where a rule
//! set is silent, the table `fuser-rules` says what the program does. A record
//! gives days, not hours, so a failure on the day of a pass counts as after it.
//! CSV cells are written as they were read; text that a spreadsheet would
//! compute is a warning on the roster, where it can be fixed.

mod calendar;
mod cells;
mod review;
mod revision;
pub(crate) mod roster;
mod rows;
pub(crate) mod rule_set;
pub(crate) mod rules;
mod standing;
mod term;
mod yaml;

pub use calendar::calendar;
pub use review::review;
pub(crate) use revision::{Revisions, for_revision};
pub(crate) use roster::Fuser;
pub use roster::Roster;
pub(crate) use rows::cells;
pub use rows::{COLUMNS, decode_csv};
pub use rule_set::{Choice, Rules};
pub(crate) use rule_set::{RuleSet, period};
pub(crate) use standing::Standing;
pub use standing::{State, evaluate};
pub(crate) use term::size_list;
pub(crate) use yaml::FORMAT;
pub use yaml::decode_yaml;

use crate::core::finding::Finding;
use crate::core::source::Spanned;
use crate::spec::node::Node;
use crate::spec::{rules as reading, values};

/// A language as a code of two or three letters: `en`, `es`, `pt-BR`.
fn language(node: &Node, findings: &mut Vec<Finding>) -> Option<Spanned<String>> {
    let mut code = values::text(node, findings)?;
    let mut parts = code.value.split('-');
    let letters = parts.next().unwrap_or_default();
    let plain = (2..=3).contains(&letters.len())
        && letters.chars().all(|c| c.is_ascii_alphabetic())
        && parts.all(|part| {
            (2..=8).contains(&part.len()) && part.chars().all(|c| c.is_ascii_alphanumeric())
        });
    if plain {
        // `EN` is `en`; anything after the hyphen is kept as is.
        let rest = code.value.get(letters.len()..).unwrap_or_default();
        code.value = letters.to_lowercase() + rest;
        return Some(code);
    }
    findings.push(
        reading::UNKNOWN_WORD
            .at(
                code.span,
                format!("'{}' is not the code of a language", code.value),
            )
            .help("write two or three letters, such as en or es"),
    );
    None
}

/// Whether a roster of this name is CSV.
pub(crate) fn is_csv(name: &str) -> bool {
    name.to_ascii_lowercase().ends_with(".csv")
}
