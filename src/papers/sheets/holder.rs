//! The tool that US practice holds and pushes its larger sizes with.

use super::format;
use crate::procedure::resolve::{Procedure, needs_holder};
use crate::published::{Library, Practice};

/// The sizes that are pushed together by it, in one line; under metric practice
/// none, which has its machine.
pub fn held(p: &Procedure, limits: &Library) -> Option<String> {
    if p.practice() != Practice::Us {
        return None;
    }
    let joints = p.joints.iter();
    let sizes = format::sizes(joints.filter(|joint| needs_holder(joint, limits).is_some()));
    (!sizes.is_empty()).then_some(sizes)
}
