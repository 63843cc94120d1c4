//! Reviews a roster: missing, misspelled, or recalled rule sets, dates in the future, and
//! texts that are formulas.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::roster::{Fuser, Qualification, Roster, SpecimenResult};
use super::rule_set::{Choice, HeldRevision, Rules, WORDS};
use super::rules;
use crate::core::finding::Finding;
use crate::core::source::{Span, Spanned};
use crate::published::{Basis, Library};
use crate::spec::nearest;

/// First characters that make a spreadsheet compute a cell.
const FORMULA: [char; 4] = ['=', '+', '-', '@'];

/// Reviews a roster under its rule sets.
pub fn review(roster: &Roster, rules: &Rules, limits: &Library, as_of: NaiveDate) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut used: BTreeMap<&str, (Span, usize)> = BTreeMap::new();
    for fuser in &roster.fusers {
        for qualification in &fuser.qualifications {
            let procedure = &qualification.procedure;
            let first = used.entry(procedure).or_insert((procedure.span, 0));
            first.1 += 1;
            dates(qualification, as_of, &mut findings);
            failures_before_first_pass(qualification, &mut findings);
        }
        formulas(fuser, &mut findings);
    }
    missing_rule_sets(&used, rules, &mut findings);
    for choice in rules.choices() {
        unused_choice(choice, &used, &mut findings);
    }
    for held in rules.held() {
        held_revision(held, &used, &mut findings);
    }
    recalled_rule_sets(&used, rules, limits, &mut findings);
    findings
}

fn missing_rule_sets(
    used: &BTreeMap<&str, (Span, usize)>,
    rules: &Rules,
    findings: &mut Vec<Finding>,
) {
    for (procedure, (span, count)) in used {
        if rules.for_procedure(procedure).is_some() {
            continue;
        }
        let people = if *count == 1 {
            "1 fuser"
        } else {
            &format!("{count} fusers")
        };
        findings.push(
            rules::FUSER_RULE_NOT_CHOSEN
                .at(
                    *span,
                    format!(
                        "no rule set is chosen for {procedure}, which {people} on the roster have"
                    ),
                )
                // The roster does not say what the pipe carries, so it cannot tell which.
                .help(format!(
                    "choose the rule set that the procedure is worked under, one of {}: in a YAML \
                     roster as rules: {{procedures: {{{procedure}: RULE}}}}, in a submittal under \
                     `fusers` as rules: [{procedure}=RULE], for `coldring fusers` and `coldring \
                     cards` as --rules {procedure}=RULE; `coldring limits fuser-rules` tells each",
                    WORDS.join(", ")
                )),
        );
    }
}

fn unused_choice(
    choice: &Choice,
    used: &BTreeMap<&str, (Span, usize)>,
    findings: &mut Vec<Finding>,
) {
    let Some(procedure) = choice.procedure.as_deref() else {
        return;
    };
    if used.contains_key(procedure) {
        return;
    }
    let message = format!("a rule set is chosen for {procedure}, which nobody on the roster has");
    let help = nearest_used(
        procedure,
        used,
        "take the choice out, or correct the number",
    );
    findings.push(at(&rules::FUSER_RULE_FOR_NOBODY, choice.span, message).help(help));
}

/// Suggests the nearest procedure on the roster, or else this help.
fn nearest_used(number: &str, used: &BTreeMap<&str, (Span, usize)>, help: &str) -> String {
    let names: Vec<_> = used.keys().copied().collect();
    nearest(number, &names).map_or_else(|| help.to_owned(), |near| format!("did you mean {near}?"))
}

/// Checks a decision on specimens of an earlier revision.
fn held_revision(
    held: &HeldRevision,
    used: &BTreeMap<&str, (Span, usize)>,
    findings: &mut Vec<Finding>,
) {
    let (made_by, holds_for, number) = (&held.made_by, &held.holds_for, &held.procedure);
    if holds_for.value <= made_by.value {
        findings.push(
            rules::HELD_REVISION_NOT_LATER
                .at(
                    holds_for.span,
                    format!(
                        "specimens made by revision {} are said to hold for revision {}, which is \
                         not later",
                        made_by.value, holds_for.value
                    ),
                )
                .related(made_by.span, "the revision they were made by")
                .help("write the earlier revision as made_by and the later one as holds_for"),
        );
    }
    if !used.contains_key(number.value.as_str()) {
        let message = format!(
            "it is said which specimens hold for {}, which nobody on the roster has",
            number.value
        );
        let help = nearest_used(number, used, "take the entry out, or correct the number");
        findings.push(
            rules::FUSER_RULE_FOR_NOBODY
                .at(number.span, message)
                .help(help),
        );
    }
}

/// A finding at a choice's place; one on the command line has none.
fn at(rule: &'static crate::core::finding::Rule, span: Option<Span>, message: String) -> Finding {
    match span {
        Some(span) => rule.at(span, message),
        None => rule.about_file(message),
    }
}

fn recalled_rule_sets(
    used: &BTreeMap<&str, (Span, usize)>,
    rules: &Rules,
    limits: &Library,
    findings: &mut Vec<Finding>,
) {
    let mut reported = BTreeSet::new();
    for procedure in used.keys() {
        let Some(rule) = rules.for_procedure(procedure) else {
            continue;
        };
        let (source, basis) = rule.source(limits);
        if basis < Basis::Recalled || !reported.insert(rule.word()) {
            continue;
        }
        let choice = rules.choices().iter().find(|choice| choice.rule == *rule);
        findings.push(
            at(
                &rules::FUSER_RULE_FROM_MEMORY,
                choice.and_then(|choice| choice.span),
                format!(
                    "the rule set {} is from memory: verify it before use",
                    rule.word()
                ),
            )
            .help(
                "have a qualified person read it in the edition you work under, and write it as \
                 your own: {rule: own, months: 6, source: edition and place}",
            )
            .limit(source),
        );
    }
}

fn dates(record: &Qualification, as_of: NaiveDate, findings: &mut Vec<Finding>) {
    let specimens = record.specimens.iter().map(|s| ("specimen", &s.date));
    let joints = record
        .failed_joints
        .iter()
        .map(|j| ("failed joint", &j.date));
    let confirmed = record.confirmed.iter().map(|day| ("confirmation", day));
    let last = record.last_production_joint.iter();
    let last = last.map(|day| ("last production joint", day));
    let used = record.production_joints.iter();
    let used = used.map(|day| ("production joint", day));
    let certificate = record.certificate.iter().map(|day| ("certificate", day));
    let all = specimens
        .chain(joints)
        .chain(confirmed)
        .chain(last)
        .chain(used)
        .chain(certificate);
    for (what, day) in all.filter(|(_, day)| day.value > as_of) {
        findings.push(
            rules::FUSER_DATE_IN_FUTURE
                .at(
                    day.span,
                    format!(
                        "{what} of {}, which is after {as_of}, so it does not count",
                        day.value
                    ),
                )
                .help("correct the date; a list for a past date may leave it"),
        );
    }
}

/// Joints that failed before the person was ever qualified: the year is a typing error,
/// and a later specimen would seem to clear the failure.
fn failures_before_first_pass(record: &Qualification, findings: &mut Vec<Finding>) {
    let passed = record
        .specimens
        .iter()
        .filter(|specimen| specimen.result == SpecimenResult::Pass)
        .map(|specimen| ("the first specimen that passed", &specimen.date));
    let certificate = record
        .certificate
        .iter()
        .map(|day| ("the certificate", day));
    let first = passed.chain(certificate).min_by_key(|(_, day)| day.value);
    let Some((what, first)) = first else { return };
    let joints = record.failed_joints.iter().map(|joint| &joint.date);
    for day in joints.filter(|day| day.value < first.value) {
        findings.push(
            rules::FAILED_BEFORE_QUALIFIED
                .at(
                    day.span,
                    format!(
                        "a production joint is said to have failed on {}, before {what} of {}",
                        day.value, first.value
                    ),
                )
                .related(first.span, what)
                .help(
                    "correct the date; if it is right, give the specimen or the certificate that \
                     qualified the person before it",
                ),
        );
    }
}

fn formulas(fuser: &Fuser, findings: &mut Vec<Finding>) {
    let mut check = |text: &Spanned<String>| {
        if text.starts_with(FORMULA) {
            findings.push(
                rules::TEXT_LIKE_A_FORMULA
                    .at(
                        text.span,
                        format!("'{}' would be computed by a spreadsheet", text.value),
                    )
                    .help("begin the text with a letter or a digit"),
            );
        }
    };
    check(&fuser.name);
    check(&fuser.badge);
    for qualification in &fuser.qualifications {
        for specimen in &qualification.specimens {
            check(&specimen.record);
            specimen.joint.iter().for_each(&mut check);
        }
        let joints = qualification.failed_joints.iter();
        joints.flat_map(|joint| &joint.note).for_each(&mut check);
    }
}
