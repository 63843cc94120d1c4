//! Every field of a kind of file, for a terminal.

use crate::authoring::schema::{Kind, reference};
use crate::cli::layout::wrap;
use crate::published::library;

/// The page of a kind of file.
pub(crate) fn page(kind: Kind) -> String {
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
        page.push_str(&format!("\n{path}\n{}", wrap("    ", "    ", 80, &said)));
    }
    page
}
