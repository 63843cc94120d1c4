//! Rules about what is on the truck: adapters, cold rings and a cutter for
//! every size the procedure claims, and nothing listed for sizes it does not.
//! Depth gauges belong to the family about depth.

use super::{Context, say};
use crate::core::finding::{
    Finding, Rule,
    Severity::{Error, Note, Warning},
};
use crate::core::size::Size;
use crate::core::source::Spanned;
use crate::procedure::resolve::{Joint, tool_reach};
use crate::spec::Spec;

/// The rules of this family.
pub static RULES: &[&Rule] = &[
    &NO_ADAPTER_FOR_SIZE,
    &NO_COLD_RING_FOR_SIZE,
    &CUTTER_TOO_SMALL,
    &CUTTER_MISSING,
    &TOOL_IN_OTHER_SYSTEM,
    &TOOL_FOR_UNCLAIMED_SIZE,
];

/// A size that nothing can heat.
static NO_ADAPTER_FOR_SIZE: Rule = Rule {
    slug: "no-adapter-for-size",
    severity: Error,
    summary: "A size is claimed, and no pair of adapters is listed for it.",
    why: "Pipe and socket are heated on the adapters of their own size. An adapter of the same \
          nominal size in another size system does not fit: 1 IPS and 1 CTS are different pipes.",
    example: "scope: {pipe: {sizes: [1 IPS, 2 IPS], dimension_ratio: 11}}\n\
              heater: {adapters: {1 IPS: {}}}      # none for 2 IPS",
    fix: "List the adapters of the size, or take the size out of the scope.",
    dated: false,
};

/// A size whose depth nothing holds.
static NO_COLD_RING_FOR_SIZE: Rule = Rule {
    slug: "no-cold-ring-for-size",
    severity: Error,
    summary: "A size is claimed, and no cold ring is listed for it.",
    why: "The cold ring stops the pipe at its depth and makes the end round. Without it the pipe \
          goes in too far or not far enough, and an oval end melts on two sides only.",
    example: "scope: {pipe: {sizes: [1 IPS, 2 IPS], dimension_ratio: 11}}\n\
              tools: {cold_rings: [1 IPS]}      # none for 2 IPS",
    fix: "List the cold ring of the size, or take the size out of the scope.",
    dated: false,
};

/// The cutter does not reach round the pipe.
static CUTTER_TOO_SMALL: Rule = Rule {
    slug: "cutter-too-small",
    severity: Error,
    summary: "The largest size claimed does not fit the cutter.",
    why: "Pipe that does not fit the cutter is cut with whatever is at hand. An end that is not \
          square bottoms out on one side of the socket and leaves a gap on the other.",
    example: "scope: {pipe: {sizes: 3/4 to 2 IPS, dimension_ratio: 11}}\n\
              tools: {cutter: {largest: 1-1/4 IPS}}",
    fix: "List a cutter that takes the largest size claimed.",
    dated: false,
};

/// No cutter is named.
static CUTTER_MISSING: Rule = Rule {
    slug: "cutter-missing",
    severity: Warning,
    summary: "The tools do not name a cutter.",
    why: "A joint begins with a square cut. A procedure that does not say with what leaves it \
          to the nearest saw.",
    example: "tools: {cold_rings: [1 IPS]}      # no cutter",
    fix: "Add `cutter: {largest: 2 IPS}` under `tools`, with the largest size it takes.",
    dated: false,
};

/// Named by a size of the other practice.
static TOOL_IN_OTHER_SYSTEM: Rule = Rule {
    slug: "tool-in-other-system",
    severity: Warning,
    summary: "The largest size of a cutter or a machine is one of the other practice.",
    why: "63 mm and 2 IPS look like near enough the same pipe and are not: the crew is told a \
          size that is printed on none of its pipe.",
    example: "scope: {pipe: {sizes: 3/4 to 2 IPS, dimension_ratio: 11}}\n\
              tools: {cutter: {largest: 63 mm}}",
    fix: "Write the largest pipe that it takes as a size of the kind that the procedure claims.",
    dated: false,
};

/// A tool nobody needs for this procedure.
static TOOL_FOR_UNCLAIMED_SIZE: Rule = Rule {
    slug: "tool-for-unclaimed-size",
    severity: Note,
    summary: "A tool or a fitting is listed for a size the procedure does not claim.",
    why: "It may be a size that was forgotten in the scope, or a slip between IPS and CTS. The \
          papers say nothing about this size.",
    example: "scope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}\n\
              tools: {cold_rings: [1 IPS, 1 CTS]}",
    fix: "Add the size to the scope if it is meant to be joined, or take the tool out.",
    dated: false,
};

/// Applies the rules of this family.
pub fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    systems(context, findings);
    let (spec, joints) = (context.procedure.spec, &context.procedure.joints);
    // A size without published dimensions is outside the practice, which is said once.
    let in_practice = |joint: &&Joint| joint.outside_diameter.is_some();
    for joint in context.procedure.sizes().filter(in_practice) {
        let size = joint.size;
        if !spec.heater.adapters.iter().any(|(s, _)| s.value == size) {
            findings.push(
                NO_ADAPTER_FOR_SIZE
                    .at(
                        spec.heater.span,
                        format!("no adapters are listed for {size}"),
                    )
                    .help(format!(
                        "add `{size}: {{}}` to `heater.adapters`, or take {size} out of the scope"
                    ))
                    .related(joint.claimed_at, format!("{size} is claimed here")),
            );
        }
        let works_with_ring = context.procedure.practice().has_ring();
        if works_with_ring && !spec.tools.cold_rings.iter().any(|(s, _)| s.value == size) {
            findings.push(
                NO_COLD_RING_FOR_SIZE
                    .at(
                        spec.tools.span,
                        format!("no cold ring is listed for {size}"),
                    )
                    .help(format!(
                        "add {size} to `tools.cold_rings`, or take {size} out of the scope"
                    ))
                    .related(joint.claimed_at, format!("{size} is claimed here")),
            );
        }
    }
    cutter(context, findings);
    for (tool, size) in sized_tools(spec) {
        if !joints.iter().any(|joint| joint.size == size.value) {
            findings.push(
                TOOL_FOR_UNCLAIMED_SIZE
                    .at(
                        size.span,
                        format!(
                            "{tool} is listed for {}, which the scope does not claim",
                            **size
                        ),
                    )
                    .help(format!(
                        "add {} to `scope.pipe`, or take this entry out",
                        **size
                    )),
            );
        }
    }
}

/// Warns of a cutter or a machine that is named by a size of the other practice.
fn systems(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let tools = &context.procedure.spec.tools;
    let practice = context.procedure.practice();
    for largest in [&tools.cutter_largest, &tools.machine_largest]
        .into_iter()
        .flatten()
        .filter(|largest| !practice.has(largest.value.system()))
    {
        findings.push(
            TOOL_IN_OTHER_SYSTEM
                .at(
                    largest.span,
                    format!(
                        "{} is no size of the pipe that this procedure claims",
                        **largest
                    ),
                )
                .help("write the largest pipe it takes as a size of the kind that is claimed"),
        );
    }
}

fn cutter(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let (spec, joints) = (context.procedure.spec, &context.procedure.joints);
    let Some(cutter) = &spec.tools.cutter_largest else {
        findings.push(
            CUTTER_MISSING
                .at(spec.tools.span, "the tools do not name a cutter")
                .help("add `cutter` under `tools` with the largest size it takes"),
        );
        return;
    };
    // A size that can only be a slip is said by another rule.
    let Some(takes) = tool_reach(cutter.value, context.limits) else {
        return;
    };
    let largest = joints
        .iter()
        .filter_map(|joint| joint.outside_diameter.as_ref().map(|od| (od.value, joint)))
        .max_by_key(|(od, _)| *od);
    if let Some((od, joint)) = largest.filter(|(od, _)| *od > takes) {
        let finding = CUTTER_TOO_SMALL
            .at(
                cutter.span,
                format!(
                    "the cutter takes {}, {} across, and {} is {} across",
                    **cutter,
                    context.length(takes),
                    joint.size,
                    context.length(od)
                ),
            )
            .help(format!("list a cutter that takes {}", joint.size))
            .related(joint.claimed_at, format!("{} is claimed here", joint.size));
        findings.push(match context.limits.outside_diameter(cutter.value) {
            Some(known) => finding.limit(say::source(&known)),
            None => finding,
        });
    }
}

/// Every entry that belongs to a size, by what it is called in a message.
fn sized_tools(spec: &Spec) -> impl Iterator<Item = (&'static str, &Spanned<Size>)> {
    let adapters = spec
        .heater
        .adapters
        .iter()
        .map(|(size, _)| ("an adapter", size));
    let gauges = spec
        .tools
        .depth_gauges
        .iter()
        .map(|(size, _)| ("a depth gauge", size));
    let rings = spec
        .tools
        .cold_rings
        .iter()
        .map(|(size, _)| ("a cold ring", size));
    let sockets = spec
        .fittings
        .sockets
        .iter()
        .map(|(size, _)| ("a socket", size));
    let depths = spec
        .fittings
        .depths
        .iter()
        .map(|(size, _)| ("a depth", size));
    let spigots = spec
        .fittings
        .spigots
        .iter()
        .map(|(size, _)| ("a spigot length", size));
    let measured = spec
        .measured
        .iter()
        .map(|(size, _)| ("a measured pipe", size));
    adapters
        .chain(measured)
        .chain(gauges)
        .chain(rings)
        .chain(sockets)
        .chain(depths)
        .chain(spigots)
}
