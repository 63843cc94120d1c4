//! What every section of the procedure is written with: the wording of its
//! language, and blocks built from clauses and numbers.

pub(crate) use super::super::block::{Align, Block, Section};
use super::super::block::{Column, Table};
pub(crate) use super::super::cell::Cell;
pub(crate) use super::super::clause::Clause;
use super::super::clauses::Clauses;
use super::super::practice::{self, PracticeWords};
pub(crate) use super::super::{format, work};
use crate::core::size::Size;
use crate::core::units::print::UnitsFirst;
use crate::procedure::resolve::Procedure;
use crate::process::socket::practice::Practice;
use crate::published::{Basis, Entry, Library};
use crate::spec::language::Language;
use crate::spec::{FittingKind, Service};

pub(crate) struct Writer<'a> {
    pub(crate) p: &'a Procedure<'a>,
    pub(crate) limits: &'a Library,
    pub(crate) words: &'a Clauses,
    /// Language of the author's texts, if it is not the paper's.
    pub(crate) text_lang: Option<Language>,
}

impl<'a> Writer<'a> {
    /// A writer of a procedure; `text_lang` is the language of the author's texts, if it
    /// is not that of `words`.
    pub(crate) fn new(
        p: &'a Procedure<'a>,
        limits: &'a Library,
        words: &'a Clauses,
        text_lang: Option<Language>,
    ) -> Self {
        Self {
            p,
            limits,
            words,
            text_lang,
        }
    }

    pub(crate) fn say(&self, clause: Clause) -> String {
        self.words.render(clause)
    }

    pub(crate) fn practice(&self) -> &'static Practice {
        self.p.practice()
    }

    /// The clauses and columns that depend on the practice.
    pub(crate) fn practice_words(&self) -> &'static PracticeWords {
        practice::words(self.practice())
    }

    /// Whether the procedure is for so few sizes that its papers are to be short.
    pub(crate) fn has_few_sizes(&self) -> bool {
        const FEW: usize = 3;
        self.p.sizes().count() <= FEW
    }

    /// Whether the procedure is for a single size, with times of its own for no wall:
    /// then its first page has room for more.
    pub(crate) fn has_one_size(&self) -> bool {
        self.p.joints.len() == 1
    }

    /// A length in both units, as papers print it.
    pub(crate) fn in_print(&self, length: &str) -> String {
        format::in_print(length, &self.say(Clause::HeadInch))
    }

    /// The system of all sizes, if it is one.
    fn system(&self) -> Option<&'static str> {
        let mut systems = self
            .p
            .sizes()
            .map(|joint| format::system(joint.size.system()));
        let first = systems.next()?;
        systems.all(|system| system == first).then_some(first)
    }

    /// The head of a column of sizes, with their system if it is one for all.
    pub(crate) fn size_head(&self) -> String {
        let size = self.say(Clause::ColumnSize);
        match self.system() {
            Some(system) => format!("{size} {system}"),
            None => size,
        }
    }

    /// A size in a column under that head.
    pub(crate) fn size_name(&self, size: Size) -> String {
        match self.system() {
            Some(_) => size.nominal(),
            None => size.to_string(),
        }
    }

    /// Whether the US federal gas rules apply.
    pub(crate) fn is_gas(&self) -> bool {
        self.p.spec.service.value == Service::Gas && self.practice().federal_gas_rules
    }

    /// Which units come first.
    pub(crate) fn units(&self) -> UnitsFirst {
        self.practice().units
    }

    /// The unit of length, for a heading.
    pub(crate) fn unit(&self) -> String {
        self.units().length_unit().symbol().to_owned()
    }

    pub(crate) fn text(&self, clause: Clause) -> Block {
        Block::Text {
            text: self.say(clause),
        }
    }

    pub(crate) fn section(&self, title: Clause, blocks: Vec<Block>) -> Section {
        Section {
            key: Some(title.key()),
            title: self.say(title),
            lead: None,
            blocks,
            own_page: false,
        }
    }

    /// A table, followed by the legend of the verify mark if it is used.
    pub(crate) fn table(
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

    /// A statement of the tables, with a plain warning if it is recalled.
    pub(crate) fn statement(&self, entry: &Entry) -> Option<String> {
        let text = self.words.statement(entry)?;
        Some(format::marked(
            text,
            entry.basis >= Basis::Recalled,
            self.words,
        ))
    }

    /// The applicable statements of a table, in order.
    pub(crate) fn statements(&self, table: &str) -> Vec<String> {
        self.limits
            .statements(table, &self.p.work())
            .into_iter()
            .filter_map(|entry| self.statement(entry))
            .collect()
    }

    /// The sizes pushed together by a tool or machine.
    pub(crate) fn pushed(&self) -> Option<String> {
        work::pushed(self.p, self.limits)
    }

    pub(crate) fn sizes(&self) -> String {
        format::sizes(&self.p.joints)
    }

    pub(crate) fn resin(&self) -> String {
        self.p.spec.resin.value.clone()
    }

    /// Whether the spec covers a kind of fitting.
    pub(crate) fn covers(&self, kind: FittingKind) -> bool {
        let mut kinds = self.p.spec.fittings.kinds.iter();
        kinds.any(|known| known.value == kind)
    }
}
