//! The cold fit of a joint: the interference between pipe and socket at mouth and root,
//! and the room a spigot leaves for the cold ring. Insertion depth is not part of it: the
//! depth is set, and a range up to the socket's stop would invite a joint that bottoms
//! out. Ranges are compared with ranges, so the extremes are those of the worst pipe in
//! the worst socket.

use super::{Joint, Procedure};
use crate::core::size::Size;
use crate::core::source::Spanned;
use crate::core::units::{Length, Range};
use crate::published::{Basis, Sourced};
use crate::spec::{self, Spec, Spigot, Written};

/// Printed as the source if the author gives a number without one.
const UNSOURCED: &str = "stated in the spec without a source";

/// The fit at one end of a socket.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SocketEnd {
    /// Mean inside diameter of the socket at this end.
    pub socket: Sourced<Range<Length>>,
    /// Pipe diameter minus socket diameter, minimum to maximum; negative if loose.
    pub interference: Sourced<Range<Length>>,
}

/// Room for the cold ring behind the insertion depth of a spigot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RingRoom {
    /// Straight length left behind the insertion depth; negative if the spigot is shorter
    /// than the depth.
    pub room: Sourced<Length>,
    /// Width of the ring, if the spec gives it.
    pub ring: Option<Sourced<Length>>,
}

/// The fit of one size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fit {
    /// The size.
    pub size: Size,
    /// Allowed range of the mean outside diameter.
    pub od_band: Sourced<Range<Length>>,
    /// Fit at the socket's entrance.
    pub mouth: Option<SocketEnd>,
    /// Fit at the socket's bottom.
    pub root: Option<SocketEnd>,
    /// Room for the ring, if the spec gives a spigot of this size.
    pub ring_room: Option<RingRoom>,
}

/// The fit of every size whose socket or spigot is known.
pub fn fits(procedure: &Procedure) -> Vec<Fit> {
    procedure
        .sizes()
        .filter_map(|joint| fit(procedure.spec, joint))
        .filter(|fit| fit.mouth.is_some() || fit.root.is_some() || fit.ring_room.is_some())
        .collect()
}

fn fit(spec: &Spec, joint: &Joint) -> Option<Fit> {
    let od_band = joint.od_band.clone()?;
    let given = entry_for(&spec.fittings.sockets, joint.size);
    let published = joint.socket.as_ref();
    let end = |given: Option<Sourced<Range<Length>>>,
               published: Option<&Sourced<Range<Length>>>| {
        given
            .or_else(|| published.cloned())
            .map(|socket| socket_end(&od_band, socket))
    };
    let own = |written: fn(&spec::Socket) -> &Option<Written<Range<Length>>>| {
        let given = given?;
        Some(stated(written(given).as_ref()?, given.source.as_ref()))
    };
    Some(Fit {
        size: joint.size,
        mouth: end(
            own(|socket| &socket.mouth),
            published.map(|socket| &socket.mouth),
        ),
        root: end(
            own(|socket| &socket.root),
            published.map(|socket| &socket.root),
        ),
        ring_room: entry_for(&spec.fittings.spigots, joint.size)
            .and_then(|spigot| ring_room(spec, joint, spigot)),
        od_band,
    })
}

/// Interference of the pipe's range with the socket's.
fn socket_end(pipe: &Sourced<Range<Length>>, socket: Sourced<Range<Length>>) -> SocketEnd {
    let (od, bore) = (pipe.value, socket.value);
    SocketEnd {
        interference: Sourced::derived(
            Range::new(od.least - bore.most, od.most - bore.least),
            "OD band − socket band",
            &[pipe.weakest_basis, socket.weakest_basis],
        ),
        socket,
    }
}

fn ring_room(spec: &Spec, joint: &Joint, spigot: &Spigot) -> Option<RingRoom> {
    let straight = stated(&spigot.straight_length, spigot.source.as_ref());
    let depth = joint.depth.known()?;
    let ring = entry_for(&spec.tools.cold_rings, joint.size)
        .and_then(|ring| ring.width.as_ref())
        .map(|width| stated(width, None));
    Some(RingRoom {
        room: Sourced::derived(
            straight.value - depth.value,
            "straight length of the spigot − insertion depth",
            &[straight.weakest_basis, depth.weakest_basis],
        ),
        ring,
    })
}

/// A number the author states. Without a source, nothing shows that it was measured.
fn stated<T: Copy>(written: &Written<T>, source: Option<&Spanned<String>>) -> Sourced<T> {
    let (basis, source) = match source {
        Some(source) => (Basis::Measured, source.value.as_str()),
        None => (Basis::Organization, UNSOURCED),
    };
    Sourced::stated(written.value, basis, source).written_as(&written.text)
}

fn entry_for<T>(entries: &[(Spanned<Size>, T)], size: Size) -> Option<&T> {
    entries
        .iter()
        .find(|(s, _)| s.value == size)
        .map(|(_, entry)| entry)
}
