//! `coldring build`: papers for every spec without errors.

use std::collections::BTreeMap;
use std::path::Path;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::Ending;
use super::args::{BuildArguments, Format};
use super::check::unread;
use super::input::{self, Unreadable};
use super::keys::read_private;
use super::manifest::Manifest;
use super::output::{MANIFEST, OutputError, OutputFolder};
use super::report::Report;
use crate::compile::{Correction, Identity, Options, Outcome, PaperKind, compile};
use crate::language::Language;
use crate::proof::Seal;
use crate::source::Sources;
use crate::spec::rules;
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
    let mut built: BTreeMap<String, String> = BTreeMap::new();
    let progress = progress(arguments);
    for path in &arguments.specs {
        progress.set_message(path.display().to_string());
        progress.suspend(|| {
            let sources = match input::read(path) {
                Ok(sources) => sources,
                Err(Unreadable::Io(message)) => return report.failed(&message),
                Err(Unreadable::NotText(sources, finding)) => {
                    return report.spec(&sources, &unread(&sources, *finding), Vec::new());
                }
            };
            let sources = sources.in_house(house.clone());
            match compile(&sources, &options, as_of) {
                Ok(outcome) => {
                    build_one(&sources, outcome, arguments, &mut built, &mut report);
                }
                Err(error) => report.failed(&template_failed(&sources, &error)),
            }
        });
        progress.inc(1);
    }
    progress.finish_and_clear();
    report.finish()
}

/// Says that a fault of the program kept the papers of a spec back.
pub fn template_failed(sources: &Sources, error: &TypesetError) -> String {
    format!(
        "{}: a page template of this program failed, and no paper was changed: {error}\n\
         Please send this message and the spec to the maintainers.",
        sources.spec().name
    )
}

fn build_one(
    sources: &Sources,
    mut outcome: Outcome,
    arguments: &BuildArguments,
    built: &mut BTreeMap<String, String>,
    report: &mut Report,
) {
    let Some(identity) = outcome.checked.identity.clone() else {
        return report.spec(sources, &outcome.checked, Vec::new());
    };
    let folder = folder_name(&identity);
    // Folder names are compared as a file system that ignores case would.
    match built.get(&folder.to_lowercase()) {
        Some(first) => {
            outcome.papers.clear();
            outcome.checked.findings.push(
                rules::SAME_NUMBER_TWICE
                    .about_file(format!(
                        "{first} is already procedure {} revision {} in this run",
                        identity.number, identity.revision
                    ))
                    .help("give one of them another number, or build them into different folders"),
            );
        }
        None => {
            built.insert(folder.to_lowercase(), sources.spec().name.clone());
        }
    }
    if arguments.format == Format::Text {
        for (kind, reason) in &outcome.withheld {
            super::print(&format!("no {} for {folder}: {reason}\n", kind.file_name()));
        }
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

fn folder_name(identity: &Identity) -> String {
    format!("{}-r{}", identity.number, identity.revision)
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
fn progress(arguments: &BuildArguments) -> ProgressBar {
    let quiet = arguments.specs.len() < 2 || arguments.format == Format::Json;
    let target = if quiet {
        ProgressDrawTarget::hidden()
    } else {
        // Draws nothing where standard error is not a terminal.
        ProgressDrawTarget::stderr()
    };
    let count = u64::try_from(arguments.specs.len()).unwrap_or(u64::MAX);
    let bar = ProgressBar::with_draw_target(Some(count), target);
    match ProgressStyle::with_template("building {pos}/{len} {msg}") {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}
