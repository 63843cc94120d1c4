//! The worksheet of recalled numbers: what each is, the recalled value, and room
//! to write what an edition prints.

use serde::Serialize;

use super::clause::Clause;
use super::clauses::{Clauses, Language};
use super::frame::Frame;
use crate::published::{Entry, Library};

#[derive(Debug, Clone, Serialize)]
pub(crate) struct ConfirmSheet {
    pub(crate) frame: Frame,
    pub(crate) title: String,
    /// Who fills it in, and what happens with it.
    pub(crate) intro: Vec<String>,
    pub(crate) labels: ConfirmLabels,
    /// Numbers first, then statements; never an empty group.
    pub(crate) groups: Vec<ConfirmGroup>,
}

/// The column headings.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct ConfirmLabels {
    /// The recalled value and its claimed source.
    pub(crate) recalled: String,
    /// To be filled in: the edition.
    pub(crate) edition: String,
    /// To be filled in: the table or section.
    pub(crate) place: String,
    /// To be filled in: the value printed there.
    pub(crate) read: String,
    /// To be ticked if a statement is printed as quoted.
    pub(crate) as_printed: String,
    /// To be filled in: the reader's initials.
    pub(crate) initials: String,
    /// To be filled in: the date.
    pub(crate) date: String,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct ConfirmGroup {
    pub(crate) title: String,
    /// Heading of the number or statement and its ID.
    pub(crate) column: String,
    /// Whether the rows are statements, which are ticked or written out.
    pub(crate) statements: bool,
    pub(crate) rows: Vec<ConfirmRow>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct ConfirmRow {
    /// The trade name, or the statement itself.
    pub(crate) name: String,
    /// Language of a statement, if it is not the worksheet's.
    pub(crate) lang: Option<Language>,
    pub(crate) id: String,
    /// The recalled value; `None` for a statement.
    pub(crate) value: Option<String>,
    /// The claimed source.
    pub(crate) source: String,
}

/// The worksheet for these numbers.
pub(crate) fn confirm(figures: &[&Entry], limits: &Library, mut frame: Frame) -> ConfirmSheet {
    let own = frame.words.clone();
    let words: &Clauses = &own;
    let say = |clause| words.render(clause);
    let title = say(Clause::PaperConfirm);
    frame.document_title = say(Clause::DocumentTitle {
        paper: title.clone(),
        number: frame.number.clone(),
        revision: frame.revision.clone(),
        title: frame.title.clone(),
    });
    let group = |clause, column, statements| ConfirmGroup {
        title: say(clause),
        column: say(column),
        statements,
        rows: figures
            .iter()
            .filter(|entry| entry.text().is_some() == statements)
            .map(|entry| row(entry, words))
            .collect(),
    };
    let mut groups = vec![
        group(Clause::ConfirmFigures, Clause::ConfirmNumber, false),
        group(Clause::ConfirmStatements, Clause::ConfirmStatement, true),
    ];
    groups.retain(|group| !group.rows.is_empty());
    ConfirmSheet {
        title,
        intro: vec![
            say(Clause::ConfirmWhat),
            say(Clause::ConfirmWho),
            say(Clause::ConfirmThen),
            say(Clause::ConfirmLibrary {
                version: limits.version().to_owned(),
            }),
        ],
        labels: ConfirmLabels {
            recalled: say(Clause::ConfirmRecalled),
            edition: say(Clause::ConfirmEdition),
            place: say(Clause::ConfirmPlace),
            read: say(Clause::ConfirmRead),
            as_printed: say(Clause::ConfirmAsPrinted),
            initials: say(Clause::ConfirmInitials),
            date: say(Clause::LabelDate),
        },
        groups,
        frame,
    }
}

fn row(entry: &Entry, words: &Clauses) -> ConfirmRow {
    let (name, value) = match words.statement(entry) {
        Some(text) => (text.to_owned(), None),
        None => (
            capitalized(&words.trade_name(entry)),
            Some(entry.written.clone()),
        ),
    };
    ConfirmRow {
        name,
        lang: words.statement_lang(entry),
        id: entry.id.clone(),
        value,
        source: words.source(&entry.source),
    }
}

fn capitalized(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(characters).collect()
    })
}
