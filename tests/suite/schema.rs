//! The schemas against the readers, both ways. Fields, words and bands of most groups come
//! from one declaration; patterns, and the groups and values that are written by hand,
//! stand twice, and here what a reader takes is held against what its schema takes.

mod bands;
mod command;
mod document;
mod judge;

use std::collections::BTreeSet;
use std::sync::LazyLock;

use coldring::authoring::schema::{Kind, schema};
use coldring::core::finding::{Finding, Severity};
use coldring::core::source::{HouseFile, Role, Source, Sources};
use coldring::papers::house::house;
use coldring::people::fusers::decode_yaml;
use coldring::published::library;
use coldring::{people::submittal, spec};
use document::{Step, places, sample, with};
use judge::allows;
use serde_json::{Value as Json, json};

use crate::rules::edited_specs;
use crate::support::{read, root};

/// A name that is near to none.
const NOBODY: &str = "qqqqqqqqqqqqqqqqqqqqqqqq";

static SCHEMAS: LazyLock<Vec<(Kind, Json)>> = LazyLock::new(|| {
    let made = |kind: Kind| (kind, schema(kind).to_value());
    Kind::ALL.into_iter().map(made).collect()
});

fn of(kind: Kind) -> &'static Json {
    let (_, schema) = SCHEMAS.iter().find(|(known, _)| *known == kind).unwrap();
    schema
}

/// The errors of reading a file, but for quantities outside their bands: how large
/// one is with its unit, no schema can tell. `bands` holds what it says of that.
fn errors(kind: Kind, text: &str) -> Vec<Finding> {
    let mut findings = all_errors(kind, text);
    findings.retain(|f| f.rule.slug != "implausible-value");
    findings
}

/// The errors of reading a file, and those that say a word is not one of the
/// tables'.
fn all_errors(kind: Kind, text: &str) -> Vec<Finding> {
    let mut findings = match kind {
        Kind::Spec => spec::decode(text).1,
        Kind::Record => spec::record::record(text).1,
        Kind::Fusers => decode_yaml(text).1,
        Kind::Submittal => submittal::decode(text).1,
        Kind::Confirmations => spec::confirmations(text).1,
        Kind::House => house(&in_house(text), None, &[]).1,
    };
    // What a clause must say, and how dark a color is, no schema can tell.
    let beyond = ["clause-quantities", "color-too-pale"];
    findings.retain(|f| f.severity() == Severity::Error && !beyond.contains(&f.rule.slug));
    findings
}

fn in_house(text: &str) -> Sources {
    let source = Source::new("house.yaml", text);
    let file = HouseFile {
        role: Role::House,
        path: "house.yaml".to_owned(),
        bytes: Ok(text.as_bytes().to_vec()),
        source,
    };
    Sources::from(Source::new("spec.yaml", "")).in_house(vec![file])
}

/// Whether a spec names a resin that the tables do not know, which its schema
/// refuses and its reader leaves to the checks.
fn unknown_resin(kind: Kind, text: &str) -> bool {
    let spec = (kind == Kind::Spec).then(|| spec::decode(text).0).flatten();
    spec.is_some_and(|spec| {
        let resins = [Some(spec.resin), spec.fittings.resin];
        let mut resins = resins.into_iter().flatten();
        resins.any(|resin| library().resin(&resin).is_none())
    })
}

fn reader_takes(kind: Kind, document: &Json) -> bool {
    let text = document.to_string();
    errors(kind, &text).is_empty() && !unknown_resin(kind, &text)
}

/// What went wrong, all at once.
fn none(wrong: Vec<String>) {
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
}

/// Every place of every schema: the kind of file, the way there and the schema.
fn everywhere() -> impl Iterator<Item = (Kind, Vec<Step>, &'static Json)> {
    SCHEMAS.iter().flat_map(|(kind, schema)| {
        let places = places(schema).into_iter();
        places.map(|(way, place)| (*kind, way, place))
    })
}

#[test]
fn what_the_schema_takes_is_read() {
    let mut wrong = Vec::new();
    for (kind, way, place) in everywhere() {
        let document = with(of(kind), &way, sample(place));
        let found = errors(kind, &document.to_string());
        if !found.is_empty() || !allows(of(kind), &document) {
            wrong.push(format!("{kind:?} {way:?}: {found:?}\n  {document}"));
        }
    }
    none(wrong);
}

#[test]
fn each_group_has_the_fields_that_its_reader_knows() {
    let (mut wrong, mut groups) = (Vec::new(), 0);
    for (kind, way, place) in everywhere() {
        let Some(fields) = place.get("properties").and_then(Json::as_object) else {
            continue;
        };
        groups += 1;
        let mut value = sample(place);
        value[NOBODY] = json!("x");
        let document = with(of(kind), &way, value);
        let found = errors(kind, &document.to_string());
        // Clauses are no fields: their keys are looked up by the checks.
        if found.iter().any(|f| f.rule.slug == "clause-unknown") {
            continue;
        }
        let unknown = found.iter().find(|f| f.rule.slug == "unknown-field");
        // The reader lists every field that it asked for.
        let help = unknown.and_then(|f| f.help.as_deref()).unwrap_or_default();
        let known = help
            .strip_prefix("it has: ")
            .unwrap_or_default()
            .split(", ");
        let known: BTreeSet<&str> = known.collect();
        let named: BTreeSet<&str> = fields.keys().map(String::as_str).collect();
        if known != named || allows(of(kind), &document) {
            wrong.push(format!("{kind:?} {way:?}: {named:?} and {known:?}"));
        }
    }
    none(wrong);
    assert!(groups > 60, "{groups}");
}

#[test]
fn what_the_schema_needs_the_reader_needs() {
    let mut wrong = Vec::new();
    for (kind, way, place) in everywhere() {
        let fields = sample(place);
        if place.get("properties").is_none() {
            continue;
        }
        // A least group holds nothing but what is needed.
        for name in fields.as_object().unwrap().keys() {
            let mut value = fields.clone();
            value.as_object_mut().unwrap().remove(name);
            let document = with(of(kind), &way, value);
            let found = errors(kind, &document.to_string());
            let missing = |f: &Finding| match f.rule.slug {
                "missing-field" => f.message.contains(name),
                slug => slug == "nothing-submitted",
            };
            if !found.iter().any(missing) || allows(of(kind), &document) {
                wrong.push(format!("{kind:?} {way:?}: without {name}: {found:?}"));
            }
        }
    }
    none(wrong);
}

#[test]
fn every_word_of_one_is_a_word_of_the_other() {
    let (mut wrong, mut lists) = (Vec::new(), 0);
    for (kind, way, place) in everywhere() {
        let Some(words) = place.get("enum").and_then(Json::as_array) else {
            continue;
        };
        lists += 1;
        for word in words {
            let document = with(of(kind), &way, word.clone());
            let found = errors(kind, &document.to_string());
            // Text at the end of a paper needs a title besides.
            let needs_more = |f: &Finding| f.rule.slug == "missing-field";
            if !found.iter().all(needs_more) || unknown_resin(kind, &document.to_string()) {
                wrong.push(format!("{kind:?} {way:?}: {word}: {found:?}"));
            }
        }
        let document = with(of(kind), &way, json!(NOBODY));
        let found = errors(kind, &document.to_string());
        if allows(of(kind), &document) == reader_takes(kind, &document) {
            let help = found.iter().find_map(|f| f.help.as_deref());
            let listed = help.and_then(|help| help.split_once("use one of: "));
            let Some((_, listed)) = listed else { continue };
            // A rule set of one's own is written otherwise than as a word.
            let listed = listed.split(';').next().unwrap();
            let listed = listed.split(", ");
            let listed: BTreeSet<_> = listed.filter(|word| *word != "own").collect();
            let named: BTreeSet<_> = words.iter().filter_map(Json::as_str).collect();
            let extra = |word: &&str| !named.contains(word) && *word != NOBODY;
            if listed.iter().any(extra) || named.iter().any(|word| !listed.contains(word)) {
                wrong.push(format!("{kind:?} {way:?}: {named:?} and {listed:?}"));
            }
        } else {
            wrong.push(format!("{kind:?} {way:?}: another word: {found:?}"));
        }
    }
    none(wrong);
    assert!(lists > 30, "{lists}");
}

#[test]
fn keys_of_a_group_are_those_that_the_reader_takes() {
    let (mut wrong, mut keyed) = (Vec::new(), 0);
    for (kind, way, place) in everywhere() {
        let Some(names) = place.get("propertyNames") else {
            continue;
        };
        let entry = sample(&place["additionalProperties"]);
        for (_, names) in places(names) {
            for key in names["enum"].as_array().into_iter().flatten() {
                keyed += 1;
                let key = key.as_str().unwrap();
                let document = with(of(kind), &way, json!({ key: entry }));
                if !reader_takes(kind, &document) || !allows(of(kind), &document) {
                    wrong.push(format!("{kind:?} {way:?}: {key}"));
                }
            }
        }
        let document = with(of(kind), &way, json!({ "?": entry }));
        if reader_takes(kind, &document) || allows(of(kind), &document) {
            wrong.push(format!("{kind:?} {way:?}: ?"));
        }
    }
    none(wrong);
    assert!(keyed > 150, "{keyed}");
}

/// A single value, a list of one and of two, an empty list, an empty group and
/// nothing at every place: both take it, or neither does.
#[test]
fn both_take_the_same_kinds_of_value() {
    let (mut wrong, mut tried) = (Vec::new(), 0);
    for (kind, way, place) in everywhere() {
        let one = sample(place);
        let item = place.get("items").map_or(one.clone(), sample);
        for value in [
            json!(7),
            json!([one]),
            json!([item, item]),
            json!([]),
            json!({}),
            Json::Null,
        ] {
            tried += 1;
            let document = with(of(kind), &way, value.clone());
            let (schema, reader) = (allows(of(kind), &document), reader_takes(kind, &document));
            // That two entries are one by their names, a schema cannot tell.
            let twice = |f: &Finding| f.rule.slug == "duplicate-key";
            let text = document.to_string();
            let alike = schema && errors(kind, &text).iter().all(twice);
            if schema != reader && !alike {
                wrong.push(format!(
                    "{kind:?} {way:?}: {value}: schema {schema}, reader {reader}"
                ));
            }
        }
    }
    none(wrong);
    assert!(tried > 2_000, "{tried}");
}

fn as_json(text: &str) -> Json {
    let options = serde_yaml::options! { strict_booleans: true };
    serde_yaml::from_str_with_options(text, options).unwrap()
}

#[test]
fn every_case_of_a_rule_that_is_read_is_taken_by_the_schema() {
    let (mut wrong, mut taken) = (Vec::new(), 0);
    for text in edited_specs() {
        if !all_errors(Kind::Spec, &text).is_empty() || unknown_resin(Kind::Spec, &text) {
            continue;
        }
        taken += 1;
        if !allows(of(Kind::Spec), &as_json(&text)) {
            wrong.push(text);
        }
    }
    none(wrong);
    assert!(taken > 200, "{taken}");
}

#[test]
fn the_demo_is_taken_and_what_is_wrong_on_purpose_is_not() {
    for (kind, file) in [
        (Kind::Spec, "specs/alder-fork-gas.yaml"),
        (Kind::Spec, "specs/hollow-creek-geothermal.yaml"),
        (Kind::Spec, "specs/saddle-works-hot-water.yaml"),
        (Kind::Spec, "specs/tern-valley-water.yaml"),
        (Kind::Spec, "specs/earlier/alder-fork-gas-r1.yaml"),
        (Kind::Record, "specs/records/AF-PQ-07.yaml"),
        (Kind::Confirmations, "specs/confirmations/AF-EC-2.yaml"),
        (Kind::Fusers, "specs/people/fusers.yaml"),
        (Kind::Submittal, "specs/submittal/AF-S-031.yaml"),
        (Kind::House, "specs/house/house.yaml"),
    ] {
        assert!(root().join(file).exists(), "{file}");
        assert!(allows(of(kind), &as_json(&read(file))), "{file}");
    }
    let wrong = as_json(&read("specs/wrong/everything-at-once.yaml"));
    assert!(!allows(of(Kind::Spec), &wrong));
}

mod written_otherwise {
    use super::*;

    /// The fields of a spec that take each kind of quantity.
    const FIELDS: [&[&str]; 6] = [
        &["heater", "set_point"],
        &["heater", "face_offset"],
        &["scope", "pipe_temperature"],
        &["cycles", "change_over"],
        &["cleaning", "strength"],
        &["fittings", "sockets", "1 IPS", "mouth"],
    ];
    const NUMBER: &str = r"[-+−]?[0-9]{0,4}(\.[0-9]{1,3})?";
    const UNIT: &str = r#" ?(°F|ºC|F|degc|in|IN|inches|mm|s|Sec|MIN|hr|%|psi|"|x)?"#;
    const TO: &str = "( ?(to|–|-) ?[0-9]{1,3} ?(°F|degF|in|mm|min|%))?";
    const SIZE: &str = r#"d? ?[0-9]{1,3}(\.5)?[- ]?(1/2|3/4|¼|5/8|½)? ?(in|")? ?(IPS|ips|CTS|mm)?"#;

    /// The least spec with this text in a field.
    fn spec_with(way: &[&str], text: &str) -> Json {
        let mut document = sample(of(Kind::Spec));
        let (field, groups) = way.split_last().unwrap();
        let mut group = &mut document;
        for name in groups {
            group = &mut group[name];
            if group.is_null() {
                *group = json!({});
            }
        }
        if *field == "strength" {
            group["agent"] = json!("water");
        }
        group[field] = json!(text);
        document
    }

    fn no_stricter(way: &[&str], text: &str) {
        let document = spec_with(way, text);
        let taken = allows(of(Kind::Spec), &document);
        let text_read = document.to_string();
        let read = all_errors(Kind::Spec, &text_read).is_empty();
        assert!(
            taken || !read || unknown_resin(Kind::Spec, &text_read),
            "{way:?}: {text}"
        );
    }

    proptest::proptest! {
        /// No quantity that is read is refused by the pattern of its field.
        #[test]
        fn quantities(at in 0..FIELDS.len(), number in NUMBER, unit in UNIT, to in TO) {
            no_stricter(FIELDS[at], &format!("{number}{unit}{to}"));
        }

        #[test]
        fn sizes(text in SIZE) {
            no_stricter(&["scope", "pipe", "sizes"], &text);
        }

        #[test]
        fn ratios(text in r" ?(S|D|R|DR|SDR|SIDR)? ?[0-9]{1,2}(\.[0-9]{1,2})? ?") {
            no_stricter(&["scope", "pipe", "dimension_ratio"], &text);
        }

        #[test]
        fn numbers_of_procedures(text in " ?[-.A-Za-z0-9_ /]{0,42}") {
            no_stricter(&["procedure", "number"], &text);
        }
    }
}
