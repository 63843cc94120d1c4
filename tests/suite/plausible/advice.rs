//! What the program advises is followed: the finding goes, and no new error of the
//! same family comes.

use coldring::core::finding::{Finding, Severity};
use coldring::core::source::{Source, Sources};
use coldring::papers::compile::check;
use regex::Regex;

use crate::rules::edited_specs;
use crate::support::as_of;

/// Advice with a value, and where the value belongs.
struct Advice {
    pattern: &'static str,
    /// In the place of the set point; otherwise in that of the finding.
    set_point: bool,
}

const ADVICE: [Advice; 9] = [
    Advice {
        pattern: r"a set point of ([−0-9.]+ °[FC])",
        set_point: true,
    },
    Advice {
        pattern: r"the nearest it can be set to is ([−0-9.]+ °[FC])",
        set_point: true,
    },
    Advice {
        pattern: r"its neighbors are ([−0-9.]+ °[FC])",
        set_point: true,
    },
    Advice {
        pattern: r"its neighbors are .* and ([−0-9.]+ °[FC])",
        set_point: true,
    },
    Advice {
        pattern: r"use a stick rated ([−0-9.]+ °[FC])",
        set_point: false,
    },
    Advice {
        pattern: r"did you mean (−?[0-9.]+(?: to −?[0-9.]+)? [°%A-Za-z]+)",
        set_point: false,
    },
    Advice {
        pattern: r"write (SDR [0-9.]+)",
        set_point: false,
    },
    Advice {
        pattern: r"hold at least ([0-9.]+ [a-z]+)",
        set_point: false,
    },
    Advice {
        pattern: r"wait at least ([0-9.]+ [a-z]+)",
        set_point: false,
    },
];

/// Rules of which one must not lead into another.
const FAMILIES: [&[&str]; 5] = [
    &["face-outside-window", "set-point-not-reachable"],
    &[
        "stick-misses-the-window",
        "stick-too-coarse",
        "stick-beyond-faces",
    ],
    &[
        "implausible-value",
        "not-a-quantity",
        "missing-unit",
        "wrong-unit",
    ],
    &[
        "hold-shorter-than-published",
        "times-far-from-published",
        "hold-longer-than-cooling",
    ],
    &[
        "wait-shorter-than-published",
        "pressure-test-before-handling",
    ],
];

fn findings(text: &str) -> Vec<Finding> {
    check(&Sources::from(Source::new("spec.yaml", text)), as_of()).findings
}

/// How often a rule of the family of `slug` is broken.
fn broken(found: &[Finding], slug: &str) -> usize {
    let family = FAMILIES.iter().find(|family| family.contains(&slug));
    let of_family = |f: &&Finding| match family {
        Some(family) => family.contains(&f.rule.slug),
        None => f.rule.slug == slug,
    };
    found.iter().filter(of_family).count()
}

fn followed(text: &str, finding: &Finding, advice: &Advice, value: &str) -> Option<String> {
    let mut edited = text.to_owned();
    let range = if advice.set_point {
        let at = text.find("set_point: ")? + "set_point: ".len();
        at..at + text[at..].find('\n')?
    } else {
        finding.span?.range()
    };
    edited.replace_range(range, value);
    Some(edited)
}

#[test]
fn advice_that_is_followed_leads_into_no_other_error_of_its_family() {
    let patterns: Vec<_> = ADVICE
        .iter()
        .map(|a| (a, Regex::new(a.pattern).unwrap()))
        .collect();
    let (mut wrong, mut tried) = (Vec::new(), 0);
    for text in edited_specs() {
        let before = findings(&text);
        for finding in &before {
            let Some(help) = &finding.help else { continue };
            for (advice, pattern) in &patterns {
                let Some(found) = pattern.captures(help) else {
                    continue;
                };
                // Another instrument has to come with it.
                if help.contains("the check then has to be") {
                    continue;
                }
                let value = found[1].trim();
                let Some(edited) = followed(&text, finding, advice, value) else {
                    continue;
                };
                tried += 1;
                let after = findings(&edited);
                let slug = finding.rule.slug;
                if broken(&after, slug) >= broken(&before, slug) {
                    let errors = after.iter().filter(|f| f.severity() == Severity::Error);
                    let errors: Vec<_> = errors.map(|f| (f.rule.slug, &f.message)).collect();
                    wrong.push(format!("{slug}: {help}\n  gives {errors:?}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(tried > 40, "{tried}");
}
