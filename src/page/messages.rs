//! The messages between the page and its engine, as JSON. User text is sent and
//! shown as text.

use clap::ValueEnum;
use serde::{Deserialize, Serialize};

use crate::authoring::form;
use crate::authoring::schema::Kind;
use crate::core::finding::{Finding, Severity};
use crate::core::finding_json::{JsonFinding, json_finding};
use crate::core::source::{FileId, Sources, Span};
use crate::papers::compile::{Checked, Options, PaperKind, PaperPictures, Preview, PreviewEvent};
use crate::papers::typeset::Picture;
use crate::spec::language::Language;

/// An option has a value that the command line does not know either.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct UnknownValue;

/// Options for the papers, as on the command line; empty where the spec decides.
#[derive(Debug, Clone, Default, Deserialize)]
pub(crate) struct PaperOptions {
    #[serde(default)]
    language: String,
    #[serde(default)]
    paper: String,
    #[serde(default)]
    card_trim: String,
}

impl PaperOptions {
    /// # Errors
    /// Where a value is unknown to the command line.
    pub(crate) fn options(&self) -> Result<Options, UnknownValue> {
        let languages = self.language.split(',').map(parse_option);
        let languages: Result<Vec<Option<Language>>, _> = languages.collect();
        Ok(Options {
            papers: PaperKind::ALL.to_vec(),
            paper: parse_option(&self.paper)?,
            card_trim: parse_option(&self.card_trim)?,
            languages: languages?.into_iter().flatten().collect(),
            ..Options::default()
        })
    }
}

fn parse_option<T: ValueEnum>(word: &str) -> Result<Option<T>, UnknownValue> {
    let given = Some(word).filter(|word| !word.is_empty());
    let read = given.map(|word| T::from_str(word, false)).transpose();
    read.map_err(|_| UnknownValue)
}

/// A text to check and lay out.
#[derive(Debug, Deserialize)]
pub(crate) struct PreviewRequest {
    /// The tab it is typed in.
    pub(crate) tab: String,
    /// How many texts the tab has sent. Each has a connection of its own, so that an older
    /// one may arrive after a newer one.
    #[serde(default)]
    pub(crate) count: u64,
    pub(crate) text: String,
    /// The paper in view.
    #[serde(default)]
    pub(crate) in_view: String,
    #[serde(default, rename = "wishes")]
    pub(crate) options: PaperOptions,
}

/// One line of the response to a [`PreviewRequest`].
#[derive(Debug, Serialize)]
#[serde(tag = "what", rename_all = "kebab-case")]
pub(crate) enum PreviewMessage {
    /// With an error, no page follows.
    Findings {
        findings: Vec<PreviewFinding>,
        errors: usize,
    },
    /// The papers that follow, in the order they are built.
    Papers {
        papers: Vec<PaperName>,
    },
    Paper {
        id: String,
        pages: Vec<PageImage>,
        /// Why there are no pages.
        withheld: Option<String>,
    },
    /// The program failed on this text, and goes on.
    Fault {
        message: String,
    },
    Done,
}

#[derive(Debug, Serialize)]
pub(crate) struct PreviewFinding {
    #[serde(flatten)]
    finding: JsonFinding,
    /// Whether it is about the spec rather than a file it names.
    in_spec: bool,
    /// Whether it is about a file as a whole.
    whole: bool,
    /// The field of the form that it is about; empty where it is about none.
    field: Vec<String>,
}

#[derive(Debug, Serialize)]
pub(crate) struct PaperName {
    id: String,
    name: String,
}

/// A page and the id of its picture.
#[derive(Debug, Serialize)]
pub(crate) struct PageImage {
    id: String,
    width_mm: f64,
    height_mm: f64,
}

impl PreviewMessage {
    /// A step of a preview.
    pub(crate) fn from_event(event: &PreviewEvent, preview: &Preview) -> Self {
        match event {
            PreviewEvent::Checked => Self::findings(preview.checked(), preview.sources()),
            PreviewEvent::Papers(papers) => PreviewMessage::Papers {
                papers: papers
                    .iter()
                    .map(|&(kind, further)| PaperName::new(kind, further))
                    .collect(),
            },
            PreviewEvent::Paper(paper) => Self::paper(paper),
        }
    }

    pub(crate) fn findings(checked: &Checked, sources: &Sources) -> Self {
        let fields = fields_of(checked, sources);
        let shown = checked.findings.iter().zip(fields);
        let shown = shown.map(|(finding, field)| PreviewFinding {
            finding: json_finding(finding, sources),
            in_spec: finding.file == FileId::SPEC,
            whole: finding.span.is_none(),
            field,
        });
        let errors = { checked.findings.iter() }
            .filter(|finding| finding.severity() == Severity::Error)
            .count();
        PreviewMessage::Findings {
            errors,
            findings: shown.collect(),
        }
    }

    /// A paper that was laid out, or is withheld.
    fn paper(paper: &PaperPictures) -> Self {
        let image = |picture: &Picture| PageImage {
            id: picture.id.clone(),
            width_mm: picture.width.mm(),
            height_mm: picture.height.mm(),
        };
        PreviewMessage::Paper {
            id: paper_id(paper.kind, paper.further),
            pages: paper.pages.iter().flatten().map(image).collect(),
            withheld: paper.pages.as_ref().err().cloned(),
        }
    }
}

/// Where a finding stands in the spec, and the field that it misses there.
fn place_of(finding: &Finding) -> Option<(Span, Option<&str>)> {
    let span = finding.span.filter(|_| finding.file == FileId::SPEC)?;
    let missing = finding.quantities.iter().find(|(name, _)| *name == "field");
    Some((span, missing.map(|(_, field)| field.as_str())))
}

/// The field of the form that each finding is about.
fn fields_of(checked: &Checked, sources: &Sources) -> Vec<Vec<String>> {
    let text = sources.spec().text.as_str();
    let places: Vec<_> = checked.findings.iter().map(place_of).collect();
    form::fields_at(Kind::Spec, text, &places)
}

impl PaperName {
    /// `further` is the language of a second file of the paper.
    fn new(kind: PaperKind, further: Option<Language>) -> Self {
        let name = kind.tab();
        Self {
            id: paper_id(kind, further),
            name: match further {
                Some(language) => format!("{name} ({})", language.tag()),
                None => name.to_owned(),
            },
        }
    }
}

/// The id of a paper: the name of its file, without the extension.
fn paper_id(kind: PaperKind, further: Option<Language>) -> String {
    let file = kind.file_name_in(further);
    file.trim_end_matches(".pdf").to_owned()
}

pub(crate) fn paper_by_id(name: &str) -> Option<(PaperKind, Option<Language>)> {
    let kinds = PaperKind::ALL.into_iter();
    let mut all = kinds.flat_map(|kind| {
        let further = Language::all().map(move |language| (kind, Some(language)));
        std::iter::once((kind, None)).chain(further)
    });
    all.find(|(kind, further)| paper_id(*kind, *further) == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_paper_is_found_by_its_name() {
        for kind in PaperKind::ALL {
            for further in Language::all().map(Some).chain([None]) {
                assert_eq!(paper_by_id(&paper_id(kind, further)), Some((kind, further)));
            }
        }
        assert_eq!(paper_by_id("card.pdf"), None);
        assert_eq!(paper_by_id(""), None);
    }

    #[test]
    fn options_are_the_words_of_the_command_line() {
        let given = |language: &str, paper: &str, card_trim: &str| PaperOptions {
            language: language.to_owned(),
            paper: paper.to_owned(),
            card_trim: card_trim.to_owned(),
        };
        let options = given("en,es", "a4", "id-2").options().unwrap();
        assert_eq!(options.languages, [Language::En, Language::Es]);
        assert_eq!(options.paper, Some(crate::spec::Paper::A4));
        assert_eq!(options.card_trim, Some(crate::spec::CardTrim::Id2));
        // The spec decides.
        let options = PaperOptions::default().options().unwrap();
        assert!(options.languages.is_empty() && options.paper.is_none());
        for wrong in [given("xx", "", ""), given("", "a5", ""), given("", "", "9")] {
            assert_eq!(wrong.options().err(), Some(UnknownValue));
        }
    }
}
