//! The figures of a procedure as JSON and CSV.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::support::{AS_OF, GAS, GEOTHERMAL, WRONG, coldring_with, document, list};

const SPECS: [&str; 4] = [
    GAS,
    GEOTHERMAL,
    "specs/saddle-works-hot-water.yaml",
    "specs/tern-valley-water.yaml",
];

fn shown(spec: &str, format: &str) -> crate::support::Run {
    let arguments = [
        "show",
        spec,
        "--resolved",
        "--as-of",
        AS_OF,
        "--format",
        format,
    ];
    let ran = coldring_with(&arguments);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{spec}");
    ran
}

/// The one figure of a size and, where it is of one, of a wall.
fn one<'f>(document: &'f Value, size: Option<&str>, wall: Option<&str>, name: &str) -> &'f Value {
    let mut found = list(document, "figures").iter().filter(|figure| {
        figure["figure"] == name && figure["size"] == json!(size) && figure["wall"] == json!(wall)
    });
    let figure = found
        .next()
        .unwrap_or_else(|| panic!("no {name} of {size:?}"));
    assert!(found.next().is_none(), "{name} of {size:?} is there twice");
    figure
}

/// Against the demo's own text and figures worked by hand.
#[test]
fn figures_of_the_demo_by_hand() {
    let document = document(&shown(GAS, "json"));
    assert_eq!(document["version"], 1);
    assert_eq!(document["procedure"], "AF-JP-12");
    assert_eq!(document["status"], "qualified");
    let two = Some("2 IPS");
    for (size, wall, name, value, unit, basis) in [
        (None, None, "set-point", json!(500), "°F", "organization"),
        (
            None,
            None,
            "pipe-temperature",
            json!([40, 100]),
            "°F",
            "organization",
        ),
        // 500 °F, no offset, 4 °F each way.
        (
            None,
            None,
            "face-temperature",
            json!([496, 504]),
            "°F",
            "derived",
        ),
        (
            None,
            None,
            "wait-before-pressure-test",
            json!(1800),
            "s",
            "organization",
        ),
        (two, None, "insertion-depth", json!(0.93), "in", "measured"),
        // ASTM D3035: 2 IPS is 2.375 in across.
        (
            two,
            None,
            "outside-diameter",
            json!(2.375),
            "in",
            "secondary",
        ),
        // 2.375 in / 11, and that twice from 2.375 in.
        (
            two,
            Some("DR 11"),
            "least-wall",
            json!(0.215909),
            "in",
            "derived",
        ),
        (
            two,
            Some("DR 11"),
            "inside-diameter",
            json!(1.943182),
            "in",
            "derived",
        ),
    ] {
        let figure = one(&document, size, wall, name);
        assert_eq!(figure["value"], value, "{name}");
        assert_eq!(figure["unit"], unit, "{name}");
        assert_eq!(figure["basis"], basis, "{name}");
    }
    assert_eq!(
        one(&document, two, None, "insertion-depth")["source"],
        "gauge block, 2026-08-11"
    );
}

/// Every figure says where it comes from, and one of the tables is as
/// `coldring limits` has it.
#[test]
fn every_figure_has_its_source_and_those_of_the_tables_are_theirs() {
    let limits = coldring_with(&["limits", "--format", "json"]);
    let limits = document(&limits);
    let published: BTreeMap<_, _> = list(&limits, "figures")
        .iter()
        .map(|figure| (figure["id"].as_str().unwrap(), figure))
        .collect();
    for spec in SPECS {
        let document = document(&shown(spec, "json"));
        let mut of_tables = 0;
        for figure in list(&document, "figures") {
            let text = |field: &str| figure[field].as_str().unwrap_or_default();
            for field in ["figure", "basis", "standing", "source"] {
                assert!(!text(field).is_empty(), "{field} of {figure}");
            }
            assert_eq!(
                figure["value"].is_null(),
                figure["basis"] == "not found",
                "{figure}"
            );
            let Some(id) = figure["id"].as_str() else {
                continue;
            };
            of_tables += 1;
            // Read for one polymer, wall or service and taken over for another, a figure
            // counts less.
            let taken_over = ["PP", "another wall", "gas"]
                .iter()
                .any(|of| text("source").ends_with(&format!("taken over for {of}")));
            assert!(!taken_over || figure["basis"] == "recalled", "{figure}");
            // What the spec's confirmations say was read in the edition counts as confirmed,
            // and is written as it was read.
            if figure["basis"] == "confirmed" {
                assert_eq!(figure["kind"], published[id]["kind"], "{id}");
                continue;
            }
            let basis = if taken_over { "kind" } else { "basis" };
            for field in ["kind", basis, "written", "conflict"] {
                assert_eq!(figure[field], published[id][field], "{field} of {id}");
            }
        }
        assert!(of_tables > 10, "{spec}: {of_tables}");
    }
}

#[test]
fn what_is_not_known_is_a_figure_without_a_value() {
    let folder = tempfile::TempDir::new().unwrap();
    let text = crate::support::read("tests/data/base.yaml")
        .replace("status: qualified", "status: draft")
        .replace(
            "{depth: 0.71 in, id: G-1, source: caliper on G-1}",
            "{depth: to be measured}",
        );
    let spec = crate::support::file(&folder, "draft.yaml", text);
    let document = document(&shown(&spec, "json"));
    let depth = one(&document, Some("1 IPS"), None, "insertion-depth");
    assert_eq!(depth["value"], Value::Null);
    assert_eq!(depth["basis"], "not found");
    assert_eq!(
        depth["source"],
        "NO JOINT in this size until its depth is measured"
    );
    // The lines of its times stand below that, and those of other sizes do not.
    let yaml = shown(&spec, "yaml").out;
    let times = yaml.split("#\n# ").find(|part| part.starts_with("1 IPS:"));
    assert!(
        times
            .unwrap()
            .starts_with("1 IPS: NO JOINT until its depth is measured\n")
    );
    assert!(times.unwrap().contains("heating: 15 to 17 s"), "{yaml}");
    assert!(yaml.contains("# 2 IPS\n") && !yaml.contains("# 2 IPS: NO JOINT"));
}

#[test]
fn csv_has_the_figures_of_the_json() {
    for spec in SPECS {
        let document = document(&shown(spec, "json"));
        let figures = list(&document, "figures");
        let csv = shown(spec, "csv").out;
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let rows: Vec<BTreeMap<String, String>> =
            reader.deserialize().map(Result::unwrap).collect();
        assert_eq!(rows.len(), figures.len());
        for (row, figure) in rows.iter().zip(figures) {
            assert_eq!(row["procedure"], document["procedure"].as_str().unwrap());
            assert_eq!(row["status"], document["status"].as_str().unwrap());
            for field in [
                "size", "walls", "wall", "figure", "kind", "unit", "written", "basis", "standing",
                "source", "id", "conflict",
            ] {
                assert_eq!(
                    row[field],
                    figure[field].as_str().unwrap_or_default(),
                    "{field}"
                );
            }
            let number = |field: &str| row[field].parse::<f64>().ok();
            match &figure["value"] {
                Value::Array(ends) => {
                    assert_eq!(number("least"), ends[0].as_f64());
                    assert_eq!(number("most"), ends[1].as_f64());
                }
                Value::String(text) => assert_eq!(row["value"], *text),
                value => assert_eq!(number("value"), value.as_f64()),
            }
        }
    }
}

#[test]
fn a_spec_with_errors_is_not_shown() {
    for format in ["yaml", "json", "csv"] {
        let ran = coldring_with(&["show", WRONG, "--resolved", "--format", format]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""));
        assert!(ran.err.contains("error"), "{}", ran.err);
    }
    let ran = coldring_with(&["show", GAS]);
    assert_eq!(ran.code, Some(2), "it says what it wants: {}", ran.err);
}
