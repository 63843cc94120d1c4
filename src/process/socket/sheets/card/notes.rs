//! The text around the cards, on paper that is cut away.

use serde::Serialize;

use crate::core::units::{Length, LengthUnit};
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::format;
use crate::process::socket::sheets::card::plan::Plan;
use crate::process::socket::sheets::card::{CardSheet, print_length};
use crate::published::Library;
use crate::spec::Flip;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct Notes {
    /// The trim size, and the version of the tables: not every card has room for it.
    pub(crate) trim: String,
    /// How to print; above the fronts.
    pub(crate) print: Vec<String>,
    /// How to cut, fold, punch, and laminate, and the type heights; below.
    pub(crate) after: Vec<String>,
}

pub(crate) fn notes(
    card: &CardSheet,
    plan: &Plan,
    flip: Flip,
    limits: &Library,
    words: &Clauses,
) -> Notes {
    let say = |clause| words.render(clause);
    let print = match flip {
        Flip::Long => vec![Clause::CardPrintLong, Clause::CardRegister],
        Flip::Short => vec![Clause::CardPrintShort, Clause::CardRegister],
        Flip::Fold => vec![Clause::CardPrintFold],
    };
    let mut after = vec![if flip == Flip::Fold {
        Clause::CardCutFold
    } else {
        Clause::CardCut
    }];
    if card.lanyard.is_some() {
        after.push(Clause::CardLanyard);
    }
    let millimeters = |key: &str, places| format::millimeters_to(print_length(limits, key), places);
    after.push(Clause::CardLamination {
        least: millimeters("lamination-seal-least", 0),
        most: millimeters("lamination-seal-most", 0),
    });
    let height = |mm: f64| format::millimeters_to(Length::from_mm(mm), 1);
    let asked = |key: &str| height(print_length(limits, key).mm());
    after.push(Clause::CardHeights {
        heating: height(plan.heating_mm),
        figures: asked("x-height-steps"),
        fine: asked("x-height-fine-print"),
    });
    Notes {
        trim: format!(
            "{}: {} × {} mm. {}",
            plan.trim.name,
            side(plan.trim.width_mm),
            side(plan.trim.height_mm),
            card.frame.tables_line
        ),
        print: print.into_iter().map(say).collect(),
        // Whoever prints cards sees it before a cut; the face has no room for it.
        after: after
            .into_iter()
            .map(say)
            .chain([card.frame.check_line.clone()])
            .collect(),
    }
}

/// A side of a card: `85.6`, `53.98`, `105`.
fn side(millimeters: f64) -> String {
    let number = Length::from_mm(millimeters).number(LengthUnit::Millimeter, 2);
    let number = number.trim_end_matches('0');
    number.trim_end_matches(['.', ',']).to_owned()
}
