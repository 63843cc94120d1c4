//! What the file of a submittal says.

use chrono::NaiveDate;

use crate::core::source::Spanned;
use crate::people::fusers::Choice;
use crate::spec::Paper;
use crate::spec::language::Language;

/// A submittal. Paths start at the folder of its file.
#[derive(Debug, Clone)]
pub struct Submittal {
    /// Its number; names the folder it is written to.
    pub number: Spanned<String>,
    /// Its revision, from 0.
    pub revision: Spanned<u32>,
    /// Its date; findings about dates and the list of fusers go by it.
    pub date: Spanned<NaiveDate>,
    /// What is submitted.
    pub title: Spanned<String>,
    /// The project.
    pub project: Spanned<String>,
    /// The contract.
    pub contract: Option<Spanned<String>>,
    /// The section of the specification that asks for it.
    pub section: Spanned<String>,
    /// Who submits it.
    pub by: Party,
    /// Who it is submitted to.
    pub to: Party,
    /// What the reviewer should know.
    pub remarks: Vec<Spanned<String>>,
    /// The paper.
    pub paper: Option<Spanned<Paper>>,
    /// The language of the submittal and all it makes.
    pub language: Option<Spanned<Language>>,
    /// The procedures, each once.
    pub procedures: Vec<NamedProcedure>,
    /// Whose qualifications are listed.
    pub fusers: Option<NamedRoster>,
    /// The PDFs that are attached, each once.
    pub attachments: Vec<NamedAttachment>,
}

/// Somebody who sends or receives a submittal.
#[derive(Debug, Clone)]
pub struct Party {
    /// The organization.
    pub name: Spanned<String>,
    /// Address and how to reach it, line by line.
    pub lines: Vec<Spanned<String>>,
}

/// A procedure that is submitted.
#[derive(Debug, Clone)]
pub struct NamedProcedure {
    /// The path of its spec.
    pub spec: Spanned<String>,
    /// The paths of its records that go with it. They name people, so none goes
    /// along unless it stands here.
    pub records: Vec<Spanned<String>>,
    /// The paths of specs of earlier revisions, to tell whether specimens made by
    /// them still hold. They are not enclosed.
    pub previous: Vec<Spanned<String>>,
}

/// The roster that fusers are listed from.
#[derive(Debug, Clone)]
pub struct NamedRoster {
    /// Its path.
    pub roster: Spanned<String>,
    /// Whom to list; everybody with a procedure of the submittal where empty.
    pub badges: Vec<Spanned<String>>,
    /// Rule sets, which govern over those of the roster.
    pub rules: Vec<Choice>,
}

/// A PDF that is attached.
#[derive(Debug, Clone)]
pub struct NamedAttachment {
    /// Its path.
    pub file: Spanned<String>,
    /// What it is.
    pub title: Spanned<String>,
}
