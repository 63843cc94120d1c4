//! What regulations and standards say about this work, and how far they let a
//! qualification reach; and the documents that the organization names.

use serde::Serialize;

use crate::papers::sheets::procedure::writer::{Clause, Writer, format};
use crate::published::{Basis, Entry};
use crate::spec::language::Language;

/// What is quoted, and how far a qualification reaches.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Regulation {
    title: String,
    lead: String,
    reach_head: String,
    reach: Vec<String>,
    quotations: Vec<Quotation>,
}

/// What a section says, quoted or paraphrased.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
struct Quotation {
    section: String,
    /// The edition that was read, where that is not the section itself.
    edition: Option<String>,
    text: String,
    /// Language of the text, if it is not the paper's.
    lang: Option<Language>,
    status: String,
    verify: bool,
}

/// The part; `None` if no regulation bears on this work.
pub(crate) fn part(w: &Writer) -> Option<Regulation> {
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
    let quotations: Vec<_> = extracts(w)
        .into_iter()
        .filter_map(|(cite, entry)| {
            Some(Quotation {
                section: cite.to_owned(),
                edition: (entry.source != cite).then(|| w.words.source(&entry.source)),
                text: w.words.statement(entry)?.to_owned(),
                lang: w.words.statement_lang(entry),
                status: format::basis(entry.basis, w.words),
                verify: entry.basis >= Basis::Recalled,
            })
        })
        .collect();
    (!reach.is_empty() || !quotations.is_empty()).then(|| Regulation {
        title: w.say(Clause::TitleRegulation),
        lead: w.say(Clause::RegulationLead),
        reach_head: w.say(Clause::QualificationReach),
        reach,
        quotations,
    })
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
