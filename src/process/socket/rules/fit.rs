//! Rules about the fit of pipe in socket: the ranges must overlap at both ends of the
//! socket, and measured pipe of the current lot must fit. Room for the ring on a spigot
//! is in `spigot`.

use crate::core::finding::{Finding, rules};
use crate::core::size::Size;
use crate::core::source::Span;
use crate::core::units::{Decimal, Length, LengthUnit, Range};
use crate::procedure::resolve::{self, Fit, Joint, SocketEnd};
use crate::published::{Entry, Sourced};
use crate::rules::{Context, wording};
use crate::spec::{MeasuredPipe, Socket, Spec, Written};

/// The published out-of-roundness of coils applies up to this size.
const LARGEST_COILED: &str = "3 IPS";

rules! {
    NO_INTERFERENCE_AT_EXTREME = warning(
        "The smallest pipe that is in tolerance is no larger than the widest socket.")
        .why("The melt is pressed together because the pipe is larger than the socket. Where the \
              smallest good pipe meets the widest good socket without any interference, nothing \
              presses, and the joint may look whole and hold nothing.")
        .example("fittings: {sockets: {2 IPS: {mouth: 2.350 to 2.372 in}}}      # least OD 2.369 \
                  in")
        .fix("Measure the sockets of the lot on hand at mouth and root, give the bands under \
              `fittings.sockets`, and ask the manufacturer of the fittings about a socket as wide as \
              that.");
    GIVEN_SOCKET_NOT_SMALLER_THAN_PIPE = error(
        "A given socket is no smaller than a pipe of mean diameter.")
        .why("Pipe that slides in cold has nothing to melt against. Either the figure is wrong, or \
              the fitting is of another size or system, or it is not a fusion fitting at all.")
        .example("fittings: {sockets: {2 IPS: {mouth: 2.38 to 2.40 in}}}      # mean OD 2.375 in")
        .fix("Measure the socket again and read the print line of fitting and pipe. A fitting that \
              slides fully home cold is scrapped.");
    SOCKET_BANDS_INVERTED = error("The root of a given socket is wider than its mouth.")
        .why("A fusion socket narrows from the mouth to the root, so that the melt is pressed \
              harder the further the pipe goes in. Figures that say otherwise are most likely \
              exchanged.")
        .example("fittings: {sockets: {2 IPS: {mouth: 2.34 to 2.35 in, root: 2.35 to 2.36 in}}}")
        .fix("Check which figure was read at which end, and write the wider band as `mouth`.");
    MEASURED_OD_OUT_OF_TOLERANCE = warning(
        "The measured outside diameter of a size lies outside its tolerance.")
        .why("A small pipe leaves too little to melt, a large one buckles as it goes in. Neither \
            heating time nor cold ring fixes a wrong mean diameter.")
        .example("scope: {measured: {2 IPS: {outside_diameter: 2.366 in}}}      # 2.369 to 2.381 \
                  in")
        .fix("Measure again with a pi tape, on several pipes and away from the cut end. If it \
              stands, do not fuse the lot: reject it, or ask its manufacturer.");
    MEASURED_OUT_OF_ROUNDNESS = warning(
        "The measured out-of-roundness of a size is more than the published one.")
        .why("An oval end touches socket and adapter on two sides only. Rounding holds the end \
              round while it is heated and joined; it does not change the mean diameter.")
        .example("scope: {measured: {2 IPS: {out_of_roundness: 0.060 in}}}      # at most 0.024 in")
        .fix("Let the pipe rest and measure it again, cut back flattened ends, and show on a trial \
              joint that the end rounds up. Pipe that stays oval is rejected.");
    MEASUREMENT_WITHOUT_SOURCE = warning(
        "A measured pipe or socket does not say how it was measured.")
        .absence()
        .why("The fit turns on tenths of a millimeter. Whoever doubts one has to know the \
              instrument, the lot and the day, or cannot tell a worn tool from a bad lot.")
        .example("scope: {measured: {2 IPS: {outside_diameter: 2.372 in}}}")
        .fix("Add `source:` with the instrument, how many were measured, and the day.");
    PEELED_FIT_UNKNOWN = note(
        "The pipe is peeled, and the bands of its fit are for pipe that is not.")
        .absence()
        .why("Peeling takes off diameter and with it interference. How much is not published in \
              anything that was read: it is up to the peeling tool and the adapters it belongs to.")
        .example("procedure: {practice: metric}\ncleaning: {agent: isopropyl alcohol, strength: 91 \
                  %, peel: yes}")
        .fix("Ask the manufacturer of the adapters what diameter the peeled end should have, and measure \
              it.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let procedure = context.procedure;
    let fits = resolve::fits(procedure);
    for joint in procedure.sizes() {
        let given = given_socket(procedure.spec, joint.size);
        if let Some((_, socket)) = given {
            findings.extend(inverted(context, joint.size, socket));
        }
        if let Some(fit) = fits.iter().find(|fit| fit.size == joint.size) {
            for (name, end, band) in [
                (
                    "mouth",
                    &fit.mouth,
                    given.and_then(|(_, s)| s.mouth.as_ref()),
                ),
                ("root", &fit.root, given.and_then(|(_, s)| s.root.as_ref())),
            ] {
                if let Some(end) = end {
                    findings.extend(check_end(context, joint, fit, name, end, band));
                }
            }
        }
        let measured = &procedure.spec.measured;
        if let Some((_, pipe)) = measured.iter().find(|(s, _)| s.value == joint.size) {
            findings.extend(diameter(context, joint, pipe));
            findings.extend(roundness(context, joint, pipe));
        }
    }
    without_source(procedure.spec, findings);
    findings.extend(peeled(context, &fits));
}

fn without_source(spec: &Spec, findings: &mut Vec<Finding>) {
    let pipes = spec
        .measured
        .iter()
        .map(|(size, pipe)| ("pipe", size, &pipe.source));
    let sockets = spec.fittings.sockets.iter();
    let sockets = sockets.map(|(size, socket)| ("socket", size, &socket.source));
    for (what, size, _) in pipes
        .chain(sockets)
        .filter(|(_, _, source)| source.is_none())
    {
        findings.push(
            MEASUREMENT_WITHOUT_SOURCE
                .at(
                    size.span,
                    format!(
                        "the {what} of {} does not say how it was measured",
                        size.value
                    ),
                )
                .help("add `source:` with the instrument, how many were measured, and the day"),
        );
    }
}

/// Reports peeling that leaves too little interference at the mouth.
fn peeled(context: &Context<'_>, fits: &[Fit]) -> Option<Finding> {
    let spec = context.procedure.spec;
    let peel = spec.cleaning.as_ref()?.peel.as_ref()?;
    if !peel.value || !context.procedure.practice().peels {
        return None;
    }
    let mouths = fits
        .iter()
        .filter_map(|fit| Some((fit.size, fit.mouth.as_ref()?)));
    let (size, mouth) = mouths.min_by_key(|(_, mouth)| mouth.interference.value.least)?;
    Some(
        PEELED_FIT_UNKNOWN
            .at(
                peel.span,
                format!(
                    "the bands of pipe and socket are for unpeeled pipe: at the mouth of {size} \
                    the minimum interference, {}, shrinks by what peeling takes off, and no \
                    figure for that was found",
                    show_length(context, mouth.interference.value.least)
                ),
            )
            .help("ask the manufacturer of the adapters what diameter the peeled end should have, and measure it"),
    )
}

/// One unit in the last written digit of a reading.
fn resolution(reading: &Written<Length>) -> Length {
    let number = reading.text.split_whitespace().next().unwrap_or_default();
    let digits = number.trim_end_matches(|c: char| !c.is_ascii_digit());
    let places = digits.split_once('.').map_or(0, |(_, places)| places.len());
    let unit = if reading.text.trim_end().ends_with("mm") {
        LengthUnit::Millimeter
    } else {
        LengthUnit::Inch
    };
    let Some(millionths) = u32::try_from(places).ok().and_then(|places| {
        let divisor = 10_i64.checked_pow(places)?;
        Some(1_000_000 / divisor)
    }) else {
        return Length::ZERO;
    };
    // A fraction, such as 2-3/8 in, has no last digit.
    if digits.contains('/') {
        return Length::ZERO;
    }
    Length::written(
        Decimal {
            millionths,
            places: 6,
        },
        unit,
    )
}

fn given_socket(spec: &Spec, size: Size) -> Option<(Span, &Socket)> {
    let sockets = spec.fittings.sockets.iter();
    let mut sockets = sockets.filter(|(s, _)| s.value == size);
    sockets.next().map(|(size, socket)| (size.span, socket))
}

/// A length in the practice's units.
fn show_length(context: &Context<'_>, length: Length) -> String {
    context.procedure.practice().units.length(length)
}

fn inverted(context: &Context<'_>, size: Size, socket: &Socket) -> Option<Finding> {
    let (mouth, root) = (socket.mouth.as_ref()?, socket.root.as_ref()?);
    // Only the same end of both ranges is comparable.
    let (end, at_root, at_mouth) = if root.value.most > mouth.value.most {
        ("widest", root.value.most, mouth.value.most)
    } else if root.value.least > mouth.value.least {
        ("narrowest", root.value.least, mouth.value.least)
    } else {
        return None;
    };
    Some(
        SOCKET_BANDS_INVERTED
            .at(
                root.span,
                format!(
                    "the {size} socket is given as {} at its {end} root, {} more than at its {end} mouth",
                    show_length(context, at_root),
                    show_length(context, at_root.distance(at_mouth))
                ),
            )
            .related(mouth.span, "the mouth")
            .help("write the wider band as `mouth`, or measure both ends again"),
    )
}

/// Compares one end of the socket with the pipe: certain looseness is an error, possible
/// looseness a warning. Published ranges give only warnings, because the author cannot
/// fix them.
fn check_end(
    context: &Context<'_>,
    joint: &Joint,
    fit: &Fit,
    name: &str,
    end: &SocketEnd,
    given: Option<&Written<Range<Length>>>,
) -> Option<Finding> {
    let size = joint.size;
    let place = given.map_or(joint.claimed_at, |band| band.span);
    let socket = end.socket.value;
    let mean = joint.mean_diameter.as_ref()?;
    if given.is_some() && socket.least >= mean.value {
        let slides = if name == "root" {
            "a pipe of mean diameter slides fully home cold"
        } else {
            "a pipe of mean diameter goes in cold"
        };
        return Some(
            GIVEN_SOCKET_NOT_SMALLER_THAN_PIPE
                .at(
                    place,
                    format!(
                        "the {size} socket is given as at least {} at the {name}, and the pipe is {}: {slides}",
                        show_length(context, socket.least),
                        show_length(context, mean.value)
                    ),
                )
                .limit(wording::source(mean))
                .help("measure the socket again, and read the print line of the fitting: size and system"),
        );
    }
    let least = end.interference.value.least;
    if least > Length::ZERO {
        return None;
    }
    let meet = if least == Length::ZERO {
        "no interference is left".to_owned()
    } else {
        format!(
            "the pipe is loose by {}",
            show_length(context, Length::ZERO - least)
        )
    };
    Some(
        NO_INTERFERENCE_AT_EXTREME
            .at(
                place,
                format!(
                    "at the {name} of the {size} socket, {meet} when the smallest pipe, {}, meets the widest socket, {}",
                    show_length(context, fit.od_band.value.least),
                    show_length(context, socket.most)
                ),
            )
            .limit(format!(
                "socket: {}; pipe: {}",
                wording::source(&end.socket),
                wording::source(&fit.od_band)
            ))
            .help(if given.is_some() {
                "measure the sockets again, and ask the manufacturer of the fittings about one as wide as that"
            } else {
                "measure mouth and root of the sockets on hand and give them under `fittings.sockets`"
            }),
    )
}

fn diameter(context: &Context<'_>, joint: &Joint, pipe: &MeasuredPipe) -> Option<Finding> {
    let measured = pipe.outside_diameter.as_ref()?;
    let band = joint.od_band.as_ref()?;
    let (by, how) = if measured.value < band.value.least {
        (band.value.least - measured.value, "under")
    } else if measured.value > band.value.most {
        (measured.value - band.value.most, "over")
    } else {
        return None;
    };
    if by < resolution(measured) {
        return None;
    }
    Some(
        MEASURED_OD_OUT_OF_TOLERANCE
            .at(
                measured.span,
                format!(
                    "the {} pipe measures {}, {} {how} its band of {} to {}: this pipe is out of tolerance",
                    joint.size,
                    show_length(context, measured.value),
                    show_length(context, by),
                    show_length(context, band.value.least),
                    show_length(context, band.value.most)
                ),
            )
            .limit(wording::source(band))
            .help("measure again with a pi tape; if it stands, do not fuse the lot: reject it, or ask its manufacturer in writing"),
    )
}

fn roundness(context: &Context<'_>, joint: &Joint, pipe: &MeasuredPipe) -> Option<Finding> {
    let measured = pipe.out_of_roundness.as_ref()?;
    let most = joint.out_of_roundness.as_ref()?;
    let over = measured.value - most.value;
    if over <= Length::ZERO || over < resolution(measured) {
        return None;
    }
    let coil = coil_limit(context, joint).map_or_else(String::new, |limit| {
        let side = if measured.value > limit.value {
            "more than"
        } else {
            "within"
        };
        format!(
            "; that is {side} what coiled pipe may have, {} ({})",
            show_length(context, limit.value),
            limit.weakest_basis.word()
        )
    });
    let [tool, again] = context.procedure.practice().rounded_by;
    let rounding = format!(
        "{tool} rounds the end while it is heated and joined; it does not change the mean diameter, so check that with a pi tape. If {again} does not bring the end round, cut back or reject"
    );
    Some(
        MEASURED_OUT_OF_ROUNDNESS
            .at(
                measured.span,
                format!(
                    "the {} pipe is out of round by {}, {} more than the {} allowed as made{coil}",
                    joint.size,
                    show_length(context, measured.value),
                    show_length(context, measured.value - most.value),
                    show_length(context, most.value)
                ),
            )
            .limit(wording::source(most))
            .help(rounding),
    )
}

/// Maximum out-of-roundness of coiled inch pipe, if published for the practice.
fn coil_limit(context: &Context<'_>, joint: &Joint) -> Option<Sourced<Length>> {
    let share = context
        .limits
        .practice_entry(context.procedure.practice(), "coil:ovality:percent")
        .and_then(Entry::percent)?;
    let largest = Size::parse(LARGEST_COILED).ok()?;
    let mean = joint
        .mean_diameter
        .as_ref()
        .filter(|_| joint.size <= largest)?;
    Some(Sourced::derived(
        share.value.of_length(mean.value),
        "share of the mean diameter",
        &[share.weakest_basis, mean.weakest_basis],
    ))
}
