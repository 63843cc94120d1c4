//! Every field of a kind of file, for a terminal.

use crate::authoring::schema::{Kind, reference};
use crate::published::library;

/// The page of a kind of file.
pub fn page(kind: Kind) -> String {
    let heading = format!("Every field: {}", kind.word());
    let under = "=".repeat(heading.chars().count());
    let mut page = format!("{heading}\n{under}\n\n{}\n", kind.about());
    let fields = reference(kind, library());
    for (stands, of) in [
        ("SIZE", "a size, as in 1 IPS"),
        ("NUMBER", "that of a procedure"),
    ] {
        if fields.iter().any(|(path, _)| path.contains(stands)) {
            page.push_str(&format!("{stands} stands for {of}.\n"));
        }
    }
    for (path, said) in fields {
        page.push_str(&format!("\n{path}\n{}", wrapped(&said)));
    }
    page
}

/// The text in lines of at most 76 characters, indented.
pub(super) fn wrapped(text: &str) -> String {
    let mut lines = String::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > 76 {
            lines.push_str(&format!("    {line}\n"));
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines + &format!("    {line}\n")
}
