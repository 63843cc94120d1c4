//! The fit of a joint, cold: how much larger the pipe is than the socket at its
//! mouth and at its root, and how much room a spigot leaves the cold ring. How
//! deep the pipe goes in is no part of it: it is the depth that is set, and a band
//! up to the stop of the socket would invite a joint that bottoms out. Bands against bands, so that the least and the
//! greatest are those of the worst pipe in the worst socket.

use super::{Joint, Procedure};
use crate::core::size::Size;
use crate::core::source::Spanned;
use crate::core::units::{Length, Range};
use crate::published::{Basis, Sourced};
use crate::spec::{self, Spec, Spigot, Written};

/// Stands where the author gives a figure and no source.
const UNSOURCED: &str = "stated in the spec without a source";

/// One end of a socket against the pipe.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SocketEnd {
    /// Mean inside diameter of the socket there.
    pub socket: Sourced<Range<Length>>,
    /// Diameter of the pipe less that of the socket, least and greatest; below
    /// zero where the pipe is loose.
    pub interference: Sourced<Range<Length>>,
}

/// Room for the cold ring on a spigot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RingRoom {
    /// Straight length left behind the insertion depth; below zero where the
    /// spigot is shorter than the depth.
    pub room: Sourced<Length>,
    /// Width of the ring, where the spec gives it.
    pub ring: Option<Sourced<Length>>,
}

/// The fit of one size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fit {
    /// The size.
    pub size: Size,
    /// What the mean outside diameter of a good pipe may be.
    pub od_band: Sourced<Range<Length>>,
    /// At the entrance of the socket.
    pub mouth: Option<SocketEnd>,
    /// At its bottom.
    pub root: Option<SocketEnd>,
    /// Room for the ring, where the spec gives a spigot of the size.
    pub ring_room: Option<RingRoom>,
}

/// The fit of every size of which more is known than the pipe.
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

/// The pipe's band against the socket's.
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

/// What the author states; without a source nothing says that it was measured.
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
