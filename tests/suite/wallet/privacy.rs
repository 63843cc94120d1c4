//! Names and badges are on the cards and on standard output, and nowhere else.

use std::path::{Path, PathBuf};

use lopdf::{Document, Object};
use tempfile::TempDir;

use super::code::key;
use super::{ROSTER, cards, text_of};
use crate::support::{AS_OF, GAS, coldring_with, names_in, pages_text};

/// Every name on the roster of the demo.
fn people() -> Vec<&'static str> {
    let roster = include_str!("../../../specs/people/fusers.yaml");
    let names = roster
        .lines()
        .filter_map(|line| line.trim().strip_prefix("- name: "));
    let names: Vec<_> = names.collect();
    assert_eq!(names.len(), 12);
    names
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(files(&path));
        } else {
            all.push(path);
        }
    }
    all
}

/// Whether bytes hold a text, as UTF-8 or as UTF-16 of PDF's text strings.
fn hold(bytes: &[u8], text: &str) -> bool {
    let wide: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
    let holds = |needle: &[u8]| bytes.windows(needle.len()).any(|window| window == needle);
    holds(text.as_bytes()) || holds(&wide)
}

/// All that a PDF says outside of its drawn letters: strings and streams.
fn hidden(pdf: &Path) -> Vec<Vec<u8>> {
    let document = Document::load(pdf).unwrap();
    let mut found = Vec::new();
    for object in document
        .objects
        .values()
        .chain([&Object::Dictionary(document.trailer.clone())])
    {
        collect(object, &mut found);
    }
    found
}

fn collect(object: &Object, found: &mut Vec<Vec<u8>>) {
    match object {
        Object::String(bytes, _) => found.push(bytes.clone()),
        Object::Array(all) => all.iter().for_each(|object| collect(object, found)),
        Object::Dictionary(all) => all.iter().for_each(|(_, object)| collect(object, found)),
        Object::Stream(stream) => {
            stream
                .dict
                .iter()
                .for_each(|(_, object)| collect(object, found));
            found.push(
                stream
                    .decompressed_content()
                    .unwrap_or_else(|_| stream.content.clone()),
            );
        }
        _ => {}
    }
}

#[test]
fn the_files_name_people_on_the_cards_only() {
    let folder = TempDir::new().unwrap();
    let key = key(&folder, 0o600);
    let (out, run) = cards(&folder, &[GAS, "--fusers", ROSTER, "--key", &key]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let shown = text_of(&out);
    assert!(
        shown.contains("MartaQuill"),
        "the search finds what is there"
    );
    let words: Vec<_> = people()
        .into_iter()
        .flat_map(|name| name.split(' '))
        // A shorter one could stand in a font by chance.
        .filter(|word| word.len() > 4)
        .collect();
    for path in files(&out) {
        let name = path.file_name().unwrap().to_str().unwrap();
        let bytes = std::fs::read(&path).unwrap();
        for word in words.iter().chain(&["AF-014", "AF-018"]) {
            assert!(!name.contains(word), "{name}");
            assert!(!hold(&bytes, word), "{name}: {word}");
            if name.ends_with(".pdf") {
                let places = hidden(&path);
                assert!(
                    !places.iter().any(|bytes| hold(bytes, word)),
                    "{name}: {word}"
                );
            }
        }
    }
    let manifest = std::fs::read_to_string(out.join("manifest.json")).unwrap();
    assert!(manifest.contains("\"cards\": 5") && manifest.contains("spec_digest"));
}

#[test]
fn the_papers_of_a_procedure_name_nobody_on_the_roster() {
    let folder = TempDir::new().unwrap();
    let (_, run) = cards(&folder, &[GAS, "--fusers", ROSTER]);
    assert_eq!(run.code, Some(0), "{}", run.err);
    let out = folder.path().join("out");
    let built = coldring_with(&[
        "build",
        GAS,
        "--as-of",
        AS_OF,
        "--out",
        out.to_str().unwrap(),
    ]);
    assert_eq!(built.code, Some(0), "{}", built.err);
    let papers = out.join("AF-JP-12-r2");
    for name in names_in(&papers) {
        let path = papers.join(&name);
        let mut said = vec![std::fs::read(&path).unwrap()];
        if name.ends_with(".pdf") {
            said.extend(hidden(&path));
            said.extend(pages_text(&path).into_iter().map(String::into_bytes));
        }
        for person in people() {
            assert!(
                !said.iter().any(|bytes| hold(bytes, person)),
                "{name}: {person}"
            );
        }
    }
}
