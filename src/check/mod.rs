//! Rules of the trade, family by family: each looks at the resolved procedure
//! and says what is wrong, where, and by how much. Nothing is mended here and
//! nothing stops at the first fault.

mod cleaning;
mod cycles;
mod depth;
mod face_check;
mod heater;
mod say;
mod scope;
mod spigot;
mod standing;
mod status;
mod tools;
mod waits;

use chrono::NaiveDate;

use crate::finding::{self, Finding, Rule};
use crate::limits::Library;
use crate::resolve::Procedure;

/// What a rule may look at.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The procedure, every figure resolved.
    pub procedure: &'a Procedure<'a>,
    /// The published figures.
    pub limits: &'a Library,
    /// The day the spec is read, for rules about dates only.
    pub as_of: NaiveDate,
}

/// A family of rules: what they are and the function that applies them.
type Family = (
    &'static [&'static Rule],
    fn(&Context<'_>, &mut Vec<Finding>),
);

fn families() -> [Family; 11] {
    [
        (scope::RULES, scope::check),
        (heater::RULES, heater::check),
        (face_check::RULES, face_check::check),
        (tools::RULES, tools::check),
        (depth::RULES, depth::check),
        (spigot::RULES, spigot::check),
        (cleaning::RULES, cleaning::check),
        (cycles::RULES, cycles::check),
        (waits::RULES, waits::check),
        (status::RULES, status::check),
        (standing::RULES, standing::check),
    ]
}

/// Applies every rule; the findings stand in the order of the spec.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (_, check) in families() {
        check(context, &mut findings);
    }
    finding::sort(&mut findings);
    findings
}

/// Every rule of the tool, those about reading a spec first.
pub fn rules() -> impl Iterator<Item = &'static Rule> {
    let reading = crate::spec::rules::RULES.iter().copied();
    reading.chain(
        families()
            .into_iter()
            .flat_map(|(rules, _)| rules.iter().copied()),
    )
}
