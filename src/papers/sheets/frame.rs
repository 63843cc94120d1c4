//! What every paper carries: the organization, number, revision, status, and the
//! digest that ties it to its spec.

use std::sync::Arc;

use chrono::Datelike;
use serde::{Serialize, Serializer};

use super::clause::Clause;
use super::clauses::{Clauses, Language};
use super::house::{HouseLook, HouseStyle, Words};
use super::standing::Standing;
use crate::core::digest;
use crate::papers::fonts::line_width;
use crate::papers::sheets::PaperKind;
use crate::procedure::resolve::Procedure;
use crate::published::library;
use crate::spec::Paper;

/// A signed code; its picture is a file beside the sheet data.
#[derive(Debug, Clone, Serialize)]
pub struct PrintedCode {
    /// Modules per side.
    pub modules: usize,
    /// The line under it.
    pub label: String,
    /// Alternative text.
    pub alt: String,
}

/// The data and wording that every paper carries.
#[derive(Debug, Clone, Serialize)]
pub struct Frame {
    /// The paper's language.
    pub lang: Language,
    /// Language of the author's texts, if it is another.
    pub text_lang: Option<Language>,
    /// The paper, as typst names it.
    #[serde(serialize_with = "typst_name")]
    pub paper: Paper,
    /// The paper size in words.
    pub paper_name: String,
    /// What the paper is: `Socket fusion procedure`.
    pub name: String,
    /// Its type size in the title block, in points.
    pub name_pt: f64,
    /// Title of the procedure.
    pub title: String,
    /// Title of the paper, for its metadata.
    pub document_title: String,
    /// The issuing organization.
    pub organization: String,
    /// Number of the procedure.
    pub number: String,
    /// Its type size in the title block, in points, so that it stays on one line.
    pub number_pt: f64,
    /// The revision.
    pub revision: String,
    /// Date of the revision.
    pub date: String,
    /// The same date: year, month, day.
    pub date_parts: (i32, u32, u32),
    /// The status as a keyword for the template.
    pub status: &'static str,
    /// The tag of a paper that nobody may work from as it stands: `DRAFT`.
    pub tag: Option<String>,
    /// The status as printed: `DRAFT`, or the record that a qualified procedure
    /// rests on and the day it takes effect.
    pub status_line: String,
    /// The same without the day, where [`Frame::effective_line`] stands beside it.
    pub record_line: String,
    /// From when the revision counts, as a line: `effective 2026-10-01, not before`.
    pub effective_line: String,
    /// Digest of the spec.
    pub digest: String,
    /// Label of the digest.
    pub digest_label: String,
    /// Version of the published tables.
    pub tables_line: String,
    /// Label of the revision.
    pub revision_label: String,
    /// The reminder to check for the current revision.
    pub check_line: String,
    /// Legend of the verify mark.
    pub verify_legend: String,
    /// The word before the page number.
    pub page_label: String,
    /// The word between page number and page count.
    pub of_label: String,
    /// The signed code, if the paper has one.
    pub code: Option<PrintedCode>,
    /// Whether to write document metadata; a preview picture has none.
    pub metadata: bool,
    /// Which house style it is, as printed.
    pub house_line: Option<String>,
    /// What the pages draw of the house style.
    pub house: Option<HouseLook>,
    /// The house style.
    #[serde(skip)]
    pub style: Arc<HouseStyle>,
    #[serde(skip)]
    /// The wording.
    pub words: Words,
}

impl Frame {
    /// The frame of one paper; `digest` is the spec's, in hexadecimal.
    pub fn new(
        procedure: &Procedure,
        paper: Paper,
        digest: &str,
        kind: PaperKind,
        lang: Language,
    ) -> Self {
        let spec = procedure.spec;
        let words = Clauses::load(lang);
        let say = |clause| words.render(clause);
        let last = spec.revisions.last();
        let revision = last.map_or_else(String::new, |r| r.number.value.to_string());
        let date = last.map(|r| r.date.value).unwrap_or_default();
        let standing = Standing::new(procedure, words);
        let name = say(kind.title());
        Self {
            lang,
            text_lang: spec
                .documents
                .text_language
                .as_ref()
                .map(|written| written.value)
                .filter(|written| *written != lang),
            paper,
            paper_name: say(match paper {
                Paper::Letter => Clause::PaperLetter,
                Paper::A4 => Clause::PaperA4,
            }),
            name_pt: name_pt(&name),
            title: spec.title.value.clone(),
            document_title: say(Clause::DocumentTitle {
                paper: name.clone(),
                number: spec.number.value.clone(),
                revision: revision.clone(),
                title: spec.title.value.clone(),
            }),
            name,
            organization: spec.organization.value.clone(),
            number: spec.number.value.clone(),
            number_pt: number_pt(&spec.number.value, standing.tag.as_deref()),
            revision,
            date: date.to_string(),
            date_parts: (date.year(), date.month(), date.day()),
            status: standing.status,
            tag: standing.tag,
            status_line: standing.status_line,
            record_line: standing.record_line,
            effective_line: standing.effective_line,
            digest: digest::short(digest).to_owned(),
            digest_label: say(Clause::DigestLabel),
            tables_line: say(Clause::TablesLine {
                version: library().version().to_owned(),
            }),
            revision_label: say(Clause::RevisionLabel),
            check_line: say(Clause::CheckLine),
            verify_legend: say(Clause::VerifyLegend),
            page_label: say(Clause::PageLabel),
            of_label: say(Clause::OfLabel),
            code: None,
            metadata: true,
            house_line: None,
            house: None,
            style: Arc::default(),
            words: Words::Program(words),
        }
    }

    /// Names the document after a paper that is not one of the procedure's own.
    pub(crate) fn name_document(&mut self, paper: &str) {
        self.document_title = self.words.render(Clause::DocumentTitle {
            paper: paper.to_owned(),
            number: self.number.clone(),
            revision: self.revision.clone(),
            title: self.title.clone(),
        });
    }

    /// Adds a signed code with this many modules per side.
    pub(crate) fn with_code(mut self, modules: usize, key: &str) -> Self {
        let key = key.to_owned();
        self.code = Some(PrintedCode {
            modules,
            label: self.words.render(Clause::CodeLabel { key: key.clone() }),
            alt: self.words.render(Clause::CodeAlt { key }),
        });
        self
    }

    /// Applies a house style; `digest` is its own, in hexadecimal.
    pub(crate) fn in_house(mut self, style: &Arc<HouseStyle>, digest: &str) -> Self {
        self.words = style.words(self.lang);
        self.house_line = Some(self.words.render(Clause::HouseDigest {
            digest: digest::house_short(digest).to_owned(),
        }));
        self.house = Some(style.look.clone());
        self.style = Arc::clone(style);
        self
    }
}

/// The largest type in which a paper's name stands on one line beside the box, on the
/// narrower paper; the smallest for one that takes several.
fn name_pt(name: &str) -> f64 {
    const ROOM_MM: f64 = 110.0;
    let fits = |pt: &f64| line_width(name, *pt).mm() <= ROOM_MM;
    [20.0, 18.0].into_iter().find(fits).unwrap_or(16.0)
}

/// The largest type in which a number stands on one line beside the tag; the smallest
/// for one that takes several.
fn number_pt(number: &str, tag: Option<&str>) -> f64 {
    const BOX_MM: f64 = 53.0;
    let beside = tag.map_or(0.0, |tag| line_width(tag, 11.0).mm() + 7.0);
    let fits = |pt: &f64| line_width(number, *pt).mm() <= BOX_MM - beside;
    [14.0, 12.0, 10.0].into_iter().find(fits).unwrap_or(9.0)
}

/// The paper size by typst's name.
pub(crate) fn typst_name<S: Serializer>(paper: &Paper, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(match paper {
        Paper::Letter => "us-letter",
        Paper::A4 => "a4",
    })
}
