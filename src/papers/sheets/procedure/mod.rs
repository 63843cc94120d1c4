//! The written procedure, section by section, in the order a crew, an inspector
//! and an engineer read it: what it covers, what can hurt, what to bring, how
//! the joint is made and judged, and at the end where every figure is from.

mod figures;
mod fit;
mod heat;
mod heat_figures;
mod joint_time;
mod kinds;
mod metric_work;
mod open;
mod pipe;
mod proof;
mod record;
mod scope;
mod sources;
#[cfg(test)]
mod tests;
mod tools;
mod work;

use serde::Serialize;

use super::block::{Align, Block, Cell, Column, Section, Table};
use super::clause::Clause;
use super::clauses::Clauses;
use super::format;
use super::frame::Frame;
use super::resin::Band;
use crate::core::finding::Finding;
use crate::core::units::print::UnitsFirst;
use crate::heat::advice::Advice;
use crate::procedure::resolve::Procedure;
use crate::published::{Basis, Figure, Library};
use crate::spec::language::Language;
use crate::spec::{Practice, Service};

/// A fact at the head of the procedure.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fact {
    /// What it is about.
    pub label: String,
    /// What it is.
    pub value: String,
    /// The color that says it too, for the resin.
    pub band: Option<Band>,
}

/// All that the written procedure says.
#[derive(Debug, Clone, Serialize)]
pub struct ProcedureSheet {
    /// What every paper carries.
    pub frame: Frame,
    /// The facts at its head.
    pub facts: Vec<Fact>,
    /// Its sections, numbered by their place.
    pub sections: Vec<Section>,
}

/// Writes the procedure; the warnings among `findings` go on its sources sheet.
pub fn procedure(
    procedure: &Procedure,
    advice: &Advice,
    findings: &[Finding],
    limits: &Library,
    frame: Frame,
) -> ProcedureSheet {
    let words = frame.words.clone();
    let w = Writer {
        p: procedure,
        limits,
        words: &words,
        text_lang: frame.text_lang,
    };
    let numbers = figures::Numbers::of(&w, advice);
    let mut sheet = ProcedureSheet {
        facts: scope::facts(&w),
        sections: [
            vec![
                scope::scope(&w),
                scope::references(&w),
                scope::cautions(&w),
                tools::equipment(&w),
                tools::heater(&w, &numbers),
                pipe::materials(&w),
                pipe::dimensions(&w),
                pipe::times(&w),
                figures::illustrated(
                    &w,
                    advice,
                    &numbers,
                    match procedure.practice() {
                        Practice::Us => work::steps(&w),
                        Practice::Metric => metric_work::steps(&w),
                    },
                ),
            ],
            kinds::sections(&w),
            joint_time::section(&w).into_iter().collect(),
            vec![
                work::field(&w),
                work::cold(&w),
                work::acceptance(&w, &numbers),
                record::qualification(&w),
                sources::sources(&w, findings),
                record::revisions(&w),
                record::approval(&w),
                heat::estimate(&w, advice, &numbers),
                figures::acceptance(&w),
            ],
        ]
        .concat(),
        frame,
    };
    figures::number(&w, &mut sheet.sections);
    let frame = &sheet.frame;
    frame.style.add_to(&mut sheet.sections, frame.lang, &words);
    sheet
}

/// What every section is written from.
struct Writer<'a> {
    p: &'a Procedure<'a>,
    limits: &'a Library,
    words: &'a Clauses,
    /// The language of what the spec says in words, where it is not the paper's.
    text_lang: Option<Language>,
}

impl<'a> Writer<'a> {
    fn say(&self, clause: Clause) -> String {
        self.words.render(clause)
    }

    /// Whether the US federal gas rules bind the procedure.
    fn is_gas(&self) -> bool {
        self.p.spec.service.value == Service::Gas && !self.is_metric()
    }

    fn is_metric(&self) -> bool {
        self.p.practice() == Practice::Metric
    }

    /// The first where metric practice rules, the second where US practice does.
    fn by_practice<T>(&self, metric: T, us: T) -> T {
        match self.p.practice() {
            Practice::Metric => metric,
            Practice::Us => us,
        }
    }

    /// The units that come first.
    fn units(&self) -> UnitsFirst {
        self.p.practice().units()
    }

    /// The unit of lengths, for a heading.
    fn unit(&self) -> String {
        self.units().length_unit().symbol().to_owned()
    }

    fn text(&self, clause: Clause) -> Block {
        Block::Text {
            text: self.say(clause),
        }
    }

    /// A list of what the spec says in words.
    fn authors(&self, items: Vec<String>) -> Block {
        match self.text_lang {
            Some(lang) => Block::ListIn { lang, items },
            None => Block::List { items },
        }
    }

    fn section(&self, title: Clause, blocks: Vec<Block>) -> Section {
        Section {
            key: Some(title.key()),
            title: self.say(title),
            blocks,
            own_page: false,
        }
    }

    /// A table, followed by the legend of the verify mark when it is used.
    fn table(
        &self,
        caption: Clause,
        columns: Vec<(Clause, Align)>,
        rows: Vec<Vec<Cell>>,
        small: bool,
    ) -> Vec<Block> {
        let any_mark = rows.iter().flatten().any(|cell| cell.verify);
        let mut blocks = vec![Block::Table(Table {
            caption: self.say(caption),
            columns: columns
                .into_iter()
                .map(|(title, align)| Column {
                    title: format::heading(&self.say(title)),
                    align,
                })
                .collect(),
            rows,
            small,
        })];
        if any_mark {
            blocks.push(Block::VerifyLegend);
        }
        blocks
    }

    /// A statement of the tables, with a plain warning when it is from memory.
    fn statement(&self, figure: &Figure) -> Option<String> {
        let text = self.words.statement(figure)?;
        Some(format::marked(
            text,
            figure.basis >= Basis::Recalled,
            self.words,
        ))
    }

    /// Every statement of a table that bears on the work, in order.
    fn statements(&self, table: &str) -> Vec<String> {
        self.limits
            .statements(table, &self.p.work())
            .into_iter()
            .filter_map(|figure| self.statement(figure))
            .collect()
    }

    fn sizes(&self) -> String {
        format::sizes(&self.p.joints)
    }

    fn resin(&self) -> String {
        self.p.spec.resin.value.clone()
    }
}
