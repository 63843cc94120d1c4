//! Data of the drawings: the joint to scale, and what the pictures of steps and
//! joints show. Lengths are micrometers at full size; labels say which
//! parts are not to scale.

use serde::Serialize;

/// Half of a finished joint, cut along its axis, to scale.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct JointFigure {
    pub(crate) caption: String,
    /// Alternative text.
    pub(crate) alt: String,
    /// Drawn length to real length: 2 to 1 is twice full size.
    pub(crate) scale: (i64, i64),
    /// Length of pipe shown outside the socket.
    pub(crate) left: i64,
    /// Insertion depth, from the socket mouth to the pipe end.
    pub(crate) depth: i64,
    /// From the socket mouth to its stop.
    pub(crate) stop: i64,
    /// Length of fitting shown, from its mouth.
    pub(crate) body: i64,
    /// Half the pipe's outside diameter.
    pub(crate) radius: i64,
    /// Pipe wall.
    pub(crate) wall: i64,
    pub(crate) socket_wall: i64,
    /// Half the socket's bore between pipe end and stop.
    pub(crate) root: i64,
    /// Half the fitting's bore beyond the stop.
    pub(crate) bore: i64,
    /// Chamfer of the pipe end.
    pub(crate) chamfer: i64,
    /// Bead at the socket mouth.
    pub(crate) bead: i64,
    /// Height of the highest part above the pipe.
    pub(crate) over: i64,
    /// Melt depth in pipe and socket, if estimated.
    pub(crate) melt: Option<(i64, i64)>,
    /// Width and thickness of the cold ring; `None` if a mark sets the depth.
    pub(crate) ring: Option<(i64, i64)>,
    pub(crate) depth_label: String,
    /// The numbered parts, in order.
    pub(crate) keys: Vec<Key>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Key {
    pub(crate) part: JointPart,
    pub(crate) text: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum JointPart {
    Pipe,
    Ring,
    Mark,
    Bead,
    /// The melt zone.
    Melt,
    Chamfer,
    Socket,
    /// The cut end of the pipe.
    Plane,
}

/// What the picture of a step shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum StepPicture {
    /// Check both faces of the heater.
    Heater,
    /// Read the print lines.
    PrintLine,
    /// Cut the pipe.
    Cut,
    /// Chamfer its edge.
    Chamfer,
    /// Set depth gauge and cold ring.
    Ring,
    /// Peel the surface.
    Peel,
    /// Mark the depth.
    Mark,
    /// Wipe pipe and socket.
    Clean,
    /// Clamp pipe and fitting in a machine.
    Machine,
    /// Grip pipe and fitting in the holding tool.
    Holder,
    /// Put fitting and pipe on the heater.
    Heat,
    /// Time the heating.
    Count,
    /// Take both off.
    Off,
    /// Push the pipe into the socket.
    Join,
    /// Hold the joint.
    Hold,
    /// Inspect the joint.
    Inspect,
}

/// What a box of the inspection page shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum PlatePicture {
    Good,
    /// A bead without a ring impression.
    NoPrint,
    NoBead,
    /// A pipe end folded inward.
    Buckled,
    /// A pipe that is not all the way in.
    Short,
    /// A pipe that is too far in.
    Past,
    /// Melt on one side only.
    OneSided,
    /// A pipe at an angle.
    Angle,
    /// Dirt in the melt.
    Dirt,
    /// A melt that is not fit to join.
    Dull,
}
