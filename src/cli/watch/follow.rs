//! The files that the papers of a spec are built from, whether they are there or
//! not, and what they hold.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::cli::args::PapersArguments;
use crate::cli::input::read_up_to;
use crate::core::budget;
use crate::core::digest::sha256;
use crate::papers::house::{STYLE_FILE, logo_of};
use crate::{people::submittal, spec};

/// What each file holds, as its digest; none where it cannot be read.
pub type Contents = BTreeMap<PathBuf, Option<String>>;

/// The files of a spec or a submittal with what they hold: the file itself, the
/// files that it names, and the `others` that everything is built from.
pub fn contents(file: &Path, others: &Contents) -> Contents {
    let mut contents = others.clone();
    let text = take(file, &mut contents);
    match is_submittal(&text) {
        true => of_submittal(file, &text, &mut contents),
        false => of_spec(file, &text, &mut contents),
    }
    contents
}

/// Whether a text is the file of a submittal and no spec.
pub fn is_submittal(text: &str) -> bool {
    text.lines()
        .any(|line| line.starts_with("coldring-submittal:"))
}

fn of_spec(file: &Path, text: &str, contents: &mut Contents) {
    let folder = file.parent().unwrap_or(Path::new(""));
    for (_, named) in spec::included(text) {
        take(&folder.join(named), contents);
    }
}

fn of_submittal(file: &Path, text: &str, contents: &mut Contents) {
    let folder = file.parent().unwrap_or(Path::new(""));
    // One that cannot be read yet names nothing.
    let Some(submittal) = submittal::decode(text).0 else {
        return;
    };
    for procedure in &submittal.procedures {
        let spec = folder.join(&procedure.spec.value);
        let text = take(&spec, contents);
        of_spec(&spec, &text, contents);
        for record in &procedure.records {
            take(&folder.join(&record.value), contents);
        }
        for earlier in &procedure.previous {
            let spec = folder.join(&earlier.value);
            let text = take(&spec, contents);
            of_spec(&spec, &text, contents);
        }
    }
    if let Some(fusers) = &submittal.fusers {
        take(&folder.join(&fusers.roster.value), contents);
    }
    for attachment in &submittal.attachments {
        let path = folder.join(&attachment.file.value);
        let bytes = read(&path, budget::ATTACHMENT_BYTES);
        contents.insert(path, bytes.as_deref().map(sha256));
    }
}

/// The files that every spec is built from: of the house style, and the key.
pub fn others(arguments: &PapersArguments) -> Contents {
    let mut contents = Contents::new();
    if let Some(key) = &arguments.key {
        take(key, &mut contents);
    }
    if let Some(house) = &arguments.house {
        let style = take(&house.join(STYLE_FILE), &mut contents);
        if let Some(logo) = logo_of(&style) {
            take(&house.join(logo), &mut contents);
        }
    }
    contents
}

/// Takes a file in; its text, as far as it is one.
fn take(path: &Path, contents: &mut Contents) -> String {
    let bytes = read(path, budget::SPEC.bytes);
    contents.insert(path.to_owned(), bytes.as_deref().map(sha256));
    let bytes = bytes.unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

fn read(path: &Path, most: usize) -> Option<Vec<u8>> {
    // A pipe or a device could hold the watch up for ever.
    path.is_file().then(|| read_up_to(path, most).ok())?
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    #[test]
    fn a_file_that_is_named_counts_before_it_is_there() {
        let folder = tempfile::tempdir().unwrap();
        let spec = folder.path().join("s.yaml");
        let record = folder.path().join("records/AF-PQ-07.yaml");
        let text = include_str!("../../../specs/alder-fork-gas.yaml");
        fs::write(&spec, text).unwrap();
        let before = contents(&spec, &Contents::new());
        assert_eq!(before.get(&record), Some(&None));
        fs::create_dir(folder.path().join("records")).unwrap();
        fs::write(&record, "x").unwrap();
        let after = contents(&spec, &Contents::new());
        assert_eq!(after.get(&record), Some(&Some(sha256(b"x"))));
        assert_eq!(after.get(&spec), before.get(&spec));
    }

    #[test]
    fn a_submittal_counts_with_all_that_it_encloses() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let file = root.join("specs/submittal/AF-S-031.yaml");
        let followed = contents(&file, &Contents::new());
        for named in [
            "AF-S-031.yaml",
            "../alder-fork-gas.yaml",
            "../records/AF-PQ-07.yaml",
            "../people/fusers.yaml",
            "attachments/fitting-sheet.pdf",
        ] {
            let path = root.join("specs/submittal").join(named);
            assert!(followed.get(&path).is_some_and(Option::is_some), "{named}");
        }
    }
}
