//! The comparison as one document for programs. Its `version` changes when a
//! field changes meaning.

use serde::Serialize;

use crate::cli::documents::{COMPARISON, Head};
use crate::cli::json::{JsonFinding, json_finding};
use crate::papers::compile::Compared;
use crate::procedure::compare::{Change, Class, Comparison, Fact, Side};
use crate::spec::Status;

#[derive(Serialize)]
pub struct Document<'c> {
    #[serde(flatten)]
    head: Head,
    number: &'c str,
    old: Revision<'c>,
    new: Revision<'c>,
    tables: &'static str,
    procedure_requalify: bool,
    records: &'c [String],
    fusers: &'static str,
    essential: usize,
    supplementary: usize,
    editorial: usize,
    changes: Vec<JsonChange<'c>>,
    findings: Vec<JsonFinding>,
    written: Option<&'c str>,
}

#[derive(Serialize)]
struct Revision<'c> {
    file: &'c str,
    revision: u32,
    date: String,
    effective: Option<String>,
    change: Option<&'c str>,
    status: &'static str,
    spec_digest: &'c str,
}

#[derive(Serialize)]
struct JsonChange<'c> {
    variable: &'static str,
    name: &'c str,
    change: &'static str,
    of: Option<&'c str>,
    old: Option<&'c str>,
    new: Option<&'c str>,
    class: &'static str,
    decided_by_organization: bool,
    fusers: &'static str,
    why: Option<&'c str>,
    basis: &'static str,
    source: &'c str,
}

pub fn document<'c>(
    comparison: &'c Comparison,
    [old, new]: [&'c String; 2],
    compared: &Compared,
    written: Option<&'c str>,
) -> Document<'c> {
    let count = |class| comparison.of_class(class).count();
    let findings = compared.checked.findings.iter();
    Document {
        head: COMPARISON,
        number: &comparison.new.number,
        old: revision(&comparison.old, old),
        new: revision(&comparison.new, new),
        tables: crate::published::library().version(),
        procedure_requalify: comparison.requalify(),
        records: &comparison.proof,
        fusers: comparison.fusers().word(),
        essential: count(Class::Essential),
        supplementary: count(Class::Supplementary),
        editorial: count(Class::Editorial),
        changes: comparison.changes.iter().map(change).collect(),
        findings: findings
            .map(|f| json_finding(f, &compared.sources))
            .collect(),
        written,
    }
}

fn revision<'c>(side: &'c Side, file: &'c str) -> Revision<'c> {
    Revision {
        file,
        revision: side.revision,
        date: side.date.to_string(),
        effective: side.effective.map(|day| day.to_string()),
        change: side.change.as_deref(),
        status: match side.status {
            Status::Draft => "draft",
            Status::Qualified => "qualified",
            Status::Withdrawn => "withdrawn",
        },
        spec_digest: &side.digest,
    }
}

fn change(change: &Change) -> JsonChange<'_> {
    let rating = &change.rating;
    JsonChange {
        variable: change.variable,
        name: rating.name.text().unwrap_or(change.variable),
        change: change.how.key(),
        of: (!change.of.is_empty()).then_some(change.of.as_str()),
        old: shown(&change.old),
        new: shown(&change.new),
        class: rating.class.word(),
        decided_by_organization: rating.undecided(),
        fusers: rating.fusers.word(),
        why: rating.why.as_ref().and_then(|why| why.text()),
        basis: rating.figure.basis.word(),
        source: &rating.figure.source,
    }
}

/// A value for people; none for what is only there or not.
fn shown(fact: &Option<Fact>) -> Option<&str> {
    let shown = fact.as_ref().map(|fact| fact.shown.as_str());
    shown.filter(|shown| !shown.is_empty())
}
