//! A fuser's wallet card: a panel for the person, and panels with the numbers of
//! each procedure. Whatever is the same on all cards of a set is laid out once,
//! as the background of a sheet; a person's card adds the few words that differ.

mod layout;
mod panel;
mod person;

use chrono::NaiveDate;
use serde::Serialize;

use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::resin::Band;
use crate::people::fusers::RuleSet;
use crate::process::socket::sheets::card::{CardSheet, Face, Notes, Plan, Trim};
use crate::published::{Basis, Library};
use crate::spec::language::Language;

pub(crate) use layout::{Layout, lay_out};
pub(crate) use panel::{FittedText, Labels, Panel};

/// The numbers of one procedure, on panels of their own.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct NumbersSheet {
    #[serde(flatten)]
    pub(crate) plan: Plan,
    pub(crate) band: Option<Band>,
}

/// The background of a sheet: everything but the people.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct BackgroundSheet {
    pub(crate) lang: Language,
    pub(crate) layout: Layout,
    /// How many of the places have a card.
    pub(crate) used: usize,
    /// What stands on a place without one.
    pub(crate) no_card: String,
    /// Size of a panel.
    pub(crate) trim: Trim,
    pub(crate) panel: Panel,
    /// What is the same on the panels of all people.
    pub(crate) person: Face,
    pub(crate) organization: String,
    /// The procedures, in panel order, as a list names them.
    pub(crate) numbers: Vec<String>,
    /// Virtual file and page of each panel of numbers.
    pub(crate) figures: Vec<(String, usize)>,
    /// Type size of the notes.
    pub(crate) note_pt: f64,
    pub(crate) notes_above: Vec<String>,
    pub(crate) notes_below: Vec<String>,
    /// The card set's procedures, named above every side.
    pub(crate) deck: String,
}

/// A rule set that an expiry date comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct RuleLine {
    pub(crate) text: String,
    /// Whether it is unconfirmed.
    pub(crate) verify: bool,
}

/// Longest source that a card repeats; the fuser list prints it in full.
const LONGEST_SOURCE: usize = 60;

/// How a card names a rule set. A published one is named without its effective
/// date and without "recalled", which has its own mark.
fn rule_line(rule: &RuleSet, limits: &Library, words: &Clauses) -> RuleLine {
    let (source, basis) = rule.source(limits);
    let source = match rule {
        RuleSet::Own { .. } => source.to_owned(),
        _ => words.source(source.split(',').next().unwrap_or(source)),
    };
    let mut short: String = source.chars().take(LONGEST_SOURCE).collect();
    if short.len() < source.len() {
        short.push('…');
    }
    RuleLine {
        text: words.render(match rule {
            RuleSet::Own { .. } => Clause::WalletRuleOwn { source: short },
            _ => Clause::WalletRule {
                rule: rule.word().to_owned(),
                source: short,
            },
        }),
        verify: basis >= Basis::Recalled,
    }
}

/// One procedure of a card set.
pub(crate) struct SetProcedure<'a> {
    pub(crate) card: &'a CardSheet,
    /// The rule set that gives its fusers' expiry dates.
    pub(crate) rule: Option<&'a RuleSet>,
    /// Virtual file and page of each of its panels.
    pub(crate) panels: Vec<(String, usize)>,
}

/// What the background of a card set is made from.
pub(crate) struct BackgroundInput<'a> {
    /// Its procedures; at least one.
    pub(crate) procedures: &'a [SetProcedure<'a>],
    pub(crate) panel: &'a Panel,
    pub(crate) trim: &'a Trim,
    /// Text around the cards.
    pub(crate) notes: &'a Notes,
    /// ID of the key that signs the codes.
    pub(crate) key: Option<&'a str>,
    /// The day the roster was judged for.
    pub(crate) as_of: NaiveDate,
}

/// A procedure's number and revision, as a card prints them.
pub(crate) fn number_line(frame: &Frame) -> String {
    format!(
        "{}  {} {}",
        frame.number, frame.revision_label, frame.revision
    )
}

/// The background of a sheet with this many cards; `None` if there is no
/// procedure or a number or the fine print does not fit.
pub(crate) fn background(
    input: &BackgroundInput<'_>,
    layout: Layout,
    used: usize,
    limits: &Library,
) -> Option<BackgroundSheet> {
    let first = &input.procedures.first()?.card;
    let words: &Clauses = &first.frame.words;
    let say = |clause| words.render(clause);
    let mut organizations: Vec<_> = input
        .procedures
        .iter()
        .map(|c| c.card.frame.organization.as_str())
        .collect();
    organizations.dedup();
    let organization = organizations.join(", ");
    let numbers: Vec<_> = input
        .procedures
        .iter()
        .map(|procedure| number_line(&procedure.card.frame))
        .collect();
    let mut below = input.notes.after.clone();
    if layout.folded
        && let Some(cut) = below.first_mut()
    {
        *cut = say(Clause::WalletFold);
    }
    Some(BackgroundSheet {
        lang: first.frame.lang,
        used,
        no_card: say(Clause::WalletNoCard),
        trim: input.trim.clone(),
        panel: input.panel.clone(),
        person: person::face(input, &organization, limits)?,
        organization,
        figures: input
            .procedures
            .iter()
            .flat_map(|c| c.panels.clone())
            .collect(),
        note_pt: first.least.fine_pt,
        notes_above: input.notes.print.clone(),
        notes_below: below,
        deck: format!(
            "{}. {}. {}",
            say(Clause::PaperWallet),
            numbers.join(", "),
            input.notes.trim
        ),
        numbers,
        layout,
    })
}

/// The people on some sheets, laid over the backgrounds.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PeopleSheet<'a> {
    pub(crate) lang: Language,
    /// The file's title, which names nobody.
    pub(crate) document_title: String,
    pub(crate) organization: String,
    /// The day the roster was judged for: year, month, day.
    pub(crate) date_parts: (i32, u32, u32),
    /// Alternative text of the background.
    pub(crate) ground_alt: &'a str,
    pub(crate) code_alt: &'a str,
    pub(crate) panel: &'a Panel,
    pub(crate) sheets: Vec<SheetOfPeople<'a>>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct SheetOfPeople<'a> {
    /// Virtual file of its background.
    pub(crate) ground: &'static str,
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    /// Number of sides.
    pub(crate) sides: usize,
    /// The people, with the corners of their panels.
    pub(crate) people: Vec<PlacedPerson<'a>>,
}

/// A person and the position of the panel, from the top left of the paper.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PlacedPerson<'a> {
    pub(crate) x_mm: f64,
    pub(crate) y_mm: f64,
    /// Top of the name on the panel.
    pub(crate) name_top_mm: f64,
    pub(crate) name: &'a FittedText,
    pub(crate) badge: &'a FittedText,
    /// The expiry date of each procedure.
    pub(crate) until: Vec<String>,
    /// Virtual file of the code.
    pub(crate) code: Option<String>,
}
