//! Reads a roster from YAML like a spec: every problem at once, each with its place. Rule
//! sets are read by hand, because one may be a word or a group with fields that depend on
//! its word.

use super::roster::Roster;
use super::rule_set::{Choice, HeldRevision, LONGEST_OWN, OWN, PUBLISHED, RuleSet, Rules, WORDS};
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::spec::declare::kinds::{counting_number, procedure_number, text_like};
use crate::spec::declare::{Field, Group, Kind as _, list, nested, optional_list, read_top};
use crate::spec::fields::{Fields, MOST_FIELDS, given_twice};
use crate::spec::node::{Node, NodeKind};
use crate::spec::recovery::read_file;
use crate::spec::schema::values::{any_spelling, word_among};
use crate::spec::schema::{self, Declared, either, keyed, may, must};
use crate::spec::words::{known, nearest};
use crate::spec::{plausible, rules, values};

/// The field with the format version.
pub(crate) const FORMAT: &str = "coldring-fusers";

/// Reads a roster from YAML. Do not evaluate a roster that has errors: it is incomplete.
pub fn decode_yaml(text: &str) -> (Roster, Vec<Finding>) {
    let read = read_file(text, &budget::ROSTER, |root, findings| {
        let top = Fields::open(root, "", Span::default(), findings)?;
        read_top::<Roster>(top, (FORMAT, "the roster is"), findings)
    });
    let (roster, findings) = read.unwrap_or_else(|finding| (None, vec![*finding]));
    (roster.unwrap_or_default(), findings)
}

/// The organization's decisions on specimens of earlier revisions.
fn revisions() -> impl Field<Value = Vec<HeldRevision>> {
    let without = "a specimen counts for the revision it was made by.";
    optional_list(list(nested()).long().named("revisions"), without)
}

impl Group for Rules {
    fn read(fields: &mut Fields<'_>, findings: &mut Vec<Finding>) -> Option<Self> {
        let mut rules = Rules::default();
        let default = fields.optional("default", findings, |node, findings| {
            let rule = rule_set(node, node.span, findings)?;
            Some(Choice::from_roster(None, rule, node.span))
        });
        if let Some(default) = default {
            rules.choose(default);
        }
        let by_procedure = fields.optional("procedures", findings, by_procedure);
        for choice in by_procedure.into_iter().flatten() {
            rules.choose(choice);
        }
        for held in revisions().read("revisions", fields, findings)? {
            rules.add_held_revision(held);
        }
        Some(rules)
    }

    fn declare(to: &mut Vec<Declared>) {
        to.push(may(
            "default",
            "The rule set of every procedure that has none below.",
            "a procedure that is not named below has no rule set, and nobody is listed under it.",
            rule_set_schema(),
        ));
        to.push(may(
            "procedures",
            "Rule sets by the number of the procedure.",
            "default applies to all.",
            keyed(procedure_number().schema(), "NUMBER", rule_set_schema()),
        ));
        let about = "What your organization has decided on specimens made by an earlier revision \
                     of a procedure.";
        revisions().declare("revisions", about, to);
    }
}

/// Rule sets by procedure number.
fn by_procedure(node: &Node, findings: &mut Vec<Finding>) -> Option<Vec<Choice>> {
    let NodeKind::Map(pairs) = &node.kind else {
        findings.push(rules::WRONG_TYPE.at(
            node.span,
            format!(
                "`rules.procedures` is {}; a group by procedure is wanted",
                node.kind_name()
            ),
        ));
        return None;
    };
    if pairs.len() > MOST_FIELDS {
        let message = format!("{} procedures; a roster has few", pairs.len());
        findings.push(rules::SPEC_TOO_LARGE.at(node.span, message));
        return None;
    }
    let mut seen: Vec<Spanned<String>> = Vec::new();
    let mut choices = Vec::new();
    for (key, value) in pairs {
        let Some(procedure) = values::procedure_number(key, findings) else {
            continue;
        };
        if let Some(first) = seen.iter().find(|first| first.value == procedure.value) {
            findings.push(given_twice(&procedure, procedure.span, first.span));
            continue;
        }
        let rule = rule_set(value, key.span, findings);
        choices.extend(rule.map(|rule| Choice::from_roster(Some(&procedure), rule, key.span)));
        seen.push(procedure);
    }
    Some(choices)
}

fn rule_set_schema() -> schema::Value {
    let published = || any_spelling(PUBLISHED.iter().map(|(word, _)| *word));
    let months = counting_number(&plausible::MONTHS).schema();
    let months = months.with("maximum", LONGEST_OWN);
    let named = schema::group([must("rule", "The rule set.", published())]);
    let own = schema::group([
        must(
            "rule",
            "Your organization's own rule set.",
            word_among(OWN, WORDS),
        ),
        must(
            "months",
            "How many months a qualification lasts from the specimen.",
            months,
        ),
        must(
            "source",
            "Where your organization says so.",
            text_like("Operations Manual 7.9").schema(),
        ),
    ]);
    either([published(), own, named])
        .told("One of the words, or {rule: own, months: …, source: …}.")
}

/// A rule set: a word, or a group for the organization's own.
fn rule_set(node: &Node, span: Span, findings: &mut Vec<Finding>) -> Option<RuleSet> {
    let NodeKind::Map(_) = &node.kind else {
        let word = values::scalar(node, findings)?;
        if known(word, [OWN]).is_some() {
            findings.push(
                rules::MISSING_FIELD
                    .at(
                        node.span,
                        "the organization's own rule set needs its months and its source",
                    )
                    .help("write {rule: own, months: 12, source: Operations Manual 7.9}"),
            );
            return None;
        }
        return rule_set_from_word(node, word, findings);
    };
    let mut fields = Fields::open(node, "rules", span, findings)?;
    let rule = fields.required("rule", findings, |node, findings| {
        Some((node, values::scalar(node, findings)?))
    });
    let rule = match rule {
        Some((_, OWN)) => {
            let months = fields.required("months", findings, months);
            let source = fields.required("source", findings, values::text);
            months.zip(source).map(|(months, source)| RuleSet::Own {
                months,
                source: source.value,
            })
        }
        Some((node, word)) => rule_set_from_word(node, word, findings),
        None => None,
    };
    fields.finish(findings);
    rule
}

fn months(node: &Node, findings: &mut Vec<Finding>) -> Option<u32> {
    let months = values::counting_number(&plausible::MONTHS)(node, findings)?;
    if months.value > LONGEST_OWN {
        findings.push(
            rules::NOT_A_QUANTITY
                .at(
                    months.span,
                    format!("{} months is longer than any rule", *months),
                )
                .help(format!("write a whole number from 1 to {LONGEST_OWN}")),
        );
        return None;
    }
    Some(months.value)
}

fn rule_set_from_word(node: &Node, word: &str, findings: &mut Vec<Finding>) -> Option<RuleSet> {
    let name = known(word, PUBLISHED.iter().map(|(name, _)| *name));
    let found = PUBLISHED.iter().find(|(word, _)| Some(*word) == name);
    if found.is_none() {
        let words = WORDS.join(", ");
        let near = nearest(word, &WORDS);
        let near = near.map_or_else(String::new, |near| format!("did you mean '{near}'? "));
        findings.push(
            rules::UNKNOWN_WORD
                .at(node.span, format!("there is no rule set '{word}'"))
                .help(format!("{near}use one of: {words}")),
        );
    }
    found.map(|(_, rule)| rule.clone())
}
