//! Rules that only the organization can make: a draft has a box to fill in for each that is
//! open, and a qualified procedure may keep none.

use super::Context;
use crate::core::finding::{Finding, rules};
use crate::core::source::Span;
use crate::spec::{OwnRule, OwnRules, Status, note_left_in};

rules! {
    OWN_RULE_OPEN = error(
        "The status is qualified, and a rule that only the organization can make is left open.")
        .absence()
        .why("The paper would have a box to fill in where a crew looks for an answer: how a joint \
              is marked, who is told of a failed one, who keeps which record. A box filled in by \
              hand is not what was approved.")
        .example("procedure: {status: qualified}\nown_rules: {joint_mark: paint marker beside the \
                  joint}      # nothing about a failed joint, no records")
        .fix("Write each rule that the message names under `own_rules`, in your own words; \
              `coldring explain spec` lists its fields. Or set the status to draft until they are \
              decided.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    if spec.status.value != Status::Qualified {
        return;
    }
    let cold_trials = spec.cold_weather.is_some();
    unfinished(&spec.own_rules, cold_trials, spec.status.span, findings);
    let open = spec.own_rules.open(cold_trials);
    if open.is_empty() {
        return;
    }
    let about: Vec<_> = open.iter().map(|rule| rule.about()).collect();
    findings.push(
        OWN_RULE_OPEN
            .at(
                spec.status.span,
                format!(
                    "the status is qualified, but the spec does not say {}",
                    about.join(", ")
                ),
            )
            .help(format!(
                "add in your own words {}; or set the status to draft",
                as_written(&open)
            ))
            .brief(format!(
                "qualified without {} of your own rules; add {}",
                open.len(),
                as_written(&open)
            )),
    );
}

/// Reports texts with a note such as TBD in them, which say no more than a box to fill in.
fn unfinished(rules: &OwnRules, cold_trials: bool, claim: Span, findings: &mut Vec<Finding>) {
    for rule in rules.asked(cold_trials) {
        for text in rules.texts(rule) {
            let Some(note) = note_left_in(text) else {
                continue;
            };
            let message = format!(
                "the status is qualified, but '{note}' stands where the spec is to say {}",
                rule.about()
            );
            findings.push(
                OWN_RULE_OPEN
                    .at(text.span, message)
                    .related(claim, "the claim")
                    .help("write it in your own words, or set the status to draft"),
            );
        }
    }
}

/// The fields of rules by the groups that they stand in, as they are written: ``under
/// `own_rules.failed_joint`: told: …, fuser: …``.
fn as_written(rules: &[OwnRule]) -> String {
    let of_group = |group: &[OwnRule]| {
        let fields: Vec<_> = group
            .iter()
            .map(|rule| match rule {
                OwnRule::Kept(_) => format!("{}: {{by: …, until: …}}", rule.field().1),
                _ => format!("{}: …", rule.field().1),
            })
            .collect();
        let under = group.first().map_or("", |rule| rule.field().0);
        format!("under `{under}`: {}", fields.join(", "))
    };
    let groups = rules.chunk_by(|one, next| one.field().0 == next.field().0);
    let groups: Vec<_> = groups.map(of_group).collect();
    groups.join("; ")
}
