//! The bands of quantities: wide enough for all that is published and for every
//! file of the demo, tight enough for slips, and no advice of the program leaves
//! them.

mod advice;
mod slips;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use coldring::core::units::{DimensionRatio, Length, Range};
use coldring::people::fusers::decode_yaml;
use coldring::people::submittal;
use coldring::published::{Entry, Value, library};
use coldring::spec::plausible as bands;
use coldring::spec::{confirmations, decode, record};

use crate::support::{read, root};

/// Whether both ends of a figure lie in the band of the field that it would be
/// written in; `None` for a column that nobody has sorted yet.
fn plausible(figure: &Entry, column: &str) -> Option<bool> {
    let length = |band: &bands::Band<Length>| match figure.value {
        Value::Length(length) => band.contains(length),
        Value::LengthRange(Range { least, most }) => band.contains(least) && band.contains(most),
        _ => false,
    };
    let duration = |band: &bands::Band<_>| match figure.value {
        Value::Duration(time) => band.contains(time),
        Value::DurationRange(Range { least, most }) => band.contains(least) && band.contains(most),
        _ => false,
    };
    let table = figure.id.split(':').next().unwrap();
    let od = || library().outside_diameter(figure.size?).map(|od| od.value);
    Some(match (table, column) {
        (_, "heat") => duration(&bands::HEATING),
        (_, "change_over") => duration(&bands::CHANGE_OVER),
        (_, "hold") => duration(&bands::HOLD),
        (_, "cooling") => duration(&bands::HANDLING),
        ("us-times", "time") if figure.id.contains("change-over") => duration(&bands::CHANGE_OVER),
        ("us-times", "time") if figure.id.contains("handling") => duration(&bands::HANDLING),
        ("us-times", "time") if figure.id.contains("cold-trial") => duration(&bands::TRIAL_STEP),
        (_, "od") => length(&bands::DIAMETER),
        (_, "mouth" | "root" | "bore") => length(&bands::BORE),
        (_, "out_of_roundness") => length(&bands::OUT_OF_ROUNDNESS),
        ("sockets-pe" | "sockets-pp", "length") => {
            let Value::Length(value) = figure.value else {
                return Some(false);
            };
            let for_size = od().is_none_or(|od| bands::socket_depth_of(od).contains(value));
            length(&bands::SOCKET_DEPTH) && for_size
        }
        ("sockets-pe", "penetration" | "heated") => {
            let Value::LengthRange(Range { least, most }) = figure.value else {
                return Some(false);
            };
            let of_size = od().map(bands::depth_of);
            let for_size = of_size.is_none_or(|of| of.contains(least) && of.contains(most));
            length(&bands::DEPTH) && for_size
        }
        ("walls-metric", _) => {
            let Value::Length(wall) = figure.value else {
                return Some(false);
            };
            let ratio = od().and_then(|od| DimensionRatio::from_wall(od, wall));
            length(&bands::WALL) && ratio.is_none_or(|ratio| bands::RATIO.contains(ratio))
        }
        ("wall-rules", "length") if figure.id.contains("least-wall") => length(&bands::WALL),
        ("us-temperatures" | "metric-temperatures", "range") => {
            let Value::TemperatureRange(Range { least, most }) = figure.value else {
                return Some(false);
            };
            bands::SET_POINT.contains(least) && bands::SET_POINT.contains(most)
        }
        ("us-temperatures" | "metric-temperatures", "temperature") => {
            let Value::Temperature(value) = figure.value else {
                return Some(false);
            };
            bands::WEATHER.contains(value)
        }
        ("us-heater", "difference") => {
            let Value::TemperatureDifference(value) = figure.value else {
                return Some(false);
            };
            bands::STEP.contains(value)
        }
        ("us-cleaning", "percent") => {
            let Value::Percent(value) = figure.value else {
                return Some(false);
            };
            bands::STRENGTH.contains(value)
        }
        ("metric-range" | "us-range", "length") => length(&bands::DIAMETER),
        ("walls-ppr" | "gas-walls", _) => length(&bands::WALL),
        // No field takes these: tolerances, what is drawn and printed, shares of a
        // length, criteria that the program holds against a record.
        (_, "od_tolerance" | "od_plus" | "sight_mark")
        | ("wall-rules" | "us-coil" | "us-heater" | "print" | "record-criteria", _) => true,
        _ => return None,
    })
}

#[test]
fn every_published_figure_is_plausible() {
    let (mut wrong, mut tried) = (Vec::new(), 0);
    for figure in library().tables().iter().flat_map(|table| &table.entries) {
        let quantity = figure.value.kind().is_some_and(|kind| kind != "text");
        if !quantity {
            continue;
        }
        tried += 1;
        let column = figure.id.rsplit(':').next().unwrap();
        match plausible(figure, column) {
            Some(true) => {}
            Some(false) => wrong.push(format!("{}: {} is outside", figure.id, figure.written)),
            None => wrong.push(format!("{}: which field takes it?", figure.id)),
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > 300, "{tried}");
}

fn yaml_below(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            yaml_below(&path, found);
        } else if path.extension().is_some_and(|end| end == "yaml") {
            found.push(path);
        }
    }
}

#[test]
fn every_value_of_the_demo_is_plausible() {
    let mut files = Vec::new();
    yaml_below(&root().join("specs"), &mut files);
    yaml_below(&root().join("tests/data"), &mut files);
    let mut kinds = BTreeSet::new();
    for path in files {
        let text = std::fs::read_to_string(&path).unwrap();
        let said = |kind: &str| {
            text.lines()
                .any(|line| line.starts_with(&format!("{kind}:")))
        };
        let (kind, findings) = if said("coldring") {
            ("spec", decode(&text).1)
        } else if said("coldring-record") {
            ("record", record::record(&text).1)
        } else if said("coldring-fusers") {
            ("fusers", decode_yaml(&text).1)
        } else if said("coldring-submittal") {
            ("submittal", submittal::decode(&text).1)
        } else if said("coldring-confirmations") {
            ("confirmations", confirmations(&text).1)
        } else {
            continue;
        };
        kinds.insert(kind);
        for finding in findings {
            let slug = finding.rule.slug;
            assert_ne!(
                slug,
                "implausible-value",
                "{}: {}",
                path.display(),
                finding.message
            );
        }
    }
    assert_eq!(kinds.len(), 5, "{kinds:?}");
}

/// A year of three digits, one of another century, and one that lies ahead.
const YEARS: [(&str, &str); 5] = [
    ("2026-", "1026-"),
    ("2026-", "1926-"),
    ("2026-", "0226-"),
    ("2026-", "2106-"),
    ("2026-", "2062-"),
];

#[test]
fn a_slip_of_the_year_is_found_in_every_file() {
    type Decode = fn(&str) -> Vec<coldring::core::finding::Finding>;
    let kinds: [(&str, &str, Decode); 4] = [
        ("specs/hollow-creek-geothermal.yaml", "date: ", |text| {
            decode(text).1
        }),
        ("specs/records/AF-PQ-07.yaml", "calibrated: ", |text| {
            record::record(text).1
        }),
        ("specs/people/fusers.yaml", "date: ", |text| {
            decode_yaml(text).1
        }),
        ("specs/submittal/AF-S-031.yaml", "date: ", |text| {
            submittal::decode(text).1
        }),
    ];
    for (file, before, findings) in kinds {
        let text = read(file);
        for (year, slip) in YEARS {
            let slipped = text.replacen(&format!("{before}{year}"), &format!("{before}{slip}"), 1);
            assert_ne!(text, slipped, "{file}: {before}");
            let found = findings(&slipped);
            let is_date = |f: &coldring::core::finding::Finding| f.rule.slug == "implausible-value";
            assert!(found.iter().any(is_date), "{file}: {slip}: {found:?}");
        }
    }
    let ran = crate::support::coldring_with(&[
        "check",
        "--as-of",
        "1026-11-25",
        "specs/tour/1-least.yaml",
    ]);
    assert_eq!(ran.code, Some(2), "{}", ran.err);
    assert!(ran.err.contains("1970-01-01 to 2049-12-31"), "{}", ran.err);
}
