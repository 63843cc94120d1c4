//! `coldring build`: papers for every spec without errors.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::ExitStatus;
use super::args::{BuildArguments, Format, ImageForm, PapersArguments};
use super::check::unread;
use super::folders::{FolderClaims, folder_name};
use super::input::{self, ReadError};
use super::internal_error;
use super::json::WithheldPaper;
use super::keys::read_private;
use super::manifest::Manifest;
use super::output::{MANIFEST, OutputError, OutputFolder};
use super::progress::Progress;
use super::report::Report;
use super::shard::{batch_part, specs_in_shard, write_shard_manifest};
use super::unchanged::{self, UnchangedPapers};
use super::verbosity::{log_detail, log_time, print_status};
use crate::core::digest::short;
use crate::core::finding::Finding;
use crate::core::parallel;
use crate::core::source::{HouseFile, Sources};
use crate::papers::compile::{
    Correction, Identity, Image, Options, Outcome, PaperKind, TypesetPaper, build_digest, check,
    compile,
};
use crate::papers::typeset::TypesetError;
use crate::proof::Seal;
use crate::spec::language::Language;

/// A card has two sides, each with a language of its own.
fn repeated_language(languages: &[Language]) -> Option<Language> {
    let repeats =
        |(i, language): &(usize, &Language)| languages.iter().take(*i).any(|l| l == *language);
    let (_, language) = languages.iter().enumerate().find(repeats)?;
    Some(*language)
}

/// How papers are made and where they go, as the arguments say it.
pub struct BuildOptions {
    compile: Options,
    house: Vec<HouseFile>,
    out: PathBuf,
    as_of: NaiveDate,
    /// Whether what is unchanged is made again.
    force: bool,
    /// What to add where it is not.
    unchanged_note: &'static str,
    /// Whether it is told, line by line, what was written.
    prints_written: bool,
}

impl BuildOptions {
    /// The options that the arguments give; what is written is printed.
    ///
    /// # Errors
    /// Why nothing can be made by them.
    pub fn from_arguments(arguments: &PapersArguments) -> Result<Self, String> {
        let signer = arguments.key.as_deref().map(read_private).transpose()?;
        let house = arguments.house.as_deref().map(input::read_house);
        let compile = Options {
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
            seal: signer.map(|signer| Seal::Key(Box::new(signer))),
            image: image(arguments),
        };
        Ok(Self {
            compile,
            house: house.transpose()?.unwrap_or_default(),
            out: arguments.out.clone(),
            as_of: input::date_or_today(arguments.as_of),
            force: false,
            unchanged_note: "",
            prints_written: true,
        })
    }
}

/// Whether the arguments fit each other; one that changes nothing is told.
///
/// # Errors
/// Why they do not.
pub fn validate(arguments: &PapersArguments) -> Result<(), String> {
    if let Some(language) = repeated_language(&arguments.language) {
        return Err(format!(
            "--language: '{}' is named twice; name one language or two",
            language.tag()
        ));
    }
    if arguments.image == Some(ImageForm::Svg) && arguments.image_resolution.is_some() {
        return Err(
            "--image-resolution is for PNG; an SVG is sharp at any size; leave it out".to_owned(),
        );
    }
    let only = &arguments.only;
    let marks = only.is_empty() || only.contains(&PaperKind::DepthMarks);
    if arguments.measured_x.is_some() && !marks {
        super::print_error(
            "--measured-x and --measured-y change nothing here: only depth marks are corrected, \
             and --only leaves them out; add depth-marks to it",
        );
    }
    Ok(())
}

/// The pictures that are asked for.
fn image(arguments: &PapersArguments) -> Option<Image> {
    Some(match arguments.image? {
        ImageForm::Svg => Image::Svg,
        ImageForm::Png => Image::Png(arguments.image_resolution.unwrap_or(USUAL_RESOLUTION)),
    })
}

/// Dots to the inch: a page fills a screen, and its smallest type can be read.
const USUAL_RESOLUTION: u16 = 110;

/// Builds every spec.
pub fn run(arguments: &BuildArguments) -> ExitStatus {
    let mut report = Report::new(arguments.format);
    let options =
        validate(&arguments.papers).and_then(|()| BuildOptions::from_arguments(&arguments.papers));
    let mut options = match options {
        Ok(options) => options,
        Err(message) => {
            report.add_failure(&message);
            return report.finish();
        }
    };
    options.force = arguments.force;
    options.unchanged_note = ": nothing went in that was not there before; --force builds it again, \
                          with the warnings of the thermal estimate";
    options.prints_written = arguments.format == Format::Text;
    let part = specs_in_shard(&arguments.papers.specs, arguments.shard);
    let progress = Progress::new("building", part.specs.len(), options.prints_written);
    build(
        &options,
        &part.specs,
        FolderClaims::default(),
        &progress,
        &mut report,
    );
    progress.finish();
    if let Some(shard) = arguments.shard {
        let rest = format!("build {:?}", options.compile);
        let part_of = batch_part(shard, &part.batch_digests, &options.house, &rest);
        let word = write_shard_manifest(&options.out, part_of, part.specs.len(), report.specs());
        if let Err(error) = word {
            report.add_failure(&error.to_string());
        }
    }
    report.finish()
}

/// Builds specs; `built` has the folders that belong to others.
pub fn build(
    options: &BuildOptions,
    specs: &[PathBuf],
    mut built: FolderClaims,
    progress: &Progress,
    report: &mut Report,
) {
    // Written in the order they are named, each batch once all of it is made, so
    // that no more of them are held than keep the cores busy.
    let at_once = at_once(&options.compile.papers, parallel::cores());
    for batch in specs.chunks(BATCH * at_once) {
        let made = parallel::map_on(at_once, batch, |path| {
            let made = build_spec(path, options);
            progress.inc();
            made
        });
        progress.suspend(|| {
            for made in made {
                match made {
                    BuildResult::Failed(message) => report.add_failure(&message),
                    BuildResult::Unread(sources, finding) => {
                        report.add_spec(&sources, &unread(&sources, *finding), Vec::new());
                    }
                    BuildResult::Built(sources, outcome, unchanged) => {
                        write_result(&sources, *outcome, unchanged, options, &mut built, report);
                    }
                }
            }
        });
    }
}

/// Specs that are made at once. A spec's papers are made side by side, a core
/// each: two specs on two cores took no less time than one after the other, a
/// tenth more work and half as much memory again, since forgetting what one laid
/// out forgets the other's.
fn at_once(papers: &[PaperKind], cores: usize) -> usize {
    cores.div_ceil(papers.len().max(1))
}

/// Specs that are made one after another before their papers are written.
const BATCH: usize = 8;

/// What came of one spec, before anything is written.
enum BuildResult {
    Failed(String),
    Unread(Box<Sources>, Box<Finding>),
    /// With the papers in place where those are the ones it makes.
    Built(Sources, Box<Outcome>, Option<UnchangedPapers>),
}

fn build_spec(path: &Path, options: &BuildOptions) -> BuildResult {
    let sources = match input::read_spec(path) {
        Ok(sources) => sources.in_house(options.house.clone()),
        Err(ReadError::Io(message)) => return BuildResult::Failed(message),
        Err(ReadError::Rejected(sources, finding)) => return BuildResult::Unread(sources, finding),
    };
    let name = path.display();
    if !options.force {
        let checked = log_time(format!("{name}: checked"), || {
            check(&sources, options.as_of)
        });
        let build_digest = build_digest(&sources, &options.compile);
        if let Some(identity) = &checked.identity
            && let folder = options.out.join(folder_name(identity))
            && let Some(unchanged) = unchanged::find(&folder, &build_digest)
        {
            let outcome = Outcome {
                checked,
                build_digest,
                papers: Vec::new(),
                withheld: Vec::new(),
            };
            return BuildResult::Built(sources, Box::new(outcome), Some(unchanged));
        }
        log_detail(|| {
            format!(
                "{name}: there are no papers of build {}",
                short(&build_digest)
            )
        });
    }
    let compiled = log_time(format!("{name}: checked, estimated and laid out"), || {
        compile(&sources, &options.compile, options.as_of)
    });
    match compiled {
        Ok(outcome) => BuildResult::Built(sources, Box::new(outcome), None),
        Err(error) => BuildResult::Failed(template_error(&sources, &error)),
    }
}

/// Says that a fault of the program kept the papers of a spec back.
pub fn template_error(sources: &Sources, error: &TypesetError) -> String {
    format!(
        "{}: a page template of this program failed, and none of its papers was changed: {error}\n{}",
        sources.spec().name,
        internal_error::PLEASE_REPORT
    )
}

fn write_result(
    sources: &Sources,
    mut outcome: Outcome,
    mut unchanged: Option<UnchangedPapers>,
    options: &BuildOptions,
    built: &mut FolderClaims,
    report: &mut Report,
) {
    let Some(identity) = outcome.checked.identity.clone() else {
        return report.add_spec(sources, &outcome.checked, Vec::new());
    };
    let folder = folder_name(&identity);
    let spec = &sources.spec().name;
    let twice = built.claim(&identity, spec);
    // What lies in its folder then is of the other spec.
    let folder_is_own = twice.is_none();
    if let Some(twice) = twice {
        outcome.papers.clear();
        outcome.withheld.clear();
        unchanged = None;
        outcome.checked.findings.push(twice);
    }
    let unchanged = unchanged.filter(|_| !outcome.checked.has_error());
    let withheld = match &unchanged {
        Some(unchanged) => unchanged.withheld.clone(),
        None => outcome.withheld.iter().map(WithheldPaper::from).collect(),
    };
    if options.prints_written {
        for WithheldPaper { paper, reason } in &withheld {
            print_status(&format!("no {paper} for {folder}: {reason}\n"));
        }
    }
    if let Some(unchanged) = unchanged {
        report.add_built_spec(sources, &outcome.checked, unchanged.paths, withheld);
        if options.prints_written {
            let (out, more) = (options.out.display(), options.unchanged_note);
            print_status(&format!("unchanged {out}/{folder}{more}\n"));
        }
        return;
    }
    // Where every paper is withheld, the manifest says so, and that those of an
    // earlier text are stale.
    if outcome.papers.is_empty() && withheld.is_empty() {
        report.add_spec(sources, &outcome.checked, Vec::new());
        if options.prints_written && outcome.checked.has_error() {
            let place = options.out.join(&folder);
            print_status(&match folder_is_own && place.join(MANIFEST).is_file() {
                true => format!(
                    "stale {}: its papers are of an earlier text; this one has errors, so none \
                     was written\n",
                    place.display()
                ),
                false => format!("no papers of {spec}, since it has errors\n"),
            });
        }
        return;
    }
    let wrote = log_time(format!("{folder}: written"), || {
        write(&options.out, &folder, sources, &identity, &outcome)
    });
    match wrote {
        Ok((written, stale)) => {
            report.add_built_spec(sources, &outcome.checked, written.clone(), withheld);
            if options.prints_written {
                for path in &written {
                    print_status(&format!("wrote {path}\n"));
                }
                for name in stale {
                    print_status(&format!(
                        "stale {}/{folder}/{name}: of an earlier run, not made by this one\n",
                        options.out.display()
                    ));
                }
            }
        }
        Err(error) => {
            report.add_built_spec(sources, &outcome.checked, Vec::new(), withheld);
            report.add_failure(&format!("{spec}: {error}"));
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
    for (name, bytes) in outcome.papers.iter().flat_map(TypesetPaper::files) {
        output.write(&name, bytes)?;
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
