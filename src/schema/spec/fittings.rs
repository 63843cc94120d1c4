//! The fittings that a spec covers.

use super::equipment::insertion_depth;
use super::source;
use crate::schema::field::{Value, group, keyed, list, may, must};
use crate::schema::values::{
    duration_range, length, length_range, resin, size, size_pair, text, word,
};
use crate::spec::fittings::{FIRST_ON, KINDS};

pub(super) fn fittings() -> Value {
    group([
        must(
            "kinds",
            "The kinds of fitting covered, each once.",
            list(word(KINDS)).with("uniqueItems", true),
        ),
        may(
            "resin",
            "The resin of the fittings. Left out: that of the pipe.",
            resin(),
        ),
        may(
            "depths",
            "Insertion depths from the maker or from a measurement, size by size, where no gauge sets them. No table gives a depth.",
            keyed(size(), insertion_depth()),
        ),
        may(
            "sockets",
            "Sockets, as measured or as the maker gives them, size by size. Left out: the published diameters, and no check of the depth.",
            keyed(size(), socket()),
        ),
        may(
            "spigots",
            "Spigot ends as measured, size by size; with the kind spigot.",
            keyed(size(), spigot()),
        ),
        may(
            "reducers",
            "The reducing fittings; with the kind reducer.",
            list(size_pair()),
        ),
        may(
            "unlike",
            "Sizes whose pipe and fitting are heated for unlike times. Only by a record of test joints.",
            list(unlike()),
        ),
    ])
}

fn socket() -> Value {
    group([
        may(
            "depth",
            "From the face of the socket to its stop. Left out: not compared with the insertion depth.",
            length(),
        ),
        may(
            "mouth",
            "The mean inside diameter at the entrance. Left out: the published one.",
            length_range(),
        ),
        may(
            "root",
            "The mean inside diameter at the bottom. Left out: the published one.",
            length_range(),
        ),
        may(
            "source",
            "Who measured it with what, or the maker's sheet.",
            source(),
        ),
    ])
}

fn spigot() -> Value {
    group([
        must(
            "straight_length",
            "The straight, round length of the spigot end.",
            length(),
        ),
        may(
            "outside_diameter",
            "Its outside diameter. Left out: whether it fits the socket is not checked, and a finding tells so.",
            length(),
        ),
        may(
            "wall",
            "Its wall. Left out: not compared with the walls covered, and a finding tells so.",
            length(),
        ),
        may("source", "Who measured it with what, and when.", source()),
    ])
}

fn unlike() -> Value {
    group([
        must("size", "The size.", size()),
        must(
            "pipe_heat",
            "How long the pipe is heated.",
            duration_range(),
        ),
        must(
            "fitting_heat",
            "How long the fitting is heated.",
            duration_range(),
        ),
        must("first", "Which goes on the heater first.", word(FIRST_ON)),
        may(
            "record",
            "The number of the record that proves the sequence. Needed: a finding tells when it is left out.",
            text("As in PQ-7."),
        ),
        may("source", "Where the times come from.", source()),
    ])
}
