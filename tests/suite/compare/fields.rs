//! Every field is compared: each value of each spec is changed in turn, and the
//! comparison has to tell of it under the field's own name.

use std::collections::{BTreeMap, BTreeSet};

use coldring::published::library;
use coldring::spec::scalars;

use super::{BASE, METRIC, compared};
use crate::change::{changed, document, leaves, others};
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
    (
        "  cutter:",
        "  machine: {largest: 3 IPS}\n  cutters: [{name: Shears, sizes: 1 IPS}]\n  \
         stand: S-1\n  bag: B-1\n  timer: T-1\n  cutter:",
    ),
    (
        "1-1/4 IPS: {width: 0.66 in}",
        "1-1/4 IPS: {width: 0.66 in, insert_in: 2 IPS}",
    ),
    (
        "  records_kept:\n",
        "  responsibilities: [{who: Foreman, does: keeps the card on the truck}]\n  \
         records_kept:\n    cold_trials: {by: crew, until: spring}\n",
    ),
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
#[ignore = "a quarter of the suite's time; CI runs it"]
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
        .flat_map(|table| &table.entries);
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

/// Each field of [`everything`] and the variables that a change of it alone is told
/// under. `*` stands for a size; a row may be of one value alone.
#[rustfmt::skip]
const TOLD_AS: &[(&str, &[&str])] = &[
    ("procedure title", &["title"]),
    ("procedure organization", &["organization"]),
    ("procedure status", &["status"]),
    ("procedure service", &["service"]),
    ("procedure revisions date", &["revision"]),
    ("procedure revisions effective", &["effective"]),
    ("procedure revisions change", &["revision-change"]),
    ("references", &["reference"]),
    ("scope resin", &["resin", "heating", "hold"]),
    ("scope pipe sizes", &["pipe"]),
    ("scope pipe dimension_ratio", &["pipe"]),
    ("scope measured * outside_diameter", &["measured-diameter"]),
    ("scope measured * out_of_roundness", &["measured-roundness"]),
    ("scope measured * source", &["measured-pipe-source"]),
    ("scope pipe_temperature", &["pipe-temperature"]),
    ("fittings kinds", &["fitting-kind"]),
    ("fittings kinds = spigot", &["spigot-fitting"]),
    ("fittings resin", &["fitting-resin"]),
    ("fittings depths * depth", &["stated-depth"]),
    ("fittings depths * id", &["stated-depth-id"]),
    ("fittings depths * source", &["stated-depth-source"]),
    ("fittings sockets * depth", &["socket-depth"]),
    ("fittings sockets * mouth", &["socket-mouth"]),
    ("fittings sockets * root", &["socket-root"]),
    ("fittings sockets * source", &["socket-source"]),
    ("fittings spigots * straight_length", &["spigot-length"]),
    ("fittings spigots * outside_diameter", &["spigot-diameter"]),
    ("fittings spigots * wall", &["spigot-wall"]),
    ("fittings spigots * source", &["spigot-source"]),
    ("fittings reducers", &["reducer"]),
    ("fittings unlike pipe_heat", &["unlike-pipe-heating"]),
    ("fittings unlike fitting_heat", &["unlike-fitting-heating"]),
    ("fittings unlike first", &["unlike-first-on"]),
    ("fittings unlike record", &["unlike-record"]),
    ("fittings unlike source", &["unlike-source"]),
    ("heater set_point", &["set-point"]),
    ("heater face_offset", &["face-offset"]),
    ("heater step", &["heater-step"]),
    ("heater swing", &["heater-swing"]),
    ("heater face_check method", &["face-check", "stick-stays-solid"]),
    ("heater face_check accuracy", &["face-check-accuracy"]),
    ("heater face_check melts", &["stick-melts"]),
    ("heater face_check stays_solid", &["stick-stays-solid"]),
    ("heater adapters * depth", &["adapter-depth"]),
    ("tools depth_gauges * depth", &["gauge-depth"]),
    ("tools depth_gauges * id", &["gauge-id"]),
    ("tools depth_gauges * source", &["gauge-source"]),
    ("tools cold_rings * width", &["cold-ring-width"]),
    ("tools cutter largest", &["cutter"]),
    ("tools machine largest", &["machine"]),
    ("tools cold_rings * insert_in", &["cold-ring-insert"]),
    ("tools cutters name", &["cutter-name"]),
    ("tools stand", &["stand"]),
    ("tools bag", &["bag"]),
    ("tools timer", &["timer"]),
    ("own_rules joint_mark", &["joint-mark"]),
    ("own_rules failed_joint told", &["failed-joint-told"]),
    ("own_rules failed_joint cut_out", &["failed-joint-cut-out"]),
    ("own_rules failed_joint fuser", &["failed-joint-fuser"]),
    ("own_rules records_kept joint_log by", &["record-kept-by"]),
    ("own_rules records_kept joint_log until", &["record-kept-until"]),
    ("own_rules records_kept fuser_tests by", &["record-kept-by"]),
    ("own_rules records_kept fuser_tests until", &["record-kept-until"]),
    ("own_rules records_kept qualification_records by", &["record-kept-by"]),
    ("own_rules records_kept qualification_records until", &["record-kept-until"]),
    ("own_rules records_kept roster by", &["record-kept-by"]),
    ("own_rules records_kept roster until", &["record-kept-until"]),
    ("own_rules records_kept cold_trials by", &["record-kept-by"]),
    ("own_rules records_kept cold_trials until", &["record-kept-until"]),
    ("own_rules records_kept procedure by", &["record-kept-by"]),
    ("own_rules records_kept procedure until", &["record-kept-until"]),
    ("own_rules responsibilities does", &["responsibility"]),
    ("cleaning agent", &["cleaning-agent"]),
    ("cleaning strength", &["cleaning-strength"]),
    ("cleaning peel", &["peel"]),
    ("cycles rows heat", &["heating"]),
    ("cycles rows hold", &["hold"]),
    ("cycles rows change_over", &["change-over"]),
    ("cycles rows before_handling", &["handling-wait"]),
    ("cycles rows source", &["own-row-source"]),
    ("cycles rows record", &["own-row-record"]),
    ("cycles change_over value", &["change-over"]),
    ("cycles change_over source", &["change-over-source"]),
    ("cycles waits before_handling value", &["handling-wait"]),
    ("cycles waits before_handling source", &["handling-wait-source"]),
    ("cycles waits before_pressure_test value", &["pressure-test-wait"]),
    ("cycles waits before_pressure_test source", &["pressure-test-wait-source"]),
    ("cold_weather trial_step value", &["cold-trial-step"]),
    ("cold_weather trial_step source", &["cold-trial-step-source"]),
    ("cold_weather no_joints_below value", &["no-joints-below"]),
    ("cold_weather no_joints_below source", &["no-joints-below-source"]),
    ("least_wall value", &["least-wall"]),
    ("least_wall source", &["least-wall-source"]),
    ("qualification rules", &["qualification-rule"]),
    ("qualification operator_qualification", &["operator-qualification"]),
    ("qualification records number", &["record"]),
    ("qualification records date", &["record"]),
    ("qualification records revision", &["record"]),
    ("qualification range source", &["range-rule-source"]),
    ("figures governing governs", &["governing"]),
    ("documents paper", &["paper"]),
    ("documents text_language", &["text-language"]),
    ("documents strips use", &["strip-use"]),
    ("documents strips thickness", &["strip-thickness"]),
    ("documents strips long", &["long-strips"]),
    ("documents card trim", &["card-trim"]),
    ("documents card flip", &["card-flip"]),
    ("documents card lanyard", &["card-lanyard"]),
    ("documents card copies", &["card-copies"]),
    // One change that is several in the trade's words.
    ("cycles rows size", &["heating", "hold", "change-over", "handling-wait", "own-row", "own-row-source", "own-row-record"]),
    ("tools cutters sizes", &["cutter-name", "cutter-sizes"]),
    ("own_rules responsibilities who", &["responsibility"]),
    ("fittings unlike size", &["unlike-pipe-heating", "unlike-fitting-heating", "unlike-first-on", "unlike-record", "unlike-source"]),
    ("qualification range rule", &["range-rule", "range-rule-source"]),
    ("documents languages = en", &["language"]),
    ("documents languages = es", &["second-language"]),
];

/// What is compared by a rule or not at all, and what names a figure.
const NO_ROW: [&str; 5] = [
    "coldring",
    "procedure number",
    "procedure practice",
    "procedure revisions revision",
    "figures governing figure",
];

#[test]
fn a_change_of_a_field_is_told_under_its_own_name_and_no_other() {
    let document = document(&everything());
    let old = document.to_string();
    let known: BTreeMap<_, _> = TOLD_AS.iter().copied().collect();
    let (mut wrong, mut tried) = (Vec::new(), BTreeSet::new());
    for leaf in leaves(&document, &|field| !field.ends_with("IPS")) {
        let field = leaf.field.as_str();
        if NO_ROW.contains(&field) {
            continue;
        }
        let of_value = format!("{field} = {}", leaf.value);
        let row = known.get_key_value(of_value.as_str());
        let Some((row, expected)) = row.or_else(|| known.get_key_value(field)) else {
            wrong.push(format!("{field} has no row"));
            continue;
        };
        tried.insert(*row);
        let expected: BTreeSet<&str> = expected.iter().copied().collect();
        let mut told = BTreeSet::new();
        let right = others(&leaf.value).iter().any(|other| {
            let changed = changed(&document, &leaf, other);
            let Some(comparison) = compared(&old, &changed).comparison else {
                return false;
            };
            let variables = comparison.changes.iter().map(|change| change.variable);
            let variables: BTreeSet<_> = variables.collect();
            told.insert(format!("{other}: {variables:?}"));
            variables == expected
        });
        if !right {
            wrong.push(format!("{field} '{}': {told:?}", leaf.value));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(tried, known.into_keys().collect());
}
