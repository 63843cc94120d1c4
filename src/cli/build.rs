//! `coldring build`: papers for every spec without errors.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::Ending;
use super::args::{BuildArguments, Format, ImageForm, PapersArguments};
use super::check::unread;
use super::fault;
use super::folders::{Folders, folder_name};
use super::input::{self, Unreadable};
use super::json::WithheldPaper;
use super::keys::read_private;
use super::level::{detail, say, timed};
use super::manifest::Manifest;
use super::output::{MANIFEST, OutputError, OutputFolder};
use super::progress::Progress;
use super::report::Report;
use super::shard::{leave_word, part, part_of};
use super::unchanged::{self, Unchanged};
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
fn named_twice(languages: &[Language]) -> Option<Language> {
    let repeats =
        |(i, language): &(usize, &Language)| languages.iter().take(*i).any(|l| l == *language);
    let (_, language) = languages.iter().enumerate().find(repeats)?;
    Some(*language)
}

/// How papers are made and where they go, as the arguments say it.
pub struct Order {
    options: Options,
    house: Vec<HouseFile>,
    out: PathBuf,
    as_of: NaiveDate,
    /// Whether what is unchanged is made again.
    force: bool,
    /// What to add where it is not.
    of_unchanged: &'static str,
    /// Whether it is told, line by line, what was written.
    told: bool,
}

impl Order {
    /// The order that arguments give, told line by line.
    ///
    /// # Errors
    /// Why nothing can be made by them.
    pub fn of(arguments: &PapersArguments) -> Result<Self, String> {
        let signer = arguments.key.as_deref().map(read_private).transpose()?;
        let house = arguments.house.as_deref().map(input::read_house);
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
            seal: signer.map(|signer| Seal::Key(Box::new(signer))),
            image: image(arguments),
        };
        Ok(Self {
            options,
            house: house.transpose()?.unwrap_or_default(),
            out: arguments.out.clone(),
            as_of: input::as_of(arguments.as_of),
            force: false,
            of_unchanged: "",
            told: true,
        })
    }
}

/// Whether the arguments fit each other; one that changes nothing is told.
///
/// # Errors
/// Why they do not.
pub fn usable(arguments: &PapersArguments) -> Result<(), String> {
    if let Some(language) = named_twice(&arguments.language) {
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
        super::complain(
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
pub fn run(arguments: &BuildArguments) -> Ending {
    let mut report = Report::new(arguments.format);
    let order = usable(&arguments.papers).and_then(|()| Order::of(&arguments.papers));
    let mut order = match order {
        Ok(order) => order,
        Err(message) => {
            report.failed(&message);
            return report.finish();
        }
    };
    order.force = arguments.force;
    order.of_unchanged = ": nothing went in that was not there before; --force builds it again, \
                          with the warnings of the thermal estimate";
    order.told = arguments.format == Format::Text;
    let part = part(&arguments.papers.specs, arguments.shard);
    let progress = Progress::over("building", part.specs.len(), order.told);
    build(
        &order,
        &part.specs,
        Folders::default(),
        &progress,
        &mut report,
    );
    progress.end();
    if let Some(shard) = arguments.shard {
        let rest = format!("build {:?}", order.options);
        let part_of = part_of(shard, &part.all, &order.house, &rest);
        let word = leave_word(&order.out, part_of, part.specs.len(), report.specs());
        if let Err(error) = word {
            report.failed(&error.to_string());
        }
    }
    report.finish()
}

/// Builds specs by an order; `built` has the folders that belong to others.
pub fn build(
    order: &Order,
    specs: &[PathBuf],
    mut built: Folders,
    progress: &Progress,
    report: &mut Report,
) {
    // Written in the order they are named, each batch once all of it is made, so
    // that no more of them are held than keep the cores busy.
    let at_once = at_once(&order.options.papers, parallel::cores());
    for batch in specs.chunks(BATCH * at_once) {
        let made = parallel::map_on(at_once, batch, |path| {
            let made = make(path, order);
            progress.one_done();
            made
        });
        progress.aside(|| {
            for made in made {
                match made {
                    Turn::Failed(message) => report.failed(&message),
                    Turn::Unread(sources, finding) => {
                        report.spec(&sources, &unread(&sources, *finding), Vec::new());
                    }
                    Turn::Built(sources, outcome, unchanged) => {
                        build_one(&sources, *outcome, unchanged, order, &mut built, report);
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
enum Turn {
    Failed(String),
    Unread(Box<Sources>, Box<Finding>),
    /// With the papers in place where those are the ones it makes.
    Built(Sources, Box<Outcome>, Option<Unchanged>),
}

fn make(path: &Path, order: &Order) -> Turn {
    let sources = match input::read(path) {
        Ok(sources) => sources.in_house(order.house.clone()),
        Err(Unreadable::Io(message)) => return Turn::Failed(message),
        Err(Unreadable::NotText(sources, finding)) => return Turn::Unread(sources, finding),
    };
    let name = path.display();
    if !order.force {
        let checked = timed(format!("{name}: checked"), || check(&sources, order.as_of));
        let build_digest = build_digest(&sources, &order.options);
        if let Some(identity) = &checked.identity
            && let folder = order.out.join(folder_name(identity))
            && let Some(unchanged) = unchanged::papers(&folder, &build_digest)
        {
            let outcome = Outcome {
                checked,
                build_digest,
                papers: Vec::new(),
                withheld: Vec::new(),
            };
            return Turn::Built(sources, Box::new(outcome), Some(unchanged));
        }
        detail(|| {
            format!(
                "{name}: there are no papers of build {}",
                short(&build_digest)
            )
        });
    }
    let compiled = timed(format!("{name}: checked, estimated and laid out"), || {
        compile(&sources, &order.options, order.as_of)
    });
    match compiled {
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
    mut unchanged: Option<Unchanged>,
    order: &Order,
    built: &mut Folders,
    report: &mut Report,
) {
    let Some(identity) = outcome.checked.identity.clone() else {
        return report.spec(sources, &outcome.checked, Vec::new());
    };
    let folder = folder_name(&identity);
    let spec = &sources.spec().name;
    let twice = built.take(&identity, spec);
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
    if order.told {
        for WithheldPaper { paper, reason } in &withheld {
            say(&format!("no {paper} for {folder}: {reason}\n"));
        }
    }
    if let Some(unchanged) = unchanged {
        report.built(sources, &outcome.checked, unchanged.paths, withheld);
        if order.told {
            let (out, more) = (order.out.display(), order.of_unchanged);
            say(&format!("unchanged {out}/{folder}{more}\n"));
        }
        return;
    }
    // Where every paper is withheld, the manifest says so, and that those of an
    // earlier text are stale.
    if outcome.papers.is_empty() && withheld.is_empty() {
        report.spec(sources, &outcome.checked, Vec::new());
        if order.told && outcome.checked.has_error() {
            let place = order.out.join(&folder);
            say(&match folder_is_own && place.join(MANIFEST).is_file() {
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
    let wrote = timed(format!("{folder}: written"), || {
        write(&order.out, &folder, sources, &identity, &outcome)
    });
    match wrote {
        Ok((written, stale)) => {
            report.built(sources, &outcome.checked, written.clone(), withheld);
            if order.told {
                for path in &written {
                    say(&format!("wrote {path}\n"));
                }
                for name in stale {
                    say(&format!(
                        "stale {}/{folder}/{name}: of an earlier run, not made by this one\n",
                        order.out.display()
                    ));
                }
            }
        }
        Err(error) => {
            report.built(sources, &outcome.checked, Vec::new(), withheld);
            report.failed(&format!("{spec}: {error}"));
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
