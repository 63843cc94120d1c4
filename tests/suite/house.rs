//! A house style, end to end: what it brings to the papers, and that nothing of
//! it is printed when it is broken, reaches out of its folder, or takes away
//! what warns. The organization is invented.

mod apart;
mod clauses;
mod files;
mod papers;
mod texts;
mod wording;

use std::fs;
use std::path::Path;

use serde_json::Value;
use tempfile::{TempDir, tempdir};

use crate::support::{AS_OF, GEOTHERMAL, Run, coldring, document, list, run};

/// Four blue pixels.
const PNG: &[u8] =
    b"\x89\x50\x4e\x47\x0d\x0a\x1a\x0a\x00\x00\x00\x0d\x49\x48\x44\x52\x00\x00\x00\x02\x00\x00\
    \x00\x02\x08\x02\x00\x00\x00\xfd\xd4\x9a\x73\x00\x00\x00\x10\x49\x44\x41\x54\x78\xda\x63\
    \xe0\xb6\x8d\x01\x22\x06\x08\x05\x00\x10\xba\x02\x91\xb3\xb0\x44\xcd\x00\x00\x00\x00\x49\
    \x45\x4e\x44\xae\x42\x60\x82";

/// A house style with these lines after the name of the organization, and files.
fn house(lines: &str, files: &[(&str, &[u8])]) -> TempDir {
    let folder = tempdir().unwrap();
    let style = "coldring-house: 1\norganization: {name: Hollow Creek District Energy}\n";
    fs::write(folder.path().join("house.yaml"), style.to_owned() + lines).unwrap();
    for (name, content) in files {
        fs::write(folder.path().join(name), content).unwrap();
    }
    folder
}

fn build(house: &Path, out: &Path, arguments: &[&str]) -> Run {
    run(coldring()
        .args(["build", GEOTHERMAL, "--as-of", AS_OF, "--house"])
        .arg(house)
        .arg("--out")
        .arg(out)
        .args(arguments))
}

/// The findings about a house style; it has to hold every paper back.
fn refused(house: &TempDir) -> Vec<Value> {
    let out = tempdir().unwrap();
    let ran = build(house.path(), out.path(), &["--format", "json"]);
    assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
    let written = fs::read_dir(out.path()).unwrap().count();
    assert_eq!(written, 0, "{}", ran.out);
    let errors = document(&ran);
    let findings = list(&errors, "findings").iter();
    let errors = findings.filter(|f| f["severity"] == "error");
    errors.cloned().collect()
}

/// The one finding about a house style: rule, file, line and column.
fn one(house: &TempDir) -> (String, String, u64, u64) {
    let findings = refused(house);
    let [finding] = findings.as_slice() else {
        panic!("{findings:?}");
    };
    let file = finding["file"].as_str().unwrap();
    let folder = house.path().to_str().unwrap();
    (
        finding["rule"].as_str().unwrap().to_owned(),
        file.replace(&format!("{folder}/"), ""),
        finding["line"].as_u64().unwrap(),
        finding["column"].as_u64().unwrap(),
    )
}

fn place(rule: &str, file: &str, line: u64, column: u64) -> (String, String, u64, u64) {
    (rule.to_owned(), file.to_owned(), line, column)
}

/// The findings of these rules about a house style that holds nothing back, each
/// with what is pointed at.
fn warned(house: &TempDir, rules: &[&str], arguments: &[&str]) -> Vec<(String, String)> {
    let out = tempdir().unwrap();
    let ran = build(
        house.path(),
        out.path(),
        &[&["--format", "json", "--only", "procedure"], arguments].concat(),
    );
    assert_eq!(ran.code, Some(0), "{}{}", ran.out, ran.err);
    let text = fs::read_to_string(house.path().join("house.yaml")).unwrap();
    let lines: Vec<_> = text.lines().collect();
    let said = |f: &Value, field: &str| f[field].as_u64().unwrap() as usize;
    list(&document(&ran), "findings")
        .iter()
        .filter(|f| rules.contains(&f["rule"].as_str().unwrap()))
        .map(|f| {
            let (from, to) = (said(f, "column"), said(f, "end_column"));
            assert!(f["file"].as_str().unwrap().ends_with("house.yaml"), "{f}");
            let line = lines[said(f, "line") - 1].chars();
            (
                f["rule"].as_str().unwrap().to_owned(),
                line.skip(from - 1).take(to - from).collect(),
            )
        })
        .collect()
}
