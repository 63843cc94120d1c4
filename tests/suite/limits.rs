//! `coldring limits`: filters, JSON, CSV and the list of changes. The tables are
//! read here as plain YAML, not by the program's own reader.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Value, json};

use crate::support::{PAPERS, Run, coldring_with, demos, pages_text, path, read};

/// The columns of the CSV, which spreadsheets rely on.
const COLUMNS: &str =
    "id,table,size,kind,value,least,most,unit,written,basis,source,note,conflict,library";

/// Figures worked by hand: id, size, kind, value, unit.
const BY_HAND: &str = r#"[
    ["pipe-ips:1/2-IPS:od", "1/2 IPS", "length", 0.84, "in"],
    ["us-cycles:high-density:1-1/4-IPS:heat", "1-1/4 IPS", "time", [18, 21], "s"],
    ["us-temperatures:heater-face:range", null, "temperature", [490, 510], "°F"],
    ["us-heater:controller-step:difference", null, "temperature difference", 2, "°F"],
    ["us-times:wait-before-handling:time", null, "time", 5, "min"],
    ["us-heater:stick-accuracy:percent", null, "percent", 1, "%"],
    ["resins:PE4710:density_cell", null, "text", "4", null],
    ["metric-temperatures:heater-face:range", null, "temperature", [250, 270], "°C"],
    ["sockets-pe:63-metric:mouth", "63 mm", "length", [62, 62.4], "mm"],
    ["metric-pe-cycles:thick:63-metric:heat", "63 mm", "time", 24, "s"],
    ["metric-pe-cycles:thin:63-metric:heat", "63 mm", "text", "not advisable", null]
]"#;

/// Runs `limits` with these arguments; it has to succeed in silence.
fn limits(arguments: &[&str]) -> Run {
    let ran = coldring_with(&[&["limits"], arguments].concat());
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{arguments:?}");
    ran
}

/// The JSON document.
fn document(arguments: &[&str]) -> Value {
    let ran = limits(&[&["--format", "json"], arguments].concat());
    serde_json::from_str(&ran.out).unwrap()
}

/// The figures of the JSON document.
fn figures(arguments: &[&str]) -> Vec<Value> {
    document(arguments)["figures"].as_array().unwrap().clone()
}

/// The rows of the CSV, by column.
fn rows(arguments: &[&str]) -> Vec<BTreeMap<String, String>> {
    let ran = limits(&[&["--format", "csv"], arguments].concat());
    let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
    reader.deserialize().map(Result::unwrap).collect()
}

fn one<'f>(figures: &'f [Value], id: &str) -> &'f Value {
    figures.iter().find(|figure| figure["id"] == id).unwrap()
}

fn ids(figures: &[Value]) -> Vec<&str> {
    let ids = figures.iter().map(|figure| figure["id"].as_str().unwrap());
    ids.collect()
}

/// One cell of a table's YAML: id, value as written, size.
fn cells() -> Vec<(String, String, Option<String>)> {
    /// What a row holds beside its cells.
    const OWN: [&str; 6] = ["key", "size", "basis", "source", "note", "conflict"];
    let mut cells = Vec::new();
    for entry in std::fs::read_dir(path("src/published/tables")).unwrap() {
        let file = entry.unwrap().path();
        if file.extension().is_none_or(|extension| extension != "yaml") {
            continue;
        }
        let text = std::fs::read_to_string(&file).unwrap();
        let table: Value = serde_yaml::from_str(&text).unwrap();
        for row in table["rows"].as_array().unwrap() {
            for (column, cell) in row.as_object().unwrap() {
                if OWN.contains(&column.as_str()) {
                    continue;
                }
                let text = |value: &Value| value.as_str().unwrap().to_owned();
                cells.push((
                    format!("{}:{}:{column}", text(&table["table"]), text(&row["key"])),
                    text(cell.get("value").unwrap_or(cell)),
                    row.get("size").map(text),
                ));
            }
        }
    }
    cells
}

#[test]
fn json_and_csv_hold_every_figure_of_the_tables_once() {
    let figures = figures(&[]);
    let rows = rows(&[]);
    let cells = cells();
    assert!(cells.len() > 200, "{}", cells.len());
    let of_json: BTreeSet<_> = ids(&figures).into_iter().collect();
    assert_eq!(of_json.len(), figures.len(), "an id stands twice");
    let of_csv: Vec<_> = rows.iter().map(|row| row["id"].as_str()).collect();
    assert_eq!(of_csv, ids(&figures));
    let expected: BTreeSet<_> = cells.iter().map(|(id, ..)| id.as_str()).collect();
    assert_eq!(of_json, expected);
    let by_id: BTreeMap<_, _> = figures.iter().map(|f| (f["id"].as_str(), f)).collect();
    for (id, written, size) in &cells {
        let figure = by_id[&Some(id.as_str())];
        assert_eq!(figure["written"], **written, "{id}");
        assert_eq!(figure["size"], json!(size), "{id}");
    }
}

#[test]
fn numbers_are_those_of_the_source_in_its_unit() {
    let figures = figures(&[]);
    let by_hand: Vec<Value> = serde_json::from_str(BY_HAND).unwrap();
    for expected in by_hand {
        let figure = one(&figures, expected[0].as_str().unwrap());
        let found = ["id", "size", "kind", "value", "unit"].map(|field| &figure[field]);
        assert_eq!(json!(found), expected);
    }
    let absent = one(&figures, "us-times:wait-before-pressure-test:time");
    assert_eq!(absent["value"], json!(null));
    assert_eq!(
        (&absent["kind"], &absent["unit"]),
        (&json!(null), &json!(null))
    );
    assert_eq!(absent["basis"], "not found");
    assert_eq!(absent["conflict"], "conflicts:wait-before-test");
    assert!(
        absent["note"]
            .as_str()
            .unwrap()
            .starts_with("The author sets it")
    );
}

/// A figure with a unit is a number; only what is absent is `null`, and only a
/// statement is a string.
#[test]
fn every_figure_has_the_agreed_fields() {
    let document = document(&[]);
    assert_eq!(document["version"], 1);
    assert_eq!(
        document["library"],
        read("src/published/tables/VERSION").trim()
    );
    for figure in document["figures"].as_array().unwrap() {
        let fields: Vec<_> = figure.as_object().unwrap().keys().collect();
        assert_eq!(
            fields,
            [
                "id", "table", "size", "kind", "value", "unit", "written", "basis", "source",
                "note", "conflict"
            ]
        );
        let value = &figure["value"];
        let right = match figure["kind"].as_str() {
            None => value.is_null() && figure["basis"] == "not found",
            Some("text") => value.is_string() && figure["unit"].is_null(),
            Some(_) => {
                let numbers = match value.as_array() {
                    Some(ends) => ends.len() == 2 && ends.iter().all(Value::is_number),
                    None => value.is_number(),
                };
                numbers && figure["unit"].is_string()
            }
        };
        assert!(right, "{figure}");
        assert!(figure["source"].as_str().is_some_and(|s| !s.is_empty()));
    }
}

#[test]
fn csv_says_the_same_as_json() {
    let text = limits(&["--format", "csv"]).out;
    assert_eq!(text.split("\r\n").next(), Some(COLUMNS));
    assert!(text.ends_with("\r\n") && !text.replace("\r\n", "").contains('\n'));
    let figures = figures(&[]);
    let library = read("src/published/tables/VERSION");
    for (row, figure) in rows(&[]).iter().zip(&figures) {
        let plain = |value: &Value| match value {
            Value::Null => String::new(),
            Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        for (column, cell) in row {
            let expected = match (column.as_str(), &figure["value"]) {
                ("value", Value::Array(_)) => String::new(),
                ("least", Value::Array(ends)) => plain(&ends[0]),
                ("most", Value::Array(ends)) => plain(&ends[1]),
                ("least" | "most", _) => String::new(),
                ("library", _) => library.trim().to_owned(),
                (column, _) => plain(&figure[column]),
            };
            assert_eq!(*cell, expected, "{column} of {}", figure["id"]);
        }
    }
}

#[test]
fn filters_let_through_what_they_name_and_nothing_else() {
    let all = figures(&[]);
    let matching = |keep: &dyn Fn(&Value) -> bool| -> Vec<Value> {
        let kept = all.iter().filter(|figure| keep(figure));
        kept.cloned().collect()
    };
    let standings: BTreeSet<_> = all.iter().map(|f| f["basis"].as_str().unwrap()).collect();
    for basis in ["standard", "secondary", "practice", "recalled", "not found"] {
        assert!(standings.contains(basis));
        let found = figures(&["--basis", basis]);
        assert_eq!(
            found,
            matching(&|figure| figure["basis"] == basis),
            "{basis}"
        );
    }
    assert_eq!(
        figures(&["--basis", "not-found"]),
        figures(&["--basis", "not found"])
    );
    let two = figures(&["--basis", "recalled,not-found"]);
    assert_eq!(
        two,
        matching(&|figure| figure["basis"] == "recalled" || figure["basis"] == "not found")
    );
    let size = figures(&["--size", "1¼ ips"]);
    assert_eq!(size, matching(&|figure| figure["size"] == "1-1/4 IPS"));
    assert!(size.len() > 5, "{}", size.len());
    let cts = figures(&["us-cycles", "--size", "1 CTS", "--basis", "recalled"]);
    assert_eq!(
        ids(&cts),
        [
            "us-cycles:medium-density:1-CTS:heat",
            "us-cycles:medium-density:1-CTS:hold",
            "us-cycles:high-density:1-CTS:heat",
            "us-cycles:high-density:1-CTS:hold",
        ]
    );
    let listed = limits(&["us-cycles", "--size", "1 CTS"]).out;
    assert_eq!(listed.matches("us-cycles:").count(), 5, "{listed}");
    assert!(!listed.contains("IPS"), "{listed}");
}

#[test]
fn nothing_found_is_said_and_is_no_error() {
    let nothing = [
        "us-cycles",
        "--size",
        "12 IPS",
        "--basis",
        "recalled,measured",
    ];
    assert_eq!(
        limits(&nothing).out,
        "no figure of us-cycles for 12 IPS has the basis recalled or measured\n"
    );
    assert_eq!(limits(&["--size", "12 IPS"]).out, "no figure for 12 IPS\n");
    assert_eq!(figures(&nothing), Vec::<Value>::new());
    let csv = limits(&[&["--format", "csv"], nothing.as_slice()].concat());
    assert_eq!(csv.out, format!("{COLUMNS}\r\n"));
}

#[test]
fn what_cannot_be_asked_for_is_named() {
    for (arguments, says) in [
        (["--basis", "remembered"], "recalled"),
        (["--basis", ""], "not-found"),
        (["--size", "1-1/4"], "say which system"),
        (["--size", "big"], "a size is written as"),
        (["--format", "yaml"], "json"),
        (["--changes", "us-cycles"], "--changes"),
    ] {
        let ran = coldring_with(&[&["limits"], arguments.as_slice()].concat());
        assert_eq!(ran.code, Some(2), "{arguments:?}");
        assert_eq!(ran.out, "");
        assert!(ran.err.contains(says), "{arguments:?}: {}", ran.err);
    }
    for format in ["text", "json", "csv"] {
        let ran = coldring_with(&["limits", "us-cycle", "--format", format]);
        assert_eq!((ran.code, ran.out.as_str()), (Some(2), ""));
        assert!(ran.err.contains("'us-cycles'"), "{}", ran.err);
    }
}

#[test]
fn every_paper_names_the_version_of_its_figures() {
    let line = format!("Tables {}", read("src/published/tables/VERSION").trim());
    for papers in [&demos().gas, &demos().geothermal] {
        for paper in PAPERS {
            let text = pages_text(&papers.join(paper)).join("\n");
            assert!(text.contains(&line), "{paper}");
        }
    }
}

#[test]
fn the_newest_change_is_the_version_of_the_library() {
    let changes = limits(&["--changes"]).out;
    let versions: Vec<Vec<u32>> = changes
        .lines()
        .filter_map(|line| line.strip_prefix("## "))
        .map(|version| {
            version
                .split(['-', '.'])
                .map(|n| n.parse().unwrap())
                .collect()
        })
        .collect();
    assert!(
        versions.is_sorted_by(|newer, older| newer > older),
        "{versions:?}"
    );
    let newest = changes.lines().find_map(|line| line.strip_prefix("## "));
    assert_eq!(newest, Some(read("src/published/tables/VERSION").trim()));
    assert_eq!(newest, Some(coldring::published::library().version()));
}

/// Names that standards and regulations begin with.
const NAMES: [&str; 15] = [
    "ANSI ",
    "ASME ",
    "ASTM ",
    "CFR ",
    "DVS ",
    "EN ",
    "GOST ",
    "ISO ",
    "ISO/IEC ",
    "MS ",
    "NYCRR ",
    "PPI ",
    "SP ",
    "conflicts",
    "the texts compared",
];

/// `as reported` means that the text which was read names a standard; otherwise a
/// figure is no more than practice.
#[test]
fn a_figure_as_reported_names_its_standard() {
    let figures = figures(&["--basis", "secondary"]);
    assert!(figures.len() > 100, "{}", figures.len());
    for figure in &figures {
        let source = figure["source"].as_str().unwrap();
        assert!(
            NAMES.iter().any(|name| source.contains(name)),
            "{}: {source}",
            figure["id"]
        );
    }
}

/// Text within “ ” is word for word, and what was read in an old text says so where
/// it is printed.
#[test]
fn a_paraphrase_is_no_quotation_and_an_old_text_no_rule_of_today() {
    let figures = figures(&["regulation"]);
    let mut quoted = 0;
    for figure in &figures {
        let id = figure["id"].as_str().unwrap();
        let Some(row) = id.strip_suffix(":text") else {
            continue;
        };
        let (text, source) = (
            figure["written"].as_str().unwrap(),
            figure["source"].as_str().unwrap(),
        );
        let note = figure["note"].as_str().unwrap_or_default();
        if text.contains(['“', '”']) {
            quoted += 1;
            assert!(!note.contains("Paraphrased"), "{id}");
            assert!(
                text.starts_with('“') && text.ends_with(".”"),
                "{id}: {text}"
            );
            assert_eq!(figure["basis"], "standard", "{id}");
        }
        let cite = one(&figures, &format!("{row}:cite"))["written"].clone();
        for old in ["text before 2019", "2015 edition"] {
            let says = cite.as_str().unwrap().contains(old);
            assert_eq!(source.contains(old), says, "{id}: {cite}");
        }
    }
    assert_eq!(quoted, 10);
}

/// F2620 is about PE, and no text of it is a source for metric work.
#[test]
fn no_metric_statement_cites_a_standard_of_us_practice() {
    use coldring::process::socket::practice::METRIC;
    use coldring::published::{Work, library};
    let limits = library();
    let work = Work {
        practice: &METRIC,
        family: None,
        agent: None,
        buried: true,
        service: "gas",
    };
    let tables = ["hazards", "acceptance", "rejection", "acceptance-rules"];
    let statements = tables.iter().flat_map(|t| limits.statements(t, &work));
    let statements = statements.chain(limits.cold_statements(&METRIC));
    let trial = limits.entry(METRIC.cold_trial);
    let all: Vec<_> = statements.chain(trial).collect();
    assert!(all.len() > 20, "{}", all.len());
    for figure in all {
        assert!(
            !figure.source.contains("ASTM"),
            "{}: {}",
            figure.id,
            figure.source
        );
    }
}

/// The recalled minimum walls of gas pipe, transcribed apart from the table.
#[test]
fn gas_walls_are_as_transcribed() {
    let text = read("tests/data/gas_walls.csv");
    let mut rows = text.lines();
    assert!(rows.next().unwrap().starts_with("# source: "));
    assert_eq!(rows.next(), Some("size,wall"));
    let figures = figures(&["gas-walls", "--basis", "recalled"]);
    let transcribed: Vec<(Value, Value)> = rows
        .filter_map(|row| row.split_once(','))
        .map(|(size, wall)| (json!(size), json!(wall)))
        .collect();
    let published: Vec<(Value, Value)> = figures
        .iter()
        .map(|figure| (figure["size"].clone(), figure["written"].clone()))
        .collect();
    assert_eq!(published, transcribed);
    assert_eq!(published.len(), 13);
}
