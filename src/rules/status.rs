//! Rules about the procedure's status: its claim, the records and revisions behind it,
//! and the regulations for its service. Rules that depend on the current date are marked
//! `dated`.

use chrono::NaiveDate;

use super::{Context, wording};
use crate::core::finding::{Finding, rules};
use crate::core::source::Spanned;
use crate::procedure::resolve::{Cited, Procedure};
use crate::spec::{Service, Spec, Status};

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
    RECORD_AFTER_AS_OF = error("A record is dated later than the day the spec is read.")
        .dated()
        .why("A test that has not been made proves nothing. Most often the year is wrong.")
        .example("qualification:\n  records: [{number: PQ-031, date: 2049-01-01, revision: 1}]")
        .fix("Correct the date, or cite the record when the joints have been tested.");
    RECORD_AFTER_REVISION = warning("A record is dated after the revision it supports was issued.")
        .why("A procedure is qualified before it is used. Between the issue and the test the \
              revision stood without proof, and joints made in that time rest on nothing.")
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
        .why("A qualified procedure is worked by. Without the day, nobody can tell which joints \
              were to be made by this revision and which by the one before it; the day of issue \
              does not say so.")
        .example("procedure:\n  status: qualified\n  revisions: [{revision: 2, date: 2026-11-02}]")
        .fix("Add `effective` to the last revision: the day of issue or a later one. Or set the \
              status to draft until the day is decided.");
    EFFECTIVE_IN_FUTURE = note("A revision takes effect later than the day the spec is read.")
        .dated()
        .why("Until that day the revision before it is the one to work by. Two sets of papers are \
              then about, and crews have to know which one counts.")
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
        .why("The last revision is the one that every paper and record names. A slip in it makes \
              records of the right revision belong to another one.")
        .example("revisions:\n  - {revision: 1, date: 2026-09-14}\n  - {revision: 3, date: \
                  2026-11-02}")
        .fix("Correct the number, or list the revisions between.");
    REVISION_DATE_AFTER_AS_OF = note("A revision is dated later than the day the spec is read.")
        .dated()
        .why("Papers dated ahead are common while a change is being prepared. A wrong year looks \
              the same.")
        .example("procedure: {revisions: [{revision: 1, date: 2049-01-01}]}")
        .fix("Check the date. If the revision takes effect on a later day than it is issued, \
              give that day as `effective`.");
    PROCEDURE_TEST_RULE_NOT_LISTED = warning(
        "The rules of a gas procedure name sections of 49 CFR 192, and 192.283 is not among them.")
        .absence()
        .why("192.283 is about tests that qualify the procedure; 192.285 and 192.287 are about \
              the people who join and inspect. A list without it says that people were qualified, \
              and not that the procedure was.")
        .example("procedure: {practice: us, service: gas}\nqualification: {rules: [49 CFR \
                  192.285]}")
        .fix("Add 49 CFR 192.283 to `qualification.rules` if the procedure was tested by it. If \
              another rule governs the procedure, list that one and have the authority having \
              jurisdiction confirm it.");
    GAS_WITHOUT_QUALIFICATION = error(
        "The service is gas, and the spec does not say how procedure and people are qualified.")
        .absence()
        .why("For fuel gas the procedure must be proven by tests and the people who join must be \
              qualified under it. A gas procedure that is silent on both is not complete.")
        .example("procedure: {service: gas}      # no qualification")
        .fix("Add, in your own words: qualification: {rules: [the rules you qualify under], \
              operator_qualification: how your program covers the people who join}.");
    PART_192_OUTSIDE_GAS = error("49 CFR 192 is cited for a service that is not gas.")
        .why("Part 192 is about pipelines that carry gas. On a water or ground loop procedure it \
              claims an oversight that nobody exercises, and hides the rules that do apply.")
        .example("procedure: {service: geothermal}\nreferences: [49 CFR 192 Subpart F]")
        .fix("Cite what the authority having jurisdiction for this service asks for, or set the \
              service to gas if it is.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    qualified(context.procedure, findings);
    for record in context.procedure.cited() {
        dates_of_record(&record, context, findings);
    }
    revisions(context, findings);
    regulation(spec, findings);
    findings.extend(procedure_test_rule(context));
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
                    "cite the record of the test joints, as a file beside the spec: \
                     records: [records/….yaml] (`coldring forms` prints the form); or set the \
                     status to draft",
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
        Some(revision) if date > revision.date.value => {
            let days = (date - revision.date.value).num_days();
            findings.push(
                RECORD_AFTER_REVISION
                    .at(
                        record.date.span,
                        format!(
                            "record {number} is dated {date}, {days} {} after revision {} was issued",
                            if days == 1 { "day" } else { "days" },
                            revision.number.value
                        ),
                    )
                    .in_file(record.file)
                    .help("check both dates; a procedure is proven before it is used")
                    .related(
                        revision.date.span,
                        format!("revision {} is dated {}", *revision.number, *revision.date),
                    ),
            );
        }
        Some(_) => {}
    }
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
    for revision in revisions {
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
                    .help("until then the revision before it is the one to work by"),
            );
        }
    }
}

/// Checks what the service requires and what it must not claim.
fn regulation(spec: &Spec, findings: &mut Vec<Finding>) {
    let rules = spec.qualification.as_ref().map_or(&[][..], |q| &q.rules);
    if spec.service.value == Service::Gas {
        let operators = spec
            .qualification
            .as_ref()
            .and_then(|q| q.operator_qualification.as_ref());
        let (missing, says) = match (rules.is_empty(), operators.is_none()) {
            (true, true) => (
                "`qualification` with `rules` and `operator_qualification`",
                "the rules you qualify under, and how your program covers the people who join",
            ),
            (true, false) => ("`qualification.rules`", "the rules you qualify under"),
            (false, true) => (
                "`qualification.operator_qualification`",
                "how your program covers the people who join",
            ),
            (false, false) => return,
        };
        let finding = GAS_WITHOUT_QUALIFICATION
            .at(
                spec.service.span,
                format!("the service is gas, but {missing} is missing"),
            )
            .help(format!(
                "add {missing}: {says}, as in qualification: {{rules: [the rules you qualify \
                 under], operator_qualification: how your program covers the people who join}}"
            ));
        findings.push(match &spec.qualification {
            Some(section) => finding.related(section.span, "the section that is not complete"),
            None => finding,
        });
        return;
    }
    for text in spec.references.iter().chain(rules) {
        if cites_part_192(text) {
            findings.push(
                PART_192_OUTSIDE_GAS
                    .at(
                        text.span,
                        format!("'{}' is about gas, and the service is not", **text),
                    )
                    .help("cite what the authority having jurisdiction for this service asks for")
                    .related(spec.service.span, "the service"),
            );
        }
    }
}

/// Reports a list that names sections of part 192 but not the one on testing procedures.
fn procedure_test_rule(context: &Context<'_>) -> Option<Finding> {
    let spec = context.procedure.spec;
    let is_us_gas = spec.service.value == Service::Gas && spec.practice.value.federal_gas_rules;
    let rules = &spec.qualification.as_ref().filter(|_| is_us_gas)?.rules;
    let cited: Vec<_> = rules.iter().filter(|rule| cites_part_192(rule)).collect();
    if cited.iter().any(|rule| covers_tests_of_procedures(rule)) {
        return None;
    }
    let first = cited.first()?;
    let finding = PROCEDURE_TEST_RULE_NOT_LISTED
        .at(
            first.span,
            format!(
                "'{}' is listed, and 49 CFR 192.283, by which a procedure is tested, is not",
                ***first
            ),
        )
        .help(
            "add 49 CFR 192.283 to `qualification.rules` if the procedure was tested by it, or \
             list the rule that governs instead",
        );
    Some(match context.limits.entry("regulation:192.283(a):text") {
        Some(rule) => finding.limit(wording::entry_source(rule)),
        None => finding,
    })
}

/// Whether a text that cites part 192 names 192.283, a range that includes it, or no
/// section at all.
fn covers_tests_of_procedures(text: &str) -> bool {
    let words = words(text);
    let numbers = words.iter().filter_map(|word| word.parse::<u32>().ok());
    let sections: Vec<_> = numbers.filter(|n| (193..1000).contains(n)).collect();
    let least = sections.iter().min().is_none_or(|least| *least <= 283);
    let most = sections.iter().max().is_none_or(|most| *most >= 283);
    least && most
}

/// Whether a text cites 49 CFR 192, by that title or as "Part 192" or "§ 192". Part 192
/// of another title and Part 1926 do not count.
fn cites_part_192(text: &str) -> bool {
    let words = words(text);
    words.iter().enumerate().any(|(at, word)| {
        let mut before = words.iter().take(at).rev().map(String::as_str);
        if word != "192" {
            return false;
        }
        if before.clone().any(|word| word == "cfr") {
            // The title comes before the nearest "CFR"; a bare "CFR 192" counts as title
            // 49.
            return before
                .skip_while(|word| *word != "cfr")
                .nth(1)
                .is_none_or(|title| title == "49" || !is_number(title));
        }
        // "Parts 191 and 192": the word comes before the list.
        before
            .find(|word| !is_number(word) && *word != "and")
            .is_some_and(|word| matches!(word, "part" | "parts" | "§" | "§§"))
    })
}

fn is_number(word: &str) -> bool {
    word.bytes().all(|b| b.is_ascii_digit())
}

/// Lower-case runs of letters, digits, or section signs; "C.F.R." is one word.
fn words(text: &str) -> Vec<String> {
    let text = text.to_lowercase().replace("c.f.r.", "cfr");
    let kind = |c: char| match c {
        '§' => 1,
        c if c.is_ascii_digit() => 2,
        c if c.is_alphabetic() => 3,
        _ => 0,
    };
    let mut words: Vec<String> = Vec::new();
    let mut last = 0;
    for c in text.chars() {
        match words.last_mut() {
            Some(word) if kind(c) == last && last != 0 => word.push(c),
            _ if kind(c) != 0 => words.push(c.to_string()),
            _ => {}
        }
        last = kind(c);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::cites_part_192;

    #[test]
    fn part_192_is_told_from_its_neighbors() {
        for text in [
            "49 CFR 192",
            "49 CFR 192.283(a)",
            "49CFR192 Subpart F",
            "49 C.F.R. Part 192",
            "49 CFR Parts 191 and 192",
            "CFR 192.285",
            "Part 192, Subpart F",
            "Parts 191 and 192",
            "§ 192.285",
            "29 CFR 1926 and 49 CFR 192",
        ] {
            assert!(cites_part_192(text), "{text}");
        }
        for text in [
            "29 CFR Part 1926",
            "40 CFR Part 192",
            "49 CFR 195",
            "ASTM D2513 part 12, page 192",
            "bulletin 192",
            "49 CFR 1192",
        ] {
            assert!(!cites_part_192(text), "{text}");
        }
    }
}
