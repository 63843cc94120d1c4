//! `coldring cards`: the wallet cards of the fusers who are qualified, and who
//! gets none and why.

mod list;

use std::path::PathBuf;

use chrono::NaiveDate;
use serde::Serialize;

use super::ExitStatus;
use super::args::{CardsArguments, Format, TableFormat};
use super::check::unread;
use super::documents::{CARDS_MANIFEST, Head};
use super::fusers::{is_csv, read_roster, report_roster_findings};
use super::input::{self, ReadError};
use super::internal_error;
use super::keys;
use super::output::{MANIFEST, OutputError, OutputFolder};
use super::progress::Progress;
use super::report::Report;
use super::shard;
use super::verbosity::print_status;
use crate::batch::merge::PartOf;
use crate::batch::shard::Item;
use crate::core::budget;
use crate::core::digest;
use crate::core::finding::{Finding, Severity};
use crate::core::parallel;
use crate::core::source::{Source, Sources};
use crate::papers::compile::{self, WalletFile, WalletOptions, WalletOrder, WalletOutcome, wallet};
use crate::people::fusers::{self, evaluate};
use crate::proof::Signer;
use crate::published::library;

/// Prints the cards.
pub fn run(arguments: &CardsArguments) -> ExitStatus {
    let mut report = Report::new(Format::Text);
    let signer = arguments.key.as_deref().map(keys::read_private).transpose();
    let roster = input::read_text(&arguments.fusers, budget::ROSTER.bytes);
    let specs = Specs::read(arguments, &mut report);
    match (signer, roster, specs) {
        (Err(message), ..) => report.add_failure(&message),
        (_, Err(ReadError::Io(message)), _) => report.add_failure(&message),
        (_, Err(ReadError::Rejected(sources, mut finding)), _) => {
            if is_csv(&arguments.fusers) {
                finding.rule = &fusers::rules::CSV_NOT_READABLE;
            }
            report_roster_findings(&sources, vec![*finding], &mut report);
        }
        (Ok(signer), Ok(roster), Some(specs)) => {
            print(arguments, signer.as_ref(), roster, specs, &mut report);
        }
        (_, _, None) => {}
    }
    report.finish()
}

/// The specs of a run.
struct Specs {
    current: Vec<Sources>,
    /// Of earlier revisions.
    previous: Vec<Sources>,
}

impl Specs {
    /// All of them; `None` when one cannot be read, which is reported.
    fn read(arguments: &CardsArguments, report: &mut Report) -> Option<Self> {
        let house = arguments
            .house
            .as_deref()
            .map(input::read_house)
            .transpose();
        let house = match house {
            Ok(house) => house.unwrap_or_default(),
            Err(message) => {
                report.add_failure(&message);
                return None;
            }
        };
        let mut all = |paths: &[PathBuf]| {
            let mut specs = Vec::new();
            for path in paths {
                match input::read_spec(path) {
                    Ok(sources) => specs.push(sources.in_house(house.clone())),
                    Err(ReadError::Io(message)) => report.add_failure(&message),
                    Err(ReadError::Rejected(sources, finding)) => {
                        report.add_spec(&sources, &unread(&sources, *finding), Vec::new());
                    }
                }
            }
            (specs.len() == paths.len()).then_some(specs)
        };
        let (current, previous) = (all(&arguments.specs), all(&arguments.previous));
        Some(Self {
            current: current?,
            previous: previous?,
        })
    }
}

fn print(
    arguments: &CardsArguments,
    signer: Option<&Signer>,
    source: Source,
    specs: Specs,
    report: &mut Report,
) {
    let Specs {
        current: specs,
        previous,
    } = specs;
    let as_of = input::date_or_today(arguments.as_of);
    let (roster, rules, findings) =
        read_roster(&arguments.fusers, &arguments.rules, as_of, &source);
    let sources = Sources::from(source);
    let errors = findings.iter().any(is_error);
    report_roster_findings(&sources, findings, report);
    // A row that was not read may be the joint that somebody failed.
    if errors {
        return;
    }
    let mut standings = evaluate(&roster, &rules, library(), as_of);
    if let Some(shard) = arguments.shard {
        standings.retain(|standing| shard.holds(Item::Fuser(&standing.fuser.badge)));
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
        specs: &specs,
        previous: &previous,
        standings: &standings,
        rules: &rules,
        as_of,
        options: options.clone(),
        signer,
        threads: parallel::cores(),
        made: &made,
    });
    progress.finish();
    let outcome = match outcome {
        Ok(outcome) => outcome,
        Err(error) => {
            return report.add_failure(&format!(
                "a page template of this program failed, and no card was changed: {error}\n{}",
                internal_error::PLEASE_REPORT
            ));
        }
    };
    for (spec, checked) in specs.iter().zip(&outcome.checked) {
        report.add_spec(spec, checked, Vec::new());
    }
    for (spec, checked) in previous.iter().zip(&outcome.of_previous) {
        if !checked.findings.is_empty() {
            report.add_spec(spec, checked, Vec::new());
        }
    }
    report_roster_findings(&sources, outcome.of_roster.clone(), report);
    if outcome.of_roster.iter().any(is_error) {
        return;
    }
    let part = arguments.shard.map(|shard| {
        let roster = digest::sha256(sources.spec().text.as_bytes());
        let rest = format!("cards {roster} {as_of} {rules:?} {options:?} {signer:?}");
        let all = specs.iter().chain(&previous);
        let mut digests: Vec<_> = all.map(digest::spec_digest).collect();
        digests.sort();
        let house = specs.first().into_iter().flat_map(Sources::house);
        let house: Vec<_> = house.map(|(_, file)| file.clone()).collect();
        shard::batch_part(shard, &digests, &house, &rest)
    });
    let written = match write(arguments, as_of, part, &outcome) {
        Ok(written) => written,
        Err(error) => return report.add_failure(&error.to_string()),
    };
    let name = &sources.spec().name;
    let list = list::list(arguments.format, name, as_of, &outcome, &written);
    match arguments.format {
        // What was done, and no answer to anything.
        TableFormat::Text => print_status(&list),
        TableFormat::Json => super::print_json(&list),
        TableFormat::Csv => super::print_file(&list),
    }
}

fn is_error(finding: &Finding) -> bool {
    finding.severity() == Severity::Error
}

/// Where the cards were written, and what lies there of an earlier run.
#[derive(Debug, Default)]
pub struct Written {
    /// The folder.
    pub folder: String,
    /// Files of an earlier run of the same day that this one did not make.
    pub stale: Vec<String>,
}

/// Writes the files, the manifest last. The folder is that of the day, so that
/// no card of another day is taken for one of this; a part has one of its own,
/// and one without cards leaves word that it was made.
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
    let manifest = Manifest::of(as_of, part, outcome, output.stale());
    let text = serde_json::to_string_pretty(&manifest).map_err(|error| OutputError::Io {
        doing: "make",
        path: output.path().join(MANIFEST),
        error: error.into(),
    })?;
    let stale = output.finish((text + "\n").as_bytes())?;
    Ok(Written { folder, stale })
}

/// What `manifest.json` holds: digests and counts, and nothing about anybody.
#[derive(Debug, Serialize)]
struct Manifest {
    #[serde(flatten)]
    head: Head,
    tool: String,
    limits: String,
    as_of: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    shard: Option<PartOf>,
    cards: usize,
    procedures: Vec<ManifestProcedure>,
    files: Vec<ManifestFile>,
    stale: Vec<String>,
}

#[derive(Debug, Serialize)]
struct ManifestProcedure {
    number: String,
    revision: u32,
    spec_digest: String,
}

#[derive(Debug, Serialize)]
struct ManifestFile {
    name: String,
    cards: usize,
    bytes: usize,
    sha256: String,
}

impl Manifest {
    fn of(
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
