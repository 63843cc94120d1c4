//! Groups of fields as JSON Schema: each field with its name, what it is for,
//! and what may be written.

use schemars::{Schema, json_schema};
use serde_json::{Value as Json, json};

/// What may be written in one place, and in words how it is written.
#[derive(Debug, Clone)]
pub(super) struct Value {
    pub(super) schema: Schema,
    /// Whole sentences; empty where there is nothing to say.
    pub(super) how: String,
}

impl Value {
    pub(super) fn new(schema: Schema, how: impl Into<String>) -> Self {
        let how = how.into();
        Self { schema, how }
    }

    fn json(&self) -> Json {
        self.schema.as_value().clone()
    }
}

/// A field of a group.
#[derive(Debug, Clone)]
pub(super) struct Field {
    name: &'static str,
    about: String,
    value: Value,
    /// What holds when it is left out; `None` where it must be given.
    without: Option<String>,
}

/// A field that must be given.
pub(super) fn must(name: &'static str, about: impl Into<String>, value: Value) -> Field {
    Field {
        name,
        about: about.into(),
        value,
        without: None,
    }
}

/// A field that may be left out; `without` says what holds then.
pub(super) fn may(
    name: &'static str,
    about: impl Into<String>,
    without: &str,
    value: Value,
) -> Field {
    Field {
        without: Some(without.to_owned()),
        ..must(name, about, value)
    }
}

impl Field {
    /// The schema of the field's value, with title and description.
    fn schema(&self) -> Json {
        let without = self.without.as_ref();
        let without = without.map_or_else(String::new, |then| format!("Left out: {then}"));
        let sentences = [&self.about, &self.value.how, &without];
        let told: Vec<_> = sentences
            .map(String::as_str)
            .into_iter()
            .filter(|s| !s.is_empty())
            .collect();
        let title = spelled_out(self.name);
        let mut told = json!({
            "title": title,
            "description": told.join(" "),
        });
        let mut value = self.value.json();
        title_choices(&mut value, &title);
        if let (Some(told), Json::Object(value)) = (told.as_object_mut(), value) {
            told.extend(value);
        }
        told
    }
}

/// Puts the title of the field before the words of its choices.
fn title_choices(value: &mut Json, title: &str) {
    let choices = value.get_mut("anyOf").and_then(Json::as_array_mut);
    for choice in choices.into_iter().flatten() {
        if let Some(Json::String(word)) = choice.get_mut("title") {
            *word = format!("{title} ({word})");
        }
        title_choices(choice, title);
    }
}

/// `face_offset` as `Face offset`.
fn spelled_out(name: &str) -> String {
    let words = name.replace(['_', '-'], " ");
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_ascii_uppercase());
    first.into_iter().chain(letters).collect()
}

/// A group that has these fields and no others. Where none is needed, a group
/// without any may be written as nothing at all.
pub(super) fn group(fields: impl IntoIterator<Item = Field>) -> Value {
    let fields: Vec<_> = fields.into_iter().collect();
    let properties: serde_json::Map<_, _> = fields
        .iter()
        .map(|field| (field.name.to_owned(), field.schema()))
        .collect();
    let needed = fields.iter().filter(|field| field.without.is_none());
    let needed: Vec<_> = needed.map(|field| field.name).collect();
    let kind = match needed.is_empty() {
        true => json!(["object", "null"]),
        false => json!("object"),
    };
    let mut schema = json_schema!({
        "type": kind,
        "properties": properties,
        "additionalProperties": false,
    });
    if !needed.is_empty() {
        schema.insert("required".to_owned(), json!(needed));
    }
    Value::new(schema, "")
}

/// A list of these.
pub(super) fn list(item: Value) -> Value {
    let how = format!("{} A list of them.", item.how);
    let schema = json_schema!({"type": "array", "items": item.json()});
    Value::new(schema, how.trim())
}

/// One of these, or a list of them.
pub(super) fn one_or_list(item: Value) -> Value {
    one_or(item.clone(), list(item))
}

/// One of these, or a list of at least one.
pub(super) fn one_or_more(item: Value) -> Value {
    one_or(item.clone(), list(item).with("minItems", 1))
}

/// One of these, or this list of them.
pub(super) fn one_or(item: Value, list: Value) -> Value {
    let how = format!("{} One, or a list.", item.how);
    either([item, list.titled("list")]).told(how.trim())
}

/// A group with a key of its own for each entry.
pub(super) fn keyed(key: Value, entry: Value) -> Value {
    let schema = json_schema!({
        "type": "object",
        "propertyNames": key.json(),
        "additionalProperties": entry.json(),
    });
    Value::new(schema, "")
}

/// A value, or the value with where the author has it from.
pub(super) fn stated(value: Value, source: Value) -> Value {
    let how = format!(
        "{} Or with where you have it from: {{value: …, source: …}}.",
        value.how
    );
    let with_source = group([
        must("value", "The value itself.", value.clone()),
        may(
            "source",
            "Where you have it from; printed beside the value.",
            "a finding may ask for it.",
            source,
        ),
    ]);
    either([value, with_source]).told(how)
}

/// Any of these.
pub(super) fn either(values: impl IntoIterator<Item = Value>) -> Value {
    let values: Vec<_> = values.into_iter().collect();
    let choices: Vec<_> = values.iter().map(Value::json).collect();
    Value::new(json_schema!({"anyOf": choices}), "")
}

impl Value {
    /// The same, told otherwise.
    pub(super) fn told(self, how: impl Into<String>) -> Self {
        Self::new(self.schema, how)
    }

    /// The same list, in which nothing may stand twice.
    pub(super) fn unlike(self) -> Self {
        self.with("uniqueItems", true)
    }

    /// The same with a word that tells it from the value beside it in a choice,
    /// for its title: without any, some editors show both, whichever was written.
    pub(super) fn titled(self, title: &str) -> Self {
        self.with("title", title)
    }

    /// The same with a keyword more, as in `.with("minItems", 1)`.
    pub(super) fn with(mut self, keyword: &str, value: impl Into<Json>) -> Self {
        self.schema.insert(keyword.to_owned(), value.into());
        self
    }
}
