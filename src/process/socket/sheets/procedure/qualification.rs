//! Who may use the procedure.

use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer};
use crate::process::socket::sheets::procedure::scope;
use crate::process::socket::sheets::sources::proof;

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
    }
    // The tests come from the gas regulation, which applies only to gas.
    let tests = w.statements("joint-tests");
    if gas && !tests.is_empty() {
        blocks.push(w.text(Clause::TestsIntro));
        blocks.push(Block::List { items: tests });
    }
    w.section(Clause::TitleQualification, blocks)
}
