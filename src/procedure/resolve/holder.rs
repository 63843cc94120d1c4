//! Which inch sizes are pushed together by a tool, not by hand alone, and what a
//! tool takes.

use super::Joint;
use crate::core::size::Size;
use crate::core::units::Length;
use crate::published::{Library, Sourced};
use crate::spec::plausible;

/// The outside diameter from which inch pipe needs a tool that holds and pushes, if
/// the joint reaches it.
pub fn needs_holder(joint: &Joint, limits: &Library) -> Option<Sourced<Length>> {
    let from = limits.figure("us-range:holding-tool-from:length")?;
    let from = from.length()?;
    let diameter = joint.outside_diameter.as_ref()?;
    (diameter.value >= from.value).then_some(from)
}

/// How wide a pipe a tool takes whose largest size is `largest`: the outside diameter
/// of a size that is known. Of another the nominal size will do, which is not more;
/// `None` for a size that can only be a slip.
pub fn tool_reach(largest: Size, limits: &Library) -> Option<Length> {
    if let Some(od) = limits.outside_diameter(largest) {
        return Some(od.value);
    }
    let nominal = largest.nominal_length();
    plausible::TOOL.contains(nominal).then_some(nominal)
}
