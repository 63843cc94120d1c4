//! The whole way of one spec: text in, findings and papers out. No file is
//! read, no clock is asked; the date findings compare with is handed in.

use chrono::NaiveDate;

use crate::digest;
use crate::finding::{self, Finding, Severity};
use crate::limits::{Library, library};
use crate::resolve::{Procedure, resolve};
pub use crate::sheets::PaperKind;
use crate::sheets::{self, Frame};
use crate::source::Source;
use crate::spec::{self, Paper, Spec, Status};
use crate::typeset::{self, Page, Print, TypesetError, typeset};

/// What the user asks for beside the spec.
#[derive(Debug, Clone)]
pub struct Options {
    /// The papers to make.
    pub papers: Vec<PaperKind>,
    /// The paper to print on, when the spec's own choice is to be overruled.
    pub paper: Option<Paper>,
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
    /// SHA-256 of the spec's bytes, in hexadecimal.
    pub spec_digest: String,
    /// Every finding, in the order of the text.
    pub findings: Vec<Finding>,
}

/// A paper, typeset.
#[derive(Debug)]
pub struct Made {
    /// Which.
    pub kind: PaperKind,
    /// The PDF.
    pub bytes: Vec<u8>,
}

/// A paper that was asked for and cannot be made, and why.
pub type Withheld = (PaperKind, &'static str);

/// A spec, compiled.
#[derive(Debug)]
pub struct Outcome {
    /// What checking it found.
    pub checked: Checked,
    /// SHA-256 over every input, the options and the versions, in hexadecimal.
    pub build_digest: String,
    /// The papers; none when there is an error.
    pub papers: Vec<Made>,
    /// The papers that were asked for and cannot be made, with the reason.
    pub withheld: Vec<Withheld>,
}

/// Checks a spec against the published figures and against itself.
pub fn check(source: &Source, as_of: NaiveDate) -> Checked {
    let (spec, findings) = spec::decode(&source.text);
    checked(source, spec.as_ref(), findings, as_of).0
}

fn checked<'s>(
    source: &Source,
    spec: Option<&'s Spec>,
    mut findings: Vec<Finding>,
    as_of: NaiveDate,
) -> (Checked, Option<Procedure<'s>>) {
    let procedure = spec.map(|spec| resolve(spec, library()));
    let unread = findings.iter().any(spec::rules::leaves_value_unread);
    if let Some(procedure) = &procedure {
        findings.extend(crate::check::check(&crate::check::Context {
            procedure,
            limits: library(),
            as_of,
            unread,
        }));
    }
    findings.extend(without_glyph(&source.text));
    finding::sort(&mut findings);
    let checked = Checked {
        identity: spec.map(identity),
        spec_digest: digest::sha256(source.text.as_bytes()),
        findings,
    };
    (checked, procedure)
}

/// Findings for characters that no embedded font can draw. The fonts are only
/// opened for characters beyond those that every Latin font has.
fn without_glyph(text: &str) -> Vec<Finding> {
    let rare = |c: &char| *c > '\u{17F}';
    if !text.chars().any(|c| rare(&c)) {
        return Vec::new();
    }
    spec::scalars(text)
        .iter()
        .filter_map(|scalar| {
            let c = scalar.chars().find(|c| rare(c) && !typeset::can_draw(*c))?;
            Some(spec::rules::NO_GLYPH.at(
                scalar.span,
                format!("no embedded font can draw '{c}' (U+{:04X})", u32::from(c)),
            ))
        })
        .collect()
}

fn identity(spec: &Spec) -> Identity {
    Identity {
        number: spec.number.value.clone(),
        // A spec without a revision is not decoded.
        revision: spec.revisions.last().map_or(0, |r| r.number.value),
    }
}

/// Checks a spec and, unless there is an error, typesets its papers.
///
/// # Errors
/// [`TypesetError`] when a template of the program is at fault.
pub fn compile(
    source: &Source,
    options: &Options,
    as_of: NaiveDate,
) -> Result<Outcome, TypesetError> {
    let (spec, findings) = spec::decode(&source.text);
    let (checked, procedure) = checked(source, spec.as_ref(), findings, as_of);
    let build_digest = digest::build_digest(
        &[("spec", source.text.as_bytes())],
        &format!("{options:?}"),
        env!("CARGO_PKG_VERSION"),
        library().version(),
    );
    let has_error = checked
        .findings
        .iter()
        .any(|finding| finding.severity() == Severity::Error);
    let (papers, withheld) = match &procedure {
        Some(procedure) if !has_error => papers(procedure, source, &checked, options, library())?,
        _ => (Vec::new(), Vec::new()),
    };
    Ok(Outcome {
        checked,
        build_digest,
        papers,
        withheld,
    })
}

fn papers(
    procedure: &Procedure<'_>,
    source: &Source,
    checked: &Checked,
    options: &Options,
    limits: &Library,
) -> Result<(Vec<Made>, Vec<Withheld>), TypesetError> {
    let spec = procedure.spec;
    let paper = options
        .paper
        .or(spec.documents.paper.as_ref().map(|paper| paper.value))
        .unwrap_or(Paper::Letter);
    let (mut made, mut withheld) = (Vec::new(), Vec::new());
    for kind in PaperKind::ALL {
        if !options.papers.contains(&kind) {
            continue;
        }
        // A withdrawn procedure must not reach a pocket or a pipe.
        if spec.status.value == Status::Withdrawn && kind != PaperKind::Procedure {
            withheld.push((
                kind,
                "the procedure is withdrawn, so only the procedure is printed",
            ));
            continue;
        }
        let frame = Frame::new(procedure, paper, &checked.spec_digest, kind);
        let (page, sheet) = match kind {
            PaperKind::Procedure => (
                Page::Procedure,
                to_json(&sheets::procedure(
                    procedure,
                    &checked.findings,
                    limits,
                    frame,
                )),
            ),
            PaperKind::Card => (Page::Card, to_json(&sheets::card(procedure, limits, frame))),
            PaperKind::DepthMarks => match sheets::depth_marks(procedure, frame) {
                Some(sheet) => (Page::DepthMarks, to_json(&sheet)),
                None => {
                    withheld.push((kind, "no size has a depth that a strip could mark"));
                    continue;
                }
            },
        };
        let bytes = typeset(&Print {
            page,
            sheet: sheet?,
            spec: &source.text,
            identity: format!(
                "{} {} {}",
                spec.number.value,
                checked.spec_digest,
                kind.file_name()
            ),
            date: spec
                .revisions
                .last()
                .map(|revision| revision.date.value)
                .unwrap_or_default(),
        })?;
        made.push(Made { kind, bytes });
    }
    Ok((made, withheld))
}

fn to_json<T: serde::Serialize>(sheet: &T) -> Result<String, TypesetError> {
    serde_json::to_string(sheet).map_err(|error| TypesetError {
        messages: vec![error.to_string()],
    })
}
