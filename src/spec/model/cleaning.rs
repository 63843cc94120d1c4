//! How pipe end and socket are cleaned.

use crate::core::source::Spanned;
use crate::core::units::Percent;
use crate::spec::declare::kinds::{percent, word};
use crate::spec::declare::{group, optional, required};
use crate::spec::plausible;
use crate::spec::words::Word;
use crate::spec::written::Written;

group! {
    /// How pipe end and socket are cleaned.
    pub struct Cleaning written {
        /// What the surfaces are wiped with.
        agent: Spanned<CleaningAgent> = required(word()).fact("cleaning-agent"),
        /// The strength of the agent, from its label.
        strength: Option<Written<Percent>> = optional(
            percent(&plausible::STRENGTH),
            "check reports alcohol of unknown strength.",
        ).fact("cleaning-strength"),
        /// Whether the pipe end is peeled.
        peel: Option<Spanned<bool>> = optional(
            word(),
            "no in US practice; in metric practice check reports it.",
        ).fact("peel"),
    }
}

/// What surfaces are wiped with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CleaningAgent {
    /// Isopropyl alcohol.
    IsopropylAlcohol,
    /// A clean dry cloth alone.
    DryCloth,
    /// Water, with or without soap.
    Water,
    /// Acetone.
    Acetone,
}

impl CleaningAgent {
    /// The words in a spec.
    pub const fn name(self) -> &'static str {
        match self {
            CleaningAgent::IsopropylAlcohol => "isopropyl alcohol",
            CleaningAgent::DryCloth => "dry cloth",
            CleaningAgent::Water => "water",
            CleaningAgent::Acetone => "acetone",
        }
    }
}

impl Word for CleaningAgent {
    const WORDS: &'static [(&'static str, Self)] = &[
        (
            CleaningAgent::IsopropylAlcohol.name(),
            CleaningAgent::IsopropylAlcohol,
        ),
        (CleaningAgent::DryCloth.name(), CleaningAgent::DryCloth),
        (CleaningAgent::Water.name(), CleaningAgent::Water),
        (CleaningAgent::Acetone.name(), CleaningAgent::Acetone),
    ];
}
