//! Who is qualified until when: dates worked by hand, at the last day and just
//! beyond it, and against an oracle that looks at every specimen.

use chrono::{Datelike, Days, NaiveDate};
use coldring::people::fusers::{Choice, Rules, State, decode_yaml, evaluate};
use coldring::published::{Basis, library};
use proptest::prelude::*;

const US_GAS: &str = "us-gas";
const SIX: &str = "six-months-without-use";
const TWO: &str = "two-year-certificate";

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn passed(date: &str) -> String {
    format!("specimen: {{date: {date}, result: pass, record: R-1}}")
}

/// What became of one record on a day.
#[derive(Debug, PartialEq)]
struct Found {
    state: State,
    until: Option<NaiveDate>,
    reason: String,
    source: String,
    basis: Basis,
}

/// The standing by a record of one fuser under one procedure.
fn standing(record: &str, rule: &str, as_of: NaiveDate) -> Found {
    let text = format!(
        "coldring-fusers: 1\nfusers:\n  - {{name: A. Example, badge: A-1, qualifications: \
         [{{procedure: X-1, {record}}}]}}\n"
    );
    let (roster, findings) = decode_yaml(&text);
    assert!(findings.is_empty(), "{text}: {findings:?}");
    let mut rules = Rules::default();
    rules.choose(Choice::parse(rule).unwrap());
    let standings = evaluate(&roster, &rules, library(), as_of);
    let [only] = standings.as_slice() else {
        panic!("{standings:?}");
    };
    let holds = only.valid_until.is_some_and(|until| as_of <= until);
    assert_eq!(only.qualified(), holds, "{only:?}");
    assert!(
        !only.reason.is_empty() && !only.source.is_empty(),
        "{only:?}"
    );
    Found {
        state: only.state,
        until: only.valid_until,
        reason: only.reason.clone(),
        source: only.source.clone(),
        basis: only.basis,
    }
}

/// Asserts that the record holds through `until`, and on no day after it.
fn holds_until(record: &str, rule: &str, until: &str) {
    let last = day(until);
    let on = |date| standing(record, rule, date);
    let found = on(last);
    assert_eq!(found.until, Some(last), "{record} {rule}: {found:?}");
    assert_eq!(found.state, State::Qualified, "{record} {rule}");
    let after = on(last + Days::new(1));
    assert_eq!(after.state, State::Lapsed, "{record} {rule}: {after:?}");
    assert_eq!(after.until, Some(last), "{record} {rule}");
}

#[test]
fn us_gas_is_the_earlier_of_two_days() {
    for (date, until) in [
        ("2025-03-10", "2026-06-10"),
        ("2025-11-20", "2026-12-31"),
        ("2025-01-31", "2026-04-30"),
        // 15 months end the day before, on, and the day after December 31.
        ("2025-09-30", "2026-12-30"),
        ("2025-10-01", "2026-12-31"),
        ("2025-12-31", "2026-12-31"),
        ("2026-01-01", "2027-04-01"),
        ("2024-02-29", "2025-05-29"),
        ("2026-03-31", "2027-06-30"),
        ("2026-08-31", "2027-11-30"),
        ("2026-05-31", "2027-08-31"),
    ] {
        holds_until(&passed(date), US_GAS, until);
        let before = standing(&passed(date), US_GAS, day(date) - Days::new(1));
        assert_eq!(before.state, State::NeverQualified, "{date}");
        assert_eq!(
            standing(&passed(date), US_GAS, day(date)).state,
            State::Qualified
        );
    }
    let found = standing(&passed("2025-03-10"), US_GAS, day("2025-04-01"));
    assert!(found.source.starts_with("49 CFR 192.285(c)"), "{found:?}");
    assert_eq!(found.basis, Basis::Standard);
    assert!(found.reason.contains("R-1"), "{found:?}");
    let months = "15 months end before December 31 of the next year";
    assert!(found.reason.contains(months), "{found:?}");
    let found = standing(&passed("2025-11-20"), US_GAS, day("2026-01-01"));
    let year = "December 31 of the next year comes before 15 months are over";
    assert!(found.reason.contains(year), "{found:?}");
}

#[test]
fn an_own_rule_counts_calendar_months() {
    for (date, months, until) in [
        ("2027-11-29", 15, "2029-02-28"),
        ("2026-11-29", 15, "2028-02-29"),
        ("2026-11-30", 15, "2028-02-29"),
        ("2026-11-28", 15, "2028-02-28"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-02-29", 48, "2028-02-29"),
        ("2025-02-28", 12, "2026-02-28"),
        ("2025-12-31", 2, "2026-02-28"),
        ("2025-12-15", 1, "2026-01-15"),
    ] {
        holds_until(&passed(date), &format!("own:{months}:Manual 7.9"), until);
    }
    let found = standing(
        &passed("2026-01-01"),
        "own:12:Manual 7.9",
        day("2026-02-01"),
    );
    assert_eq!(
        (found.source.as_str(), found.basis),
        ("Manual 7.9", Basis::Organization)
    );
}

#[test]
fn six_months_run_from_the_last_use() {
    for (record, until) in [
        // Six months or more end it: the day six months later is too late.
        (passed("2026-08-31"), "2027-02-27"),
        (passed("2027-08-31"), "2028-02-28"),
        (passed("2026-03-31"), "2026-09-29"),
        (passed("2026-03-10"), "2026-09-09"),
    ] {
        holds_until(&record, SIX, until);
    }
    let used = |joint: &str| format!("{}, last_production_joint: {joint}", passed("2026-03-10"));
    holds_until(&used("2026-08-29"), SIX, "2027-02-27");
    // Before the specimen, it is no later use.
    holds_until(&used("2026-01-05"), SIX, "2026-09-09");
    // A joint that is still to be made is no use yet.
    let early = standing(&used("2027-05-01"), SIX, day("2026-09-10"));
    assert_eq!(
        (early.state, early.until),
        (State::Lapsed, Some(day("2026-09-09")))
    );
}

/// The last use alone says nothing of the months before it.
#[test]
fn nobody_is_qualified_by_a_use_after_a_gap_that_the_roster_leaves_open() {
    let used = |last: &str, others: &str| {
        format!(
            "{}, last_production_joint: {last}, production_joints: [{others}]",
            passed("2026-03-10")
        )
    };
    let on = |record: &str| standing(record, SIX, day("2026-10-01"));
    let near = on(&used("2026-09-09", ""));
    assert_eq!(
        (near.state, near.until),
        (State::Qualified, Some(day("2027-03-08")))
    );
    let gap = on(&used("2026-09-10", ""));
    assert_eq!(
        (gap.state, gap.until),
        (State::UseNotShown, Some(day("2026-09-09")))
    );
    for words in ["used on 2026-09-10", "production_joints", "2026-03-10"] {
        assert!(gap.reason.contains(words), "{words}: {gap:?}");
    }
    // The days between show that it was used, one after the other.
    let shown = on(&used("2026-09-10", "2026-08-01, 2026-04-02"));
    assert_eq!(
        (shown.state, shown.until),
        (State::Qualified, Some(day("2027-03-09")))
    );
    // A use before the specimen, or after the gap, closes no gap.
    for others in ["2026-03-09", "2026-09-10", "2026-09-20"] {
        assert_eq!(on(&used("2026-09-10", others)).state, State::UseNotShown);
    }
}

#[test]
fn a_certificate_has_to_be_confirmed_in_time() {
    let record = |confirmed: &str| format!("certificate: 2024-02-29, confirmed: [{confirmed}]");
    holds_until(&record(""), TWO, "2024-08-29");
    holds_until(&record("2024-08-29"), TWO, "2025-02-28");
    // A day late does not bring it back.
    holds_until(&record("2024-08-30"), TWO, "2024-08-29");
    // A short month does not move the days after it.
    holds_until(&record("2025-02-28, 2024-08-29"), TWO, "2025-08-29");
    let late = "certificate: 2024-08-31, confirmed: [2025-02-28]";
    holds_until(late, TWO, "2025-08-31");
    // One that came early is counted from its own day.
    let early = "certificate: 2024-08-31, confirmed: [2025-02-27]";
    holds_until(early, TWO, "2025-08-27");
    let three = "2024-08-29, 2025-02-28, 2025-08-28";
    holds_until(&record(three), TWO, "2026-02-28");
    holds_until(&record(&format!("{three}, 2026-02-20")), TWO, "2026-02-28");
    // Before the certificate, it confirms nothing.
    holds_until(&record("2024-02-28"), TWO, "2024-08-29");
    // A confirmation that is still to come does not count.
    let found = standing(&record("2024-08-29"), TWO, day("2024-08-28"));
    assert_eq!(found.until, Some(day("2024-08-29")));
    let none = standing(&passed("2026-03-10"), TWO, day("2026-04-01"));
    assert_eq!((none.state, none.until), (State::NeverQualified, None));
    assert!(none.reason.contains("no certificate"), "{none:?}");
}

fn with_joint(date: &str, found_by: &str) -> String {
    let passed = passed("2026-03-10");
    format!("{passed}, failed_joints: [{{date: {date}, found_by: {found_by}}}]")
}

#[test]
fn a_joint_that_failed_a_test_ends_it_on_that_day() {
    let record = with_joint("2026-10-02", "test");
    for (rule, basis) in [
        (US_GAS, Basis::Standard),
        ("own:24:Manual", Basis::Practice),
    ] {
        let before = standing(&record, rule, day("2026-10-01"));
        assert_eq!(before.state, State::Qualified, "{rule}");
        for on in ["2026-10-02", "2026-10-03", "2027-09-01"] {
            let found = standing(&record, rule, day(on));
            assert_eq!(found.state, State::FailedJoint, "{rule} {on}");
            assert_eq!(found.until, Some(day("2026-10-01")), "{rule} {on}");
            assert_eq!(found.basis, basis, "{rule}");
            assert!(found.reason.contains("2026-10-02"), "{found:?}");
        }
    }
    // Before the specimen it says nothing; on its day, it counts.
    let earlier = with_joint("2026-03-09", "test");
    assert_eq!(
        standing(&earlier, US_GAS, day("2026-04-01")).state,
        State::Qualified
    );
    let same = standing(&with_joint("2026-03-10", "test"), US_GAS, day("2026-04-01"));
    assert_eq!((same.state, same.until), (State::FailedJoint, None));
    // What had lapsed before does not seem to have held until the failure.
    let late = standing(&with_joint("2027-10-02", "test"), US_GAS, day("2027-11-01"));
    assert_eq!(
        (late.state, late.until),
        (State::FailedJoint, Some(day("2027-06-10")))
    );
}

#[test]
fn a_joint_rejected_by_eye_does_not_end_it() {
    let record = with_joint("2026-10-02", "visual");
    holds_until(&record, US_GAS, "2027-06-10");
    let found = standing(&record, US_GAS, day("2026-10-02"));
    assert!(
        found.reason.contains("visual inspection on 2026-10-02"),
        "{found:?}"
    );
}

#[test]
fn a_later_specimen_qualifies_again() {
    let record = |again: &str| {
        format!(
            "specimen: [{{date: 2026-03-10, result: pass, record: R-1}}, {{date: {again}, result: \
             pass, record: R-2}}], failed_joints: [{{date: 2026-10-02, found_by: test}}]"
        )
    };
    holds_until(&record("2026-10-03"), US_GAS, "2027-12-31");
    // A specimen of the same day may have been made before.
    let same = standing(&record("2026-10-02"), US_GAS, day("2026-11-01"));
    assert_eq!(same.state, State::FailedJoint);
    let between = standing(&record("2026-10-20"), US_GAS, day("2026-10-19"));
    assert_eq!(between.state, State::FailedJoint);
}

#[test]
fn a_failed_specimen_holds_a_person_back() {
    let only = "specimen: {date: 2026-11-03, result: fail, joint: S-4, record: R-1}";
    let found = standing(only, US_GAS, day("2026-11-25"));
    assert_eq!((found.state, found.until), (State::FailedSpecimen, None));
    assert!(
        found.reason.contains("specimen S-4 failed on 2026-11-03"),
        "{found:?}"
    );
    let record = |failed: &str| {
        format!(
            "specimen: [{{date: {failed}, result: fail, record: R-2}}, {{date: 2026-03-10, \
             result: pass, record: R-1}}]"
        )
    };
    let found = standing(&record("2026-11-03"), US_GAS, day("2026-11-03"));
    assert_eq!(found.state, State::FailedSpecimen);
    assert_eq!(
        (found.until, found.basis),
        (Some(day("2026-11-02")), Basis::Practice)
    );
    let before = standing(&record("2026-11-03"), US_GAS, day("2026-11-02"));
    assert_eq!(before.state, State::Qualified);
    // The usual course: it failed, then it passed.
    holds_until(&record("2026-03-09"), US_GAS, "2027-06-10");
    let same = standing(&record("2026-03-10"), US_GAS, day("2026-04-01"));
    assert_eq!(same.state, State::FailedSpecimen);
}

#[test]
fn of_two_setbacks_the_earlier_one_ends_it() {
    let record = |joint: &str, specimen: &str| {
        format!(
            "specimen: [{{date: 2026-03-10, result: pass, record: R-1}}, {{date: {specimen}, \
             result: fail, record: R-2}}], failed_joints: [{{date: {joint}, found_by: test}}]"
        )
    };
    let on = day("2026-11-25");
    let found = |joint, specimen| {
        let found = standing(&record(joint, specimen), US_GAS, on);
        (found.state, found.until)
    };
    let until = Some(day("2026-10-01"));
    assert_eq!(
        found("2026-10-02", "2026-11-03"),
        (State::FailedJoint, until)
    );
    assert_eq!(
        found("2026-11-03", "2026-10-02"),
        (State::FailedSpecimen, until)
    );
    // On one day the joint is told, since a regulation speaks of it.
    assert_eq!(
        found("2026-10-02", "2026-10-02"),
        (State::FailedJoint, until)
    );
}

#[test]
fn a_certificate_says_what_it_waits_for() {
    let reason = |confirmed: &str| {
        let record = format!("certificate: 2024-02-29, confirmed: [{confirmed}]");
        standing(&record, TWO, day("2026-01-01")).reason
    };
    let never = reason("");
    assert!(never.contains("to be confirmed by 2024-08-29"), "{never}");
    let once = reason("2024-08-29");
    let says = "confirmed 2024-08-29, to be confirmed again by 2025-02-28";
    assert!(once.contains(says), "{once}");
    // The last half year ends with the certificate itself.
    let all = reason("2024-08-29, 2025-02-28, 2025-08-28");
    assert!(
        all.contains("certificate of 2024-02-29; 24 months"),
        "{all}"
    );
}

#[test]
fn nobody_is_qualified_by_nothing() {
    let found = standing("certificate: 2026-01-01", US_GAS, day("2026-02-01"));
    assert_eq!((found.state, found.until), (State::NeverQualified, None));
    let text = "coldring-fusers: 1\nfusers:\n  - {name: A, badge: A-1}\n  - {name: B, badge: B-1, \
                qualifications: [{procedure: X-1, specimen: {date: 2026-03-10, result: pass, \
                record: R}}]}\n";
    let (roster, _) = decode_yaml(text);
    let none = Rules::default();
    let standings = evaluate(&roster, &none, library(), day("2026-04-01"));
    let states: Vec<_> = standings.iter().map(|s| (s.procedure(), s.state)).collect();
    assert_eq!(
        states,
        [(None, State::NeverQualified), (Some("X-1"), State::NoRule)]
    );
    assert!(
        standings
            .iter()
            .all(|s| !s.qualified() && s.valid_until.is_none())
    );
}

#[test]
fn due_soon_counts_both_ends() {
    let (roster, _) = decode_yaml(
        "coldring-fusers: 1\nfusers: [{name: B, badge: B-1, qualifications: [{procedure: X-1, \
         specimen: {date: 2025-03-10, result: pass, record: R}}]}]\n",
    );
    let mut rules = Rules::default();
    rules.choose(Choice::parse(US_GAS).unwrap());
    for (as_of, left, due) in [
        ("2026-04-10", 61, false),
        ("2026-04-11", 60, true),
        ("2026-06-10", 0, true),
        ("2026-06-11", -1, false),
    ] {
        let as_of = day(as_of);
        let standings = evaluate(&roster, &rules, library(), as_of);
        assert_eq!(standings[0].days_left(as_of), Some(left));
        assert_eq!(standings[0].due_within(60, as_of), due, "{as_of}");
    }
}

/// Months added by the rules of the calendar, without the calendar crate.
fn months_later(date: NaiveDate, months: u32) -> NaiveDate {
    let count = date.year() * 12 + date.month0() as i32 + months as i32;
    let (year, month) = (count.div_euclid(12), count.rem_euclid(12) as usize);
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let lengths = [
        31,
        if leap { 29 } else { 28 },
        31,
        30,
        31,
        30,
        31,
        31,
        30,
        31,
        30,
        31,
    ];
    let last = date.day().min(lengths[month]);
    NaiveDate::from_ymd_opt(year, month as u32 + 1, last).unwrap()
}

fn date_from(days: u64) -> NaiveDate {
    day("2019-01-22") + Days::new(days)
}

proptest! {
    #[test]
    fn months_agree_with_the_calendar_by_hand(days in 0..11_000u64, months in 1..=120u32) {
        let date = date_from(days);
        let until = months_later(date, months);
        let found = standing(&passed(&date.to_string()), &format!("own:{months}:M"), date);
        prop_assert_eq!(found.until, Some(until));
        let gas = standing(&passed(&date.to_string()), US_GAS, date).until.unwrap();
        let end = NaiveDate::from_ymd_opt(date.year() + 1, 12, 31).unwrap();
        prop_assert_eq!(gas, end.min(months_later(date, 15)));
    }

    /// Somebody is qualified when any specimen that passed still counts: no later
    /// specimen failed, no joint failed a test since, and its time is not over.
    #[test]
    fn us_gas_agrees_with_looking_at_every_specimen(
        specimens in prop::collection::vec((0..900u64, any::<bool>()), 0..6),
        joints in prop::collection::vec((0..900u64, any::<bool>()), 0..3),
        on in 0..1500u64,
    ) {
        let as_of = date_from(on);
        let written: Vec<_> = specimens.iter().map(|(days, pass)| format!(
            "{{date: {}, result: {}, record: R}}",
            date_from(*days),
            if *pass { "pass" } else { "fail" },
        )).collect();
        let failed: Vec<_> = joints.iter().map(|(days, test)| format!(
            "{{date: {}, found_by: {}}}",
            date_from(*days),
            if *test { "test" } else { "visual" },
        )).collect();
        let record = format!(
            "specimen: [{}], failed_joints: [{}]", written.join(", "), failed.join(", "),
        );
        let setbacks = || {
            let specimens = specimens.iter().filter(|(_, pass)| !pass);
            specimens.chain(joints.iter().filter(|(_, test)| *test)).map(|(days, _)| *days)
        };
        let counts = |days: u64| {
            let date = date_from(days);
            let end = NaiveDate::from_ymd_opt(date.year() + 1, 12, 31).unwrap();
            days <= on
                && as_of <= end.min(months_later(date, 15))
                && setbacks().all(|setback| setback < days || setback > on)
        };
        let qualified = specimens.iter().any(|(days, pass)| *pass && counts(*days));
        let found = standing(&record, US_GAS, as_of);
        prop_assert_eq!(found.state == State::Qualified, qualified, "{:?}", found);
    }
}
