//! Prepares one card set after another: its panels of numbers, the sheet backgrounds,
//! whose text fits, and the jobs that print people's sheets.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::super::in_house::house_findings;
use super::super::{Checked, to_json};
use super::job::{Job, Person, PreparedCardSet, claim};
use super::panels::{NumberPanels, PanelCache};
use super::people;
use super::{LoadedSpec, WalletFile, WalletOrder};
use crate::core::finding::Finding;
use crate::core::units::print::with_decimal_mark;
use crate::papers::fonts::line_width;
use crate::papers::sheets::{Clause, Clauses};
use crate::papers::typeset::{HouseFiles, Page, Print, TypesetError, typeset};
use crate::papers::wallet::{
    BackgroundInput, BackgroundSheet, Labels, Panel, SetProcedure, background, lay_out,
};
use crate::people::wallet::{CardSet, Row, rules};
use crate::process::socket::sheets::notes_around;
use crate::proof::{ClaimedProcedure, Qr};
use crate::spec::language::Language;
use crate::spec::{CardTrim, Flip, Paper};

/// Cards per file, roughly: a stack that one person can cut in a day, and enough
/// that the repeated background adds little.
const CARDS_IN_FILE: usize = 400;

/// Letters that a signature adds to a code, separator included.
const SIGNATURE_LETTERS: usize = 104;

/// Collects findings and results.
pub(crate) struct Report<'m, 'r> {
    /// One per spec.
    pub(crate) checked: &'m mut [Checked],
    pub(crate) roster_findings: &'m mut Vec<Finding>,
    /// One per standing.
    pub(crate) rows: &'m mut [Row<'r>],
}

/// Makes the files of all card sets.
pub(crate) fn make<'r>(
    order: &WalletOrder<'r>,
    loaded: &[LoadedSpec<'_>],
    card_sets: Vec<CardSet<'r>>,
    report: &mut Report<'_, 'r>,
) -> Result<Vec<WalletFile>, TypesetError> {
    let mut cache = PanelCache::new(order, loaded);
    let mut prepared = Vec::new();
    for (number, card_set) in card_sets.iter().enumerate() {
        prepared.extend(prepare(
            order, loaded, &mut cache, number, card_set, report,
        )?);
    }
    let jobs: Vec<_> = prepared
        .iter()
        .flat_map(|card_set| jobs(card_set, report))
        .collect();
    people::make(order, &jobs)
}

fn prepare<'d>(
    order: &WalletOrder<'_>,
    loaded: &[LoadedSpec<'_>],
    cache: &mut PanelCache<'_>,
    number: usize,
    card_set: &'d CardSet<'_>,
    report: &mut Report<'_, '_>,
) -> Result<Option<PreparedCardSet<'d>>, TypesetError> {
    let set_specs: Vec<_> = card_set
        .procedures
        .iter()
        .filter_map(|at| loaded.get(*at))
        .collect();
    let Some(first) = set_specs.first() else {
        return Ok(None);
    };
    let paper = first.inputs.paper(order.options.paper, first.procedure);
    let all = match panels_of_set(order, &set_specs, cache, card_set, paper)? {
        Ok(all) => all,
        Err(Misfit { loaded, findings }) => {
            let number = &loaded.procedure.spec.number.value;
            refuse(
                report,
                card_set,
                &format!("the figures of {number} do not fit the card"),
            );
            if let Some(checked) = report.checked.get_mut(loaded.index) {
                add_new(&mut checked.findings, findings);
            }
            return Ok(None);
        }
    };
    let Some(of_first) = all.first() else {
        return Ok(None);
    };
    let (card, trim) = (&of_first.card, &of_first.plan.trim);
    let flip = order.options.flip.unwrap_or_else(|| {
        let wish = first.procedure.spec.documents.card.flip.as_ref();
        // On a sheet that lies, backs then stand upright.
        wish.map_or(Flip::Short, |flip| flip.value)
    });
    let words: &Clauses = &card.frame.words;
    let labels = [Clause::WalletBadge, Clause::WalletThrough].map(|clause| words.render(clause));
    let [badge, through] = &labels;
    let labels = Labels { badge, through };
    let fitted = |modules| Panel::new(trim, all.len(), modules, labels, &line_width);
    let panels = 1 + all
        .iter()
        .map(|figures| figures.plan.cards.len())
        .sum::<usize>();
    let (Some(panel), Some(layout)) = (fitted(None), lay_out(panels, trim, paper, flip)) else {
        report_past_paper(card_set, panels, report);
        return Ok(None);
    };
    let mut people = fit_people(order, card_set, &panel, &set_specs, report);
    // All codes have the place of the largest.
    let modules = people.iter().filter_map(|person| person.modules).max();
    let Some(panel) = fitted(modules).filter(|_| !people.is_empty()) else {
        return Ok(None);
    };
    // For a code the panel may be drawn smaller, and names and badges with it.
    for person in &mut people {
        let fuser = person.holder.fuser;
        person.name = panel
            .name(&fuser.name, &line_width)
            .unwrap_or_else(|| person.name.clone());
        person.badge = panel
            .badge(&fuser.badge, &line_width)
            .unwrap_or_else(|| person.badge.clone());
    }
    let files: Vec<_> = (0..all.len())
        .map(|at| format!("figures-{at}.pdf"))
        .collect();
    let procedures: Vec<_> = set_specs
        .iter()
        .zip(&all)
        .zip(&files)
        .map(|((loaded, figures), file)| SetProcedure {
            card: &figures.card,
            rule: order.rules.for_procedure(&loaded.procedure.spec.number),
            panels: (1..=figures.plan.cards.len())
                .map(|page| (format!("/attached/{file}"), page))
                .collect(),
        })
        .collect();
    let limits = &first.inputs.limits;
    let mark = card_set.language.decimal_mark(first.procedure.practice());
    let notes = with_decimal_mark(mark, || {
        // Panels in a row are printed on one side, like a folded card.
        let flip = if layout.folded { Flip::Fold } else { flip };
        notes_around(card, &of_first.plan, flip, limits)
    });
    let input = BackgroundInput {
        procedures: &procedures,
        panel: &panel,
        trim,
        notes: &notes,
        key: order.signer.map(|signer| signer.key_id()),
        as_of: order.as_of,
    };
    let attached: Vec<_> = files.into_iter().zip(&all).collect();
    let slots = layout.slots.max(1);
    let make = |used: usize| -> Result<Option<_>, TypesetError> {
        let Some(sheet) = background(&input, layout.clone(), used, limits) else {
            return Ok(None);
        };
        let pdf = (used > 0).then(|| typeset_background(order, &sheet, &attached));
        Ok(Some((sheet, pdf.transpose()?)))
    };
    let full = if people.len() >= slots { slots } else { 0 };
    let (Some(full), Some(rest)) = (make(full)?, make(people.len() % slots)?) else {
        let number = &first.procedure.spec.number;
        refuse(
            report,
            card_set,
            "the number of the procedure does not fit the card",
        );
        if let Some(checked) = report.checked.get_mut(first.index) {
            let message = format!("the number {} does not fit the card", number.value);
            let finding = rules::FIGURES_PAST_WALLET_CARD.at(number.span, message);
            checked.findings.push(finding.help("shorten the number"));
        }
        return Ok(None);
    };
    let numbers = full.0.numbers.join(", ");
    Ok(Some(PreparedCardSet {
        stem: file_stem(&set_specs, number, card_set),
        title: format!("{}: {numbers}", words.render(Clause::PaperWallet)),
        alts: [
            words.render(Clause::WalletFigures { numbers }),
            words.render(Clause::WalletCode),
        ],
        backgrounds: [full, rest],
        claimed: set_specs
            .iter()
            .map(|loaded| claimed_procedure(loaded))
            .collect(),
        people,
    }))
}

/// A procedure whose panels cannot be made, and why.
struct Misfit<'g> {
    loaded: &'g LoadedSpec<'g>,
    findings: Vec<Finding>,
}

impl<'g> Misfit<'g> {
    fn new(loaded: &'g LoadedSpec<'g>) -> Self {
        let number = &loaded.procedure.spec.number;
        let message = format!("the figures of {} do not fit the card", number.value);
        let finding = rules::FIGURES_PAST_WALLET_CARD.at(number.span, message);
        let help = "leave out --card-trim";
        Self {
            loaded,
            findings: vec![finding.help(help)],
        }
    }
}

/// Adds findings that are not there yet: card sets share procedures.
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
fn panels_of_procedure<'g>(
    loaded: &'g LoadedSpec<'g>,
    cache: &mut PanelCache<'_>,
    requested: (usize, Language, CardTrim, Paper),
) -> Result<Result<Rc<NumberPanels>, Misfit<'g>>, TypesetError> {
    let (index, language, trim, paper) = requested;
    match cache.get(index, language, trim, paper) {
        Ok(Some(made)) => Ok(Ok(made)),
        Ok(None) => Ok(Err(Misfit::new(loaded))),
        Err(error) => {
            let findings = house_findings(loaded.inputs, error)?;
            Ok(Err(Misfit { loaded, findings }))
        }
    }
}

/// The panels of a card set's procedures, all at one trim, or those that do not fit.
fn panels_of_set<'g>(
    order: &WalletOrder<'_>,
    set_specs: &[&'g LoadedSpec<'g>],
    cache: &mut PanelCache<'_>,
    card_set: &CardSet<'_>,
    paper: Paper,
) -> Result<Result<Vec<Rc<NumberPanels>>, Misfit<'g>>, TypesetError> {
    // The trim in a spec is that of its pocket card.
    let wish = order.options.card_trim.unwrap_or_default();
    let mut all = Vec::new();
    for (index, loaded) in card_set.procedures.iter().zip(set_specs) {
        let requested = (*index, card_set.language, wish, paper);
        match panels_of_procedure(loaded, cache, requested)? {
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
    let Some(largest) = all
        .iter()
        .map(|made| made.plan.trim.choice)
        .max_by_key(|trim| width(*trim))
    else {
        return Ok(Ok(all));
    };
    for ((made, index), loaded) in all.iter_mut().zip(&card_set.procedures).zip(set_specs) {
        if made.plan.trim.choice != largest {
            let requested = (*index, card_set.language, largest, paper);
            match panels_of_procedure(loaded, cache, requested)? {
                Ok(again) => *made = again,
                Err(misfit) => return Ok(Err(misfit)),
            }
        }
    }
    Ok(Ok(all))
}

fn typeset_background(
    order: &WalletOrder<'_>,
    sheet: &BackgroundSheet,
    figures: &[(String, &Rc<NumberPanels>)],
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
fn claimed_procedure(loaded: &LoadedSpec<'_>) -> ClaimedProcedure {
    let identity = super::identity(loaded.procedure.spec);
    ClaimedProcedure {
        number: identity.number,
        revision: identity.revision,
        status: loaded.procedure.spec.status.value,
        digest: crate::core::digest::spec_digest(loaded.sources),
        valid_until: None,
    }
}

/// The people whose card can be printed.
fn fit_people<'d>(
    order: &WalletOrder<'_>,
    card_set: &'d CardSet<'_>,
    panel: &Panel,
    set_specs: &[&LoadedSpec<'_>],
    report: &mut Report<'_, '_>,
) -> Vec<Person<'d>> {
    let claimed: Vec<_> = set_specs
        .iter()
        .map(|loaded| claimed_procedure(loaded))
        .collect();
    let mut people = Vec::with_capacity(card_set.holders.len());
    // Texts of few lengths, and a code is slow to make.
    let mut modules_of = BTreeMap::new();
    for holder in &card_set.holders {
        let fuser = holder.fuser;
        let name = panel.name(&fuser.name, &line_width);
        let badge = panel.badge(&fuser.badge, &line_width);
        let modules = order.signer.map(|signer| {
            let text = claim(&claimed, holder).text(signer.key_id());
            let letters = text.len() + SIGNATURE_LETTERS;
            *modules_of
                .entry(letters)
                .or_insert_with(|| code_modules(letters))
        });
        let fine = modules.is_some_and(|modules| modules > panel.most_modules());
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
                modules,
            }),
            (Some((rule, text, reason)), ..) => {
                report.roster_findings.push(rule.at(text.span, reason));
                crate::people::wallet::refuse(report.rows, &holder.rows, reason);
            }
            _ => {}
        }
    }
    people
}

/// Modules on a side of a code with this many letters, all of the kind that codes
/// hold most of.
fn code_modules(letters: usize) -> usize {
    Qr::encode(&"A".repeat(letters)).map_or(usize::MAX, |code| code.modules)
}

fn report_past_paper(card_set: &CardSet<'_>, panels: usize, report: &mut Report<'_, '_>) {
    let reason = format!("a card of {panels} panels in a row does not fit the paper");
    refuse(report, card_set, &reason);
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
    report.roster_findings.push(finding.help(help));
}

fn refuse(report: &mut Report<'_, '_>, card_set: &CardSet<'_>, reason: &str) {
    for holder in &card_set.holders {
        crate::people::wallet::refuse(report.rows, &holder.rows, reason);
    }
}

/// Most letters of procedure numbers in a file name.
const MAX_STEM_LENGTH: usize = 100;

/// The start of a card set's file names: procedures and language.
fn file_stem(set_specs: &[&LoadedSpec<'_>], number: usize, card_set: &CardSet<'_>) -> String {
    let identities = set_specs
        .iter()
        .map(|loaded| super::identity(loaded.procedure.spec));
    let names = identities.map(|identity| format!("{}-r{}", identity.number, identity.revision));
    let mut names = names.collect::<Vec<_>>().join("+");
    if names.len() > MAX_STEM_LENGTH {
        names = format!("combined-{}", number + 1);
    }
    format!("{names}-{}", card_set.language.tag())
}

/// Splits a card set into files of some sheets each, and records the file in its
/// people's rows.
fn jobs<'p>(card_set: &'p PreparedCardSet<'p>, report: &mut Report<'_, '_>) -> Vec<Job<'p>> {
    let [(full, _), _] = &card_set.backgrounds;
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
                if let Some(row) = report.rows.get_mut(*row) {
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
