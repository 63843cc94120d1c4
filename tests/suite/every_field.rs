//! Every field of a roster and of a submittal is used: each value of the fullest ones
//! is changed to another legal one, and what is found, listed or printed has to
//! change. Those of specs and of the files that they name are tried where their
//! papers are made.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use coldring::authoring::schema::{Kind, schema};
use coldring::core::finding::{Finding, Severity};
use coldring::people::fusers::{decode_yaml, review};
use coldring::people::submittal;
use coldring::published::library;
use serde_json::Value;
use tempfile::TempDir;

use crate::change::{Leaf, changed, document, edited, fields, leaves, others};
use crate::support::{AS_OF, as_of, coldring, names_in, pages_text, path, read, run, tool};

/// Values of one field that are tried in a file, and texts for each.
const TIMES: usize = 4;
const TEXTS: usize = 10;

/// What a file comes to, in steps of which the later ones take longer; `None` where
/// the text cannot be read.
type Steps<'a> = &'a [&'a dyn Fn(&str) -> Option<String>];

fn of_schema(kind: Kind) -> BTreeSet<String> {
    fields(&schema(kind).to_value()).into_iter().collect()
}

fn is_used(document: &Value, leaf: &Leaf, steps: Steps<'_>, before: &[String]) -> bool {
    let texts = others(&leaf.value).into_iter();
    let changed: Vec<_> = texts.map(|text| changed(document, leaf, &text)).collect();
    steps.iter().zip(before).any(|(step, before)| {
        let legal = changed.iter().filter_map(|text| step(text));
        legal.take(TEXTS).any(|after| after != *before)
    })
}

/// Fields of which no value matters, and those of the schema that the file leaves out.
fn unused(kind: Kind, text: &str, steps: Steps<'_>) -> Vec<String> {
    let fields = of_schema(kind);
    let document = document(text);
    let before: Vec<_> = steps
        .iter()
        .map(|step| step(&document.to_string()).expect("a file that can be read"))
        .collect();
    let (mut used, mut tried) = (BTreeMap::new(), BTreeMap::new());
    for leaf in leaves(&document, &|field| fields.contains(field)) {
        let times: &mut usize = tried.entry(leaf.field.clone()).or_default();
        *times += 1;
        let used: &mut bool = used.entry(leaf.field.clone()).or_default();
        if !*used && *times <= TIMES {
            *used = is_used(&document, &leaf, steps, &before);
        }
    }
    let written: Vec<String> = used.keys().cloned().collect();
    let is_written = |field: &String| {
        let group = format!("{field} ");
        written.iter().any(|w| w == field || w.starts_with(&group))
    };
    let missing = fields.iter().filter(|field| !is_written(field));
    let missing = missing.map(|field| format!("{field} is in no fullest file"));
    let idle = used.into_iter().filter(|(_, used)| !used);
    idle.map(|(field, _)| field).chain(missing).collect()
}

fn told(findings: &[Finding]) -> Option<String> {
    // A slip that a band catches says nothing of what the value is for.
    let wrong = |f: &Finding| f.severity() == Severity::Error;
    if findings.iter().any(wrong) {
        return None;
    }
    Some(format!("{:?}", messages(findings)))
}

fn messages(findings: &[Finding]) -> Vec<(&str, &str)> {
    let each = findings.iter().map(|f| (f.rule.slug, f.message.as_str()));
    each.collect()
}

/// The roster of the demo, with rule sets of every kind.
fn roster() -> String {
    edited(
        &read("specs/people/fusers.yaml"),
        &[
            (
                "rules:\n",
                "rules:\n  default: {rule: own, months: 12, source: Manual 7.9}\n",
            ),
            (
                "    HC-SF-104: six-months-without-use\n",
                "    HC-SF-104: six-months-without-use\n    \
                 ML-SF-2: two-year-certificate\n    \
                 SW-PP-07: {rule: own, months: 24, source: Manual 7.10}\n",
            ),
            (
                "{date: 2026-03-10, result: pass, joint: S-31,",
                "{date: 2026-03-10, result: pass, joint: S-31, sizes: 2 IPS,",
            ),
            (
                "  # 31 December comes",
                "      - procedure: ML-SF-2\n        certificate: 2025-03-10\n        confirmed: [2025-09-01, 2026-02-20, 2026-08-10]\n      \
                 - procedure: SW-PP-07\n        specimen: {date: 2025-12-10, result: pass, record: R-5}\n      \
                 - procedure: TV-W-031\n        specimen: {date: 2026-05-10, result: pass, record: R-6}\n  # 31 December comes",
            ),
        ],
    )
}

fn texts_below(folder: &Path) -> String {
    let names = names_in(folder).into_iter();
    let pdfs = names.filter(|name| name.ends_with(".pdf"));
    let each = pdfs.map(|name| {
        let pdf = folder.join(&name);
        let info = tool("pdfinfo", &[&pdf]);
        let size = info.lines().find(|line| line.starts_with("Page size"));
        format!("{name} {size:?} {:?}", pages_text(&pdf))
    });
    each.collect()
}

#[test]
fn every_field_of_a_roster_is_used() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("fusers.yaml");
    let listed = |text: &str| {
        let (roster, findings) = decode_yaml(text);
        told(&findings)?;
        let findings = review(&roster, &roster.rules, library(), as_of());
        let told = format!("{:?}", messages(&findings));
        fs::write(&file, text).unwrap();
        let list = coldring()
            .args(["fusers", "--format", "json", "--as-of", AS_OF])
            .arg(&file)
            .output();
        Some(told + &String::from_utf8(list.unwrap().stdout).unwrap())
    };
    let cards = |text: &str| {
        told(&decode_yaml(text).1)?;
        fs::write(&file, text).unwrap();
        let out = folder.path().join("out");
        let _ = fs::remove_dir_all(&out);
        let ran = run(coldring()
            .args(["cards", "--format", "json", "--as-of", AS_OF, "--fusers"])
            .arg(&file)
            .arg("--out")
            .arg(&out)
            .args(["specs/alder-fork-gas.yaml", "specs/tern-valley-water.yaml"]));
        let list: Value = serde_json::from_str(&ran.out).ok()?;
        Some(format!(
            "{} {}",
            list["rows"],
            texts_below(&out.join(format!("cards-{AS_OF}")))
        ))
    };
    let specs = folder.path().join("specs");
    let submittal = submittal_in(&specs);
    let bound = |text: &str| {
        told(&decode_yaml(text).1)?;
        fs::write(specs.join("people/fusers.yaml"), text).unwrap();
        Some(printed(&submittal))
    };
    // There is one version of the format, and another rule set has other fields.
    assert_eq!(
        unused(Kind::Fusers, &roster(), &[&listed, &cards, &bound]),
        [
            "coldring-fusers",
            "rules default rule",
            "rules procedures * rule"
        ]
    );
}

fn copied(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let from = entry.unwrap().path();
        let to = to.join(from.file_name().unwrap());
        if from.is_dir() {
            copied(&from, &to);
        } else {
            fs::copy(&from, &to).unwrap();
        }
    }
}

/// The fullest submittal.
fn submittal() -> String {
    edited(
        &read("specs/submittal/AF-S-031.yaml"),
        &[
            ("paper: letter\n", "paper: letter\nlanguage: en\n"),
            (
                "    records: [../records/AF-PQ-07.yaml]\n",
                "    papers: sources\n    records: [../records/AF-PQ-07.yaml]\n    previous: [../earlier/alder-fork-gas-r1.yaml]\n",
            ),
            ("  badges:", "  rules: AF-JP-12=us-gas\n  badges:"),
        ],
    )
}

/// The files of the demo in a folder, with the fullest submittal.
fn submittal_in(folder: &Path) -> PathBuf {
    copied(&path("specs"), folder);
    let file = folder.join("submittal/fullest.yaml");
    fs::write(&file, submittal()).unwrap();
    file
}

/// What making a submittal ends with and prints.
fn printed(file: &Path) -> String {
    let out = file.with_file_name("out");
    let _ = fs::remove_dir_all(&out);
    let ran = run(coldring().arg("submittal").arg(file).arg("--out").arg(&out));
    let slugs = ran.err.lines().filter_map(|line| line.split_once('['));
    let slugs = slugs.filter_map(|(_, rest)| rest.split_once("]: "));
    let mut printed = format!("{:?} {:?}", ran.code, slugs.collect::<Vec<_>>());
    for name in out.is_dir().then(|| names_in(&out)).into_iter().flatten() {
        printed += &texts_below(&out.join(name));
    }
    printed
}

#[test]
fn every_field_of_a_submittal_is_used() {
    let folder = TempDir::new().unwrap();
    let file = submittal_in(folder.path());
    let bound = |text: &str| {
        told(&submittal::decode(text).1)?;
        fs::write(&file, text).unwrap();
        Some(printed(&file))
    };
    // There is one version of the format.
    assert_eq!(
        unused(Kind::Submittal, &submittal(), &[&bound]),
        ["coldring-submittal"]
    );
}
