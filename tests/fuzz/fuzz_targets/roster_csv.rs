//! A roster as CSV → who is qualified until when.
#![no_main]

use chrono::NaiveDate;
use coldring::people::fusers::{calendar, decode_csv, evaluate, review};
use coldring::published::library;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let (roster, findings) = decode_csv(text);
    for span in findings.iter().filter_map(|finding| finding.span) {
        assert!(text.get(span.range()).is_some(), "{span:?} lies outside");
    }
    let day = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let _ = review(&roster, &roster.rules, library(), day);
    let standings = evaluate(&roster, &roster.rules, library(), day);
    for standing in &standings {
        // Nobody is qualified with a last day that is over.
        let left = standing.days_left(day);
        assert!(!standing.qualified() || left.is_none_or(|left| left >= 0));
    }
    let _ = calendar(&standings, 60, day);
});
