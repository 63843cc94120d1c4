//! The result of a verification, as JSON.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::cli::head::{Head, VERIFICATION};
use crate::proof::{Statement, status_word};
use crate::verify::{CodeReport, PaperReport};

/// The document.
#[derive(Serialize, JsonSchema)]
pub(in crate::cli) struct Document<'o> {
    #[serde(flatten)]
    head: Head,
    /// The paper as you gave it.
    paper: &'o str,
    /// Day of the answer.
    as_of: String,
    /// Whether no check fails and there is no remark.
    holds: bool,
    codes: Vec<Code<'o>>,
    remarks: Vec<Remark<'o>>,
}

#[derive(Serialize, JsonSchema)]
struct Code<'o> {
    /// Pages that carry the code.
    pages: &'o [usize],
    /// Text of the code.
    text: &'o str,
    says: Option<Says<'o>>,
    checks: Vec<Check<'o>>,
}

#[derive(Serialize, JsonSchema)]
struct Says<'o> {
    /// Kind of paper.
    paper: String,
    /// Badge, on a wallet card.
    badge: Option<&'o str>,
    procedures: Vec<Procedure<'o>>,
    /// Id of the key.
    key: &'o str,
}

#[derive(Serialize, JsonSchema)]
struct Procedure<'o> {
    /// Number of the procedure.
    number: &'o str,
    /// Its revision.
    revision: u32,
    /// Draft, qualified or withdrawn.
    status: String,
    /// First digits of the spec's digest.
    spec_digest: &'o str,
    /// Last day of a person's qualification.
    valid_until: Option<String>,
}

#[derive(Serialize, JsonSchema)]
struct Check<'o> {
    /// What was looked at.
    check: &'static str,
    /// Proven, FALSE, missing, scan or unchecked.
    verdict: &'static str,
    /// Whether the paper fails by it.
    fails: bool,
    /// What came out.
    said: &'o str,
}

#[derive(Serialize, JsonSchema)]
struct Remark<'o> {
    /// The same, of the file as a whole.
    verdict: &'static str,
    /// What came out.
    said: &'o str,
}

pub(super) fn json(report: &PaperReport, as_of: NaiveDate) -> Document<'_> {
    let remarks = report.remarks.iter().map(|(verdict, said)| Remark {
        verdict: verdict.word(),
        said,
    });
    Document {
        head: VERIFICATION,
        paper: &report.paper,
        as_of: as_of.to_string(),
        holds: report.holds(),
        codes: report.codes.iter().map(code).collect(),
        remarks: remarks.collect(),
    }
}

fn code(report: &CodeReport) -> Code<'_> {
    let checks = report.checks.iter().map(|check| Check {
        check: check.about,
        verdict: check.verdict.word(),
        fails: check.fails,
        said: &check.message,
    });
    Code {
        pages: &report.pages,
        text: &report.text,
        says: report.statement.as_ref().ok().map(statement),
        checks: checks.collect(),
    }
}

fn statement(statement: &Statement) -> Says<'_> {
    let claim = &statement.claim;
    let procedures = claim.procedures.iter().map(|procedure| Procedure {
        number: &procedure.number,
        revision: procedure.revision,
        status: status_word(procedure.status).to_lowercase(),
        spec_digest: &procedure.digest,
        valid_until: procedure.valid_until.map(|day| day.to_string()),
    });
    Says {
        paper: claim.subject.word().to_lowercase(),
        badge: claim.badge.as_deref(),
        procedures: procedures.collect(),
        key: &statement.key_id,
    }
}
