//! `coldring explain`: why a rule exists and how to satisfy it, and the topics
//! that are no rule's own.

mod topics;

use super::ExitStatus;
use super::args::ExplainArguments;
use super::documents;
use crate::authoring::rule_index;
use crate::core::finding::Rule;
use crate::spec::nearest;
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
    if let Some(topic) = topics().find(|topic| topic.name == asked) {
        super::print(&topic.shown());
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
    rules.chain(topics().map(|topic| topic.name)).collect()
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

/// The text in lines of at most 76 characters, indented.
fn wrapped(text: &str) -> String {
    let mut lines = String::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > 76 {
            lines.push_str(&format!("    {line}\n"));
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    lines + &format!("    {line}\n")
}
