//! The processes that procedures are written for, one folder each. A process holds
//! what no other process has: practices, cycle, thermal model, rules, papers. To
//! add one: its folder and its line in `PROCESSES`.

pub mod socket;

use crate::core::finding::{Finding, Rule};
use crate::papers::sheets::Frame;
use crate::procedure::resolve::Procedure;
use crate::published::Library;
use crate::rules::{self, Context, Family};
use crate::spec::Spec;
use socket::heat::advice::Advice;
use socket::sheets::strips::Correction;
use socket::sheets::{
    CardSheet, DepthMarksSheet, LidSheet, PlacedFinding, ProcedureSheet, SourcesSheet,
};

/// What the rest of the program asks of a process.
pub(crate) struct Process {
    /// The families of rules that its procedures are held to, in the order of the
    /// groups of a spec.
    pub(crate) rules: &'static [Family],
    /// Writes the written procedure.
    pub(crate) procedure: fn(&Procedure<'_>, &Library, Frame) -> ProcedureSheet,
    /// Writes where its numbers come from; warnings are among its open points.
    pub(crate) sources:
        fn(&Procedure<'_>, &Advice<'_>, &[PlacedFinding<'_>], &Library, Frame) -> SourcesSheet,
    /// Writes the sheet for the lid of the tool box.
    pub(crate) lid: fn(&Procedure<'_>, &Library, Frame) -> LidSheet,
    /// Writes the pocket card.
    pub(crate) card: fn(&Procedure<'_>, &Library, Frame) -> CardSheet,
    /// Writes the depth marks; `None` if no size has a depth.
    pub(crate) depth_marks:
        fn(&Procedure<'_>, &Library, Frame, Option<Correction>) -> Option<DepthMarksSheet>,
}

/// Every process.
pub(crate) static PROCESSES: [&Process; 1] = [&socket::SOCKET];

impl Process {
    /// The process of a spec. A spec names none yet: all of them are for socket
    /// fusion.
    pub(crate) fn of_spec(_: &Spec) -> &'static Self {
        &socket::SOCKET
    }
}

/// Holds a procedure to the rules of its process; the findings stand in the order of
/// the spec.
pub fn check(context: &Context<'_>) -> Vec<Finding> {
    let process = Process::of_spec(context.procedure.spec);
    rules::check(process.rules, context)
}

/// The rules of all processes, each once.
pub(crate) fn rules() -> impl Iterator<Item = &'static Rule> {
    let families = PROCESSES.iter().flat_map(|process| process.rules);
    families.flat_map(|(rules, _)| rules.iter().copied())
}
