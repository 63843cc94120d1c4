//! The pocket card: what a fuser reads with the pipe in hand. `front` and `back`
//! hold what it says; `front_face` and `back_face` place it, by the widths of the
//! fonts; `plan` chooses the trim; `imposition` arranges the faces on the paper.
//! A card turns over like a page.

mod back;
mod back_face;
mod face;
mod flow;
mod front;
mod front_face;
pub(crate) mod imposition;
mod notes;
mod panel_face;
mod plan;
mod setting;
mod sizes;
mod table;

use serde::Serialize;

use crate::core::units::Length;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::frame::Frame;
use crate::procedure::resolve::Procedure;
use crate::published::{Entry, Library};
use crate::spec::{CardTrim, Flip, Paper};

use back::Back;
pub(crate) use back_face::{CODE_MODULE_MM, QUIET_MODULES};
use face::Slot;
pub(crate) use face::{Trim, trims};
pub(crate) use flow::{Face, Item};
use front::Front;
use imposition::Imposition;
pub(crate) use notes::Notes;
pub(crate) use plan::{Plan, panels, plan};
pub(crate) use setting::{Line, Phrase, Type};
use sizes::LeastSizes;

/// What the card's faces say, and the sizes they may have.
#[derive(Debug, Clone)]
pub struct CardSheet {
    pub frame: Frame,
    /// The word before a card's number, used if there are several.
    pub card_label: String,
    /// The word before the revision.
    pub revision_label: String,
    /// What the mark means, in as many words as a card has room for.
    pub legend: String,
    pub short_legend: String,
    /// Permitted card sizes, smallest first.
    pub trims: Vec<Trim>,
    /// Least type sizes.
    pub least: LeastSizes,
    /// Margin from the trim to any text.
    pub safe_mm: f64,
    /// Position of the lanyard slot, if the card has one.
    pub lanyard: Option<Slot>,
    pub front: Front,
    pub back: Back,
    /// The same in a second language.
    pub other: Option<Box<CardSheet>>,
}

/// What a card is written from, in one language.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Side<'a> {
    pub(crate) frame: &'a Frame,
    pub(crate) label: &'a str,
    pub(crate) revision_label: &'a str,
    pub(crate) legend: &'a str,
    pub(crate) short_legend: &'a str,
    pub(crate) front: &'a Front,
    pub(crate) back: &'a Back,
}

/// Which card of how many.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Part {
    pub(crate) index: usize,
    pub(crate) count: usize,
}

impl CardSheet {
    /// Adds the second language.
    pub(crate) fn with_other(mut self, other: CardSheet) -> Self {
        self.other = Some(Box::new(other));
        self
    }

    /// Limits the card to one trim, unless any will do.
    pub fn cut_to(mut self, choice: CardTrim) -> Self {
        if choice != CardTrim::Smallest {
            self.trims.retain(|trim| trim.choice == choice);
        }
        self
    }

    pub(crate) fn side(&self) -> Side<'_> {
        Side {
            frame: &self.frame,
            label: &self.card_label,
            revision_label: &self.revision_label,
            legend: &self.legend,
            short_legend: &self.short_legend,
            front: &self.front,
            back: &self.back,
        }
    }

    fn other_side(&self) -> Option<Side<'_>> {
        self.other.as_ref().map(|other| other.side())
    }
}

/// The cards as printed.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct CardPrint {
    pub(crate) frame: Frame,
    #[serde(flatten)]
    pub(crate) plan: Plan,
    /// Position of the lanyard slot, if the card has one.
    pub(crate) lanyard: Option<Slot>,
    pub(crate) band: Option<crate::papers::sheets::resin::Band>,
    /// Type size of the text around the cards.
    pub(crate) note_pt: f64,
    /// The positions of the faces.
    pub(crate) imposition: Imposition,
    /// Text around the cards.
    pub(crate) notes: Notes,
}

/// The faces of a card.
pub fn card(procedure: &Procedure, limits: &Library, frame: Frame) -> CardSheet {
    let own = frame.words.clone();
    let words: &Clauses = &own;
    let lanyard = &procedure.spec.documents.card.lanyard;
    let has_slot = lanyard.as_ref().is_some_and(|lanyard| lanyard.value);
    CardSheet {
        card_label: words.render(Clause::CardLabel),
        revision_label: words.render(Clause::CardRevision),
        legend: words.render(Clause::CardVerifyLegend),
        short_legend: words.render(Clause::CardVerifyShort),
        trims: trims(limits),
        least: LeastSizes::new(limits),
        safe_mm: print_length(limits, "safe-margin").mm(),
        lanyard: has_slot.then(|| face::slot(limits)),
        front: front::front(procedure, limits, words),
        back: back::back(procedure, limits, words),
        other: None,
        frame,
    }
}

/// Lays the cards of a plan out on sheets; every set has each of them once.
pub(crate) fn lay_out_cards(
    card: &CardSheet,
    plan: Plan,
    paper: Paper,
    flip: Flip,
    sets: Option<u32>,
    limits: &Library,
) -> CardPrint {
    CardPrint {
        imposition: imposition::impose(plan.cards.len(), sets, &plan.trim, paper, flip),
        notes: notes_around(card, &plan, flip, limits),
        frame: card.frame.clone(),
        lanyard: card.lanyard,
        band: card.front.band,
        note_pt: card.least.fine_pt,
        plan,
    }
}

/// The text around the cards of a plan.
pub(crate) fn notes_around(card: &CardSheet, plan: &Plan, flip: Flip, limits: &Library) -> Notes {
    notes::notes(card, plan, flip, limits, &card.frame.words)
}

/// A length in the print table; a test reads every one.
fn print_length(limits: &Library, key: &str) -> Length {
    let entry = limits.entry(&format!("print:{key}:length"));
    entry
        .and_then(Entry::length)
        .map_or(Length::ZERO, |length| length.value)
}
