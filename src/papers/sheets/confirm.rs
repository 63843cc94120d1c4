//! The worksheet of the figures that are from memory: what each is, what is
//! remembered of it, and room to write what an edition prints.

use serde::Serialize;

use super::clause::Clause;
use super::clauses::{Clauses, Language};
use super::frame::Frame;
use crate::published::{Entry, Library};

/// All that the worksheet says.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct ConfirmSheet {
    /// What every paper carries.
    pub(crate) frame: Frame,
    /// What the worksheet is called.
    pub(crate) title: String,
    /// Whose work it is and what becomes of it.
    pub(crate) intro: Vec<String>,
    /// The headings of the columns.
    pub(crate) labels: ConfirmLabels,
    /// Figures with a value, then statements; never an empty group.
    pub(crate) groups: Vec<ConfirmGroup>,
}

/// The headings of the columns.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct ConfirmLabels {
    /// The figure and its id.
    pub(crate) figure: String,
    /// The value that is remembered and its claimed source.
    pub(crate) recalled: String,
    /// To be filled in: the edition.
    pub(crate) edition: String,
    /// To be filled in: the table or section.
    pub(crate) place: String,
    /// To be filled in: what stands there.
    pub(crate) read: String,
    /// To be ticked where a statement stands as it is quoted.
    pub(crate) as_printed: String,
    /// To be filled in: who read it.
    pub(crate) initials: String,
    /// To be filled in: when.
    pub(crate) date: String,
}

/// Figures of one kind.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct ConfirmGroup {
    /// Its heading.
    pub(crate) title: String,
    /// Whether they are statements, which are ticked or written out.
    pub(crate) statements: bool,
    /// The figures.
    pub(crate) rows: Vec<ConfirmRow>,
}

/// One figure.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct ConfirmRow {
    /// What it is, in trade words; of a statement, the statement.
    pub(crate) name: String,
    /// The language of a statement, where it is not the worksheet's.
    pub(crate) lang: Option<Language>,
    pub(crate) id: String,
    /// The value that is remembered; none for a statement.
    pub(crate) value: Option<String>,
    /// The source it is remembered from.
    pub(crate) source: String,
}

/// Writes the worksheet of these figures.
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
    let group = |clause, statements| ConfirmGroup {
        title: say(clause),
        statements,
        rows: figures
            .iter()
            .filter(|figure| figure.text().is_some() == statements)
            .map(|figure| row(figure, words))
            .collect(),
    };
    let mut groups = vec![
        group(Clause::ConfirmFigures, false),
        group(Clause::ConfirmStatements, true),
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
            figure: say(Clause::ColumnFigure),
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

fn row(figure: &Entry, words: &Clauses) -> ConfirmRow {
    let (name, value) = match words.statement(figure) {
        Some(text) => (text.to_owned(), None),
        None => (
            capitalized(&words.trade_name(figure)),
            Some(figure.written.clone()),
        ),
    };
    ConfirmRow {
        name,
        lang: words.statement_lang(figure),
        id: figure.id.clone(),
        value,
        source: words.source(&figure.source),
    }
}

fn capitalized(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(characters).collect()
    })
}
