//! The input of one file of wallet cards: a prepared card set, and people.

use crate::papers::wallet::{BackgroundSheet, FittedText};
use crate::people::wallet::Holder;
use crate::proof::{Claim, ClaimedProcedure, Subject};

/// A person whose card can be printed.
pub(crate) struct Person<'d> {
    pub(crate) holder: &'d Holder<'d>,
    /// The name, fitted.
    pub(crate) name: FittedText,
    /// The badge, fitted.
    pub(crate) badge: FittedText,
    /// Modules on a side of the code, if there is one.
    pub(crate) modules: Option<usize>,
}

/// One file to make.
pub(crate) struct Job<'p> {
    pub(crate) name: String,
    pub(crate) card_set: &'p PreparedCardSet<'p>,
    pub(crate) people: &'p [Person<'p>],
    /// Cards on a full sheet.
    pub(crate) slots: usize,
}

/// A card set with its backgrounds, ready for its people.
pub(crate) struct PreparedCardSet<'d> {
    /// Start of its file names.
    pub(crate) stem: String,
    /// Document title of its files.
    pub(crate) title: String,
    /// Backgrounds of a full sheet and of a partly filled one; each is typeset
    /// only if needed.
    pub(crate) backgrounds: [(BackgroundSheet, Option<Vec<u8>>); 2],
    /// Alternative texts of backgrounds and codes.
    pub(crate) alts: [String; 2],
    /// What a code states of each procedure, apart from the expiry date.
    pub(crate) claimed: Vec<ClaimedProcedure>,
    pub(crate) people: Vec<Person<'d>>,
}

/// What the code on a person's card states.
pub(crate) fn claim(procedures: &[ClaimedProcedure], holder: &Holder<'_>) -> Claim {
    let with_day = procedures
        .iter()
        .zip(&holder.until)
        .map(|(procedure, day)| ClaimedProcedure {
            valid_until: Some(*day),
            ..procedure.clone()
        });
    Claim {
        subject: Subject::Wallet,
        badge: Some(holder.fuser.badge.value.clone()),
        procedures: with_day.collect(),
    }
}
