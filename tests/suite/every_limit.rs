//! Every limit that a joint is made by stands on each paper a crew works from,
//! in both languages: beside its size where it differs by size.

use std::collections::BTreeMap;
use std::path::Path;

use tempfile::tempdir;

use crate::support::{AS_OF, coldring, path, run, tool};

const SPECS: [(&str, &str); 6] = [
    ("specs/hollow-creek-geothermal.yaml", "HC-SF-104-r2"),
    ("specs/alder-fork-gas.yaml", "AF-JP-12-r2"),
    ("specs/saddle-works-hot-water.yaml", "SW-PP-07-r2"),
    ("specs/tern-valley-water.yaml", "TV-W-031-r1"),
    ("specs/tour/1-least.yaml", "HC-TOUR-1-r1"),
    ("specs/tour/5-qualified.yaml", "HC-TOUR-5-r2"),
];

/// The card has both languages.
const PAPERS: [&str; 5] = [
    "procedure.pdf",
    "procedure-es.pdf",
    "card.pdf",
    "lid.pdf",
    "lid-es.pdf",
];

/// The numbers of a figure, in the order of a row: the one, or least and most.
type Figures = BTreeMap<String, Vec<f64>>;

/// The figures of the whole procedure, and those of each size.
fn figures(spec: &str) -> (Figures, BTreeMap<String, Figures>) {
    let shown = run(coldring()
        .args(["show", "--resolved", "--format", "json", "--as-of", AS_OF])
        .arg(path(spec)));
    assert_eq!(shown.code, Some(0), "{}", shown.err);
    let shown: serde_json::Value = serde_json::from_str(&shown.out).unwrap();
    let (mut common, mut sizes) = (Figures::new(), BTreeMap::<_, Figures>::new());
    for figure in shown["figures"].as_array().unwrap() {
        let name = figure["figure"].as_str().unwrap().to_owned();
        let value = &figure["value"];
        let numbers = match value.as_array() {
            Some(range) => range.iter().filter_map(|end| end.as_f64()).collect(),
            None => value.as_f64().into_iter().collect::<Vec<_>>(),
        };
        let of = match figure["size"].as_str() {
            Some(size) => sizes.entry(size.to_owned()).or_default(),
            None => &mut common,
        };
        of.entry(name).or_insert(numbers);
    }
    (common, sizes)
}

/// The words of a paper, with a point in every number.
fn words(pdf: &Path) -> Vec<String> {
    let text = tool(
        "pdftotext",
        &["-raw".as_ref(), pdf.as_os_str(), "-".as_ref()],
    );
    let parts = text.split(|c: char| c.is_whitespace() || "()[]–·:;?".contains(c));
    let cleaned = parts.map(|part| part.replace(',', ".").trim_matches('.').to_owned());
    cleaned.filter(|part| !part.is_empty()).collect()
}

fn is(word: &str, number: f64) -> bool {
    word.parse::<f64>()
        .is_ok_and(|read| (read - number).abs() < 1e-9)
}

/// Whether the numbers stand in this order among the words.
fn in_order(words: &[String], numbers: &[f64]) -> bool {
    let mut words = words.iter();
    numbers
        .iter()
        .all(|number| words.any(|word| is(word, *number)))
}

/// Whether a row of a table begins with the size and has the numbers, in order.
fn row(words: &[String], size: &str, numbers: &[f64]) -> bool {
    // The words of a row, in the order in which they are set.
    const REACH: usize = 12;
    let starts = words.iter().enumerate().filter(|(_, word)| *word == size);
    starts.map(|(at, _)| at + 1).any(|at| {
        let end = words.len().min(at + REACH);
        in_order(&words[at..end], numbers)
    })
}

/// The units that a paper may print a time in, with their names.
const UNITS: [(f64, [&str; 2]); 3] = [(1.0, ["s", "sec"]), (60.0, ["min"; 2]), (3600.0, ["h"; 2])];

/// Whether a time is printed with its unit.
fn time_is_printed(words: &[String], seconds: f64) -> bool {
    words.windows(2).any(|pair| {
        let mut units = UNITS.iter();
        units.any(|(unit, names)| is(&pair[0], seconds / unit) && names.contains(&&*pair[1]))
    })
}

/// Whether the row of a size has a time, whose unit stands in the head of its column.
fn time_is_in_row(words: &[String], size: &str, seconds: f64) -> bool {
    let mut units = UNITS.iter();
    units.any(|(unit, _)| row(words, size, &[seconds / unit]))
}

/// Without a depth a size is no joint, and has no times.
fn is_joint(figures: &Figures) -> bool {
    figures
        .get("insertion-depth")
        .is_some_and(|depth| !depth.is_empty())
}

#[test]
fn every_limit_stands_on_every_paper_of_the_crew_in_both_languages() {
    let out = tempdir().unwrap();
    let ran = run(coldring()
        .args(["build", "--as-of", AS_OF, "--language", "en,es", "--out"])
        .arg(out.path())
        .args(SPECS.map(|(spec, _)| path(spec))));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let mut missing = Vec::new();
    for (spec, folder) in SPECS {
        let (common, sizes) = figures(spec);
        for paper in PAPERS {
            let words = words(&out.path().join(folder).join(paper));
            let mut miss = |what: String| missing.push(format!("{folder}/{paper}: {what}"));
            for name in ["pipe-temperature", "heater-window", "set-point"] {
                for number in common.get(name).into_iter().flatten() {
                    if !words.iter().any(|word| is(word, *number)) {
                        miss(format!("{name} {number}"));
                    }
                }
            }
            for name in [
                "wait-before-pressure-test",
                "wait-before-handling",
                "change-over",
            ] {
                for seconds in common.get(name).into_iter().flatten() {
                    if !time_is_printed(&words, *seconds) {
                        miss(format!("{name} {seconds} s"));
                    }
                }
                for (size, figures) in sizes.iter().filter(|(_, figures)| is_joint(figures)) {
                    let nominal = size.split(' ').next().unwrap();
                    for seconds in figures.get(name).into_iter().flatten() {
                        let printed = time_is_printed(&words, *seconds)
                            || time_is_in_row(&words, nominal, *seconds);
                        if !printed {
                            miss(format!("{size}: {name} {seconds} s"));
                        }
                    }
                }
            }
            for (size, figures) in &sizes {
                if !is_joint(figures) {
                    continue;
                }
                let nominal = size.split(' ').next().unwrap();
                let mut numbers: Vec<f64> = figures["heating"].clone();
                numbers.dedup();
                numbers.extend(&figures["hold"]);
                if !row(&words, nominal, &numbers) {
                    miss(format!("{size}: {numbers:?} in a row"));
                }
                let depth = figures.get("insertion-depth").into_iter().flatten();
                for depth in depth {
                    if !words.iter().any(|word| is(word, *depth)) {
                        miss(format!("{size}: depth {depth}"));
                    }
                }
            }
        }
    }
    assert!(missing.is_empty(), "{missing:#?}");
}

#[test]
fn a_row_with_a_number_out_of_place_is_seen() {
    let words: Vec<_> = ["1-1/4", "18", "21", "60", "0.81"]
        .map(str::to_owned)
        .into();
    assert!(row(&words, "1-1/4", &[18.0, 21.0, 60.0]));
    assert!(!row(&words, "1-1/4", &[21.0, 18.0, 60.0]));
    assert!(!row(&words, "1-1/2", &[18.0]));
    assert!(!row(&words, "1-1/4", &[18.0, 21.0, 30.0]));
    // A step with the number 5 is no wait of five minutes.
    let words = |text: &str| text.split(' ').map(str::to_owned).collect::<Vec<_>>();
    assert!(time_is_printed(&words("HANDS OFF 5 min"), 300.0));
    assert!(!time_is_printed(&words("step 5 HANDS OFF 6 min"), 300.0));
}
