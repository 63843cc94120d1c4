//! Which sizes are pushed together by a tool or machine, not by hand alone, and what
//! it takes.

use super::Joint;
use crate::core::size::Size;
use crate::core::units::Length;
use crate::process::socket::practice::Pusher;
use crate::published::{Library, Sourced};
use crate::spec::plausible;

/// The outside diameter from which a practice pushes pipe with its tool or machine.
pub(crate) fn pusher_threshold(pusher: &Pusher, limits: &Library) -> Option<Sourced<Length>> {
    limits.entry(pusher.from)?.length()
}

/// The same, if the joint reaches it.
pub(crate) fn needs_pusher(
    pusher: &Pusher,
    joint: &Joint,
    limits: &Library,
) -> Option<Sourced<Length>> {
    let diameter = joint.outside_diameter.as_ref()?.value;
    pusher_threshold(pusher, limits).filter(|from| diameter >= from.value)
}

/// How wide a pipe a tool takes whose largest size is `largest`: the outside diameter
/// of a size that is known. Of another the nominal size will do, which is not more;
/// `None` for a size that can only be a slip.
pub(crate) fn tool_reach(largest: Size, limits: &Library) -> Option<Length> {
    if let Some(od) = limits.outside_diameter(largest) {
        return Some(od.value);
    }
    let nominal = largest.nominal_length();
    plausible::TOOL.contains(nominal).then_some(nominal)
}
