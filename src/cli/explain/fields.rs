//! Every field of a kind of file, for a terminal.

use crate::authoring::schema::{Kind, reference};
use crate::cli::layout::wrap;
use crate::published::library;
use crate::spec::nearest;

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
    if let Some((path, _)) = fields.iter().rfind(|(path, _)| path.contains('.')) {
        let word = kind.word();
        page.push_str(&format!("One field: coldring explain {word} {path}\n"));
    }
    for (path, said) in fields {
        page.push('\n');
        page.push_str(&entry(&path, &said));
    }
    page
}

fn entry(path: &str, said: &str) -> String {
    format!("{path}\n{}", wrap("    ", "    ", 80, said))
}

/// One field with those inside it; the end of its path is enough where no other field has
/// that name. `Err` names fields that may be meant.
pub(super) fn one(kind: Kind, written: &str) -> Result<String, String> {
    let fields = reference(kind, library());
    let under = |path: &str, field: &str| {
        let rest = path.strip_prefix(field);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    let named = |path: &&str| **path == *written || path.ends_with(&format!(".{written}"));
    let paths = || fields.iter().map(|(path, _)| path.as_str());
    let found: Vec<_> = match paths().find(|path| *path == written) {
        Some(path) => vec![path],
        None => paths().filter(named).collect(),
    };
    if found.is_empty() {
        let known: Vec<_> = paths().collect();
        let near = nearest(written, &known);
        let last = written.rsplit('.').next().unwrap_or(written);
        let same = paths().find(|path| path.rsplit('.').next() == Some(last));
        let near = near.or(same).map(|near| format!("did you mean '{near}'? "));
        let (near, word) = (near.unwrap_or_default(), kind.word());
        return Err(format!(
            "a {word} has no field '{written}'; {near}`coldring explain {word}` lists all"
        ));
    }
    let inside = |path: &str| found.iter().any(|field| under(path, field));
    let shown = fields.iter().filter(|(path, _)| inside(path));
    let shown: Vec<_> = shown.map(|(path, said)| entry(path, said)).collect();
    Ok(shown.join("\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_field_is_found_by_its_path_or_its_name() {
        let rings = one(Kind::Spec, "tools.cold_rings").unwrap_or_default();
        assert_eq!(one(Kind::Spec, "cold_rings").as_ref(), Ok(&rings));
        assert!(rings.starts_with("tools.cold_rings\n"), "{rings}");
        assert!(
            rings.contains("\ntools.cold_rings.SIZE.insert_in\n"),
            "{rings}"
        );
        assert!(!rings.contains("cutter"), "{rings}");
        // A name that several fields have shows each of them.
        let sources = one(Kind::Spec, "source").unwrap_or_default();
        assert!(
            sources.contains("tools.depth_gauges.SIZE.source\n"),
            "{sources}"
        );
        assert!(sources.contains("cycles.rows.source\n"), "{sources}");
    }

    #[test]
    fn a_field_that_is_not_there_names_a_near_one() {
        let near = one(Kind::Spec, "tools.cold_ring").err().unwrap_or_default();
        assert!(near.contains("did you mean 'tools.cold_rings'?"), "{near}");
        let elsewhere = one(Kind::Spec, "heater.cold_rings")
            .err()
            .unwrap_or_default();
        assert!(elsewhere.contains("'tools.cold_rings'"), "{elsewhere}");
    }
}
