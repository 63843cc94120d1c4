//! The answer as text, for people, and as JSON.

use annotate_snippets::normalize_untrusted_str;
use chrono::NaiveDate;
use serde_json::{Value, json};

use super::Outcome;
use crate::cli::args::Format;
use crate::cli::documents::VERIFICATION;
use crate::digest::short;
use crate::proof::{ClaimedProcedure, Statement, status_word};
use crate::spec::Status;
use crate::verify::Answer;

/// What a code cannot tell, whatever it proves.
const END: &str = "\
Compare each code's paper, number, revision and badge with what is in your hand: a code can
be copied onto another paper. A signature tells who issued a paper; it approves nothing.
";

/// What to do where something is false or missing.
const STEP: &str = "\
Next: ask whoever issued this paper for the current one, and do not work from it until then.
";

/// The answer in a format.
pub(super) fn shown(outcome: &Outcome, as_of: NaiveDate, format: Format) -> String {
    match format {
        Format::Text => text(outcome, as_of),
        Format::Json => {
            let text = serde_json::to_string_pretty(&document(outcome, as_of));
            text.unwrap_or_default() + "\n"
        }
    }
}

fn text(outcome: &Outcome, as_of: NaiveDate) -> String {
    let mut out = format!("{}, as of {as_of}\n", outcome.paper);
    for answer in &outcome.answers {
        out.push_str(&format!("\n{}{}\n", place(answer), heading(answer)));
        for check in &answer.checks {
            let (verdict, about) = (check.verdict.word(), check.about);
            out.push_str(&format!("  {verdict:<9}  {about}: {}\n", check.said));
        }
    }
    for (verdict, said) in &outcome.remarks {
        out.push_str(&format!("\n  {:<9}  {said}\n", verdict.word()));
    }
    if !outcome.holds() {
        out.push_str(&format!("\n{STEP}"));
    }
    // What a code holds never steers the terminal.
    normalize_untrusted_str(&format!("{out}\n{END}"))
}

fn place(answer: &Answer) -> String {
    match answer.pages.as_slice() {
        [] => String::new(),
        [page] => format!("page {page}: "),
        pages => {
            let pages: Vec<_> = pages.iter().map(usize::to_string).collect();
            format!("pages {}: ", pages.join(", "))
        }
    }
}

fn heading(answer: &Answer) -> String {
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

fn document(outcome: &Outcome, as_of: NaiveDate) -> Value {
    let remarks = outcome.remarks.iter();
    let remarks = remarks.map(|(verdict, said)| json!({"verdict": verdict.word(), "said": said}));
    json!({
        "format": VERIFICATION.format,
        "version": VERIFICATION.version,
        "paper": outcome.paper,
        "as_of": as_of.to_string(),
        "holds": outcome.holds(),
        "codes": outcome.answers.iter().map(code).collect::<Vec<_>>(),
        "remarks": remarks.collect::<Vec<_>>(),
    })
}

fn code(answer: &Answer) -> Value {
    let checks = answer.checks.iter().map(
        |check| json!({"check": check.about, "verdict": check.verdict.word(), "said": check.said}),
    );
    json!({
        "pages": answer.pages,
        "text": answer.text,
        "says": answer.statement.as_ref().ok().map(statement),
        "checks": checks.collect::<Vec<_>>(),
    })
}

fn statement(statement: &Statement) -> Value {
    let claim = &statement.claim;
    let procedures = claim.procedures.iter().map(|procedure| {
        json!({
            "number": procedure.number,
            "revision": procedure.revision,
            "status": status_word(procedure.status).to_lowercase(),
            "spec_digest": procedure.digest,
            "valid_until": procedure.valid_until.map(|day| day.to_string()),
        })
    });
    json!({
        "paper": claim.subject.word().to_lowercase(),
        "badge": claim.badge,
        "procedures": procedures.collect::<Vec<_>>(),
        "key": statement.key_id,
    })
}
