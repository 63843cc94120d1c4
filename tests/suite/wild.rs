//! Random specs: nothing brings the reader, the rules or the pages down, and
//! every finding stands inside its file.

use coldring::core::finding::{Finding, Severity};
use coldring::core::source::{Source, Sources, Span};
use coldring::papers::compile::{Options, PaperKind, check, compile};
use coldring::spec::decode;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::{Index, select};

use crate::support::{GEOTHERMAL, WRONG, as_of, gas_alone, read};

/// How many random cases; a failure prints the spec that caused it.
fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Every place of a finding lies inside the text, at whole characters.
fn places_are_inside(text: &str, findings: &[Finding]) -> Result<(), TestCaseError> {
    for finding in findings {
        let related = finding.related.iter().map(|related| related.span);
        for Span { start, end } in finding.span.into_iter().chain(related) {
            let inside = start <= end && end <= text.len();
            prop_assert!(
                inside,
                "{}: {start}..{end} of {}",
                finding.rule.slug,
                text.len()
            );
            let whole = text.is_char_boundary(start) && text.is_char_boundary(end);
            prop_assert!(
                whole,
                "{}: {start}..{end} splits a character",
                finding.rule.slug
            );
        }
        prop_assert!(
            !finding.message.trim().is_empty(),
            "{} says nothing",
            finding.rule.slug
        );
    }
    Ok(())
}

/// Checks a text and, since there is a paper only without errors, says whether
/// the verdict and the findings agree.
fn survives(text: String) -> Result<(), TestCaseError> {
    let source = Sources::from(Source::new("wild.yaml", text));
    let checked = check(&source, as_of());
    places_are_inside(&source.spec().text, &checked.findings)?;
    // A spec that cannot be read is never silently accepted.
    prop_assert!(checked.identity.is_some() || !checked.findings.is_empty());
    // The same text gives the same findings.
    let again = check(&source, as_of());
    prop_assert_eq!(
        format!("{:?}", checked.findings),
        format!("{:?}", again.findings)
    );
    Ok(())
}

/// A number that a person, or a cat on the keyboard, could write.
fn number() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => (0u32..2000).prop_map(|n| n.to_string()),
        2 => (0u32..99, 0u32..999).prop_map(|(a, b)| format!("{a}.{b}")),
        1 => (-500i32..0).prop_map(|n| n.to_string()),
        1 => select(vec![
            "0", "-0", "00012", "1e9", ".5", "5.", "1,5", "999999999999999999999999", "NaN", "inf",
            "0.0000000000000000001", "--4", "½", "٣", "0x10", "1_000",
        ])
        .prop_map(str::to_owned),
    ]
}

fn size() -> impl Strategy<Value = String> {
    let system = select(vec![
        " IPS", " CTS", " mm", "IPS", "", " in", "\" IPS", " ips",
    ]);
    let nominal = select(vec![
        "1/2", "3/4", "1", "1-1/4", "1¼", "1-1/2", "2", "3", "4", "6", "63", "0", "7/8", "9999",
        "1/0",
    ]);
    (nominal, system).prop_map(|(nominal, system)| format!("{nominal}{system}"))
}

/// Something to stand where a value is wanted.
fn value() -> impl Strategy<Value = String> {
    let unit = select(vec![
        "",
        " °F",
        " °C",
        " F",
        " C",
        " in",
        " mm",
        "\"",
        " s",
        " min",
        " h",
        " %",
        " K",
        " furlongs",
    ]);
    prop_oneof![
        4 => (number(), unit.clone()).prop_map(|(n, unit)| format!("{n}{unit}")),
        2 => (number(), number(), unit).prop_map(|(a, b, unit)| format!("{a} to {b}{unit}")),
        3 => size(),
        1 => (size(), size()).prop_map(|(a, b)| format!("{a} to {b}")),
        1 => select(vec![
            "~", "[]", "{}", "[[]]", "to be measured", "&a x", "*a", "!!str 1", "|", "\"\\u0000\"",
            "'", "\"", "2026-02-30", "9999-12-31", "-1-01-01", "PE4710", "PE9999", "pyrometer",
            "two indicating sticks", "gas", "withdrawn", "qualified", "true", "#", "- -", "? :",
            "<<", "é", "\u{202e}", "\u{feff}", "👩‍🔧",
        ])
        .prop_map(str::to_owned),
    ]
}

/// One thing done to the lines of a spec.
#[derive(Debug, Clone)]
enum Change {
    Delete(Index),
    Duplicate(Index, Index),
    Swap(Index, Index),
    Indent(Index, usize),
    Value(Index, String),
    Size(Index, String),
    Character(Index, Index, char),
    Cut(Index),
}

fn change() -> impl Strategy<Value = Change> {
    let index = any::<Index>;
    prop_oneof![
        2 => index().prop_map(Change::Delete),
        2 => (index(), index()).prop_map(|(a, b)| Change::Duplicate(a, b)),
        1 => (index(), index()).prop_map(|(a, b)| Change::Swap(a, b)),
        1 => (index(), 0usize..9).prop_map(|(a, n)| Change::Indent(a, n)),
        8 => (index(), value()).prop_map(|(a, v)| Change::Value(a, v)),
        4 => (index(), size()).prop_map(|(a, s)| Change::Size(a, s)),
        2 => (index(), index(), any::<char>()).prop_map(|(a, b, c)| Change::Character(a, b, c)),
        1 => index().prop_map(Change::Cut),
    ]
}

fn apply(lines: &mut Vec<String>, change: &Change) {
    if lines.is_empty() {
        return;
    }
    let count = lines.len();
    match change {
        Change::Delete(at) => {
            lines.remove(at.index(count));
        }
        Change::Duplicate(from, to) => {
            let line = lines[from.index(count)].clone();
            lines.insert(to.index(count), line);
        }
        Change::Swap(a, b) => lines.swap(a.index(count), b.index(count)),
        Change::Indent(at, spaces) => {
            let line = &mut lines[at.index(count)];
            *line = " ".repeat(*spaces) + line.trim_start();
        }
        Change::Value(at, value) => {
            // After one of the line's colons, up to the next comma or brace.
            let line = &mut lines[at.index(count)];
            let colons: Vec<usize> = line.match_indices(": ").map(|(i, _)| i + 2).collect();
            if !colons.is_empty() {
                let start = colons[at.index(colons.len())];
                let length = line[start..]
                    .find([',', '}', ']'])
                    .unwrap_or(line.len() - start);
                line.replace_range(start..start + length, value);
            }
        }
        Change::Size(at, size) => {
            let line = &mut lines[at.index(count)];
            for known in [
                "1-1/4 IPS",
                "1-1/2 IPS",
                "3/4 IPS",
                "2 IPS",
                "1 IPS",
                "3/4 CTS",
                "1/2 CTS",
            ] {
                if let Some(start) = line.find(known) {
                    line.replace_range(start..start + known.len(), size);
                    break;
                }
            }
        }
        Change::Character(at, place, character) => {
            let line = &mut lines[at.index(count)];
            let places: Vec<usize> = line.char_indices().map(|(i, _)| i).collect();
            if !places.is_empty() {
                line.insert(places[place.index(places.len())], *character);
            }
        }
        Change::Cut(at) => lines.truncate(at.index(count)),
    }
}

fn changed(text: &str, changes: &[Change]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for change in changes {
        apply(&mut lines, change);
    }
    lines.join("\n") + "\n"
}

fn specs() -> Vec<String> {
    vec![read(GEOTHERMAL), gas_alone(), read(WRONG)]
}

proptest! {
    #![proptest_config(cases(1500))]

    #[test]
    fn changed_specs_are_read_to_the_end(spec in select(specs()), changes in vec(change(), 1..8)) {
        survives(changed(&spec, &changes))?;
    }

    #[test]
    fn random_characters_are_survived(text in "\\PC{0,200}") {
        let (_, findings) = decode(&text);
        places_are_inside(&text, &findings)?;
    }

    #[test]
    fn yaml_in_shreds_is_survived(
        shreds in vec(
            prop_oneof![
                select(vec![
                    ": ", "- ", "\n", "\n  ", "\n    ", "{", "}", "[", "]", ", ", "? ", "& a ", "&a ", "*a ",
                    "!!map ", "!x ", "| \n", ">-\n", "'", "\"", "\\", "#", "---\n", "...\n", "%YAML 1.2\n",
                    "\t", "\r\n", "<<: ", "coldring: 1\n", "procedure", "scope", "heater", "tools",
                    "cycles", "rows", "sizes", "depth_gauges", "adapters", "\u{feff}", "é", "\u{85}",
                    "\u{2028}",
                ])
                .prop_map(str::to_owned),
                value(),
            ],
            0..60,
        )
    ) {
        survives(shreds.concat())?;
    }
}

proptest! {
    // Each case typesets, which takes a while.
    #![proptest_config(cases(24))]

    #[test]
    fn papers_can_be_made_of_whatever_passes(
        title in "[\\PC&&[^\\p{Cn}]]{1,80}",
        id in "[#$@*_\\\\<>\\[\\]{}\"'a-z0-9é]{1,40}",
        changes in vec(change(), 0..2),
    ) {
        let quoted = |text: &str| format!("'{}'", text.replace('\'', "''"));
        let text = gas_alone()
            .replace("Socket fusion of PE2708 gas service pipe and tubing", &quoted(&title))
            .replace("id: C-1", &format!("id: {}", quoted(&id)));
        let source = Sources::from(Source::new("wild.yaml", changed(&text, &changes)));
        let options = Options { papers: PaperKind::ALL.to_vec(), ..Options::default() };
        let outcome = compile(&source, &options, as_of());
        let outcome = outcome.map_err(|error| TestCaseError::fail(error.to_string()))?;
        places_are_inside(&source.spec().text, &outcome.checked.findings)?;
        let findings = &outcome.checked.findings;
        let wrong = findings.iter().any(|finding| finding.severity() == Severity::Error);
        prop_assert_eq!(outcome.papers.is_empty(), wrong);
        for paper in &outcome.papers {
            prop_assert!(paper.bytes.starts_with(b"%PDF-"));
        }
    }
}
