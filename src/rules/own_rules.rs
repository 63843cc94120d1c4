//! Rules that only the organization can make: a draft has a box to fill in for each that is
//! open, and a qualified procedure may keep none.

use super::Context;
use crate::core::finding::{Finding, rules};
use crate::spec::{OwnRule, Status};

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
    let open = spec.own_rules.open(spec.cold_weather.is_some());
    if open.is_empty() {
        return;
    }
    let about: Vec<_> = open.iter().map(|rule| rule.about()).collect();
    let names: Vec<_> = open.iter().map(|rule| rule.field()).collect();
    let fields: Vec<_> = open.iter().map(|rule| as_written(*rule)).collect();
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
                "add under `own_rules`, in your own words: {}; or set the status to draft",
                fields.join(", ")
            ))
            .brief(format!(
                "qualified, and {} of your own rules are not given; add under `own_rules`: {}",
                open.len(),
                names.join(", ")
            )),
    );
}

/// The field of a rule as it is written.
fn as_written(rule: OwnRule) -> String {
    match rule {
        OwnRule::Kept(_) => format!("{}: {{by: …, until: …}}", rule.field()),
        _ => format!("{}: …", rule.field()),
    }
}
