//! A roster written as YAML, read as a spec is: every problem at once, each at
//! its place.

use std::collections::HashMap;

use super::roster::{FailedJoint, FoundBy, Fuser, Qualification, Roster, Specimen, SpecimenResult};
use super::rule_set::{Choice, HeldRevision, LONGEST_OWN, OWN, PUBLISHED, RuleSet, Rules, WORDS};
use super::{language, rules as roster_rules};
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::spec::fields::{Fields, given_twice, long_list, one_or_long_list};
use crate::spec::node::{Node, NodeKind};
use crate::spec::recovery::read_file;
use crate::spec::words::{known, nearest};
use crate::spec::{plausible, rules, values};

/// Most fields a group may have; none of a roster has a dozen.
const MOST_FIELDS: usize = 100;

/// Reads a roster written as YAML. A roster with errors is not whole: nobody's
/// standing may be read from it.
pub fn decode_yaml(text: &str) -> (Roster, Vec<Finding>) {
    let read = read_file(text, &budget::ROSTER, |root, findings| {
        open(root, "", Span::default(), findings)
            .map(|top| roster(top, findings))
            .unwrap_or_default()
    });
    read.unwrap_or_else(|finding| (Roster::default(), vec![*finding]))
}

/// Opens a group, unless it has more fields than any group of a roster: looking
/// for repeated fields takes time that grows with their square.
fn open<'n>(
    node: &'n Node,
    name: &str,
    span: Span,
    findings: &mut Vec<Finding>,
) -> Option<Fields<'n>> {
    if let NodeKind::Map(pairs) = &node.kind
        && pairs.len() > MOST_FIELDS
    {
        let message = format!("a group of {} fields; none has that many", pairs.len());
        findings.push(match span.range().is_empty() {
            true => rules::SPEC_TOO_LARGE.about_file(message),
            false => rules::SPEC_TOO_LARGE.at(span, message),
        });
        return None;
    }
    Fields::open(node, name, span, findings)
}

fn roster(mut top: Fields<'_>, findings: &mut Vec<Finding>) -> Roster {
    top.format_one("coldring-fusers", "the roster is", findings);
    let rules = top.take("rules").and_then(|(node, span)| {
        open(node, "rules", span, findings).map(|fields| chosen(fields, findings))
    });
    let fusers = top.required("fusers", findings, |node, findings| {
        long_list(node, findings, |node, findings| {
            open(node, "fusers", node.span, findings).and_then(|fields| fuser(fields, findings))
        })
    });
    top.finish(findings);
    Roster {
        fusers: each_badge_once(fusers.unwrap_or_default(), findings),
        rules: rules.unwrap_or_default(),
    }
}

fn each_badge_once(fusers: Vec<Fuser>, findings: &mut Vec<Finding>) -> Vec<Fuser> {
    let mut places: HashMap<String, usize> = HashMap::new();
    let mut once: Vec<Fuser> = Vec::with_capacity(fusers.len());
    for fuser in fusers {
        let place = places.get(&fuser.badge.value);
        match place.and_then(|place| once.get(*place)) {
            None => {
                places.insert(fuser.badge.value.clone(), once.len());
                once.push(fuser);
            }
            Some(first) if first.name.value == fuser.name.value => {
                let badge = &fuser.badge;
                findings.push(given_twice(badge, badge.span, first.badge.span));
            }
            Some(first) => findings.push(two_people(&fuser.name, &fuser.badge, first)),
        }
    }
    once
}

/// Says that a badge stands beside another name than before.
pub(super) fn two_people(
    name: &Spanned<String>,
    badge: &Spanned<String>,
    first: &Fuser,
) -> Finding {
    roster_rules::BADGE_OF_TWO_PEOPLE
        .at(
            badge.span,
            format!(
                "badge '{}' stands beside '{}' here and beside '{}' elsewhere",
                badge.value, name.value, first.name.value
            ),
        )
        .related(first.badge.span, "it is given here first")
        .help("correct the badge, or write the name the same way every time")
}

fn fuser(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Fuser> {
    let name = fields.required("name", findings, values::text);
    let badge = fields.required("badge", findings, values::text);
    let language = fields.optional("language", findings, language);
    let qualifications = fields.optional("qualifications", findings, |node, findings| {
        long_list(node, findings, |node, findings| {
            open(node, "qualifications", node.span, findings)
                .and_then(|fields| qualification(fields, findings))
        })
    });
    fields.finish(findings);
    let mut once: Vec<Qualification> = Vec::new();
    let mut places: HashMap<String, Span> = HashMap::new();
    for entry in qualifications.unwrap_or_default() {
        let procedure = &entry.procedure;
        match places.get(&procedure.value) {
            Some(first) => findings.push(given_twice(procedure, procedure.span, *first)),
            None => {
                places.insert(procedure.value.clone(), procedure.span);
                once.push(entry);
            }
        }
    }
    Some(Fuser {
        name: name?,
        badge: badge?,
        language,
        qualifications: once,
    })
}

fn qualification(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Qualification> {
    let procedure = fields.required("procedure", findings, values::procedure_number);
    let specimens = fields.optional("specimen", findings, |node, findings| {
        Some(one_or_long_list(node, findings, |node, findings| {
            open(node, "specimen", node.span, findings)
                .and_then(|fields| specimen(fields, findings))
        }))
    });
    let last_production_joint = fields.optional("last_production_joint", findings, values::date);
    let production_joints = fields.optional("production_joints", findings, |node, findings| {
        Some(one_or_long_list(node, findings, values::date))
    });
    let certificate = fields.optional("certificate", findings, values::date);
    let confirmed = fields.optional("confirmed", findings, |node, findings| {
        Some(one_or_long_list(node, findings, values::date))
    });
    let failed_joints = fields.optional("failed_joints", findings, |node, findings| {
        long_list(node, findings, |node, findings| {
            open(node, "failed_joints", node.span, findings)
                .and_then(|fields| failed_joint(fields, findings))
        })
    });
    fields.finish(findings);
    Some(Qualification {
        procedure: procedure?,
        specimens: specimens.unwrap_or_default(),
        last_production_joint,
        production_joints: production_joints.unwrap_or_default(),
        certificate,
        confirmed: confirmed.unwrap_or_default(),
        failed_joints: failed_joints.unwrap_or_default(),
    })
}

fn specimen(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Specimen> {
    let date = fields.required("date", findings, values::date);
    let result = fields.required("result", findings, values::word::<SpecimenResult>);
    let joint = fields.optional("joint", findings, values::text);
    let revision = fields.optional(
        "revision",
        findings,
        values::counting_number(&plausible::REVISION),
    );
    let record = fields.required("record", findings, values::text);
    fields.finish(findings);
    Some(Specimen {
        date: date?,
        result: result?.value,
        joint,
        revision,
        record: record?,
    })
}

fn failed_joint(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<FailedJoint> {
    let date = fields.required("date", findings, values::date);
    let found_by = fields.required("found_by", findings, values::word::<FoundBy>);
    let note = fields.optional("note", findings, values::text);
    fields.finish(findings);
    Some(FailedJoint {
        date: date?,
        found_by: found_by?.value,
        note,
    })
}

/// The rule sets a roster chooses: `default` and, by number, `procedures`; and
/// under `revisions`, which specimens hold for a later revision.
fn chosen(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Rules {
    let mut rules = Rules::default();
    let default = fields.optional("default", findings, |node, findings| {
        let rule = rule_set(node, node.span, findings)?;
        Some(Choice::made(None, rule, node.span))
    });
    if let Some(default) = default {
        rules.choose(default);
    }
    let by_procedure = fields.optional("procedures", findings, |node, findings| {
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
        Some(pairs)
    });
    let mut seen: Vec<Spanned<String>> = Vec::new();
    for (key, value) in by_procedure.into_iter().flatten() {
        let Some(procedure) = values::procedure_number(key, findings) else {
            continue;
        };
        if let Some(first) = seen.iter().find(|first| first.value == procedure.value) {
            findings.push(given_twice(&procedure, procedure.span, first.span));
            continue;
        }
        if let Some(rule) = rule_set(value, key.span, findings) {
            rules.choose(Choice::made(Some(&procedure), rule, key.span));
        }
        seen.push(procedure);
    }
    let held = fields.optional("revisions", findings, |node, findings| {
        long_list(node, findings, |node, findings| {
            open(node, "revisions", node.span, findings)
                .and_then(|fields| held_revision(fields, findings))
        })
    });
    for held in held.into_iter().flatten() {
        rules.hold(held);
    }
    fields.finish(findings);
    rules
}

/// What the organization says of specimens that an earlier revision was for.
fn held_revision(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<HeldRevision> {
    let procedure = fields.required("procedure", findings, values::procedure_number);
    let made_by = fields.required(
        "made_by",
        findings,
        values::counting_number(&plausible::REVISION),
    );
    let holds_for = fields.required(
        "holds_for",
        findings,
        values::counting_number(&plausible::REVISION),
    );
    let source = fields.required("source", findings, values::text);
    fields.finish(findings);
    Some(HeldRevision {
        procedure: procedure?,
        made_by: made_by?,
        holds_for: holds_for?,
        source: source?.value,
    })
}

/// A rule set: a word, or a group with what the organization's own needs.
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
        return word_of(node, word, findings);
    };
    let mut fields = open(node, "rules", span, findings)?;
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
        Some((node, word)) => word_of(node, word, findings),
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

fn word_of(node: &Node, word: &str, findings: &mut Vec<Finding>) -> Option<RuleSet> {
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
