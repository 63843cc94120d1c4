//! The drawings of the work: the joint to scale, the steps, the heater, and what
//! is accepted and refused. Lengths are micrometers of the real thing; what is
//! drawn to no scale is told apart in the words beside it.

use serde::Serialize;

/// A finished joint, half of it, cut along its axis and to scale.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct JointFigure {
    /// What it shows.
    pub(crate) caption: String,
    /// The same in words, for those who cannot see it.
    pub(crate) alt: String,
    /// Length drawn and length meant: 2 to 1 is twice full size.
    pub(crate) scale: (i64, i64),
    /// Pipe shown outside the socket.
    pub(crate) left: i64,
    /// Insertion depth: from the mouth of the socket to the pipe's end.
    pub(crate) depth: i64,
    /// From the mouth of the socket to its stop.
    pub(crate) stop: i64,
    /// Fitting shown, from its mouth on.
    pub(crate) body: i64,
    /// Half the outside diameter of the pipe.
    pub(crate) radius: i64,
    /// Wall of the pipe.
    pub(crate) wall: i64,
    pub(crate) socket_wall: i64,
    /// Half the bore of the socket between the pipe's end and the stop.
    pub(crate) root: i64,
    /// Half the bore of the fitting beyond the stop.
    pub(crate) bore: i64,
    /// Chamfer of the pipe's end.
    pub(crate) chamfer: i64,
    /// Bead at the mouth.
    pub(crate) bead: i64,
    /// How far the highest part stands over the pipe.
    pub(crate) over: i64,
    /// Melt in pipe and socket, where it is estimated.
    pub(crate) melt: Option<(i64, i64)>,
    /// Width and thickness of the cold ring; none where a mark says how deep.
    pub(crate) ring: Option<(i64, i64)>,
    /// The insertion depth in words.
    pub(crate) depth_label: String,
    /// The parts that are numbered, in the order of their numbers.
    pub(crate) keys: Vec<Key>,
}

/// A numbered part of a drawing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Key {
    pub(crate) part: JointPart,
    /// What it is.
    pub(crate) text: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum JointPart {
    Pipe,
    /// The cold ring.
    Ring,
    /// The depth mark.
    Mark,
    /// The bead at the mouth of the socket.
    Bead,
    /// What was molten.
    Melt,
    /// The chamfer of the pipe's end.
    Chamfer,
    Socket,
    /// The cut end of the pipe.
    Plane,
}

/// The steps as small figures.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct StepsFigure {
    /// What it shows.
    pub(crate) caption: String,
    /// The same in words, for those who cannot see it.
    pub(crate) alt: String,
    /// Whether a cold ring says how deep, rather than a mark.
    pub(crate) ring: bool,
    /// The figures.
    pub(crate) frames: Vec<StepFrame>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct StepFrame {
    /// What is drawn.
    pub(crate) picture: StepPicture,
    pub(crate) number: usize,
    /// The step in a few words.
    pub(crate) label: String,
}

/// What the figure of a step shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum StepPicture {
    /// The pipe is cut.
    Cut,
    /// Its edge is chamfered.
    Chamfer,
    /// Depth gauge and cold ring are set.
    Ring,
    /// Its surface is peeled.
    Peel,
    /// The depth is marked.
    Mark,
    /// Pipe and socket are wiped.
    Clean,
    /// Pipe and fitting are clamped in a machine.
    Machine,
    /// Fitting and pipe go onto the heater.
    Heat,
    /// The time is counted.
    Count,
    /// Both come off.
    Off,
    /// The pipe goes into the socket.
    Join,
    /// The joint is held.
    Hold,
    /// The joint is looked at.
    Inspect,
}

/// The heater with its adapters.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct HeaterFigure {
    /// What it shows.
    pub(crate) caption: String,
    /// The same in words, for those who cannot see it.
    pub(crate) alt: String,
    /// At the face of each adapter.
    pub(crate) face: String,
    /// Where a stick touches, which is never the face.
    pub(crate) beside: Option<String>,
    /// At the female adapter.
    pub(crate) female: String,
    /// At the male adapter.
    pub(crate) male: String,
    /// At the plate between them.
    pub(crate) plate: String,
}

/// A good joint and what is refused, side by side.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct AcceptancePlate {
    /// What it shows.
    pub(crate) caption: String,
    /// The same in words, for those who cannot see it.
    pub(crate) alt: String,
    /// Whether a cold ring said how deep, rather than a mark.
    pub(crate) ring: bool,
    /// The cases, the good joint first.
    pub(crate) frames: Vec<PlateFrame>,
}

/// A case of the acceptance plate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct PlateFrame {
    /// What is drawn.
    pub(crate) picture: PlatePicture,
    /// Whether the joint is good.
    pub(crate) good: bool,
    /// The same as a word.
    pub(crate) word: String,
    /// The case in a few words.
    pub(crate) title: String,
    /// What is seen.
    pub(crate) text: String,
}

/// What a case of the acceptance plate shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum PlatePicture {
    /// A good joint.
    Good,
    /// A bead without the print of the cold ring.
    NoPrint,
    NoBead,
    /// A pipe end folded inward.
    Buckled,
    /// A pipe not fully in.
    Short,
    /// A pipe too far in.
    Past,
    /// Melt on one side.
    OneSided,
    /// A pipe at an angle.
    Angle,
    /// Dirt in the melt.
    Dirt,
    /// A melt not fit to be joined.
    Dull,
}
