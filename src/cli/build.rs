//! `coldring build`: papers for every spec without errors.

use std::path::Path;

use chrono::NaiveDate;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::Ending;
use super::args::{BuildArguments, Format};
use super::check::unread;
use super::fault;
use super::folders::{Folders, folder_name};
use super::input::{self, Unreadable};
use super::keys::read_private;
use super::manifest::Manifest;
use super::output::{MANIFEST, OutputError, OutputFolder};
use super::report::Report;
use super::shard::{leave_word, part, part_of};
use super::unchanged;
use crate::compile::{
    Correction, Identity, Options, Outcome, PaperKind, build_digest, check, compile,
};
use crate::finding::Finding;
use crate::language::Language;
use crate::parallel;
use crate::proof::Seal;
use crate::source::{HouseFile, Sources};
use crate::typeset::TypesetError;

/// A card has two sides, each with a language of its own.
fn named_twice(languages: &[Language]) -> Option<Language> {
    let repeats =
        |(i, language): &(usize, &Language)| languages.iter().take(*i).any(|l| l == *language);
    let (_, language) = languages.iter().enumerate().find(repeats)?;
    Some(*language)
}

/// Builds every spec.
pub fn run(arguments: &BuildArguments) -> Ending {
    let as_of = input::as_of(arguments.as_of);
    let mut report = Report::new(arguments.format);
    let seal = match arguments.key.as_deref().map(read_private).transpose() {
        Ok(signer) => signer.map(|signer| Seal::Key(Box::new(signer))),
        Err(message) => {
            report.failed(&message);
            return report.finish();
        }
    };
    let options = Options {
        papers: if arguments.only.is_empty() {
            PaperKind::ALL.to_vec()
        } else {
            arguments.only.clone()
        },
        paper: arguments.paper,
        card_trim: arguments.card_trim,
        flip: arguments.flip,
        languages: arguments.language.clone(),
        correction: (arguments.measured_x)
            .zip(arguments.measured_y)
            .map(|(x, y)| Correction { x, y }),
        seal,
    };
    if let Some(language) = named_twice(&options.languages) {
        report.failed(&format!(
            "--language: '{}' is named twice; name one language or two",
            language.tag()
        ));
        return report.finish();
    }
    if options.correction.is_some() && !options.papers.contains(&PaperKind::DepthMarks) {
        super::complain(
            "--measured-x and --measured-y change nothing here: only depth marks are corrected, \
             and --only leaves them out",
        );
    }
    let house = match arguments
        .house
        .as_deref()
        .map(input::read_house)
        .transpose()
    {
        Ok(house) => house.unwrap_or_default(),
        Err(message) => {
            report.failed(&message);
            return report.finish();
        }
    };
    let mut built = Folders::default();
    let part = part(&arguments.specs, arguments.shard);
    let progress = progress(arguments, part.specs.len());
    // Written in the order they are named, each batch once all of it is made, so
    // that no more of them are held than keep the cores busy.
    for batch in part.specs.chunks(BATCH * parallel::cores()) {
        progress.set_message(
            batch
                .first()
                .map_or_else(String::new, |path| path.display().to_string()),
        );
        let made = parallel::map(batch, |path| {
            let made = make(path, &house, &options, arguments, as_of);
            progress.inc(1);
            made
        });
        progress.suspend(|| {
            for made in made {
                match made {
                    Turn::Failed(message) => report.failed(&message),
                    Turn::Unread(sources, finding) => {
                        report.spec(&sources, &unread(&sources, *finding), Vec::new());
                    }
                    Turn::Built(sources, outcome, unchanged) => {
                        build_one(
                            &sources,
                            *outcome,
                            unchanged,
                            arguments,
                            &mut built,
                            &mut report,
                        );
                    }
                }
            }
        });
    }
    progress.finish_and_clear();
    if let Some(shard) = arguments.shard {
        let part_of = part_of(shard, &part.all, &house, &format!("build {options:?}"));
        let word = leave_word(&arguments.out, part_of, part.specs.len(), report.specs());
        if let Err(error) = word {
            report.failed(&error.to_string());
        }
    }
    report.finish()
}

/// Specs that each core makes before their papers are written.
const BATCH: usize = 4;

/// What came of one spec, before anything is written.
enum Turn {
    Failed(String),
    Unread(Box<Sources>, Box<Finding>),
    /// With the paths of the papers where those in place are the ones it makes.
    Built(Sources, Box<Outcome>, Option<Vec<String>>),
}

fn make(
    path: &Path,
    house: &[HouseFile],
    options: &Options,
    arguments: &BuildArguments,
    as_of: NaiveDate,
) -> Turn {
    let sources = match input::read(path) {
        Ok(sources) => sources.in_house(house.to_vec()),
        Err(Unreadable::Io(message)) => return Turn::Failed(message),
        Err(Unreadable::NotText(sources, finding)) => return Turn::Unread(sources, finding),
    };
    if !arguments.force {
        let checked = check(&sources, as_of);
        let build_digest = build_digest(&sources, options);
        if let Some(identity) = &checked.identity
            && let folder = arguments.out.join(folder_name(identity))
            && let Some(paths) = unchanged::papers(&folder, &build_digest)
        {
            let outcome = Outcome {
                checked,
                build_digest,
                papers: Vec::new(),
                withheld: Vec::new(),
            };
            return Turn::Built(sources, Box::new(outcome), Some(paths));
        }
    }
    match compile(&sources, options, as_of) {
        Ok(outcome) => Turn::Built(sources, Box::new(outcome), None),
        Err(error) => Turn::Failed(template_failed(&sources, &error)),
    }
}

/// Says that a fault of the program kept the papers of a spec back.
pub fn template_failed(sources: &Sources, error: &TypesetError) -> String {
    format!(
        "{}: a page template of this program failed, and none of its papers was changed: {error}\n{}",
        sources.spec().name,
        fault::TO_SEND
    )
}

fn build_one(
    sources: &Sources,
    mut outcome: Outcome,
    mut unchanged: Option<Vec<String>>,
    arguments: &BuildArguments,
    built: &mut Folders,
    report: &mut Report,
) {
    let Some(identity) = outcome.checked.identity.clone() else {
        return report.spec(sources, &outcome.checked, Vec::new());
    };
    let folder = folder_name(&identity);
    if let Some(twice) = built.take(&identity, &sources.spec().name) {
        outcome.papers.clear();
        unchanged = None;
        outcome.checked.findings.push(twice);
    }
    if arguments.format == Format::Text {
        for (kind, reason) in &outcome.withheld {
            super::print(&format!("no {} for {folder}: {reason}\n", kind.file_name()));
        }
    }
    if let Some(paths) = unchanged.filter(|_| !outcome.checked.has_error()) {
        report.spec(sources, &outcome.checked, paths);
        if arguments.format == Format::Text {
            super::print(&format!(
                "unchanged {}/{folder}: nothing went in that was not there before; --force builds \
                 it again, with the warnings of the thermal estimate\n",
                arguments.out.display()
            ));
        }
        return;
    }
    if outcome.papers.is_empty() {
        return report.spec(sources, &outcome.checked, Vec::new());
    }
    match write(&arguments.out, &folder, sources, &identity, &outcome) {
        Ok((written, stale)) => {
            report.spec(sources, &outcome.checked, written.clone());
            if arguments.format == Format::Text {
                for path in &written {
                    super::print(&format!("wrote {path}\n"));
                }
                for name in stale {
                    super::print(&format!(
                        "stale {}/{folder}/{name}: of an earlier run, not made by this one\n",
                        arguments.out.display()
                    ));
                }
            }
        }
        Err(error) => {
            report.spec(sources, &outcome.checked, Vec::new());
            report.failed(&format!("{}: {error}", sources.spec().name));
        }
    }
}

/// Writes the papers, the manifest last; returns the paths written and the
/// papers of earlier runs that this one no longer makes.
fn write(
    out: &Path,
    folder: &str,
    sources: &Sources,
    identity: &Identity,
    outcome: &Outcome,
) -> Result<(Vec<String>, Vec<String>), OutputError> {
    let mut output = OutputFolder::open(out, folder)?;
    let mut written = Vec::new();
    for paper in &outcome.papers {
        let name = &paper.file_name();
        output.write(name, &paper.bytes)?;
        written.push(output.path().join(name).display().to_string());
    }
    written.push(output.path().join(MANIFEST).display().to_string());
    let manifest = Manifest::new(sources, identity, outcome, output.stale())
        .to_json()
        .map_err(|error| OutputError::Io {
            doing: "make",
            path: output.path().join(MANIFEST),
            error: error.into(),
        })?;
    let stale = output.finish(manifest.as_bytes())?;
    Ok((written, stale))
}

/// A line on the terminal when several specs are built, nothing otherwise.
fn progress(arguments: &BuildArguments, specs: usize) -> ProgressBar {
    let quiet = specs < 2 || arguments.format == Format::Json;
    let target = if quiet {
        ProgressDrawTarget::hidden()
    } else {
        // Draws nothing where standard error is not a terminal.
        ProgressDrawTarget::stderr()
    };
    let count = u64::try_from(specs).unwrap_or(u64::MAX);
    let bar = ProgressBar::with_draw_target(Some(count), target);
    match ProgressStyle::with_template("building {pos}/{len} {msg}") {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}
