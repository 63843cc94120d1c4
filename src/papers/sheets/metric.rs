//! What procedure and card both ask of metric work.

use super::format;
use crate::core::size::Size;
use crate::core::units::Length;
use crate::procedure::resolve::{Joint, Procedure};
use crate::published::{Library, Practice, ResinGroup, Sourced};

/// The sizes that are joined in a machine, in one line; under US practice none.
pub fn by_machine(p: &Procedure, limits: &Library) -> Option<String> {
    if p.practice() != Practice::Metric {
        return None;
    }
    let from = limits.figure("metric-range:machine-from:length")?;
    let from = from.length()?.value;
    let is_large = |joint: &&Joint| {
        let diameter = joint.outside_diameter.as_ref();
        diameter.is_some_and(|diameter| diameter.value >= from)
    };
    let sizes = format::sizes(p.joints.iter().filter(is_large));
    (!sizes.is_empty()).then_some(sizes)
}

/// Whether the pipe end is peeled, where the spec says.
pub fn peel(p: &Procedure) -> Option<bool> {
    let peel = p.spec.cleaning.as_ref()?.peel.as_ref()?;
    Some(peel.value)
}

/// Whether a joint has no hold of its own, so that it is held until cool.
pub fn holds_until_cool(joint: &Joint) -> bool {
    joint.hold.is_none()
}

/// Whether all joints are, so that no hold need be told from the cooling.
pub fn all_hold_until_cool(p: &Procedure) -> bool {
    p.practice() == Practice::Metric && p.joints.iter().all(holds_until_cool)
}

/// Where the witness line of a size is drawn, from the cut end, where a distance
/// is published for the resin. It must still be seen on the finished joint. Every
/// paper takes it from here, so that no two papers draw it in different places.
pub fn witness_line(p: &Procedure, limits: &Library, size: Size) -> Option<Sourced<Length>> {
    if p.resin.as_ref()?.group != ResinGroup::PpR {
        return None;
    }
    limits.sight_mark(size)
}

/// Whether a size has a published witness line.
pub fn has_witness_lines(p: &Procedure, limits: &Library) -> bool {
    p.sizes()
        .any(|joint| witness_line(p, limits, joint.size).is_some())
}
