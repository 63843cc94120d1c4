//! Slips that only the size shows: a value that could be one of another size, and
//! times far from those of the size. The limits are the program's own and wide, as
//! those of `spec::plausible` are.

use super::{Context, cycles, say};
use crate::finding::{Finding, Rule, Severity::Error};
use crate::resolve::{Joint, WallLabel, tool_reach};
use crate::size::Size;
use crate::source::{Span, Spanned};
use crate::spec::Written;
use crate::spec::plausible::{RATIO, depth_of, socket_depth_of};
use crate::units::{DimensionRatio, Duration, Length, Range};

/// The rules of this family.
pub static RULES: &[&Rule] = &[
    &IMPLAUSIBLE_FOR_SIZE,
    &HEATING_FAR_FROM_PUBLISHED,
    &TOOL_SIZE_IMPLAUSIBLE,
];

/// A value of another size.
static IMPLAUSIBLE_FOR_SIZE: Rule = Rule {
    slug: "implausible-for-size",
    severity: Error,
    summary: "A wall, a socket or an adapter is far from anything its size has; most often a slip.",
    why: "A decimal point in another place, a millimeter for an inch or the line of another size: \
          the value reads well and what builds on it is wrong. The limits are this program's own. \
          They are wide and only catch slips.",
    example: "scope: {pipe: {sizes: 2 IPS, wall: 0.065 in}}      # a ratio of 36",
    fix: "Read the value again where it comes from, and check that it is the one of this size.",
    dated: false,
};

/// A heating time that no record makes likely.
static HEATING_FAR_FROM_PUBLISHED: Rule = Rule {
    slug: "heating-far-from-published",
    severity: Error,
    summary: "Own heating is less than half or more than twice the published, whatever record it cites.",
    why: "81 s for 18, the hold in the place of the heating, the line of another size: a record \
          makes such a slip pass for a qualified time. Half and twice are this program's own \
          limits, wide enough for any time that test joints have proven.",
    example: "cycles: {rows: [{size: 1-1/4 IPS, heat: 81 s, source: trial joints, record: PQ-9}]}",
    fix: "Read the time again in the record. Where the record does say so, have a qualified person \
          find out why before any joint is made by it.",
    dated: false,
};

/// A tool for pipe that nobody fuses by a socket.
static TOOL_SIZE_IMPLAUSIBLE: Rule = Rule {
    slug: "tool-size-implausible",
    severity: Error,
    summary: "The largest size of a cutter or a machine is far from any pipe that is socket fused.",
    why: "Whether the tool takes the pipe is judged by that size. 20 IPS for 2 IPS lets a cutter \
          pass that is too small for the pipe.",
    example: "tools: {cutter: {largest: 20 IPS}}      # for 2 IPS",
    fix: "Write the largest pipe that it takes, as a size of IPS, CTS or metric pipe.",
    dated: false,
};

/// Applies the family.
pub fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    for joint in &context.procedure.joints {
        walls(context, joint, findings);
    }
    let spec = context.procedure.spec;
    for (size, socket) in &spec.fittings.sockets {
        if let Some(depth) = &socket.depth {
            findings.extend(depth_for(context, size, "socket", depth, socket_depth_of));
        }
    }
    for (size, adapter) in &spec.heater.adapters {
        if let Some(depth) = &adapter.depth {
            findings.extend(depth_for(context, size, "adapter", depth, depth_of));
        }
    }
    heating(context, findings);
    let cutter = spec.tools.cutter_largest.as_ref();
    let machine = spec.tools.machine_largest.as_ref();
    for (tool, size) in [("cutter", cutter), ("machine", machine)] {
        findings.extend(size.and_then(|size| unknown(context, tool, size)));
    }
}

fn implausible(at: Span, message: String) -> Finding {
    IMPLAUSIBLE_FOR_SIZE
        .at(at, message)
        .help("check the unit, the decimal point and the size; these limits are this program's own and only catch slips")
}

/// Walls that are stated as lengths, by the ratio that they make.
fn walls(context: &Context<'_>, joint: &Joint, findings: &mut Vec<Finding>) {
    let Some(od) = joint.outside_diameter.as_ref().map(|od| od.value) else {
        return;
    };
    for pipe in &joint.pipes {
        let WallLabel::Stated(wall) = pipe.label else {
            continue;
        };
        // A wall that leaves no bore is said by another rule.
        let ratio = DimensionRatio::of(od, wall).filter(|_| wall.scaled(2, 1) < od);
        let Some(ratio) = ratio.filter(|ratio| !RATIO.contains(*ratio)) else {
            continue;
        };
        let Range { least, most } = RATIO.range;
        findings.push(implausible(
            pipe.claimed_at,
            format!(
                "a wall of {} on {} makes a dimension ratio of {}; those run from {} to {}",
                context.length(wall),
                joint.size,
                ratio.number(),
                least.number(),
                most.number()
            ),
        ));
    }
}

fn depth_for(
    context: &Context<'_>,
    size: &Spanned<Size>,
    what: &str,
    depth: &Written<Length>,
    band: fn(Length) -> Range<Length>,
) -> Option<Finding> {
    let od = context.limits.outside_diameter(size.value)?.value;
    let band = band(od);
    (!band.contains(depth.value)).then(|| {
        implausible(
            depth.span,
            format!(
                "a depth of {} is not that of a {} {what}: {} to {} would be",
                context.length(depth.value),
                size.value,
                context.length(band.least),
                context.length(band.most)
            ),
        )
    })
}

fn heating(context: &Context<'_>, findings: &mut Vec<Finding>) {
    for row in &context.procedure.spec.cycles.rows {
        let Some(heat) = &row.heat else { continue };
        let joints = cycles::joints_of(context, row);
        let far = joints.iter().find_map(|joint| {
            let published = joint.published.heat.as_ref()?;
            far(heat.value, published.value).then_some((joint.size, published))
        });
        let Some((size, published)) = far else {
            continue;
        };
        findings.push(
            HEATING_FAR_FROM_PUBLISHED
                .at(
                    heat.span,
                    format!(
                        "heating {} for {size} is less than half or more than twice the published {}",
                        say::times(heat.value),
                        say::times(published.value)
                    ),
                )
                .limit(say::source(published))
                .help("read the time again in its record; where it does say so, find out why before any joint is made by it"),
        );
    }
}

fn far(own: Range<Duration>, published: Range<Duration>) -> bool {
    own.least.times(2) < published.least || own.most > published.most.times(2)
}

fn unknown(context: &Context<'_>, tool: &str, size: &Spanned<Size>) -> Option<Finding> {
    if tool_reach(size.value, context.limits).is_some() {
        return None;
    }
    Some(
        TOOL_SIZE_IMPLAUSIBLE
            .at(
                size.span,
                format!("the {tool} takes pipe up to {}, far from any pipe that is socket fused", size.value),
            )
            .help("write the largest pipe that it takes, as in 2 IPS or 63 mm"),
    )
}
