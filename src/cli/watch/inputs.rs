//! The files that the papers of a spec are built from, whether they exist or not,
//! and the digests of their contents.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::cli::args::PapersArguments;
use crate::cli::input::read_up_to;
use crate::core::budget;
use crate::core::digest::sha256;
use crate::papers::house::{STYLE_FILE, logo_of};
use crate::{people::submittal, spec};

/// The digest of each file; none where it cannot be read.
pub(crate) type FileDigests = BTreeMap<PathBuf, Option<String>>;

/// The files of a spec or a submittal: the file itself, the files that it names, and
/// the `shared` ones that everything is built from.
pub(crate) fn input_digests(file: &Path, shared: &FileDigests) -> FileDigests {
    let mut digests = shared.clone();
    let text = add_file(file, &mut digests);
    if is_submittal(&text) {
        add_files_of_submittal(file, &text, &mut digests);
    } else {
        add_files_of_spec(file, &text, &mut digests);
    }
    digests
}

/// Whether a text is a submittal rather than a spec.
pub(crate) fn is_submittal(text: &str) -> bool {
    text.lines()
        .any(|line| line.starts_with("coldring-submittal:"))
}

fn add_files_of_spec(file: &Path, text: &str, digests: &mut FileDigests) {
    let folder = file.parent().unwrap_or(Path::new(""));
    for (_, named) in spec::included(text) {
        add_file(&folder.join(named), digests);
    }
}

fn add_files_of_submittal(file: &Path, text: &str, digests: &mut FileDigests) {
    let folder = file.parent().unwrap_or(Path::new(""));
    let Some(submittal) = submittal::decode(text).0 else {
        return;
    };
    for procedure in &submittal.procedures {
        let spec = folder.join(&procedure.spec.value);
        let text = add_file(&spec, digests);
        add_files_of_spec(&spec, &text, digests);
        for record in &procedure.records {
            add_file(&folder.join(&record.value), digests);
        }
        for earlier in &procedure.previous {
            let spec = folder.join(&earlier.value);
            let text = add_file(&spec, digests);
            add_files_of_spec(&spec, &text, digests);
        }
    }
    if let Some(fusers) = &submittal.fusers {
        add_file(&folder.join(&fusers.roster.value), digests);
    }
    for attachment in &submittal.attachments {
        let path = folder.join(&attachment.file.value);
        let bytes = read(&path, budget::ATTACHMENT_BYTES);
        digests.insert(path, bytes.as_deref().map(sha256));
    }
}

/// The files that every spec is built from: the house style and the key.
pub(crate) fn shared_input_digests(arguments: &PapersArguments) -> FileDigests {
    let mut digests = FileDigests::new();
    if let Some(key) = &arguments.key {
        add_file(key, &mut digests);
    }
    if let Some(house) = &arguments.house {
        let style = add_file(&house.join(STYLE_FILE), &mut digests);
        if let Some(logo) = logo_of(&style) {
            add_file(&house.join(logo), &mut digests);
        }
    }
    digests
}

/// Adds a file; returns its text, empty where it has none.
fn add_file(path: &Path, digests: &mut FileDigests) -> String {
    let bytes = read(path, budget::SPEC.bytes);
    digests.insert(path.to_owned(), bytes.as_deref().map(sha256));
    let bytes = bytes.unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

fn read(path: &Path, most: usize) -> Option<Vec<u8>> {
    // A pipe or a device could block the watch forever.
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
        let before = input_digests(&spec, &FileDigests::new());
        assert_eq!(before.get(&record), Some(&None));
        fs::create_dir(folder.path().join("records")).unwrap();
        fs::write(&record, "x").unwrap();
        let after = input_digests(&spec, &FileDigests::new());
        assert_eq!(after.get(&record), Some(&Some(sha256(b"x"))));
        assert_eq!(after.get(&spec), before.get(&spec));
    }

    #[test]
    fn a_submittal_counts_with_all_that_it_encloses() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        let file = root.join("specs/submittal/AF-S-031.yaml");
        let followed = input_digests(&file, &FileDigests::new());
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
