//! `coldring explain`: why a rule exists and how to satisfy it, the topics that are no
//! rule's own, and every field of each kind of file. A topic that is called like a kind
//! of file ends in its fields.

pub(super) mod fields;
mod topics;

use super::ExitStatus;
use super::args::ExplainArguments;
use super::documents;
use crate::authoring::rule_index;
use crate::authoring::schema::Kind;
use crate::core::finding::Rule;
use crate::spec::nearest;
use fields::wrapped;
use topics::topics;

/// Explains one rule or topic, or lists all.
pub fn run(arguments: &ExplainArguments) -> ExitStatus {
    if let Some(name) = &arguments.json {
        return match documents::explain(name.as_deref()) {
            Ok(text) => {
                super::print(&text);
                ExitStatus::Clean
            }
            Err(message) => {
                super::print_error(&message);
                ExitStatus::CouldNotRun
            }
        };
    }
    let rules: Vec<&Rule> = rule_index::rules().collect();
    let Some(asked) = &arguments.name else {
        super::print(&list(&rules));
        return ExitStatus::Clean;
    };
    if let Some(rule) = rules.iter().find(|rule| rule.slug == asked) {
        super::print(&page(rule));
        return ExitStatus::Clean;
    }
    let topic = topics().find(|topic| topic.name == asked);
    let kind = Kind::ALL.into_iter().find(|kind| kind.word() == asked);
    if topic.is_some() || kind.is_some() {
        let shown = [topic.map(|topic| topic.shown()), kind.map(fields::page)];
        let shown: Vec<_> = shown.into_iter().flatten().collect();
        super::print(&shown.join("\n"));
        return ExitStatus::Clean;
    }
    let near = nearest(asked, &names())
        .map(|near| format!("did you mean '{near}'? "))
        .unwrap_or_default();
    super::print_error(&format!(
        "there is no rule or topic '{asked}'; {near}`coldring explain` lists all"
    ));
    ExitStatus::CouldNotRun
}

/// Everything that can be asked for.
pub fn names() -> Vec<&'static str> {
    let rules = rule_index::rules().map(|rule| rule.slug);
    let named = topics().map(|topic| topic.name);
    let kinds = Kind::ALL.into_iter().map(Kind::word);
    let kinds = kinds.filter(|kind| topics().all(|topic| topic.name != *kind));
    rules.chain(named).chain(kinds).collect()
}

/// The rules, and last the topics, where a terminal still shows them.
fn list(rules: &[&Rule]) -> String {
    let widest = rules.iter().map(|rule| rule.slug.len()).max().unwrap_or(0);
    let mut text = String::new();
    for rule in rules {
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
        "\nIt depends on the date it is read, so it never reaches a paper.\n"
    } else {
        ""
    };
    format!(
        "{} ({})\n\n{}\n\nWhy\n{}\nExample\n{}\nTo mend it\n{}{dated}",
        rule.slug,
        rule.severity.word(),
        rule.summary,
        wrapped(rule.why),
        indented(rule.example),
        wrapped(rule.fix),
    )
}
