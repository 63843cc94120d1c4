//! A fuser's wallet card: a panel for the person, and panels with the numbers of
//! each procedure. Whatever is the same on all cards of a set is laid out once,
//! as the background of a sheet; a person's card adds the few words that differ.

mod layout;
mod panel;

use chrono::NaiveDate;
use serde::Serialize;

use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::frame::Frame;
use crate::people::fusers::RuleSet;
use crate::process::socket::sheets::card::{CardSheet, Notes, Plan, Trim};
use crate::published::{Basis, Library};

pub(crate) use layout::{Layout, lay_out};
pub(crate) use panel::{FittedText, Labels, MAX_CODE_LETTERS, Panel, Width};

/// The numbers of one procedure, on panels of their own.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct NumbersSheet {
    #[serde(flatten)]
    pub(crate) card: CardSheet,
    /// How its front is filled.
    pub(crate) plan: Plan,
}

/// The background of a sheet: everything but the person.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct BackgroundSheet {
    pub(crate) lang: crate::spec::language::Language,
    pub(crate) layout: Layout,
    /// Size of a panel.
    pub(crate) trim: Trim,
    pub(crate) panel: Panel,
    pub(crate) organization: String,
    pub(crate) badge_label: String,
    /// The procedures, in panel order.
    pub(crate) rows: Vec<BackgroundRow>,
    /// The fine print under the person.
    pub(crate) fixed: Fixed,
    /// Which key signs the code.
    pub(crate) key_line: Option<String>,
    /// Virtual file and page of each panel of numbers.
    pub(crate) figures: Vec<(String, usize)>,
    pub(crate) notes_above: Vec<String>,
    pub(crate) notes_below: Vec<String>,
    /// The card set's procedures, named above every side.
    pub(crate) deck: String,
}

/// A procedure on the person's panel.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct BackgroundRow {
    pub(crate) number: FittedText,
    /// The words before the date.
    pub(crate) through: String,
}

/// Text under the person, the same on all cards.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Fixed {
    /// States that the roster governs.
    pub(crate) roster: String,
    /// The hazards.
    pub(crate) danger: String,
    /// Date of the roster.
    pub(crate) as_of: String,
    /// The rule sets that give the expiry dates.
    pub(crate) rules: Vec<RuleLine>,
    /// Legend of the verify mark.
    pub(crate) verify_legend: Option<String>,
    /// Heading of the reasons to reject.
    pub(crate) reject_title: String,
    /// Reasons to reject a joint, for every procedure on the card.
    pub(crate) reject: Vec<String>,
    /// When to stop and cut.
    pub(crate) stop: String,
    /// Which instructions govern.
    pub(crate) deference: String,
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
        text: words.render(Clause::WalletRule {
            rule: rule.word().to_owned(),
            source: short,
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

/// The background of a sheet; `None` if there is no procedure or a number does
/// not fit.
pub(crate) fn background(
    input: &BackgroundInput<'_>,
    layout: Layout,
    limits: &Library,
    width: &Width,
) -> Option<BackgroundSheet> {
    let first = &input.procedures.first()?.card;
    let words: &Clauses = &first.frame.words;
    let say = |clause| words.render(clause);
    let mut rules: Vec<RuleLine> = Vec::new();
    for rule in input
        .procedures
        .iter()
        .filter_map(|procedure| procedure.rule)
    {
        let line = rule_line(rule, limits, words);
        if !rules.contains(&line) {
            rules.push(line);
        }
    }
    let of_all = |reason: &&String| {
        input
            .procedures
            .iter()
            .all(|c| c.card.back.reject.contains(reason))
    };
    let recalled = rules.iter().any(|rule| rule.verify);
    let mut organizations: Vec<_> = input
        .procedures
        .iter()
        .map(|c| c.card.frame.organization.as_str())
        .collect();
    organizations.dedup();
    let mut rows = Vec::new();
    let mut numbers = Vec::new();
    for procedure in input.procedures {
        let line = number_line(&procedure.card.frame);
        rows.push(BackgroundRow {
            number: input.panel.number(&line, width)?,
            through: say(Clause::WalletThrough),
        });
        numbers.push(line);
    }
    let mut below = input.notes.after.clone();
    if layout.stacked
        && let Some(cut) = below.first_mut()
    {
        *cut = say(Clause::WalletFold);
    }
    Some(BackgroundSheet {
        lang: first.frame.lang,
        layout,
        trim: input.trim.clone(),
        panel: input.panel.clone(),
        organization: organizations.join(", "),
        badge_label: say(Clause::WalletBadge),
        rows,
        fixed: Fixed {
            roster: say(Clause::WalletRoster),
            danger: say(Clause::WalletDanger),
            verify_legend: recalled.then(|| first.frame.verify_legend.clone()),
            rules,
            as_of: say(Clause::WalletAsOf {
                date: input.as_of.to_string(),
            }),
            reject_title: first.back.reject_title.clone(),
            reject: first.back.reject.iter().filter(of_all).cloned().collect(),
            stop: first.back.stop.clone(),
            deference: first.back.deference.clone(),
        },
        key_line: input.key.map(|key| {
            let key = key.to_owned();
            say(Clause::WalletKey { key })
        }),
        figures: input
            .procedures
            .iter()
            .flat_map(|c| c.panels.clone())
            .collect(),
        notes_above: input.notes.print.clone(),
        notes_below: below,
        deck: format!(
            "{}. {}. {}",
            say(Clause::PaperWallet),
            numbers.join(", "),
            input.notes.trim
        ),
    })
}

/// The people on some sheets, laid over the backgrounds.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PeopleSheet<'a> {
    pub(crate) lang: crate::spec::language::Language,
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
