//! The result of a verification, as text and as JSON.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use super::Outcome;
use crate::cli::head::{Head, VERIFICATION};
use crate::core::digest::short;
use crate::proof::{ClaimedProcedure, Statement, status_word};
use crate::spec::Status;
use crate::verify::{CodeReport, Verdict};

/// What no code can prove.
const END: &str = "\
Compare each code's paper, number, revision and badge with what is in your hand: a code can
be copied onto another paper. A signature tells who issued a paper; it approves nothing.
";

/// What to do where something is false or missing.
const STEP: &str = "\
Next: give what is asked for above and verify again, or ask whoever issued this paper for
the current one. Do not work from it until then.
";

/// How many codes the last line names at most; a file of wallet cards has hundreds.
const MOST_NAMED: usize = 8;

pub(super) fn text(outcome: &Outcome, as_of: NaiveDate) -> String {
    let mut out = format!("{}, as of {as_of}\n", outcome.paper);
    for answer in &outcome.answers {
        out.push_str(&format!("\n{}{}\n", place(answer), heading(answer)));
        for check in &answer.checks {
            let (verdict, about) = (check.verdict.word(), check.about);
            out.push_str(&format!("  {verdict:<9}  {about}: {}\n", check.message));
        }
    }
    for (verdict, remark) in &outcome.remarks {
        out.push_str(&format!("\n  {:<9}  {remark}\n", verdict.word()));
    }
    if !outcome.holds() {
        out.push_str(&format!("\n{STEP}"));
    }
    out + &format!("\n{END}\n{}\n", last_line(outcome))
}

/// What was not proven, on the line that is read first on a terminal.
fn last_line(outcome: &Outcome) -> String {
    let mut unproven: Vec<_> = outcome.answers.iter().filter_map(unproven).collect();
    let rest = unproven.len().saturating_sub(MOST_NAMED);
    if rest > 0 {
        unproven.truncate(MOST_NAMED);
        unproven.push(format!("and of {rest} more codes"));
    }
    match (unproven.is_empty(), outcome.remarks.first()) {
        (true, None) => "Proven: signature, spec and pages.".to_owned(),
        (false, None) => format!("NOT PROVEN: {}.", unproven.join("; ")),
        (_, Some((_, remark))) => {
            let all = std::iter::once(remark.clone()).chain(unproven);
            format!("NOT PROVEN: {}.", all.collect::<Vec<_>>().join("; "))
        }
    }
}

/// What a code does not prove, with how each came out.
fn unproven(answer: &CodeReport) -> Option<String> {
    let mut of: Vec<String> = Vec::new();
    for check in &answer.checks {
        let what = format!("{} ({})", check.about, check.verdict.word());
        if check.verdict != Verdict::Proven && !of.contains(&what) {
            of.push(what);
        }
    }
    // A text alone has no pages to compare.
    if answer.pages.is_empty() && !of.iter().any(|what| what.starts_with("pages")) {
        of.push("pages (none were given)".to_owned());
    }
    (!of.is_empty()).then(|| format!("{}{}", place(answer), of.join(", ")))
}

fn place(answer: &CodeReport) -> String {
    match answer.pages.as_slice() {
        [] => String::new(),
        [page] => format!("page {page}: "),
        pages => {
            let pages: Vec<_> = pages.iter().map(usize::to_string).collect();
            format!("pages {}: ", pages.join(", "))
        }
    }
}

fn heading(answer: &CodeReport) -> String {
    let Ok(statement) = &answer.statement else {
        return "a code that cannot be read".to_owned();
    };
    let claim = &statement.claim;
    let badge = claim.badge.iter().map(|badge| format!(" of badge {badge}"));
    let procedures: Vec<_> = claim.procedures.iter().map(procedure).collect();
    format!(
        "{}{}, {}",
        claim.subject.name(),
        badge.collect::<String>(),
        procedures.join("; ")
    )
}

fn procedure(procedure: &ClaimedProcedure) -> String {
    let status = match procedure.status {
        Status::Draft => "DRAFT",
        Status::Qualified => "qualification claimed",
        Status::Withdrawn => "WITHDRAWN",
    };
    format!(
        "{} revision {}, {status}, spec {}",
        procedure.number,
        procedure.revision,
        short(&procedure.digest)
    )
}

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

pub(super) fn json(outcome: &Outcome, as_of: NaiveDate) -> Document<'_> {
    let remarks = outcome.remarks.iter().map(|(verdict, said)| Remark {
        verdict: verdict.word(),
        said,
    });
    Document {
        head: VERIFICATION,
        paper: &outcome.paper,
        as_of: as_of.to_string(),
        holds: outcome.holds(),
        codes: outcome.answers.iter().map(code).collect(),
        remarks: remarks.collect(),
    }
}

fn code(answer: &CodeReport) -> Code<'_> {
    let checks = answer.checks.iter().map(|check| Check {
        check: check.about,
        verdict: check.verdict.word(),
        fails: check.fails,
        said: &check.message,
    });
    Code {
        pages: &answer.pages,
        text: &answer.text,
        says: answer.statement.as_ref().ok().map(statement),
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
