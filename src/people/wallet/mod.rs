//! Wallet cards: who is qualified + the procedures cards are made for → who
//! gets which card, and why the others get none. Cards of the same procedures
//! in the same language differ only in the person. Whether a name fits is
//! computed from font widths before anything is laid out, so a misfit is a
//! finding.

pub(crate) mod rules;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::people::fusers::{Fuser, Standing};
use crate::spec::language::Language;

/// A procedure to make cards for.
#[derive(Debug, Clone)]
pub(crate) struct CardProcedure {
    /// Its number. Rosters name no revision.
    pub(crate) number: String,
    /// Why no cards can be made, if so.
    pub(crate) refused: Option<String>,
    /// The language of its papers.
    pub(crate) language: Language,
}

/// The result for one person and procedure.
#[derive(Debug, Clone)]
pub struct Row<'r> {
    /// The person.
    pub fuser: &'r Fuser,
    /// The procedure; `None` if nothing is on record.
    pub procedure: Option<String>,
    /// The last day of the qualification, inclusive.
    pub valid_until: Option<NaiveDate>,
    /// The language of the card.
    pub language: Option<Language>,
    /// The file that contains the card.
    pub file: Option<String>,
    /// Why there is no card.
    pub no_card_reason: Option<String>,
}

/// Cards that differ only in the person.
#[derive(Debug, Clone)]
pub(crate) struct CardSet<'r> {
    /// Indexes of the procedures on each card.
    pub(crate) procedures: Vec<usize>,
    pub(crate) language: Language,
    /// The people who get a card, in roster order.
    pub(crate) holders: Vec<Holder<'r>>,
}

#[derive(Debug, Clone)]
pub(crate) struct Holder<'r> {
    /// The person.
    pub(crate) fuser: &'r Fuser,
    /// The last valid day for each procedure of the set.
    pub(crate) until: Vec<NaiveDate>,
    /// Indexes of the rows this card covers.
    pub(crate) rows: Vec<usize>,
}

/// All card sets, and a row for each standing.
#[derive(Debug, Clone, Default)]
pub(crate) struct Assignment<'r> {
    /// The card sets, in the order of the procedures.
    pub(crate) card_sets: Vec<CardSet<'r>>,
    /// The result for each standing, in roster order.
    pub(crate) rows: Vec<Row<'r>>,
}

/// Records in these rows why there is no card after all.
pub(crate) fn refuse(rows: &mut [Row<'_>], of: &[usize], reason: &str) {
    for row in of {
        if let Some(row) = rows.get_mut(*row) {
            row.no_card_reason = Some(reason.to_owned());
        }
    }
}

/// Assigns people to card sets: a card for each procedure, or one with all if `combined`,
/// in the requested language, or else the person's own, or else the procedure's.
pub(crate) fn assign_cards<'r>(
    standings: &[Standing<'r>],
    card_procedures: &[CardProcedure],
    combined: bool,
    requested: Option<Language>,
) -> Assignment<'r> {
    let mut rows = Vec::with_capacity(standings.len());
    let mut card_sets: BTreeMap<(Vec<usize>, &'static str), CardSet<'r>> = BTreeMap::new();
    // A person's standings are adjacent.
    for of_person in standings.chunk_by(|a, b| std::ptr::eq(a.fuser, b.fuser)) {
        let mut held = Vec::new();
        for standing in of_person {
            let found = card_procedure_for(standing, card_procedures);
            rows.push(Row {
                fuser: standing.fuser,
                procedure: standing.procedure().map(str::to_owned),
                valid_until: standing.valid_until,
                language: None,
                file: None,
                no_card_reason: found.as_ref().err().cloned(),
            });
            held.extend(
                found
                    .ok()
                    .map(|(place, until)| (place, until, rows.len() - 1)),
            );
        }
        held.sort_unstable();
        let cards = if combined { held.len().max(1) } else { 1 };
        for card in held.chunks(cards) {
            add_to_set(card, card_procedures, requested, &mut rows, &mut card_sets);
        }
    }
    Assignment {
        card_sets: card_sets.into_values().collect(),
        rows,
    }
}

/// Adds a person's card to its set. `card` holds the index, last valid day, and row of
/// each procedure.
fn add_to_set<'r>(
    card: &[(usize, NaiveDate, usize)],
    card_procedures: &[CardProcedure],
    requested: Option<Language>,
    rows: &mut [Row<'r>],
    card_sets: &mut BTreeMap<(Vec<usize>, &'static str), CardSet<'r>>,
) {
    let Some((procedure, fuser)) = card
        .first()
        .and_then(|(place, _, row)| Some((card_procedures.get(*place)?, rows.get(*row)?.fuser)))
    else {
        return;
    };
    let language = requested
        .or_else(|| own_language(fuser))
        .unwrap_or(procedure.language);
    let procedures: Vec<_> = card.iter().map(|(place, ..)| *place).collect();
    for (.., row) in card {
        if let Some(row) = rows.get_mut(*row) {
            row.language = Some(language);
        }
    }
    let card_set = card_sets
        .entry((procedures, language.tag()))
        .or_insert_with_key(|(procedures, _)| CardSet {
            procedures: procedures.clone(),
            language,
            holders: Vec::new(),
        });
    card_set.holders.push(Holder {
        fuser,
        until: card.iter().map(|(_, until, _)| *until).collect(),
        rows: card.iter().map(|(.., row)| *row).collect(),
    });
}

/// The index of the procedure and the last valid day for a standing's card, or why there
/// is no card.
fn card_procedure_for(
    standing: &Standing<'_>,
    card_procedures: &[CardProcedure],
) -> Result<(usize, NaiveDate), String> {
    let why = || standing.reason.clone();
    let number = standing.procedure().ok_or_else(why)?;
    let until = standing.valid_until.filter(|_| standing.qualified());
    let Some(place) = card_procedures
        .iter()
        .position(|procedure| procedure.number == number)
    else {
        return Err(format!("the spec of {number} was not given"));
    };
    match card_procedures
        .get(place)
        .and_then(|procedure| procedure.refused.as_ref())
    {
        _ if until.is_none() => Err(why()),
        Some(refused) => Err(refused.clone()),
        None => Ok((place, until.ok_or_else(why)?)),
    }
}

/// The person's own language, if cards are available in it.
pub(crate) fn own_language(fuser: &Fuser) -> Option<Language> {
    let code = fuser.language.as_ref()?;
    let tag = code.split('-').next().unwrap_or_default();
    Language::all().find(|language| language.tag() == tag)
}
