//! The inputs that coverage-guided fuzzing found to reach the most code, tried as
//! `tests/fuzz` tries them.

use coldring::core::finding::Finding;
use coldring::core::size::Size;
use coldring::core::source::{Source, Sources};
use coldring::core::units::parse_quantity;
use coldring::papers::compile::check;
use coldring::people::fusers::{calendar, decode_csv, decode_yaml, evaluate, review};
use coldring::published::library;
use coldring::spec::decode;

use crate::support::{as_of, read};

/// The kept inputs of a target.
fn inputs(target: &str) -> Vec<String> {
    let lines = read(&format!("tests/fuzz/corpus/{target}.jsonl"));
    let inputs: Vec<_> = lines
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert!(inputs.len() > 100, "{target}: {}", inputs.len());
    inputs
}

fn places_are_inside(text: &str, findings: &[Finding]) {
    for span in findings.iter().filter_map(|finding| finding.span) {
        assert!(text.get(span.range()).is_some(), "{span:?} of {text:?}");
    }
}

#[test]
fn specs_are_read_or_say_why_not() {
    for text in inputs("reader").iter().chain(&inputs("check")) {
        let (spec, findings) = decode(text);
        assert!(spec.is_some() || !findings.is_empty(), "{text:?}");
        places_are_inside(text, &findings);
        let sources = Sources::from(Source::new("spec.yaml", text.as_str()));
        places_are_inside(text, &check(&sources, as_of()).findings);
    }
}

#[test]
fn nobody_on_an_odd_roster_is_qualified_beyond_the_last_day() {
    let yaml = inputs("roster_yaml")
        .into_iter()
        .map(|text| (decode_yaml(&text), text));
    let csv = inputs("roster_csv")
        .into_iter()
        .map(|text| (decode_csv(&text), text));
    for ((roster, findings), text) in yaml.chain(csv) {
        places_are_inside(&text, &findings);
        let _ = review(&roster, &roster.rules, library(), as_of());
        let standings = evaluate(&roster, &roster.rules, library(), as_of());
        for standing in &standings {
            let left = standing.days_left(as_of());
            let over = standing.qualified() && left.is_some_and(|left| left < 0);
            assert!(!over, "{text:?}");
        }
        let _ = calendar(&standings, 60, as_of());
    }
}

#[test]
fn a_size_that_is_read_is_printed_as_one() {
    for text in inputs("quantity") {
        if let Ok(quantity) = parse_quantity(&text) {
            let _ = (quantity.length_range(), quantity.temperature_range());
            let _ = (quantity.percent(), quantity.pressure());
        }
        if let Ok(size) = Size::parse(&text) {
            assert_eq!(Size::parse(&size.to_string()), Ok(size), "{text:?}");
        }
    }
}
