//! `coldring explain`: why a rule exists and how to satisfy it, and the topics
//! that are no rule's own, and every field of each kind of file. A topic that is called like a
//! kind of file ends in its fields.

pub(super) mod fields;
mod topics;

use super::args::ExplainArguments;
use super::documents;
use super::layout::wrap;
use super::{ExitStatus, RunResult, print};
use crate::authoring::rule_index;
use crate::authoring::schema::Kind;
use crate::core::finding::Rule;
use crate::spec::nearest;
use topics::topics;

/// Explains one rule or topic, or lists all.
pub(crate) fn run(arguments: &ExplainArguments) -> RunResult {
    if let Some(name) = &arguments.json {
        print(&documents::explain(name.as_deref())?);
    } else if let Some(name) = &arguments.name {
        print(&match &arguments.field {
            Some(field) => explain_field(name, field)?,
            None => explain(name)?,
        });
    } else {
        print(&list());
    }
    Ok(ExitStatus::Clean)
}

fn explain(name: &str) -> Result<String, String> {
    if let Some(rule) = rule_index::rules().find(|rule| rule.slug == name) {
        return Ok(page(rule));
    }
    let topic = topics().find(|topic| topic.name == name);
    let kind = Kind::ALL.into_iter().find(|kind| kind.word() == name);
    if topic.is_some() || kind.is_some() {
        let shown = [topic.map(|topic| topic.shown()), kind.map(fields::page)];
        let shown: Vec<_> = shown.into_iter().flatten().collect();
        return Ok(shown.join("\n"));
    }
    let near = nearest(name, &names())
        .map(|near| format!("did you mean '{near}'? "))
        .unwrap_or_default();
    Err(format!(
        "there is no rule or topic '{name}'; {near}`coldring explain` lists all"
    ))
}

/// One field of a kind of file, with the fields inside it.
fn explain_field(name: &str, field: &str) -> Result<String, String> {
    let kind = Kind::ALL.into_iter().find(|kind| kind.word() == name);
    let Some(kind) = kind else {
        let words = Kind::ALL.map(Kind::word).join(", ");
        return Err(format!(
            "a field belongs to a kind of file: {words}; as in coldring explain spec {field}"
        ));
    };
    fields::one(kind, field)
}

/// The names of all rules, topics and kinds of file, each once.
pub(crate) fn names() -> Vec<&'static str> {
    let rules = rule_index::rules().map(|rule| rule.slug);
    let named = topics().map(|topic| topic.name);
    let kinds = Kind::ALL.into_iter().map(Kind::word);
    let kinds = kinds.filter(|kind| topics().all(|topic| topic.name != *kind));
    rules.chain(named).chain(kinds).collect()
}

/// The rules, then the topics, which a terminal still shows.
fn list() -> String {
    let rules = rule_index::rules;
    let widest = rules().map(|rule| rule.slug.len()).max().unwrap_or(0);
    let mut text = String::from(
        "One rule:   coldring explain missing-unit\n\
         One topic:  coldring explain trouble\n\
         One field:  coldring explain spec tools.cold_rings\n\n\
         Rules:\n",
    );
    for rule in rules() {
        text.push_str(&format!(
            "{:widest$}  {:7}  {}\n",
            rule.slug,
            rule.severity.word(),
            rule.summary
        ));
    }
    text.push_str("\nTopics:\n");
    let widest = topics().map(|topic| topic.name.len()).max().unwrap_or(0);
    for topic in topics() {
        text.push_str(&format!("{:widest$}  {}\n", topic.name, topic.title()));
    }
    text.push_str("\nFiles, field by field:\n");
    let widest = Kind::ALL.map(|kind| kind.word().len()).into_iter().max();
    let widest = widest.unwrap_or(0);
    for kind in Kind::ALL {
        text.push_str(&format!("{:widest$}  {}\n", kind.word(), kind.about()));
    }
    text
}

fn page(rule: &Rule) -> String {
    let indented = |text: &str| {
        text.lines()
            .map(|line| format!("    {line}\n"))
            .collect::<String>()
    };
    let dated = if rule.dated {
        "\nIt depends on today's date, so it is not printed on papers.\n"
    } else {
        ""
    };
    format!(
        "{} ({})\n\n{}\n\nWhy\n{}\nExample\n{}\nTo fix it\n{}{dated}",
        rule.slug,
        rule.severity.word(),
        rule.summary,
        wrap("    ", "    ", 80, rule.why),
        indented(rule.example),
        wrap("    ", "    ", 80, rule.fix),
    )
}
