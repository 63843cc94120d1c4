//! Every rule of the tool: each room keeps its own, and here they come together,
//! for `coldring explain` and for the editors.

use crate::core::finding::Rule;

/// Every rule, those about reading a spec first.
pub fn rules() -> impl Iterator<Item = &'static Rule> {
    [
        crate::spec::rules::RULES,
        crate::procedure::confirm::rules::RULES,
        crate::people::fusers::rules::RULES,
        crate::people::wallet::rules::RULES,
        crate::batch::merge::rules::RULES,
        crate::procedure::compare::rules::RULES,
        crate::papers::house::rules::RULES,
        crate::people::submittal::rules::RULES,
    ]
    .into_iter()
    .flatten()
    .copied()
    .chain(crate::process::rules())
}
