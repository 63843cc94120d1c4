//! The wallet card of a fuser: a panel with the person, and the figures of each
//! procedure beside it. Whatever is the same on all cards of a deck is laid out
//! once, as the ground of a sheet; a person's card adds the few words that differ.

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
pub(crate) use panel::{Labels, Lines, MOST_CODE_LETTERS, Panel, Width};

/// The figures of one procedure, as panels of their own.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct FiguresSheet {
    /// The faces of the procedure's pocket card.
    #[serde(flatten)]
    pub(crate) card: CardSheet,
    /// How its front is filled.
    pub(crate) plan: Plan,
}

/// What the ground of a sheet says: all but the person.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct GroundSheet {
    /// The language.
    pub(crate) lang: crate::spec::language::Language,
    /// Where everything lies.
    pub(crate) layout: Layout,
    /// The trim of a panel.
    pub(crate) trim: Trim,
    /// The person's panel.
    pub(crate) panel: Panel,
    /// Who issues the procedures.
    pub(crate) organization: String,
    /// The word before the badge.
    pub(crate) badge_label: String,
    /// The procedures, in the order of their panels.
    pub(crate) rows: Vec<GroundRow>,
    /// What stands small under the person.
    pub(crate) fixed: Fixed,
    /// Which key the code is signed by.
    pub(crate) key_line: Option<String>,
    /// The virtual file and the page of each panel of figures.
    pub(crate) figures: Vec<(String, usize)>,
    /// What is said above the cards.
    pub(crate) notes_above: Vec<String>,
    pub(crate) notes_below: Vec<String>,
    /// The procedures of the deck, above every side.
    pub(crate) deck: String,
}

/// A procedure on the person's panel.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct GroundRow {
    /// Its number and revision.
    pub(crate) number: Lines,
    /// The words before the day.
    pub(crate) through: String,
}

/// Words under the person, the same on all cards.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Fixed {
    /// That the roster governs.
    pub(crate) roster: String,
    /// The hazards.
    pub(crate) danger: String,
    /// The day of the roster.
    pub(crate) as_of: String,
    /// By which rule sets the days were found.
    pub(crate) rules: Vec<RuleLine>,
    /// What the mark of an unconfirmed rule means.
    pub(crate) verify_legend: Option<String>,
    /// Heads the reasons to reject.
    pub(crate) reject_title: String,
    /// Reasons to reject a joint by every procedure of the card.
    pub(crate) reject: Vec<String>,
    /// When to stop and cut.
    pub(crate) stop: String,
    /// Whose word governs.
    pub(crate) deference: String,
}

/// A rule set that a day was found by.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct RuleLine {
    /// The rule set and its source.
    pub(crate) text: String,
    /// Whether nobody has confirmed it.
    pub(crate) verify: bool,
}

/// The longest source that a card repeats; the list of fusers has it whole.
const LONGEST_SOURCE: usize = 60;

/// How a rule set is named on a card: of a published one the text, without since
/// when it is in force or that it is recalled, for which there is a mark.
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

/// One procedure of a deck, as its card is written.
pub(crate) struct Carded<'a> {
    /// The faces.
    pub(crate) card: &'a CardSheet,
    /// The rule set that its fusers' days are found by.
    pub(crate) rule: Option<&'a RuleSet>,
    /// Virtual file and page of each of its panels.
    pub(crate) panels: Vec<(String, usize)>,
}

/// What the ground of a deck is made from.
pub(crate) struct Ground<'a> {
    /// Its procedures, one at the least.
    pub(crate) deck: &'a [Carded<'a>],
    /// The person's panel.
    pub(crate) panel: &'a Panel,
    /// The trim of a panel.
    pub(crate) trim: &'a Trim,
    /// What is said around the cards.
    pub(crate) notes: &'a Notes,
    /// The key that signs the codes.
    pub(crate) key: Option<&'a str>,
    /// The day the roster is asked for.
    pub(crate) as_of: NaiveDate,
}

/// Number and revision of a procedure, as a card says them.
pub(crate) fn number_line(frame: &Frame) -> String {
    format!(
        "{}  {} {}",
        frame.number, frame.revision_label, frame.revision
    )
}

/// Words the ground of a sheet; `None` without a procedure, or where a number
/// does not fit.
pub(crate) fn ground(
    of: &Ground<'_>,
    layout: Layout,
    limits: &Library,
    width: &Width,
) -> Option<GroundSheet> {
    let first = &of.deck.first()?.card;
    let words: &Clauses = &first.frame.words;
    let say = |clause| words.render(clause);
    let mut rules: Vec<RuleLine> = Vec::new();
    for rule in of.deck.iter().filter_map(|carded| carded.rule) {
        let line = rule_line(rule, limits, words);
        if !rules.contains(&line) {
            rules.push(line);
        }
    }
    let of_all = |reason: &&String| of.deck.iter().all(|c| c.card.back.reject.contains(reason));
    let recalled = rules.iter().any(|rule| rule.verify);
    let mut organizations: Vec<_> = of
        .deck
        .iter()
        .map(|c| c.card.frame.organization.as_str())
        .collect();
    organizations.dedup();
    let mut rows = Vec::new();
    let mut numbers = Vec::new();
    for carded in of.deck {
        let line = number_line(&carded.card.frame);
        rows.push(GroundRow {
            number: of.panel.number(&line, width)?,
            through: say(Clause::WalletThrough),
        });
        numbers.push(line);
    }
    let mut below = of.notes.after.clone();
    if layout.stacked
        && let Some(cut) = below.first_mut()
    {
        *cut = say(Clause::WalletFold);
    }
    Some(GroundSheet {
        lang: first.frame.lang,
        layout,
        trim: of.trim.clone(),
        panel: of.panel.clone(),
        organization: organizations.join(", "),
        badge_label: say(Clause::WalletBadge),
        rows,
        fixed: Fixed {
            roster: say(Clause::WalletRoster),
            danger: say(Clause::WalletDanger),
            verify_legend: recalled.then(|| first.frame.verify_legend.clone()),
            rules,
            as_of: say(Clause::WalletAsOf {
                date: of.as_of.to_string(),
            }),
            reject_title: first.back.reject_title.clone(),
            reject: first.back.reject.iter().filter(of_all).cloned().collect(),
            stop: first.back.stop.clone(),
            deference: first.back.deference.clone(),
        },
        key_line: of.key.map(|key| {
            let key = key.to_owned();
            say(Clause::WalletKey { key })
        }),
        figures: of.deck.iter().flat_map(|c| c.panels.clone()).collect(),
        notes_above: of.notes.print.clone(),
        notes_below: below,
        deck: format!(
            "{}. {}. {}",
            say(Clause::PaperWallet),
            numbers.join(", "),
            of.notes.trim
        ),
    })
}

/// The people of some sheets, over their grounds.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PeopleSheet<'a> {
    /// The language.
    pub(crate) lang: crate::spec::language::Language,
    /// Title of the file, without a name of anybody.
    pub(crate) document_title: String,
    /// Who issues the cards.
    pub(crate) organization: String,
    /// The day the roster was asked for, as year, month and day.
    pub(crate) date_parts: (i32, u32, u32),
    /// What a reader aloud says of the ground.
    pub(crate) ground_alt: &'a str,
    pub(crate) code_alt: &'a str,
    /// The person's panel.
    pub(crate) panel: &'a Panel,
    pub(crate) sheets: Vec<SheetOfPeople<'a>>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct SheetOfPeople<'a> {
    /// The virtual file of its ground.
    pub(crate) ground: &'static str,
    /// Where everything lies.
    pub(crate) width_mm: f64,
    pub(crate) height_mm: f64,
    /// How many sides it has.
    pub(crate) sides: usize,
    /// The people, with the corners of their panels.
    pub(crate) people: Vec<PersonAt<'a>>,
}

/// A person at a place of the sheet.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PersonAt<'a> {
    /// From the left of the paper.
    pub(crate) x_mm: f64,
    /// From its top.
    pub(crate) y_mm: f64,
    /// The top of the name on the panel.
    pub(crate) name_top_mm: f64,
    /// The name, in one line or two.
    pub(crate) name: &'a Lines,
    pub(crate) badge: &'a Lines,
    /// The last day of each procedure.
    pub(crate) until: Vec<String>,
    /// The virtual file of the code.
    pub(crate) code: Option<String>,
}
