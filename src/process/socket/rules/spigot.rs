//! Rules about spigot-ended fittings, which are gauged and ringed like a pipe end.

use crate::core::finding::{Finding, rules};
use crate::core::size::Size;
use crate::core::source::Span;
use crate::core::units::{Length, Range};
use crate::procedure::resolve::Joint;
use crate::rules::{Context, wording};
use crate::spec::{FittingKind, Spec, Spigot};

rules! {
    SPIGOT_WITHOUT_SOCKET = error(
        "Spigot-ended fittings are claimed, and no fitting with a socket.")
        .absence()
        .why("A spigot is a pipe end: it goes into a socket. Two spigots butted together are \
              another kind of joint, which this procedure does not describe.")
        .example("fittings: {kinds: [spigot]}")
        .fix("Add the kinds the spigot goes into, such as coupling, or take the spigot out.");
    SPIGOT_TOO_SHORT = error(
        "A spigot's straight end is shorter than the insertion depth and, in US practice, the cold \
         ring together.")
        .why("The ring has to sit on round, straight wall behind the depth. On the bend or the \
              taper it neither grips nor re-rounds, and the depth is set wrong. Without a ring the \
              whole depth still has to be straight.")
        .example("fittings: {kinds: [coupling, spigot], spigots: {1 IPS: {straight_length: 1.0 \
                  in}}}")
        .fix("Use a fitting with a longer spigot, or leave the spigot out for this size. Never \
              move the ring nearer to the end.");
    SPIGOT_LENGTH_UNKNOWN = note(
        "Whether the cold ring fits on the spigot could not be checked for a size.")
        .absence()
        .why("A spigot must have a straight end as long as insertion depth and ring together. \
              Without the figures the crew finds out in the trench.")
        .example("fittings: {kinds: [coupling, spigot]}      # no lengths")
        .fix("Measure and give what is missing: the spigot's straight_length, the width of the \
              cold ring, the depth of the gauge.");
    SPIGOT_OD_OUT_OF_BAND = error(
        "A spigot's measured outside diameter is outside the band of its size.")
        .why("A spigot goes into the socket in place of the pipe. Too small, it is loose and does \
              not fuse all round; too large, it scrapes the melt out of the socket.")
        .example("fittings: {kinds: [coupling, spigot], spigots: {1 IPS: {straight_length: 1.6 in, \
                  outside_diameter: 1.300 in}}}")
        .fix("Measure again with a pi tape. If it stands, scrap the fitting: no time makes up for \
              it.");
    SPIGOT_WALL_THIN = warning(
        "A spigot's measured wall is thinner than the thinnest wall claimed for its size.")
        .absence()
        .why("The times hold for the walls in the scope. A thinner spigot softens through and \
              folds as it is pushed in.")
        .example("fittings: {kinds: [coupling, spigot], spigots: {1 IPS: {straight_length: 1.6 in, \
                  wall: 0.060 in}}}")
        .fix("Use a fitting with a wall as in the scope, or prove this wall by test joints.");
    SPIGOT_NOT_MEASURED = warning(
        "Spigots are claimed for a size whose outside diameter or wall was not measured.")
        .absence()
        .why("Fittings with spigot ends are made for several kinds of joint. That one fits a \
              socket like pipe of its size is known only after it was measured.")
        .example("fittings: {kinds: [coupling, spigot], spigots: {1 IPS: {straight_length: 1.6 \
                  in}}}")
        .fix("Measure and give outside_diameter and wall of the spigots on hand.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let kinds = &spec.fittings.kinds;
    let Some(spigot) = kinds.iter().find(|kind| kind.value == FittingKind::Spigot) else {
        return;
    };
    if !kinds.iter().any(|kind| kind.value.has_socket()) {
        findings.push(
            SPIGOT_WITHOUT_SOCKET
                .at(
                    spigot.span,
                    "spigots are claimed, and no fitting with a socket for them to go into",
                )
                .help("add the kinds they go into, such as coupling"),
        );
    }
    let mut unknown = Unknown::default();
    let in_practice = |joint: &&Joint| joint.outside_diameter.is_some();
    for joint in context.procedure.sizes().filter(in_practice) {
        length(spec, joint, &mut unknown, findings);
        diameter(spec, joint, findings);
        wall(context, joint.size, findings);
    }
    not_measured(context, spigot.span, findings);
    if let Some(message) = unknown.message() {
        findings.push(
            SPIGOT_LENGTH_UNKNOWN
                .at(spigot.span, message)
                .help(spec.practice.value.spigot_needs)
                .brief(format!(
                    "whether the spigots are straight for long enough cannot be checked; {}",
                    spec.practice.value.spigot_needs
                )),
        );
    }
}

/// Sizes with missing measurements.
#[derive(Default)]
struct Unknown {
    lengths: Vec<Size>,
    rings: Vec<Size>,
    depths: Vec<Size>,
}

impl Unknown {
    fn message(&self) -> Option<String> {
        let named = [
            ("the spigot's straight length", &self.lengths),
            ("the ring's width", &self.rings),
            ("the depth", &self.depths),
        ];
        let missing: Vec<_> = named
            .iter()
            .filter(|(_, sizes)| !sizes.is_empty())
            .map(|(what, sizes)| format!("{what} for {}", wording::sizes(sizes)))
            .collect();
        (!missing.is_empty()).then(|| {
            format!(
                "whether the spigot is straight for long enough cannot be checked without {}",
                missing.join("; ")
            )
        })
    }
}

fn length(spec: &Spec, joint: &Joint, unknown: &mut Unknown, findings: &mut Vec<Finding>) {
    let size = joint.size;
    let spigot = spec.fittings.spigots.iter().find(|(s, _)| s.value == size);
    let ring = match spec.practice.value.has_ring() {
        true => ring_width(spec, size),
        // No ring is clamped behind the depth.
        false => Some((Length::ZERO, None)),
    };
    let depth = joint.depth.known();
    if spigot.is_none() {
        unknown.lengths.push(size);
    }
    if ring.is_none() {
        unknown.rings.push(size);
    }
    if depth.is_none() {
        unknown.depths.push(size);
    }
    let (Some((_, spigot)), Some(ring), Some(depth)) = (spigot, ring, depth) else {
        return;
    };
    let (width, place) = ring;
    let needed = depth.value + width;
    if spigot.straight_length.value < needed {
        findings.push(too_short(spec, size, spigot, needed, place));
    }
}

/// The ring's width and its place in the spec.
fn ring_width(spec: &Spec, size: Size) -> Option<(Length, Option<Span>)> {
    let (_, ring) = spec
        .tools
        .cold_rings
        .iter()
        .find(|(s, _)| s.value == size)?;
    let width = ring.width.as_ref()?;
    Some((width.value, Some(width.span)))
}

fn too_short(
    spec: &Spec,
    size: Size,
    spigot: &Spigot,
    needed: Length,
    ring: Option<Span>,
) -> Finding {
    let units = spec.practice.value.units;
    let straight = &spigot.straight_length;
    let takes = match ring {
        Some(_) => "depth and cold ring take",
        None => "the depth takes",
    };
    let finding = SPIGOT_TOO_SHORT
        .at(
            straight.span,
            format!(
                "the {size} spigot is straight for {}; {takes} {}, so it is short by {}",
                units.length(straight.value),
                units.length(needed),
                units.length(needed.distance(straight.value))
            ),
        )
        .help("use a fitting with a longer spigot, or leave spigots out for this size");
    match ring {
        Some(ring) => finding.related(ring, "the width of the cold ring"),
        None => finding,
    }
}

/// The spigot of a size, if the spec gives one.
fn spigot_of(spec: &Spec, size: Size) -> Option<&Spigot> {
    let mut spigots = spec.fittings.spigots.iter();
    spigots
        .find(|(s, _)| s.value == size)
        .map(|(_, spigot)| spigot)
}

fn diameter(spec: &Spec, joint: &Joint, findings: &mut Vec<Finding>) {
    let measured = spigot_of(spec, joint.size).and_then(|s| s.outside_diameter.as_ref());
    let (Some(measured), Some(band)) = (measured, &joint.od_band) else {
        return;
    };
    let Range { least, most } = band.value;
    let (by, side) = if measured.value < least {
        (least - measured.value, "below")
    } else if measured.value > most {
        (measured.value - most, "above")
    } else {
        return;
    };
    let units = spec.practice.value.units;
    findings.push(
        SPIGOT_OD_OUT_OF_BAND
            .at(
                measured.span,
                format!(
                    "the {} spigot measures {}, {} {side} the band of {} to {}",
                    joint.size,
                    units.length(measured.value),
                    units.length(by),
                    units.length(least),
                    units.length(most)
                ),
            )
            .limit(wording::source(band))
            .help("measure again with a pi tape; a fitting that is out of the band is scrap"),
    );
}

fn wall(context: &Context<'_>, size: Size, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let Some(measured) = spigot_of(spec, size).and_then(|s| s.wall.as_ref()) else {
        return;
    };
    let of_size = context.procedure.joints.iter().filter(|j| j.size == size);
    let walls = of_size
        .flat_map(|joint| &joint.pipes)
        .map(|pipe| &pipe.minimum_wall);
    let Some(thinnest) = walls.min_by_key(|wall| wall.value) else {
        return;
    };
    if measured.value >= thinnest.value {
        return;
    }
    let units = spec.practice.value.units;
    findings.push(
        SPIGOT_WALL_THIN
            .at(
                measured.span,
                format!(
                    "the wall of the {size} spigot is {}, {} below the thinnest claimed, {}",
                    units.length(measured.value),
                    units.length(thinnest.value - measured.value),
                    units.length(thinnest.value)
                ),
            )
            .limit(wording::source(thinnest))
            .help("use a fitting with a wall as in the scope, or prove this wall by test joints"),
    );
}

fn not_measured(context: &Context<'_>, at: Span, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let without = |has: fn(&Spigot) -> bool| {
        let joints = context.procedure.sizes();
        let sizes = joints.map(|joint| joint.size);
        let sizes: Vec<_> = sizes
            .filter(|size| !spigot_of(spec, *size).is_some_and(has))
            .collect();
        sizes
    };
    let (od, wall) = (
        without(|s| s.outside_diameter.is_some()),
        without(|s| s.wall.is_some()),
    );
    let mut either: Vec<_> = od.iter().chain(&wall).copied().collect();
    either.sort();
    either.dedup();
    let missing: Vec<_> = [("outside diameter", od), ("wall", wall)]
        .into_iter()
        .filter(|(_, sizes)| !sizes.is_empty())
        .map(|(what, sizes)| format!("{what} for {}", wording::sizes(&sizes)))
        .collect();
    if missing.is_empty() {
        return;
    }
    findings.push(
        SPIGOT_NOT_MEASURED
            .at(
                at,
                format!("spigots were not measured: {}", missing.join("; ")),
            )
            .saying("sizes", wording::enumerate(&either))
            .help("give fittings.spigots: {SIZE: {outside_diameter: …, wall: …, source: …}}, or leave spigots out")
            .asks("`fittings.spigots` of", wording::enumerate(&either)),
    );
}
