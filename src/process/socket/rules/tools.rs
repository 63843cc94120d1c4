//! Rules about tools: adapters, cold rings, and a cutter for every claimed size, and none
//! for other sizes. Depth gauges are in `depth`, tools that share the sizes in `kit`.

use crate::core::finding::{Finding, rules};
use crate::core::size::Size;
use crate::core::source::Spanned;
use crate::procedure::resolve::{Joint, tool_reach};
use crate::rules::{Context, wording};
use crate::spec::Spec;

rules! {
    NO_ADAPTER_FOR_SIZE = error("A size is claimed, and no pair of adapters is listed for it.")
        .absence()
        .why("Pipe and socket are heated on the adapters of their own size. An adapter of the same \
              nominal size in another size system does not fit: 1 IPS and 1 CTS are different \
              pipes.")
        .example("scope: {pipe: {sizes: [1 IPS, 2 IPS], dimension_ratio: 11}}\nheater: {adapters: \
                  {1 IPS: {}}}      # none for 2 IPS")
        .fix("List the adapters of the size, or take the size out of the scope.");
    NO_COLD_RING_FOR_SIZE = error("A size is claimed, and no cold ring is listed for it.")
        .absence()
        .why("The cold ring stops the pipe at its depth and makes the end round. Without it the \
              pipe goes in too far or not far enough, and an oval end melts on two sides only.")
        .example("scope: {pipe: {sizes: [1 IPS, 2 IPS], dimension_ratio: 11}}\ntools: {cold_rings: \
                  [1 IPS]}      # none for 2 IPS")
        .fix("List the cold ring of the size, or take the size out of the scope.");
    CUTTER_TOO_SMALL = error("The largest size claimed does not fit the cutter.")
        .why("Pipe that does not fit the cutter is cut with whatever is at hand. An end that is \
              not square bottoms out on one side of the socket and leaves a gap on the other.")
        .example("scope: {pipe: {sizes: 3/4 to 2 IPS, dimension_ratio: 11}}\ntools: {cutter: \
                  {largest: 1-1/4 IPS}}")
        .fix("List a cutter that takes the largest size claimed.");
    CUTTER_MISSING = warning("The tools do not name a cutter.")
        .absence()
        .why("A joint begins with a square cut. A procedure that does not say with what leaves it \
              to the nearest saw.")
        .example("tools: {cold_rings: [1 IPS]}      # no cutter")
        .fix("Add `cutter: {largest: 2 IPS}` under `tools`, with the largest size it takes; or, \
              where several share the sizes, `cutters: [{sizes: 3/4 to 1 IPS}, {sizes: 2 IPS}]`.");
    TOOL_IN_OTHER_SYSTEM = warning(
        "A cutter, a machine or a cold ring is named by a size of the other practice.")
        .why("63 mm and 2 IPS look like near enough the same pipe and are not: the crew is told a \
              size that is printed on none of its pipe.")
        .example("scope: {pipe: {sizes: 3/4 to 2 IPS, dimension_ratio: 11}}\ntools: {cutter: \
                  {largest: 63 mm}}")
        .fix("Write the pipe that it takes, or the larger ring that the ring is an insert of, as a \
              size of the kind that the procedure claims.");
    TOOL_FOR_UNCLAIMED_SIZE = note(
        "A tool or a fitting is listed for a size the procedure does not claim.")
        .absence()
        .why("It may be a size that was forgotten in the scope, or a mix-up of IPS and CTS. The \
              papers say nothing about this size.")
        .example("scope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}\ntools: {cold_rings: [1 IPS, \
                  1 CTS]}")
        .fix("Add the size to the scope if it is meant to be joined, or take the tool out.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    systems(context, findings);
    let (spec, joints) = (context.procedure.spec, &context.procedure.joints);
    // A size without published dimensions is outside the practice and reported once.
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
                        "if the truck has a ring for {size}, add {size} to `tools.cold_rings`; if \
                         not, take {size} out of the scope"
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

/// Warns of a cutter or machine named by a size of the other practice.
fn systems(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let tools = &context.procedure.spec.tools;
    let practice = context.procedure.practice();
    let largest = [&tools.cutter_largest, &tools.machine_largest];
    let largest = largest.into_iter().flatten();
    let largest = largest.map(|size| (size.value, size.span, "the largest pipe it takes"));
    let cut = tools.cutters.iter().flat_map(|cutter| &cutter.sizes);
    let cut = cut.map(|range| (range.value.most, range.span, "what it cuts"));
    let within = tools.cold_rings.iter();
    let within = within.filter_map(|(_, ring)| ring.insert_in.as_ref());
    let within = within.map(|size| (size.value, size.span, "the larger ring"));
    for (size, span, what) in largest
        .chain(cut)
        .chain(within)
        .filter(|(size, ..)| !practice.has(size.system()))
    {
        findings.push(
            TOOL_IN_OTHER_SYSTEM
                .at(
                    span,
                    format!("{size} is no size of the pipe that this procedure claims"),
                )
                .help(format!(
                    "write {what} as a size of the kind that is claimed"
                )),
        );
    }
}

fn cutter(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let (spec, joints) = (context.procedure.spec, &context.procedure.joints);
    // `kit` holds each size to cutters that are listed with their sizes.
    if !spec.tools.cutters.is_empty() {
        return;
    }
    let Some(cutter) = &spec.tools.cutter_largest else {
        findings.push(
            CUTTER_MISSING
                .at(spec.tools.span, "the tools do not name a cutter")
                .help("add `cutter` under `tools` with the largest size it takes")
                .asks("`cutter`", ""),
        );
        return;
    };
    // Another rule reports a size that can only be a typing error.
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
            Some(known) => finding.limit(wording::source(&known)),
            None => finding,
        });
    }
}

/// Every entry for a size, with its name in messages.
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
    let carries_insert = |size: Size| {
        let mut rings = spec.tools.cold_rings.iter();
        rings.any(|(_, ring)| {
            ring.insert_in
                .as_ref()
                .is_some_and(|within| within.value == size)
        })
    };
    let rings = spec
        .tools
        .cold_rings
        .iter()
        .filter(move |(size, _)| !carries_insert(size.value))
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
