//! Who may use the procedure, and what its test joints support.

use crate::papers::sheets::procedure::writer::{
    Align, Block, Cell, Clause, Section, Writer, format,
};
use crate::process::socket::sheets::procedure::{proof, scope};
use crate::published::{Basis, Entry};

pub(crate) fn qualification(w: &Writer) -> Section {
    let spec = w.p.spec;
    let mut blocks = Vec::new();
    let stated = spec.qualification.as_ref();
    let gas = w.is_gas();
    if gas {
        blocks.push(w.text(Clause::QualificationGas));
        let how = stated.and_then(|q| q.operator_qualification.as_ref());
        blocks.push(w.text(match how {
            Some(how) => Clause::QualificationOperator {
                how: how.value.clone(),
            },
            None => Clause::QualificationOperatorOpen,
        }));
    } else {
        blocks.push(w.text(Clause::QualificationOther {
            service: w.say(scope::service(spec.service.value)),
        }));
    }
    blocks.push(w.text(Clause::QualificationFuser));
    let rules: Vec<_> = stated
        .map(|q| q.rules.iter().map(|rule| rule.value.clone()).collect())
        .unwrap_or_default();
    if !rules.is_empty() {
        blocks.push(w.text(Clause::QualificationRules));
        blocks.push(w.authors(rules));
    }
    let mut records = proof::records(w);
    let cited = stated
        .map(|q| q.records.as_slice())
        .unwrap_or_default()
        .iter()
        .map(|record| {
            w.say(Clause::QualificationRecord {
                number: record.number.value.clone(),
                date: record.date.value.to_string(),
                revision: record.revision.value.to_string(),
            })
        });
    records.extend(cited);
    if records.is_empty() {
        blocks.push(w.text(Clause::QualificationNoRecord));
    } else {
        blocks.push(w.text(Clause::QualificationRecords));
        blocks.push(Block::List { items: records });
        blocks.extend(proof::range(w));
    }
    if gas {
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
    w.section(Clause::TitleQualification, blocks)
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
