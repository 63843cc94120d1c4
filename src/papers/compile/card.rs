//! The card: what it says, fitted to the smallest trim that holds it.

use super::{Options, Withheld};
use crate::core::units::print::with_decimal_mark;
use crate::papers::sheets::{Frame, PaperKind};
use crate::procedure::resolve::Procedure;
use crate::process::Process;
use crate::process::socket::sheets::{CardPrint, CardSheet, card_plan, lay_out_cards};
use crate::published::Library;
use crate::spec::{CardTrim, Cards, Paper};

/// The card's faces, in one language or two.
pub(crate) fn card_sheet(
    procedure: &Procedure<'_>,
    limits: &Library,
    frame: Frame,
    other: Option<Frame>,
) -> CardSheet {
    let sheet = |frame: Frame| {
        let mark = frame.lang.decimal_mark(procedure.practice());
        with_decimal_mark(mark, || {
            (Process::of_spec(procedure.spec).card)(procedure, limits, frame)
        })
    };
    match other {
        Some(other) => sheet(frame).with_other(sheet(other)),
        None => sheet(frame),
    }
}

/// The card, or the reason no permitted trim can hold it.
pub(crate) fn card_print(
    procedure: &Procedure<'_>,
    limits: &Library,
    sheet: &CardSheet,
    paper: Paper,
    options: &Options,
) -> Result<CardPrint, Withheld> {
    let wishes: &Cards = &procedure.spec.documents.card;
    let trim = options
        .card_trim
        .or(wishes.trim.as_ref().map(|trim| trim.value));
    let trim = trim.unwrap_or_default();
    let flip = options.flip.or(wishes.flip.as_ref().map(|flip| flip.value));
    let copies = wishes.copies.as_ref().map(|copies| copies.value);
    let chosen = sheet.clone().cut_to(trim);
    if let Some(plan) = card_plan(&chosen) {
        let mark = chosen.frame.lang.decimal_mark(procedure.practice());
        let flip = flip.unwrap_or_default();
        return Ok(with_decimal_mark(mark, || {
            lay_out_cards(&chosen, plan, paper, flip, copies, limits)
        }));
    }
    let smallest = match trim {
        CardTrim::Smallest => None,
        _ => card_plan(sheet),
    };
    let house = sheet.frame.style.has_own_words();
    let reason = match smallest {
        Some(plan) => format!(
            "its lines do not fit the trim that was chosen without type too small to read; \
             choose {}",
            plan.trim.name.to_lowercase()
        ),
        None if house => "its lines do not fit the largest card without type too small to read; \
                          shorten the clauses of the card in the house style"
            .to_owned(),
        None => "its lines do not fit the largest card without type too small to read; \
                 shorten the name of the resin and the number of the procedure"
            .to_owned(),
    };
    Err((PaperKind::Card, reason.into()))
}
