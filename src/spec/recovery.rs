//! Makes one slip one finding. A misspelled field, a colon without its space,
//! or a merge key is reported, and the file is then read again as if it had
//! been written correctly, so nothing the field holds goes missing and no rule
//! reports it a second time.

use std::collections::{HashMap, HashSet};

use super::node::{self, Node, NodeKind};
use super::rules;
use crate::core::budget::{Budget, DEPTH};
use crate::core::finding::{Finding, each_once};
use crate::core::size::Size;
use crate::core::source::Span;

/// Reads a text as YAML, then with `read`, as often as slips are found that can be
/// passed over; gives what was read and every finding.
///
/// # Errors
/// The one finding of a text that is not YAML or exceeds its budget.
pub(crate) fn read_file<T>(
    text: &str,
    budget: &Budget,
    read: impl Fn(&Node, &mut Vec<Finding>) -> T,
) -> Result<(T, Vec<Finding>), Box<Finding>> {
    let findings_after = |finding: &Finding| {
        let edited = finding.edited(text)?;
        Some(read_edited(&edited, budget, &read).ok()?.1.len())
    };
    let (value, mut findings) = match read_edited(text, budget, &read) {
        Ok(read) => read,
        Err(mut finding) => {
            if findings_after(&finding).is_none() {
                finding.edits.clear();
            }
            return Err(finding);
        }
    };
    let before = findings.len();
    let with_edits = findings.iter_mut().filter(|f| !f.edits.is_empty());
    for (tried, finding) in with_edits.enumerate() {
        // An edit is offered only if the file reads better with it.
        let helps = tried < MOST_EDITS && findings_after(finding).is_some_and(|n| n < before);
        if !helps {
            finding.edits.clear();
        }
    }
    Ok((value, findings))
}

/// Most edits of one file that are tried, since each takes a reading of it.
const MOST_EDITS: usize = 50;

/// The same without a trial of the edits.
fn read_edited<T>(
    text: &str,
    budget: &Budget,
    read: impl Fn(&Node, &mut Vec<Finding>) -> T,
) -> Result<(T, Vec<Finding>), Box<Finding>> {
    let mut root = node::parse(text, budget)?;
    let mut found = Vec::new();
    tidy(&mut root, &mut found);
    // A field may be misspelled in each of the groups around another.
    for _ in 0..DEPTH {
        let mut findings = Vec::new();
        let value = read(&root, &mut findings);
        let renamed: HashMap<Span, &str> = findings
            .iter()
            .filter_map(|finding| Some((finding.span?, finding.meant?)))
            .collect();
        if renamed.is_empty() || rename(&mut root, &renamed) == 0 {
            found.extend(findings);
            return Ok((value, each_once(found)));
        }
        found.extend(findings.into_iter().filter(|f| f.meant.is_some()));
    }
    let value = read(&root, &mut found);
    Ok((value, each_once(found)))
}

/// Gives the keys at these places the names that were meant; how many there were.
fn rename(node: &mut Node, renamed: &HashMap<Span, &str>) -> usize {
    match &mut node.kind {
        NodeKind::Null | NodeKind::Scalar(_) => 0,
        NodeKind::List(items) => items.iter_mut().map(|item| rename(item, renamed)).sum(),
        NodeKind::Map(entries) => {
            let each = entries.iter_mut().map(|(key, value)| {
                let meant = renamed.get(&key.span);
                usize::from(meant.is_some_and(|meant| give_name(key, value, meant)))
                    + rename(value, renamed)
            });
            each.sum()
        }
    }
}

/// Gives a key the name that was meant; whether it had another.
fn give_name(key: &mut Node, value: &mut Node, meant: &str) -> bool {
    let NodeKind::Scalar(written) = &mut key.kind else {
        return false;
    };
    if written == meant {
        return false;
    }
    // `depth:0.71 in` is the name and the value in one.
    if let (NodeKind::Null, Some((_, rest))) = (&value.kind, written.split_once(':')) {
        value.kind = NodeKind::Scalar(rest.to_owned());
        value.span = key.span;
    }
    meant.clone_into(written);
    true
}

/// Puts together what a comma took apart in braces, and takes in what merge keys name.
fn tidy(node: &mut Node, findings: &mut Vec<Finding>) {
    match &mut node.kind {
        NodeKind::Null | NodeKind::Scalar(_) => {}
        NodeKind::List(items) => items.iter_mut().for_each(|item| tidy(item, findings)),
        NodeKind::Map(entries) => {
            join_decimals(entries);
            join_texts(entries, findings);
            merge(entries, findings);
            for (_, value) in entries {
                tidy(value, findings);
            }
        }
    }
}

/// In `{depth: 0,71 in}` YAML sees a depth of 0 and a field `71 in` without a value.
fn join_decimals(entries: &mut Vec<(Node, Node)>) {
    let mut joined: Vec<(Node, Node)> = Vec::with_capacity(entries.len());
    for (key, value) in entries.drain(..) {
        if let (Some((_, before)), NodeKind::Scalar(rest), NodeKind::Null) =
            (joined.last_mut(), &key.kind, &value.kind)
            && let NodeKind::Scalar(digits) = &mut before.kind
            && digits.bytes().all(|byte| byte.is_ascii_digit())
            && rest.starts_with(|c: char| c.is_ascii_digit())
            && before.span.end + 1 == key.span.start
        {
            *digits = format!("{digits},{rest}");
            before.span = Span::new(before.span.start, key.span.end);
            continue;
        }
        joined.push((key, value));
    }
    *entries = joined;
}

/// In `{source: caliper, 2026-10-28}` YAML sees a source and a field `2026-10-28`
/// without a value. What cannot be the name of a field is part of the text before it.
fn join_texts(entries: &mut Vec<(Node, Node)>, findings: &mut Vec<Finding>) {
    /// How far a comma and a space take the next part.
    const COMMA: std::ops::RangeInclusive<usize> = 1..=3;
    let is_name = |text: &str| {
        let mut letters = text.chars();
        letters.all(|c| c.is_ascii_alphabetic() || c == '_') || text.contains(':')
    };
    let mut whole: Vec<(Node, Node)> = Vec::with_capacity(entries.len());
    let mut joined: Vec<usize> = Vec::new();
    for (key, value) in entries.drain(..) {
        if let (Some((_, before)), NodeKind::Scalar(rest), NodeKind::Null) =
            (whole.last_mut(), &key.kind, &value.kind)
            && !is_name(rest)
            && let NodeKind::Scalar(text) = &mut before.kind
            && COMMA.contains(&key.span.start.saturating_sub(before.span.end))
        {
            *text = format!("{text}, {rest}");
            before.span = Span::new(before.span.start, key.span.end);
            let at = whole.len() - 1;
            if joined.last() != Some(&at) {
                joined.push(at);
            }
            continue;
        }
        whole.push((key, value));
    }
    for (_, value) in joined.into_iter().filter_map(|at| whole.get(at)) {
        let NodeKind::Scalar(text) = &value.kind else {
            continue;
        };
        // Sizes are a list without its brackets, which their reader says.
        if text.split(',').all(|part| Size::parse(part).is_ok()) {
            continue;
        }
        let text = text.replace(['“', '”'], "");
        // A text can always be written as JSON.
        let quoted = serde_json::to_string(&text).unwrap_or_default();
        findings.push(
            rules::UNKNOWN_FIELD
                .at(
                    value.span,
                    "a text with a comma in it stands in braces without quotes",
                )
                .help(format!("write {quoted}"))
                .edit(value.span, quoted),
        );
    }
    *entries = whole;
}

/// Most fields that are named in a finding.
const SHOWN: usize = 12;

/// Takes in the fields of merge keys, which are not read: whoever looks at a group
/// must see all of it.
fn merge(entries: &mut Vec<(Node, Node)>, findings: &mut Vec<Finding>) {
    fn name(key: &Node) -> Option<&str> {
        match &key.kind {
            NodeKind::Scalar(text) => Some(text.as_str()),
            _ => None,
        }
    }
    let is_merge = |(key, _): &(Node, Node)| name(key) == Some("<<");
    if !entries.iter().any(is_merge) {
        return;
    }
    let (merged, mut own): (Vec<_>, Vec<_>) = entries.drain(..).partition(is_merge);
    let mut given: HashSet<String> = own
        .iter()
        .filter_map(|(key, _)| name(key))
        .map(str::to_owned)
        .collect();
    for (key, value) in merged {
        let groups = match value.kind {
            NodeKind::List(items) => items,
            _ => vec![value],
        };
        let fields = groups.into_iter().filter_map(|group| match group.kind {
            NodeKind::Map(fields) => Some(fields),
            _ => None,
        });
        let mut names = Vec::new();
        for (field, value) in fields.flatten() {
            let Some(text) = name(&field).map(str::to_owned) else {
                continue;
            };
            if given.insert(text.clone()) {
                names.push(format!("`{text}`"));
                own.push((field, value));
            }
        }
        let help = match names.as_slice() {
            [] => "take the line out".to_owned(),
            names => {
                let shown = names.iter().take(SHOWN).map(String::as_str);
                let shown: Vec<_> = shown.collect();
                format!("write out here what it stands for: {}", shown.join(", "))
            }
        };
        findings.push(
            rules::UNKNOWN_FIELD
                .at(
                    key.span,
                    "`<<` takes in fields from elsewhere, which a spec cannot do",
                )
                .help(help),
        );
    }
    *entries = own;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::core::budget::SPEC;
    use crate::spec::fields::Fields;
    use crate::spec::{plausible, values};

    type Read = (Option<String>, Option<String>);

    /// A group with the fields `depth` and `source` in one called `gauge`.
    fn read(text: &str) -> (Read, Vec<(&'static str, String)>) {
        let (value, findings) = read_file(text, &SPEC, |root, findings| {
            let mut top = Fields::open(root, "", Span::default(), findings)?;
            top.need("gauge", findings);
            let gauge = top.group("gauge", findings);
            top.finish(findings);
            let mut gauge = gauge?;
            let depth = gauge.required("depth", findings, values::length(&plausible::DEPTH));
            let source = gauge.optional("source", findings, values::text);
            gauge.finish(findings);
            Some((depth.map(|d| d.text), source.map(|s| s.value)))
        })
        .unwrap();
        let told = findings.iter().map(|f| (f.rule.slug, place(f, text)));
        (value.unwrap_or_default(), told.collect())
    }

    fn place(finding: &Finding, text: &str) -> String {
        text[finding.span.unwrap().range()].to_owned()
    }

    fn both() -> Read {
        (Some("0.71 in".to_owned()), Some("caliper".to_owned()))
    }

    #[test]
    fn a_misspelled_field_is_read_and_reported_once() {
        for (text, at) in [
            ("gauge: {depht: 0.71 in, source: caliper}", vec!["depht"]),
            ("gaige: {depth: 0.71 in, source: caliper}", vec!["gaige"]),
            (
                "gaige: {depht: 0.71 in, sorce: caliper}",
                vec!["gaige", "depht", "sorce"],
            ),
            (
                "gauge: {depth:0.71 in, source: caliper}",
                vec!["depth:0.71 in"],
            ),
        ] {
            let (value, mut found) = read(text);
            found.sort();
            let mut expected: Vec<_> = at
                .iter()
                .map(|at| ("unknown-field", (*at).to_owned()))
                .collect();
            expected.sort();
            assert_eq!((value, found), (both(), expected), "{text}");
        }
    }

    #[test]
    fn a_field_that_is_there_already_is_not_given_another_value() {
        let (value, found) = read("gauge: {depth: 0.71 in, depht: 0.8 in, source: caliper}");
        assert_eq!(value, both());
        assert_eq!(found, [("unknown-field", "depht".to_owned())]);
    }

    #[test]
    fn what_a_merge_key_stands_for_is_not_missing() {
        let text = "a: &a {depth: 0.71 in}\ngauge: {<<: *a, source: caliper}";
        let (value, found) = read(text);
        assert_eq!(value, both());
        let expected = ["a", "<<"].map(|at| ("unknown-field", at.to_owned()));
        assert!(
            expected.iter().all(|e| found.contains(e)) && found.len() == 2,
            "{found:?}"
        );
    }

    #[test]
    fn a_comma_in_a_number_is_one_slip() {
        let (_, found) = read("gauge: {depth: 0,71 in, source: caliper}");
        assert_eq!(found, [("not-a-quantity", "0,71 in".to_owned())]);
    }
}
