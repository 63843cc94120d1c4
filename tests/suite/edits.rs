//! The edits of findings: whoever applies one has a file with fewer findings, none of
//! them new, and no number in it that the author did not write.

use std::collections::BTreeSet;

use coldring::core::budget;
use coldring::core::finding::{Finding, Severity};
use coldring::core::source::{Role, Source, Sources, Unavailable};
use coldring::papers::compile::check;
use coldring::spec::{self, scalars_within};

use crate::support::{GAS, GEOTHERMAL, WRONG, as_of, gas_with_record, path, read};

/// The findings of a spec in the folder of `name`.
fn findings(name: &str, text: &str) -> Vec<Finding> {
    let folder = path(name).parent().unwrap().to_owned();
    let named = spec::included(text);
    let start = Sources::from(Source::new(name, text));
    let all = named.into_iter().fold(start, |sources, (role, file)| {
        let read = std::fs::read_to_string(folder.join(&file));
        let read = read.map(|text| Source::new(file, text));
        sources.with(role, read.map_err(|_| Unavailable::NotGiven))
    });
    check(&all, as_of()).findings
}

type Known = (&'static str, String);

fn errors(findings: &[Finding]) -> BTreeSet<Known> {
    let errors = findings.iter().filter(|f| f.severity() == Severity::Error);
    errors.map(|f| (f.rule.slug, f.message.clone())).collect()
}

/// The numbers in a text, without leading zeros and without what separates them.
fn digits(text: &str) -> BTreeSet<String> {
    let words = text.split(|c: char| !c.is_ascii_digit());
    let words = words.map(|word| word.trim_start_matches('0'));
    words
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// What is wrong with the edits that the findings of a text have, and how many have any.
fn judge(name: &str, text: &str, before: &BTreeSet<Known>) -> (usize, Vec<String>) {
    let found = findings(name, text);
    let known = errors(&found);
    let mut wrong = Vec::new();
    let with_edits: Vec<_> = found.iter().filter(|f| !f.edits.is_empty()).collect();
    for finding in &with_edits {
        let said = format!("{}: {}", finding.rule.slug, finding.message);
        let Some(edited) = finding.edited(text) else {
            wrong.push(format!("{said}: it does not fit the text"));
            continue;
        };
        let after = errors(&findings(name, &edited));
        if !after
            .iter()
            .all(|e| known.contains(e) || before.contains(e))
        {
            wrong.push(format!("{said}: it leads to {after:?}"));
        }
        if after.contains(&(finding.rule.slug, finding.message.clone())) {
            wrong.push(format!("{said}: it is found again"));
        }
        for edit in &finding.edits {
            let written = &text[edit.span.range()];
            // A date has its century from nobody.
            let own = digits(written);
            let joined: String = written.chars().filter(char::is_ascii_digit).collect();
            let is_own = |number: &String| own.contains(number) || joined.contains(number);
            if !digits(&edit.text).iter().all(is_own) {
                wrong.push(format!("{said}: '{written}' becomes '{}'", edit.text));
            }
        }
    }
    (with_edits.len(), wrong)
}

/// Slips of a newcomer in a value: what it becomes, if the slip can be made in it.
const SLIPS: [fn(&str) -> Option<String>; 6] = [
    // The unit is left out.
    |value| {
        let (number, unit) = value.rsplit_once(' ')?;
        let is_unit = ["°F", "°C", "s", "min", "h", "in", "mm", "%"].contains(&unit);
        (is_unit && number.ends_with(|c: char| c.is_ascii_digit())).then(|| number.to_owned())
    },
    // The scale is left out.
    |value| value.contains("°F").then(|| value.replace("°F", "degrees")),
    // A decimal comma.
    |value| {
        let (whole, rest) = value.split_once('.')?;
        let both = whole.ends_with(|c: char| c.is_ascii_digit())
            && rest.starts_with(|c: char| c.is_ascii_digit());
        both.then(|| format!("\"{whole},{rest}\""))
    },
    // The ends of a range.
    |value| {
        let (low, high) = value.split_once(" to ")?;
        let starts = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
        (starts(low) && starts(high)).then(|| match high.split_once(' ') {
            Some((number, unit)) if !low.contains(unit) => format!("{number} to {low} {unit}"),
            _ => format!("{high} to {low}"),
        })
    },
    // A date in American order.
    |value| {
        let parts: Vec<_> = value.split('-').collect();
        let [year, month, day] = parts.as_slice() else {
            return None;
        };
        let is_date = value.len() == 10 && year.len() == 4;
        is_date.then(|| format!("{month}/{day}/{year}"))
    },
    // A letter too many, in a field or a word.
    |value| {
        let is_word = value.len() > 4 && value.chars().all(|c| c.is_ascii_lowercase() || c == '_');
        let (start, end) = value.split_at(value.len() / 2);
        is_word.then(|| format!("{start}{}{end}", &end[..1]))
    },
];

#[test]
fn an_edit_leads_to_fewer_findings_and_to_no_new_error() {
    let mut wrong = judge(WRONG, &read(WRONG), &BTreeSet::new()).1;
    for name in [GAS, GEOTHERMAL, "specs/tern-valley-water.yaml"] {
        let text = read(name);
        let before = errors(&findings(name, &text));
        let mut offered = [0; SLIPS.len()];
        let mut tried = BTreeSet::new();
        for scalar in scalars_within(&text, &budget::ROSTER) {
            let written = &text[scalar.span.range()];
            if !tried.insert(written) {
                continue;
            }
            for (slip, offered) in SLIPS.iter().zip(&mut offered) {
                let Some(slipped) = slip(written) else {
                    continue;
                };
                let (start, end) = (scalar.span.start, scalar.span.end);
                let text = format!("{}{slipped}{}", &text[..start], &text[end..]);
                let (edits, faults) = judge(name, &text, &before);
                *offered += edits;
                wrong.extend(faults);
            }
        }
        // The gas demo has no temperature range to turn around, and so on.
        assert!(
            offered.iter().filter(|n| **n > 0).count() >= 4,
            "{name}: {offered:?}"
        );
    }
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
}

/// Where there are two readings, or none, nobody may choose for the author.
#[test]
fn no_edit_chooses_between_two_readings() {
    let text = gas_with_record();
    for (from, to) in [
        ("set_point: 500 °F", "set_point: hot"),
        ("dimension_ratio: 11", "dimension_ratio: eleven"),
        ("strength: 91 %", "strength: 0.91"),
        ("status: qualified", "status: approved"),
        ("date: 2026-09-01", "date: 9/1/2026"),
        ("sizes: [1 IPS,", "sizes: [1,"),
    ] {
        assert!(text.contains(from), "{from}");
        let found = findings(GAS, &text.replace(from, to));
        let new: Vec<_> = found
            .iter()
            .filter(|f| f.severity() == Severity::Error)
            .collect();
        assert!(!new.is_empty(), "{to}");
        assert!(new.iter().all(|f| f.edits.is_empty()), "{to}: {new:?}");
    }
}

/// Files that a spec names have edits in their own text.
#[test]
fn an_edit_is_in_the_file_of_its_finding() {
    let record = read("specs/records/AF-PQ-07.yaml");
    let slipped = record.replacen("date:", "daet:", 1);
    assert_ne!(record, slipped);
    let sources = Sources::from(Source::new("spec.yaml", gas_with_record())).with(
        Role::Record,
        Ok(Source::new("record.yaml", slipped.clone())),
    );
    let found = check(&sources, as_of()).findings;
    let [finding] = found
        .iter()
        .filter(|f| !f.edits.is_empty())
        .collect::<Vec<_>>()[..]
    else {
        panic!("{found:?}");
    };
    assert_eq!(finding.edited(&slipped), Some(record));
}
