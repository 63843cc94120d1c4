//! What a file of wallet cards is made from: a deck with its grounds, and people.

use crate::papers::wallet::{GroundSheet, Lines};
use crate::people::wallet::Holder;
use crate::proof::{Claim, ClaimedProcedure, Subject};

/// Somebody whose card can be printed.
pub(crate) struct Person<'d> {
    /// Who, until when.
    pub(crate) holder: &'d Holder<'d>,
    /// The name as it fits.
    pub(crate) name: Lines,
    /// The badge as it fits.
    pub(crate) badge: Lines,
}

/// One file.
pub(crate) struct Job<'p> {
    pub(crate) name: String,
    pub(crate) card_set: &'p Prepared<'p>,
    /// Whose cards are in it.
    pub(crate) people: &'p [Person<'p>],
    /// How many are on a full sheet.
    pub(crate) slots: usize,
}

/// A deck with its grounds, ready for its people.
pub(crate) struct Prepared<'d> {
    /// Beginning of its files' names.
    pub(crate) stem: String,
    /// Title of its files.
    pub(crate) title: String,
    /// The ground of a full sheet, and of one that is not; typeset where there
    /// are people for it.
    pub(crate) grounds: [(GroundSheet, Option<Vec<u8>>); 2],
    /// What a reader aloud says of grounds and codes.
    pub(crate) alts: [String; 2],
    /// What a code says of each procedure, but for the day.
    pub(crate) claimed: Vec<ClaimedProcedure>,
    pub(crate) people: Vec<Person<'d>>,
}

/// What the code of a person's card says.
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
