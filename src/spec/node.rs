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

/// Whether a text is a field whose colon has no space after it: `largest:2 IPS`.
pub(super) fn is_field_without_space(text: &str) -> bool {
    let is_name = |name: &str| {
        !name.is_empty()
            && name
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b"_-".contains(&b))
    };
    let parts = text.split_once(':');
    parts.is_some_and(|(name, rest)| {
        is_name(name)
            && !rest.starts_with(char::is_whitespace)
            && !rest.is_empty()
            && !rest.starts_with("//")
    })
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

fn not_yaml(text: &str, error: &serde_yaml::Error, budget: &Budget) -> Finding {
    let Budget { nodes, what, .. } = *budget;
    let place = error.location().map(|location| {
        let (start, width) = text
            .char_indices()
            .nth(usize::try_from(location.span().offset()).unwrap_or(usize::MAX))
            .map_or((text.len(), 0), |(byte, c)| (byte, c.len_utf8()));
        Span::new(start, start + width)
    });
    if !is_over_budget(error)
        && let Some(place) = place
        && let Some(finding) =
            without_space(text, place.start).or_else(|| other_mark(text, place.start))
    {
        return finding;
    }
    let (rule, message, help) = if is_over_budget(error) {
        (
            &rules::SPEC_TOO_LARGE,
            format!("from here on the file has more in it than {what} can have"),
            format!(
                "{what} may be nested {DEPTH} levels deep and have {nodes} values, \
                 aliases written out, and {ALIASES} aliases"
            ),
        )
    } else if let serde_yaml::Error::MultipleDocuments { .. } = error.without_snippet() {
        (
            &rules::NOT_YAML,
            format!("the file holds two documents; {what} is one"),
            "take the line `---` between them out, or give each its own file".to_owned(),
        )
    } else if let serde_yaml::Error::RecursiveReferencesRequireWeakTypes { .. } =
        error.without_snippet()
    {
        (
            &rules::NOT_YAML,
            "an alias stands inside the very value that it repeats".to_owned(),
            "write the value out in the place of the alias, which begins with `*`".to_owned(),
        )
    } else {
        // The place is given as a span; the reader's own words repeat it.
        let message = error.without_snippet().to_string();
        let message = message.split(" at line ").next().unwrap_or(&message);
        let at = place.map_or(text.len(), |place| place.start);
        if let Some(open) = unclosed(text, at).filter(|_| message.contains("parsing a flow")) {
            return not_closed(text, open, at);
        }
        (
            &rules::NOT_YAML,
            in_plain_words(message).to_owned(),
            how_to_mend(message, text, at),
        )
    };
    let finding = match place {
        Some(place) => rule.at(place, message),
        None => rule.about_file(message),
    };
    finding.help(help)
}

/// A field without a space after its colon in the line of `place` or the lines before
/// it: the reader only gives up where the next field begins.
fn without_space(text: &str, place: usize) -> Option<Finding> {
    /// The lines that are looked at, empty ones and remarks not counted.
    const LINES: usize = 3;
    let end = text
        .get(place..)?
        .find('\n')
        .map_or(text.len(), |n| place + n);
    let mut start = end;
    let mut looked_at = 0;
    for line in text.get(..end)?.split_inclusive('\n').rev() {
        start -= line.len();
        let content = line.trim_start();
        let content = content.strip_prefix("- ").map_or(content, str::trim_start);
        let field = content.trim_end();
        if field.is_empty() || field.starts_with('#') {
            continue;
        }
        if is_field_without_space(field) {
            let at = start + (line.len() - content.len());
            let (name, rest) = field.split_once(':')?;
            return Some(
                rules::NOT_YAML
                    .at(
                        Span::new(at, at + field.len()),
                        format!("the colon after `{name}` has no space after it"),
                    )
                    .help(format!("write `{name}: {}`", without_remark(rest)))
                    .edit(Span::new(at + name.len() + 1, at + name.len() + 1), " "),
            );
        }
        looked_at += 1;
        if looked_at == LINES {
            break;
        }
    }
    None
}

/// An equals sign for a colon, or a list's hyphen without its space, in the line of
/// `place` or the few before it: the reader only gives up where the next field begins.
fn other_mark(text: &str, place: usize) -> Option<Finding> {
    /// The lines that are looked at, with empty ones and remarks.
    const LINES: usize = 4;
    let end = text
        .get(place..)?
        .find('\n')
        .map_or(text.len(), |n| place + n);
    let mut start = end;
    for line in text.get(..end)?.split_inclusive('\n').rev().take(LINES) {
        start -= line.len();
        let content = without_remark(line.trim());
        let at = start + (line.len() - line.trim_start().len());
        let span = Span::new(at, at + content.len());
        if content.starts_with('#') {
            continue;
        }
        if let Some((name, value)) = content.split_once(" = ")
            && !name.contains([':', ' '])
        {
            let finding = rules::NOT_YAML.at(span, format!("`{name}` has an equals sign"));
            let right = format!("{name}: {}", value.trim());
            return Some(finding.help(format!("write `{right}`")).edit(span, right));
        }
        if let Some(item) = content.strip_prefix("-{") {
            let finding = rules::NOT_YAML.at(span, "the hyphen of a list has no space after it");
            let right = format!("- {{{item}");
            return Some(
                finding
                    .help(format!("put a space after the hyphen: `{right}`"))
                    .edit(span, right),
            );
        }
    }
    None
}

/// The line that the byte at `place` stands in.
fn line_at(text: &str, place: usize) -> &str {
    let before = text.get(..place).unwrap_or_default();
    let start = before.rfind('\n').map_or(0, |end| end + 1);
    let rest = text.get(start..).unwrap_or_default();
    rest.lines().next().unwrap_or_default()
}

/// What the YAML reader says, for somebody who does not know YAML.
fn in_plain_words(message: &str) -> &str {
    match message {
        _ if message.contains("tabs disallowed") => "this line begins with a tab",
        _ if message.contains("did not find expected key") => {
            "this line does not line up with the lines above it"
        }
        _ if message.contains("trailing content after double-quoted") => {
            "a quote before here is not closed"
        }
        _ if message.contains("mapping values are not allowed") => {
            "a colon stands where no field can begin"
        }
        message => message,
    }
}

/// The advice that fits what the reader says and the lines around the place where it
/// gave up.
fn how_to_mend(message: &str, text: &str, place: usize) -> String {
    let line = line_at(text, place);
    let content = line.trim_start();
    let indent = line.len() - content.len();
    let indentation = line.get(..indent).unwrap_or_default();
    if indentation.contains('\t') {
        return "YAML indents with spaces, never tabs".to_owned();
    }
    let lines_before = text.get(..place).unwrap_or_default().lines().rev();
    if lines_before.take(4).any(|line| line.starts_with('\u{a0}')) {
        return "a line here begins with no-break spaces: indent it with ordinary ones".to_owned();
    }
    let content = without_remark(content);
    let value = content.split_once(": ").map_or(content, |(_, value)| value);
    let value = value.trim();
    let is_flow = value.starts_with(['{', '[', '"']);
    if value.starts_with(['@', '%', '&', '*', '`']) || !is_flow && value.contains(": ") {
        return "a text that starts with @, %, & or * or that contains ': ' needs quotes"
            .to_owned();
    }
    if message.contains("did not find expected key") {
        return "begin it with as many spaces as the other fields of its group".to_owned();
    }
    if message.contains("double-quoted") {
        return "end the text before here with a quote".to_owned();
    }
    if message.contains("mismatched bracket '['") {
        return "close the list with `]`".to_owned();
    }
    if message.contains("mismatched bracket '{'") {
        return "close the group with `}`".to_owned();
    }
    "look here and in the line above for a bracket or a quote that is not closed, a colon or a \
     comma that is missing, and indentation that does not line up"
        .to_owned()
}

/// The brace or bracket that is open at a place.
fn unclosed(text: &str, place: usize) -> Option<(usize, char)> {
    let mut open = Vec::new();
    let (mut quoted, mut remark, mut before) = (None, false, '\n');
    for (at, c) in text.get(..place)?.char_indices() {
        match (quoted, c) {
            _ if remark => remark = c != '\n',
            (Some(quote), c) if quote == c => quoted = None,
            (Some(_), _) => {}
            (None, '"' | '\'') if !before.is_alphanumeric() => quoted = Some(c),
            (None, '#') if before.is_whitespace() => remark = true,
            (None, '{' | '[') => open.push((at, c)),
            (None, '}' | ']') => drop(open.pop()),
            _ => {}
        }
        before = c;
    }
    open.pop()
}

/// The finding about braces or brackets in which the reader gave up at `place`: they
/// are open, or a colon in a text without quotes ended them.
fn not_closed(text: &str, (at, mark): (usize, char), place: usize) -> Finding {
    let in_line = !text.get(at..place).unwrap_or_default().contains('\n');
    if in_line {
        return rules::NOT_YAML
            .at(
                Span::new(place, place),
                "a text in braces or brackets has a colon or a quote in it",
            )
            .help("put the whole text in quotes");
    }
    let (what, closes) = match mark {
        '{' => ("brace", '}'),
        _ => ("bracket", ']'),
    };
    rules::NOT_YAML
        .at(
            Span::new(at, at + mark.len_utf8()),
            format!("the {what} `{mark}` is not closed"),
        )
        .help(format!("write `{closes}` where it ends"))
}

/// The value of a line without the remark after it.
fn without_remark(value: &str) -> &str {
    value.split(" #").next().unwrap_or(value).trim_end()
}

/// Whether the reader gave up because there is too much; inside an alias the
/// reason is wrapped in where the alias stands, and the reader's own limit on
/// brackets is only known by its words.
fn is_over_budget(error: &serde_yaml::Error) -> bool {
    match error.without_snippet() {
        serde_yaml::Error::AliasError { error, .. } => is_over_budget(error),
        serde_yaml::Error::Budget { .. }
        | serde_yaml::Error::AliasReplayLimitExceeded { .. }
        | serde_yaml::Error::AliasReplayStackDepthExceeded { .. } => true,
        other => other.to_string().contains("recursion limit exceeded"),
    }
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
