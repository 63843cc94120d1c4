//! Documents made from a schema: the least one there is, and the least one in
//! which a certain value stands at a certain place.

use serde_json::{Map, Value as Json, json};

use super::judge::matches;

/// A step from a schema to one inside it.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// To a field of a group.
    Field(String),
    /// To what a list holds.
    Item,
    /// To one of several choices.
    Choice(usize),
    /// To what stands under the keys of a group by size, procedure or clause.
    Entry,
}

/// Texts that are tried where a pattern is given.
const TEXTS: [&str; 14] = [
    "1 IPS",
    "0.64 in",
    "30 s",
    "500 °F",
    "20 °F to 110 °F",
    "91 %",
    "630 psi",
    "2026-09-14",
    "1 IPS x 3/4 IPS",
    "11",
    "SF-001",
    "en",
    "#0b3d5c",
    "SF-001=us-gas",
];

/// Every schema inside a schema, itself first, with the way to it.
pub fn places(schema: &Json) -> Vec<(Vec<Step>, &Json)> {
    let mut found = vec![(Vec::new(), schema)];
    let mut inside: Vec<(Step, &Json)> = Vec::new();
    let fields = schema.get("properties").and_then(Json::as_object);
    inside.extend(
        fields
            .into_iter()
            .flatten()
            .map(|(name, _)| (Step::Field(name.clone()), field(schema, name))),
    );
    inside.extend(schema.get("items").map(|item| (Step::Item, item)));
    let choices = choices(schema).iter().enumerate();
    inside.extend(choices.map(|(at, choice)| (Step::Choice(at), choice)));
    inside.extend(entry(schema).map(|entry| (Step::Entry, entry)));
    for (step, schema) in inside {
        found.extend(places(schema).into_iter().map(|(mut way, schema)| {
            way.insert(0, step.clone());
            (way, schema)
        }));
    }
    found
}

/// The alternatives of a value; beside fields, they only say which are needed.
fn choices(schema: &Json) -> &[Json] {
    match (schema.get("properties"), schema.get("anyOf")) {
        (None, Some(Json::Array(choices))) => choices,
        _ => &[],
    }
}

/// The schema of a field; where fields only have a description, what may be
/// written is said once for all.
fn field<'s>(schema: &'s Json, name: &str) -> &'s Json {
    match &schema["allOf"][0]["additionalProperties"] {
        Json::Null => &schema["properties"][name],
        all => all,
    }
}

fn entry(schema: &Json) -> Option<&Json> {
    let entry = schema.get("additionalProperties")?;
    Some(entry).filter(|entry| entry.is_object())
}

/// The least value of a schema.
pub fn sample(schema: &Json) -> Json {
    told_sample(schema, None)
}

/// The least that is taken, as a description tells it.
fn least_taken(schema: &Json) -> Option<&str> {
    let told = schema.get("description")?.as_str()?;
    let (_, band) = told.split_once("Accepted: ")?;
    band.split_once(" to ").map(|(least, _)| least)
}

/// The least value of a schema; what the description of the field says is taken
/// counts inside its choices and items too.
fn told_sample(schema: &Json, least: Option<&str>) -> Json {
    let least = least_taken(schema).or(least);
    if let Some(only) = schema.get("const") {
        return only.clone();
    }
    if let Some(words) = schema.get("enum") {
        return words[0].clone();
    }
    if let Some(first) = choices(schema).first() {
        return told_sample(first, least);
    }
    let kind = &schema["type"];
    let kind = kind.as_str().or(kind[0].as_str()).unwrap();
    match kind {
        "object" => Json::Object(group(schema)),
        "array" => json!([told_sample(&schema["items"], least)]),
        "integer" => schema["minimum"].clone(),
        "number" => json!(11),
        "string" => Json::from(text(schema, least)),
        "null" => Json::Null,
        other => panic!("no sample of {other}"),
    }
}

/// Words that are tried where a pattern is that of their spellings: one of each list.
const WORDS: [&str; 33] = [
    "draft",
    "gas",
    "us",
    "PE4710",
    "coupling",
    "pipe",
    "pyrometer",
    "indicating stick",
    "two indicating sticks",
    "isopropyl alcohol",
    "yes",
    "thick",
    "smaller sizes too",
    "edition",
    "letter",
    "two pieces",
    "bare",
    "smallest",
    "long edge",
    "to be measured",
    "socket",
    "pass",
    "in the joint",
    "straps",
    "tensile",
    "burst",
    "sustained pressure",
    "crush",
    "us-gas",
    "own",
    "visual",
    "before-scope",
    "both",
];

fn text<'s>(schema: &'s Json, least: Option<&'s str>) -> &'s str {
    let Some(pattern) = schema.get("pattern").and_then(Json::as_str) else {
        return "text";
    };
    let mut tried = least.into_iter().chain(TEXTS).chain(WORDS);
    let fits = tried.find(|text| matches(pattern, text));
    fits.unwrap_or_else(|| panic!("no text for {pattern}"))
}

fn group(schema: &Json) -> Map<String, Json> {
    if let Some(entry) = entry(schema) {
        let key = sample(&schema["propertyNames"]);
        return Map::from_iter([(key.as_str().unwrap().to_owned(), sample(entry))]);
    }
    let mut group = Map::new();
    // Beside fields, the first alternative of which are needed will do.
    for needed in [&schema["required"], &schema["anyOf"][0]["required"]] {
        for name in needed.as_array().into_iter().flatten() {
            let name = name.as_str().unwrap();
            group.insert(name.to_owned(), sample(field(schema, name)));
        }
    }
    group
}

/// The least value of a schema in which `value` stands at the end of a way.
pub fn with(schema: &Json, way: &[Step], value: Json) -> Json {
    let Some((step, rest)) = way.split_first() else {
        return value;
    };
    match step {
        Step::Item => json!([with(&schema["items"], rest, value)]),
        Step::Choice(at) => with(&schema["anyOf"][at], rest, value),
        Step::Entry => {
            let mut group = group(schema);
            let entry = with(&schema["additionalProperties"], rest, value);
            group.values_mut().for_each(|old| *old = entry.clone());
            Json::Object(group)
        }
        Step::Field(name) => {
            let mut group = group(schema);
            // A field that may not stand beside this one makes room for it.
            let apart = schema["dependentSchemas"].as_object();
            for (other, then) in apart.into_iter().flatten() {
                if then["properties"][name] == json!(false) {
                    group.remove(other);
                }
            }
            let field = with(field(schema, name), rest, value);
            group.insert(name.clone(), field);
            Json::Object(group)
        }
    }
}
