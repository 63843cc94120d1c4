//! The whole way for one spec: text in, findings and papers out. Reads no file
//! and no clock; the date that findings compare with is passed in.

mod card;
mod compare;
mod earlier;
mod forms;
mod in_house;
mod papers;
mod pictures;
mod proof;
mod submittal;
#[cfg(test)]
mod tests;
mod text;
mod wallet;
mod worksheet;

use std::borrow::Cow;

use chrono::NaiveDate;

use crate::core::budget;
use crate::core::digest;
use crate::core::finding::{self, Finding, Severity};
use crate::core::source::{Role, Sources};
use crate::papers::house::{House, attached_name, house, house_role};
pub use crate::papers::sheets::PaperKind;
use crate::papers::typeset::{self, TypesetError};
use crate::procedure::confirm::{confirm, from_tomorrow};
use crate::procedure::record::{self, Records};
use crate::procedure::resolve::{Procedure, resolve};
use crate::process::socket::heat::advice::{Advice, EstimateCache};
pub(crate) use crate::process::socket::sheets::strips::Correction;
use crate::proof::Seal;
use crate::published::{Library, library};
use crate::spec::language::Language;
use crate::spec::{self, CardTrim, Flip, Paper, Spec};
pub use compare::{Compared, NoticeOptions, compare};
pub(crate) use forms::forms;
use in_house::of_house;
use papers::{PaperBuilder, papers};
pub(crate) use pictures::{PreviewEvent, pictures};
pub(crate) use submittal::{CompiledSubmittal, submittal};
pub use text::unfit_in_roster;
pub(crate) use wallet::{WalletFile, WalletOutcome};
pub use wallet::{WalletOptions, WalletOrder, wallet};
pub(crate) use worksheet::{Worksheet, worksheet};

/// What the user asks for beside the spec.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// The papers to make.
    pub papers: Vec<PaperKind>,
    /// The paper to print on, when the spec's own choice is to be overruled.
    pub paper: Option<Paper>,
    /// The size the cards are cut to, likewise.
    pub card_trim: Option<CardTrim>,
    /// How front and back of a card come together, likewise.
    pub flip: Option<Flip>,
    /// What the printer does to a length; only depth marks are corrected.
    pub correction: Option<Correction>,
    /// The languages, when the spec's own choice is to be overruled.
    pub languages: Vec<Language>,
    /// What signs the papers; they carry no code without it.
    pub seal: Option<Seal>,
    /// The pictures of pages that are made beside each paper.
    pub image: Option<Image>,
}

/// What pictures of pages are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Image {
    /// Lines and outlines, at true size.
    Svg,
    /// So many dots to the inch.
    Png(u16),
}

impl Image {
    fn ending(self) -> &'static str {
        match self {
            Image::Svg => "svg",
            Image::Png(_) => "png",
        }
    }
}

/// What a spec is called, once it could be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identity {
    /// Procedure number.
    pub number: String,
    /// Current revision.
    pub revision: u32,
}

/// A spec, checked.
#[derive(Debug)]
pub struct Checked {
    /// What it is called; `None` when it could not be read.
    pub identity: Option<Identity>,
    /// Digest of the spec and the files it names, in hexadecimal.
    pub spec_digest: String,
    /// Every finding, in the order of the text.
    pub findings: Vec<Finding>,
}

impl Checked {
    /// Whether there is an error, so that no paper is made.
    pub(crate) fn has_error(&self) -> bool {
        let mut severities = self.findings.iter().map(Finding::severity);
        severities.any(|severity| severity == Severity::Error)
    }
}

/// A paper, typeset.
#[derive(Debug)]
pub struct TypesetPaper {
    /// Which.
    pub kind: PaperKind,
    /// Its language, where the first one has a file of its own.
    pub further: Option<Language>,
    /// The PDF.
    pub bytes: Vec<u8>,
    /// The pictures of its pages, where they are asked for.
    pub pictures: Option<Pictures>,
}

/// Pictures of the pages of a paper.
#[derive(Debug)]
pub struct Pictures {
    /// What they are.
    pub image: Image,
    /// One for each page.
    pub pages: Vec<Vec<u8>>,
}

impl TypesetPaper {
    /// The file it is written to.
    pub(crate) fn file_name(&self) -> String {
        self.kind.file_name_in(self.further)
    }

    /// Every file of the paper, by name: the PDF, then the pictures of its pages,
    /// as in `procedure-01.png`.
    pub(crate) fn files(&self) -> impl Iterator<Item = (String, &[u8])> {
        let name = self.file_name();
        let stem = name.trim_end_matches(".pdf").to_owned();
        let pictures = self.pictures.iter().flat_map(|pictures| {
            let ending = pictures.image.ending();
            let pages = &pictures.pages;
            pages.iter().map(move |page| (ending, page.as_slice()))
        });
        let pictures = pictures
            .enumerate()
            .map(move |(n, (ending, page))| (format!("{stem}-{:02}.{ending}", n + 1), page));
        std::iter::once((name, self.bytes.as_slice())).chain(pictures)
    }
}

/// A paper that was asked for and cannot be made, and why.
pub(crate) type Withheld = (PaperKind, Cow<'static, str>);

/// A spec, compiled.
#[derive(Debug)]
pub struct Outcome {
    /// What checking it found.
    pub checked: Checked,
    /// SHA-256 over every input, the options and the versions, in hexadecimal.
    pub build_digest: String,
    /// The papers; none when there is an error.
    pub papers: Vec<TypesetPaper>,
    /// The papers that were asked for and cannot be made, with the reason.
    pub withheld: Vec<Withheld>,
}

/// Checks a spec against the published figures and against itself. The heat
/// model is not run: its rules find nothing.
pub fn check(sources: &Sources, as_of: NaiveDate) -> Checked {
    let read = ParsedInputs::read(sources, &[]);
    let procedure = read.procedure();
    checked(sources, &read, procedure.as_ref(), None, as_of)
}

/// Checks a spec as [`check`] does, and by the thermal estimate too.
pub fn check_with_heat(sources: &Sources, as_of: NaiveDate) -> Checked {
    with_heat(sources, as_of, |checked, _| checked)
}

/// Checks a spec by the thermal estimate too, and hands on what it was made
/// from: the procedure and its estimates, where the spec can be read whole.
pub(crate) fn with_heat<T>(
    sources: &Sources,
    as_of: NaiveDate,
    then: impl FnOnce(Checked, Option<(&Procedure<'_>, &Advice<'_>)>) -> T,
) -> T {
    let known = EstimateCache::default();
    estimated(
        &ParsedInputs::read(sources, &[]),
        sources,
        as_of,
        &known,
        then,
    )
}

/// A procedure with the figures that hold for it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Given<'p> {
    pub(crate) procedure: &'p Procedure<'p>,
    /// The figures, as its spec confirms them.
    pub(crate) limits: &'p Library,
}

/// Checks a spec as [`check`] does, and hands on what it resolves to, where it
/// can be read whole.
pub(crate) fn resolved<T>(
    sources: &Sources,
    as_of: NaiveDate,
    then: impl FnOnce(Checked, Option<Given<'_>>) -> T,
) -> T {
    let read = ParsedInputs::read(sources, &[]);
    let procedure = read.procedure();
    let checked = checked(sources, &read, procedure.as_ref(), None, as_of);
    let whole = procedure.as_ref().filter(|_| !read.unread);
    let limits: &Library = &read.limits;
    then(checked, whole.map(|procedure| Given { procedure, limits }))
}

fn estimated<T>(
    read: &ParsedInputs,
    sources: &Sources,
    as_of: NaiveDate,
    known: &EstimateCache,
    then: impl FnOnce(Checked, Option<(&Procedure<'_>, &Advice<'_>)>) -> T,
) -> T {
    let procedure = read.procedure();
    // An estimate from half of a spec would mislead.
    let whole = procedure.as_ref().filter(|_| !read.unread);
    let advice = whole.map(|procedure| Advice::with_cache(procedure, known));
    let checked = checked(sources, read, procedure.as_ref(), advice.as_ref(), as_of);
    then(checked, procedure.as_ref().zip(advice.as_ref()))
}

/// A spec and the files it names, read.
struct ParsedInputs {
    spec: Option<Spec>,
    /// The figures as they hold for the spec.
    limits: Cow<'static, Library>,
    findings: Vec<Finding>,
    /// Whether the spec gives a value that could not be read.
    unread: bool,
    /// Whether a reading of the confirmations could not be read.
    figures_unread: bool,
    /// The house style that the papers are set in.
    house: Option<House>,
    /// The records that the spec names.
    records: Records,
}

impl ParsedInputs {
    /// For papers in the languages that are asked for, or else the spec's.
    fn read(sources: &Sources, asked: &[Language]) -> Self {
        let (spec, mut findings) = spec::decode(&sources.spec().text);
        let records = match &spec {
            Some(spec) => record::records(spec, sources),
            None => Records::default(),
        };
        let unread = findings.iter().any(|finding| finding.rule.leaves_unread) || records.unread;
        findings.extend(records.findings.iter().cloned());
        let mut figures_unread = false;
        let limits = match &spec {
            Some(spec) => {
                let (limits, found) = confirm(spec, sources, library());
                figures_unread = found.iter().any(|finding| finding.rule.leaves_unread);
                findings.extend(found);
                limits
            }
            None => Cow::Borrowed(library()),
        };
        let of_papers = spec.as_ref().map(|spec| languages(spec, asked));
        let of_papers = of_papers.map(|(first, second)| [Some(first), second]);
        let of_papers: Vec<_> = of_papers.into_iter().flatten().flatten().collect();
        let (house, found) = house(sources, spec.as_ref(), &of_papers);
        findings.extend(found);
        let mut unfit = text::unfit(&sources.spec().text, &budget::SPEC);
        if let Some(house) = &house {
            let found = text::unfit_in(Role::House, sources.get(house.file)).into_iter();
            unfit.extend(found.map(|finding| finding.in_file(house.file)));
        }
        for (file, role, source) in sources.readable() {
            let found = text::unfit_in(role, source).into_iter();
            unfit.extend(found.map(|finding| finding.in_file(file)));
        }
        // Dots where a quantity belongs are found by its reader already.
        let place = |finding: &Finding| (finding.file, finding.span);
        let known: Vec<_> = findings.iter().map(place).collect();
        let is_new = |finding: &Finding| {
            let left_open = finding.rule.slug != spec::rules::NO_GLYPH.slug;
            !left_open || !known.contains(&place(finding))
        };
        findings.extend(unfit.into_iter().filter(is_new));
        findings.extend(spec::unfinished(&sources.spec().text));
        for (file, role, source) in sources.readable() {
            // An earlier revision is compared and not printed.
            if matches!(role, Role::Record | Role::Confirmations) {
                let found = spec::unfinished(&source.text).into_iter();
                findings.extend(found.map(|finding| finding.in_file(file)));
            }
        }
        Self {
            spec,
            limits,
            findings,
            unread,
            figures_unread,
            house,
            records,
        }
    }

    /// Whether a text has a character that would print as an empty box.
    fn unprintable(&self) -> bool {
        let slug = spec::rules::NO_GLYPH.slug;
        self.findings
            .iter()
            .any(|finding| finding.rule.slug == slug)
    }

    fn procedure(&self) -> Option<Procedure<'_>> {
        let procedure = resolve(self.spec.as_ref()?, &self.limits);
        Some(procedure.with_records(&self.records.files))
    }
}

fn checked(
    sources: &Sources,
    read: &ParsedInputs,
    procedure: Option<&Procedure<'_>>,
    advice: Option<&Advice<'_>>,
    as_of: NaiveDate,
) -> Checked {
    let mut findings = read.findings.clone();
    if let Some(procedure) = procedure {
        findings.extend(crate::process::check(&crate::rules::Context {
            procedure,
            limits: &read.limits,
            as_of,
            unread: read.unread || read.figures_unread,
            advice,
        }));
        findings.extend(from_tomorrow(sources, as_of));
    }
    finding::sort(&mut findings);
    Checked {
        identity: procedure.map(|procedure| identity(procedure.spec)),
        spec_digest: digest::spec_digest(sources),
        findings,
    }
}

fn identity(spec: &Spec) -> Identity {
    Identity {
        number: spec.number.value.clone(),
        // A spec without a revision is not decoded.
        revision: spec.revisions.last().map_or(0, |r| r.number.value),
    }
}

/// The date of the newest revision, which the papers of a spec carry.
fn dated(spec: &Spec) -> NaiveDate {
    let newest = spec.revisions.last();
    newest
        .map(|revision| revision.date.value)
        .unwrap_or_default()
}

/// Checks a spec and, unless there is an error, typesets its papers.
///
/// # Errors
/// [`TypesetError`] when a template of the program is at fault.
pub fn compile(
    sources: &Sources,
    options: &Options,
    as_of: NaiveDate,
) -> Result<Outcome, TypesetError> {
    typeset::forget();
    compile_with_cache(sources, options, as_of)
}

/// The same, without forgetting what was laid out before: while a spec is looked
/// at, that will be needed again. The papers are the same.
///
/// # Errors
/// As [`compile`].
pub(crate) fn compile_with_cache(
    sources: &Sources,
    options: &Options,
    as_of: NaiveDate,
) -> Result<Outcome, TypesetError> {
    let read = ParsedInputs::read(sources, &options.languages);
    let known = EstimateCache::default();
    estimated(&read, sources, as_of, &known, |checked, whole| {
        made(sources, options, checked, whole, &read)
    })
}

/// SHA-256 over every input, the options and the versions, in hexadecimal: where
/// it is the same, so are the papers.
pub(crate) fn build_digest(sources: &Sources, options: &Options) -> String {
    let mut inputs = vec![("spec", sources.spec().text.as_bytes())];
    let readable = sources.readable();
    inputs.extend(readable.map(|(_, role, file)| (role.word(), file.text.as_bytes())));
    let house: Vec<_> = sources
        .house()
        .filter_map(|(_, file)| Some((house_role(file), file.bytes.as_deref().ok()?)))
        .collect();
    inputs.extend(house.iter().map(|(role, bytes)| (role.as_str(), *bytes)));
    digest::build_digest(
        &inputs,
        &format!("{options:?}"),
        env!("COLDRING_PROGRAM"),
        library().version(),
    )
}

fn made(
    sources: &Sources,
    options: &Options,
    mut checked: Checked,
    whole: Option<(&Procedure<'_>, &Advice<'_>)>,
    read: &ParsedInputs,
) -> Result<Outcome, TypesetError> {
    let (papers, withheld) = match whole {
        Some((procedure, advice)) if !checked.has_error() => {
            match papers(&PaperBuilder::new(
                procedure, advice, sources, &checked, options, read,
            )) {
                Ok(papers) => papers,
                Err(error) => {
                    checked.findings.extend(of_house(read, error)?);
                    (Vec::new(), Vec::new())
                }
            }
        }
        _ => (Vec::new(), Vec::new()),
    };
    Ok(Outcome {
        checked,
        build_digest: build_digest(sources, options),
        papers,
        withheld,
    })
}

/// The language of the papers, and the second where there are two.
fn languages(spec: &Spec, asked: &[Language]) -> (Language, Option<Language>) {
    let of_spec = spec.documents.languages.iter().map(|l| l.value);
    let mut languages = match asked {
        [] => of_spec.collect(),
        asked => asked.to_vec(),
    }
    .into_iter();
    let first = languages.next().unwrap_or(Language::En);
    (first, languages.find(|second| *second != first))
}

/// The spec, the files it names and the house style, by the names they are
/// attached with: all that the paper can be made again from, but for records,
/// which name people and stay where they are.
fn attached(sources: &Sources) -> Vec<(String, &[u8])> {
    let mut attached = vec![("spec.yaml".to_owned(), sources.spec().text.as_bytes())];
    let readable = sources.readable();
    let impersonal = readable.filter(|(_, role, _)| *role != Role::Record);
    for (n, (_, role, file)) in impersonal.enumerate() {
        attached.push((
            format!("{}-{}.yaml", role.word(), n + 1),
            file.text.as_bytes(),
        ));
    }
    let house = sources
        .house()
        .filter_map(|(_, file)| Some((attached_name(file), file.bytes.as_deref().ok()?)));
    attached.extend(house);
    attached
}

fn to_json<T: serde::Serialize>(sheet: &T) -> Result<String, TypesetError> {
    serde_json::to_string(sheet).map_err(|error| TypesetError::new(error.to_string()))
}
