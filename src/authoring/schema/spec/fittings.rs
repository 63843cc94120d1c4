//! The fittings that a spec covers.

use super::equipment::insertion_depth;
use super::source;
use crate::authoring::schema::field::{Value, group, keyed, list, may, must};
use crate::authoring::schema::values::{
    duration_range, length, length_range, resin, size, size_pair, text_like, word,
};
use crate::spec::fittings::{FIRST_ON, KINDS};
use crate::spec::plausible;

pub(super) fn fittings() -> Value {
    group([
        must(
            "kinds",
            "The kinds of fitting covered, each once.",
            list(word(KINDS)).unlike(),
        ),
        may(
            "resin",
            "The resin of the fittings.",
            "that of the pipe.",
            resin(),
        ),
        may(
            "depths",
            "Insertion depths from the maker or from a measurement, size by size, where no gauge \
             sets them. No table gives a depth.",
            "the depth gauges under tools.",
            keyed(size(), insertion_depth()),
        ),
        may(
            "sockets",
            "Sockets, as measured or as the maker gives them, size by size.",
            "the published diameters, and no check of the depth.",
            keyed(size(), socket()),
        ),
        may(
            "spigots",
            "Spigot ends as measured, size by size; with the kind spigot.",
            "not measured, and a finding tells so where the kind spigot is covered.",
            keyed(size(), spigot()),
        ),
        may(
            "reducers",
            "The reducing fittings; with the kind reducer.",
            "none.",
            list(size_pair()),
        ),
        may(
            "unlike",
            "Sizes whose pipe and fitting are heated for unlike times. Only by a record of test \
             joints.",
            "pipe and fitting of every size are heated for the same time.",
            list(unlike()),
        ),
    ])
}

fn socket() -> Value {
    group([
        may(
            "depth",
            "From the face of the socket to its stop.",
            "not compared with the insertion depth.",
            length(&plausible::SOCKET_DEPTH),
        ),
        may(
            "mouth",
            "The mean inside diameter at the entrance.",
            "the published one.",
            length_range(&plausible::BORE),
        ),
        may(
            "root",
            "The mean inside diameter at the bottom.",
            "the published one.",
            length_range(&plausible::BORE),
        ),
        may(
            "source",
            "Who measured it with what, or the maker's sheet.",
            "a finding tells so.",
            source(),
        ),
    ])
}

fn spigot() -> Value {
    group([
        must(
            "straight_length",
            "The straight, round length of the spigot end.",
            length(&plausible::STRAIGHT_LENGTH),
        ),
        may(
            "outside_diameter",
            "Its outside diameter.",
            "whether it fits the socket is not checked, and a finding tells so.",
            length(&plausible::DIAMETER),
        ),
        may(
            "wall",
            "Its wall.",
            "not compared with the walls covered, and a finding tells so.",
            length(&plausible::WALL),
        ),
        may(
            "source",
            "Who measured it with what, and when.",
            "the papers name no source.",
            source(),
        ),
    ])
}

fn unlike() -> Value {
    group([
        must("size", "The size.", size()),
        must(
            "pipe_heat",
            "How long the pipe is heated.",
            duration_range(&plausible::HEATING),
        ),
        must(
            "fitting_heat",
            "How long the fitting is heated.",
            duration_range(&plausible::HEATING),
        ),
        must("first", "Which goes on the heater first.", word(FIRST_ON)),
        may(
            "record",
            "The number of the record that proves the sequence.",
            "an error, since the sequence is not proven.",
            text_like("PQ-7"),
        ),
        may(
            "source",
            "Where the times come from.",
            "the papers name no source.",
            source(),
        ),
    ])
}
