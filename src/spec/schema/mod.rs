//! Groups of fields as JSON Schema: each field with its name, what it is for,
//! and what may be written. Beside each schema go the fields inside it, for the
//! reference page.

mod shape;
pub(crate) mod values;

use schemars::{Schema, json_schema};
use serde_json::{Value as Json, json};

pub(crate) use shape::{Part, Shape, Single};

/// What may be written in one place, and in words how it is written.
#[derive(Debug, Clone)]
pub(crate) struct Value {
    pub(crate) schema: Schema,
    /// Whole sentences; empty where there is nothing to say.
    pub(crate) how: String,
    /// The fields inside, in their order.
    pub(crate) fields: Vec<Listed>,
    /// What it is made of, for a form.
    pub(crate) shape: Shape,
}

impl Value {
    /// A value in one piece, which offers the words that its schema lists.
    pub(crate) fn new(schema: Schema, how: impl Into<String>) -> Self {
        let listed = schema.get("enum").and_then(Json::as_array);
        let listed = listed.into_iter().flatten().chain(schema.get("const"));
        let choices: Vec<_> = listed.filter_map(Json::as_str).map(str::to_owned).collect();
        let open = choices.is_empty();
        let units = "";
        Self {
            schema,
            how: how.into(),
            fields: Vec::new(),
            shape: Shape::Single(Single {
                choices,
                open,
                units,
            }),
        }
    }

    fn json(&self) -> Json {
        self.schema.as_value().clone()
    }
}

/// Whether a field has to be given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Need {
    /// In every case.
    Always,
    /// In some cases, which these words name, as in `kind: straps`; the others have no
    /// such field.
    For(Vec<String>),
    /// It may be left out.
    Never,
}

/// A field inside a value, as the reference page lists it.
#[derive(Debug, Clone)]
pub(crate) struct Listed {
    /// The names that lead to it.
    pub(crate) path: Vec<String>,
    /// Whether it has to be given.
    pub(crate) need: Need,
    /// The variable that a change of it is weighed as.
    pub(crate) variable: Option<&'static str>,
}

/// A field as it is declared.
#[derive(Debug, Clone)]
pub(crate) struct Declared {
    pub(crate) name: &'static str,
    pub(crate) about: String,
    pub(crate) value: Option<Value>,
    /// What holds when it is left out; `None` where it must be given.
    pub(crate) without: Option<String>,
    /// The variable that a change of it is weighed as.
    pub(crate) variable: Option<&'static str>,
    /// Its fields, where it is a group that stands in the struct around it.
    pub(crate) fields: Vec<Declared>,
}

impl Declared {
    /// A needed group that is put together field by field.
    pub(crate) fn group(name: &'static str, about: &str) -> Self {
        Self {
            name,
            about: one_line(about),
            value: None,
            without: None,
            variable: None,
            fields: Vec::new(),
        }
    }
}

/// A comment as one line.
fn one_line(text: &str) -> String {
    let words: Vec<_> = text.split_whitespace().collect();
    words.join(" ")
}

/// A field that must be given.
pub(crate) fn must(name: &'static str, about: impl AsRef<str>, value: Value) -> Declared {
    Declared {
        value: Some(value),
        ..Declared::group(name, about.as_ref())
    }
}

/// A field that may be left out; `without` says what holds then.
pub(crate) fn may(
    name: &'static str,
    about: impl AsRef<str>,
    without: &str,
    value: Value,
) -> Declared {
    Declared {
        without: Some(without.to_owned()),
        ..must(name, about, value)
    }
}

/// A field whose value is known.
struct Field {
    of: Declared,
    value: Value,
}

impl Field {
    fn new(declared: Declared) -> Self {
        let Declared { value, fields, .. } = declared.clone();
        let value = value.unwrap_or_else(|| group(fields));
        Self {
            of: declared,
            value,
        }
    }

    /// The schema of the field's value, with title and description.
    fn schema(&self) -> Json {
        let without = self.of.without.as_ref();
        let without = without.map_or_else(String::new, |then| format!("If omitted: {then}"));
        let sentences = [&self.of.about, &self.value.how, &without];
        let told: Vec<_> = sentences
            .map(String::as_str)
            .into_iter()
            .filter(|s| !s.is_empty())
            .collect();
        let title = spelled_out(self.of.name);
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

    /// Itself and the fields inside it.
    fn listed(&self) -> Vec<Listed> {
        let own = Listed {
            path: vec![self.of.name.to_owned()],
            need: match self.of.without {
                None => Need::Always,
                Some(_) => Need::Never,
            },
            variable: self.of.variable,
        };
        let inside = below(self.of.name, &self.value.fields);
        [own].into_iter().chain(inside).collect()
    }

    fn part(&self) -> Part {
        Part {
            name: self.of.name.to_owned(),
            about: self.of.about.clone(),
            how: self.value.how.clone(),
            without: self.of.without.clone(),
            sometimes: false,
            shape: self.value.shape.clone(),
        }
    }
}

/// Fields with one name more before their own.
fn below(name: &str, fields: &[Listed]) -> Vec<Listed> {
    let deeper = |field: &Listed| {
        let mut field = field.clone();
        field.path.insert(0, name.to_owned());
        field
    };
    fields.iter().map(deeper).collect()
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
pub(crate) fn spelled_out(name: &str) -> String {
    let words = name.replace(['_', '-'], " ");
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_ascii_uppercase());
    first.into_iter().chain(letters).collect()
}

/// A group that has these fields and no others. Where none is needed, a group
/// without any may be written as nothing at all.
pub(crate) fn group(fields: impl IntoIterator<Item = Declared>) -> Value {
    let fields: Vec<_> = fields.into_iter().map(Field::new).collect();
    let properties: serde_json::Map<_, _> = fields
        .iter()
        .map(|field| (field.of.name.to_owned(), field.schema()))
        .collect();
    let needed = fields.iter().filter(|field| field.of.without.is_none());
    let needed: Vec<_> = needed.map(|field| field.of.name).collect();
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
    let listed = fields.iter().flat_map(Field::listed).collect();
    let parts = fields.iter().map(Field::part).collect();
    Value::new(schema, "")
        .holding(listed)
        .shaped(Shape::Group(parts))
}

/// A list of these.
pub(crate) fn list(item: Value) -> Value {
    let how = format!("{} A list.", item.how);
    let schema = json_schema!({"type": "array", "items": item.json()});
    let shape = Shape::List {
        item: Box::new(item.shape),
        alone: false,
    };
    let list = Value::new(schema, how.trim());
    list.holding(item.fields).shaped(shape)
}

/// One of these, or this list of them.
pub(crate) fn one_or(item: Value, list: Value) -> Value {
    let how = format!("{} One value or a list.", item.how);
    let shape = Shape::List {
        item: Box::new(item.shape.clone()),
        alone: true,
    };
    let told = either([item, list.titled("list")]).told(how.trim());
    told.shaped(shape)
}

/// A group with a key of its own for each entry, which is called `name` in paths.
pub(crate) fn keyed(key: Value, name: &str, entry: Value) -> Value {
    let schema = json_schema!({
        "type": "object",
        "propertyNames": key.json(),
        "additionalProperties": entry.json(),
    });
    let shape = Shape::Keyed {
        key: match key.shape {
            Shape::Single(key) => key,
            _ => Single::default(),
        },
        entry: Box::new(entry.shape),
    };
    let keyed = Value::new(schema, "").holding(below(name, &entry.fields));
    keyed.shaped(shape)
}

/// A value, or the value with where the author has it from.
pub(crate) fn stated(value: Value, source: Value) -> Value {
    let how = format!(
        "{} To give its source too: {{value: …, source: …}}.",
        value.how
    );
    let with_source = group([
        must("value", "The value itself.", value.clone()),
        may(
            "source",
            "Its source, printed beside the value.",
            "check may ask for it.",
            source,
        ),
    ]);
    let shape = match with_source.shape.clone() {
        Shape::Group(parts) => Shape::Stated(parts),
        other => other,
    };
    let told = either([value, with_source]).told(how);
    // Its source is said in `how`.
    told.holding(Vec::new()).shaped(shape)
}

/// What tells a group from the others of a choice, as in `kind` and `straps`.
fn case(value: &Value) -> Option<(&str, &str)> {
    let properties = value.schema.get("properties")?.as_object()?;
    properties.iter().find_map(|(name, field)| {
        let mut choices = field.get("anyOf")?.as_array()?.iter();
        let word = choices.find_map(|choice| choice.get("const")?.as_str())?;
        Some((name.as_str(), word))
    })
}

/// The cases that need a field, as in `kind: tensile, crush`.
fn cases<'v>(values: impl Iterator<Item = &'v Value>) -> Vec<String> {
    let mut cases: Vec<(&str, Vec<&str>)> = Vec::new();
    for (name, word) in values.filter_map(case) {
        match cases.iter_mut().find(|(known, _)| *known == name) {
            Some((_, words)) => words.push(word),
            None => cases.push((name, vec![word])),
        }
    }
    let shown = |(name, words): (&str, Vec<&str>)| format!("{name}: {}", words.join(", "));
    cases.into_iter().map(shown).collect()
}

/// Where a field goes among others: after those of its own group, else at the end.
fn place_of(field: &Listed, fields: &[Listed]) -> usize {
    let group = field.path.split_last().map_or(&[][..], |(_, group)| group);
    let own = |other: &Listed| !group.is_empty() && other.path.starts_with(group);
    let last = fields.iter().rposition(own);
    last.map_or(fields.len(), |last| last.saturating_add(1))
}

/// Any of these.
pub(crate) fn either(values: impl IntoIterator<Item = Value>) -> Value {
    let values: Vec<_> = values.into_iter().collect();
    let choices: Vec<_> = values.iter().map(Value::json).collect();
    let groups = values
        .iter()
        .filter(|value| !value.fields.is_empty())
        .count();
    let mut fields: Vec<Listed> = Vec::new();
    for field in values.iter().flat_map(|value| &value.fields) {
        let same = |other: &&Listed| other.path == field.path;
        let among = values
            .iter()
            .filter(|value| value.fields.iter().any(|f| same(&f)));
        let everywhere = among.count() == groups;
        if !fields.iter().any(|known| same(&known)) {
            let mut field = field.clone();
            if !everywhere && field.need == Need::Always {
                let having = |value: &&Value| value.fields.iter().any(|f| same(&f));
                field.need = Need::For(cases(values.iter().filter(having)));
            }
            fields.insert(place_of(&field, &fields), field);
        }
    }
    let shape = Shape::either(values.into_iter().map(|value| value.shape));
    let value = Value::new(json_schema!({"anyOf": choices}), "");
    value.holding(fields).shaped(shape)
}

impl Value {
    /// The same, told otherwise.
    pub(crate) fn told(self, how: impl Into<String>) -> Self {
        let how = how.into();
        Self { how, ..self }
    }

    /// The same with these fields inside.
    pub(crate) fn holding(self, fields: Vec<Listed>) -> Self {
        Self { fields, ..self }
    }

    /// The same that is written in these units.
    fn in_units(self, units: &'static str) -> Self {
        let shape = self.shape.clone().in_units(units);
        self.shaped(shape)
    }

    /// The same that takes nothing but its words.
    fn closed(self) -> Self {
        let shape = self.shape.clone().closed();
        self.shaped(shape)
    }

    /// The same made of something else than one piece.
    fn shaped(self, shape: Shape) -> Self {
        Self { shape, ..self }
    }

    /// The same list, in which nothing may stand twice.
    pub(crate) fn unlike(self) -> Self {
        self.with("uniqueItems", true)
    }

    /// The same with a word that tells it from the value beside it in a choice,
    /// for its title: without any, some editors show both, whichever was written.
    pub(crate) fn titled(self, title: &str) -> Self {
        self.with("title", title)
    }

    /// The same with a keyword more, as in `.with("minItems", 1)`.
    pub(crate) fn with(mut self, keyword: &str, value: impl Into<Json>) -> Self {
        self.schema.insert(keyword.to_owned(), value.into());
        self
    }
}
