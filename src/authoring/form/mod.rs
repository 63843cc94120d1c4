//! A file as a form: every field that its declarations have, with the value that stands
//! in the text, and the smallest change of the text that gives a field another value.
//!
//! A path names a field by keys from the top down. The entry of a list is its number; a
//! value with a source is two fields, `value` and `source`; one that stands without its
//! list is entry 0. So a path does not depend on which way of writing was chosen.

mod extent;
mod find;
mod new;
mod put;
mod remove;
#[cfg(test)]
mod tests;
mod write;

use std::collections::BTreeSet;
use std::sync::LazyLock;

use serde::Serialize;

use super::schema::Kind;
use crate::core::budget;
use crate::spec::node::{Node, NodeKind, parse};
use crate::spec::schema::{Part, Shape, Single, spelled_out};
pub(crate) use find::fields_at;
pub use new::Change;
pub use put::put;

/// What each kind of file is made of, made once: a form is asked for at every keystroke.
static SHAPES: LazyLock<Vec<(Kind, Shape)>> = LazyLock::new(|| {
    let made = |kind: Kind| (kind, kind.value().shape);
    Kind::ALL.into_iter().map(made).collect()
});

fn shape(kind: Kind) -> Option<&'static Shape> {
    let known = SHAPES.iter().find(|(known, _)| *known == kind);
    known.map(|(_, shape)| shape)
}

/// A file as a form.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Form {
    /// Whether the text can be read at all; without it there are no fields.
    pub readable: bool,
    /// The lists of words that fields offer.
    pub choices: Vec<Vec<String>>,
    /// The fields at the top, but for the number of the format.
    pub fields: Vec<Entry>,
}

/// A field, an entry of a list, or a size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Entry {
    /// The keys that lead to it.
    pub path: Vec<String>,
    /// Its name, spelled out.
    pub label: String,
    /// What it is for.
    pub about: String,
    /// How it is written.
    pub how: String,
    /// What holds when it is left out; `None` where it must be given.
    pub without: Option<String>,
    /// Whether it has to be given.
    pub needed: bool,
    /// Whether it is asked of every file.
    pub asked: bool,
    /// Whether it stands in the text.
    pub given: bool,
    /// Whether it can be changed in the text alone.
    pub fixed: bool,
    /// The bytes where its value stands.
    pub place: Option<(usize, usize)>,
    /// What it is made of.
    #[serde(flatten)]
    pub value: Value,
}

/// What a field is made of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum Value {
    /// One value.
    Single {
        /// As it is written, quotes undone; empty where there is none.
        value: String,
        /// How it is offered.
        #[serde(flatten)]
        offer: Offer,
    },
    /// A group of fields.
    Group {
        /// Its fields, in their order.
        fields: Vec<Entry>,
    },
    /// A value, and where the author has it from.
    Stated {
        /// The two.
        fields: Vec<Entry>,
    },
    /// A group with a key for each entry.
    Keyed {
        /// The entries, labeled by their keys.
        entries: Vec<Entry>,
        /// An entry as it begins; its key is empty.
        blank: Box<Entry>,
        /// How the key is offered.
        key: Offer,
    },
    /// A list.
    List {
        /// Its entries.
        entries: Vec<Entry>,
        /// The next entry as it begins.
        blank: Box<Entry>,
    },
}

/// How a value is offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Offer {
    /// Which of the form's choices it may take.
    pub choices: Option<usize>,
    /// Whether it may be something else.
    pub open: bool,
    /// Its units, as in `in or mm`.
    pub units: &'static str,
}

/// The form of a text. One that is no YAML has no fields.
pub fn form(kind: Kind, text: &str) -> Form {
    let empty = Form {
        readable: false,
        choices: Vec::new(),
        fields: Vec::new(),
    };
    let (Some(Shape::Group(parts)), Ok(root)) = (shape(kind), parse(text, &budget::SPEC)) else {
        return empty;
    };
    if !matches!(root.kind, NodeKind::Map(_) | NodeKind::Null) {
        return empty;
    }
    let mut shared = BTreeSet::new();
    repeated(&root, text, false, &mut shared);
    let mut writer = Writer {
        text,
        shared,
        choices: Vec::new(),
    };
    // The number of the format stands first, and is never changed.
    let parts = parts.get(1..).unwrap_or_default();
    let fields = writer.fields(parts, Some(&root), &[]);
    Form {
        readable: true,
        choices: writer.choices,
        fields,
    }
}

/// Where values begin that an alias repeats.
fn repeated(node: &Node, text: &str, inside: bool, to: &mut BTreeSet<usize>) {
    if inside {
        to.insert(node.span.start);
    }
    let rest = text.get(node.span.start..).unwrap_or_default();
    let inside = inside || rest.starts_with('*');
    match &node.kind {
        NodeKind::Null | NodeKind::Scalar(_) => {}
        NodeKind::List(items) => items
            .iter()
            .for_each(|item| repeated(item, text, inside, to)),
        NodeKind::Map(entries) => entries
            .iter()
            .for_each(|(_, value)| repeated(value, text, inside, to)),
    }
}

/// What entries are made with.
struct Writer<'t> {
    text: &'t str,
    /// Where values begin that an alias repeats.
    shared: BTreeSet<usize>,
    choices: Vec<Vec<String>>,
}

impl Writer<'_> {
    fn fields(&mut self, parts: &[Part], group: Option<&Node>, path: &[String]) -> Vec<Entry> {
        let field = |part: &Part| {
            let node = group.and_then(|group| find::value(group, &part.name));
            self.field(part, node, path)
        };
        parts.iter().map(field).collect()
    }

    fn field(&mut self, part: &Part, node: Option<&Node>, path: &[String]) -> Entry {
        let path = find::below(path, &part.name);
        let entry = self.entry(&part.shape, node, path, spelled_out(&part.name));
        Entry {
            about: part.about.clone(),
            how: part.how.clone(),
            without: part.without.clone(),
            needed: part.needed(),
            asked: part.asked(),
            ..entry
        }
    }

    fn entry(
        &mut self,
        shape: &Shape,
        node: Option<&Node>,
        path: Vec<String>,
        label: String,
    ) -> Entry {
        let shape = find::fitting(shape, node);
        let (value, fits) = self.value(shape, node, &path);
        Entry {
            label,
            about: String::new(),
            how: String::new(),
            without: None,
            needed: false,
            asked: true,
            given: node.is_some(),
            fixed: !fits || node.is_some_and(|node| self.is_fixed(node)),
            place: node.map(|node| (node.span.start, node.span.end)),
            path,
            value,
        }
    }

    /// The value, and whether what stands in the text is of its kind.
    fn value(&mut self, shape: &Shape, node: Option<&Node>, path: &[String]) -> (Value, bool) {
        let kind = node.map(|node| &node.kind);
        let is_group = matches!(kind, None | Some(NodeKind::Null | NodeKind::Map(_)));
        match shape {
            Shape::Single(single) => {
                let (value, fits) = match kind {
                    None | Some(NodeKind::Null) => (String::new(), true),
                    Some(NodeKind::Scalar(value)) => (value.clone(), true),
                    Some(_) => (String::new(), false),
                };
                let offer = self.offer(single);
                (Value::Single { value, offer }, fits)
            }
            Shape::Group(parts) => {
                let fields = self.fields(parts, node, path);
                (Value::Group { fields }, is_group)
            }
            Shape::Stated(parts) => {
                let alone = matches!(kind, Some(NodeKind::Scalar(_)));
                let mut fields = self.fields(parts, node, path);
                let value = parts.first().filter(|_| alone);
                if let (Some(part), Some(field)) = (value, fields.first_mut()) {
                    *field = self.field(part, node, path);
                }
                (Value::Stated { fields }, is_group || alone)
            }
            Shape::Keyed { key, entry, .. } => {
                let keyed = match kind {
                    Some(NodeKind::Map(entries)) => entries.as_slice(),
                    _ => &[],
                };
                let named = keyed.iter().filter_map(|(key, value)| match &key.kind {
                    NodeKind::Scalar(key) => Some((key, value)),
                    _ => None,
                });
                let entries = named.map(|(key, value)| {
                    self.entry(entry, Some(value), find::below(path, key), key.clone())
                });
                let entries: Vec<_> = entries.collect();
                let blank = self.entry(entry, None, find::below(path, ""), String::new());
                let value = Value::Keyed {
                    entries,
                    blank: Box::new(blank),
                    key: self.offer(key),
                };
                (value, is_group)
            }
            Shape::List { item, alone } => {
                let items = match node {
                    Some(node) => find::items(node, *alone),
                    None => Some(Vec::new()),
                };
                let fits = items.is_some();
                let items = items.unwrap_or_default();
                let numbered = (1..).zip(&items).map(|(number, item_node)| {
                    let path = find::below(path, &(number - 1usize).to_string());
                    self.entry(item, Some(item_node), path, number.to_string())
                });
                let entries: Vec<_> = numbered.collect();
                let next = entries.len();
                let path = find::below(path, &next.to_string());
                let blank = self.entry(item, None, path, (next + 1).to_string());
                let blank = Box::new(blank);
                (Value::List { entries, blank }, fits)
            }
            // Only reached where none fits: the first stands for them.
            Shape::Either(shapes) => match shapes.first() {
                Some(first) => self.value(first, None, path),
                None => (Value::Group { fields: Vec::new() }, false),
            },
        }
    }

    fn offer(&mut self, single: &Single) -> Offer {
        let known = self
            .choices
            .iter()
            .position(|known| *known == single.choices);
        let choices = match known {
            _ if single.choices.is_empty() => None,
            Some(known) => Some(known),
            None => {
                self.choices.push(single.choices.clone());
                Some(self.choices.len() - 1)
            }
        };
        Offer {
            choices,
            open: single.open,
            units: single.units,
        }
    }

    /// Whether a value is written in a way that only the text shows: repeated by an
    /// alias, marked, or over several lines.
    fn is_fixed(&self, node: &Node) -> bool {
        extent::is_marked(node, self.text) || self.shared.contains(&node.span.start)
    }
}
