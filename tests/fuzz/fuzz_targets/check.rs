//! A spec through resolver and rules, without papers.
#![no_main]

use chrono::NaiveDate;
use coldring::papers::compile::check;
use coldring::core::source::{Source, Sources};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let sources = Sources::from(Source::new("spec.yaml", text));
    let day = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let checked = check(&sources, day);
    for finding in &checked.findings {
        assert!(!finding.message.is_empty());
        if let Some(span) = finding.span {
            assert!(text.get(span.range()).is_some(), "{span:?} lies outside");
        }
    }
});
