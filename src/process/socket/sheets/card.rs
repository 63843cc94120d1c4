//! The pocket card: what a fuser reads with the pipe in hand. Its faces are a
//! front and a back of a fixed size and know nothing of the sheet; `imposition`
//! arranges them on the paper, and a card turns over like a page.

mod back;
mod face;
mod front;
pub(crate) mod imposition;
mod notes;

use serde::Serialize;

use crate::core::units::Length;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::frame::Frame;
use crate::procedure::resolve::Procedure;
use crate::published::{Entry, Library};
use crate::spec::{CardTrim, Flip, Paper};

use back::Back;
#[cfg(test)]
pub(crate) use face::trims;
pub(crate) use face::{Plan, Trim};
use face::{Slot, TypeSizes};
use front::Front;
use imposition::Imposition;
pub(crate) use notes::Notes;

/// What the card's faces say, and the sizes they may have.
#[derive(Debug, Clone, Serialize)]
pub struct CardSheet {
    pub frame: Frame,
    /// The word before a card's number, used if there are several.
    pub card_label: String,
    /// Permitted card sizes, smallest first.
    pub trims: Vec<Trim>,
    /// Type sizes.
    pub type_sizes: TypeSizes,
    /// Margin from the trim to any text.
    pub safe_mm: f64,
    /// Position of the lanyard slot, if the card has one.
    pub lanyard: Option<Slot>,
    pub front: Front,
    pub back: Back,
    /// The other side of a bilingual card; each side then says everything.
    pub other: Option<OtherLanguage>,
}

/// The card in its second language.
#[derive(Debug, Clone, Serialize)]
pub struct OtherLanguage {
    pub frame: Frame,
    pub card_label: String,
    /// The numbers.
    pub front: Front,
    /// The steps.
    pub back: Back,
}

impl CardSheet {
    /// Adds the second language.
    pub(crate) fn with_other(mut self, other: CardSheet) -> Self {
        self.other = Some(OtherLanguage {
            frame: other.frame,
            card_label: other.card_label,
            front: other.front,
            back: other.back,
        });
        self
    }

    /// Limits the card to one trim, unless any will do.
    pub fn cut_to(mut self, choice: CardTrim) -> Self {
        if choice != CardTrim::Smallest {
            self.trims.retain(|trim| trim.choice == choice);
        }
        self
    }
}

/// The cards as printed.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct CardPrint {
    #[serde(flatten)]
    pub(crate) card: CardSheet,
    pub(crate) plan: Plan,
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
        trims: face::trims(limits),
        type_sizes: face::type_sizes(limits),
        safe_mm: print_length(limits, "safe-margin").mm(),
        lanyard: has_slot.then(|| face::slot(limits)),
        front: front::front(procedure, limits, words),
        back: back::back(procedure, limits, words),
        other: None,
        frame,
    }
}

/// Lays the cards out on sheets; every set has each of the plan's cards once.
/// `None` if the plan names a trim that the card does not have.
pub(crate) fn lay_out_cards(
    card: CardSheet,
    plan: Plan,
    paper: Paper,
    flip: Flip,
    sets: Option<u32>,
    limits: &Library,
) -> Option<CardPrint> {
    let trim = card.trims.get(plan.trim)?;
    let imposition = imposition::impose(plan.cards, sets, trim, paper, flip);
    let notes = notes_around(&card, &plan, flip, limits)?;
    Some(CardPrint {
        plan,
        imposition,
        notes,
        card,
    })
}

/// The text around cards that are filled by a plan.
pub(crate) fn notes_around(
    card: &CardSheet,
    plan: &Plan,
    flip: Flip,
    limits: &Library,
) -> Option<Notes> {
    let trim = card.trims.get(plan.trim)?;
    let figures = card.type_sizes.figures.get(plan.figures)?;
    let words: &Clauses = &card.frame.words;
    Some(notes::notes(card, plan, trim, figures, flip, limits, words))
}

/// A length in the print table; a test reads every one.
fn print_length(limits: &Library, key: &str) -> Length {
    let entry = limits.entry(&format!("print:{key}:length"));
    entry
        .and_then(Entry::length)
        .map_or(Length::ZERO, |length| length.value)
}
