//! Reads groups of fields: each field once, by name, and every field that is
//! left over is reported with the name it was probably meant to have.

use super::node::{Node, NodeKind};
use super::not_yaml::is_field_without_space;
use super::rules;
use super::scalar;
use super::sizes;
use super::words::nearest;
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};

/// Where a value stands: the group around it, its own name, and its key.
#[derive(Debug, Clone, Copy)]
pub(crate) struct At<'a> {
    /// Dotted name of the group; empty at the top.
    pub(crate) group: &'a str,
    /// Name of the field.
    pub(crate) name: &'a str,
    /// The place of the key.
    pub(crate) key: Span,
}

impl At<'_> {
    /// The dotted name, for messages.
    pub(crate) fn path(&self) -> String {
        match self.group {
            "" => self.name.to_owned(),
            group => format!("{group}.{}", self.name),
        }
    }
}

/// A group of named fields being read.
pub(crate) struct Fields<'n> {
    /// Dotted name of the group, for messages; empty at the top.
    name: String,
    /// Where the group stands: its key, or its first character.
    pub(crate) span: Span,
    entries: Vec<(&'n str, Span, &'n Node)>,
    known: Vec<&'static str>,
    /// Those that must be given.
    needed: Vec<&'static str>,
    /// Groups inside this one whose fields are read with its own; none of one that
    /// could not be opened.
    inner: Vec<(&'static str, Option<Fields<'n>>)>,
}

/// Most fields a group may have; none has half as many. Looking for repeated fields takes
/// time that grows with their square.
pub(crate) const MOST_FIELDS: usize = 100;

/// A text longer than this is not written out again as a list.
const LONG_ITEM: usize = 40;

/// What the trade also calls a field, too far from its name to be a slip of the pen.
const ALSO_CALLED: &[(&str, &str)] = &[
    ("dr", "dimension_ratio"),
    ("sdr", "dimension_ratio"),
    ("temperature", "set_point"),
    ("gauges", "depth_gauges"),
    ("rings", "cold_rings"),
    ("rating", "melts"),
];

impl<'n> Fields<'n> {
    /// Opens `node` as a group called `name`, whose key stands at `span`.
    /// Nothing at all (`field:`) is an empty group.
    pub(crate) fn open(
        node: &'n Node,
        name: impl Into<String>,
        span: Span,
        findings: &mut Vec<Finding>,
    ) -> Option<Self> {
        let name = name.into();
        let mut entries: Vec<(&str, Span, &Node)> = Vec::new();
        match &node.kind {
            NodeKind::Null => {}
            NodeKind::Map(pairs) if pairs.len() > MOST_FIELDS => {
                let message = format!("a group of {} fields; none has that many", pairs.len());
                findings.push(match span.range().is_empty() {
                    true => rules::SPEC_TOO_LARGE.about_file(message),
                    false => rules::SPEC_TOO_LARGE.at(span, message),
                });
                return None;
            }
            NodeKind::Map(pairs) => {
                for (key, value) in pairs {
                    let Some(text) = scalar::scalar(key, findings) else {
                        continue;
                    };
                    match entries.iter().find(|(name, ..)| *name == text) {
                        Some((_, first, _)) => {
                            findings.push(given_twice(text, key.span, *first));
                        }
                        None => entries.push((text, key.span, value)),
                    }
                }
            }
            _ => {
                let what = match name.as_str() {
                    "" => "the file".to_owned(),
                    name => format!("`{name}`"),
                };
                let without_space = matches!(
                    &node.kind,
                    NodeKind::Scalar(text) if is_field_without_space(text)
                );
                let place = match span == Span::default() || without_space {
                    true => node.span,
                    false => span,
                };
                let message = format!(
                    "{what} is {}; a group of fields is wanted",
                    node.kind_name()
                );
                let finding = if place.range().is_empty() {
                    rules::WRONG_TYPE.about_file(message)
                } else {
                    rules::WRONG_TYPE.at(place, message)
                };
                let help = match without_space {
                    true => "put a space after each colon, as in `field: value`",
                    false => "write `field: value` lines below it, indented, or {field: value}",
                };
                findings.push(finding.help(help));
                return None;
            }
        }
        Some(Self {
            name,
            span,
            entries,
            known: Vec::new(),
            needed: Vec::new(),
            inner: Vec::new(),
        })
    }

    /// A group inside this one that is not given, as an empty one.
    pub(crate) fn none(&self, field: &str) -> Self {
        Self {
            name: self.path(field),
            span: self.span,
            entries: Vec::new(),
            known: Vec::new(),
            needed: Vec::new(),
            inner: Vec::new(),
        }
    }

    /// The dotted name of a field of this group.
    pub(crate) fn path(&self, field: &str) -> String {
        if self.name.is_empty() {
            field.to_owned()
        } else {
            format!("{}.{field}", self.name)
        }
    }

    /// The node of a field and the place of its key, if the field is given.
    pub(crate) fn take(&mut self, field: &'static str) -> Option<(&'n Node, Span)> {
        self.know(field);
        self.entries
            .iter()
            .find(|(name, ..)| *name == field)
            .map(|(_, span, node)| (*node, *span))
    }

    fn know(&mut self, field: &'static str) {
        if !self.known.contains(&field) {
            self.known.push(field);
        }
    }

    /// The node of a field and where it stands, if it is given.
    pub(crate) fn take_at(&mut self, field: &'static str) -> Option<(&'n Node, At<'_>)> {
        let (node, key) = self.take(field)?;
        let (group, name) = (self.name.as_str(), field);
        Some((node, At { group, name, key }))
    }

    /// The same, unless there is nothing in it, which is reported.
    pub(crate) fn take_value(
        &mut self,
        field: &'static str,
        findings: &mut Vec<Finding>,
    ) -> Option<(&'n Node, At<'_>)> {
        let help = match self.needed.contains(&field) {
            true => "write its value after the colon; it cannot be left out",
            false => "give it a value, or leave the line out",
        };
        let (node, at) = self.take_at(field)?;
        if matches!(node.kind, NodeKind::Null) {
            findings.push(
                rules::MISSING_FIELD
                    .at(at.key, format!("`{}` has no value", at.path()))
                    .help(help),
            );
            return None;
        }
        Some((node, at))
    }

    /// Reports a field that is missing.
    pub(crate) fn need(&mut self, field: &'static str, findings: &mut Vec<Finding>) {
        self.needed.push(field);
        if !self.has(field) {
            self.know(field);
            let path = self.path(field);
            let help = match self.name.as_str() {
                "" => format!("add it at the top, with its line at the left margin: `{field}:`"),
                group => format!("add `{field}:` with its value to `{group}`"),
            };
            let message = format!("`{path}` is missing");
            let finding = rules::MISSING_FIELD.at(self.span, message).help(help);
            findings.push(finding.saying("field", path));
        }
    }

    /// A needed group inside this one whose fields are read with its own.
    pub(crate) fn inner(
        &mut self,
        field: &'static str,
        findings: &mut Vec<Finding>,
    ) -> Option<&mut Fields<'n>> {
        let known = self.inner.iter().position(|(name, _)| *name == field);
        let at = match known {
            Some(at) => at,
            None => {
                self.need(field, findings);
                let opened = self.group(field, findings);
                self.inner.push((field, opened));
                self.inner.len() - 1
            }
        };
        self.inner.get_mut(at)?.1.as_mut()
    }

    pub(crate) fn has(&self, field: &str) -> bool {
        self.entries.iter().any(|(name, ..)| *name == field)
    }

    /// A field that may be left out.
    pub(crate) fn optional<T>(
        &mut self,
        field: &'static str,
        findings: &mut Vec<Finding>,
        read: impl FnOnce(&'n Node, &mut Vec<Finding>) -> Option<T>,
    ) -> Option<T> {
        let (node, _) = self.take_value(field, findings)?;
        read(node, findings)
    }

    /// A field that must be given.
    pub(crate) fn required<T>(
        &mut self,
        field: &'static str,
        findings: &mut Vec<Finding>,
        read: impl FnOnce(&'n Node, &mut Vec<Finding>) -> Option<T>,
    ) -> Option<T> {
        self.need(field, findings);
        self.optional(field, findings, read)
    }

    /// A group inside this one that may be left out.
    pub(crate) fn group(
        &mut self,
        field: &'static str,
        findings: &mut Vec<Finding>,
    ) -> Option<Fields<'n>> {
        let (node, span) = self.take(field)?;
        Fields::open(node, self.path(field), span, findings)
    }

    /// The field that names the format of a file; `subject` is what the file is,
    /// with its verb, for the message.
    pub(crate) fn format_one(
        &mut self,
        field: &'static str,
        subject: &str,
        findings: &mut Vec<Finding>,
    ) {
        if !self.has(field) {
            self.know(field);
            let first = format!("{field}: 1");
            let message = format!("`{field}` is missing");
            let finding = rules::MISSING_FIELD.at(self.span, message);
            let finding = finding.help(format!("write `{first}` as the first line"));
            findings.push(match self.entries.first() {
                Some((_, key, _)) => {
                    finding.edit(Span::new(key.start, key.start), format!("{first}\n"))
                }
                None => finding,
            });
            return;
        }
        let version = self.required(field, findings, scalar::text);
        if let Some(version) = version.filter(|version| version.value != "1") {
            let said = format!(
                "{subject} in format '{}'; this program reads format 1",
                version.value
            );
            let finding = rules::FORMAT_VERSION.at(version.span, said);
            let finding = finding.help(format!("write `{field}: 1`"));
            findings.push(match version.value.as_str() {
                "1.0" => finding.edit(version.span, "1"),
                _ => finding,
            });
        }
    }

    /// Reports the fields nobody asked for. One that must be a field not given
    /// otherwise is read under that field's name, once the rest is read.
    pub(crate) fn finish(mut self, findings: &mut Vec<Finding>) {
        for (_, group) in std::mem::take(&mut self.inner) {
            group.into_iter().for_each(|group| group.finish(findings));
        }
        let has_name = !self.name.is_empty();
        let place = match has_name {
            true => format!("`{}`", self.name),
            false => "the file".to_owned(),
        };
        let (mut open, given): (Vec<_>, Vec<_>) = self
            .known
            .iter()
            .copied()
            .partition(|known| !self.has(known));
        for (name, span, value) in &self.entries {
            if given.contains(name) {
                continue;
            }
            let finding = rules::UNKNOWN_FIELD
                .at(*span, format!("{place} has no field '{name}'"))
                .saying("field", *name)
                .saying("group", self.name.clone());
            let nothing = matches!(value.kind, NodeKind::Null);
            let joined = name.split_once(':').filter(|_| nothing);
            let (field, rest) = joined.unwrap_or((name, ""));
            if let Some(meant) = meant(field, &open) {
                open.retain(|known| *known != meant);
                let mut finding = match joined {
                    Some(_) => {
                        let spaced = format!("{meant}: {}", rest.trim());
                        let help = format!("put a space after the colon: `{spaced}`");
                        finding.help(help).edit(*span, spaced)
                    }
                    None => finding
                        .help(format!("did you mean `{meant}`?"))
                        .edit(*span, meant),
                };
                finding.meant = Some(meant);
                findings.push(finding);
                continue;
            }
            findings.push(match meant(field, &given) {
                Some(near) => finding.help(format!(
                    "`{near}` is given already: keep the one that is meant and delete the other"
                )),
                // The whole file stands in no braces.
                None if has_name && nothing => finding.help(format!(
                    "a text with a comma in it is put in quotes; as a field, `{}` has: {}",
                    self.name,
                    self.known.join(", ")
                )),
                None => finding.help(format!("it has: {}", self.known.join(", "))),
            });
        }
    }
}

/// The one of these fields that was meant by a name nobody asked for.
fn meant(name: &str, fields: &[&'static str]) -> Option<&'static str> {
    let plain = name.trim().to_lowercase().replace([' ', '-'], "_");
    let other = ALSO_CALLED.iter().find(|(other, _)| *other == plain);
    let other = other.and_then(|(_, field)| fields.iter().find(|known| *known == field));
    nearest(&plain, fields).or(other.copied())
}

/// Says that reading stops here, since there is too much to fix.
pub(crate) fn too_many(at: Span) -> Finding {
    rules::SPEC_TOO_LARGE
        .at(
            at,
            format!(
                "there were {} findings up to here, and the rest was not read",
                budget::FINDINGS
            ),
        )
        .help("check that the right file was given, and fix the first ones")
}

/// Says that `what`, given at `first`, is given again at `second`.
pub(crate) fn given_twice(what: &str, second: Span, first: Span) -> Finding {
    rules::DUPLICATE_KEY
        .at(second, format!("'{what}' is given a second time"))
        .related(first, "it is given here first")
        .help("keep the one that is meant and delete the other")
}

/// Says that a list has nothing in it, where it must have something.
pub(crate) fn not_empty(node: &Node, what: &str, help: &str, findings: &mut Vec<Finding>) {
    if matches!(&node.kind, NodeKind::List(items) if items.is_empty()) {
        let finding = rules::MISSING_FIELD.at(node.span, what);
        findings.push(match help {
            "" => finding,
            help => finding.help(help),
        });
    }
}

/// A list of values, or one value alone.
pub(crate) fn one_or_list<'n, T>(
    node: &'n Node,
    findings: &mut Vec<Finding>,
    read: impl FnMut(&'n Node, &mut Vec<Finding>) -> Option<T>,
) -> Vec<T> {
    if let NodeKind::List(items) = &node.kind
        && let Some(first_too_many) = items.get(budget::ENTRIES)
    {
        findings.push(list_too_long(items.len(), first_too_many.span));
        return Vec::new();
    }
    one_or_long_list(node, findings, read)
}

/// Says that a list, or a group by size, has more entries than papers take.
fn list_too_long(entries: usize, at: Span) -> Finding {
    let most = budget::ENTRIES;
    rules::LIST_TOO_LONG
        .at(
            at,
            format!(
                "there are {entries} entries here, {} too many",
                entries.saturating_sub(most)
            ),
        )
        .help(format!(
            "keep up to {most}; give what is of other sizes or another job a spec of its own"
        ))
}

/// The same for a list that grows with a crew or with the tables, and not with the
/// papers.
pub(crate) fn one_or_long_list<'n, T>(
    node: &'n Node,
    findings: &mut Vec<Finding>,
    mut read: impl FnMut(&'n Node, &mut Vec<Finding>) -> Option<T>,
) -> Vec<T> {
    match &node.kind {
        NodeKind::List(items) => {
            let mut values = Vec::new();
            for item in items {
                if findings.len() >= budget::FINDINGS {
                    findings.push(too_many(item.span));
                    break;
                }
                values.extend(read(item, findings));
            }
            values
        }
        _ => read(node, findings).into_iter().collect(),
    }
}

/// A list of values that grows with a crew or with the tables.
pub(crate) fn long_list<'n, T>(
    node: &'n Node,
    findings: &mut Vec<Finding>,
    read: impl FnMut(&'n Node, &mut Vec<Finding>) -> Option<T>,
) -> Option<Vec<T>> {
    if matches!(node.kind, NodeKind::List(_)) {
        return Some(one_or_long_list(node, findings, read));
    }
    list(node, findings, read)
}

/// A list of values.
pub(crate) fn list<'n, T>(
    node: &'n Node,
    findings: &mut Vec<Finding>,
    read: impl FnMut(&'n Node, &mut Vec<Finding>) -> Option<T>,
) -> Option<Vec<T>> {
    if matches!(node.kind, NodeKind::List(_)) {
        return Some(one_or_list(node, findings, read));
    }
    let message = format!("a list is wanted here, not {}", node.kind_name());
    let finding = rules::WRONG_TYPE.at(node.span, message);
    findings.push(match &node.kind {
        NodeKind::Scalar(text) => {
            let finding = finding.help(as_list(text));
            match text.contains(',') || as_list(text) == format!("write [{}]", text.trim()) {
                true => finding.edit(node.span, format!("[{}]", text.trim())),
                false => finding,
            }
        }
        NodeKind::Map(_) => finding.help("begin each entry with `- `, or put it in brackets"),
        _ => finding,
    });
    None
}

/// How a list is written that was given as one text.
fn as_list(text: &str) -> String {
    let text = text.trim();
    let between = [",", ";"]
        .into_iter()
        .find(|between| text.contains(between));
    match between {
        _ if text.starts_with('-') => "put a space after each hyphen of the list".to_owned(),
        Some(between) => {
            let items: Vec<_> = text.split(between).map(str::trim).collect();
            format!(
                "write [{}]; for a text with a comma in it, put each text on a line of its own \
                 that begins with `- `",
                items.join(", ")
            )
        }
        None if text.chars().count() > LONG_ITEM => {
            "put it on a line of its own that begins with `- `".to_owned()
        }
        None => format!("write [{text}]"),
    }
}

/// The entries of a group whose keys are sizes; each size once, however it is spelled.
/// `least` is the least that stands in the braces of a size.
pub(crate) fn sized<'n>(
    node: &'n Node,
    name: &str,
    least: &str,
    findings: &mut Vec<Finding>,
) -> Vec<(Spanned<Size>, &'n Node)> {
    let NodeKind::Map(pairs) = &node.kind else {
        let message = format!(
            "`{name}` is {}; a group by size is wanted",
            node.kind_name()
        );
        let finding = rules::WRONG_TYPE.at(node.span, message);
        let listed: &[Node] = match &node.kind {
            NodeKind::List(items) => items,
            _ => &[],
        };
        let keyed = |size: Size| format!("{size}: {{{least}}}");
        let sizes: Option<Vec<_>> = { listed.iter() }
            .map(|item| match &item.kind {
                NodeKind::Scalar(text) => Size::parse(text).ok().map(keyed),
                _ => None,
            })
            .collect();
        let is_group = |item: &Node| matches!(item.kind, NodeKind::Map(_));
        let help = match sizes.filter(|sizes| !sizes.is_empty()) {
            Some(sizes) => format!("write {{{}}}", sizes.join(", ")),
            None if !listed.is_empty() && listed.iter().all(is_group) => {
                "take the hyphens away: each size is a key, as in `1 IPS:`".to_owned()
            }
            None => format!(
                "write each size with its system and braces: {{1 IPS: {{{least}}}, 1 CTS: {{{least}}}}}"
            ),
        };
        findings.push(finding.help(help));
        return Vec::new();
    };
    if let Some((first_too_many, _)) = pairs.get(budget::ENTRIES) {
        findings.push(list_too_long(pairs.len(), first_too_many.span));
        return Vec::new();
    }
    let mut sized: Vec<(Spanned<Size>, &Node)> = Vec::new();
    for (key, value) in pairs {
        let Some(size) = sizes::size(key, findings) else {
            continue;
        };
        match sized.iter().find(|(first, _)| first.value == size.value) {
            Some((first, _)) => {
                findings.push(given_twice(&size.to_string(), size.span, first.span));
            }
            None => sized.push((size, value)),
        }
    }
    sized
}
