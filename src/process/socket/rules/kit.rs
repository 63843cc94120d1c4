//! Rules about tools that share the sizes: several cutters, and cold rings that are inserts
//! of larger ones.

use crate::core::finding::{Finding, rules};
use crate::procedure::resolve::{Joint, tool_reach};
use crate::rules::Context;

rules! {
    NO_CUTTER_FOR_SIZE = error("A size is claimed, and none of the cutters listed cuts it.")
        .absence()
        .why("Pipe that fits no cutter is cut with whatever is at hand. An end that is not square \
              bottoms out on one side of the socket and leaves a gap on the other.")
        .example("scope: {pipe: {sizes: 3/4 to 2 IPS, dimension_ratio: 11}}\ntools: {cutters: \
                  [{name: tube shears, sizes: 3/4 to 1 IPS}]}      # none for 1-1/4 IPS and up")
        .fix("Add the cutter that cuts the size, or the size to the cutter that cuts it too. Or \
              take the size out of the scope.");
    INSERT_WITHOUT_RING = error(
        "A cold ring is an insert of another, and that one is not listed.")
        .absence()
        .why("An insert cannot be clamped by itself. Without the larger ring on the truck there is \
              no cold ring for the size.")
        .example("tools:\n  cold_rings:\n    1 IPS: {insert_in: 2 IPS}      # no 2 IPS")
        .fix("List the larger ring under `cold_rings` too, also where its own size is not joined. \
              Or take `insert_in` out, if the ring is clamped by itself.");
    INSERT_IN_SMALLER_RING = error("A cold ring is an insert of one that is not larger.")
        .why("An insert lies inside the ring that it is clamped in. One of the two sizes is \
            mistyped, \
              and the crew would take the wrong ring along.")
        .example("tools:\n  cold_rings:\n    1 IPS: {insert_in: 3/4 IPS}\n    3/4 IPS: {}")
        .fix("Name the larger ring under `insert_in`. A ring that is clamped by itself has no \
              `insert_in`.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    cutters(context, findings);
    inserts(context, findings);
}

/// Holds each size to the cutters that are listed with their sizes.
fn cutters(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let tools = &context.procedure.spec.tools;
    // `tools` holds a cutter to its largest size.
    let Some(first) = tools
        .cutters
        .first()
        .and_then(|cutter| cutter.sizes.first())
    else {
        return;
    };
    let reach = tools.cutter_largest.as_ref();
    let reach = reach.and_then(|largest| tool_reach(largest.value, context.limits));
    let in_practice = |joint: &&Joint| joint.outside_diameter.is_some();
    for joint in context.procedure.sizes().filter(in_practice) {
        let od = joint.outside_diameter.as_ref().map(|od| od.value);
        let by_size = tools.cutters.iter().any(|cutter| cutter.cuts(joint.size));
        if by_size || reach >= od {
            continue;
        }
        let size = joint.size;
        findings.push(
            NO_CUTTER_FOR_SIZE
                .at(first.span, format!("no cutter that is listed cuts {size}"))
                .help(format!(
                    "add a cutter with `sizes: {size}` under `tools.cutters`, or {size} to the \
                     sizes of one that cuts it; or take {size} out of the scope"
                ))
                .related(joint.claimed_at, format!("{size} is claimed here")),
        );
    }
}

/// What an insert without its ring is told last: it is no ring until the truck has one.
const OWN_RING: &str = "or, only where the truck has a ring of this size that clamps the pipe by \
                        itself, take `insert_in` out";

/// Holds each insert to the ring that it is clamped in.
fn inserts(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let rings = &context.procedure.spec.tools.cold_rings;
    for (size, ring) in rings {
        let Some(within) = &ring.insert_in else {
            continue;
        };
        let diameter = |size| context.limits.outside_diameter(size).map(|od| od.value);
        let diameters = diameter(size.value).zip(diameter(within.value));
        // Sizes of one system need no table to compare them.
        let is_larger = match diameters {
            _ if size.value.system() == within.value.system() => within.value > size.value,
            Some((inner, outer)) => outer > inner,
            None => true,
        };
        if !is_larger {
            let across = diameters.map_or_else(String::new, |(inner, outer)| {
                format!(
                    ": {} across, and {} is {}",
                    context.length(outer),
                    **size,
                    context.length(inner)
                )
            });
            findings.push(
                INSERT_IN_SMALLER_RING
                    .at(
                        within.span,
                        format!(
                            "the cold ring of {} is an insert of that of {}, which is not \
                             larger{across}",
                            **size, **within
                        ),
                    )
                    .help(format!(
                        "name the larger ring that it clamps into, {OWN_RING}"
                    )),
            );
        } else if !rings.iter().any(|(listed, _)| listed.value == within.value) {
            findings.push(
                INSERT_WITHOUT_RING
                    .at(
                        within.span,
                        format!(
                            "the cold ring of {} is an insert of that of {}, which is not listed",
                            **size, **within
                        ),
                    )
                    .help(if context.procedure.practice().has(within.value.system()) {
                        format!(
                            "add `{}: {{}}` to `tools.cold_rings` if the ring is on the truck, \
                             {OWN_RING}",
                            **within
                        )
                    } else {
                        format!("name a ring of the kind of pipe that is claimed, {OWN_RING}")
                    }),
            );
        }
    }
}
