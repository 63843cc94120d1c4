//! Specs + qualified people → sheets of wallet cards. Everything that is the same
//! on all cards of a set is typeset once and placed as a picture: the panels of
//! numbers, and the background of the sheet (fixed words, marks, notes). Only
//! name, badge, dates, and code are laid out per person. Threads take files of
//! about 400 cards each, so no PDFs need joining. The files are tagged PDF 1.7,
//! because typst refuses embedded PDF images under the archival standards; the
//! background has alternative text. File names and manifest identify nobody.

mod card_set;
mod faces;
mod job;
mod people;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::earlier::Earlier;
use super::text::without_glyph;
use super::{Checked, ParsedInputs, checked, identity, languages};
use crate::core::finding::{self, Finding, Severity};
use crate::core::source::Sources;
use crate::papers::typeset::TypesetError;
use crate::people::fusers::{Revisions, RuleSet, Rules, Standing, for_revision};
use crate::people::wallet::{Assignment, CardProcedure, Row, assign_cards, rules};
use crate::procedure::resolve::Procedure;
use crate::proof::Signer;
use crate::spec::language::Language;
use crate::spec::{CardTrim, Flip, Paper, Service, Spec, Status};
use card_set::{Found, make};

/// What the user asks for besides specs and roster.
#[derive(Debug, Clone, Default)]
pub struct WalletOptions {
    /// One card with all procedures of a person, instead of one per procedure.
    pub combined: bool,
    /// The paper size, to override the specs'.
    pub paper: Option<Paper>,
    /// The size of a panel, to override the specs'.
    pub card_trim: Option<CardTrim>,
    /// How front and back are joined, to override the specs'.
    pub flip: Option<Flip>,
    /// The language of all cards, to override the fusers' own.
    pub language: Option<Language>,
}

/// An order for wallet cards.
pub struct WalletOrder<'a> {
    /// The procedures.
    pub specs: &'a [Sources],
    /// Specs of earlier revisions, to decide whether specimens made under them
    /// still count.
    pub previous: &'a [Sources],
    /// Each person's standing.
    pub standings: &'a [Standing<'a>],
    /// The rule sets they were judged by.
    pub rules: &'a Rules,
    /// The day they were judged for.
    pub as_of: NaiveDate,
    /// What else the user asks for.
    pub options: WalletOptions,
    /// Signs the codes; without it there are none.
    pub signer: Option<&'a Signer>,
    /// Number of threads; the cards are the same for any number.
    pub threads: usize,
    /// Called after each file with the number of cards in it and in total.
    pub made: &'a (dyn Fn(usize, usize) + Sync),
}

/// The result of an order.
#[derive(Debug, Default)]
pub struct WalletOutcome<'a> {
    /// Findings of each spec.
    pub checked: Vec<Checked>,
    /// Errors of each earlier spec.
    pub of_previous: Vec<Checked>,
    /// Findings about the roster.
    pub of_roster: Vec<Finding>,
    /// The result for each standing.
    pub rows: Vec<Row<'a>>,
    /// The files.
    pub files: Vec<WalletFile>,
}

/// A file of wallet-card sheets.
#[derive(Debug)]
pub struct WalletFile {
    /// The file name, which identifies nobody.
    pub name: String,
    /// How many cards are in it.
    pub cards: usize,
    /// The PDF.
    pub bytes: Vec<u8>,
}

/// A spec that could be read, with its index in the order.
struct Given<'a> {
    place: usize,
    sources: &'a Sources,
    read: &'a ParsedInputs,
    procedure: &'a Procedure<'a>,
}

/// Makes the cards. Errors in a spec stop the cards of its procedure; errors in
/// the roster stop all.
///
/// # Errors
/// [`TypesetError`] if one of our own templates fails.
pub fn wallet<'a>(order: &WalletOrder<'a>) -> Result<WalletOutcome<'a>, TypesetError> {
    let asked: Vec<_> = Language::all().collect();
    let reads: Vec<_> = order
        .specs
        .iter()
        .map(|sources| ParsedInputs::read(sources, &asked))
        .collect();
    let procedures: Vec<_> = reads.iter().map(ParsedInputs::procedure).collect();
    let mut all: Vec<_> = (order.specs.iter().zip(&reads).zip(&procedures))
        .map(|((sources, read), procedure)| {
            checked(sources, read, procedure.as_ref(), None, order.as_of)
        })
        .collect();
    let mut given = Vec::new();
    for (place, ((sources, read), procedure)) in
        order.specs.iter().zip(&reads).zip(&procedures).enumerate()
    {
        let (Some(procedure), Some(checked)) = (procedure, all.get_mut(place)) else {
            continue;
        };
        of_spec(procedure.spec, order.rules, &mut checked.findings);
        if !read.unread {
            given.push(Given {
                place,
                sources,
                read,
                procedure,
            });
        }
    }
    same_number(order.specs, &mut all);
    let (revisions, of_previous) = revisions(order, &given, &mut all);
    let card_procedures: Vec<_> = given.iter().map(|g| card_procedure(g, &all)).collect();
    let standings: Vec<_> = order
        .standings
        .iter()
        .map(|standing| {
            let is = |given: &Given<'_>| {
                Some(given.procedure.spec.number.value.as_str()) == standing.procedure()
            };
            match given.iter().position(is).and_then(|at| revisions.get(at)) {
                Some(revisions) => for_revision(standing, revisions, order.rules),
                None => standing.clone(),
            }
        })
        .collect();
    let Assignment {
        card_sets,
        mut rows,
    } = assign_cards(
        &standings,
        &card_procedures,
        order.options.combined,
        order.options.language,
    );
    let mut of_roster: Vec<_> = card_sets
        .iter()
        .flat_map(|card_set| &card_set.holders)
        .flat_map(|holder| [&holder.fuser.name, &holder.fuser.badge])
        .filter_map(without_glyph)
        .collect();
    of_roster.dedup_by_key(|finding| finding.span);
    let mut files = Vec::new();
    if of_roster.is_empty() {
        let mut found = Found {
            checked: &mut all,
            of_roster: &mut of_roster,
            rows: &mut rows,
        };
        files = make(order, &given, card_sets, &mut found)?;
    }
    all.iter_mut()
        .for_each(|checked| finding::sort(&mut checked.findings));
    Ok(WalletOutcome {
        checked: all,
        of_previous,
        of_roster,
        rows,
        files,
    })
}

/// Checks that apply to a spec only when cards are made from it.
fn of_spec(spec: &Spec, rules_chosen: &Rules, findings: &mut Vec<Finding>) {
    let number = &spec.number;
    let standing = match spec.status.value {
        Status::Qualified => None,
        Status::Draft => Some("a draft"),
        Status::Withdrawn => Some("withdrawn"),
    };
    if let Some(standing) = standing {
        findings.push(
            rules::CARDS_OF_UNQUALIFIED_PROCEDURE
                .at(
                    spec.status.span,
                    format!("{} is {standing}, so it has no cards", number.value),
                )
                .help("print cards once it is qualified, or leave the spec out"),
        );
    }
    let Some(rule) = rules_chosen.for_procedure(number) else {
        return;
    };
    let is_us_gas = spec.service.value == Service::Gas && spec.practice.value.federal_gas_rules;
    match rule {
        RuleSet::UsGas if !is_us_gas => findings.push(
            rules::GAS_RULE_FOR_OTHER_WORK
                .at(
                    spec.service.span,
                    format!("{} is not for fuel gas under US practice, and its fusers are judged by us-gas", number.value),
                )
                .help("choose the rule set that governs the work"),
        ),
        RuleSet::UsGas | RuleSet::Own { months: ..=12, .. } => {}
        other if is_us_gas => findings.push(
            rules::GAS_CARDS_BY_OTHER_RULE
                .at(
                    spec.service.span,
                    format!("{} is for fuel gas, and its fusers are judged by {}", number.value, other.word()),
                )
                .help(format!("choose it with --rules {}=us-gas", number.value))
                .limit("fuser-rules:us-gas, 49 CFR 192.285(c)"),
        ),
        _ => {}
    }
}

/// Which revisions of each procedure still count: those it lists, and the earlier
/// ones whose specs were given. A change that needs proof and has none is an
/// error of the later spec.
fn revisions(
    order: &WalletOrder<'_>,
    given: &[Given<'_>],
    all: &mut [Checked],
) -> (Vec<Revisions>, Vec<Checked>) {
    let mut known: Vec<_> = given
        .iter()
        .map(|given| Revisions::from_spec(given.procedure.spec))
        .collect();
    let mut of_previous = Vec::new();
    for sources in order.previous {
        let earlier = Earlier::read(sources, order.as_of);
        let later = given
            .iter()
            .position(|given| earlier.number() == Some(given.procedure.spec.number.value.as_str()));
        let Some((given, known)) = later.and_then(|at| Some((given.get(at)?, known.get_mut(at)?)))
        else {
            of_previous.push(earlier.of_no_other());
            continue;
        };
        let (of_earlier, of_later) = earlier.hold_against(given.sources, given.procedure, known);
        of_previous.push(of_earlier);
        if let Some(checked) = all.get_mut(given.place) {
            checked.findings.extend(of_later);
        }
    }
    (known, of_previous)
}

/// Reports duplicate procedure numbers on each spec; case alone does not make
/// file names differ.
fn same_number(specs: &[Sources], all: &mut [Checked]) {
    let mut of_number: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (place, checked) in all.iter().enumerate() {
        if let Some(identity) = &checked.identity {
            let number = identity.number.to_lowercase();
            of_number.entry(number).or_default().push(place);
        }
    }
    for places in of_number.values().filter(|places| places.len() > 1) {
        for place in places {
            let others = places.iter().filter(|other| *other != place);
            let names = others.filter_map(|other| Some(specs.get(*other)?.spec().name.as_str()));
            let names: Vec<_> = names.collect();
            if let Some(checked) = all.get_mut(*place) {
                let message = format!("{} has the same procedure number", names.join(", "));
                let finding = rules::TWO_SPECS_OF_ONE_PROCEDURE.about_file(message);
                let help = "give the spec of the revision in force only";
                checked.findings.push(finding.help(help));
            }
        }
    }
}

/// Whether a procedure gets cards.
fn card_procedure(given: &Given<'_>, all: &[Checked]) -> CardProcedure {
    let spec = given.procedure.spec;
    let findings = all.get(given.place).map(|checked| &checked.findings);
    let error = findings
        .into_iter()
        .flatten()
        .find(|finding| finding.severity() == Severity::Error);
    let number = &identity(spec).number;
    CardProcedure {
        number: number.clone(),
        refused: error.map(|error| match error.rule.slug {
            slug if slug == rules::CARDS_OF_UNQUALIFIED_PROCEDURE.slug => error.message.clone(),
            _ => format!("the spec of {number} has errors"),
        }),
        language: languages(spec, &[]).0,
    }
}
