//! Rules about insertion depths: measured, traceable, and consistent with each other, the
//! adapters, and the sockets.

use crate::core::finding::{Finding, rules};
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::print::UnitsFirst;
use crate::core::units::{Length, Range};
use crate::procedure::resolve::{Depth, Joint};
use crate::process::socket::practice::DepthBy;
use crate::rules::{Context, wording};
use crate::spec::plausible::depth_of;
use crate::spec::{DepthGauge, GaugeDepth, Status, Written};

rules! {
    DEPTH_MISSING = error("A size is claimed, and the spec gives no insertion depth for it.")
        .absence()
        .why("The depth decides how much of the socket is fused and where the ring sits. No \
              published depth for inch sizes could be read, so none is assumed: it is measured on \
              the gauge that is used.")
        .example("scope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}\ntools: {depth_gauges: {}}")
        .fix("Measure the gauge with a caliper from its inside stop to the face that sets the cold \
              ring, three readings around, and write {depth: 0.72 in, source: \"caliper, gauge \
              DG-3, 2026-11-02\"} with your figures. A draft may say `depth: to be measured`.");
    DEPTH_NOT_MEASURED = warning("A depth is still to be measured.")
        .why("Nobody can make a joint without its depth, so the card prints NO JOINT in the row of \
              the size, without its times, and no depth mark is made. That is fit for a draft and \
              not for work.")
        .example("procedure: {status: draft}\ntools: {depth_gauges: {1 IPS: {depth: to be \
                  measured}}}")
        .fix("Measure the gauge and write the depth with its source.");
    DEPTH_NOT_MEASURED_BUT_QUALIFIED = error(
        "A procedure that claims to be qualified has a depth still to be measured.")
        .why("Test joints cannot prove a depth that nobody knows.")
        .example("procedure: {status: qualified}\ntools: {depth_gauges: {1 IPS: {depth: to be \
                  measured}}}")
        .fix("Measure the gauge that the test joints were made with, or set the status to draft.");
    DEPTH_WITHOUT_SOURCE = warning("A depth is given without saying how it was measured.")
        .absence()
        .why("Gauges wear, get dropped and are replaced. Only a source that names the gauge and \
              the day tells whether the figure is that of the gauge on the truck.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 0.72 in}}}")
        .fix("Add a source such as \"caliper, gauge DG-3, 2026-11-02\".");
    ADAPTER_AND_GAUGE_DIFFER = warning(
        "The female adapter and the depth gauge of a size have different depths.")
        .why("The ring is set by the gauge and stops at the adapter. Where the adapter is deeper \
              the pipe end is not heated to its stop; where it is shallower the end is upset \
              against the bottom. No published tolerance was found: the manufacturer's decides.")
        .example("heater: {adapters: {1 IPS: {depth: 0.75 in}}}\ntools: {depth_gauges: {1 IPS: \
                  {depth: 0.72 in}}}")
        .fix("Measure both again. Use gauge and adapter that belong together, or have the manufacturer \
              confirm that the difference is allowed.");
    SOCKET_SHALLOWER_THAN_GAUGE = error("A socket is shallower than the depth the gauge sets.")
        .why("The soft pipe end strikes the stop of the fitting before the ring meets its face. \
              The end rolls inwards and narrows the bore, and the ring never shows that the depth \
              is right.")
        .example("fittings: {sockets: {1 IPS: {depth: 0.65 in}}}\ntools: {depth_gauges: {1 IPS: \
                  {depth: 0.72 in}}}")
        .fix("Measure both again. Use a gauge made for these fittings, or fittings that suit the \
              gauge.");
    DEPTH_FALLS_WITH_SIZE = warning("A larger size has a smaller depth than the size before it.")
        .why("Sockets get deeper with size, or stay as deep. A depth that falls is most often two \
              gauges that changed places, or a typing error.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 0.72 in}, 1-1/4 IPS: {depth: 0.66 in}}}")
        .fix("Measure both gauges again and check that each is marked with its own size.");
    DEPTH_OF_TWO_SIZES = warning("A size has the same depth as the size before it.")
        .why("Sockets mostly get deeper with size. A line that was copied and not corrected gives \
              the larger size the depth of the smaller one, and too little of its socket is fused.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 0.72 in}, 1-1/4 IPS: {depth: 0.72 in}}}")
        .fix("Measure both gauges again. If they are alike, leave both as they are.");
    DEPTH_UNIT_SLIP = warning("A depth is far from what any socket of this size has.")
        .why("16 in for 16 mm, or 0.16 for 0.61: the gauge is right and the paper is not. The band \
              is wide, 0.6 to 1.4 times 0.3 d + 8.5 mm, a metric socket rule; it catches typing \
              errors and \
              says nothing about the right depth.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 1.2 in}}}")
        .fix("Read the caliper again and check the unit and the decimal point.");
    DEPTH_IMPOSSIBLE = error(
        "A depth is certainly a typing error: less than the pipe's wall, right in the other unit \
        or with \
         the decimal point elsewhere, or far from any socket of the size.")
        .why("A joint shallower than the pipe's wall is thick does not hold. And a depth that no \
              socket has, but every socket would have if inches were millimeters or millimeters \
              inches, or if the point stood one place further, has a typing error. So was one \
              outside half to 1.6 times 0.3 d + 8.5 mm, a metric socket rule. No such test sets a \
              limit on a depth that could be right; a strip or a card with the wrong one would be \
              worked by.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 0.71 mm}}}")
        .fix("Read the caliper again and write the unit it shows.");
    DEPTHS_DIFFER = error(
        "A size has two depths that differ: one of its gauge, one of its fitting.")
        .why("Only one can be marked on the pipe. A crew that meets the other one in the same \
              procedure does not know which of its joints are deep enough.")
        .example("tools: {depth_gauges: {32 mm: {depth: 16 mm}}}\nfittings: {depths: {32 mm: \
                  {depth: 17 mm}}}")
        .fix("Measure both again, and keep the depth that the joints are made with.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let mut before: Option<(Size, &Written<Length>)> = None;
    // A size without published dimensions is outside the practice and reported once.
    let in_practice = |joint: &&Joint| joint.outside_diameter.is_some();
    for joint in context.procedure.sizes().filter(in_practice) {
        stated(context, joint, findings);
        let Some((gauge, depth)) = context.gauge(joint.size) else {
            continue;
        };
        if gauge.source.is_none() {
            findings.push(
                DEPTH_WITHOUT_SOURCE
                    .at(
                        depth.span,
                        format!(
                            "the depth of {} does not say how it was measured",
                            joint.size
                        ),
                    )
                    .help("add `source:` with the instrument, the gauge and the day"),
            );
        }
        findings.extend(two_depths(context, joint.size));
        adapter(context, joint.size, depth, findings);
        socket(context, joint.size, depth, findings);
        findings
            .extend(impossible(context, joint, depth).or_else(|| unit_slip(context, joint, depth)));
        if let Some((smaller, shallower)) = before
            && smaller.system() == joint.size.system()
        {
            if depth.value < shallower.value {
                findings.push(depth_falls(context, smaller, shallower, joint.size, depth));
            } else if depth.value == shallower.value {
                findings.push(same_depth(context, smaller, shallower, joint.size, depth));
            }
        }
        before = Some((joint.size, depth));
    }
}

fn stated(context: &Context<'_>, joint: &Joint, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let size = joint.size;
    match joint.depth {
        Depth::Known(_) => {}
        Depth::Missing => {
            let (place, name) = match context.procedure.practice().depth_by {
                DepthBy::Ring => (spec.tools.span, "tools.depth_gauges"),
                DepthBy::Mark => (spec.fittings.span, "fittings.depths"),
            };
            findings.push(
                DEPTH_MISSING
                    .at(
                        joint.claimed_at,
                        format!("{size} is claimed and has no insertion depth"),
                    )
                    .related(place, format!("`{name}` has no {size}"))
                    .help(how_to_measure(context))
                    .brief(format!(
                        "{size} has no insertion depth; add {size} to `{name}`, with its depth as \
                         measured"
                    )),
            );
        }
        Depth::ToBeMeasured(span) => findings.push(not_measured(context, size, span)),
    }
}

fn how_to_measure(context: &Context<'_>) -> &'static str {
    context.procedure.practice().how_to_measure_depth
}

fn not_measured(context: &Context<'_>, size: Size, span: Span) -> Finding {
    let spec = context.procedure.spec;
    if spec.status.value == Status::Qualified {
        return DEPTH_NOT_MEASURED_BUT_QUALIFIED
            .at(span, format!("the depth of {size} is still to be measured, and the procedure claims to be qualified"))
            .related(spec.status.span, "the claim")
            .help("measure the depth the test joints were made with, or set the status to draft");
    }
    DEPTH_NOT_MEASURED
        .at(span, format!("the depth of {size} is still to be measured; until then the card prints NO JOINT for {size}, with no times, and no depth mark is made"))
        .saying("size", size.to_string())
        .help(how_to_measure(context))
        .brief(format!("the depth of {size} is still to be measured; until then NO JOINT in {size}"))
        .asks("the depth (NO JOINT until measured) of", size.to_string())
}

/// Compares the depth of the gauge with that of the fitting.
fn two_depths(context: &Context<'_>, size: Size) -> Option<Finding> {
    let spec = context.procedure.spec;
    let known = |depths: &'_ [(Spanned<Size>, DepthGauge)]| {
        let (_, depth) = depths.iter().find(|(s, _)| s.value == size)?;
        match &depth.depth {
            GaugeDepth::Known(depth) => Some((depth.value, depth.span)),
            GaugeDepth::ToBeMeasured(_) => None,
        }
    };
    let (gauge, gauge_at) = known(&spec.tools.depth_gauges)?;
    let (fitting, fitting_at) = known(&spec.fittings.depths)?;
    let difference = context.length(gauge.distance(fitting));
    // A difference too small to print is the same depth in another unit.
    if difference == context.length(Length::ZERO) {
        return None;
    }
    Some(
        DEPTHS_DIFFER
            .at(
                fitting_at,
                format!(
                    "{size} has a depth of {} here and of {} on its gauge, {difference} apart",
                    context.length(fitting),
                    context.length(gauge)
                ),
            )
            .related(gauge_at, "the gauge")
            .help("measure both again and keep the depth that the joints are made with"),
    )
}

/// What sets the depth of a size: its gauge or a stated depth.
fn set_by(context: &Context<'_>, size: Size) -> &'static str {
    let mut gauges = context.procedure.spec.tools.depth_gauges.iter();
    if gauges.any(|(s, _)| s.value == size) {
        "depth gauge"
    } else {
        "stated depth"
    }
}

fn adapter(
    context: &Context<'_>,
    size: Size,
    gauge: &Written<Length>,
    findings: &mut Vec<Finding>,
) {
    let adapter = context
        .procedure
        .spec
        .heater
        .adapters
        .iter()
        .find(|(s, _)| s.value == size);
    let Some(depth) = adapter.and_then(|(_, adapter)| adapter.depth.as_ref()) else {
        return;
    };
    let difference = context.length(depth.value.distance(gauge.value));
    // A difference too small to print is the same depth in another unit: 0.64 in and
    // 16.26 mm.
    if difference == context.length(Length::ZERO) {
        return;
    }
    let deeper = if depth.value > gauge.value {
        "deeper"
    } else {
        "shallower"
    };
    findings.push(
        ADAPTER_AND_GAUGE_DIFFER
            .at(depth.span, format!("the {size} adapter is {difference} {deeper} than the {}", set_by(context, size)))
            .related(gauge.span, format!("the {}: {}", set_by(context, size), context.length(gauge.value)))
            .help("no published tolerance was found, so the manufacturer's decides; measure both again and check that they belong together"),
    );
}

fn socket(context: &Context<'_>, size: Size, gauge: &Written<Length>, findings: &mut Vec<Finding>) {
    let socket = context
        .procedure
        .spec
        .fittings
        .sockets
        .iter()
        .find(|(s, _)| s.value == size);
    let Some((_, socket)) = socket else { return };
    let Some(depth) = &socket.depth else { return };
    if depth.value >= gauge.value {
        return;
    }
    findings.push(
        SOCKET_SHALLOWER_THAN_GAUGE
            .at(
                depth.span,
                format!(
                    "the {size} socket is {} deep, {} less than the {}",
                    context.length(depth.value),
                    context.length(depth.value.distance(gauge.value)),
                    set_by(context, size)
                ),
            )
            .related(
                gauge.span,
                format!(
                    "the {}: {}",
                    set_by(context, size),
                    context.length(gauge.value)
                ),
            )
            .help("measure both again; the depth has to suit these fittings"),
    );
}

fn depth_falls(
    context: &Context<'_>,
    smaller: Size,
    before: &Written<Length>,
    size: Size,
    depth: &Written<Length>,
) -> Finding {
    DEPTH_FALLS_WITH_SIZE
        .at(
            depth.span,
            format!(
                "{size} has a depth of {}, {} less than {smaller}",
                context.length(depth.value),
                context.length(before.value.distance(depth.value))
            ),
        )
        .related(
            before.span,
            format!("{smaller}: {}", context.length(before.value)),
        )
        .help("measure both again and check that each belongs to its own size")
}

fn same_depth(
    context: &Context<'_>,
    smaller: Size,
    before: &Written<Length>,
    size: Size,
    depth: &Written<Length>,
) -> Finding {
    DEPTH_OF_TWO_SIZES
        .at(
            depth.span,
            format!(
                "{size} has the depth of {smaller}, {}",
                context.length(depth.value)
            ),
        )
        .related(before.span, format!("the depth of {smaller}"))
        .help("measure both again; if they are alike, leave both as they are")
}

/// Depths outside this range can only be typing errors for a pipe of diameter `od`.
fn plausible_depths(od: Length) -> Range<Length> {
    let rule = od.scaled(3, 10) + Length::from_micrometers(8500);
    Range::new(rule.scaled(6, 10), rule.scaled(14, 10))
}

/// Reports an impossible depth, or one that is probably in the wrong unit or has a
/// misplaced decimal point. The narrow range is used only to explain the error; beyond
/// the wide range no explanation is needed. Depths that are too large are reported
/// where they are read.
fn impossible(context: &Context<'_>, joint: &Joint, depth: &Written<Length>) -> Option<Finding> {
    let od = joint.outside_diameter.as_ref()?.value;
    let band = plausible_depths(od);
    let units = context.procedure.practice().units;
    let slips = [
        ("number in inches", UnitsFirst::Us, (254, 10)),
        (
            "digits with the point one place to the right",
            units,
            (10, 1),
        ),
    ];
    let written_otherwise = slips
        .into_iter()
        .map(|(how, units, (times, over))| (how, units, depth.value.scaled(times, over)))
        .find(|(_, _, other)| !band.contains(depth.value) && band.contains(*other));
    let any = depth_of(od);
    // A wall that leaves no bore is itself the error.
    let walls = joint.pipes.iter().map(|pipe| pipe.minimum_wall.value);
    let thickest = walls
        .filter(|wall| wall.scaled(2, 1) < od && depth.value < *wall)
        .max();
    let why = match (written_otherwise, thickest) {
        (Some((how, units, other)), _) => format!(
            "the same {how} would be {}, as sockets of this size have",
            units.length(other)
        ),
        (None, Some(wall)) => format!("the wall alone is {} thick", context.length(wall)),
        (None, None) if any.contains(depth.value) => return None,
        (None, None) => format!(
            "sockets of this size are {} to {} deep, by this program's own wide limits for \
            typing errors",
            context.length(any.least),
            context.length(any.most)
        ),
    };
    Some(
        DEPTH_IMPOSSIBLE
            .at(
                depth.span,
                format!(
                    "{} cannot have a depth of {}: {why}",
                    joint.size,
                    context.length(depth.value)
                ),
            )
            .help("read the caliper again and write the unit it shows"),
    )
}

fn unit_slip(context: &Context<'_>, joint: &Joint, depth: &Written<Length>) -> Option<Finding> {
    let band = plausible_depths(joint.outside_diameter.as_ref()?.value);
    if band.contains(depth.value) {
        return None;
    }
    let finding = DEPTH_UNIT_SLIP
        .at(
            depth.span,
            format!(
                "a depth of {} for {} lies outside {} to {}: probably a typing error in the unit \
                or the decimal point",
                context.length(depth.value),
                joint.size,
                context.length(band.least),
                context.length(band.most)
            ),
        )
        .help("check the unit and the decimal point, and read the caliper again");
    Some(match context.limits.entry("us-depth:unit-slip:text") {
        Some(rule) => finding.limit(wording::entry_source(rule)),
        None => finding,
    })
}

#[cfg(test)]
mod tests {
    use crate::process::socket::rules::depth::*;

    /// Sockets of the metric PE standard (recalled): d and length, then 0.6 and 1.4 times
    /// 0.3 d + 8.5 mm, computed by hand. All in µm.
    const SOCKETS: [[i64; 4]; 4] = [
        [16_000, 13_300, 7_980, 18_620],
        [32_000, 18_100, 10_860, 25_340],
        [63_000, 27_400, 16_440, 38_360],
        [110_000, 37_000, 24_900, 58_100],
    ];

    #[test]
    fn the_band_ends_at_six_and_fourteen_tenths_of_the_socket_rule() {
        for [d, length, least, most] in SOCKETS {
            let band = plausible_depths(Length::from_micrometers(d));
            for (depth, inside) in [
                (least - 1, false),
                (least, true),
                (length, true),
                (most, true),
                (most + 1, false),
            ] {
                let taken = band.contains(Length::from_micrometers(depth));
                assert_eq!(taken, inside, "{depth} of {d}");
            }
        }
    }
}
