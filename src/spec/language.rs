//! The languages papers are set in. Procedure and depth marks get one file per
//! language (`procedure-es.pdf`), and a card has one language on each side.
//! What an author wrote, and what the checks found, keep their own language;
//! `documents.text_language` names the author's, for screen readers.
//!
//! To add a language: its clauses in `templates/clauses`, its statements in
//! `templates/statements`, and its entry here. Tests name what is missing.

use serde::Serialize;

use crate::core::units::print::DecimalMark;
use crate::process::socket::practice::Practice;

/// A language the papers can be set in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, clap::ValueEnum)]
#[serde(rename_all = "lowercase")]
pub enum Language {
    /// US English.
    En,
    /// Latin American Spanish.
    Es,
}

impl Language {
    /// Every language with its tag, as specs write it.
    pub(crate) const TAGS: &[(&'static str, Language)] =
        &[("en", Language::En), ("es", Language::Es)];

    /// Every language.
    pub(crate) fn all() -> impl Iterator<Item = Language> {
        Self::TAGS.iter().map(|(_, language)| *language)
    }

    /// Its tag, in specs, file names and PDFs.
    pub(crate) fn tag(self) -> &'static str {
        match self {
            Language::En => "en",
            Language::Es => "es",
        }
    }

    /// Its sentences, as JSON.
    pub(crate) fn clauses(self) -> &'static str {
        match self {
            Language::En => include_str!(concat!(env!("OUT_DIR"), "/clauses-en.json")),
            Language::Es => include_str!(concat!(env!("OUT_DIR"), "/clauses-es.json")),
        }
    }

    /// What the tables say in words, unless it is the language of the tables; as JSON.
    pub(crate) fn statements(self) -> Option<&'static str> {
        match self {
            Language::En => None,
            Language::Es => Some(include_str!(concat!(
                env!("OUT_DIR"),
                "/statements-es.json"
            ))),
        }
    }

    /// The mark in its decimal numbers, under a practice.
    pub(crate) fn decimal_mark(self, practice: &Practice) -> DecimalMark {
        match self {
            Language::En => DecimalMark::Point,
            Language::Es => practice.spanish_decimal_mark,
        }
    }
}
