//! `coldring build`: papers for every spec without errors.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::RunResult;
use super::args::{BuildArguments, Format, ImageForm, PapersArguments};
use super::folders::{FolderClaims, folder_name};
use super::input::{self, Failure};
use super::internal_error::PLEASE_REPORT;
use super::json::WithheldPaper;
use super::keys::read_private;
use super::manifest::Manifest;
use super::output::{MANIFEST, OutputError, OutputFolder};
use super::progress::Progress;
use super::report::Report;
use super::shard::{batch_part, specs_in_shard, write_shard_manifest};
use super::unchanged::{self, UnchangedPapers};
use super::verbosity::{log_detail, log_time, print_status, print_written};
use crate::core::digest::short;
use crate::core::parallel;
use crate::core::source::{HouseFile, Sources};
use crate::papers::compile::{
    Correction, Identity, Image, Options, Outcome, PaperKind, TypesetPaper, build_digest, check,
    compile,
};
use crate::papers::typeset::TypesetError;
use crate::proof::Seal;

/// The usual resolution of pictures in dots per inch: a page fills a screen, and its
/// smallest type can be read.
const USUAL_RESOLUTION: u16 = 110;

/// Specs per core whose papers are held before they are written.
const BATCH: usize = 8;

/// How papers are made, and where they go.
pub(crate) struct BuildOptions {
    compile: Options,
    house: Vec<HouseFile>,
    out: PathBuf,
    as_of: NaiveDate,
    /// Whether unchanged papers are made again.
    force: bool,
    /// What to add to the line about unchanged papers.
    unchanged_note: &'static str,
    /// Whether the files written are printed.
    prints_written: bool,
}

impl BuildOptions {
    /// # Errors
    /// Why the key or the house style cannot be used.
    pub(crate) fn from_arguments(arguments: &PapersArguments) -> Result<Self, String> {
        let signer = arguments.key.as_deref().map(read_private).transpose()?;
        let papers = if arguments.only.is_empty() {
            PaperKind::ALL.to_vec()
        } else {
            arguments.only.clone()
        };
        let resolution = arguments.image_resolution.unwrap_or(USUAL_RESOLUTION);
        let correction = arguments.measured_x.zip(arguments.measured_y);
        let compile = Options {
            papers,
            paper: arguments.paper,
            card_trim: arguments.card_trim,
            flip: arguments.flip,
            languages: arguments.language.clone(),
            correction: correction.map(|(x, y)| Correction { x, y }),
            seal: signer.map(|signer| Seal::Key(Box::new(signer))),
            image: arguments.image.map(|form| match form {
                ImageForm::Svg => Image::Svg,
                ImageForm::Png => Image::Png(resolution),
            }),
        };
        Ok(Self {
            compile,
            house: input::read_house(arguments.house.as_deref())?,
            out: arguments.out.clone(),
            as_of: input::date_or_today(arguments.as_of),
            force: false,
            unchanged_note: "; --force builds it again",
            prints_written: true,
        })
    }
}

/// Refuses arguments that contradict each other, and warns of one without effect.
///
/// # Errors
/// What contradicts what.
pub(crate) fn validate(arguments: &PapersArguments) -> Result<(), String> {
    // A card has two sides, each in a language of its own.
    let mut seen = Vec::new();
    for language in &arguments.language {
        if seen.contains(&language) {
            return Err(format!(
                "--language: '{}' is named twice; name one language or two",
                language.tag()
            ));
        }
        seen.push(language);
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

pub(crate) fn run(arguments: &BuildArguments) -> RunResult {
    let report = Report::new(arguments.format).errors_only();
    let mut report = report.with_estimates(is_estimated(&arguments.papers));
    let result = build_all(arguments, &mut report);
    Ok(report.finish_with(result))
}

/// Whether the paper is made that prints the thermal estimate.
fn is_estimated(papers: &PapersArguments) -> bool {
    papers.only.is_empty() || papers.only.contains(&PaperKind::Sources)
}

fn build_all(arguments: &BuildArguments, report: &mut Report) -> Result<(), Failure> {
    validate(&arguments.papers)?;
    let prints_written = arguments.format == Format::Text;
    let options = BuildOptions {
        force: arguments.force,
        unchanged_note: ", not rebuilt; --force rebuilds it",
        prints_written,
        ..BuildOptions::from_arguments(&arguments.papers)?
    };
    let part = specs_in_shard(&arguments.papers.specs, arguments.shard);
    let progress = Progress::new("building", part.specs.len(), prints_written);
    let claims = FolderClaims::default();
    build(&options, &part.specs, claims, &progress, report);
    progress.finish();
    if let Some(shard) = arguments.shard {
        let rest = format!("build {:?}", options.compile);
        let part_of = batch_part(shard, &part.batch_digests, &options.house, &rest);
        write_shard_manifest(&options.out, part_of, part.specs.len(), report.specs())
            .map_err(String::from)?;
    }
    Ok(())
}

/// Builds specs; `claims` has the folders of specs that are built elsewhere.
pub(crate) fn build(
    options: &BuildOptions,
    specs: &[PathBuf],
    mut claims: FolderClaims,
    progress: &Progress,
    report: &mut Report,
) {
    // Written in the order they are named, each batch once all of it is made, so
    // that no more papers are held than keep the cores busy.
    let at_once = specs_at_once(&options.compile.papers, parallel::cores());
    for batch in specs.chunks(BATCH * at_once) {
        let built = parallel::map_on(at_once, batch, |path| {
            let built = build_spec(path, options);
            progress.inc();
            built
        });
        progress.suspend(|| {
            for built in built {
                match built {
                    Ok(built) => built.write(options, &mut claims, report),
                    Err(failure) => report.add_failure(failure),
                }
            }
        });
    }
}

/// How many specs are built at once. The papers of one spec are made in parallel, a
/// core each: two specs on two cores took no less time than one after the other, a
/// tenth more work and half as much memory again, since evicting the layout of one
/// also evicts the other's.
fn specs_at_once(papers: &[PaperKind], cores: usize) -> usize {
    cores.div_ceil(papers.len().max(1))
}

/// What one spec gave, before anything is written.
struct BuiltSpec {
    sources: Sources,
    outcome: Outcome,
    /// The papers in the output folder, where they are those that it makes.
    unchanged: Option<UnchangedPapers>,
}

fn build_spec(path: &Path, options: &BuildOptions) -> Result<BuiltSpec, Failure> {
    let sources = input::read_spec(path)?.in_house(options.house.clone());
    let name = path.display();
    if !options.force {
        let build_digest = build_digest(&sources, &options.compile);
        // Without the folder of all papers there is nothing to compare with.
        if options.out.is_dir() {
            let checked = log_time(format!("{name}: checked"), || {
                check(&sources, options.as_of)
            });
            if let Some(identity) = &checked.identity
                && let folder = options.out.join(folder_name(identity))
                && let Some(unchanged) = unchanged::find(&folder, &build_digest)
            {
                return Ok(BuiltSpec {
                    sources,
                    outcome: Outcome {
                        checked,
                        build_digest,
                        papers: Vec::new(),
                        withheld: Vec::new(),
                    },
                    unchanged: Some(unchanged),
                });
            }
        }
        log_detail(|| {
            let digest = short(&build_digest);
            format!("{name}: there are no papers of build {digest}")
        });
    }
    let estimated = if options.compile.needs_estimates() {
        ", estimated"
    } else {
        ""
    };
    let what = format!("{name}: checked{estimated} and laid out");
    let outcome = log_time(what, || compile(&sources, &options.compile, options.as_of));
    Ok(BuiltSpec {
        outcome: outcome.map_err(|error| template_error(&sources, &error))?,
        sources,
        unchanged: None,
    })
}

/// The message about a fault of the program that kept the papers of a spec back.
pub(crate) fn template_error(sources: &Sources, error: &TypesetError) -> String {
    format!(
        "{}: a page template of this program failed, and none of its papers was changed: {error}\n\
         {PLEASE_REPORT}",
        sources.spec().name,
    )
}

impl BuiltSpec {
    /// Writes the papers, and reports the spec.
    fn write(self, options: &BuildOptions, claims: &mut FolderClaims, report: &mut Report) {
        let BuiltSpec {
            sources,
            mut outcome,
            mut unchanged,
        } = self;
        let Some(identity) = outcome.checked.identity.clone() else {
            return report.add_spec(&sources, &outcome.checked);
        };
        let folder = folder_name(&identity);
        let spec = &sources.spec().name;
        let claimed_twice = claims.claim(&identity, spec);
        // Otherwise the papers in the folder are those of the other spec.
        let folder_is_own = claimed_twice.is_none();
        if let Some(finding) = claimed_twice {
            outcome.papers.clear();
            outcome.withheld.clear();
            unchanged = None;
            outcome.checked.findings.push(finding);
        }
        let has_error = outcome.checked.has_error();
        let unchanged = unchanged.filter(|_| !has_error);
        let withheld = match &unchanged {
            Some(unchanged) => unchanged.withheld.clone(),
            None => outcome.withheld.iter().map(WithheldPaper::from).collect(),
        };
        let print = |line: String| {
            if options.prints_written {
                print_status(&line);
            }
        };
        for WithheldPaper { paper, reason } in &withheld {
            print(format!("no {paper} for {folder}: {reason}\n"));
        }
        let place = options.out.join(&folder);
        if let Some(unchanged) = unchanged {
            report.add_built_spec(&sources, &outcome.checked, unchanged.paths, withheld);
            let (out, note) = (options.out.display(), options.unchanged_note);
            print(format!("unchanged {out}/{folder}{note}\n"));
            return;
        }
        // A manifest is written even where every paper is withheld: it lists them, and
        // the earlier papers that are stale.
        if outcome.papers.is_empty() && withheld.is_empty() {
            report.add_spec(&sources, &outcome.checked);
            if has_error && folder_is_own && place.join(MANIFEST).is_file() {
                print(format!(
                    "stale {}: its papers are of an earlier text; this one has errors, so none \
                     was written\n",
                    place.display()
                ));
            } else if has_error {
                print(format!("{spec} has errors; no papers were made\n"));
            }
            return;
        }
        let written = log_time(format!("{folder}: written"), || {
            write_papers(&options.out, &folder, &sources, &identity, &outcome)
        });
        match written {
            Ok((written, stale)) => {
                if options.prints_written {
                    print_written(&written);
                }
                report.add_built_spec(&sources, &outcome.checked, written, withheld);
                for name in stale {
                    print(format!(
                        "stale {}/{folder}/{name}: of an earlier run, not made by this one\n",
                        options.out.display()
                    ));
                }
            }
            Err(error) => {
                report.add_built_spec(&sources, &outcome.checked, Vec::new(), withheld);
                report.add_failure(format!("{spec}: {error}"));
            }
        }
    }
}

/// Writes the papers, the manifest last; returns the paths written and the papers
/// of earlier runs that this one no longer makes.
fn write_papers(
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
        written.push(output.path_of(&name));
    }
    written.push(output.path_of(MANIFEST));
    let manifest = Manifest::new(sources, identity, outcome, output.stale());
    let stale = output.finish_with(&manifest)?;
    Ok((written, stale))
}
