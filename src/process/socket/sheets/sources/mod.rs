//! The paper "Sources and open points": where every number of the procedure comes
//! from, what is open, where sources disagree, what test joints support, and the
//! thermal estimate. It is for who reviews and approves; nothing on it is a time to
//! work by, and the procedure repeats none of it.

mod heat;
mod heat_figures;
mod joint_figure;
mod joint_time;
mod open;
mod proof;
mod regulation;
mod rows;
#[cfg(test)]
mod tests;

use serde::Serialize;

use crate::core::finding::Finding;
use crate::papers::sheets::block::Section;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::procedure::source_rows::SourceGroup;
use crate::papers::sheets::procedure::writer::Writer;
use crate::procedure::resolve::Procedure;
use crate::process::socket::heat::advice::Advice;
use crate::published::{Basis, Library};
use heat::HeatPart;
use open::{Disagreement, OpenPoint};
use regulation::{References, Regulation};

/// A finding, and the line of the spec that it is about.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PlacedFinding<'f> {
    pub(crate) finding: &'f Finding,
    pub(crate) line: Option<usize>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct SourcesSheet {
    pub(crate) frame: Frame,
    subtitle: String,
    /// How far a number can be trusted: the words of the last column.
    status: Explained,
    /// The column heads.
    columns: [String; 6],
    groups: Vec<SourceGroup>,
    /// Under the table.
    notes: Vec<String>,
    open: Titled<OpenPoint>,
    disagreements: Option<Titled<Disagreement>>,
    decision: String,
    support: Option<Section>,
    regulation: Option<Regulation>,
    /// What follows, in blocks.
    sections: Vec<Section>,
    heat: HeatPart,
    references: References,
    /// Head and text.
    disclaimer: (String, String),
}

/// Words with their meaning.
#[derive(Debug, Clone, Serialize)]
struct Explained {
    head: String,
    lead: String,
    words: Vec<(String, String)>,
    /// The word that has the mark.
    recalled: (String, String),
}

/// Rows under a heading.
#[derive(Debug, Clone, Serialize)]
struct Titled<T> {
    title: String,
    lead: String,
    rows: Vec<T>,
}

/// Writes the paper. Warnings in `findings` are among its open points.
pub(crate) fn sources(
    procedure: &Procedure,
    advice: &Advice,
    findings: &[PlacedFinding],
    limits: &Library,
    frame: Frame,
) -> SourcesSheet {
    let words = frame.words.clone();
    let w = &Writer::new(procedure, limits, &words, frame.text_lang);
    let rows = rows::rows(w);
    let disagreements: Vec<_> = rows
        .conflicts
        .iter()
        .filter_map(|slug| open::disagreement(w, slug))
        .collect();
    let own = frame.style.own_words(frame.lang, &words);
    let mut notes = vec![w.say(Clause::SourcesNote {
        version: limits.version().to_owned(),
    })];
    if !own.is_empty() {
        notes.push(w.say(Clause::HouseWords {
            clauses: own.join(", "),
        }));
    }
    let sections = [joint_time::joint_time(w), joint_figure::section(w, advice)];
    SourcesSheet {
        subtitle: w.say(Clause::SourcesSubtitle),
        status: status(w),
        columns: [
            Clause::ColumnNumber,
            Clause::ColumnValue,
            Clause::ColumnPrinted,
            Clause::ColumnBasis,
            Clause::ColumnSource,
            Clause::ColumnStatus,
        ]
        .map(|column| w.say(column)),
        groups: rows.groups(),
        notes,
        open: Titled {
            title: w.say(Clause::OpenTitle),
            lead: w.say(Clause::OpenLead),
            rows: open::points(w, findings, frame.lang),
        },
        disagreements: (!disagreements.is_empty()).then(|| Titled {
            title: w.say(Clause::DisagreeTitle),
            lead: w.say(Clause::DisagreeLead),
            rows: disagreements,
        }),
        decision: w.say(Clause::DisagreeDecision),
        support: proof::section(w),
        regulation: regulation::part(w),
        sections: sections.into_iter().flatten().collect(),
        heat: heat::estimate(w, advice),
        references: regulation::references(w),
        disclaimer: (
            w.say(Clause::DisclaimerHead),
            w.say(Clause::SourcesDisclaimer),
        ),
        frame,
    }
}

/// The words of the last column, explained once. `confirmed` only where somebody
/// has confirmed a number.
fn status(w: &Writer) -> Explained {
    let confirmed = w.limits.tables().iter().flat_map(|table| &table.entries);
    let confirmed = confirmed
        .filter(|entry| entry.basis == Basis::Confirmed)
        .take(1)
        .map(|_| (Clause::BasisConfirmed, Clause::StatusMeansConfirmed));
    let words = [
        (Clause::BasisStandard, Clause::StatusMeansStandard),
        (Clause::BasisMeasured, Clause::StatusMeansMeasured),
        (Clause::BasisOrganization, Clause::StatusMeansOrganization),
        (Clause::BasisSecondary, Clause::StatusMeansSecondary),
        (Clause::BasisDerived, Clause::StatusMeansDerived),
        (Clause::BasisPractice, Clause::StatusMeansPractice),
    ];
    let say = |(word, means): (Clause, Clause)| (w.say(word), w.say(means));
    Explained {
        head: w.say(Clause::StatusTitle),
        lead: w.say(Clause::StatusLead),
        words: words.into_iter().chain(confirmed).map(say).collect(),
        recalled: say((Clause::StatusRecalled, Clause::StatusMeansRecalled)),
    }
}
