//! What the page and the program tell each other, as JSON. Texts of a user travel
//! as text and are shown as text.

use axum::http::StatusCode;
use clap::ValueEnum;
use serde::{Deserialize, Serialize};

use crate::cli::json::{self, JsonFinding};
use crate::core::finding::Rule;
use crate::core::source::{FileId, Sources};
use crate::papers::compile::{Checked, Options, PaperKind};
use crate::papers::typeset::Picture;
use crate::spec::language::Language;

/// How the papers are asked for, in the words of the command line; empty where
/// the spec decides.
#[derive(Debug, Clone, Default, Deserialize)]
pub struct PaperOptions {
    #[serde(default)]
    language: String,
    #[serde(default)]
    paper: String,
    #[serde(default)]
    card_trim: String,
}

impl PaperOptions {
    /// The same as options of a build.
    ///
    /// # Errors
    /// Refused when a word is none of the command line's.
    pub fn options(&self) -> Result<Options, StatusCode> {
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

fn parse_option<T: ValueEnum>(word: &str) -> Result<Option<T>, StatusCode> {
    let given = Some(word).filter(|word| !word.is_empty());
    let read = given.map(|word| T::from_str(word, false)).transpose();
    read.map_err(|_| StatusCode::BAD_REQUEST)
}

/// A text to be looked at.
#[derive(Debug, Deserialize)]
pub struct PreviewRequest {
    /// Which tab it is typed in.
    pub tab: String,
    /// The text.
    pub text: String,
    /// Which paper is in view.
    #[serde(default)]
    pub in_view: String,
    /// How the papers are asked for.
    #[serde(default, rename = "wishes")]
    pub options: PaperOptions,
}

/// What is told of a text, line by line as it comes.
#[derive(Debug, Serialize)]
#[serde(tag = "what", rename_all = "kebab-case")]
pub enum PreviewMessage {
    /// What was found; with an error, no page follows.
    Findings {
        /// Each, in the order of the text.
        findings: Vec<PreviewFinding>,
        /// How many are errors.
        errors: usize,
    },
    /// The papers that follow.
    Papers {
        /// In the order they are built.
        papers: Vec<PaperName>,
    },
    /// A paper.
    Paper {
        /// Which.
        id: String,
        /// Its pages.
        pages: Vec<PageImage>,
        /// What keeps it back, where there are no pages.
        withheld: Option<String>,
    },
    /// The program broke down over the text, and goes on.
    Fault {
        /// What to tell the maintainers.
        message: String,
    },
    /// All has been told.
    Done,
}

/// A finding with the end of its line that the page needs.
#[derive(Debug, Serialize)]
pub struct PreviewFinding {
    #[serde(flatten)]
    finding: JsonFinding,
    /// Whether it is about the spec, and not about a file that it names.
    in_spec: bool,
    /// Whether it is about a file as a whole.
    whole: bool,
}

/// What a paper is called.
#[derive(Debug, Serialize)]
pub struct PaperName {
    id: String,
    name: String,
}

/// A page, and where its picture is.
#[derive(Debug, Serialize)]
pub struct PageImage {
    id: String,
    width_mm: f64,
    height_mm: f64,
}

impl PreviewMessage {
    /// What checking found.
    pub fn findings(checked: &Checked, sources: &Sources) -> Self {
        let shown = checked.findings.iter().map(|finding| PreviewFinding {
            finding: json::json_finding(finding, sources),
            in_spec: finding.file == FileId::SPEC,
            whole: finding.span.is_none(),
        });
        let errors = checked.findings.iter();
        let errors =
            errors.filter(|finding| finding.severity() == crate::core::finding::Severity::Error);
        PreviewMessage::Findings {
            errors: errors.count(),
            findings: shown.collect(),
        }
    }

    /// A paper that was laid out, or is kept back.
    pub fn paper(id: String, pages: &Result<Vec<Picture>, String>) -> Self {
        let of = |picture: &Picture| PageImage {
            id: picture.id.clone(),
            width_mm: picture.width.mm(),
            height_mm: picture.height.mm(),
        };
        PreviewMessage::Paper {
            id,
            pages: pages.iter().flatten().map(of).collect(),
            withheld: pages.as_ref().err().cloned(),
        }
    }
}

impl PaperName {
    /// The name of a paper, and of its language where the first has another file.
    pub fn new(kind: PaperKind, further: Option<Language>) -> Self {
        let name = match kind {
            PaperKind::Procedure => "Procedure",
            PaperKind::Card => "Card",
            PaperKind::DepthMarks => "Depth marks",
        };
        Self {
            id: paper_id(kind, further),
            name: match further {
                Some(language) => format!("{name} ({})", language.tag()),
                None => name.to_owned(),
            },
        }
    }
}

/// What a paper is called between page and program: its file, without the ending.
pub fn paper_id(kind: PaperKind, further: Option<Language>) -> String {
    let file = kind.file_name_in(further);
    file.trim_end_matches(".pdf").to_owned()
}

/// The paper of a name.
pub fn paper_by_id(name: &str) -> Option<(PaperKind, Option<Language>)> {
    let kinds = PaperKind::ALL.into_iter();
    let mut all = kinds.flat_map(|kind| {
        let further = Language::all().map(move |language| (kind, Some(language)));
        std::iter::once((kind, None)).chain(further)
    });
    all.find(|(kind, further)| paper_id(*kind, *further) == name)
}

/// Why a rule exists.
#[derive(Debug, Serialize)]
pub struct RuleExplanation {
    rule: &'static str,
    severity: &'static str,
    summary: &'static str,
    why: &'static str,
    example: &'static str,
    fix: &'static str,
    dated: bool,
}

impl From<&Rule> for RuleExplanation {
    fn from(rule: &Rule) -> Self {
        Self {
            rule: rule.slug,
            severity: rule.severity.word(),
            summary: rule.summary,
            why: rule.why,
            example: rule.example,
            fix: rule.fix,
            dated: rule.dated,
        }
    }
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
        let wishes = |language: &str, paper: &str, card_trim: &str| PaperOptions {
            language: language.to_owned(),
            paper: paper.to_owned(),
            card_trim: card_trim.to_owned(),
        };
        let options = wishes("en,es", "a4", "id-2").options().unwrap();
        assert_eq!(options.languages, [Language::En, Language::Es]);
        assert_eq!(options.paper, Some(crate::spec::Paper::A4));
        assert_eq!(options.card_trim, Some(crate::spec::CardTrim::Id2));
        // The spec decides.
        let options = PaperOptions::default().options().unwrap();
        assert!(options.languages.is_empty() && options.paper.is_none());
        for wrong in [
            wishes("xx", "", ""),
            wishes("", "a5", ""),
            wishes("", "", "9"),
        ] {
            assert_eq!(wrong.options().err(), Some(StatusCode::BAD_REQUEST));
        }
    }
}
