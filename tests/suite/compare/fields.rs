//! Every field is compared: each value of each spec is changed in turn, and the
//! comparison has to tell of it.

use std::collections::BTreeSet;

use coldring::published::library;
use coldring::spec::scalars;

use super::{BASE, METRIC, compared};
use crate::support::{GEOTHERMAL, gas_alone, read};

/// What the spec of these tests states beside the clean one, so that together
/// they have every field of the format.
const MORE: &[(&str, &str)] = &[
    ("status: qualified", "status: draft"),
    (
        "  pipe_temperature",
        "  measured: {2 IPS: {outside_diameter: 2.375 in, out_of_roundness: 0.02 in, source: pi tape}}\n  pipe_temperature",
    ),
    (
        "    2 IPS: {depth: 1.06 in, source: caliper on three sockets}",
        "    2 IPS: {depth: 1.06 in, mouth: 2.34 to 2.36 in, root: 2.32 to 2.34 in, source: caliper on three sockets}\n  \
         resin: PE2708\n  depths: {1 IPS: {depth: 0.71 in, id: M-1, source: maker}}\n  \
         reducers: [2 IPS x 1 IPS]\n  unlike: \n    - {size: 1 IPS, pipe_heat: 9 s, fitting_heat: 12 s, first: fitting, record: BL-PQ-3, source: trials}",
    ),
    (
        "1.90 in, source: caliper}",
        "1.90 in, outside_diameter: 2.376 in, wall: 0.27 in, source: caliper}",
    ),
    (
        "{method: pyrometer, accuracy: 3 °F}",
        "{method: two indicating sticks, accuracy: 3 °F, melts: 490 °F, stays_solid: 510 °F}",
    ),
    ("  cutter:", "  machine: {largest: 3 IPS}\n  cutter:"),
    ("strength: 91 %", "strength: 91 %, peel: yes"),
    (
        "hold: 65 s, source",
        "hold: 65 s, change_over: 2 s, before_handling: 7 min, source",
    ),
    (
        "least_wall:",
        "cold_weather:\n  trial_step: {value: 3 s, source: Manual 5.1}\n  no_joints_below: {value: 10 °F, source: Manual 5.2}\nleast_wall:",
    ),
    (
        "  records:\n",
        "  range: [{rule: smaller sizes too, source: letter 7}]\n  records:\n",
    ),
    (
        "documents:\n",
        "figures: {governing: [{figure: us-times:change-over:time, governs: tables}]}\ndocuments:\n  \
         languages: [en, es]\n  text_language: en\n  \
         card: {trim: id-2, flip: fold, lanyard: no, copies: 7}\n",
    ),
    ("thickness: 0.4 mm", "thickness: 0.4 mm, long: larger paper"),
];

/// Words of the format that one word may be replaced by.
const WORDS: &[&str] = &[
    "draft",
    "withdrawn",
    "gas",
    "water",
    "us",
    "metric",
    "pyrometer",
    "indicating stick",
    "two indicating sticks",
    "bare",
    "label",
    "two pieces",
    "larger paper",
    "coupling",
    "tee",
    "cap",
    "acetone",
    "dry cloth",
    "yes",
    "no",
    "en",
    "es",
    "letter",
    "a4",
    "id-1",
    "id-3",
    "smallest",
    "long edge",
    "short edge",
    "pipe",
    "fitting",
    "edition",
    "tables",
    "thinner walls too",
    "smaller sizes too",
    "thick",
    "thin",
    "to be measured",
    "PE100",
    "PE80",
    "PE4710",
];

/// Texts that a value may be changed to.
fn others(value: &str) -> Vec<String> {
    let mut others = Vec::new();
    if let Some(at) = value.rfind(|c: char| c.is_ascii_digit()) {
        for digit in ['1', '2', '4', '7'] {
            let mut changed = value.to_owned();
            changed.replace_range(at..=at, &digit.to_string());
            others.push(changed);
        }
        let at = value.find(|c: char| c.is_ascii_digit()).unwrap_or(at);
        for digit in ['1', '2'] {
            let mut changed = value.to_owned();
            changed.replace_range(at..=at, &digit.to_string());
            others.push(changed);
        }
        for size in ["3/4 IPS", "1-1/4 IPS", "2 IPS", "3 IPS"] {
            others.push(size.to_owned());
        }
    }
    others.extend(WORDS.iter().map(ToString::to_string));
    others.push(format!("{value} and more"));
    others.retain(|other| other != value);
    others
}

/// The spec with the most fields.
fn everything() -> String {
    let mut text = read(BASE);
    for (from, to) in MORE {
        text = super::edited(&text, from, to);
    }
    text
}

/// Changes every value of a spec in turn; the variables that were told, and the
/// values that no other text can stand for.
fn each_value(text: &str, seen: &mut BTreeSet<&'static str>) -> Vec<String> {
    let mut fixed = Vec::new();
    for scalar in scalars(text) {
        let span = scalar.span.range();
        let value = text[span.clone()].trim_matches('"').to_owned();
        let mut read = false;
        for other in others(&value) {
            let mut changed = text.to_owned();
            changed.replace_range(span.clone(), &format!("\"{other}\""));
            let compared = compared(text, &changed);
            // Another version of the format is another format.
            if super::slugs(&compared.checked.findings).contains(&"format-version") {
                continue;
            }
            let Some(comparison) = compared.comparison else {
                let slugs = super::slugs(&compared.checked.findings);
                // Which procedure it is, and which revision, is told by a rule.
                read |= slugs.contains(&"compared-with-other-procedure")
                    || slugs.contains(&"compared-in-reverse");
                continue;
            };
            let revision = comparison.old.revision != comparison.new.revision;
            let told = !comparison.changes.is_empty() || revision;
            seen.extend(comparison.changes.iter().map(|change| change.variable));
            // A misspelled field is an error, and is read under the name that was meant.
            if !told && super::slugs(&compared.checked.findings).contains(&"unknown-field") {
                continue;
            }
            assert!(
                told,
                "'{value}' was changed to '{other}', and nothing is told"
            );
            read = true;
            break;
        }
        if !read {
            fixed.push(value);
        }
    }
    fixed
}

#[test]
fn a_change_of_any_value_of_a_demo_is_told() {
    let mut seen = BTreeSet::new();
    let specs = [
        gas_alone(),
        read(GEOTHERMAL),
        read("specs/tern-valley-water.yaml"),
        read("specs/saddle-works-hot-water.yaml"),
        read(METRIC),
    ];
    for spec in specs {
        let fixed = each_value(&spec, &mut seen);
        // The version of the format; fields and what stands alone in its group.
        let known = |value: &String| value == "1" || !value.contains(' ');
        assert!(fixed.iter().all(known), "{fixed:?}");
    }
    assert!(seen.len() > 25, "{seen:?}");
}

#[test]
fn every_row_of_the_table_is_a_field_that_is_compared() {
    let mut seen = BTreeSet::new();
    let everything = everything();
    each_value(&everything, &mut seen);
    let tables = library().tables().iter();
    let figures = tables
        .filter(|table| table.name == "essential-variables")
        .flat_map(|table| &table.figures);
    let named: BTreeSet<_> = figures
        .filter_map(|figure| figure.id.strip_suffix(":name")?.split(':').nth(1))
        .collect();
    // These take a second file.
    let elsewhere = ["confirmations", "record-file"];
    let left: Vec<_> = named
        .difference(&seen)
        .filter(|name| !elsewhere.contains(name))
        .collect();
    assert!(left.is_empty(), "never told: {left:?}");
    assert!(seen.is_subset(&named));
}
