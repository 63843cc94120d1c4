//! Rules about two revisions of one procedure.

use super::{Change, ChangeKind, Comparison};
use crate::core::finding::{Finding, rules};
use crate::core::source::{FileId, Span};
use crate::procedure::compare::rating::Class;
use crate::procedure::record::support;
use crate::procedure::resolve::{Cited, Procedure};
use crate::published::Library;
use crate::spec::Status;

rules! {
    ESSENTIAL_CHANGE_WITHOUT_RECORD = error(
        "A qualified procedure changes what its test joints proved, and cites no new record.")
        .why("The test joints proved one resin, certain sizes and walls, one depth and certain \
              times. With another of these, nobody has seen such a joint hold; the status still \
              says so.")
        .example("# coldring compare earlier.yaml later.yaml\nprocedure: {status: \
                  qualified}\ntools: {depth_gauges: {1 IPS: {depth: 0.66 in}}}      # earlier: \
                  0.70 in\nqualification: {records: [records/PQ-7.yaml]}         # as earlier")
        .fix("Make and test joints by the new revision and cite their record, which names that \
              revision, under `qualification.records`. Until then set the status to draft.");
    COMPARED_WITH_OTHER_PROCEDURE = error("The two specs that are compared are of two procedures.")
        .why("A notice of change tells crews what is new in a procedure they know. Two procedures \
              differ in nearly everything, and none of it is a change.")
        .example("# coldring compare AF-JP-12.yaml AF-JP-13.yaml")
        .fix("Give two revisions of one procedure. If the number itself was changed, issue the \
              procedure as a new one, with a record of its own.");
    COMPARED_IN_REVERSE = error("The spec given as the later one has the lower revision.")
        .why("Read backward, every change says the opposite: an added size is removed, a longer \
              hold is shorter, and what was proven last counts as unproven.")
        .example("# coldring compare revision-2.yaml revision-1.yaml")
        .fix("Give the earlier revision first.");
    CHANGED_WITHOUT_NEW_REVISION = warning("Both specs have the same revision, and they differ.")
        .why("Papers of one number and revision that differ are in use side by side, and a crew \
              cannot tell from a card which of them it holds.")
        .example("# coldring compare issued.yaml edited.yaml, both: revisions: [{revision: 2, …}]")
        .fix("Add a revision with its number, date and what it changes. While the earlier one is a \
              draft that nobody has been given, nothing needs to be done.");
}

/// Checks that two specs can be compared: the same procedure, the earlier one first.
pub(crate) fn pairing(
    old: &Procedure<'_>,
    new: &Procedure<'_>,
    old_file: FileId,
) -> Option<Finding> {
    let (was, is) = (&old.spec.number, &new.spec.number);
    if was.value != is.value {
        let message = format!(
            "this is {}, and the earlier spec is {}",
            is.value, was.value
        );
        return Some(
            COMPARED_WITH_OTHER_PROCEDURE
                .at(is.span, message)
                .help("give two revisions of one procedure")
                .related_in(old_file, was.span, "the other procedure"),
        );
    }
    let (was, is) = (old.spec.revisions.last()?, new.spec.revisions.last()?);
    (is.number.value < was.number.value).then(|| {
        let (is, was) = (&is.number, &was.number);
        let message = format!(
            "this is revision {}, earlier than revision {} that it is compared with",
            is.value, was.value
        );
        COMPARED_IN_REVERSE
            .at(is.span, message)
            .help("give the earlier revision first")
            .related_in(old_file, was.span, "the later one")
    })
}

/// Checks how one revision follows the other.
pub(crate) fn check(
    comparison: &Comparison,
    old: &Procedure<'_>,
    new: &Procedure<'_>,
    old_file: FileId,
    limits: &Library,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    if new.spec.status.value == Status::Qualified && comparison.proof.is_empty() {
        let cited = proof(old, new, limits);
        let essential = comparison.of_class(Class::Essential);
        findings.extend(essential.map(|change| unproven(change, new, old_file, &cited)));
    }
    let same = comparison.old.revision == comparison.new.revision;
    if let (true, Some(first), Some(revision)) =
        (same, comparison.changes.first(), new.spec.revisions.last())
    {
        let more = match comparison.changes.len() {
            1 => String::new(),
            2 => " and 1 change more".to_owned(),
            n => format!(" and {} changes more", n - 1),
        };
        let message = format!(
            "both specs are revision {}, and they differ: {}{more}",
            comparison.new.revision,
            describe(first)
        );
        findings.push(
            CHANGED_WITHOUT_NEW_REVISION
                .at(revision.number.span, message)
                .help(
                    "add a revision that says what it changes, unless nobody has the earlier one",
                ),
        );
    }
    findings
}

/// A cited record, and why it does not prove the changes, if it does not.
pub(crate) type CheckedRecord<'p> = (Cited<'p>, Option<String>);

/// The later procedure's records, each checked as proof of the changes.
pub(crate) fn proof<'p>(
    old: &Procedure<'_>,
    new: &Procedure<'p>,
    limits: &Library,
) -> Vec<CheckedRecord<'p>> {
    let support = support(new, limits);
    let short_of_temperatures = support.beyond_temperatures(new).is_some();
    let last = |procedure: &Procedure<'_>| {
        let last = procedure.spec.revisions.last();
        last.map(|revision| (revision.number.value, revision.date.value))
    };
    let known: Vec<_> = old
        .cited()
        .map(|record| (record.number.value.clone(), record.date.value))
        .collect();
    let weigh = |record: &Cited<'p>| {
        let ((was, issued), (is, _)) = last(old).zip(last(new))?;
        let (number, date) = (&record.number.value, record.date.value);
        if known
            .iter()
            .any(|(known, on)| known == number && *on == date)
        {
            return Some(format!("{number} is cited by the earlier spec too"));
        }
        let revision = record.revision.value;
        if revision != is && revision <= was {
            return Some(format!("{number} supports revision {revision}"));
        }
        if date < issued {
            return Some(format!(
                "{number} of {date} is older than revision {was}, which is of {issued}"
            ));
        }
        if record.file == FileId::SPEC {
            // Without its file, its joints are unknown.
            return None;
        }
        let mut joints = support.joints.iter();
        if !joints.any(|joint| joint.record_file.file == record.file && joint.counts()) {
            return Some(format!("no joint of {number} supports revision {is}"));
        }
        short_of_temperatures.then(|| {
            format!("the joints of {number} do not reach the pipe temperatures of revision {is}")
        })
    };
    new.cited().map(|record| (record, weigh(&record))).collect()
}

fn unproven(
    change: &Change,
    new: &Procedure<'_>,
    old_file: FileId,
    cited: &[CheckedRecord<'_>],
) -> Finding {
    let status = new.spec.status.span;
    let place = change.new.as_ref().map_or(status, |fact| fact.span);
    let mut finding = ESSENTIAL_CHANGE_WITHOUT_RECORD
        .at(
            place,
            format!(
                "{}; no record proves it, and the status is qualified",
                describe(change)
            ),
        )
        .help(
            "make and test joints by this revision and cite their record, or set the status to \
             draft",
        );
    let class = &change.rating.class_entry;
    finding = finding.limit(format!("{} ({})", class.source, class.basis.word()));
    if place != status {
        finding = finding.related(status, "the status");
    }
    for (record, refused) in cited {
        if let Some(reason) = refused {
            finding = finding.related_in(record.file, record.number.span, reason);
        }
    }
    // A value from the tables has no place in the spec.
    let was = change
        .old
        .as_ref()
        .filter(|fact| fact.span != Span::default());
    match was {
        Some(fact) if change.kind != ChangeKind::Added => {
            finding.related_in(old_file, fact.span, "what it was")
        }
        _ => finding,
    }
}

/// A change in words: `hold of 1-1/4 IPS: was 60 s, now 50 s`.
pub(crate) fn describe(change: &Change) -> String {
    let name = change.rating.name.text().unwrap_or(change.variable);
    let name = match change.of.as_str() {
        "" => name.to_owned(),
        of => format!("{name} {of}"),
    };
    let shown = |fact: &Option<super::Fact>| {
        let shown = fact.as_ref().map(|fact| fact.shown.clone());
        shown.filter(|shown| !shown.is_empty())
    };
    match (shown(&change.old), shown(&change.new)) {
        (Some(was), Some(is)) => format!("{name}: was {was}, now {is}"),
        (None, Some(is)) => format!("{name} added: {is}"),
        (Some(was), None) => format!("{name} removed: it was {was}"),
        (None, None) if change.kind == ChangeKind::Removed => format!("{name} removed"),
        (None, None) => format!("{name} added"),
    }
}
