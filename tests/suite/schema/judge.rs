//! Holds a value against a schema: as much of JSON Schema as the schemas of the
//! program use, and a keyword that it does not know stops the test. What a
//! validator from outside makes of the schemas is asked by `tests/editor`.

use std::collections::HashMap;
use std::sync::{LazyLock, Mutex};

use regex::Regex;
use serde_json::{Map, Value as Json};

/// What only tells something.
const NOTES: [&str; 6] = [
    "$schema",
    "$id",
    "title",
    "description",
    "default",
    "errorMessage",
];

/// Whether the value is as the schema wants it.
pub fn allows(schema: &Json, value: &Json) -> bool {
    match schema {
        Json::Bool(all) => *all,
        Json::Object(keywords) => keywords
            .iter()
            .all(|(keyword, wanted)| keeps(keywords, keyword, wanted, value)),
        other => panic!("{other} is no schema"),
    }
}

fn keeps(keywords: &Map<String, Json>, keyword: &str, wanted: &Json, value: &Json) -> bool {
    let each = |test: &dyn Fn(&str, &Json) -> bool| {
        let fields = value.as_object();
        fields.is_none_or(|fields| fields.iter().all(|(key, value)| test(key, value)))
    };
    let items = |test: &dyn Fn(&[Json]) -> bool| value.as_array().is_none_or(|list| test(list));
    let text = |test: &dyn Fn(&str) -> bool| value.as_str().is_none_or(test);
    let number = |test: &dyn Fn(f64) -> bool| value.as_f64().is_none_or(test);
    let named = |name: &Json| value.get(name.as_str().unwrap()).is_some();
    let limit = || wanted.as_f64().unwrap();
    let most = || wanted.as_u64().unwrap() as usize;
    let choices = || wanted.as_array().unwrap().iter();
    let properties = keywords.get("properties");
    let known = |key: &str| properties.is_some_and(|fields| fields.get(key).is_some());
    match keyword {
        "type" => match wanted {
            Json::Array(types) => types.iter().any(|wanted| is(wanted, value)),
            wanted => is(wanted, value),
        },
        "const" => wanted == value,
        "enum" => choices().any(|word| word == value),
        "pattern" => text(&|text| matches(wanted.as_str().unwrap(), text)),
        "minLength" => text(&|text| text.chars().count() >= most()),
        "maxLength" => text(&|text| text.chars().count() <= most()),
        "minimum" => number(&|number| number >= limit()),
        "maximum" => number(&|number| number <= limit()),
        "exclusiveMinimum" => number(&|number| number > limit()),
        "items" => items(&|list| list.iter().all(|item| allows(wanted, item))),
        "minItems" => items(&|list| list.len() >= most()),
        "maxItems" => items(&|list| list.len() <= most()),
        "uniqueItems" => items(&|list| (1..list.len()).all(|i| !list[..i].contains(&list[i]))),
        "properties" => each(&|key, value| wanted.get(key).is_none_or(|s| allows(s, value))),
        "additionalProperties" => each(&|key, value| known(key) || allows(wanted, value)),
        "propertyNames" => each(&|key, _| allows(wanted, &Json::from(key))),
        "required" => !value.is_object() || choices().all(named),
        "allOf" => choices().all(|part| allows(part, value)),
        "anyOf" => choices().any(|choice| allows(choice, value)),
        "dependentSchemas" => each(&|key, _| wanted.get(key).is_none_or(|s| allows(s, value))),
        "if" => !allows(wanted, value) || allows(&keywords["then"], value),
        "then" => true,
        note if NOTES.contains(&note) => true,
        unknown => panic!("the keyword {unknown} is not known here"),
    }
}

fn is(wanted: &Json, value: &Json) -> bool {
    match wanted.as_str().unwrap() {
        "null" => value.is_null(),
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "number" => value.is_number(),
        "integer" => value.as_f64().is_some_and(|number| number.fract() == 0.0),
        other => panic!("the type {other} is not known here"),
    }
}

/// Whether the text is of the pattern, which is compiled once.
pub fn matches(pattern: &str, text: &str) -> bool {
    static KNOWN: LazyLock<Mutex<HashMap<String, Regex>>> = LazyLock::new(Default::default);
    let mut known = KNOWN.lock().unwrap();
    let compiled = known.entry(pattern.to_owned());
    let compiled = compiled.or_insert_with(|| Regex::new(pattern).unwrap());
    compiled.is_match(text)
}
