//! Rules about typing errors that only the size reveals: values that fit another size,
//! and times far from those of the size. The limits are the program's own and wide, like
//! those in `spec::plausible`.

use crate::core::finding::{Finding, rules};
use crate::core::size::{Size, SizeSystem};
use crate::core::source::{Span, Spanned};
use crate::core::units::{DimensionRatio, Duration, Length, Range};
use crate::procedure::resolve::{Joint, WallLabel, tool_reach};
use crate::process::socket::rules::cycles;
use crate::published::WallGroup;
use crate::rules::{Context, wording};
use crate::spec::Written;
use crate::spec::plausible::{RATIO, depth_of, socket_depth_of};

rules! {
    IMPLAUSIBLE_FOR_SIZE = error(
        "A wall, a socket or an adapter is far from anything its size has; usually a typing \
        error.")
        .why("A decimal point in another place, a millimeter for an inch or the line of another \
              size: the value reads well and what builds on it is wrong. The limits are this \
              program's own. They are wide and only catch typing errors.")
        .example("scope: {pipe: {sizes: 2 IPS, wall: 0.065 in}}      # a ratio of 36")
        .fix("Read the value again where it comes from, and check that it is the one of this \
              size.");
    TIMES_FAR_FROM_PUBLISHED = error(
        "Own heating is less than half or more than twice the published, or an own hold less than \
         half, whatever record it cites.")
        .why("81 s for 18, the hold in the place of the heating, the line of another size: a \
              record makes such an error pass for a qualified time. A size without a published \
              row \
              is held against the sizes next to it. Half and twice are this program's own limits, \
              wide enough for any time that test joints have proven.")
        .example("cycles: {rows: [{size: 1-1/4 IPS, heat: 81 s, source: trial joints, record: \
                  PQ-9}]}")
        .fix("Read the time again in the record. Where the record does say so, have a qualified \
              person find out why before any joint is made by it.");
    TOOL_SIZE_IMPLAUSIBLE = error(
        "A cutter, a machine or a larger cold ring is far from any pipe that is socket fused.")
        .why("Whether the tool takes the pipe is judged by that size. 20 IPS for 2 IPS lets a \
              cutter pass that is too small for the pipe.")
        .example("tools: {cutter: {largest: 20 IPS}}      # for 2 IPS")
        .fix("Write the largest pipe that it takes, as a size of IPS, CTS or metric pipe.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
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
    for (size, pipe) in &spec.measured {
        if let Some(od) = &pipe.outside_diameter {
            findings.extend(diameter_for(context, size, od));
        }
    }
    for (size, spigot) in &spec.fittings.spigots {
        if let Some(od) = &spigot.outside_diameter {
            findings.extend(diameter_for(context, size, od));
        }
        let od = context.limits.outside_diameter(size.value);
        if let (Some(od), Some(wall)) = (od, &spigot.wall) {
            findings.extend(wall_for(
                context, size.value, od.value, wall.value, wall.span,
            ));
        }
    }
    times(context, findings);
    let cutter = spec.tools.cutter_largest.as_ref();
    let machine = spec.tools.machine_largest.as_ref();
    for (tool, size) in [("cutter", cutter), ("machine", machine)] {
        findings.extend(size.and_then(|size| unknown(context, tool, size)));
    }
    for range in spec.tools.cutters.iter().flat_map(|cutter| &cutter.sizes) {
        let largest = Spanned::new(range.value.most, range.span);
        findings.extend(unknown(context, "cutter", &largest));
    }
    for (_, ring) in &spec.tools.cold_rings {
        let within = ring.insert_in.as_ref();
        findings.extend(within.and_then(|size| unknown(context, "cold ring", size)));
    }
}

fn implausible(at: Span, message: String) -> Finding {
    IMPLAUSIBLE_FOR_SIZE.at(at, message).help(
        "check the unit, the decimal point and the size; these limits are this program's \
            own and only catch typing errors",
    )
}

/// Checks walls stated as lengths by their ratio.
fn walls(context: &Context<'_>, joint: &Joint, findings: &mut Vec<Finding>) {
    let Some(od) = joint.outside_diameter.as_ref().map(|od| od.value) else {
        return;
    };
    for pipe in &joint.pipes {
        let WallLabel::Stated(wall) = pipe.label else {
            continue;
        };
        findings.extend(wall_for(context, joint.size, od, wall, pipe.claimed_at));
    }
}

fn wall_for(
    context: &Context<'_>,
    size: Size,
    od: Length,
    wall: Length,
    at: Span,
) -> Option<Finding> {
    // Another rule reports a wall that leaves no bore.
    let ratio = DimensionRatio::from_wall(od, wall).filter(|_| wall.scaled(2, 1) < od)?;
    let Range { least, most } = RATIO.range;
    (!RATIO.contains(ratio)).then(|| {
        implausible(
            at,
            format!(
                "a wall of {} on {size} makes a dimension ratio of {}; those run from {} to {}",
                context.length(wall),
                ratio.number(),
                least.number(),
                most.number()
            ),
        )
    })
}

/// Reports a diameter more than 5 % off that of its size.
fn diameter_for(
    context: &Context<'_>,
    size: &Spanned<Size>,
    measured: &Written<Length>,
) -> Option<Finding> {
    let od = context.limits.outside_diameter(size.value)?.value;
    (od.distance(measured.value) > od.scaled(1, 20)).then(|| {
        implausible(
            measured.span,
            format!(
                "{} is {} across, and {} was written",
                size.value,
                context.length(od),
                context.length(measured.value)
            ),
        )
    })
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

/// Published times of a joint, or of the sizes next to it.
struct Published {
    heat: Range<Duration>,
    /// The shortest hold.
    hold: Option<Duration>,
    what: &'static str,
}

fn published(context: &Context<'_>, joint: &Joint) -> Option<Published> {
    if let Some(heat) = &joint.published.heat {
        return Some(Published {
            heat: heat.value,
            hold: joint.published.hold.as_ref().map(|hold| hold.value),
            what: "the published",
        });
    }
    let group = context.procedure.resin.as_ref()?.group;
    let od = joint.outside_diameter.as_ref()?.value;
    let practice = context.procedure.practice();
    let systems = [SizeSystem::Ips, SizeSystem::Cts, SizeSystem::Metric];
    let systems = systems.into_iter().filter(|system| practice.has(*system));
    let sizes = systems.flat_map(|system| context.limits.sizes(system));
    let rows = sizes.flat_map(|size| {
        [WallGroup::Thick, WallGroup::Thin]
            .into_iter()
            .filter_map(move |walls| {
                let od = context.limits.outside_diameter(size)?.value;
                let cycle = context.limits.cycle(group, size, Some(walls));
                Some((od, cycle.heat?.value, cycle.hold.map(|hold| hold.value)))
            })
    });
    let rows: Vec<_> = rows.collect();
    let below = rows.iter().map(|(d, ..)| *d).filter(|d| *d <= od).max();
    let above = rows.iter().map(|(d, ..)| *d).filter(|d| *d >= od).min();
    let next: Vec<_> = rows
        .iter()
        .filter(|(d, ..)| Some(*d) == below || Some(*d) == above)
        .collect();
    let least = next.iter().map(|(_, heat, _)| heat.least).min()?;
    let most = next.iter().map(|(_, heat, _)| heat.most).max()?;
    Some(Published {
        heat: Range::new(least, most),
        hold: next.iter().filter_map(|(.., hold)| *hold).min(),
        what: "what is published for the sizes next to it,",
    })
}

fn times(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    for row in &spec.cycles.rows {
        let joints = cycles::joints_of(context, row);
        let published = joints.iter().find_map(|joint| published(context, joint));
        let Some(published) = published else { continue };
        if let Some(heat) = &row.heat {
            findings.extend(far_from_published(
                row.size.value,
                "heating",
                heat,
                &published,
            ));
        }
        let hold = row.hold.as_ref().zip(published.hold);
        if let Some((hold, shortest)) = hold.filter(|(own, hold)| own.value.times(2) < *hold) {
            findings.push(far_off(
                hold.span,
                format!(
                    "a hold of {} for {} is less than half {} {}",
                    hold.value.show(),
                    row.size.value,
                    published.what,
                    shortest.show()
                ),
            ));
        }
    }
    for pair in &spec.fittings.unlike {
        let size = pair.size.value;
        let mut joints = context
            .procedure
            .joints
            .iter()
            .filter(|joint| joint.size == size);
        let Some(published) = joints.find_map(|joint| published(context, joint)) else {
            continue;
        };
        for (what, heat) in [
            ("heating the pipe", &pair.pipe_heat),
            ("heating the fitting", &pair.fitting_heat),
        ] {
            findings.extend(far_from_published(size, what, heat, &published));
        }
    }
}

fn far_from_published(
    size: Size,
    what: &str,
    own: &Written<Range<Duration>>,
    published: &Published,
) -> Option<Finding> {
    let Range { least, most } = own.value;
    let limit = published.heat;
    let is_far = least.times(2) < limit.least || most > limit.most.times(2);
    is_far.then(|| {
        far_off(
            own.span,
            format!(
                "{what} {} for {size} is less than half or more than twice {} {}",
                wording::times(own.value),
                published.what,
                wording::times(limit)
            ),
        )
    })
}

fn far_off(at: Span, message: String) -> Finding {
    TIMES_FAR_FROM_PUBLISHED
        .at(at, message)
        .help("read the time again where it comes from; where it does say so, find out why before any joint is made by it")
}

fn unknown(context: &Context<'_>, tool: &str, size: &Spanned<Size>) -> Option<Finding> {
    if tool_reach(size.value, context.limits).is_some() {
        return None;
    }
    Some(
        TOOL_SIZE_IMPLAUSIBLE
            .at(
                size.span,
                format!(
                    "the {tool} takes pipe up to {}, far from any pipe that is socket fused",
                    size.value
                ),
            )
            .help("write the largest pipe that it takes, as in 2 IPS or 63 mm"),
    )
}
