//! The comparison as one document for programs. Its `version` changes when a
//! field changes meaning.

use schemars::JsonSchema;
use serde::Serialize;

use crate::cli::head::{COMPARISON, Head};
use crate::core::finding_json::{JsonFinding, json_finding};
use crate::papers::compile::Compared;
use crate::procedure::compare::{Change, Class, Comparison, Fact, Side};
use crate::spec::Status;

#[derive(Serialize, JsonSchema)]
pub(in crate::cli) struct Document<'c> {
    #[serde(flatten)]
    head: Head,
    /// Number of the procedure.
    number: &'c str,
    old: Revision<'c>,
    new: Revision<'c>,
    /// Version of the tables.
    tables: &'static str,
    /// Whether the procedure has to be qualified again.
    procedure_requalify: bool,
    /// Records that prove the change.
    records: &'c [String],
    /// Requalify, tell or nothing.
    fusers: &'static str,
    /// How many changes are essential.
    essential: usize,
    /// How many are supplementary.
    supplementary: usize,
    /// How many are editorial.
    editorial: usize,
    changes: Vec<JsonChange<'c>>,
    findings: Vec<JsonFinding>,
    /// Path of the notice.
    written: Option<&'c str>,
}

#[derive(Serialize, JsonSchema)]
struct Revision<'c> {
    /// The spec as you gave it.
    file: &'c str,
    /// Its revision.
    revision: u32,
    /// Date of that.
    date: String,
    /// Day from which it holds.
    effective: Option<String>,
    /// What it says of its change.
    change: Option<&'c str>,
    /// Draft, qualified or withdrawn.
    status: &'static str,
    /// SHA-256 of the spec and the files it names.
    spec_digest: &'c str,
}

#[derive(Serialize, JsonSchema)]
struct JsonChange<'c> {
    /// Id of the variable.
    variable: &'static str,
    /// Its name.
    name: &'c str,
    /// What became of it.
    change: &'static str,
    /// Of which size or part.
    of: Option<&'c str>,
    /// What it was.
    old: Option<&'c str>,
    /// What it is.
    new: Option<&'c str>,
    /// Essential, supplementary or editorial.
    class: &'static str,
    /// Whether the class is the organization's to decide.
    decided_by_organization: bool,
    /// Requalify, tell or nothing.
    fusers: &'static str,
    /// Reason of the class.
    why: Option<&'c str>,
    /// How well the class is known.
    basis: &'static str,
    /// Where it was read.
    source: &'c str,
}

pub(crate) fn document<'c>(
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
        change: change.kind.key(),
        of: (!change.of.is_empty()).then_some(change.of.as_str()),
        old: shown(&change.old),
        new: shown(&change.new),
        class: rating.class.word(),
        decided_by_organization: rating.undecided(),
        fusers: rating.fusers.word(),
        why: rating.why.as_ref().and_then(|why| why.text()),
        basis: rating.class_entry.basis.word(),
        source: &rating.class_entry.source,
    }
}

/// A value for people; none for what is only there or not.
fn shown(fact: &Option<Fact>) -> Option<&str> {
    let shown = fact.as_ref().map(|fact| fact.shown.as_str());
    shown.filter(|shown| !shown.is_empty())
}
