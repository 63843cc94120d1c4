//! How the pocket cards are made: their size, how front and back come
//! together, and how many there are.

use super::fields::Fields;
use super::words::YES_NO;
use super::{plausible, rules, values};
use crate::core::finding::Finding;
use crate::core::source::Spanned;

pub(crate) const TRIMS: &[(&str, CardTrim)] = &[
    ("smallest", CardTrim::Smallest),
    ("id-1", CardTrim::Id1),
    ("id-2", CardTrim::Id2),
    ("id-3", CardTrim::Id3),
];
pub(crate) const FLIPS: &[(&str, Flip)] = &[
    ("long edge", Flip::Long),
    ("short edge", Flip::Short),
    ("fold", Flip::Fold),
];
/// More cards than one file should hold; it can be printed again.
pub(crate) const MOST_COPIES: u32 = 100;

/// The size the cards are cut to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, clap::ValueEnum)]
pub enum CardTrim {
    /// The smallest that holds the card's lines at readable sizes.
    #[default]
    Smallest,
    /// 85.60 × 53.98 mm, as bank cards.
    #[value(name = "id-1")]
    Id1,
    /// 105 × 74 mm.
    #[value(name = "id-2")]
    Id2,
    /// 125 × 88 mm.
    #[value(name = "id-3")]
    Id3,
}

/// How the back of a card gets behind its front.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, clap::ValueEnum)]
pub enum Flip {
    /// Printed on both sides, the sheet turned on its long edge.
    #[default]
    Long,
    /// Printed on both sides, the sheet turned on its short edge.
    Short,
    /// Printed on one side and folded.
    Fold,
}

/// What the spec asks of the cards.
#[derive(Debug, Clone, Default)]
pub struct Cards {
    /// The size.
    pub trim: Option<Spanned<CardTrim>>,
    /// How front and back come together.
    pub flip: Option<Spanned<Flip>>,
    /// Whether there is a place to punch a slot for a lanyard.
    pub lanyard: Option<Spanned<bool>>,
    /// How many; as many as a sheet holds, where the spec does not say.
    pub copies: Option<Spanned<u32>>,
}

/// Reads the group.
pub fn cards(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Cards {
    let cards = Cards {
        trim: fields.optional("trim", findings, values::word(TRIMS)),
        flip: fields.optional("flip", findings, values::word(FLIPS)),
        lanyard: fields.optional("lanyard", findings, values::word(YES_NO)),
        copies: fields.optional("copies", findings, |node, findings| {
            let copies = values::counting_number(&plausible::COPIES)(node, findings)?;
            if copies.value <= MOST_COPIES {
                return Some(copies);
            }
            let message = format!("{} cards are more than one file holds", copies.value);
            findings.push(rules::NOT_A_QUANTITY.at(copies.span, message).help(format!(
                "write up to {MOST_COPIES}, and print the file again"
            )));
            None
        }),
    };
    fields.finish(findings);
    cards
}
