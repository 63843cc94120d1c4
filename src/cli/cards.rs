//! `coldring cards`: the wallet cards of the fusers who are qualified, and who
//! gets none and why.

pub(super) mod list;

use std::path::PathBuf;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::args::{CardsArguments, TableFormat};
use super::fusers::{read_roster, read_roster_file};
use super::head::{CARDS_MANIFEST, Head};
use super::input::{self, Failure};
use super::internal_error::PLEASE_REPORT;
use super::keys::read_private;
use super::output::{OutputError, OutputFolder};
use super::progress::Progress;
use super::report::{Report, is_error};
use super::shard::batch_part;
use super::verbosity::print_status;
use super::{RunResult, csv_table, print_file, print_json};
use crate::batch::merge::PartOf;
use crate::batch::shard::Item;
use crate::core::digest;
use crate::core::parallel;
use crate::core::source::{Source, Sources};
use crate::papers::compile::{self, WalletFile, WalletOptions, WalletOrder, WalletOutcome, wallet};
use crate::people::fusers::evaluate;
use crate::proof::Signer;
use crate::published::library;

pub(crate) fn run(arguments: &CardsArguments) -> RunResult {
    let mut report = Report::text().errors_only();
    let result = make_cards(arguments, &mut report);
    Ok(report.finish_with(result))
}

fn make_cards(arguments: &CardsArguments, report: &mut Report) -> Result<(), Failure> {
    let signer = arguments.key.as_deref().map(read_private).transpose();
    let roster = read_roster_file(&arguments.fusers);
    let house = input::read_house(arguments.house.as_deref());
    // All that cannot be read is reported, whichever is first.
    let specs = house.map_err(Failure::from).map(|house| {
        let mut read = |paths: &[PathBuf]| {
            let mut specs = Vec::new();
            for path in paths {
                match input::read_spec(path) {
                    Ok(sources) => specs.push(sources.in_house(house.clone())),
                    Err(failure) => report.add_failure(failure),
                }
            }
            (specs.len() == paths.len()).then_some(specs)
        };
        read(&arguments.specs).zip(read(&arguments.previous))
    });
    let specs = specs.unwrap_or_else(|failure| {
        report.add_failure(failure);
        None
    });
    let (signer, roster) = (signer?, roster?);
    match specs {
        Some((current, previous)) => {
            let specs = Specs { current, previous };
            print_cards(arguments, signer.as_ref(), roster, &specs, report)
        }
        None => Ok(()),
    }
}

struct Specs {
    current: Vec<Sources>,
    /// Of earlier revisions.
    previous: Vec<Sources>,
}

fn print_cards(
    arguments: &CardsArguments,
    signer: Option<&Signer>,
    source: Source,
    Specs { current, previous }: &Specs,
    report: &mut Report,
) -> Result<(), Failure> {
    let as_of = input::date_or_today(arguments.as_of);
    let (roster, rules, findings) =
        read_roster(&arguments.fusers, &arguments.rules, as_of, &source);
    let sources = Sources::from(source);
    let has_errors = findings.iter().any(is_error);
    report.add_findings(&sources, findings);
    // A row that was not read may be the joint that somebody failed.
    if has_errors {
        return Ok(());
    }
    let mut standings = evaluate(&roster, &rules, library(), as_of);
    if let Some(shard) = arguments.shard {
        standings.retain(|standing| shard.contains(Item::Fuser(&standing.fuser.badge)));
    }
    let options = WalletOptions {
        combined: arguments.combined,
        paper: arguments.paper,
        card_trim: arguments.card_trim,
        flip: arguments.flip,
        language: arguments.language,
    };
    let shown = arguments.format == TableFormat::Text;
    let progress = Progress::new("cards", standings.len(), shown);
    let made = |cards, of| progress.advance(cards, of);
    let outcome = wallet(&WalletOrder {
        specs: current,
        previous,
        standings: &standings,
        rules: &rules,
        as_of,
        options: options.clone(),
        signer,
        threads: parallel::cores(),
        made: &made,
    });
    progress.finish();
    let outcome = outcome.map_err(|error| {
        format!(
            "a page template of this program failed, and no card was changed: {error}\n\
             {PLEASE_REPORT}"
        )
    })?;
    for (spec, checked) in current.iter().zip(&outcome.checked) {
        report.add_spec(spec, checked);
    }
    for (spec, checked) in previous.iter().zip(&outcome.previous_findings) {
        if !checked.findings.is_empty() {
            report.add_spec(spec, checked);
        }
    }
    report.add_findings(&sources, outcome.roster_findings.clone());
    if outcome.roster_findings.iter().any(is_error) {
        return Ok(());
    }
    let part = arguments.shard.map(|shard| {
        let roster = digest::sha256(sources.spec().text.as_bytes());
        let rest = format!("cards {roster} {as_of} {rules:?} {options:?} {signer:?}");
        let specs = current.iter().chain(previous);
        let mut digests: Vec<_> = specs.map(digest::spec_digest).collect();
        digests.sort();
        let house = current.first().into_iter().flat_map(Sources::house);
        let house: Vec<_> = house.map(|(_, file)| file.clone()).collect();
        batch_part(shard, &digests, &house, &rest)
    });
    let written = write(arguments, as_of, part, &outcome).map_err(String::from)?;
    let name = &sources.spec().name;
    match arguments.format {
        // A report of what was done, which `--quiet` silences.
        TableFormat::Text => print_status(&list::text(name, as_of, &outcome, &written)),
        TableFormat::Json => print_json(&list::document(name, as_of, &outcome, &written)),
        TableFormat::Csv => print_file(&csv_table(outcome.rows.iter().map(list::row))),
    }
    Ok(())
}

/// Where the cards were written.
#[derive(Debug, Default)]
pub(crate) struct Written {
    pub(crate) folder: String,
    /// Files of an earlier run of the same day that this one did not make.
    pub(crate) stale: Vec<String>,
}

/// Writes the files, the manifest last. Each day has its own folder, so that cards of
/// different days are not mixed up; each part of a batch has one too, and writes a
/// manifest even if it has no cards.
fn write(
    arguments: &CardsArguments,
    as_of: NaiveDate,
    part: Option<PartOf>,
    outcome: &WalletOutcome<'_>,
) -> Result<Written, OutputError> {
    if outcome.files.is_empty() && part.is_none() {
        return Ok(Written::default());
    }
    let name = match &part {
        Some(part) => format!("cards-{as_of}-{}", part.shard.folder()),
        None => format!("cards-{as_of}"),
    };
    let mut output = OutputFolder::open(&arguments.out, &name)?;
    for file in &outcome.files {
        output.write(&file.name, &file.bytes)?;
    }
    let folder = output.path().display().to_string();
    let manifest = Manifest::new(as_of, part, outcome, output.stale());
    let stale = output.finish_with(&manifest)?;
    Ok(Written { folder, stale })
}

/// The `manifest.json` of cards: digests and counts, nothing about people.
#[derive(Debug, Serialize, JsonSchema)]
pub(super) struct Manifest {
    #[serde(flatten)]
    head: Head,
    /// Program and its version.
    tool: String,
    /// Version of the tables.
    limits: String,
    /// Day of the cards.
    as_of: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    shard: Option<PartOf>,
    /// How many cards there are.
    cards: usize,
    procedures: Vec<ManifestProcedure>,
    files: Vec<ManifestFile>,
    /// Files of earlier runs that this one did not make.
    stale: Vec<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ManifestProcedure {
    /// Number of a procedure.
    number: String,
    /// Its revision.
    revision: u32,
    /// Digest of its spec.
    spec_digest: String,
}

#[derive(Debug, Serialize, JsonSchema)]
struct ManifestFile {
    /// File.
    name: String,
    /// Cards in it.
    cards: usize,
    /// Its size.
    bytes: usize,
    /// Its SHA-256.
    sha256: String,
}

impl Manifest {
    fn new(
        as_of: NaiveDate,
        part: Option<PartOf>,
        outcome: &WalletOutcome<'_>,
        stale: Vec<String>,
    ) -> Self {
        let procedures = outcome.checked.iter().filter_map(|checked| {
            let compile::Identity { number, revision } = checked.identity.clone()?;
            Some(ManifestProcedure {
                number,
                revision,
                spec_digest: checked.spec_digest.clone(),
            })
        });
        let file = |file: &WalletFile| ManifestFile {
            name: file.name.clone(),
            cards: file.cards,
            bytes: file.bytes.len(),
            sha256: digest::sha256(&file.bytes),
        };
        Self {
            head: CARDS_MANIFEST,
            tool: format!("coldring {}", env!("CARGO_PKG_VERSION")),
            limits: library().version().to_owned(),
            as_of: as_of.to_string(),
            shard: part,
            cards: outcome.files.iter().map(|file| file.cards).sum(),
            procedures: procedures.collect(),
            files: outcome.files.iter().map(file).collect(),
            stale,
        }
    }
}
