//! The papers of one spec: which are asked for, in which languages, and what
//! keeps one back.

use super::card::{card_print, card_sheet};
use super::proof::code;
use super::{
    Checked, Image, Made, Options, Pictures, Read, Withheld, attached, languages, required, to_json,
};
use crate::advice::Advice;
use crate::language::Language;
use crate::parallel;
use crate::resolve::Procedure;
use crate::sheets::{self, Frame, PaperKind};
use crate::source::Sources;
use crate::spec::{Paper, Status};
use crate::typeset::{Page, Print, Required, TypesetError, pictures, pixels, typeset};
use crate::units::print::with_decimal_mark;

/// Typesets the papers that are asked for, beside each other: of a cold build
/// the procedure takes about half the time, so two cores halve it.
pub fn papers(
    procedure: &Procedure<'_>,
    advice: &Advice<'_>,
    sources: &Sources,
    checked: &Checked,
    options: &Options,
    read: &Read,
) -> Result<(Vec<Made>, Vec<Withheld>), TypesetError> {
    let spec = procedure.spec;
    let paper = options
        .paper
        .or(spec.documents.paper.as_ref().map(|paper| paper.value))
        .or(read.house.as_ref().and_then(|house| house.paper))
        .unwrap_or(Paper::of_practice(procedure.practice()));
    let (first, second) = languages(spec, &options.languages);
    let press = Press {
        procedure,
        advice,
        sources,
        checked,
        options,
        read,
        paper,
        second,
    };
    let asked = PaperKind::ALL
        .into_iter()
        .filter(|kind| options.papers.contains(kind))
        .flat_map(|kind| {
            // A card has its second language on its other side.
            let second = second.filter(|_| kind != PaperKind::Card);
            let further = second.map(|second| (kind, second, Some(second)));
            [Some((kind, first, None)), further].into_iter().flatten()
        });
    let asked: Vec<_> = asked.collect();
    let done = parallel::map(&asked, |&(kind, language, further)| {
        press.paper(kind, language, further)
    });
    let (mut made, mut withheld) = (Vec::new(), Vec::new());
    for (paper, (_, _, further)) in done.into_iter().zip(asked) {
        match paper? {
            Ok(paper) => made.push(paper),
            // What keeps a paper back is told once, whatever its languages.
            Err(_) if further.is_some() => {}
            Err(reason) => withheld.push(reason),
        }
    }
    Ok((made, withheld))
}

/// The pictures of a paper's pages, where they are asked for.
fn pictured(
    print: &Print<'_>,
    pdf: &[u8],
    image: Option<Image>,
) -> Result<Option<Pictures>, TypesetError> {
    let Some(image) = image else { return Ok(None) };
    let pages = match image {
        Image::Svg => {
            let pages = pictures(print)?.into_iter();
            pages.map(String::into_bytes).collect()
        }
        Image::Png(dots_per_inch) => pixels(print, pdf, dots_per_inch)?,
    };
    Ok(Some(Pictures { image, pages }))
}

/// What the papers of a spec are made of.
struct Press<'a> {
    procedure: &'a Procedure<'a>,
    advice: &'a Advice<'a>,
    sources: &'a Sources,
    checked: &'a Checked,
    options: &'a Options,
    read: &'a Read,
    paper: Paper,
    /// The language of the card's other side.
    second: Option<Language>,
}

impl Press<'_> {
    /// One paper, or what keeps it back.
    fn paper(
        &self,
        kind: PaperKind,
        language: Language,
        further: Option<Language>,
    ) -> Result<Result<Made, Withheld>, TypesetError> {
        let Self {
            procedure,
            read,
            sources,
            options,
            paper,
            ..
        } = *self;
        let (spec, limits) = (procedure.spec, &*read.limits);
        // A withdrawn procedure must not reach a pocket or a pipe.
        if spec.status.value == Status::Withdrawn && kind != PaperKind::Procedure {
            let reason = "the procedure is withdrawn, so only the procedure is printed";
            return Ok(Err((kind, reason.into())));
        }
        let digest = &self.checked.spec_digest;
        let seal = options.seal.as_ref();
        let code = match seal.map(|seal| code(spec, kind, digest, seal)).transpose() {
            Ok(code) => code,
            Err(reason) => return Ok(Err(reason)),
        };
        let framed = |language| {
            let frame = read.frame(Frame::new(procedure, paper, digest, kind, language));
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
            attached: attached(sources),
            house: read.house_files(sources),
            required: Required::default(),
            code: code.as_ref().map(|code| code.qr.png.clone()),
            identity: format!(
                "{} {} {}",
                spec.number.value,
                self.checked.spec_digest,
                kind.file_name_in(further)
            ),
            date: spec
                .revisions
                .last()
                .map(|revision| revision.date.value)
                .unwrap_or_default(),
        };
        let mark = language.decimal_mark(procedure.practice());
        let (page, sheet) = match kind {
            PaperKind::Procedure => (
                Page::Procedure,
                to_json(&with_decimal_mark(mark, || {
                    sheets::procedure(
                        procedure,
                        self.advice,
                        &self.checked.findings,
                        limits,
                        frame,
                    )
                })),
            ),
            PaperKind::Card => {
                let card = card_sheet(procedure, limits, frame, self.second.map(framed));
                match card_print(procedure, limits, card, paper, options, &print)? {
                    Ok(card) => (Page::Card, to_json(&card)),
                    Err(reason) => return Ok(Err(reason)),
                }
            }
            PaperKind::DepthMarks => match with_decimal_mark(mark, || {
                sheets::depth_marks(procedure, limits, frame, options.correction)
            }) {
                Some(sheet) => (Page::DepthMarks, to_json(&sheet)),
                None => {
                    let reason = "no size has a depth that a strip could mark";
                    return Ok(Err((kind, reason.into())));
                }
            },
        };
        let sheet = sheet?;
        read.words_held(sources, &words)?;
        let required = required(&sheet, kind, &words);
        let print = Print {
            required,
            ..print(page, sheet)
        };
        let bytes = typeset(&print)?;
        Ok(Ok(Made {
            kind,
            further,
            pictures: pictured(&print, &bytes, options.image)?,
            bytes,
        }))
    }
}
