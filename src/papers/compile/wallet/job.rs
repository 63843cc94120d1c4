//! What a file of wallet cards is made from: a deck with its grounds, and people.

use crate::papers::sheets::wallet::{GroundSheet, Lines};
use crate::people::wallet::Holder;
use crate::proof::{Claim, ClaimedProcedure, Subject};

/// Somebody whose card can be printed.
pub struct Person<'d> {
    /// Who, until when.
    pub holder: &'d Holder<'d>,
    /// The name as it fits.
    pub name: Lines,
    /// The badge as it fits.
    pub badge: Lines,
}

/// One file.
pub struct Job<'p> {
    /// Its name.
    pub name: String,
    /// The deck.
    pub deck: &'p Prepared<'p>,
    /// Whose cards are in it.
    pub people: &'p [Person<'p>],
    /// How many are on a full sheet.
    pub slots: usize,
}

/// A deck with its grounds, ready for its people.
pub struct Prepared<'d> {
    /// Beginning of its files' names.
    pub stem: String,
    /// Title of its files.
    pub title: String,
    /// The ground of a full sheet, and of one that is not; typeset where there
    /// are people for it.
    pub grounds: [(GroundSheet, Option<Vec<u8>>); 2],
    /// What a reader aloud says of grounds and codes.
    pub alts: [String; 2],
    /// What a code says of each procedure, but for the day.
    pub claimed: Vec<ClaimedProcedure>,
    /// The people.
    pub people: Vec<Person<'d>>,
}

/// What the code of a person's card says.
pub fn claim(procedures: &[ClaimedProcedure], holder: &Holder<'_>) -> Claim {
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
