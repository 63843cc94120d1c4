//! A drawing of the finished joint, of the largest size with enough known
//! dimensions: insertion depth from the pipe end to the socket mouth, and the
//! melt if it is estimated.

use crate::core::units::Length;
use crate::core::units::print::Bound;
use crate::papers::sheets::drawing::micrometers;
use crate::papers::sheets::figures::{JointFigure, JointPart, Key};
use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer, format};
use crate::procedure::resolve::{Joint, Pipe};
use crate::process::socket::heat::advice::{Advice, Estimate, shown};
use crate::published::Sourced;

/// Scales for a joint, largest first: drawn length to real length.
const SCALES: [(i64, i64); 8] = [
    (5, 1),
    (4, 1),
    (3, 1),
    (5, 2),
    (2, 1),
    (3, 2),
    (1, 1),
    (1, 2),
];

/// Used if even those are too large.
const SMALLEST: (i64, i64) = (1, 4);

/// Maximum width and height of the drawing, mm.
const MAX_WIDTH: f64 = 76.0;

const MAX_HEIGHT: f64 = 44.0;

/// The largest joint with known depth, diameter, and wall, and the estimate for
/// its thinnest wall if there is one.
fn largest<'a>(
    w: &Writer<'a>,
    advice: &'a Advice,
) -> Option<(&'a Joint, &'a Pipe, Option<&'a Estimate>)> {
    let joints = w.p.joints.iter().filter(|joint| {
        let has_dimensions = joint.depth.known().is_some() && joint.outside_diameter.is_some();
        has_dimensions && !joint.pipes.is_empty()
    });
    let joint = joints.max_by_key(|joint| joint.outside_diameter.as_ref().map(|od| od.value))?;
    // Walls are sorted thickest first.
    let pipe = joint.pipes.last()?;
    let estimate = advice
        .estimated()
        .find(|(of, wall, _)| std::ptr::eq(*of, joint) && std::ptr::eq(*wall, pipe))
        .map(|(_, _, estimate)| estimate);
    Some((joint, pipe, estimate))
}

/// The section; `None` if there is no drawing.
pub(crate) fn section(w: &Writer, advice: &Advice) -> Option<Section> {
    let figure = joint(w, advice)?;
    Some(w.section(Clause::TitleJointFigure, vec![Block::JointFigure(figure)]))
}

/// A length in the practice's units, marked if it is recalled.
fn length_text(w: &Writer, number: &Sourced<Length>, bound: Bound) -> String {
    let text = w.in_print(&format::with_other_unit(w.units(), number, bound));
    format::marked(&text, number.needs_verifying(), w.words)
}

/// The known dimensions of the joint to draw.
struct DrawnJoint<'a> {
    joint: &'a Joint,
    pipe: &'a Pipe,
    od: &'a Sourced<Length>,
    depth: &'a Sourced<Length>,
    estimate: Option<&'a Estimate>,
    /// Socket depth to its stop, as stated by the author.
    stated: Option<Length>,
    /// Its published minimum length.
    published: Option<&'a Sourced<Length>>,
    /// The cold ring, and its width if stated.
    ring: Option<Option<Length>>,
}

impl<'a> DrawnJoint<'a> {
    fn new(w: &Writer<'a>, advice: &'a Advice) -> Option<Self> {
        let (joint, pipe, estimate) = largest(w, advice)?;
        let spec = w.p.spec;
        let depth = joint.depth.known()?;
        // A stop that the pipe would hit cannot belong to this joint.
        let clear = |stop: &Length| *stop >= depth.value;
        let mut sockets = spec.fittings.sockets.iter();
        let socket = sockets.find(|(size, _)| size.value == joint.size);
        let mut rings = spec.tools.cold_rings.iter();
        let ring = rings.find(|(size, _)| size.value == joint.size);
        Some(Self {
            joint,
            pipe,
            od: joint.outside_diameter.as_ref()?,
            depth,
            estimate,
            stated: socket
                .and_then(|(_, socket)| Some(socket.depth.as_ref()?.value))
                .filter(clear),
            published: joint
                .socket
                .as_ref()
                .and_then(|socket| socket.length.as_ref())
                .filter(|length| clear(&length.value)),
            ring: (w.practice().has_ring())
                .then(|| ring.and_then(|(_, ring)| Some(ring.width.as_ref()?.value))),
        })
    }

    fn keys(&self, w: &Writer, advice: &Advice) -> Vec<Key> {
        let ratio = advice.socket_wall.show();
        let (stop, stop_key) = match self.ring {
            Some(Some(width)) => (
                JointPart::Ring,
                Clause::JointKeyRing {
                    width: w.in_print(&w.units().length(width)),
                },
            ),
            Some(None) => (JointPart::Ring, Clause::JointKeyRingOpen),
            None => (JointPart::Mark, Clause::JointKeyMark),
        };
        let socket = match (self.stated, self.published) {
            (Some(stop), _) => Clause::JointKeySocket {
                stop: w.in_print(&w.units().length(stop)),
                ratio,
            },
            (None, Some(length)) => Clause::JointKeySocketPublished {
                length: length_text(w, length, Bound::Nominal),
                ratio,
            },
            (None, None) => Clause::JointKeySocketOpen { ratio },
        };
        let melt = match self.estimate {
            Some(estimate) => Clause::JointKeyMelt {
                pipe: shown::depth(estimate.shortest.pipe_melt),
                socket: shown::depth(estimate.shortest.socket_melt),
                heating: estimate.heating.least.show(),
            },
            None => Clause::JointKeyMeltOpen,
        };
        let pipe = Clause::JointKeyPipe {
            od: length_text(w, self.od, Bound::Nominal),
            wall: length_text(w, &self.pipe.minimum_wall, Bound::Minimum),
        };
        let bead = w.practice_words().joint_bead.clone();
        [
            (JointPart::Pipe, pipe),
            (stop, stop_key),
            (JointPart::Bead, bead),
            (JointPart::Melt, melt),
            (JointPart::Chamfer, Clause::JointKeyChamfer),
            (JointPart::Socket, socket),
            (JointPart::Plane, Clause::JointKeyPlane),
        ]
        .into_iter()
        .map(|(part, clause)| Key {
            part,
            text: w.say(clause),
        })
        .collect()
    }
}

/// The largest scale at which these dimensions fit the page.
fn scale(wide: Length, high: Length) -> (i64, i64) {
    let fits = |length: Length, (drawn, meant): (i64, i64), room: f64| {
        length.scaled(drawn, meant) <= Length::from_mm(room)
    };
    SCALES
        .into_iter()
        .find(|scale| fits(wide, *scale, MAX_WIDTH) && fits(high, *scale, MAX_HEIGHT))
        .unwrap_or(SMALLEST)
}

/// The drawing, if enough is known about some size.
///
/// Dimensions that only the drawing needs are fractions of known ones. None is a
/// number of the trade, and the key says of each that it is not to scale.
fn joint(w: &Writer, advice: &Advice) -> Option<JointFigure> {
    let drawn = DrawnJoint::new(w, advice)?;
    let (od, depth, wall) = (
        drawn.od.value,
        drawn.depth.value,
        drawn.pipe.minimum_wall.value,
    );
    let radius = od.scaled(1, 2);
    let stop = drawn
        .stated
        .or_else(|| drawn.published.map(|length| length.value))
        .unwrap_or_else(|| depth.scaled(9, 8));
    let root = drawn.joint.socket.as_ref().map_or(radius, |socket| {
        let root = socket.root.value;
        (root.least + root.most).scaled(1, 4).min(radius)
    });
    let socket_wall = drawn.estimate.map_or_else(
        || advice.socket_wall.of_length(wall),
        |estimate| estimate.socket_wall,
    );
    let ring = drawn.ring.map(|width| {
        let width = width.unwrap_or_else(|| depth.scaled(1, 2));
        (width, od.scaled(1, 10))
    });
    let clear = od.scaled(1, 6);
    let left = clear + ring.map_or(depth.scaled(1, 2), |(width, _)| width);
    let body = stop + clear;
    let over = ring.map_or(socket_wall, |(_, thickness)| thickness.max(socket_wall));
    let melt = drawn
        .estimate
        .map(|estimate| (estimate.shortest.pipe_melt, estimate.shortest.socket_melt));
    let bead = melt
        .map_or(wall.scaled(1, 3), |(_, socket)| socket.scaled(2, 1))
        .min(socket_wall.scaled(3, 4));
    let scale = scale(left + body, radius + over);
    let shown_scale = format!("{}:{}", scale.0, scale.1);
    let (size, wall_name) = (
        drawn.joint.size.to_string(),
        drawn.pipe.label.name(w.units()),
    );
    let depth_text = length_text(w, drawn.depth, Bound::Nominal);
    let keys = drawn.keys(w, advice);
    let parts: Vec<_> = keys
        .iter()
        .zip(1..)
        .map(|(key, number)| format!("{number}: {}", key.text))
        .collect();
    Some(JointFigure {
        caption: w.say(Clause::JointFigureCaption {
            size: size.clone(),
            wall: wall_name.clone(),
            scale: shown_scale.clone(),
        }),
        alt: w.say(Clause::JointFigureAlt {
            size,
            wall: wall_name,
            scale: shown_scale,
            depth: depth_text.clone(),
            parts: parts.join(" "),
        }),
        scale,
        left: micrometers(left),
        depth: micrometers(depth),
        stop: micrometers(stop),
        body: micrometers(body),
        radius: micrometers(radius),
        wall: micrometers(wall),
        socket_wall: micrometers(socket_wall),
        root: micrometers(root),
        bore: micrometers(radius - wall),
        chamfer: micrometers(wall.scaled(3, 10)),
        bead: micrometers(bead),
        over: micrometers(over),
        melt: melt.map(|(pipe, socket)| (micrometers(pipe), micrometers(socket))),
        ring: ring.map(|(width, thickness)| (micrometers(width), micrometers(thickness))),
        depth_label: w.say(Clause::JointDepthLabel { depth: depth_text }),
        keys,
    })
}
