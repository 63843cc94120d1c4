//! What the figure tables say in words, in another language: each statement
//! beside the English text it was made from, by the id of its figure.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::language::Language;

/// The statements of one language; none for the language of the tables.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Statements {
    statements: BTreeMap<String, Statement>,
    sources: BTreeMap<String, String>,
}

/// A statement and what it was made from.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Statement {
    en: String,
    text: String,
}

impl Statements {
    /// The statements of a language.
    pub fn load(language: Language) -> &'static Statements {
        static TABLES: Statements = Statements {
            statements: BTreeMap::new(),
            sources: BTreeMap::new(),
        };
        static ES: LazyLock<Statements> = LazyLock::new(|| Statements::read(Language::Es));
        match language {
            Language::En => &TABLES,
            Language::Es => &ES,
        }
    }

    fn read(language: Language) -> Self {
        // The statements are part of the program and a test reads every one.
        language.statements().map_or_else(Self::default, |file| {
            serde_yaml::from_str(file)
                .unwrap_or_else(|error| panic!("the statements cannot be read: {error}"))
        })
    }

    /// What else to know about the figure with this id.
    pub fn note<'a>(&'a self, id: &str, english: &'a str) -> &'a str {
        let row = id.rsplit_once(':').map_or(id, |(row, _)| row);
        self.statement(&format!("{row}:note"), english)
    }

    /// The statement with this id, if it was made from this text. Where the
    /// text is another, somebody confirmed it in an edition, and it stands.
    pub fn statement<'a>(&'a self, id: &str, english: &'a str) -> &'a str {
        self.statements
            .get(id)
            .filter(|statement| statement.en == english)
            .map_or(english, |statement| &statement.text)
    }

    /// A source in words. A citation without words, and what an author wrote,
    /// stand as they are.
    pub fn source<'a>(&'a self, english: &'a str) -> &'a str {
        self.sources.get(english).map_or(english, String::as_str)
    }
}
