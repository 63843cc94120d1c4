//! Compiles one spec: text in, findings and papers out. Reads no file and no
//! clock; the date that findings compare with is passed in.

mod card;
mod compare;
mod earlier;
mod forms;
mod in_house;
mod papers;
mod pictures;
mod proof;
mod roster;
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
pub(crate) use forms::{FormKind, FormsOrder, forms};
use in_house::house_findings;
use papers::{PaperBuilder, papers};
pub(crate) use pictures::{PaperPictures, Preview, PreviewEvent};
pub(crate) use roster::read_roster;
pub(crate) use submittal::{CompiledSubmittal, submittal};
pub use text::check_roster_text;
pub(crate) use wallet::{WalletFile, WalletOutcome};
pub use wallet::{WalletOptions, WalletOrder, wallet};
pub(crate) use worksheet::{Worksheet, worksheet};

/// What the user asks for besides the spec.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// The papers to make.
    pub papers: Vec<PaperKind>,
    /// The paper size, to override the spec's.
    pub paper: Option<Paper>,
    /// The size cards are cut to, to override the spec's.
    pub card_trim: Option<CardTrim>,
    /// How a card's front and back are joined, to override the spec's.
    pub flip: Option<Flip>,
    /// The printer's scale error; only depth marks are corrected for it.
    pub correction: Option<Correction>,
    /// The languages, to override the spec's.
    pub languages: Vec<Language>,
    /// The signing key; without it papers carry no signed code.
    pub seal: Option<Seal>,
    /// Image format of the page pictures to make with each paper.
    pub image: Option<Image>,
}

impl Options {
    /// Whether the heat model runs: one paper prints its estimates, and for a card alone
    /// it would take as long as all the rest.
    pub(crate) fn needs_estimates(&self) -> bool {
        self.papers.contains(&PaperKind::Sources)
    }
}

/// Image format of page pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Image {
    /// Vector outlines at true size.
    Svg,
    /// Pixels, at this many dots per inch.
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

/// Procedure number and revision of a spec that could be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identity {
    /// Procedure number.
    pub number: String,
    /// Current revision.
    pub revision: u32,
}

/// The result of checking a spec.
#[derive(Debug)]
pub struct Checked {
    /// `None` if the spec could not be read.
    pub identity: Option<Identity>,
    /// SHA-256 of the spec and the files it names, in hexadecimal.
    pub spec_digest: String,
    /// All findings, in text order.
    pub findings: Vec<Finding>,
}

impl Checked {
    pub(crate) fn has_error(&self) -> bool {
        let mut severities = self.findings.iter().map(Finding::severity);
        severities.any(|severity| severity == Severity::Error)
    }
}

/// A finished paper.
#[derive(Debug)]
pub struct TypesetPaper {
    /// Which paper.
    pub kind: PaperKind,
    /// Its language, if it is not the spec's first.
    pub further: Option<Language>,
    /// The PDF.
    pub bytes: Vec<u8>,
    /// Pictures of its pages, if requested.
    pub pictures: Option<Pictures>,
}

/// Pictures of the pages of a paper.
#[derive(Debug)]
pub struct Pictures {
    /// Their format.
    pub image: Image,
    /// One file per page.
    pub pages: Vec<Vec<u8>>,
}

impl TypesetPaper {
    pub(crate) fn file_name(&self) -> String {
        self.kind.file_name_in(self.further)
    }

    /// Every file of the paper, by name: the PDF, then its page pictures, as in
    /// `procedure-01.png`.
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

/// A requested paper that cannot be made, and why.
pub(crate) type Withheld = (PaperKind, Cow<'static, str>);

/// The result of compiling a spec.
#[derive(Debug)]
pub struct Outcome {
    /// The findings.
    pub checked: Checked,
    /// SHA-256 of every input, the options, and the versions, in hexadecimal.
    pub build_digest: String,
    /// The papers; none if there is an error.
    pub papers: Vec<TypesetPaper>,
    /// Requested papers that cannot be made, with the reason.
    pub withheld: Vec<Withheld>,
}

/// Checks a spec against the published numbers and against itself. Does not run
/// the heat model, so the heat rules find nothing.
pub fn check(sources: &Sources, as_of: NaiveDate) -> Checked {
    let inputs = ParsedInputs::read(sources, &[]);
    let procedure = inputs.procedure();
    check_inputs(sources, &inputs, procedure.as_ref(), None, as_of)
}

/// Checks a spec as [`check`] does, and runs the heat model too.
pub fn check_with_heat(sources: &Sources, as_of: NaiveDate) -> Checked {
    with_advice(sources, as_of, |checked, _| checked)
}

/// Checks a spec, heat model included. If the whole spec can be read, passes the
/// procedure and its estimates to `then`.
pub(crate) fn with_advice<T>(
    sources: &Sources,
    as_of: NaiveDate,
    then: impl FnOnce(Checked, Option<(&Procedure<'_>, &Advice<'_>)>) -> T,
) -> T {
    let cache = EstimateCache::default();
    with_estimates(
        &ParsedInputs::read(sources, &[]),
        sources,
        as_of,
        &cache,
        then,
    )
}

/// A procedure with the numbers that apply to it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ResolvedSpec<'p> {
    pub(crate) procedure: &'p Procedure<'p>,
    /// The published numbers, as the spec confirms them.
    pub(crate) limits: &'p Library,
}

/// Checks a spec as [`check`] does. If the whole spec can be read, passes the
/// procedure to `then`.
pub(crate) fn with_procedure<T>(
    sources: &Sources,
    as_of: NaiveDate,
    then: impl FnOnce(Checked, Option<ResolvedSpec<'_>>) -> T,
) -> T {
    let inputs = ParsedInputs::read(sources, &[]);
    let procedure = inputs.procedure();
    let checked = check_inputs(sources, &inputs, procedure.as_ref(), None, as_of);
    let whole = procedure.as_ref().filter(|_| !inputs.unread);
    let limits: &Library = &inputs.limits;
    then(
        checked,
        whole.map(|procedure| ResolvedSpec { procedure, limits }),
    )
}

fn with_estimates<T>(
    inputs: &ParsedInputs,
    sources: &Sources,
    as_of: NaiveDate,
    cache: &EstimateCache,
    then: impl FnOnce(Checked, Option<(&Procedure<'_>, &Advice<'_>)>) -> T,
) -> T {
    let procedure = inputs.procedure();
    // An estimate from half a spec would mislead.
    let whole = procedure.as_ref().filter(|_| !inputs.unread);
    let advice = whole.map(|procedure| Advice::with_cache(procedure, cache));
    let checked = check_inputs(sources, inputs, procedure.as_ref(), advice.as_ref(), as_of);
    then(checked, procedure.as_ref().zip(advice.as_ref()))
}

/// A spec and the files it names, parsed.
#[derive(Debug)]
struct ParsedInputs {
    spec: Option<Spec>,
    /// The published numbers, with the spec's confirmations applied.
    limits: Cow<'static, Library>,
    findings: Vec<Finding>,
    /// Whether some value in the spec could not be read.
    unread: bool,
    /// Whether some value in the confirmations could not be read.
    confirmations_unread: bool,
    house: Option<House>,
    records: Records,
}

impl ParsedInputs {
    /// Parses the inputs for papers in the requested languages, or the spec's
    /// own.
    fn read(sources: &Sources, requested: &[Language]) -> Self {
        let (spec, mut findings) = spec::decode(&sources.spec().text);
        let records = match &spec {
            Some(spec) => record::records(spec, sources),
            None => Records::default(),
        };
        let unread = findings.iter().any(|finding| finding.rule.leaves_unread) || records.unread;
        findings.extend(records.findings.iter().cloned());
        let mut confirmations_unread = false;
        let limits = match &spec {
            Some(spec) => {
                let (limits, found) = confirm(spec, sources, library());
                confirmations_unread = found.iter().any(|finding| finding.rule.leaves_unread);
                findings.extend(found);
                limits
            }
            None => Cow::Borrowed(library()),
        };
        let of_papers = spec.as_ref().map(|spec| languages(spec, requested));
        let of_papers = of_papers.map(|(first, second)| [Some(first), second]);
        let of_papers: Vec<_> = of_papers.into_iter().flatten().flatten().collect();
        let (house, found) = house(sources, spec.as_ref(), &of_papers);
        findings.extend(found);
        let mut text_findings = text::check_text(&sources.spec().text, &budget::SPEC);
        if let Some(house) = &house {
            let found = text::check_file(Role::House, sources.get(house.file)).into_iter();
            text_findings.extend(found.map(|finding| finding.in_file(house.file)));
        }
        for (file, role, source) in sources.readable() {
            let found = text::check_file(role, source).into_iter();
            text_findings.extend(found.map(|finding| finding.in_file(file)));
        }
        for finding in text_findings {
            add_text_finding(&mut findings, finding);
        }
        findings.extend(spec::unfinished(&sources.spec().text));
        for (file, role, source) in sources.readable() {
            // An earlier revision is compared but not printed.
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
            confirmations_unread,
            house,
            records,
        }
    }

    /// Whether any text has a character that the fonts lack.
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

/// Adds a finding about a text. The reader of a blank has said that it is no quantity, no
/// size, no date: it is a blank first, and what to write there is what the reader said.
fn add_text_finding(findings: &mut Vec<Finding>, finding: Finding) {
    let place = |finding: &Finding| (finding.file, finding.span);
    let is_blank = finding.rule.slug == spec::rules::BLANK_LEFT.slug;
    let is_example = finding.rule.slug == spec::rules::EXAMPLE_LEFT.slug;
    let read = findings
        .iter_mut()
        .find(|read| place(read) == place(&finding));
    match read {
        Some(read) if is_blank => {
            let help = read.help.take();
            *read = match help {
                Some(help) => finding.help(help),
                None => finding,
            };
        }
        Some(_) if is_example => {}
        _ => findings.push(finding),
    }
}

fn check_inputs(
    sources: &Sources,
    inputs: &ParsedInputs,
    procedure: Option<&Procedure<'_>>,
    advice: Option<&Advice<'_>>,
    as_of: NaiveDate,
) -> Checked {
    let mut findings = inputs.findings.clone();
    if let Some(procedure) = procedure {
        findings.extend(crate::process::check(&crate::rules::Context {
            procedure,
            limits: &inputs.limits,
            as_of,
            unread: inputs.unread || inputs.confirmations_unread,
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

/// The date of the newest revision, which is the date of the papers.
fn paper_date(spec: &Spec) -> NaiveDate {
    let newest = spec.revisions.last();
    newest
        .map(|revision| revision.date.value)
        .unwrap_or_default()
}

/// Checks a spec and, unless there is an error, typesets its papers.
///
/// # Errors
/// [`TypesetError`] if one of our own templates fails.
pub fn compile(
    sources: &Sources,
    options: &Options,
    as_of: NaiveDate,
) -> Result<Outcome, TypesetError> {
    typeset::clear_cache();
    compile_with_cache(sources, options, as_of)
}

/// Like [`compile`], but keeps typst's cache for the next run on the same spec.
/// The papers are the same.
///
/// # Errors
/// As [`compile`].
pub(crate) fn compile_with_cache(
    sources: &Sources,
    options: &Options,
    as_of: NaiveDate,
) -> Result<Outcome, TypesetError> {
    let inputs = ParsedInputs::read(sources, &options.languages);
    if !options.needs_estimates() {
        let procedure = inputs.procedure();
        let checked = check_inputs(sources, &inputs, procedure.as_ref(), None, as_of);
        let whole = procedure.as_ref().filter(|_| !inputs.unread);
        let whole = whole.map(|procedure| (procedure, None));
        return compile_papers(sources, options, checked, whole, &inputs);
    }
    let cache = EstimateCache::default();
    with_estimates(&inputs, sources, as_of, &cache, |checked, whole| {
        let whole = whole.map(|(procedure, advice)| (procedure, Some(advice)));
        compile_papers(sources, options, checked, whole, &inputs)
    })
}

/// SHA-256 of every input, the options, and the versions, in hexadecimal. Equal
/// digests mean equal papers.
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

fn compile_papers(
    sources: &Sources,
    options: &Options,
    mut checked: Checked,
    whole: Option<(&Procedure<'_>, Option<&Advice<'_>>)>,
    inputs: &ParsedInputs,
) -> Result<Outcome, TypesetError> {
    let (papers, withheld) = match whole {
        Some((procedure, advice)) if !checked.has_error() => {
            match papers(&PaperBuilder::new(
                procedure, advice, sources, &checked, options, inputs,
            )) {
                Ok(papers) => papers,
                Err(error) => {
                    checked.findings.extend(house_findings(inputs, error)?);
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

/// The papers' language, and the second one if there are two.
fn languages(spec: &Spec, requested: &[Language]) -> (Language, Option<Language>) {
    let of_spec = spec.documents.languages.iter().map(|l| l.value);
    let mut languages = match requested {
        [] => of_spec.collect(),
        requested => requested.to_vec(),
    }
    .into_iter();
    let first = languages.next().unwrap_or(Language::En);
    (first, languages.find(|second| *second != first))
}

/// The files to attach, by name: the spec, the files it names, and the house
/// style. That is everything needed to make the paper again, except records,
/// which name people and are never attached.
fn attachments(sources: &Sources) -> Vec<(String, &[u8])> {
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
