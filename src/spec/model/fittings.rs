//! The fittings that a procedure covers. Kinds are read by hand: one that is named again
//! is told by its word, and a spigot is weighed as another variable.

use super::tools::{DepthGauge, insertion_depth};
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::{Duration, Length, Range};
use crate::spec::declare::kinds::{
    duration_range, length, length_range, resin, single, size, source, text_like, word,
};
use crate::spec::declare::{
    by_size, group, list, nested, optional, optional_list, place, required, required_or_empty,
};
use crate::spec::fact::{Collector, Of, Stating};
use crate::spec::plausible;
use crate::spec::schema;
pub use crate::spec::sizes::Reducer;
use crate::spec::values;
use crate::spec::words::{Word, name};
use crate::spec::written::{Scalar, Written};

/// Kinds of fitting that are socket-fused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FittingKind {
    /// Two sockets in line.
    Coupling,
    /// Two sockets at an angle.
    Elbow,
    /// Three sockets.
    Tee,
    /// Two sockets of unlike size.
    Reducer,
    /// Socket on one side, metal thread on the other.
    ThreadedTransition,
    /// One socket, closed.
    Cap,
    /// Pipe-like end that goes into a socket.
    Spigot,
}

impl Word for FittingKind {
    const WORDS: &'static [(&'static str, Self)] = &[
        ("coupling", FittingKind::Coupling),
        ("elbow", FittingKind::Elbow),
        ("tee", FittingKind::Tee),
        ("reducer", FittingKind::Reducer),
        ("threaded transition", FittingKind::ThreadedTransition),
        ("cap", FittingKind::Cap),
        ("spigot", FittingKind::Spigot),
    ];
}

impl FittingKind {
    /// Whether the fitting has a socket that a pipe or a spigot can go into.
    pub fn has_socket(self) -> bool {
        self != FittingKind::Spigot
    }
}

/// Each kind is there; a pipe-like end is another part to hold, to heat and to push.
impl Stating for Vec<Spanned<FittingKind>> {
    fn add(&self, variable: &'static str, _of: &Of, to: &mut Collector<'_>) {
        for kind in self {
            let variable = match kind.value {
                FittingKind::Spigot => "spigot-fitting",
                _ => variable,
            };
            to.present(variable, name(&kind.value), kind.span);
        }
    }
}

/// Which part goes on the heater first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FirstOn {
    /// The pipe, in its adapter.
    Pipe,
    /// The fitting, on its adapter.
    Fitting,
}

impl Word for FirstOn {
    const WORDS: &'static [(&'static str, Self)] =
        &[("pipe", FirstOn::Pipe), ("fitting", FirstOn::Fitting)];
}

impl Scalar for Reducer {
    fn scalar(&self) -> String {
        format!("{} x {}", self.large, self.small)
    }
}

impl Stating for Vec<Reducer> {
    fn add(&self, variable: &'static str, _of: &Of, to: &mut Collector<'_>) {
        for reducer in self {
            to.present(variable, reducer.scalar().as_str(), reducer.span);
        }
    }
}

group! {
    /// The fittings the procedure covers.
    pub struct Fittings written {
        /// The kinds of fitting covered, each once.
        kinds: Vec<Spanned<FittingKind>> = required_or_empty(
            list(word())
                .once(|kind: &Spanned<FittingKind>| (kind.scalar(), kind.span))
                .not_empty(
                    "`fittings.kinds` lists no kind of fitting",
                    "list the kinds that are joined, as in [coupling, elbow, tee]",
                ),
        ).fact("fitting-kind"),
        /// The resin of the fittings.
        resin: Option<Spanned<String>> = optional(resin(), "that of the pipe.").fact("fitting-resin"),
        /// Insertion depths from the manufacturer or from a measurement, size by size, where no
        /// gauge sets them. No table gives a depth.
        depths: Vec<(Spanned<Size>, DepthGauge)> = optional_list(
            by_size(insertion_depth(["stated-depth", "stated-depth-id", "stated-depth-source"])).each("depth", "to be measured"),
            "the depth gauges under tools.",
        ),
        /// Sockets, as measured or as the manufacturer gives them, size by size.
        sockets: Vec<(Spanned<Size>, Socket)> = optional_list(
            by_size(nested()),
            "the published diameters, and no check of the depth.",
        ),
        /// Spigot ends as measured, size by size; with the kind spigot.
        spigots: Vec<(Spanned<Size>, Spigot)> = optional_list(
            by_size(nested()),
            "not measured; check reports it if the kind spigot is covered.",
        ),
        /// The reducing fittings; with the kind reducer.
        reducers: Vec<Reducer> = optional_list(
            list(single(values::size_pair, schema::values::size_pair)),
            "none.",
        ).fact("reducer"),
        /// Sizes whose pipe and fitting are heated for different times. Needs a record of test
        /// joints.
        unlike: Vec<UnlikePair> = optional_list(
            list(nested()).of(|pair: &UnlikePair, _| Of::from(pair.size.value)),
            "pipe and fitting are heated for the same time.",
        ),
        /// The place of the group.
        span: Span = place(),
    }
}

group! {
    /// The socket of a fitting, measured or from the manufacturer.
    pub struct Socket written {
        /// From the face of the socket to its stop.
        depth: Option<Written<Length>> = optional(
            length(&plausible::SOCKET_DEPTH),
            "not compared with the insertion depth.",
        ).fact("socket-depth"),
        /// The mean inside diameter at the entrance.
        mouth: Option<Written<Range<Length>>> =
            optional(length_range(&plausible::BORE), "the published one.").fact("socket-mouth"),
        /// The mean inside diameter at the bottom.
        root: Option<Written<Range<Length>>> =
            optional(length_range(&plausible::BORE), "the published one.").fact("socket-root"),
        /// Who measured it with what, or the manufacturer's sheet.
        source: Option<Spanned<String>> =
            optional(source(), "check reports it.").fact("socket-source"),
    }
}

group! {
    /// A spigot-ended fitting.
    pub struct Spigot written {
        /// The straight, round length of the spigot end.
        straight_length: Written<Length> =
            required(length(&plausible::STRAIGHT_LENGTH)).fact("spigot-length"),
        /// Its outside diameter.
        outside_diameter: Option<Written<Length>> = optional(
            length(&plausible::DIAMETER),
            "its fit in the socket is not checked; check reports it.",
        ).fact("spigot-diameter"),
        /// Its wall.
        wall: Option<Written<Length>> = optional(
            length(&plausible::WALL),
            "not compared with the walls covered; check reports it.",
        ).fact("spigot-wall"),
        /// Who measured it with what, and when.
        source: Option<Spanned<String>> =
            optional(source(), "the papers name no source.").fact("spigot-source"),
    }
}

group! {
    /// A size whose pipe and fitting need unlike heating, joined as one sequence.
    pub struct UnlikePair written {
        /// The size.
        size: Spanned<Size> = required(size()),
        /// How long the pipe is heated.
        pipe_heat: Written<Range<Duration>> =
            required(duration_range(&plausible::HEATING)).fact("unlike-pipe-heating"),
        /// How long the fitting is heated.
        fitting_heat: Written<Range<Duration>> =
            required(duration_range(&plausible::HEATING)).fact("unlike-fitting-heating"),
        /// Which goes on the heater first.
        first: Spanned<FirstOn> = required(word()).fact("unlike-first-on"),
        /// The number of the record that proves the sequence.
        record: Option<Spanned<String>> = optional(
            text_like("PQ-7"),
            "an error, since the sequence is not proven.",
        ).fact("unlike-record"),
        /// Where the times come from.
        source: Option<Spanned<String>> =
            optional(source(), "the papers name no source.").fact("unlike-source"),
        /// The place of the entry.
        span: Span = place(),
    }
}
