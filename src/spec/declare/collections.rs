//! Kinds of value that hold others: groups, lists, groups by size, and a value with
//! where the author has it from.

use std::collections::HashMap;
use std::marker::PhantomData;

use super::parts::{Group, GroupOutput, Kind, KindOutput};
use crate::core::finding::Finding;
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::spec::fact::{Collector, Of, Stating as _};
use crate::spec::fields::{self, At, Fields, given_twice, not_empty};
use crate::spec::node::{Node, NodeKind};
use crate::spec::rules;
use crate::spec::scalar::text;
use crate::spec::schema;
use crate::spec::tree::Tree;
use crate::spec::written::{Stated, Written};

/// A group of fields.
pub(crate) fn nested<G: Group>() -> Nested<G> {
    Nested { group: PhantomData }
}

/// See [`nested`].
pub(crate) struct Nested<G> {
    group: PhantomData<fn() -> G>,
}

impl<G: Group> Kind for Nested<G> {
    type Value = G;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<G> {
        let mut fields = Fields::open(node, at.path(), at.key, findings)?;
        let group = G::read(&mut fields, findings);
        fields.finish(findings);
        group
    }

    fn schema(&self) -> schema::Value {
        G::schema()
    }

    fn takes_nothing(&self) -> bool {
        true
    }
}

impl<G: GroupOutput> KindOutput for Nested<G> {
    fn write(&self, value: &G) -> Tree {
        Tree::Group(value.write())
    }

    fn facts(&self, value: &G, of: &Of, to: &mut Collector<'_>) {
        value.facts(of, to);
    }
}

pub(crate) fn list<K: Kind>(item: K) -> List<K> {
    List {
        item,
        alone: false,
        long: false,
        named: None,
        none: None,
        most: None,
        once: None,
        of: None,
    }
}

/// A list, or one alone.
pub(crate) fn one_or_list<K: Kind>(item: K) -> List<K> {
    List {
        alone: true,
        ..list(item)
    }
}

/// What an entry is told from the others by, and its place.
type NameOf<T> = fn(&T) -> (String, Span);

/// See [`list`].
pub(crate) struct List<K: Kind> {
    item: K,
    /// Whether one may stand without a list.
    alone: bool,
    /// Whether it grows with a crew or with the tables, and not with the papers.
    long: bool,
    /// What an entry is called in messages, if not by its path.
    named: Option<&'static str>,
    /// What is said of an empty one, and the help.
    none: Option<(&'static str, &'static str)>,
    /// How many there may be, for the schema.
    most: Option<usize>,
    /// What an entry is told from the others by.
    once: Option<NameOf<K::Value>>,
    /// What the facts of an entry are stated of.
    of: Option<fn(&K::Value, &Collector<'_>) -> Of>,
}

impl<K: Kind> List<K> {
    /// The same that grows with a crew or with the tables.
    pub(crate) fn long(self) -> Self {
        Self { long: true, ..self }
    }

    /// The same whose entries have another name in messages.
    pub(crate) fn named(self, name: &'static str) -> Self {
        let named = Some(name);
        Self { named, ..self }
    }

    /// The same that must have an entry.
    pub(crate) fn not_empty(self, what: &'static str, help: &'static str) -> Self {
        let none = Some((what, help));
        Self { none, ..self }
    }

    /// The same with so many entries at most; whoever reads it says so too.
    pub(crate) fn at_most(self, most: usize) -> Self {
        let most = Some(most);
        Self { most, ..self }
    }

    /// The same in which an entry stands once.
    pub(crate) fn once(self, name: NameOf<K::Value>) -> Self {
        let once = Some(name);
        Self { once, ..self }
    }

    /// The same whose entries state facts of something of their own.
    pub(crate) fn of(self, of: fn(&K::Value, &Collector<'_>) -> Of) -> Self {
        let of = Some(of);
        Self { of, ..self }
    }
}

impl<K: Kind> Kind for List<K> {
    type Value = Vec<K::Value>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        if let Some((what, help)) = self.none {
            not_empty(node, what, help, findings);
        }
        let read = |node: &Node, findings: &mut Vec<Finding>| {
            let (group, name) = self.named.map_or((at.group, at.name), |name| ("", name));
            let key = node.span;
            self.item.read(node, At { group, name, key }, findings)
        };
        let mut items = match (self.alone, self.long) {
            (true, true) => fields::one_or_long_list(node, findings, read),
            (true, false) => fields::one_or_list(node, findings, read),
            (false, true) => fields::long_list(node, findings, read)?,
            (false, false) => fields::list(node, findings, read)?,
        };
        if let Some(name) = self.once {
            let mut places: HashMap<String, Span> = HashMap::new();
            items.retain(|item| {
                let (name, place) = name(item);
                let first = places.get(&name).copied();
                match first {
                    Some(first) => findings.push(given_twice(&name, place, first)),
                    None => _ = places.insert(name, place),
                }
                first.is_none()
            });
        }
        (self.none.is_none() || !items.is_empty()).then_some(items)
    }

    fn schema(&self) -> schema::Value {
        let mut several = schema::list(self.item.schema());
        if self.none.is_some() {
            several = several.with("minItems", 1);
        }
        if let Some(most) = self.most {
            several = several.with("maxItems", most);
        }
        if self.once.is_some() {
            several = several.unlike();
        }
        match self.alone {
            true => schema::one_or(self.item.schema(), several),
            false => several,
        }
    }
}

impl<K: KindOutput> KindOutput for List<K> {
    fn write(&self, value: &Self::Value) -> Tree {
        Tree::List(value.iter().map(|item| self.item.write(item)).collect())
    }

    fn facts(&self, value: &Self::Value, of: &Of, to: &mut Collector<'_>) {
        for item in value {
            let of = self.of.map_or_else(|| of.clone(), |own| own(item, to));
            self.item.facts(item, &of, to);
        }
    }
}

/// A group whose keys are sizes; each size once, however it is spelled.
pub(crate) fn by_size<K: Kind>(item: K) -> BySize<K> {
    BySize { item, main: None }
}

/// See [`by_size`].
pub(crate) struct BySize<K> {
    item: K,
    /// The field that each size has, and what is written there where nothing is known.
    main: Option<(&'static str, &'static str)>,
}

impl<K> BySize<K> {
    /// Each size has this field; `unknown` is what is written while it is not known.
    pub(crate) fn each(self, field: &'static str, unknown: &'static str) -> Self {
        let main = Some((field, unknown));
        Self { main, ..self }
    }
}

impl<K: Kind> Kind for BySize<K> {
    type Value = Vec<(Spanned<Size>, K::Value)>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        let path = at.path();
        let least = self.main.map_or_else(String::new, |(field, unknown)| {
            format!("{field}: {unknown}")
        });
        let entries = fields::sized(node, &path, &least, findings);
        let read = entries.into_iter().filter_map(|(size, node)| {
            let name = size.to_string();
            if let (Some((field, _)), NodeKind::Scalar(text)) = (self.main, &node.kind) {
                let written = format!("{{{field}: {}}}", text.trim());
                let message =
                    format!("`{path}.{name}` is a single value; its `{field}` goes in braces");
                let finding = rules::WRONG_TYPE.at(node.span, message);
                findings.push(finding.help(format!("write {name}: {written}")));
                return None;
            }
            let (group, key) = (path.as_str(), size.span);
            let name = name.as_str();
            let item = self.item.read(node, At { group, name, key }, findings)?;
            Some((size, item))
        });
        Some(read.collect())
    }

    fn schema(&self) -> schema::Value {
        schema::keyed(schema::values::size(), "SIZE", self.item.schema())
    }
}

impl<K: KindOutput> KindOutput for BySize<K> {
    fn write(&self, value: &Self::Value) -> Tree {
        let entries = value.iter();
        let entries = entries.map(|(size, item)| (size.to_string(), self.item.write(item)));
        Tree::Group(entries.collect())
    }

    fn facts(&self, value: &Self::Value, _of: &Of, to: &mut Collector<'_>) {
        for (size, item) in value {
            self.item.facts(item, &Of::from(size.value), to);
        }
    }
}

/// A value alone, or as `{value: …, source: …}` with where it comes from; a change of
/// the source is weighed as `variable`.
pub(crate) fn stated<K>(value: K, variable: &'static str) -> StatedKind<K> {
    StatedKind { value, variable }
}

/// See [`stated`].
pub(crate) struct StatedKind<K> {
    value: K,
    variable: &'static str,
}

impl<T, K: Kind<Value = Written<T>>> Kind for StatedKind<K> {
    type Value = Stated<T>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Stated<T>> {
        if !matches!(node.kind, NodeKind::Map(_)) {
            let value = self.value.read(node, at, findings)?;
            return Some(Stated {
                value,
                source: None,
            });
        }
        let mut fields = Fields::open(node, at.path(), at.key, findings)?;
        let value = fields.required("value", findings, |node, findings| {
            self.value.read(node, at, findings)
        });
        let source = fields.optional("source", findings, text);
        fields.finish(findings);
        Some(Stated {
            value: value?,
            source,
        })
    }

    fn schema(&self) -> schema::Value {
        schema::stated(self.value.schema(), schema::values::source())
    }

    fn takes_nothing(&self) -> bool {
        true
    }
}

impl<T, K: KindOutput<Value = Written<T>>> KindOutput for StatedKind<K> {
    fn write(&self, value: &Stated<T>) -> Tree {
        let alone = self.value.write(&value.value);
        let Some(source) = &value.source else {
            return alone;
        };
        let source = Tree::Scalar(source.value.clone());
        Tree::Group(vec![
            ("value".to_owned(), alone),
            ("source".to_owned(), source),
        ])
    }

    fn facts(&self, value: &Stated<T>, of: &Of, to: &mut Collector<'_>) {
        value.source.add(self.variable, of, to);
    }
}
