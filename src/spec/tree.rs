//! A tree of groups, lists and values as YAML that a person would write: a
//! group on one line where it fits, quotes only where they are needed.

/// Where a line ends; a value that is longer stands alone on its line.
const WIDTH: usize = 92;

/// A piece of YAML.
pub(crate) enum Tree {
    /// Characters, which the reader gets back as they are.
    Scalar(String),
    List(Vec<Tree>),
    /// A group, in order.
    Group(Vec<(String, Tree)>),
}

impl Tree {
    /// The whole document, with a blank line between its groups.
    pub(crate) fn document(&self) -> String {
        let mut out = String::new();
        let Tree::Group(entries) = self else {
            return out;
        };
        for (key, value) in entries {
            if !out.is_empty() {
                out.push('\n');
            }
            entry(key, value, 0, &mut out);
        }
        out
    }

    fn block(&self, indent: usize, out: &mut String) {
        match self {
            Tree::Scalar(_) => {}
            Tree::Group(entries) => {
                for (key, value) in entries {
                    entry(key, value, indent, out);
                }
            }
            Tree::List(items) => {
                for item in items {
                    list_item(item, indent, out);
                }
            }
        }
    }

    /// On one line.
    fn flow(&self) -> String {
        let joined = |parts: Vec<String>| parts.join(", ");
        match self {
            Tree::Scalar(text) => scalar(text),
            Tree::List(items) => format!("[{}]", joined(items.iter().map(Tree::flow).collect())),
            Tree::Group(entries) => {
                let entry =
                    |(key, value): &(String, Tree)| format!("{}: {}", scalar(key), value.flow());
                format!("{{{}}}", joined(entries.iter().map(entry).collect()))
            }
        }
    }

    /// Whether it holds a group or a list that is not empty.
    pub(crate) fn has_parts(&self) -> bool {
        match self {
            Tree::Scalar(_) => false,
            Tree::List(items) => !items.is_empty(),
            Tree::Group(entries) => !entries.is_empty(),
        }
    }
}

fn list_item(item: &Tree, indent: usize, out: &mut String) {
    let flow = item.flow();
    match item {
        Tree::Group(_) if indent + 2 + flow.chars().count() > WIDTH => {
            let mut block = String::new();
            item.block(indent + 2, &mut block);
            // The dash takes the place of the first line's indent.
            let block = block.trim_start();
            out.push_str(&format!("{:indent$}- {block}", ""));
        }
        _ => out.push_str(&format!("{:indent$}- {flow}\n", "")),
    }
}

fn entry(key: &str, value: &Tree, indent: usize, out: &mut String) {
    let head = format!("{:indent$}{}:", "", scalar(key));
    let flow = value.flow();
    let fits = head.chars().count() + 1 + flow.chars().count() <= WIDTH;
    // The groups at the top are set out, so that their fields stand in a column.
    let set_out = value.has_parts() && (indent == 0 || !fits);
    if set_out {
        out.push_str(&format!("{head}\n"));
        value.block(indent + 2, out);
    } else {
        out.push_str(&format!("{head} {flow}\n"));
    }
}

/// A value without quotes where YAML takes it as it stands, else as JSON writes
/// it, which is YAML too.
pub(crate) fn scalar(text: &str) -> String {
    let plain = text.starts_with(|c: char| c.is_alphanumeric())
        && !text.ends_with(' ')
        && text
            .chars()
            .all(|c| c.is_alphanumeric() || " °%./_-+()".contains(c))
        && !text.eq_ignore_ascii_case("null");
    if plain {
        return text.to_owned();
    }
    // A text can always be written as JSON.
    serde_json::to_string(text).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::spec::node::{Node, NodeKind, parse};
    use proptest::prelude::*;

    fn collect<'n>(node: &'n Node, into: &mut Vec<&'n str>) {
        match &node.kind {
            NodeKind::Null => into.push("(nothing)"),
            NodeKind::Scalar(text) => into.push(text),
            NodeKind::List(items) => items.iter().for_each(|item| collect(item, into)),
            NodeKind::Map(entries) => entries.iter().for_each(|(key, value)| {
                collect(key, into);
                collect(value, into);
            }),
        }
    }

    proptest! {
        /// Whatever stands in a value, as a key or in a list, comes back.
        #[test]
        fn every_text_comes_back(text in "[^\\p{C}]{1,40}") {
            let scalar = || Tree::Scalar(text.clone());
            let tree = Tree::Group(vec![
                ("value".to_owned(), scalar()),
                ("group".to_owned(), Tree::Group(vec![(text.clone(), Tree::List(vec![scalar()]))])),
            ]);
            let written = tree.document();
            let root = parse(&written, &crate::core::budget::SPEC).unwrap();
            let mut found = Vec::new();
            collect(&root, &mut found);
            let text = text.as_str();
            prop_assert_eq!(found, ["value", text, "group", text, text], "{}", written);
        }
    }

    #[test]
    fn words_that_yaml_takes_for_something_else_are_quoted() {
        for text in [
            "null", "~", "", "- a", "a: b", "a #b", "[x", "*a", "&a", "!t", "@", "a,b",
        ] {
            assert!(scalar(text).starts_with('"'), "{text}");
        }
        for text in [
            "500 °F",
            "1-1/4 IPS",
            "49 CFR 192.283",
            "to be measured",
            "no",
        ] {
            assert_eq!(scalar(text), text);
        }
    }
}
