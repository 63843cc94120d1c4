//! What regulations and standards say about this work, and how far they let a
//! qualification reach; and the documents that the organization names.

use serde::Serialize;

use crate::papers::sheets::procedure::writer::{
    Align, Block, Cell, Clause, Section, Writer, format,
};
use crate::published::{Basis, Entry};
use crate::spec::language::Language;

/// The section; `None` if none of them bears on this work.
pub(crate) fn section(w: &Writer) -> Option<Section> {
    let mut blocks = Vec::new();
    if w.is_gas() {
        let reach: Vec<_> = reach(w)
            .into_iter()
            .filter_map(|entry| {
                let text = w.statement(entry)?;
                // An interpretation is never printed without its limitation.
                Some(match w.words.note(entry) {
                    Some(note) => format!("{text} {note}"),
                    None => text,
                })
            })
            .collect();
        blocks.push(w.text(Clause::QualificationReach));
        blocks.push(Block::List { items: reach });
    }
    let rows: Vec<_> = extracts(w)
        .into_iter()
        .filter_map(|(cite, entry)| {
            Some(vec![
                section_cell(w, cite, &entry.source),
                Cell::plain(w.words.statement(entry)?).lang(w.words.statement_lang(entry)),
                Cell::plain(format::basis(entry.basis, w.words))
                    .verify(entry.basis >= Basis::Recalled),
            ])
        })
        .collect();
    if !rows.is_empty() {
        blocks.extend(w.table(
            Clause::QualificationCaption,
            vec![
                (Clause::ColumnCite, Align::Left),
                (Clause::ColumnText, Align::Left),
                (Clause::ColumnStanding, Align::Left),
            ],
            rows,
            true,
        ));
    }
    (!blocks.is_empty()).then(|| w.section(Clause::TitleRegulation, blocks))
}

/// The documents that the organization names.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct References {
    head: String,
    named: Vec<String>,
    /// Their language, if it is not the paper's.
    lang: Option<Language>,
}

pub(crate) fn references(w: &Writer) -> References {
    let named = w.p.spec.references.iter();
    let named: Vec<_> = named.map(|text| text.value.clone()).collect();
    References {
        head: w.say(if named.is_empty() {
            Clause::ReferencesNone
        } else {
            Clause::ReferencesIntro
        }),
        named,
        lang: w.text_lang,
    }
}

/// What regulations and standards say about this work: section and text.
pub(crate) fn extracts<'a>(w: &Writer<'a>) -> Vec<(&'a str, &'a Entry)> {
    let mut extracts = w.limits.extracts(w.p.practice(), w.is_gas());
    let work = w.p.work();
    extracts.retain(|(_, text)| w.limits.applies_to(text, &work));
    extracts
}

/// The section, and below it the edition that was read, if that differs.
fn section_cell(w: &Writer, cite: &str, source: &str) -> Cell {
    let cell = Cell::plain(cite);
    if source == cite {
        return cell;
    }
    cell.below(w.words.source(source))
}

/// How far a qualification extends, for gas.
pub(crate) fn reach<'a>(w: &Writer<'a>) -> Vec<&'a Entry> {
    if !w.is_gas() {
        return Vec::new();
    }
    [
        "compatibility:several-makers:text",
        "compatibility:tested-range:text",
        "fuser-rules:smaller-size:text",
    ]
    .iter()
    .filter_map(|id| w.limits.entry(id))
    .collect()
}
