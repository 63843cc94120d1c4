//! Responsibilities and records, as templates read them: who does what, words, how a joint
//! is marked, what follows one that fails, who keeps which record, and what the status
//! rests on.

use serde::Serialize;

use crate::spec::language::Language;

/// Rows of a term and what it means.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Glossary {
    pub(crate) title: String,
    pub(crate) rows: Vec<Entry>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Entry {
    pub(crate) head: String,
    pub(crate) text: String,
    /// Language of an author's text, if it is not the paper's.
    pub(crate) lang: Option<Language>,
}

/// Who does what, beside the words of the papers.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Duties {
    /// Nothing where the first page has them.
    pub(crate) glossaries: Option<[Glossary; 2]>,
    pub(crate) short: Option<ShortRecords>,
}

/// All that the section has besides, where it is short: in two columns.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ShortRecords {
    pub(crate) mark: JointMark,
    pub(crate) qualified: Qualified,
    pub(crate) failed: FailedJoint,
    pub(crate) kept: RecordsKept,
}

/// A box to fill in by hand until the organization has written its rule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct FillIn {
    pub(crate) word: String,
    pub(crate) hint: String,
}

/// How a joint is marked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct JointMark {
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) alt: String,
    pub(crate) id: String,
    pub(crate) date: String,
    pub(crate) fitting: String,
    /// The organization's rule.
    pub(crate) own: Option<Entry>,
    pub(crate) fill_in: Option<FillIn>,
}

/// What follows a joint that fails.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct FailedJoint {
    pub(crate) title: String,
    pub(crate) lead: String,
    /// What is done, in order; the last one stops the work.
    pub(crate) steps: Vec<Entry>,
    pub(crate) log: String,
    /// The organization's rules.
    pub(crate) own: Vec<Entry>,
    pub(crate) fill_in: Option<FillIn>,
}

/// Who keeps which record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct RecordsKept {
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) columns: [String; 3],
    pub(crate) rows: Vec<KeptRow>,
    /// The word of a box to fill in, if a row has one.
    pub(crate) fill_in: Option<String>,
    /// What the boxes of the section are for, if it has any.
    pub(crate) legend: Option<String>,
    /// Language of the authors' texts, if it is not the paper's.
    pub(crate) lang: Option<Language>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct KeptRow {
    pub(crate) record: String,
    /// Who keeps it and until when.
    pub(crate) kept: Option<[String; 2]>,
}

/// What the status rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Qualified {
    pub(crate) title: String,
    /// The bar of a procedure that is not qualified: a word, and why.
    pub(crate) bar: Option<[String; 2]>,
    pub(crate) lines: Vec<Entry>,
}
