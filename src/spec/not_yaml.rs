//! Why a text is no YAML: the slip that the reader stumbled over, which often stands before
//! the place where it gave up, and what to write there.

use super::rules;
use crate::core::budget::{ALIASES, Budget, DEPTH};
use crate::core::finding::Finding;
use crate::core::source::Span;

/// What is wrong where the YAML reader gave up, for somebody who does not know YAML.
pub(super) fn not_yaml(text: &str, error: &serde_yaml::Error, budget: &Budget) -> Finding {
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
            how_to_fix(message, text, at),
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
fn how_to_fix(message: &str, text: &str, place: usize) -> String {
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
