//! Rules about differences between the practices: resins and walls with metric times, the
//! machine, the mark in place of the cold ring, and the depth range.

use super::{Context, wording};
use crate::core::finding::{Finding, rules};
use crate::core::size::Size;
use crate::core::units::Range;
use crate::procedure::resolve::{Joint, needs_pusher};
use crate::published::{ResinGroup, WallGroup};

rules! {
    RESIN_OUTSIDE_PRACTICE = error(
        "The resin has its times in the other practice, not in the one the spec follows.")
        .why("US and metric times are for different tools, fits and heater windows, and the two \
              are never mixed in silence. A designation of one practice has no row in the other.")
        .example("procedure: {practice: us}\nscope: {resin: PE100}")
        .fix("Set `practice` to the one whose tools and times the crew works with, and write the \
              designation that practice uses, as the print line of the pipe gives it.");
    FUSION_NOT_ADVISABLE = error(
        "The published table says that socket fusion of this wall is not advisable.")
        .why("The wall is so thin that the melt takes most of it: the pipe end folds in as it \
              enters the socket, and the bore closes where nobody can see it.")
        .example("procedure: {practice: metric}\nscope: {pipe: {sizes: 50 mm, dimension_ratio: \
                  17}}")
        .fix("Claim a thicker wall for this size, or join the thin pipe by another method, under a \
              procedure of its own.");
    MACHINE_MISSING = error(
        "A metric size that needs a fusion machine, and none that takes it is listed.")
        .absence()
        .why("From this size on nobody pushes pipe and fitting together by hand straight, to depth \
              and in time. The joint ends up short or askew.")
        .example("procedure: {practice: metric}\nscope: {pipe: {sizes: 75 mm, dimension_ratio: \
                  11}}\ntools: {}")
        .fix("List the machine with the largest size it takes: tools: {machine: {largest: 110 \
              mm}}; or take the size out of the scope.");
    RING_NOT_OF_PRACTICE = warning(
        "Cold rings are listed under metric practice, which works without them.")
        .why("Metric hand practice marks the depth on the pipe and judges the bead. The papers of \
              a metric procedure say nothing about a ring, so listing one promises what they do \
              not keep.")
        .example("procedure: {practice: metric}\ntools: {cold_rings: [32 mm]}")
        .fix("Leave `cold_rings` out, or write the procedure under US practice if the crew works \
              with rings.");
    FIELD_NOT_OF_PRACTICE = warning(
        "A field of metric practice is given under US practice, whose papers do not print it.")
        .why("The author counts on something the crew never reads: peeling, or a machine where no \
              size is claimed that is joined with one.")
        .example("procedure: {practice: us}\ncleaning: {agent: isopropyl alcohol, strength: 91 %, \
                  peel: yes}")
        .fix("Take the field out, or write the procedure under metric practice.");
    PEELING_NOT_STATED = warning("The spec does not say whether the pipe end is peeled.")
        .absence()
        .why("Peeling changes the outside diameter, and with it the fit in the socket and the \
              adapter. Some sets of tools need it and some must not have it; the crew cannot \
              guess.")
        .example("procedure: {practice: metric}\ncleaning: {agent: isopropyl alcohol, strength: 91 \
                  %}")
        .fix("Ask the manufacturer of the adapters, and write cleaning: {peel: yes} or {peel: no}.");
    HOLD_NOT_PUBLISHED = warning(
        "No time to hold the joint still is published for the resin; it is held until the cooling \
         ends.")
        .absence()
        .why("The tables for this resin give the cooling alone. A shorter hold may be enough, but \
              nothing that was read says how short, so the papers print none.")
        .example("procedure: {practice: metric}\nscope: {resin: PP-R}")
        .fix("Take the hold from the manufacturer and state it: cycles.rows: [{size: 32 mm, hold: …, \
              source: …}].");
    BELOW_LOWEST_AMBIENT = error(
        "The pipe temperatures reach below the lowest that the code for this resin allows.")
        .why("Below it the pipe is brittle and the melt sets before the joint is fully in. The \
            code \
              names no lengthened time that would make up for it.")
        .example("scope: {resin: PP-R, pipe_temperature: -5 °C to 40 °C}")
        .fix("Raise the lower end of `pipe_temperature`, and warm the place of work instead.");
    DEPTH_OUTSIDE_BAND = error(
        "A depth lies outside the penetration band of the sockets of its size.")
        .why("Short of the band too little of the socket is fused; beyond it the soft end strikes \
              the stop and rolls inwards. The band is recalled, so compare it with the fittings on \
              hand.")
        .example("procedure: {practice: metric}\nfittings: {depths: {63 mm: {depth: 27.4 mm}}}")
        .fix("Take the depth from the fitting manufacturer or measure it, and check that it is the depth \
              of the pipe in the socket: the length of the socket and the distance of a witness line \
              are not.");
    DEPTH_BEYOND_SOCKET = error(
        "A depth is greater than the minimum published length of the socket, and no socket was \
         measured.")
        .why("The pipe cannot go in deeper than the socket is long. Most often the distance of the \
              witness line, which is longer than the socket, was taken for the depth.")
        .example("scope: {resin: PP-R}\nfittings: {depths: {32 mm: {depth: 22 mm}}}")
        .fix("Take the depth from the fitting manufacturer or measure it in the fitting. Where the \
              sockets on hand are longer, give their measured depth under fittings.sockets.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    resin(context, findings);
    if context.procedure.practice().has_ring() {
        metric_fields(context, findings);
        return;
    }
    for joint in &context.procedure.joints {
        advisable(joint, findings);
    }
    for joint in context.procedure.sizes() {
        machine(context, joint, findings);
        depth(context, joint, findings);
    }
    ring(context, findings);
    peeling(context, findings);
    hold(context, findings);
    ambient(context, findings);
}

fn resin(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let written = &context.procedure.spec.resin;
    let practice = context.procedure.practice();
    let Some(resin) = context.limits.resin(written) else {
        return;
    };
    let own = resin.group.practice();
    if own == practice {
        return;
    }
    findings.push(
        RESIN_OUTSIDE_PRACTICE
            .at(
                written.span,
                format!(
                    "{} has its times in {}; the spec follows {}",
                    resin.code,
                    own.name,
                    practice.name
                ),
            )
            .related(context.procedure.spec.practice.span, "the practice")
            .help(format!(
                "write `practice: {}` if the crew works with its tools and times; else write one of {}, if the print line says so",
                own.key,
                context.limits.resin_codes(practice).join(", ")
            )),
    );
}

/// Reports fields that US practice does not use and no paper prints.
fn metric_fields(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let peel = spec
        .cleaning
        .iter()
        .filter_map(|cleaning| cleaning.peel.as_ref());
    let peel = peel.map(|peel| ("cleaning.peel", peel.span));
    // A machine also holds and pushes the larger inch sizes.
    let mut joints = context.procedure.joints.iter();
    let pusher = &context.procedure.practice().pusher;
    let is_used = joints.any(|joint| needs_pusher(pusher, joint, context.limits).is_some());
    let machine = spec.tools.machine_largest.iter().filter(|_| !is_used);
    let machine = machine.map(|machine| ("tools.machine", machine.span));
    for (field, span) in peel.chain(machine) {
        findings.push(
            FIELD_NOT_OF_PRACTICE
                .at(
                    span,
                    format!("`{field}` belongs to metric practice, and the papers of this US procedure do not print it"),
                )
                .help("take it out, or set `practice: metric` if the crew works by it"),
        );
    }
}

fn advisable(joint: &Joint, findings: &mut Vec<Finding>) {
    let Some(entry) = &joint.published.not_advisable else {
        return;
    };
    // The rules on cycles judge the organization's own qualified time.
    let at = joint.wall_at;
    let walls = match joint.walls {
        Some(WallGroup::Thin) => " with a thin wall (SDR 17, 17.6)",
        Some(WallGroup::Thick) | None => "",
    };
    findings.push(
        FUSION_NOT_ADVISABLE
            .at(
                at,
                format!("socket fusion of {}{walls} is not advisable", joint.size),
            )
            .limit(wording::entry_source(entry))
            .help("claim SDR 11 or a thicker wall for this size, or leave the size out"),
    );
}

fn machine(context: &Context<'_>, joint: &Joint, findings: &mut Vec<Finding>) {
    let practice = context.procedure.practice();
    let Some(from) = needs_pusher(&practice.pusher, joint, context.limits) else {
        return;
    };
    let tools = &context.procedure.spec.tools;
    let in_mm = |size: Size| practice.has(size.system());
    let has_one = tools
        .machine_largest
        .as_ref()
        .is_some_and(|largest| in_mm(largest.value) && largest.value >= joint.size);
    if has_one {
        return;
    }
    let (at, has) = match &tools.machine_largest {
        Some(largest) if !in_mm(largest.value) => (
            largest.span,
            format!(
                "{} is an inch size, which says nothing about metric pipe",
                largest.value
            ),
        ),
        Some(largest) => (
            largest.span,
            format!("the machine takes pipe up to {}", largest.value),
        ),
        None => (joint.claimed_at, "none is listed".to_owned()),
    };
    findings.push(
        MACHINE_MISSING
            .at(at, format!("{} needs a fusion machine, and {has}", joint.size))
            .limit(wording::source(&from))
            .help(format!(
                "list one that takes it, tools: {{machine: {{largest: {}}}}}, or leave the size out",
                joint.size
            )),
    );
}

fn ring(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let Some((first, _)) = context.procedure.spec.tools.cold_rings.first() else {
        return;
    };
    findings.push(
        RING_NOT_OF_PRACTICE
            .at(first.span, "metric practice works without a cold ring")
            .help("leave `cold_rings` out, or set `practice: us` if the crew works with rings"),
    );
}

fn peeling(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let Some(cleaning) = spec.cleaning.as_ref().filter(|c| c.peel.is_none()) else {
        return;
    };
    findings.push(
        PEELING_NOT_STATED
            .at(
                cleaning.agent.span,
                "the spec does not say whether the pipe end is peeled",
            )
            .help("ask the manufacturer of the adapters and add `peel: yes` or `peel: no` to `cleaning`")
            .asks("`peel`", ""),
    );
}

fn hold(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let without: Vec<_> = context
        .procedure
        .sizes()
        .filter(|joint| joint.cycle.hold().is_none() && joint.cycle.before_handling().is_some())
        .collect();
    let Some(first) = without.first() else { return };
    let is_ppr = |resin: &crate::published::Resin| resin.group == ResinGroup::PpR;
    if !context.procedure.resin.as_ref().is_some_and(is_ppr) {
        return;
    }
    let sizes: Vec<_> = without.iter().map(|joint| joint.size).collect();
    let finding = HOLD_NOT_PUBLISHED
        .at(
            first.claimed_at,
            format!(
                "no hold apart from the cooling is published for {}; the joint is held still until the cooling ends",
                wording::sizes(&sizes)
            ),
        )
        .saying("sizes", wording::enumerate(&sizes))
        .help("take the hold from the manufacturer and state it under `cycles.rows`, with its source")
        .asks("the manufacturer's `hold` of", wording::enumerate(&sizes));
    findings.push(match context.limits.entry("metric-ppr-cycles:hold:hold") {
        Some(absent) => finding.limit(wording::entry_source(absent)),
        None => finding,
    });
}

fn ambient(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let procedure = context.procedure;
    let is_ppr = procedure
        .resin
        .as_ref()
        .is_some_and(|r| r.group == ResinGroup::PpR);
    let lowest = context
        .limits
        .entry("metric-temperatures:lowest-ambient-ppr:temperature")
        .and_then(|entry| entry.temperature());
    let (Some(range), Some(lowest)) = (&procedure.spec.pipe_temperature, lowest) else {
        return;
    };
    if !is_ppr || range.value.least >= lowest.value {
        return;
    }
    findings.push(
        BELOW_LOWEST_AMBIENT
            .at(
                range.span,
                format!(
                    "PP-R is joined down to {}, below {}",
                    context.temperature(range.value.least),
                    context.temperature(lowest.value)
                ),
            )
            .limit(wording::source(&lowest))
            .help("raise the lower end of `pipe_temperature`, and warm the place of work instead"),
    );
}

fn depth(context: &Context<'_>, joint: &Joint, findings: &mut Vec<Finding>) {
    let stated = context.gauge(joint.size);
    let (Some((_, depth)), Some(socket)) = (stated, &joint.socket) else {
        return;
    };
    // A measured socket is judged by its own depth.
    let mut sockets = context.procedure.spec.fittings.sockets.iter();
    let measured = sockets.any(|(size, socket)| size.value == joint.size && socket.depth.is_some());
    let least_length = socket.length.as_ref().filter(|_| !measured);
    if let Some(length) = least_length.filter(|length| depth.value > length.value) {
        findings.push(
            DEPTH_BEYOND_SOCKET
                .at(
                    depth.span,
                    format!(
                        "a depth of {} for {} is {} more than the minimum length of its socket, \
                        {}",
                        context.length(depth.value),
                        joint.size,
                        context.length(depth.value.distance(length.value)),
                        context.length(length.value)
                    ),
                )
                .limit(wording::source(length))
                .help("the distance of a witness line is longer than the socket and no depth: measure the fitting, and give the depth of its socket under `fittings.sockets` where it is longer"),
        );
        return;
    }
    let Some(band) = &socket.penetration else {
        return;
    };
    let Range { least, most } = band.value;
    if band.value.contains(depth.value) {
        return;
    }
    let (by, end) = if depth.value < least {
        (least, "less than the least")
    } else {
        (most, "more than the most")
    };
    findings.push(
        DEPTH_OUTSIDE_BAND
            .at(
                depth.span,
                format!(
                    "a depth of {} for {} is {} {end}: the band is {} to {}",
                    context.length(depth.value),
                    joint.size,
                    context.length(depth.value.distance(by)),
                    context.length(least),
                    context.length(most)
                ),
            )
            .limit(wording::source(band))
            .help("measure it in the fitting, or take it from the fitting's manufacturer; the length of a socket is no depth"),
    );
}
