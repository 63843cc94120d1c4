//! A cell of a table.

use serde::Serialize;

use crate::spec::language::Language;

/// A number or text in a table.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Cell {
    /// The main line.
    pub text: String,
    /// A smaller line below: the other unit, or the longest time.
    pub sub: Option<String>,
    /// Whether the number is recalled and carries the verify mark.
    pub verify: bool,
    /// The same for the smaller line, which has a mark of its own.
    pub sub_verify: bool,
    /// Whether it is emphasized.
    pub strong: bool,
    /// Language of the text, if it is not the paper's.
    pub lang: Option<Language>,
    /// How many more columns it spans; the row has that many fewer cells.
    pub across: usize,
}

impl Cell {
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// Both lines as one: `490 to 510 °F (254.5 to 265.5 °C)`.
    pub(crate) fn in_one_line(&self) -> String {
        match &self.sub {
            Some(sub) => format!("{} ({sub})", self.text),
            None => self.text.clone(),
        }
    }

    /// Adds a second line.
    pub(crate) fn below(mut self, sub: impl Into<String>) -> Self {
        self.sub = Some(sub.into());
        self
    }

    /// Emphasizes the cell.
    pub(crate) fn strong(mut self) -> Self {
        self.strong = true;
        self
    }

    /// Sets the language of the text, if it is not the paper's.
    pub(crate) fn lang(mut self, lang: Option<Language>) -> Self {
        self.lang = lang;
        self
    }

    /// Sets the verify mark.
    pub(crate) fn verify(mut self, verify: bool) -> Self {
        self.verify = verify;
        self
    }
}
