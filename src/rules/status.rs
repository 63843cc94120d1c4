//! Rules about the procedure's status: its claim, the records and revisions behind it.
//! Rules that depend on the current date are marked `dated`.

use chrono::NaiveDate;

use super::Context;
use crate::core::finding::{Finding, rules};
use crate::core::source::Spanned;
use crate::procedure::resolve::{Cited, Procedure};
use crate::spec::{Revision, Status};

rules! {
    QUALIFIED_WITHOUT_RECORD = error(
        "The status is qualified, and no record of test joints is cited.")
        .absence()
        .why("A procedure is qualified by joints that were made by it and tested. The word on the \
              paper without the record is only a word, and a fuser relies on it.")
        .example("procedure: {status: qualified}\nqualification: {records: []}")
        .fix("Make the test joints, write the record as a file beside the spec, and cite it: \
              records: [records/PQ-1.yaml], with your own name of the file. `coldring forms SPEC` \
              prints the form to fill in by hand, and `coldring schema record` says what the file \
              holds. Or set the status back to draft.");
    RECORD_AFTER_AS_OF = error("A record is dated later than today (or --as-of).")
        .dated()
        .why("A test that has not been made proves nothing. Most often the year is wrong.")
        .example("qualification:\n  records: [{number: PQ-031, date: 2049-01-01, revision: 1}]")
        .fix("Correct the date, or cite the record when the joints have been tested.");
    RECORD_AFTER_REVISION = warning("A record is dated after its revision took effect.")
        .why("A procedure is qualified before it is used. From that day to the test the revision \
              had no proof, and the joints made by it in that time have none.")
        .example("procedure: {revisions: [{revision: 1, date: \
                  2026-09-14}]}\nqualification:\n  records: [{number: PQ-031, date: 2026-10-02, \
                  revision: 1}]")
        .fix("Check both dates. If they are right, find out what was joined between them, or issue \
              a new revision that the record precedes.");
    RECORD_FOR_UNKNOWN_REVISION = error(
        "A record supports a revision that is not in the list of revisions.")
        .absence()
        .why("Nobody can tell which settings the tested joints were made with.")
        .example("procedure: {revisions: [{revision: 1, date: \
                  2026-09-14}]}\nqualification:\n  records: [{number: PQ-031, date: 2026-09-01, \
                  revision: 7}]")
        .fix("Name the revision whose settings the tested joints were made with.");
    RECORD_FOR_OTHER_REVISION = error(
        "The status is qualified, and every record supports an earlier revision.")
        .absence()
        .why("A change of resin, size, time, temperature or tool is a change of what was proven. \
              Whether the old record still covers the new revision is for a qualified person to \
              say, and nothing in the spec shows that one did.")
        .example("procedure:\n  status: qualified\n  revisions: [{revision: 1, date: 2026-09-14}, \
                  {revision: 2, date: 2026-11-02}]\nqualification:\n  records: [{number: PQ-031, \
                  date: 2026-09-01, revision: 1}]")
        .fix("Cite a record for the current revision beside the earlier one: that of new test \
              joints, or that of the review in which a qualified person found that nothing the \
              joints proved has changed. Or set the status to draft until there is one.");
    QUALIFIED_WITHOUT_EFFECTIVE_DATE = error(
        "The status is qualified, and the revision does not say from which day it is effective.")
        .absence()
        .why("Crews work by a qualified procedure. Without the day, nobody can tell which joints \
              were to be made by this revision and which by the one before it; the day of issue \
              does not say so.")
        .example("procedure:\n  status: qualified\n  revisions: [{revision: 2, date: 2026-11-02}]")
        .fix("Add `effective` to the last revision: the day of issue or a later one. Or set the \
              status to draft until the day is decided.");
    EFFECTIVE_IN_FUTURE = note("A revision takes effect later than today (or --as-of).")
        .dated()
        .why("Until that day the revision before it is the one to work by, or none if there is none \
              before it. Two sets of papers may be about, and crews have to know which one counts.")
        .example("procedure:\n  revisions: [{revision: 2, date: 2026-11-02, effective: \
                  2049-01-01}]")
        .fix("Nothing, if it is meant. Hand the papers out when the day comes.");
    EFFECTIVE_BEFORE_REVISION_DATE = warning(
        "A revision takes effect before the day it was issued.")
        .why("Nobody can work by a procedure that is not written yet. Joints made between the two \
              days would be held against settings their crew never saw.")
        .example("procedure:\n  revisions: [{revision: 2, date: 2026-11-02, effective: \
                  2026-10-02}]")
        .fix("Check both dates. `effective` is the day of issue or a later one.");
    EFFECTIVE_AFTER_NEXT_REVISION = warning(
        "A revision takes effect on the day of the revision that follows it, or later.")
        .why("By these dates the older revision takes the place of the newer one. Crews have to \
              know which of the two to work by.")
        .example("procedure:\n  revisions:\n    - {revision: 1, date: 2026-09-14, effective: \
                  2026-12-01}\n    - {revision: 2, date: 2026-11-02}")
        .fix("Check both dates. If the older revision never took effect, say so in its change \
              and take its `effective` out.");
    REVISIONS_OUT_OF_ORDER = error(
        "The numbers or the dates of the revisions do not rise from first to last.")
        .why("The last revision in the list is the one on the papers. If the list is out of order, \
              crews get an old procedure under a new date.")
        .example("procedure:\n  revisions: [{revision: 2, date: 2026-11-02}, {revision: 1, date: \
                  2026-09-14}]")
        .fix("List the revisions oldest first, each with a higher number and a later date.");
    REVISION_SKIPPED = warning("The list of revisions leaves a number out.")
        .why("The last revision is the one that every paper and record names. A typing error in \
            it makes \
              records of the right revision belong to another one.")
        .example("revisions:\n  - {revision: 1, date: 2026-09-14}\n  - {revision: 3, date: \
                  2026-11-02}")
        .fix("Correct the number, or list the revisions between.");
    REVISION_DATE_AFTER_AS_OF = note("A revision is dated later than today (or --as-of).")
        .dated()
        .why("Papers dated ahead are common while a change is being prepared. A wrong year looks \
              the same.")
        .example("procedure: {revisions: [{revision: 1, date: 2049-01-01}]}")
        .fix("Check the date. If the revision takes effect on a later day than it is issued, \
              give that day as `effective`.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    qualified(context.procedure, findings);
    for record in context.procedure.cited() {
        dates_of_record(&record, context, findings);
    }
    revisions(context, findings);
}

/// Checks that a claim of being qualified has a record for this revision.
fn qualified(procedure: &Procedure<'_>, findings: &mut Vec<Finding>) {
    let spec = procedure.spec;
    let Some(current) = spec.revisions.last() else {
        return;
    };
    if spec.status.value != Status::Qualified {
        return;
    }
    if current.effective.is_none() {
        findings.push(
            QUALIFIED_WITHOUT_EFFECTIVE_DATE
                .at(
                    current.number.span,
                    format!(
                        "the status is qualified, but revision {} does not say from which day it \
                         is effective",
                        *current.number
                    ),
                )
                .related(spec.status.span, "the claim")
                .help(
                    "add `effective:` with that day, the day of issue or a later one; or set the \
                     status to draft",
                ),
        );
    }
    let records: Vec<_> = procedure.cited().collect();
    if records.is_empty() {
        findings.push(
            QUALIFIED_WITHOUT_RECORD
                .at(
                    spec.status.span,
                    "the status is qualified, but no record is cited",
                )
                .help(
                    "cite the record of the test joints, a file beside the spec, under \
                     `qualification`: records: [records/PQ-1.yaml] (`coldring forms` prints the \
                     form); or set the status to draft",
                ),
        );
    } else if !records
        .iter()
        .any(|r| r.revision.value == current.number.value)
    {
        let current = current.number.value;
        let mut finding = RECORD_FOR_OTHER_REVISION
            .at(
                spec.status.span,
                format!("the status is qualified, but no record supports revision {current}"),
            )
            .help(format!(
                "cite a record for revision {current} too, of test joints or of a qualified person's \
                 review, or set the status to draft"
            ));
        for record in records {
            finding = finding.related_in(
                record.file,
                record.revision.span,
                format!(
                    "{} supports revision {}",
                    **record.number, **record.revision
                ),
            );
        }
        findings.push(finding);
    }
}

fn dates_of_record(record: &Cited<'_>, context: &Context<'_>, findings: &mut Vec<Finding>) {
    let (number, date) = (&record.number.value, record.date.value);
    if date > context.as_of {
        findings.push(
            RECORD_AFTER_AS_OF
                .at(
                    record.date.span,
                    format!("record {number} is dated {date}, after {}", context.as_of),
                )
                .in_file(record.file)
                .help("correct the date, or cite the record when the joints have been tested"),
        );
    }
    let revisions = &context.procedure.spec.revisions;
    let supported = revisions
        .iter()
        .find(|r| r.number.value == record.revision.value);
    match supported {
        None => {
            let known: Vec<_> = revisions
                .iter()
                .map(|r| r.number.value.to_string())
                .collect();
            findings.push(
                RECORD_FOR_UNKNOWN_REVISION
                    .at(
                        record.revision.span,
                        format!(
                            "record {number} supports revision {}, which is not listed",
                            record.revision.value
                        ),
                    )
                    .in_file(record.file)
                    .help(format!("the revisions listed are: {}", known.join(", "))),
            );
        }
        Some(revision) if date > in_use(revision).value => {
            let since = in_use(revision);
            let days = (date - since.value).num_days();
            findings.push(
                RECORD_AFTER_REVISION
                    .at(
                        record.date.span,
                        format!(
                            "record {number} is dated {date}, {days} {} after revision {} took effect",
                            if days == 1 { "day" } else { "days" },
                            revision.number.value
                        ),
                    )
                    .in_file(record.file)
                    .help("check both dates; a procedure is proven before it is used")
                    .related(
                        since.span,
                        format!("revision {} takes effect on {}", *revision.number, **since),
                    ),
            );
        }
        Some(_) => {}
    }
}

/// The day from which crews work by a revision: its effective date, or the day it was issued.
fn in_use(revision: &Revision) -> &Spanned<NaiveDate> {
    revision.effective.as_ref().unwrap_or(&revision.date)
}

fn revisions(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let revisions = &context.procedure.spec.revisions;
    let as_of = context.as_of;
    for (earlier, later) in revisions.iter().zip(revisions.iter().skip(1)) {
        if later.number.value <= earlier.number.value {
            findings.push(
                REVISIONS_OUT_OF_ORDER
                    .at(
                        later.number.span,
                        format!(
                            "revision {} follows revision {}",
                            *later.number, *earlier.number
                        ),
                    )
                    .help("list the revisions oldest first, each with a higher number")
                    .related(earlier.number.span, "the revision before it"),
            );
        }
        if later.number.value > earlier.number.value.saturating_add(1) {
            findings.push(
                REVISION_SKIPPED
                    .at(
                        later.number.span,
                        format!(
                            "revision {} follows revision {}",
                            *later.number, *earlier.number
                        ),
                    )
                    .help("correct the number, or list the revisions between")
                    .related(earlier.number.span, "the revision before it"),
            );
        }
        if later.date.value < earlier.date.value {
            findings.push(
                REVISIONS_OUT_OF_ORDER
                    .at(
                        later.date.span,
                        format!(
                            "revision {} is dated {}, before revision {} of {}",
                            *later.number, *later.date, *earlier.number, *earlier.date
                        ),
                    )
                    .help("list the revisions oldest first, each with a later date")
                    .related(earlier.date.span, "the date of the revision before it"),
            );
        }
    }
    for (earlier, later) in revisions.iter().zip(revisions.iter().skip(1)) {
        let next = later.effective.as_ref().unwrap_or(&later.date);
        let late = |effective: &&Spanned<NaiveDate>| effective.value >= next.value;
        if let Some(effective) = earlier.effective.as_ref().filter(late) {
            findings.push(
                EFFECTIVE_AFTER_NEXT_REVISION
                    .at(
                        effective.span,
                        format!(
                            "revision {} takes effect on {}, and revision {} on {}",
                            *earlier.number, **effective, *later.number, **next
                        ),
                    )
                    .related(next.span, "the revision that follows")
                    .help("check both dates"),
            );
        }
    }
    for (at, revision) in revisions.iter().enumerate() {
        let number = revision.number.value;
        if revision.date.value > as_of {
            findings.push(
                REVISION_DATE_AFTER_AS_OF
                    .at(
                        revision.date.span,
                        format!(
                            "revision {number} is dated {}, after {as_of}",
                            *revision.date
                        ),
                    )
                    .help("check the date"),
            );
        }
        let before_issue = |effective: &&Spanned<NaiveDate>| effective.value < revision.date.value;
        if let Some(effective) = revision.effective.as_ref().filter(before_issue) {
            findings.push(
                EFFECTIVE_BEFORE_REVISION_DATE
                    .at(
                        effective.span,
                        format!(
                            "revision {number} takes effect on {}, before it is issued",
                            **effective
                        ),
                    )
                    .help("check both dates")
                    .related(
                        revision.date.span,
                        format!("it is dated {}", *revision.date),
                    ),
            );
        }
        if let Some(effective) = revision.effective.as_ref().filter(|e| e.value > as_of) {
            findings.push(
                EFFECTIVE_IN_FUTURE
                    .at(
                        effective.span,
                        format!("revision {number} takes effect on {}", **effective),
                    )
                    .help(if at == 0 {
                        "until then nobody works by this procedure"
                    } else {
                        "until then the revision before it is the one to work by"
                    }),
            );
        }
    }
}
