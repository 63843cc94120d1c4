//! YAML text as a tree in which every value knows its position. Scalars keep
//! the characters they were written with, so `2.50` prints back as written and
//! `007` stays a badge number.
//!
//! Our own reader walks this tree and reports every problem. Typed serde would
//! stop at the first error and lose the positions of the rest. The dependency
//! named `serde_yaml` is `serde-saphyr`: the crate of that name is archived,
//! and this one is maintained, reports positions, and survives alias bombs and
//! deep nesting under a budget.

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_yaml::options::{DuplicateKeyPolicy, MergeKeyPolicy, NonFiniteFloatPolicy};

use super::not_yaml::not_yaml;
use super::rules;
use crate::core::budget::{ALIASES, Budget, DEPTH, SPEC};
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};

/// A value and where it stands. For a mapping or a list the span is its first
/// character; point at its key instead where there is one.
#[derive(Debug, Clone)]
pub(crate) struct Node {
    /// Where the value is written, or where the alias that stands for it is; inside an
    /// alias, where it is written.
    pub(crate) span: Span,
    /// What it is.
    pub(crate) kind: NodeKind,
}

/// What a node holds.
#[derive(Debug, Clone)]
pub(crate) enum NodeKind {
    /// Nothing, `~` or `null`.
    Null,
    /// A scalar, as it was written, quotes and escapes undone.
    Scalar(String),
    List(Vec<Node>),
    /// A mapping, in the order it was written, repeated keys included.
    Map(Vec<(Node, Node)>),
}

impl Node {
    /// What to call the kind of this value in a message.
    pub(crate) fn kind_name(&self) -> &'static str {
        match self.kind {
            NodeKind::Null => "nothing",
            NodeKind::Scalar(_) => "a single value",
            NodeKind::List(_) => "a list",
            NodeKind::Map(_) => "a group of fields",
        }
    }
}

/// Reads YAML into a tree, within its budget.
///
/// # Errors
/// One finding, with the place where the reader gave up: too large, too deep,
/// too many values, or not YAML.
pub(crate) fn parse(text: &str, budget: &Budget) -> Result<Node, Box<Finding>> {
    let Budget { bytes, nodes, what } = *budget;
    if text.len() > bytes {
        return Err(Box::new(rules::SPEC_TOO_LARGE.about_file(format!(
            "the file has {} bytes; {what} may have {bytes}",
            text.len()
        ))));
    }
    let options = serde_yaml::options! {
        strict_booleans: true,
        duplicate_keys: DuplicateKeyPolicy::PassThrough,
        merge_keys: MergeKeyPolicy::AsOrdinary,
        non_finite_float_policy: NonFiniteFloatPolicy::AsString,
        budget: serde_yaml::budget! {
            max_depth: DEPTH,
            max_nodes: nodes,
            max_events: 4 * nodes,
            max_aliases: ALIASES,
        },
    };
    let read: Result<Located, _> = serde_yaml::from_str_with_options(text, options);
    match read {
        Ok(located) => Ok(located.into_node(text, false)),
        Err(error) => Err(Box::new(not_yaml(text, &error, budget))),
    }
}

/// Every scalar of a spec that can be read, with its place.
pub fn scalars(text: &str) -> Vec<Spanned<String>> {
    scalars_within(text, &SPEC)
}

/// Every scalar of a text that can be read within a budget, with its place.
pub fn scalars_within(text: &str, budget: &Budget) -> Vec<Spanned<String>> {
    fn collect(node: Node, into: &mut Vec<Spanned<String>>) {
        match node.kind {
            NodeKind::Null => {}
            NodeKind::Scalar(value) => into.push(Spanned::new(value, node.span)),
            NodeKind::List(items) => items.into_iter().for_each(|item| collect(item, into)),
            NodeKind::Map(entries) => entries.into_iter().for_each(|(key, value)| {
                collect(key, into);
                collect(value, into);
            }),
        }
    }
    let mut found = Vec::new();
    if let Ok(node) = parse(text, budget) {
        collect(node, &mut found);
    }
    found
}

/// A node as the YAML reader gives it: places first, text later.
struct Located {
    referenced: serde_yaml::Location,
    defined: serde_yaml::Location,
    kind: LocatedKind,
}

enum LocatedKind {
    Null,
    Text(String),
    /// A number or a boolean: what was written stands in the source.
    AsWritten,
    List(Vec<Located>),
    Map(Vec<(Located, Located)>),
}

impl Located {
    /// What stands inside an alias is found where it is written, since that is where
    /// it can be corrected; the alias itself stands where it is used.
    fn into_node(self, text: &str, in_alias: bool) -> Node {
        let inside = in_alias || self.referenced != self.defined;
        let place = match in_alias {
            true => self.defined,
            false => self.referenced,
        };
        let kind = match self.kind {
            LocatedKind::Null => NodeKind::Null,
            LocatedKind::Text(value) => NodeKind::Scalar(value),
            LocatedKind::AsWritten => {
                let written = text.get(bytes(self.defined).range()).unwrap_or_default();
                NodeKind::Scalar(written.to_owned())
            }
            LocatedKind::List(items) => NodeKind::List(
                items
                    .into_iter()
                    .map(|n| n.into_node(text, inside))
                    .collect(),
            ),
            LocatedKind::Map(entries) => NodeKind::Map(
                entries
                    .into_iter()
                    .map(|(key, value)| {
                        (key.into_node(text, inside), value.into_node(text, inside))
                    })
                    .collect(),
            ),
        };
        Node {
            span: trimmed(bytes(place), text),
            kind,
        }
    }
}

fn bytes(location: serde_yaml::Location) -> Span {
    let span = location.span();
    let of = |value: Option<u64>| value.and_then(|v| usize::try_from(v).ok()).unwrap_or(0);
    let start = of(span.byte_offset());
    Span::new(start, start + of(span.byte_len()))
}

/// The span without white space at its end, and inside the text.
fn trimmed(span: Span, text: &str) -> Span {
    match text.get(span.range()) {
        Some(slice) => Span::new(span.start, span.start + slice.trim_end().len()),
        None => Span::new(span.start.min(text.len()), span.start.min(text.len())),
    }
}

impl<'de> Deserialize<'de> for Located {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let spanned = serde_yaml::Spanned::<LocatedKind>::deserialize(deserializer)?;
        Ok(Located {
            referenced: spanned.referenced,
            defined: spanned.defined,
            kind: spanned.value,
        })
    }
}

impl<'de> Deserialize<'de> for LocatedKind {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(KindVisitor)
    }
}

struct KindVisitor;

impl<'de> Visitor<'de> for KindVisitor {
    type Value = LocatedKind;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("any YAML value")
    }
    fn visit_str<E>(self, value: &str) -> Result<LocatedKind, E> {
        Ok(LocatedKind::Text(value.to_owned()))
    }
    fn visit_bool<E>(self, _: bool) -> Result<LocatedKind, E> {
        Ok(LocatedKind::AsWritten)
    }
    fn visit_i64<E>(self, _: i64) -> Result<LocatedKind, E> {
        Ok(LocatedKind::AsWritten)
    }
    fn visit_u64<E>(self, _: u64) -> Result<LocatedKind, E> {
        Ok(LocatedKind::AsWritten)
    }
    fn visit_i128<E>(self, _: i128) -> Result<LocatedKind, E> {
        Ok(LocatedKind::AsWritten)
    }
    fn visit_u128<E>(self, _: u128) -> Result<LocatedKind, E> {
        Ok(LocatedKind::AsWritten)
    }
    fn visit_f64<E>(self, _: f64) -> Result<LocatedKind, E> {
        Ok(LocatedKind::AsWritten)
    }
    fn visit_unit<E>(self) -> Result<LocatedKind, E> {
        Ok(LocatedKind::Null)
    }
    fn visit_none<E>(self) -> Result<LocatedKind, E> {
        Ok(LocatedKind::Null)
    }
    fn visit_some<D: Deserializer<'de>>(self, inner: D) -> Result<LocatedKind, D::Error> {
        LocatedKind::deserialize(inner)
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut access: A) -> Result<LocatedKind, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = access.next_element()? {
            items.push(item);
        }
        Ok(LocatedKind::List(items))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<LocatedKind, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = access.next_entry()? {
            entries.push(entry);
        }
        Ok(LocatedKind::Map(entries))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scalars_keep_the_digits_they_were_written_with() {
        let node = parse("a: 2.50\nb: &x 007\nc: *x\n", &SPEC).unwrap();
        let NodeKind::Map(entries) = node.kind else {
            panic!("a mapping");
        };
        let scalars: Vec<_> = entries
            .iter()
            .map(|(_, value)| match &value.kind {
                NodeKind::Scalar(text) => text.as_str(),
                _ => "",
            })
            .collect();
        assert_eq!(scalars, ["2.50", "007", "007"]);
    }

    #[test]
    fn hostile_input_ends_as_one_finding() {
        let deep = "[".repeat(100_000);
        let deep_block: String = (0..3000)
            .map(|i| format!("{}a:\n", " ".repeat(i)))
            .collect();
        let mut bomb = "a: &a [x,x,x,x,x,x,x,x,x]\n".to_owned();
        for (last, next) in "abcdefgh".chars().zip("bcdefghi".chars()) {
            bomb.push_str(&format!(
                "{next}: &{next} [{}]\n",
                vec![format!("*{last}"); 9].join(",")
            ));
        }
        let large = "x".repeat(50 * 1024 * 1024);
        for (text, slug) in [
            // The YAML reader's own limit on brackets comes before ours.
            (deep.as_str(), "spec-too-large"),
            (deep_block.as_str(), "spec-too-large"),
            (bomb.as_str(), "spec-too-large"),
            (large.as_str(), "spec-too-large"),
            ("a:\n\tb: 1\n", "not-yaml"),
            ("a: [1\n", "not-yaml"),
            ("a: 1\n---\na: 2\n", "not-yaml"),
            ("a: &r {b: *r}\n", "not-yaml"),
        ] {
            let found = parse(text, &SPEC).map(|_| ()).map_err(|f| f.rule.slug);
            assert_eq!(found, Err(slug), "{}", &text[..text.len().min(40)]);
        }
    }

    #[test]
    fn advice_fits_the_line() {
        let told = |text: &str| {
            let finding = parse(text, &SPEC).map(|_| ()).unwrap_err();
            (finding.message.clone(), finding.help.unwrap_or_default())
        };
        assert!(told("a:\n\tb: 1\n").1.contains("never tabs"));
        assert!(told("a: @b\n").1.contains("needs quotes"));
        assert!(told("a: b: c\n").1.contains("needs quotes"));
        assert!(told("a: [1\nb: 2\n").1.contains("bracket"));
        assert!(told("a: 1\n---\na: 2\n").0.contains("two documents"));
    }

    proptest::proptest! {
        #[test]
        fn spans_lie_inside_the_text(text in "[-a-c:{}\\[\\]&*!|>'\"#%@ \n\té°,0-9.]{0,60}") {
            fn check(node: &Node, text: &str) {
                assert!(text.get(node.span.range()).is_some());
                match &node.kind {
                    NodeKind::List(items) => items.iter().for_each(|n| check(n, text)),
                    NodeKind::Map(entries) => entries.iter().for_each(|(k, v)| {
                        check(k, text);
                        check(v, text);
                    }),
                    _ => {}
                }
            }
            match parse(&text, &SPEC) {
                Ok(node) => check(&node, &text),
                Err(finding) => if let Some(span) = finding.span {
                    assert!(text.get(span.range()).is_some());
                }
            }
        }
    }
}
