//! The heat command and the procedure's appendix, from outside.

use std::fs;

use serde_json::Value;
use tempfile::tempdir;

use crate::support::{
    AS_OF, GAS, GEOTHERMAL, WRONG, coldring_with, demos, document, file, list, pages_text, read,
    squeezed, tool,
};

const GOVERNS: &str = "not validated against measured joints. The published or qualified time \
                       governs.";

fn heat(arguments: &[&str]) -> crate::support::Run {
    let mut all = vec!["heat", "--as-of", AS_OF];
    all.extend(arguments);
    coldring_with(&all)
}

#[test]
fn every_form_of_the_table_says_what_it_is_worth() {
    for format in ["text", "json", "csv"] {
        let ran = heat(&["--format", format, GEOTHERMAL, GAS]);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{format}");
        assert!(ran.out.contains(GOVERNS), "{format}: {}", ran.out);
    }
}

#[test]
fn json_and_csv_have_the_same_rows() {
    let json = document(&heat(&["--format", "json", GEOTHERMAL, GAS]));
    assert_eq!(json["version"], 1);
    let rows: Vec<&Value> = list(&json, "specs")
        .iter()
        .flat_map(|spec| list(spec, "rows"))
        .collect();
    let csv = heat(&["--format", "csv", GEOTHERMAL, GAS]).out;
    let mut lines = csv::Reader::from_reader(csv.as_bytes());
    let columns = lines.headers().unwrap().clone();
    let lines: Vec<_> = lines.records().map(Result::unwrap).collect();
    assert_eq!(lines.len(), rows.len());
    for (line, row) in lines.iter().zip(rows) {
        for (field, value) in row.as_object().unwrap() {
            let column = columns.iter().position(|column| column == field);
            let cell = &line[column.unwrap_or_else(|| panic!("no column {field}"))];
            match value {
                Value::Null => assert_eq!(cell, "", "{field}"),
                Value::String(text) => assert_eq!(cell, text, "{field}"),
                number => assert_eq!(cell.parse::<f64>().ok(), number.as_f64(), "{field}"),
            }
        }
        // Every number carries its unit.
        for (field, _) in row
            .as_object()
            .unwrap()
            .iter()
            .filter(|(_, v)| v.is_number())
        {
            let units = ["_mm", "_s", "_c", "_percent"];
            assert!(units.iter().any(|unit| field.ends_with(unit)), "{field}");
        }
    }
}

#[test]
fn errors_come_first_and_leave_no_table() {
    let ran = heat(&[WRONG]);
    assert_eq!((ran.code, ran.out.as_str()), (Some(1), ""));
    assert!(ran.err.contains("error["), "{}", ran.err);
    assert_eq!(heat(&["specs/no-such-file.yaml"]).code, Some(2));
    let json = document(&heat(&["--format", "json", WRONG, GAS]));
    let specs = list(&json, "specs");
    assert!(specs[0]["errors"].as_u64().unwrap() > 0);
    assert!(list(&specs[0], "rows").is_empty() && !list(&specs[1], "rows").is_empty());
}

#[test]
fn a_refusal_stands_in_its_row() {
    let folder = tempdir().unwrap();
    let text = read(GEOTHERMAL)
        .replace("3/4 IPS to 2 IPS", "2 IPS")
        .replace("  reducers: [2 IPS x 1-1/4 IPS, 1-1/4 IPS x 3/4 IPS]\n", "")
        .replace("[9, 11]", "[11, 21]");
    let spec = file(&folder, "thin.yaml", &text);
    let json = document(&heat(&["--format", "json", &spec]));
    let rows = list(&list(&json, "specs")[0], "rows");
    assert_eq!(rows.len(), 2);
    for row in rows {
        let thin = row["wall"] == "DR 21";
        assert_eq!(row["no_estimate"].is_string(), thin, "{row}");
        assert_eq!(row["pipe_melt_longest_mm"].is_null(), thin, "{row}");
    }
    assert!(
        heat(&[&spec])
            .out
            .contains("no estimate: OD over minimum wall is 21, above the 17")
    );
}

#[test]
fn a_size_without_a_depth_has_no_joint_and_no_times() {
    let folder = tempdir().unwrap();
    let known = "{depth: 0.71 in, id: DG-2, source: \"caliper, gauge DG-2, 2026-10-28\"}";
    let text = read(GEOTHERMAL);
    assert!(text.contains(known));
    let spec = file(
        &folder,
        "open.yaml",
        text.replace(known, "{depth: to be measured}"),
    );
    let json = document(&heat(&["--format", "json", &spec]));
    let rows = list(&list(&json, "specs")[0], "rows");
    let (open, known): (Vec<_>, Vec<_>) = rows.iter().partition(|row| row["size"] == "1 IPS");
    assert_eq!((open.len(), known.len()), (2, 8));
    for row in open {
        assert_eq!(row["no_estimate"], "NO JOINT until its depth is measured");
        assert_eq!(row["heating_longest_s"], Value::Null);
    }
    assert!(known.iter().all(|row| row["heating_longest_s"].is_number()));
    let table = heat(&[&spec]).out;
    let of_size = table.lines().filter(|line| line.starts_with("  1 IPS "));
    let of_size: Vec<_> = of_size.collect();
    assert_eq!(of_size.len(), 2);
    assert!(
        of_size
            .iter()
            .all(|line| line.ends_with("NO JOINT until its depth is measured"))
    );
}

#[test]
fn the_table_speaks_the_units_of_the_practice() {
    let us = heat(&[GAS]).out;
    assert!(
        us.contains("heater face 500 °F (260 °C), pipe and air"),
        "{us}"
    );
    assert!(us.contains("none below 1-1/4 IPS."), "{us}");
    let metric = heat(&["tests/data/metric-base.yaml"]).out;
    assert!(metric.contains("heater face 260 °C (500 °F)"), "{metric}");
    assert!(metric.contains("none below 50 mm."), "{metric}");
    assert!(!metric.contains("IPS"), "{metric}");
    // 40 °C is as far as the model goes.
    assert!(!metric.contains("no estimate above"), "{metric}");
    let folder = tempdir().unwrap();
    let hot = read("tests/data/metric-base.yaml").replace("5 °C to 40 °C", "5 °C to 45 °C");
    let out = heat(&[&file(&folder, "hot.yaml", &hot)]).out;
    let told = "no estimate above 40 °C (104 °F); the procedure allows up to 45 °C (113 °F)";
    assert!(out.contains(told), "{out}");
}

#[test]
fn the_model_runs_only_where_it_is_asked_for() {
    let has = |arguments: &[&str]| {
        let mut all = vec!["check", "--as-of", AS_OF, GEOTHERMAL];
        all.extend(arguments);
        coldring_with(&all).err.contains("melt-over-caution")
    };
    assert!(has(&["--heat"]));
    assert!(!has(&[]));
}

#[test]
fn the_estimate_ends_the_sources_and_gives_no_time_to_work_by() {
    for folder in [&demos().geothermal, &demos().gas] {
        // A crew is given times to work by, and no others.
        let procedure = squeezed(&pages_text(&folder.join("procedure.pdf")).concat());
        assert!(!procedure.contains("Thermalestimate"));
        let pdf = folder.join("sources.pdf");
        let pages = pages_text(&pdf);
        let bar = squeezed("NOT A TIME TO WORK BY");
        let first = pages
            .iter()
            .position(|page| squeezed(page).contains(&bar))
            .unwrap();
        assert!(first + 3 >= pages.len(), "the appendix is no appendix");
        // In the order of reading, column by column.
        let appendix = squeezed(&tool("pdftotext", &[pdf.as_os_str(), "-".as_ref()]));
        for said in [
            "Itisnotahold,coolingortesttime.",
            "Thisisnonewheatingtime.",
            "Notatimetoworkby.",
            "20%eitherway",
            "toscale",
        ] {
            assert!(appendix.contains(said), "{said}: {appendix}");
        }
        // A drawing that cannot be seen is told.
        let bytes = fs::read(&pdf).unwrap();
        let document = lopdf::Document::load_mem(&bytes).unwrap();
        let told: Vec<String> = document
            .objects
            .values()
            .filter_map(|object| object.as_dict().ok()?.get(b"Alt").ok())
            .filter_map(|alt| lopdf::decode_text_string(alt).ok())
            .collect();
        for words in ["melt depth in the pipe against time", "cut along its axis"] {
            assert!(told.iter().any(|alt| alt.contains(words)), "{told:?}");
        }
    }
}

#[test]
fn one_trial_step_is_measured_against_the_heating_time() {
    let text = pages_text(&demos().geothermal.join("sources.pdf")).join(" ");
    assert!(squeezed(&text).contains("Atrialstepof3sishalfofaheatingtimeof6s."));
}
