//! The typed spec's fittings: kinds, sockets, spigots, reducers and unlike pairs.

use super::DepthGauge;
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::{Duration, Length, Range};
use crate::spec::values::Written;

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

impl FittingKind {
    /// Whether the fitting has a socket that a pipe or a spigot can go into.
    pub fn has_socket(self) -> bool {
        self != FittingKind::Spigot
    }
}

/// The depth of a socket, measured or from the maker.
#[derive(Debug, Clone)]
pub struct Socket {
    /// From the socket's face to its stop.
    pub depth: Option<Written<Length>>,
    /// Mean inside diameter at the entrance.
    pub mouth: Option<Written<Range<Length>>>,
    /// Mean inside diameter at the bottom.
    pub root: Option<Written<Range<Length>>>,
    /// Where the author has it from.
    pub source: Option<Spanned<String>>,
}

/// A spigot-ended fitting.
#[derive(Debug, Clone)]
pub struct Spigot {
    /// Straight length of the spigot end.
    pub straight_length: Written<Length>,
    /// Its outside diameter, measured.
    pub outside_diameter: Option<Written<Length>>,
    /// Its wall, measured.
    pub wall: Option<Written<Length>>,
    /// Where the author has it from.
    pub source: Option<Spanned<String>>,
}

/// A fitting with a socket of one size and a socket of a smaller one.
#[derive(Debug, Clone)]
pub struct Reducer {
    /// The larger socket.
    pub large: Size,
    /// The smaller socket.
    pub small: Size,
    /// The place of the pair.
    pub span: Span,
}

/// Which part goes on the heater first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FirstOn {
    /// The pipe, in its adapter.
    Pipe,
    /// The fitting, on its adapter.
    Fitting,
}

/// A size whose pipe and fitting need unlike heating, joined as one sequence.
#[derive(Debug, Clone)]
pub struct UnlikePair {
    /// The size.
    pub size: Spanned<Size>,
    /// Heating of the pipe.
    pub pipe_heat: Written<Range<Duration>>,
    /// Heating of the fitting.
    pub fitting_heat: Written<Range<Duration>>,
    /// Which goes on first.
    pub first: Spanned<FirstOn>,
    /// The record that proves the sequence.
    pub record: Option<Spanned<String>>,
    /// Where the times come from.
    pub source: Option<Spanned<String>>,
    /// The place of the entry.
    pub span: Span,
}

/// The fittings the procedure covers.
#[derive(Debug, Clone)]
pub struct Fittings {
    /// Their kinds.
    pub kinds: Vec<Spanned<FittingKind>>,
    /// Their resin, when it is not that of the pipe.
    pub resin: Option<Spanned<String>>,
    /// Insertion depths from the maker or a measurement, where no gauge sets them.
    pub depths: Vec<(Spanned<Size>, DepthGauge)>,
    /// Reducing fittings.
    pub reducers: Vec<Reducer>,
    /// Sizes whose pipe and fitting are heated for unlike times.
    pub unlike: Vec<UnlikePair>,
    /// Sockets, where known.
    pub sockets: Vec<(Spanned<Size>, Socket)>,
    /// Spigot ends, where known.
    pub spigots: Vec<(Spanned<Size>, Spigot)>,
    /// The place of the group.
    pub span: Span,
}
