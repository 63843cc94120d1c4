//! Rules about the tool that holds and pushes larger sizes together in US practice. The
//! machine of metric practice is in `practice`.

use crate::core::finding::{Finding, rules};
use crate::procedure::resolve::{needs_pusher, tool_reach};
use crate::rules::{Context, wording};
use crate::spec::Status;

rules! {
    HOLDING_TOOL_MISSING = warning(
        "An inch size from 3 IPS on is claimed, and no holding tool that takes it is listed.")
        .absence()
        .why("By hand alone nobody pushes pipe of that size into its socket straight, to depth and \
              within the few seconds of the change-over. The joint ends up short, askew or cold. \
              That is common practice; no published text was found for US sizes.")
        .example("procedure: {practice: us, status: draft}\nscope: {pipe: {sizes: 3 IPS, \
                  dimension_ratio: 11}}\ntools: {}")
        .fix("List the tool that holds and pushes pipe and fitting, with the largest size it \
              takes: tools: {machine: {largest: 4 IPS}}; or take the size out of the scope.");
    HOLDING_TOOL_MISSING_BUT_QUALIFIED = error(
        "A procedure said to be qualified claims an inch size from 3 IPS on, and lists no holding \
         tool that takes it.")
        .absence()
        .why("Crews work by a qualified procedure. By hand alone nobody pushes pipe of that size \
              into its socket straight, to depth and within the few seconds of the change-over.")
        .example("procedure: {practice: us, status: qualified}\nscope: {pipe: {sizes: 3 IPS, \
                  dimension_ratio: 11}}\ntools: {}")
        .fix("List the tool that the test joints were made with, with the largest size it takes: \
              tools: {machine: {largest: 4 IPS}}; or take the size out of the scope.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let (procedure, limits) = (context.procedure, context.limits);
    let pusher = &procedure.practice().pusher;
    if pusher.is_machine {
        return;
    }
    let listed = procedure.spec.tools.machine_largest.as_ref();
    let takes = listed.and_then(|size| tool_reach(size.value, limits));
    for joint in procedure.sizes() {
        let Some(from) = needs_pusher(pusher, joint, limits) else {
            continue;
        };
        let diameter = joint.outside_diameter.as_ref().map(|od| od.value);
        if takes >= diameter {
            continue;
        }
        let size = joint.size;
        let (at, has) = match listed {
            Some(largest) => (
                largest.span,
                format!("the one that is listed takes pipe up to {}", largest.value),
            ),
            None => (joint.claimed_at, "none is listed".to_owned()),
        };
        let is_qualified = procedure.spec.status.value == Status::Qualified;
        let rule = if is_qualified {
            &HOLDING_TOOL_MISSING_BUT_QUALIFIED
        } else {
            &HOLDING_TOOL_MISSING
        };
        let finding = rule
            .at(
                at,
                format!("{size} needs a tool that holds and pushes pipe and fitting, and {has}"),
            )
            .limit(wording::source(&from))
            .help(format!(
                "list one that takes it, tools: {{machine: {{largest: {size}}}}}, or leave the size out"
            ));
        findings.push(if is_qualified {
            finding.related(procedure.spec.status.span, "the claim")
        } else {
            finding
        });
    }
}
