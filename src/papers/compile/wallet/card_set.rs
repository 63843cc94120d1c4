//! Prepares one deck after another: its panels of numbers, the sheet backgrounds,
//! whose text fits, and the jobs that print people's sheets.

use std::rc::Rc;

use super::super::in_house::of_house;
use super::super::{Checked, to_json};
use super::faces::{Faces, Figures};
use super::job::{Job, Person, Prepared, claim};
use super::people;
use super::{Given, WalletFile, WalletOrder};
use crate::core::finding::Finding;
use crate::core::units::print::with_decimal_mark;
use crate::papers::sheets::{Clause, Clauses};
use crate::papers::typeset::{HouseFiles, Page, Print, TypesetError, line_width, typeset};
use crate::papers::wallet::{
    Carded, Ground, GroundSheet, Labels, Layout, MOST_CODE_LETTERS, Panel, ground, lay_out,
};
use crate::people::wallet::{CardSet, Row, rules};
use crate::process::socket::sheets::notes_around;
use crate::proof::ClaimedProcedure;
use crate::spec::language::Language;
use crate::spec::{CardTrim, Flip, Paper};

/// Cards per file, roughly: a stack that one person can cut in a day, and enough
/// that the repeated background adds little.
const CARDS_IN_FILE: usize = 400;

/// Letters that a signature adds to a code, separator included.
const SIGNATURE_LETTERS: usize = 104;

/// Collects findings and results.
pub(crate) struct Found<'m, 'r> {
    /// One per spec.
    pub(crate) checked: &'m mut [Checked],
    pub(crate) of_roster: &'m mut Vec<Finding>,
    /// One per standing.
    pub(crate) rows: &'m mut [Row<'r>],
}

/// Makes the files of all decks.
pub(crate) fn make<'r>(
    order: &WalletOrder<'r>,
    given: &[Given<'_>],
    card_sets: Vec<CardSet<'r>>,
    found: &mut Found<'_, 'r>,
) -> Result<Vec<WalletFile>, TypesetError> {
    let mut faces = Faces::new(order, given);
    let mut prepared = Vec::new();
    for (number, card_set) in card_sets.iter().enumerate() {
        prepared.extend(prepare(order, given, &mut faces, number, card_set, found)?);
    }
    let jobs: Vec<_> = prepared
        .iter()
        .flat_map(|card_set| jobs(card_set, found))
        .collect();
    people::make(order, &jobs)
}

fn prepare<'d>(
    order: &WalletOrder<'_>,
    given: &[Given<'_>],
    faces: &mut Faces<'_>,
    number: usize,
    card_set: &'d CardSet<'_>,
    found: &mut Found<'_, '_>,
) -> Result<Option<Prepared<'d>>, TypesetError> {
    let of_deck: Vec<_> = card_set
        .procedures
        .iter()
        .filter_map(|at| given.get(*at))
        .collect();
    let Some(first) = of_deck.first() else {
        return Ok(None);
    };
    let paper = first.read.paper(order.options.paper, first.procedure);
    let all = match figures(order, &of_deck, faces, card_set, paper)? {
        Ok(all) => all,
        Err(Misfit { given, findings }) => {
            let number = &given.procedure.spec.number.value;
            refuse(
                found,
                card_set,
                &format!("the figures of {number} do not fit the card"),
            );
            if let Some(checked) = found.checked.get_mut(given.place) {
                add_new(&mut checked.findings, findings);
            }
            return Ok(None);
        }
    };
    let Some(of_first) = all.first() else {
        return Ok(None);
    };
    let card = &of_first.sheet.card;
    let Some(trim) = card.trims.get(of_first.sheet.plan.trim) else {
        return Ok(None);
    };
    let flip = order.options.flip.unwrap_or_else(|| {
        let wish = first.procedure.spec.documents.card.flip.as_ref();
        wish.map(|flip| flip.value).unwrap_or_default()
    });
    let words: &Clauses = &card.frame.words;
    let labels = [Clause::WalletBadge, Clause::WalletThrough].map(|clause| words.render(clause));
    let [badge, through] = &labels;
    let labels = Labels { badge, through };
    let signed = order.signer.is_some();
    let panel = Panel::new(trim, all.len(), signed, labels, &line_width);
    let panels = 1 + all
        .iter()
        .map(|figures| figures.sheet.plan.cards)
        .sum::<usize>();
    let lay = |slots| lay_out(panels, slots, trim, paper, flip);
    let (Some(panel), Some(full)) = (panel, lay(None)) else {
        past_paper(card_set, panels, found);
        return Ok(None);
    };
    let people = people_of(order, card_set, &panel, &of_deck, found);
    if people.is_empty() {
        return Ok(None);
    }
    let files: Vec<_> = (0..all.len())
        .map(|at| format!("figures-{at}.pdf"))
        .collect();
    let carded: Vec<_> = of_deck
        .iter()
        .zip(&all)
        .zip(&files)
        .map(|((given, figures), file)| Carded {
            card: &figures.sheet.card,
            rule: order.rules.for_procedure(&given.procedure.spec.number),
            panels: (1..=figures.sheet.plan.cards)
                .map(|page| (format!("/attached/{file}"), page))
                .collect(),
        })
        .collect();
    let limits = &first.read.limits;
    let mark = card_set.language.decimal_mark(first.procedure.practice());
    let notes = with_decimal_mark(mark, || {
        let plan = &of_first.sheet.plan;
        // Panels in a row are printed on one side, like a folded card.
        let flip = if full.stacked { Flip::Fold } else { flip };
        notes_around(card, plan, flip, limits)
    });
    let Some(notes) = notes else {
        return Ok(None);
    };
    let of = Ground {
        deck: &carded,
        panel: &panel,
        trim,
        notes: &notes,
        key: order.signer.map(|signer| signer.key_id()),
        as_of: order.as_of,
    };
    let attached: Vec<_> = files.into_iter().zip(&all).collect();
    let make = |layout: Layout, used: bool| -> Result<Option<_>, TypesetError> {
        let Some(sheet) = ground(&of, layout, limits, &line_width) else {
            return Ok(None);
        };
        let pdf = used.then(|| typeset_ground(order, &sheet, &attached));
        Ok(Some((sheet, pdf.transpose()?)))
    };
    let left = people.len() % full.slots.max(1);
    let rest = match left {
        0 => full.clone(),
        left => lay(Some(left)).unwrap_or_else(|| full.clone()),
    };
    let any_full = people.len() >= full.slots;
    let (Some(full), Some(rest)) = (make(full, any_full)?, make(rest, left > 0)?) else {
        let number = &first.procedure.spec.number;
        refuse(
            found,
            card_set,
            "the number of the procedure does not fit the card",
        );
        if let Some(checked) = found.checked.get_mut(first.place) {
            let message = format!("the number {} does not fit the card", number.value);
            let finding = rules::FIGURES_PAST_WALLET_CARD.at(number.span, message);
            checked.findings.push(finding.help("shorten the number"));
        }
        return Ok(None);
    };
    let numbers = full.0.rows.iter().flat_map(|row| row.number.lines.clone());
    let numbers = numbers.collect::<Vec<_>>().join(", ");
    Ok(Some(Prepared {
        stem: stem(&of_deck, number, card_set),
        title: format!("{}: {numbers}", words.render(Clause::PaperWallet)),
        alts: [
            words.render(Clause::WalletFigures { numbers }),
            words.render(Clause::WalletCode),
        ],
        grounds: [full, rest],
        claimed: of_deck.iter().map(|given| claimed(given)).collect(),
        people,
    }))
}

/// A procedure whose panels cannot be made, and why.
struct Misfit<'g> {
    given: &'g Given<'g>,
    findings: Vec<Finding>,
}

impl<'g> Misfit<'g> {
    fn new(given: &'g Given<'g>) -> Self {
        let number = &given.procedure.spec.number;
        let message = format!("the figures of {} do not fit the card", number.value);
        let finding = rules::FIGURES_PAST_WALLET_CARD.at(number.span, message);
        let help = "leave out --card-trim, and a trim in the spec";
        Self {
            given,
            findings: vec![finding.help(help)],
        }
    }
}

/// Adds findings that are not there yet: decks share procedures.
fn add_new(findings: &mut Vec<Finding>, more: Vec<Finding>) {
    for finding in more {
        let same = |f: &Finding| f.rule.slug == finding.rule.slug && f.message == finding.message;
        if !findings.iter().any(same) {
            findings.push(finding);
        }
    }
}

/// A procedure's panels, or the reason there are none if it or its house style is
/// at fault.
fn face<'g>(
    given: &'g Given<'g>,
    faces: &mut Faces<'_>,
    asked: (usize, Language, CardTrim, Paper),
) -> Result<Result<Rc<Figures>, Misfit<'g>>, TypesetError> {
    let (place, language, trim, paper) = asked;
    match faces.face(place, language, trim, paper) {
        Ok(Some(made)) => Ok(Ok(made)),
        Ok(None) => Ok(Err(Misfit::new(given))),
        Err(error) => {
            let findings = of_house(given.read, error)?;
            Ok(Err(Misfit { given, findings }))
        }
    }
}

/// The panels of a deck's procedures, all at one trim, or those that do not fit.
fn figures<'g>(
    order: &WalletOrder<'_>,
    of_deck: &[&'g Given<'g>],
    faces: &mut Faces<'_>,
    card_set: &CardSet<'_>,
    paper: Paper,
) -> Result<Result<Vec<Rc<Figures>>, Misfit<'g>>, TypesetError> {
    let wish = |given: &Given<'_>| {
        let own = given.procedure.spec.documents.card.trim.as_ref();
        order
            .options
            .card_trim
            .or(own.map(|trim| trim.value))
            .unwrap_or_default()
    };
    let mut all = Vec::new();
    for (place, given) in card_set.procedures.iter().zip(of_deck) {
        let asked = (*place, card_set.language, wish(given), paper);
        match face(given, faces, asked)? {
            Ok(made) => all.push(made),
            Err(misfit) => return Ok(Err(misfit)),
        }
    }
    let width = |trim: CardTrim| match trim {
        CardTrim::Smallest => 0,
        CardTrim::Id1 => 1,
        CardTrim::Id2 => 2,
        CardTrim::Id3 => 3,
    };
    let Some(largest) = all.iter().map(|f| f.trim).max_by_key(|trim| width(*trim)) else {
        return Ok(Ok(all));
    };
    for ((made, place), given) in all.iter_mut().zip(&card_set.procedures).zip(of_deck) {
        if made.trim != largest {
            let asked = (*place, card_set.language, largest, paper);
            match face(given, faces, asked)? {
                Ok(again) => *made = again,
                Err(misfit) => return Ok(Err(misfit)),
            }
        }
    }
    Ok(Ok(all))
}

fn typeset_ground(
    order: &WalletOrder<'_>,
    sheet: &GroundSheet,
    figures: &[(String, &Rc<Figures>)],
) -> Result<Vec<u8>, TypesetError> {
    let attached = figures
        .iter()
        .map(|(name, figures)| (name.clone(), figures.pdf.as_slice()));
    typeset(&Print {
        page: Page::WalletGround,
        sheet: to_json(sheet)?,
        attached: attached.collect(),
        house: HouseFiles::default(),
        code: None,
        identity: sheet.deck.clone(),
        date: order.as_of,
    })
}

/// What a code states of a procedure, apart from the expiry date.
fn claimed(given: &Given<'_>) -> ClaimedProcedure {
    let identity = super::identity(given.procedure.spec);
    ClaimedProcedure {
        number: identity.number,
        revision: identity.revision,
        status: given.procedure.spec.status.value,
        digest: crate::core::digest::spec_digest(given.sources),
        valid_until: None,
    }
}

/// The people whose card can be printed.
fn people_of<'d>(
    order: &WalletOrder<'_>,
    card_set: &'d CardSet<'_>,
    panel: &Panel,
    of_deck: &[&Given<'_>],
    found: &mut Found<'_, '_>,
) -> Vec<Person<'d>> {
    let claimed: Vec<_> = of_deck.iter().map(|given| claimed(given)).collect();
    let mut people = Vec::with_capacity(card_set.holders.len());
    for holder in &card_set.holders {
        let fuser = holder.fuser;
        let name = panel.name(&fuser.name, &line_width);
        let badge = panel.badge(&fuser.badge, &line_width);
        let code = order.signer.map(|signer| {
            let text = claim(&claimed, holder).text(signer.key_id());
            text.len() + SIGNATURE_LETTERS
        });
        let fine = code.is_some_and(|letters| letters > MOST_CODE_LETTERS);
        let refusal = match (&name, &badge) {
            _ if fine => Some((
                &rules::CODE_PAST_WALLET_CARD,
                &fuser.badge,
                "the signed code of the card would be too fine to read",
            )),
            (None, _) => Some((
                &rules::NAME_PAST_WALLET_CARD,
                &fuser.name,
                "the name does not fit the card in two lines",
            )),
            (_, None) => Some((
                &rules::NAME_PAST_WALLET_CARD,
                &fuser.badge,
                "the badge does not fit the card",
            )),
            _ => None,
        };
        match (refusal, name, badge) {
            (None, Some(name), Some(badge)) => people.push(Person {
                holder,
                name,
                badge,
            }),
            (Some((rule, text, reason)), ..) => {
                found.of_roster.push(rule.at(text.span, reason));
                crate::people::wallet::refuse(found.rows, &holder.rows, reason);
            }
            _ => {}
        }
    }
    people
}

fn past_paper(card_set: &CardSet<'_>, panels: usize, found: &mut Found<'_, '_>) {
    let reason = format!("a card of {panels} panels in a row does not fit the paper");
    refuse(found, card_set, &reason);
    let Some(first) = card_set.holders.first() else {
        return;
    };
    let more = match card_set.holders.len() {
        1 => String::new(),
        count => format!(", here and for {} more fusers", count - 1),
    };
    let message = format!("{reason}{more}");
    let finding = rules::PANELS_PAST_PAPER.at(first.fuser.badge.span, message);
    let help = "leave out --combined, give fewer specs, or choose a smaller --card-trim";
    found.of_roster.push(finding.help(help));
}

fn refuse(found: &mut Found<'_, '_>, card_set: &CardSet<'_>, reason: &str) {
    for holder in &card_set.holders {
        crate::people::wallet::refuse(found.rows, &holder.rows, reason);
    }
}

/// Most letters of procedure numbers in a file name.
const LONGEST_STEM: usize = 100;

/// The start of a deck's file names: procedures and language.
fn stem(of_deck: &[&Given<'_>], number: usize, card_set: &CardSet<'_>) -> String {
    let identities = of_deck
        .iter()
        .map(|given| super::identity(given.procedure.spec));
    let names = identities.map(|identity| format!("{}-r{}", identity.number, identity.revision));
    let mut names = names.collect::<Vec<_>>().join("+");
    if names.len() > LONGEST_STEM {
        names = format!("combined-{}", number + 1);
    }
    format!("{names}-{}", card_set.language.tag())
}

/// Splits a deck into files of some sheets each, and records the file in its
/// people's rows.
fn jobs<'p>(card_set: &'p Prepared<'p>, found: &mut Found<'_, '_>) -> Vec<Job<'p>> {
    let [(full, _), _] = &card_set.grounds;
    let slots = full.layout.slots.max(1);
    let in_file = slots * (CARDS_IN_FILE / slots).max(1);
    let chunks = card_set.people.chunks(in_file);
    let (count, digits) = (chunks.len(), chunks.len().to_string().len().max(2));
    chunks
        .enumerate()
        .map(|(n, people)| {
            let name = match count {
                1 => format!("{}.pdf", card_set.stem),
                _ => format!("{}-{:0digits$}.pdf", card_set.stem, n + 1),
            };
            let rows = people.iter().flat_map(|person| &person.holder.rows);
            for row in rows {
                if let Some(row) = found.rows.get_mut(*row) {
                    row.file = Some(name.clone());
                }
            }
            Job {
                name,
                card_set,
                people,
                slots,
            }
        })
        .collect()
}
