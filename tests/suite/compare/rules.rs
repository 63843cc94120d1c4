//! The rules about two specs: each by a pair that breaks it and one that comes
//! near.

use coldring::core::source::{Role, Source, Sources};
use coldring::papers::compile::{Compared, NoticeOptions, compare};

use super::{BASE, compared, edited, slugs};
use crate::support::{as_of, read};

const CITED: &str = "    - {number: BL-PQ-3, date: 2026-08-28, revision: 2}\n";
const REVISION: &str =
    "    - {revision: 2, date: 2026-09-01, change: Adds 2 IPS, effective: 2026-10-01}\n";

/// The clean spec at revision 3, with these records besides the one it cites,
/// and one more edit.
fn next(records: &str, (from, to): (&str, &str)) -> String {
    let third = format!("{REVISION}    - {{revision: 3, date: 2026-11-10, change: A change}}\n");
    let text = edited(&read(BASE), REVISION, &third);
    let text = edited(&text, CITED, &format!("{CITED}{records}"));
    edited(&text, from, to)
}

const DEEPER: (&str, &str) = ("depth: 0.71 in", "depth: 0.72 in");
const SLUG: &str = "essential-change-without-record";

fn found(compared: &Compared) -> Vec<&'static str> {
    let mut slugs = slugs(&compared.checked.findings);
    slugs.retain(|slug| {
        slug.starts_with("compared-") || slug.starts_with("changed-") || *slug == SLUG
    });
    slugs
}

#[test]
fn an_essential_change_of_a_qualified_spec_asks_for_a_new_record() {
    let (old, new) = (read(BASE), next("", DEEPER));
    let compared = compared(&old, &new);
    assert_eq!(found(&compared), [SLUG]);
    let of_rule = |f: &&coldring::core::finding::Finding| f.rule.slug == SLUG;
    let finding = compared.checked.findings.iter().find(of_rule).unwrap();
    let place = finding.span.unwrap();
    assert_eq!(&new[place.range()], "0.72 in", "the line in the later spec");
    for words in [
        "insertion depth by gauge 1 IPS",
        "was 0.71 in, now 0.72 in",
        "qualified",
    ] {
        assert!(finding.message.contains(words), "{}", finding.message);
    }
    assert!(finding.help.as_ref().unwrap().contains("draft"));
    assert!(finding.source.as_ref().unwrap().contains("common practice"));
    let said: Vec<_> = finding.related.iter().map(|r| r.message.as_str()).collect();
    assert!(
        said.iter()
            .any(|s| s.contains("BL-PQ-3 is cited by the earlier spec too")),
        "{said:?}"
    );
    let was = finding
        .related
        .iter()
        .find(|r| r.message == "what it was")
        .unwrap();
    assert_eq!(
        &compared.sources.get(was.file).text[was.span.range()],
        "0.71 in"
    );
}

#[test]
fn what_comes_near_an_essential_change_without_record_is_in_order() {
    let old = read(BASE);
    for (what, new) in [
        (
            "a new record",
            next(
                "    - {number: BL-PQ-4, date: 2026-11-02, revision: 3}\n",
                DEEPER,
            ),
        ),
        (
            "a record of the day of the earlier revision",
            next(
                "    - {number: BL-PQ-4, date: 2026-09-01, revision: 3}\n",
                DEEPER,
            ),
        ),
        (
            "a draft",
            edited(&next("", DEEPER), "status: qualified", "status: draft"),
        ),
        (
            "a supplementary change",
            next("", ("swing: 4 °F", "swing: 3 °F")),
        ),
        (
            "an editorial change",
            next("", ("title: Socket", "title: The socket")),
        ),
        (
            "other units",
            next("", ("depth: 0.71 in", "depth: 18.034 mm")),
        ),
    ] {
        assert_eq!(found(&compared(&old, &new)), [""; 0], "{what}");
    }
}

#[test]
fn a_record_that_is_older_than_the_change_does_not_prove_it() {
    let old = read(BASE);
    for (record, says) in [
        (
            "    - {number: BL-PQ-4, date: 2026-08-31, revision: 3}\n",
            "older than revision 2",
        ),
        (
            "    - {number: BL-PQ-4, date: 2026-11-02, revision: 2}\n",
            "supports revision 2",
        ),
    ] {
        let compared = compared(&old, &next(record, DEEPER));
        assert_eq!(found(&compared), [SLUG], "{record}");
        let mut findings = compared.checked.findings.iter();
        let related = &findings.find(|f| f.rule.slug == SLUG).unwrap().related;
        assert!(
            related.iter().any(|r| r.message.contains(says)),
            "{related:?}"
        );
    }
}

#[test]
fn every_essential_change_is_told_at_once() {
    let new = edited(&next("", DEEPER), "set_point: 500 °F", "set_point: 501 °F");
    // What is no longer there is told at the status.
    let new = edited(&new, ", strength: 91 %", "");
    let new = edited(&new, "  pipe_temperature: 40 °F to 110 °F\n", "");
    assert_eq!(found(&compared(&read(BASE), &new)), [SLUG; 3]);
}

#[test]
fn two_procedures_are_not_compared() {
    let old = read(BASE);
    let other = edited(&old, "number: BL-SF-7", "number: BL-SF-8");
    let compared = compared(&old, &other);
    assert_eq!(found(&compared), ["compared-with-other-procedure"]);
    assert!(compared.comparison.is_none());
    assert_eq!(found(&super::compared(&old, &old)), [""; 0]);
}

#[test]
fn the_earlier_revision_is_given_first() {
    let (old, new) = (read(BASE), next("", ("swing: 4 °F", "swing: 3 °F")));
    let reverse = compared(&new, &old);
    assert_eq!(found(&reverse), ["compared-in-reverse"]);
    assert!(reverse.comparison.is_none());
    assert_eq!(found(&compared(&old, &new)), [""; 0]);
}

#[test]
fn a_revision_that_changes_needs_a_new_number() {
    let old = read(BASE);
    let changed = edited(&old, "swing: 4 °F", "swing: 3 °F");
    let compared = compared(&old, &changed);
    assert_eq!(found(&compared), ["changed-without-new-revision"]);
    let message = &compared.checked.findings[0].message;
    assert!(
        message.contains("swing of the heater: was 4 °F, now 3 °F"),
        "{message}"
    );
    let remarked = format!("# A remark\n{old}");
    assert_eq!(found(&super::compared(&old, &remarked)), [""; 0]);
}

/// A record file proves a change only with a joint that counts.
#[test]
fn a_record_without_a_joint_that_counts_proves_no_change() {
    let old = read("specs/earlier/alder-fork-gas-r1.yaml");
    let new = crate::support::gas_with_record();
    let record = read("specs/records/AF-PQ-07.yaml");
    let of = |record: String| {
        let record = Source::new("records/AF-PQ-07.yaml", record);
        let sources = Sources::from(Source::new("new.yaml", new.as_str()));
        let new = sources.with(Role::Record, Ok(record));
        let old = Sources::from(Source::new("old.yaml", old.as_str()));
        compare(&old, &new, NoticeOptions::default(), as_of()).unwrap()
    };
    assert_eq!(found(&of(record.clone())), [""; 0]);
    let refused = of(record.replace("visual: pass", "visual: fail"));
    assert!(found(&refused).contains(&SLUG));
    assert_eq!(refused.comparison.unwrap().proof, [""; 0]);
    // The range of pipe temperatures grew, and no joint was made at its ends.
    let warm = record
        .replace("pipe_temperature: 40 °F", "pipe_temperature: 70 °F")
        .replace("pipe_temperature: 100 °F", "pipe_temperature: 71 °F");
    let warm = of(warm);
    let of_rule = |f: &&coldring::core::finding::Finding| f.rule.slug == SLUG;
    let finding = warm.checked.findings.iter().find(of_rule).unwrap();
    let why = "do not reach the pipe temperatures of revision 2";
    assert!(finding.related.iter().any(|r| r.message.contains(why)));
}
