//! Which sizes need a tool or machine to push them together.

use super::Joint;
use crate::core::size::Size;
use crate::core::units::Length;
use crate::process::socket::practice::Pusher;
use crate::published::{Library, Sourced};
use crate::spec::plausible;

/// The outside diameter from which a practice requires a tool or machine.
pub(crate) fn pusher_threshold(pusher: &Pusher, limits: &Library) -> Option<Sourced<Length>> {
    limits.entry(pusher.from)?.length()
}

/// The threshold, if this joint reaches it.
pub(crate) fn needs_pusher(
    pusher: &Pusher,
    joint: &Joint,
    limits: &Library,
) -> Option<Sourced<Length>> {
    let diameter = joint.outside_diameter.as_ref()?.value;
    pusher_threshold(pusher, limits).filter(|from| diameter >= from.value)
}

/// The largest outside diameter a tool takes, by its `largest` size. For an unpublished
/// size, the nominal size, which is no larger; `None` if the size can only be a typing
/// error.
pub(crate) fn tool_reach(largest: Size, limits: &Library) -> Option<Length> {
    if let Some(od) = limits.outside_diameter(largest) {
        return Some(od.value);
    }
    let nominal = largest.nominal_length();
    plausible::TOOL.contains(nominal).then_some(nominal)
}
