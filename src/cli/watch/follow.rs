//! The files that the papers of a spec are built from, whether they are there or
//! not, and what they hold.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use crate::budget;
use crate::cli::args::PapersArguments;
use crate::cli::input::read_up_to;
use crate::digest::sha256;
use crate::house::{PAGES, STYLE_FILE, logo_of};
use crate::spec;

/// What each file holds, as its digest; none where it cannot be read.
pub type Contents = BTreeMap<PathBuf, Option<String>>;

/// The files of a spec with what they hold: the spec, the files that it names,
/// and the `others` that every spec is built from.
pub fn contents(spec: &Path, others: &Contents) -> Contents {
    let mut contents = others.clone();
    let text = take(spec, &mut contents);
    let folder = spec.parent().unwrap_or(Path::new(""));
    for (_, named) in spec::included(&text) {
        take(&folder.join(named), &mut contents);
    }
    contents
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
        let pages = house.join(PAGES);
        let listed = fs::read_dir(&pages).into_iter().flatten().flatten();
        for page in listed.map(|entry| entry.path()) {
            take(&page, &mut contents);
        }
        // Its folder counts too: a page that is put there is followed.
        contents.insert(pages.join("*"), None);
    }
    contents
}

/// Takes a file in; its text, as far as it is one.
fn take(path: &Path, contents: &mut Contents) -> String {
    // A pipe or a device could hold the watch up for ever.
    let bytes = match path.is_file() {
        true => read_up_to(path, budget::SPEC.bytes).ok(),
        false => None,
    };
    contents.insert(path.to_owned(), bytes.as_deref().map(sha256));
    let bytes = bytes.unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_named_counts_before_it_is_there() {
        let folder = tempfile::tempdir().unwrap();
        let spec = folder.path().join("s.yaml");
        let record = folder.path().join("records/r.yaml");
        let text = "qualification: {records: [records/r.yaml]}\n";
        fs::write(&spec, text).unwrap();
        let before = contents(&spec, &Contents::new());
        assert_eq!(before.get(&record), Some(&None));
        fs::create_dir(folder.path().join("records")).unwrap();
        fs::write(&record, "x").unwrap();
        let after = contents(&spec, &Contents::new());
        assert_eq!(after.get(&record), Some(&Some(sha256(b"x"))));
        assert_eq!(after.get(&spec), before.get(&spec));
    }
}
