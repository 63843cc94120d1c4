//! A file that people write, its values changed one at a time. Documents are JSON,
//! which is YAML too, so that a value is changed by its place.

use serde_json::Value;

/// A value of a document.
#[derive(Debug, Clone)]
pub struct Leaf {
    /// The field: the names on the way to it, `*` for a size or another key of the
    /// author's own, without the numbers of lists.
    pub field: String,
    /// Its JSON pointer.
    pub pointer: String,
    /// What is written there.
    pub value: String,
}

/// Reads a file that people write.
pub fn document(text: &str) -> Value {
    serde_yaml::from_str(text).unwrap()
}

/// The text with parts of it replaced, each of which has to stand there once.
pub fn edited(text: &str, edits: &[(&str, &str)]) -> String {
    edits.iter().fold(text.to_owned(), |text, (from, to)| {
        assert_eq!(text.matches(from).count(), 1, "{from}");
        text.replace(from, to)
    })
}

/// Every value of a document. `known` says which fields have names; another key is
/// the author's own.
pub fn leaves(document: &Value, known: &dyn Fn(&str) -> bool) -> Vec<Leaf> {
    fn walk(value: &Value, at: (&str, &str), known: &dyn Fn(&str) -> bool, to: &mut Vec<Leaf>) {
        let (field, pointer) = at;
        let value = match value {
            Value::Object(fields) => {
                for (name, value) in fields {
                    let below = |name: &str| format!("{field} {name}").trim_start().to_owned();
                    let named = below(name);
                    let field = if known(&named) { named } else { below("*") };
                    let pointer = format!("{pointer}/{}", name.replace('/', "~1"));
                    walk(value, (&field, &pointer), known, to);
                }
                return;
            }
            Value::Array(items) => {
                for (index, value) in items.iter().enumerate() {
                    walk(value, (field, &format!("{pointer}/{index}")), known, to);
                }
                return;
            }
            Value::String(text) => text.clone(),
            other => other.to_string(),
        };
        let (field, pointer) = (field.to_owned(), pointer.to_owned());
        to.push(Leaf {
            field,
            pointer,
            value,
        });
    }
    let mut found = Vec::new();
    walk(document, ("", ""), known, &mut found);
    found
}

/// The text of the document with another value at the place of one.
pub fn changed(document: &Value, leaf: &Leaf, to: &str) -> String {
    let mut document = document.clone();
    *document.pointer_mut(&leaf.pointer).unwrap() = Value::from(to);
    document.to_string()
}

/// Every field of a JSON Schema, as [`Leaf::field`] names it.
pub fn fields(schema: &Value) -> Vec<String> {
    fn walk(schema: &Value, at: &str, to: &mut Vec<String>) {
        let below = |name: &str| format!("{at} {name}").trim_start().to_owned();
        for (name, schema) in schema["properties"].as_object().into_iter().flatten() {
            to.push(below(name));
            walk(schema, &below(name), to);
        }
        for choices in ["anyOf", "allOf"] {
            for choice in schema[choices].as_array().into_iter().flatten() {
                walk(choice, at, to);
            }
        }
        if schema["items"].is_object() {
            walk(&schema["items"], at, to);
        }
        if schema["additionalProperties"].is_object() {
            walk(&schema["additionalProperties"], &below("*"), to);
        }
    }
    let mut found = Vec::new();
    walk(schema, "", &mut found);
    found.sort();
    found.dedup();
    found
}

/// Words of the formats that one word may be replaced by.
const WORDS: &[&str] = &[
    "draft",
    "qualified",
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
    "procedure",
    "sources",
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
    "isopropyl alcohol",
    "laminated",
    "elbow",
    "pass",
    "fail",
    "in the joint",
    "outside the joint",
    "socket",
    "spigot",
    "straps",
    "tensile",
    "us-gas",
    "six-months-without-use",
    "AF-JP-12=own:12:Manual 7.9",
    "test",
    "visual",
    "before-scope",
    "end",
];

/// Texts that a value may be changed to.
pub fn others(value: &str) -> Vec<String> {
    let mut others = Vec::new();
    let digits = value.char_indices().filter(|(_, c)| c.is_ascii_digit());
    for (at, _) in digits.rev() {
        for digit in ['1', '2', '4', '7'] {
            let mut changed = value.to_owned();
            changed.replace_range(at..=at, &digit.to_string());
            others.push(changed);
        }
    }
    if !others.is_empty() {
        for size in ["3/4 IPS", "1-1/4 IPS", "2 IPS", "3 IPS"] {
            others.push(size.to_owned());
        }
    }
    others.extend(WORDS.iter().map(ToString::to_string));
    others.push(format!("{value} and more"));
    others.retain(|other| other != value);
    others
}
