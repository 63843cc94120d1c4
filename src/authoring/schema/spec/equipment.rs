//! Heater, hand tools and cleaning.

use super::source;
use crate::authoring::schema::field::{Value, either, group, keyed, list, may, must};
use crate::authoring::schema::values::{
    depth, length, names, percent, size, temperature, temperature_difference, text_like, word,
    word_among,
};
use crate::spec::FaceCheckMethod;
use crate::spec::equipment::{AGENTS, METHODS};
use crate::spec::plausible;
use crate::spec::words::YES_NO;

pub(super) fn heater() -> Value {
    group([
        must(
            "set_point",
            "What the controller is set to.",
            temperature(&plausible::SET_POINT),
        ),
        may(
            "face_offset",
            "Face minus display, measured on the adapter faces with a pyrometer; 0 °F where it was \
             measured and there is none.",
            "unknown, and a finding tells so.",
            temperature_difference(&plausible::FACE_OFFSET),
        ),
        may(
            "step",
            "The smallest step that the controller can be set in.",
            "unknown, and a finding tells so.",
            temperature_difference(&plausible::STEP),
        ),
        may(
            "swing",
            "How far the heater moves around its set point, each way.",
            "unknown, and a finding tells so.",
            temperature_difference(&plausible::SWING),
        ),
        may(
            "face_check",
            "How the temperature of the adapter faces is checked.",
            "an error, since nobody can tell that the faces are right.",
            face_check(),
        ),
        must(
            "adapters",
            "The heater adapters on the truck, a pair for each size; {} where nothing of a pair \
             was measured.",
            keyed(size(), adapters()),
        ),
    ])
}

fn adapters() -> Value {
    group([may(
        "depth",
        "Depth of the female adapter, measured.",
        "not compared with the depth gauge.",
        length(&plausible::DEPTH),
    )])
}

/// What each method needs besides.
fn face_check() -> Value {
    let of_method = |(word, method): &(&'static str, FaceCheckMethod)| {
        let mut fields = vec![
            must(
                "method",
                "The instrument.",
                word_among(word, names(METHODS)),
            ),
            may(
                "accuracy",
                "How true the instrument reads, each way, from its data sheet.",
                "not weighed, and a finding may tell so.",
                temperature_difference(&plausible::ACCURACY),
            ),
        ];
        let melts = must(
            "melts",
            "The rating of the stick that must melt on the face.",
            temperature(&plausible::STICK),
        );
        let stays_solid = must(
            "stays_solid",
            "The rating of the stick that must not melt.",
            temperature(&plausible::STICK),
        );
        match method {
            FaceCheckMethod::Pyrometer => {}
            FaceCheckMethod::Stick => fields.push(melts),
            FaceCheckMethod::TwoSticks => fields.extend([melts, stays_solid]),
        }
        group(fields)
    };
    either(METHODS.iter().map(of_method))
}

/// How deep pipe and socket go onto the adapters, for one size.
pub(super) fn insertion_depth() -> Value {
    group([
        must(
            "depth",
            "From the stop of the gauge to the face that sets the cold ring, measured on the \
             gauge. It is never taken from a table; a size that is still to be measured gets no \
             depth mark.",
            depth(),
        ),
        may(
            "id",
            "The mark on the gauge.",
            "the papers name none.",
            text_like("G-1"),
        ),
        may(
            "source",
            "How the depth was measured, and when.",
            "a finding tells so.",
            source(),
        ),
    ])
}

pub(super) fn tools() -> Value {
    let ring = group([may(
        "width",
        "Its width along the pipe.",
        "whether it fits on a spigot is not checked.",
        length(&plausible::RING_WIDTH),
    )]);
    let rings = either([list(size()), keyed(size(), ring)])
        .told("A list of sizes, or each size with the width of its ring.");
    let largest =
        |what: &str| group([must("largest", format!("The largest size {what}."), size())]);
    group([
        may(
            "depth_gauges",
            "The depth gauges, size by size.",
            "the depths under fittings.depths; a size with neither is an error.",
            keyed(size(), insertion_depth()),
        ),
        may(
            "cold_rings",
            "The cold rings.",
            "none, as in metric practice; US practice needs one for each size.",
            rings,
        ),
        may(
            "cutter",
            "The pipe cutter.",
            "a finding tells so.",
            largest("it cuts"),
        ),
        may(
            "machine",
            "The fusion machine or holding tool, where there is one: it holds and pushes pipe and \
             fitting.",
            "there is none; larger sizes need one, from d 63 and from 3 IPS on.",
            largest("it takes"),
        ),
    ])
}

pub(super) fn cleaning() -> Value {
    group([
        must("agent", "What the surfaces are wiped with.", word(AGENTS)),
        may(
            "strength",
            "The strength of the agent, from its label.",
            "alcohol of unknown strength is a finding.",
            percent(&plausible::STRENGTH),
        ),
        may(
            "peel",
            "Whether the pipe end is peeled.",
            "US practice does not; in metric practice a finding tells so.",
            word(YES_NO),
        ),
    ])
}
