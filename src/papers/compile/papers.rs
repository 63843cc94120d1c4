//! Makes the papers of one spec: which are requested, in which languages, and
//! what prevents one.

use super::card::{card_print, card_sheet};
use super::proof::code;
use super::{
    Checked, Image, Options, ParsedInputs, Pictures, TypesetPaper, Withheld, attachments,
    languages, paper_date, to_json,
};
use crate::core::finding::Finding;
use crate::core::parallel;
use crate::core::source::{FileId, Sources};
use crate::core::units::print::with_decimal_mark;
use crate::papers::sheets::{Frame, PaperKind};
use crate::papers::typeset::{Page, Print, TypesetError, pictures, pixels, typeset};
use crate::procedure::resolve::Procedure;
use crate::process::Process;
use crate::process::socket::heat::advice::Advice;
use crate::process::socket::sheets::PlacedFinding;
use crate::spec::language::Language;
use crate::spec::{Paper, Status};

/// Typesets the requested papers in parallel. In a cold build the procedure takes
/// about half the time, so two cores halve it.
pub(crate) fn papers(
    builder: &PaperBuilder<'_>,
) -> Result<(Vec<TypesetPaper>, Vec<Withheld>), TypesetError> {
    let requested = builder.requested_papers();
    let done = parallel::map(&requested, |requested| -> Result<_, TypesetError> {
        Ok(match builder.print(*requested)? {
            Ok(print) => {
                let bytes = typeset(&print)?;
                Ok(TypesetPaper {
                    kind: requested.kind,
                    further: requested.further,
                    pictures: page_pictures(&print, &bytes, builder.options.image)?,
                    bytes,
                })
            }
            Err(reason) => Err(reason),
        })
    });
    let (mut made, mut withheld) = (Vec::new(), Vec::new());
    for (paper, requested) in done.into_iter().zip(requested) {
        match paper? {
            Ok(paper) => made.push(paper),
            // The reason is reported once, not once per language.
            Err(_) if requested.further.is_some() => {}
            Err(reason) => withheld.push(reason),
        }
    }
    Ok((made, withheld))
}

/// Pictures of a paper's pages, if requested.
fn page_pictures(
    print: &Print<'_>,
    pdf: &[u8],
    image: Option<Image>,
) -> Result<Option<Pictures>, TypesetError> {
    let Some(image) = image else { return Ok(None) };
    let pages = match image {
        Image::Svg => {
            let pages = pictures(print)?;
            let drawn = pages
                .iter()
                .map(|page| page.svg().into_owned().into_bytes());
            drawn.collect()
        }
        Image::Png(dots_per_inch) => pixels(print, pdf, dots_per_inch)?,
    };
    Ok(Some(Pictures { image, pages }))
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct RequestedPaper {
    pub(crate) kind: PaperKind,
    pub(crate) language: Language,
    /// Its language, if it is not the spec's first.
    pub(crate) further: Option<Language>,
}

/// Everything the papers of a spec are made from.
pub(crate) struct PaperBuilder<'a> {
    procedure: &'a Procedure<'a>,
    /// `None` where no paper is made that prints them.
    advice: Option<&'a Advice<'a>>,
    sources: &'a Sources,
    checked: &'a Checked,
    options: &'a Options,
    inputs: &'a ParsedInputs,
    paper: Paper,
    first: Language,
    /// The language on the back of the card.
    second: Option<Language>,
    /// Printed instead of the spec's digest in a preview.
    in_place_of_digest: Option<&'static str>,
}

impl<'a> PaperBuilder<'a> {
    pub(crate) fn new(
        procedure: &'a Procedure<'a>,
        advice: Option<&'a Advice<'a>>,
        sources: &'a Sources,
        checked: &'a Checked,
        options: &'a Options,
        inputs: &'a ParsedInputs,
    ) -> Self {
        let spec = procedure.spec;
        let paper = inputs.paper(options.paper, procedure);
        let (first, second) = languages(spec, &options.languages);
        Self {
            procedure,
            advice,
            sources,
            checked,
            options,
            inputs,
            paper,
            first,
            second,
            in_place_of_digest: None,
        }
    }

    /// For a preview: attaches nothing and prints `word` instead of the digest.
    pub(crate) fn preview(self, word: &'static str) -> Self {
        Self {
            in_place_of_digest: Some(word),
            ..self
        }
    }

    /// The requested papers, in the order they are made.
    pub(crate) fn requested_papers(&self) -> Vec<RequestedPaper> {
        let kinds = PaperKind::ALL.into_iter();
        let kinds = kinds.filter(|kind| self.options.papers.contains(kind));
        let requested = kinds.flat_map(|kind| {
            let first = RequestedPaper {
                kind,
                language: self.first,
                further: None,
            };
            // A card carries its second language on its back.
            let second = self.second.filter(|_| kind != PaperKind::Card);
            let second = second.map(|language| RequestedPaper {
                kind,
                language,
                further: Some(language),
            });
            [Some(first), second].into_iter().flatten()
        });
        requested.collect()
    }

    /// The findings, with the lines of the spec that they are about.
    fn placed_findings(&self) -> Vec<PlacedFinding<'_>> {
        let line = |finding: &Finding| {
            let span = finding.span.filter(|_| finding.file == FileId::SPEC)?;
            Some(self.sources.spec().line_column(span.start).line)
        };
        let findings = self.checked.findings.iter();
        let placed = findings.map(|finding| PlacedFinding {
            finding,
            line: line(finding),
        });
        placed.collect()
    }

    /// What to typeset for one paper, or the reason it cannot be made.
    pub(crate) fn print(
        &self,
        requested: RequestedPaper,
    ) -> Result<Result<Print<'a>, Withheld>, TypesetError> {
        let RequestedPaper {
            kind,
            language,
            further,
        } = requested;
        let Self {
            procedure,
            inputs,
            sources,
            options,
            paper,
            ..
        } = *self;
        let (spec, limits) = (procedure.spec, &*inputs.limits);
        // A withdrawn procedure must not end up in a pocket, in a tool box or on a pipe; nor
        // is there a reason to look up the sources of a number that nobody works by.
        if spec.status.value == Status::Withdrawn && kind != PaperKind::Procedure {
            let reason = "the procedure is withdrawn, so only the procedure is printed";
            return Ok(Err((kind, reason.into())));
        }
        let digest = self.in_place_of_digest.unwrap_or(&self.checked.spec_digest);
        let seal = options.seal.as_ref();
        let code = match seal.map(|seal| code(spec, kind, digest, seal)).transpose() {
            Ok(code) => code,
            Err(reason) => return Ok(Err(reason)),
        };
        let framed = |language| {
            let mut frame = inputs.frame(Frame::new(procedure, paper, digest, kind, language));
            // Metadata are part of every block's style, so each change of the
            // title would lay out every block again.
            frame.metadata = self.in_place_of_digest.is_none();
            match &code {
                Some(code) => frame.with_code(code.qr.modules, &code.key_id),
                None => frame,
            }
        };
        let frame = framed(language);
        let words = frame.words.clone();
        let print = |page, sheet| Print {
            page,
            sheet,
            attached: match self.in_place_of_digest {
                Some(_) => Vec::new(),
                None => attachments(sources),
            },
            house: inputs.house_files(sources),
            code: code.as_ref().map(|code| code.qr.png.clone()),
            identity: format!(
                "{} {} {}",
                spec.number.value,
                self.checked.spec_digest,
                kind.file_name_in(further)
            ),
            date: paper_date(spec),
        };
        let process = Process::of_spec(procedure.spec);
        let mark = language.decimal_mark(procedure.practice());
        let (page, sheet) = match kind {
            PaperKind::Procedure => (
                Page::Procedure,
                to_json(&with_decimal_mark(mark, || {
                    (process.procedure)(procedure, limits, frame)
                })),
            ),
            PaperKind::Sources => {
                let advice = self.advice;
                let advice = advice.ok_or_else(|| TypesetError::new("no estimates were made"))?;
                (
                    Page::Sources,
                    to_json(&with_decimal_mark(mark, || {
                        (process.sources)(procedure, advice, &self.placed_findings(), limits, frame)
                    })),
                )
            }
            PaperKind::Lid => (
                Page::Lid,
                to_json(&with_decimal_mark(mark, || {
                    (process.lid)(procedure, limits, frame)
                })),
            ),
            PaperKind::Card => {
                let other = self.second.map(framed);
                let other_words = other.as_ref().map(|frame| frame.words.clone());
                let card = card_sheet(procedure, limits, frame, other);
                // Check the words before fitting: a failed clause may be why the
                // card does not fit.
                for words in other_words.iter().chain([&words]) {
                    inputs.check_clauses(sources, words)?;
                }
                match card_print(procedure, limits, &card, paper, options) {
                    Ok(card) => (Page::Card, to_json(&card)),
                    Err(reason) => return Ok(Err(reason)),
                }
            }
            PaperKind::DepthMarks => match with_decimal_mark(mark, || {
                (process.depth_marks)(procedure, limits, frame, options.correction)
            }) {
                Some(sheet) => (Page::DepthMarks, to_json(&sheet)),
                None => {
                    let reason = "no size has a measured depth yet";
                    return Ok(Err((kind, reason.into())));
                }
            },
        };
        let sheet = sheet?;
        inputs.check_clauses(sources, &words)?;
        Ok(Ok(print(page, sheet)))
    }
}
