//! Every published table is held by a digest in `CHANGES.md`: a figure that is
//! changed fails here until its change is told there.

use std::collections::BTreeMap;
use std::fmt::Write;

use coldring::published::{Entry, Table, library};
use serde_json::json;

use crate::support::{read, sha256};

/// How many digits of a digest stand in the file.
const DIGITS: usize = 16;

/// The digest of a table's figures as they are read: a line each, as JSON, of
/// all that a paper may say of them. Spacing and comments do not count.
fn digest(table: &Table) -> String {
    let mut told = String::new();
    for figure in &table.entries {
        let Entry {
            id,
            size,
            // As it is written; a test of the library reads it again.
            value: _,
            written,
            basis,
            source,
            note,
            conflict,
        } = figure;
        let size = size.map(|size| size.to_string());
        let line = json!([id, size, written, basis, source, note, conflict]);
        writeln!(told, "{line}").unwrap();
    }
    sha256(told.as_bytes())[..DIGITS].to_owned()
}

/// The newest digest of each table, with the version it stands under.
fn told(changes: &str) -> BTreeMap<String, (String, String)> {
    let mut told = BTreeMap::new();
    let mut version = "";
    for line in changes.lines() {
        if let Some(heading) = line.strip_prefix("## ") {
            version = heading;
        }
        let Some((table, digest)) = line
            .strip_prefix("- `")
            .and_then(|rest| rest.split_once("` "))
        else {
            continue;
        };
        // The newest version comes first.
        told.entry(table.to_owned())
            .or_insert_with(|| (digest.to_owned(), version.to_owned()));
    }
    told
}

/// What is to be written where the tables are no longer as the file tells them.
fn to_fix(tables: &[Table], changes: &str) -> Vec<String> {
    let told = told(changes);
    let mut fixes = Vec::new();
    for table in tables {
        let (name, digest) = (&table.name, digest(table));
        let line = format!("- `{name}` {digest}");
        match told.get(name) {
            Some((known, _)) if *known == digest => {}
            Some((_, version)) => fixes.push(format!(
                "the figures of `{name}` are not those of version {version}: raise \
                 src/published/tables/VERSION, say at the head of CHANGES.md what changed, and write \
                 there\n{line}"
            )),
            None => fixes.push(format!(
                "CHANGES.md does not have the table `{name}`: write under the version that brings \
                 it\n{line}"
            )),
        }
    }
    for name in told.keys() {
        if !tables.iter().any(|table| table.name == *name) {
            fixes.push(format!("CHANGES.md has `{name}`, which is no table"));
        }
    }
    fixes
}

#[test]
fn every_table_is_as_the_list_of_changes_has_it() {
    let fixes = to_fix(library().tables(), &read("src/published/tables/CHANGES.md"));
    assert!(fixes.is_empty(), "\n{}", fixes.join("\n"));
}

/// The digest holds what a table says of a figure, not only the number.
#[test]
fn a_figure_cannot_change_in_silence() {
    let changes = read("src/published/tables/CHANGES.md");
    let text = read("src/published/tables/us-times.yaml");
    let table = Table::read(&text).unwrap();
    assert_eq!(digest(&table), told(&changes)["us-times"].0);
    let commented = Table::read(&format!("# a comment\n{text}")).unwrap();
    assert_eq!(digest(&table), digest(&commented));
    for figure in 0..table.entries.len() {
        let edits: [fn(&mut Entry); 4] = [
            |figure| figure.written.push('0'),
            |figure| figure.source.push('.'),
            |figure| figure.note = Some("another".to_owned()),
            |figure| figure.conflict = Some("another".to_owned()),
        ];
        for edit in edits {
            let mut edited = table.clone();
            edit(&mut edited.entries[figure]);
            assert_ne!(digest(&table), digest(&edited));
            let fixes = to_fix(&[edited.clone()], &changes);
            let line = format!("- `us-times` {}", digest(&edited));
            assert!(fixes[0].ends_with(&line), "{}", fixes[0]);
        }
    }
}
