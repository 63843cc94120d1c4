//! Every clause that a house style may word is on some paper: each is reworded by
//! a mark of its own, and the marks are looked for in all papers of many specs.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use lopdf::{Document, Object};
use serde_json::Value;
use tempfile::tempdir;

use crate::support::{
    AS_OF, GAS, GEOTHERMAL, coldring, coldring_with, file, pages_text, read, run, squeezed,
};
use crate::wallet::qualified_loops;

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
        all(&["forms", spec, "--language", "en"]);
    }
    // So many sizes that they go on to a second card.
    all(&["build", GAS, "--language", "en", "--card-trim", "id-1"]);
    for (name, base, edits) in EDITED {
        let text = edits.iter().fold(read(base), |text, (old, new)| {
            assert_eq!(text.matches(old).count(), 1, "{name}: {old}");
            text.replace(old, new)
        });
        let spec = file(&folder, &format!("{name}.yaml"), text);
        all(&["build", &spec, "--language", "en"]);
        all(&["forms", &spec, "--language", "en"]);
    }
    // A record with each kind of test.
    let burst = "kind: burst, date: 2026-08-26, pressure: 471 psi, criterion: {at_least: 450 psi,";
    let sustained = "kind: sustained pressure, date: 2026-08-26, pressure: 100 psi, time: 10 h, failed: no, \
                     criterion: {pressure: 100 psi, time: 600 min,";
    let record = read("specs/records/AF-PQ-07.yaml");
    assert!(record.contains(burst));
    let other = file(&folder, "record.yaml", record.replace(burst, sustained));
    all(&["forms", GAS, "--record", "specs/records/AF-PQ-07.yaml"]);
    all(&["forms", GAS, "--record", &other]);
    // A date by each rule set that knows one.
    for rule in [
        "us-gas",
        "six-months-without-use",
        "two-year-certificate",
        "own:12:Operations Manual 7.9",
    ] {
        let spec = if rule == "us-gas" { GAS } else { GEOTHERMAL };
        all(&["forms", spec, "--rules", rule, "--language", "en"]);
    }
    let keys = run(coldring()
        .args(["keys", "demo", "--out"])
        .arg(folder.path()));
    assert_eq!(keys.code, Some(0), "{}", keys.err);
    let key = folder.path().join("demo.private.pem");
    let loops = file(&folder, "loops.yaml", qualified_loops());
    let people = [
        "--fusers",
        "specs/people/fusers.yaml",
        "--key",
        key.to_str().unwrap(),
    ];
    all(&[&["cards", GAS][..], &people].concat());
    all(&[&["cards", GAS, &loops, "--combined"][..], &people].concat());
    let own = ["--rules", "HC-SF-104=own:12:Operations Manual 7.9"];
    all(&[&["cards", &loops][..], &people, &own].concat());
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

/// Edits of a spec: what stands in it, and what takes its place.
type Edits = &'static [(&'static str, &'static str)];

/// Specs for the clauses that no demo needs: a clean spec of the suite or a demo,
/// and its edits.
const EDITED: &[(&str, &str, Edits)] = &[
    (
        "two-sticks",
        BASE,
        &[
            DRAFT,
            (", effective: 2026-10-01", ""),
            (
                "{method: pyrometer, accuracy: 3 °F}",
                "{method: two indicating sticks, melts: 496 °F, stays_solid: 504 °F}",
            ),
            ("hold: 65 s", "change_over: 2 s, hold: 65 s"),
            (
                "  change_over: {value: 3 s, source: Operations Manual 4.5}\n",
                "",
            ),
            (
                "kinds: [coupling, elbow, spigot]",
                "kinds: [coupling, spigot, reducer]",
            ),
        ],
    ),
    (
        "cutters",
        BASE,
        &[
            DRAFT,
            (", effective: 2026-10-01", ""),
            (
                "cutter: {largest: 2 IPS}",
                "cutters: [{sizes: 1 to 1-1/2 IPS}, {sizes: 2 IPS}]",
            ),
        ],
    ),
    (
        "stick",
        BASE,
        &[
            DRAFT,
            (", effective: 2026-10-01", ""),
            (
                "{method: pyrometer, accuracy: 3 °F}",
                "{method: indicating stick, melts: 500 °F}",
            ),
            ("swing: 4 °F", "swing: 2 °F"),
            (
                "{agent: isopropyl alcohol, strength: 91 %}",
                "{agent: dry cloth}",
            ),
        ],
    ),
    (
        "unlike",
        BASE,
        &[
            DRAFT,
            (", effective: 2026-10-01", ""),
            (
                "  sockets:\n",
                "  resin: PE2708\n  unlike:\n    \
                 - {size: 1 IPS, pipe_heat: 15 s, fitting_heat: 13 s, first: pipe, record: BL-PQ-3}\n    \
                 - {size: 1-1/4 IPS, pipe_heat: 18 s, fitting_heat: 16 s, first: pipe, record: BL-PQ-3}\n    \
                 - {size: 1-1/2 IPS, pipe_heat: 20 s, fitting_heat: 18 s, first: pipe, record: BL-PQ-3}\n    \
                 - {size: 2 IPS, pipe_heat: 24 s, fitting_heat: 20 s, first: pipe, record: BL-PQ-3}\n  \
                 sockets:\n",
            ),
        ],
    ),
    (
        "holder",
        BASE,
        &[
            DRAFT,
            (", effective: 2026-10-01", ""),
            ("sizes: 1 IPS to 2 IPS", "sizes: 1 IPS to 3 IPS"),
            (
                "    2 IPS: {depth: 23.88 mm}",
                "    2 IPS: {depth: 23.88 mm}\n    3 IPS: {}",
            ),
            (
                "source: caliper on G-4}",
                "source: caliper on G-4}\n    3 IPS: {depth: 1.20 in, id: G-5, source: caliper on G-5}",
            ),
            (
                "    2 IPS: {width: 0.75 in}",
                "    2 IPS: {width: 0.75 in}\n    3 IPS: {}",
            ),
            (
                "cutter: {largest: 2 IPS}",
                "cutter: {largest: 3 IPS}\n  machine: {largest: 3 IPS}",
            ),
        ],
    ),
    (
        "no-holder",
        BASE,
        &[
            DRAFT,
            (", effective: 2026-10-01", ""),
            ("sizes: 1 IPS to 2 IPS", "sizes: 1 IPS to 3 IPS"),
            (
                "    2 IPS: {depth: 23.88 mm}",
                "    2 IPS: {depth: 23.88 mm}\n    3 IPS: {}",
            ),
            (
                "source: caliper on G-4}",
                "source: caliper on G-4}\n    3 IPS: {depth: 1.20 in, id: G-5, source: caliper on G-5}",
            ),
            (
                "    2 IPS: {width: 0.75 in}",
                "    2 IPS: {width: 0.75 in}\n    3 IPS: {}",
            ),
            ("cutter: {largest: 2 IPS}", "cutter: {largest: 3 IPS}"),
        ],
    ),
    (
        "superseded",
        BASE,
        &[
            DRAFT,
            (", effective: 2026-10-01", ""),
            ("of PE4710 gas", "of PE3408 gas"),
            ("resin: PE4710", "resin: PE3408"),
            ("cleaning: {agent: isopropyl alcohol, strength: 91 %}\n", ""),
            ("  pipe_temperature: 40 °F to 110 °F\n", ""),
        ],
    ),
    (
        "spigot",
        METRIC,
        &[
            (
                "kinds: [coupling, elbow]\n",
                "kinds: [coupling, spigot]\n  spigots: {32 mm: {straight_length: 30 mm}}\n",
            ),
            (
                "agent: isopropyl alcohol, strength: 91 %, peel: no",
                "agent: water",
            ),
            ("cycles:\n", "cold_weather: {}\n\ncycles:\n"),
        ],
    ),
    (
        "folded",
        METRIC,
        &[
            ("agent: isopropyl alcohol, strength: 91 %", "agent: acetone"),
            (
                "documents:\n",
                "documents:\n  card: {lanyard: yes, flip: fold}\n",
            ),
        ],
    ),
    (
        "short-edge",
        METRIC,
        &[("documents:\n", "documents:\n  card: {flip: short edge}\n")],
    ),
    (
        "some-holds",
        "specs/saddle-works-hot-water.yaml",
        &[(
            "cycles:\n",
            "cold_weather: {}\n\ncycles:\n  rows:\n    \
             - {size: 20 mm, heat: 6 s, hold: 15 s, source: trial joints}\n",
        )],
    ),
];

const BASE: &str = "tests/data/base.yaml";
const METRIC: &str = "tests/data/metric-base.yaml";
const DRAFT: (&str, &str) = ("status: qualified", "status: draft");
