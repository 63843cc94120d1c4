//! Spigot-ended fittings, which are gauged and ringed like a pipe end.

use super::{Context, say};
use crate::finding::{
    Finding, Rule,
    Severity::{Error, Note},
};
use crate::resolve::Joint;
use crate::size::Size;
use crate::source::{Span, Spanned};
use crate::spec::{FittingKind, Spec, Spigot};
use crate::units::Length;

/// The rules of this family.
pub static RULES: &[&Rule] = &[
    &SPIGOT_WITHOUT_SOCKET,
    &SPIGOT_TOO_SHORT,
    &SPIGOT_LENGTH_UNKNOWN,
];

/// Spigots and nothing for them to go into.
static SPIGOT_WITHOUT_SOCKET: Rule = Rule {
    slug: "spigot-without-socket",
    severity: Error,
    summary: "Spigot-ended fittings are claimed, and no fitting with a socket.",
    why: "A spigot is a pipe end: it goes into a socket. Two spigots butted together are another \
          kind of joint, which this procedure does not describe.",
    example: "fittings: {kinds: [spigot]}",
    fix: "Add the kinds the spigot goes into, such as coupling, or take the spigot out.",
    dated: false,
};

/// No room for the ring.
static SPIGOT_TOO_SHORT: Rule = Rule {
    slug: "spigot-too-short",
    severity: Error,
    summary: "A spigot's straight end is shorter than the insertion depth and the cold ring together.",
    why: "The ring has to sit on round, straight wall behind the depth. On the bend or the taper \
          it neither grips nor re-rounds, and the depth is set wrong.",
    example: "fittings: {kinds: [coupling, spigot], spigots: {1 IPS: {straight_length: 1.0 in}}}",
    fix: "Use a fitting with a longer spigot, or leave the spigot out for this size. Never move \
          the ring nearer to the end.",
    dated: false,
};

/// Room for the ring cannot be checked.
static SPIGOT_LENGTH_UNKNOWN: Rule = Rule {
    slug: "spigot-length-unknown",
    severity: Note,
    summary: "Whether the cold ring fits on the spigot could not be checked for a size.",
    why: "A spigot must have a straight end as long as insertion depth and ring together. Without \
          the figures the crew finds out in the trench.",
    example: "fittings: {kinds: [coupling, spigot]}      # no lengths",
    fix: "Measure and give what is missing: the spigot's straight_length, the width of the cold \
          ring, the depth of the gauge.",
    dated: false,
};

/// Applies the family.
pub fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
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
    for joint in context.procedure.joints.iter().filter(in_practice) {
        length(spec, joint, &mut unknown, findings);
    }
    if let Some(message) = unknown.message() {
        findings.push(
            SPIGOT_LENGTH_UNKNOWN
                .at(spigot.span, message)
                .help("give fittings.spigots: {SIZE: {straight_length: …}}, tools.cold_rings: {SIZE: {width: …}} and the depth of the gauge"),
        );
    }
}

/// The sizes for which something is missing.
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
            .map(|(what, sizes)| format!("{what} for {}", say::sizes(sizes)))
            .collect();
        (!missing.is_empty()).then(|| {
            format!(
                "whether the cold ring fits on the spigot cannot be checked without {}",
                missing.join("; ")
            )
        })
    }
}

fn length(spec: &Spec, joint: &Joint, unknown: &mut Unknown, findings: &mut Vec<Finding>) {
    let size = joint.size;
    let spigot = spec.fittings.spigots.iter().find(|(s, _)| s.value == size);
    let ring = ring_width(spec, size);
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
    let needed = depth.value + ring.value;
    if spigot.straight_length.value < needed {
        findings.push(too_short(size, spigot, needed, ring.span));
    }
}

fn ring_width(spec: &Spec, size: Size) -> Option<Spanned<Length>> {
    let (_, ring) = spec
        .tools
        .cold_rings
        .iter()
        .find(|(s, _)| s.value == size)?;
    let width = ring.width.as_ref()?;
    Some(Spanned::new(width.value, width.span))
}

fn too_short(size: Size, spigot: &Spigot, needed: Length, ring: Span) -> Finding {
    let straight = &spigot.straight_length;
    SPIGOT_TOO_SHORT
        .at(
            straight.span,
            format!(
                "the {size} spigot is straight for {}; depth and cold ring take {}, so it is short by {}",
                say::length(straight.value),
                say::length(needed),
                say::length(needed.distance(straight.value))
            ),
        )
        .related(ring, "the width of the cold ring")
        .help("use a fitting with a longer spigot, or leave spigots out for this size")
}
