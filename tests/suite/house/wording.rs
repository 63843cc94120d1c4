//! Every clause that a house style may word is on some paper: each is reworded by
//! a mark of its own, and the marks are looked for in all papers of many specs.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use lopdf::{Document, Object};
use serde_json::Value;
use tempfile::tempdir;

use crate::support::{AS_OF, GAS, coldring, coldring_with, pages_text, read, run, squeezed};

/// The clauses that the schema of a house style offers in English, and the
/// quantities that each must say.
fn offered() -> BTreeMap<String, Vec<String>> {
    let ran = coldring_with(&["schema", "house"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let schema: Value = serde_json::from_str(&ran.out).unwrap();
    let clauses = schema["properties"]["replaced"]["properties"]["en"]["properties"].as_object();
    let quantities = |about: &str| -> Vec<String> {
        let must = about.rsplit_once("It must say: ").map(|(_, names)| names);
        let names = must.into_iter().flat_map(|names| names.split(", "));
        names
            .map(|name| name.trim_end_matches('.').to_owned())
            .collect()
    };
    clauses
        .unwrap()
        .iter()
        .map(|(key, about)| {
            (
                key.clone(),
                quantities(about["description"].as_str().unwrap()),
            )
        })
        .collect()
}

/// All that a PDF says: the text of its pages, and what stands for its pictures.
fn said(pdf: &Path) -> String {
    let document = Document::load(pdf).unwrap();
    let alternatives = document.objects.values().filter_map(|object| {
        match object.as_dict().ok()?.get(b"Alt").ok()? {
            Object::String(text, _) => Some(lopdf::decode_text_string(&Object::string_literal(
                text.clone(),
            ))),
            _ => None,
        }
    });
    let alternatives: String = alternatives.filter_map(Result::ok).collect();
    squeezed(&pages_text(pdf).concat()) + &squeezed(&alternatives)
}

/// Every PDF below a folder.
fn said_in(folder: &Path) -> String {
    let mut text = String::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            text += &said_in(&path);
        } else if path.extension().is_some_and(|ending| ending == "pdf") {
            text += &said(&path);
        }
    }
    text
}

#[test]
fn every_clause_that_a_house_may_word_is_on_a_paper() {
    let folder = tempdir().unwrap();
    let (style, out) = (folder.path().join("house"), folder.path().join("out"));
    fs::create_dir(&style).unwrap();
    let offered = offered();
    assert!(offered.len() > 200, "{}", offered.len());
    let mark = |place: usize| format!("Q{place}Z");
    let mut lines = "coldring-house: 1\norganization: {name: Any}\nreplaced:\n  en:\n".to_owned();
    for (place, (key, quantities)) in offered.iter().enumerate() {
        let said: String = quantities
            .iter()
            .map(|name| format!("{{{{ {name} }}}} "))
            .collect();
        lines += &format!("    {key}: \"{said}{}\"\n", mark(place));
    }
    fs::write(style.join("house.yaml"), lines).unwrap();
    let house = style.to_str().unwrap().to_owned();
    let mut text = String::new();
    let mut made = 0;
    let mut all = |arguments: &[&str]| {
        made += 1;
        let out = out.join(made.to_string());
        let ran = run(coldring()
            .args(arguments)
            .args(["--house", &house, "--as-of", AS_OF, "--out"])
            .arg(&out));
        assert_eq!(ran.code, Some(0), "{arguments:?}: {}", ran.err);
        text += &said_in(&out);
    };
    for spec in SPECS {
        all(&["build", spec, "--language", "en"]);
    }
    for (name, spec) in edited() {
        let path = folder.path().join(format!("{name}.yaml"));
        fs::write(&path, spec).unwrap();
        all(&["build", path.to_str().unwrap(), "--language", "en"]);
    }
    all(&["forms", GAS]);
    all(&["forms", GAS, "--record", "specs/records/AF-PQ-07.yaml"]);
    all(&["cards", GAS, "--roster", "specs/people/fusers.yaml"]);
    let silent: Vec<_> = offered
        .keys()
        .enumerate()
        .filter(|(place, _)| !text.contains(&mark(*place)))
        .map(|(_, key)| key.as_str())
        .collect();
    assert!(silent.is_empty(), "on no paper: {}", silent.join(" "));
}

const SPECS: &[&str] = &[
    "specs/hollow-creek-geothermal.yaml",
    "specs/alder-fork-gas.yaml",
    "specs/saddle-works-hot-water.yaml",
    "specs/tern-valley-water.yaml",
    "specs/tour/1-least.yaml",
    "specs/tour/6-full.yaml",
    "tests/data/base.yaml",
    "tests/data/metric-base.yaml",
];

/// Specs for the clauses that no demo needs.
fn edited() -> Vec<(&'static str, String)> {
    let of = |base: &str, edits: &[(&str, &str)]| {
        edits.iter().fold(read(base), |text, (old, new)| {
            assert!(text.contains(old), "{base}: {old}");
            text.replace(old, new)
        })
    };
    let _ = of;
    vec![]
}
