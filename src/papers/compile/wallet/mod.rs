//! Specs + qualified people → sheets of wallet cards. Everything that is the same
//! on all cards of a set is typeset once and placed as a picture: the panels of
//! numbers, and the background of the sheet (fixed words, marks, notes). Only
//! name, badge, dates, and code are laid out per person. Threads take files of
//! about 400 cards each, so no PDFs need joining. The files are tagged PDF 1.7,
//! because typst refuses embedded PDF images under the archival standards; the
//! background has alternative text. File names and manifest identify nobody.

mod card_set;
mod job;
mod panels;
mod people;

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::earlier::Earlier;
use super::text::missing_glyph;
use super::{Checked, ParsedInputs, check_inputs, identity, languages};
use crate::core::finding::{self, Finding, Severity};
use crate::core::source::Sources;
use crate::papers::typeset::TypesetError;
use crate::people::fusers::{Revisions, RuleSet, Rules, Standing, for_revision};
use crate::people::wallet::{Assignment, CardProcedure, Row, assign_cards, rules};
use crate::procedure::resolve::Procedure;
use crate::proof::Signer;
use crate::published::library;
use crate::spec::language::Language;
use crate::spec::{CardTrim, Flip, Paper, Service, Spec, Status};
use card_set::{Report, make};

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
    pub previous_findings: Vec<Checked>,
    /// Findings about the roster.
    pub roster_findings: Vec<Finding>,
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
struct LoadedSpec<'a> {
    index: usize,
    sources: &'a Sources,
    inputs: &'a ParsedInputs,
    procedure: &'a Procedure<'a>,
}

/// Makes the cards. Errors in a spec stop the cards of its procedure; errors in
/// the roster stop all.
///
/// # Errors
/// [`TypesetError`] if one of our own templates fails.
pub fn wallet<'a>(order: &WalletOrder<'a>) -> Result<WalletOutcome<'a>, TypesetError> {
    let requested: Vec<_> = Language::all().collect();
    let reads: Vec<_> = order
        .specs
        .iter()
        .map(|sources| ParsedInputs::read(sources, &requested))
        .collect();
    let procedures: Vec<_> = reads.iter().map(ParsedInputs::procedure).collect();
    let mut all: Vec<_> = (order.specs.iter().zip(&reads).zip(&procedures))
        .map(|((sources, inputs), procedure)| {
            check_inputs(sources, inputs, procedure.as_ref(), None, order.as_of)
        })
        .collect();
    let mut loaded = Vec::new();
    for (index, ((sources, inputs), procedure)) in
        order.specs.iter().zip(&reads).zip(&procedures).enumerate()
    {
        let (Some(procedure), Some(checked)) = (procedure, all.get_mut(index)) else {
            continue;
        };
        check_spec(procedure.spec, order.rules, &mut checked.findings);
        if !inputs.unread {
            loaded.push(LoadedSpec {
                index,
                sources,
                inputs,
                procedure,
            });
        }
    }
    report_same_number(order.specs, &mut all);
    let (revisions, previous_findings) = revisions(order, &loaded, &mut all);
    let card_procedures: Vec<_> = loaded.iter().map(|g| card_procedure(g, &all)).collect();
    let standings: Vec<_> = order
        .standings
        .iter()
        .map(|standing| {
            let is = |loaded: &LoadedSpec<'_>| {
                Some(loaded.procedure.spec.number.value.as_str()) == standing.procedure()
            };
            match loaded.iter().position(is).and_then(|at| revisions.get(at)) {
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
    let mut roster_findings: Vec<_> = card_sets
        .iter()
        .flat_map(|card_set| &card_set.holders)
        .flat_map(|holder| [&holder.fuser.name, &holder.fuser.badge])
        .filter_map(missing_glyph)
        .collect();
    roster_findings.dedup_by_key(|finding| finding.span);
    let mut files = Vec::new();
    if roster_findings.is_empty() {
        let mut report = Report {
            checked: &mut all,
            roster_findings: &mut roster_findings,
            rows: &mut rows,
        };
        files = make(order, &loaded, card_sets, &mut report)?;
    }
    all.iter_mut()
        .for_each(|checked| finding::sort(&mut checked.findings));
    Ok(WalletOutcome {
        checked: all,
        previous_findings,
        roster_findings,
        rows,
        files,
    })
}

/// Checks that apply to a spec only when cards are made from it.
fn check_spec(spec: &Spec, rules_chosen: &Rules, findings: &mut Vec<Finding>) {
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
    check_rule_set(spec, rules_chosen, findings);
}

/// Whether the rule set chosen for a procedure is one of its service.
pub(super) fn check_rule_set(spec: &Spec, rules_chosen: &Rules, findings: &mut Vec<Finding>) {
    let number = &spec.number;
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
    loaded: &[LoadedSpec<'_>],
    all: &mut [Checked],
) -> (Vec<Revisions>, Vec<Checked>) {
    let mut revisions: Vec<_> = loaded
        .iter()
        .map(|loaded| Revisions::from_spec(loaded.procedure.spec, library()))
        .collect();
    let mut previous_findings = Vec::new();
    for sources in order.previous {
        let earlier = Earlier::read(sources, order.as_of);
        let later = loaded.iter().position(|loaded| {
            earlier.number() == Some(loaded.procedure.spec.number.value.as_str())
        });
        let Some((loaded, revisions)) =
            later.and_then(|at| Some((loaded.get(at)?, revisions.get_mut(at)?)))
        else {
            previous_findings.push(earlier.without_current());
            continue;
        };
        let (of_earlier, of_later) =
            earlier.compare_with(loaded.sources, loaded.procedure, revisions);
        previous_findings.push(of_earlier);
        if let Some(checked) = all.get_mut(loaded.index) {
            checked.findings.extend(of_later);
        }
    }
    (revisions, previous_findings)
}

/// Reports duplicate procedure numbers on each spec; case alone does not make
/// file names differ.
fn report_same_number(specs: &[Sources], all: &mut [Checked]) {
    let mut of_number: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (index, checked) in all.iter().enumerate() {
        if let Some(identity) = &checked.identity {
            let number = identity.number.to_lowercase();
            of_number.entry(number).or_default().push(index);
        }
    }
    for places in of_number.values().filter(|places| places.len() > 1) {
        for index in places {
            let others = places.iter().filter(|other| *other != index);
            let names = others.filter_map(|other| Some(specs.get(*other)?.spec().name.as_str()));
            let names: Vec<_> = names.collect();
            if let Some(checked) = all.get_mut(*index) {
                let message = format!("{} has the same procedure number", names.join(", "));
                let finding = rules::TWO_SPECS_OF_ONE_PROCEDURE.about_file(message);
                let help = "give only the spec of the current revision";
                checked.findings.push(finding.help(help));
            }
        }
    }
}

/// Whether a procedure gets cards.
fn card_procedure(loaded: &LoadedSpec<'_>, all: &[Checked]) -> CardProcedure {
    let spec = loaded.procedure.spec;
    let findings = all.get(loaded.index).map(|checked| &checked.findings);
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
