//! Facts about the work that several papers share.

use super::format;
use crate::core::size::Size;
use crate::core::units::Length;
use crate::procedure::resolve::{Joint, Procedure, needs_pusher};
use crate::published::{Library, ResinGroup, Sourced};

/// The sizes pushed together by a tool or machine, on one line.
pub(crate) fn pushed(p: &Procedure, limits: &Library) -> Option<String> {
    let pusher = &p.practice().pusher;
    let pushed = |joint: &&Joint| needs_pusher(pusher, joint, limits).is_some();
    let sizes = format::sizes(p.joints.iter().filter(pushed));
    (!sizes.is_empty()).then_some(sizes)
}

/// Whether the pipe end is peeled, if the practice peels and the spec says.
pub(crate) fn peel(p: &Procedure) -> Option<bool> {
    let peel = p.spec.cleaning.as_ref()?.peel.as_ref()?;
    p.practice().peels.then_some(peel.value)
}

/// Whether a joint has no hold time of its own and is held until cool.
pub(crate) fn holds_until_cool(p: &Procedure, joint: &Joint) -> bool {
    p.practice().holds_until_cool && joint.cycle.hold().is_none()
}

/// Whether that is true of all joints, so hold and cooling need no separate
/// columns.
pub(crate) fn all_hold_until_cool(p: &Procedure) -> bool {
    p.practice().holds_until_cool && p.joints.iter().all(|joint| joint.cycle.hold().is_none())
}

/// Where the witness line of a size is drawn, from the cut end, if a distance is
/// published for the resin. It must still be visible on the finished joint. Every
/// paper takes it from here, so no two papers draw it in different places.
pub(crate) fn witness_line(p: &Procedure, limits: &Library, size: Size) -> Option<Sourced<Length>> {
    if p.resin.as_ref()?.group != ResinGroup::PpR {
        return None;
    }
    limits.sight_mark(size)
}

/// Whether a size has a published witness line.
pub(crate) fn has_witness_lines(p: &Procedure, limits: &Library) -> bool {
    p.sizes()
        .any(|joint| witness_line(p, limits, joint.size).is_some())
}
