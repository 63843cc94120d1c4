//! Every rule of the tool, by a spec that breaks it and one that only comes near.
//!
//! A case is a few textual edits of one clean spec. The edited spec must give
//! the finding, pointing at the very text that is wrong; the near one must not.

mod audit;
mod confirm;
mod elsewhere;
mod fit;
mod heat;
mod heater;
mod kinds;
mod metric;
mod reading;
mod scope;
mod standing;
mod texts;
mod times;
mod tools;
mod walls;

use std::collections::BTreeSet;

use chrono::NaiveDate;
use coldring::core::finding::{Finding, Severity};
use coldring::core::source::Source;
use coldring::papers::compile::check_with_heat;
pub use elsewhere::ELSEWHERE;
use proptest::sample::Index;

/// The clean spec, in US practice.
const BASE: &str = include_str!("../data/base.yaml");
/// The clean spec in metric practice.
const METRIC: &str = include_str!("../data/metric-base.yaml");

/// What stands in the clean spec, exactly once, and what takes its place.
type Edit = (&'static str, &'static str);

/// A rule, a spec that breaks it and one that comes near.
struct Case {
    slug: &'static str,
    /// The clean spec that is edited.
    base: &'static str,
    edits: &'static [Edit],
    /// The text the finding points at; empty when it is about the whole file.
    place: &'static str,
    /// Words its message, its help or its source must have, where a figure is
    /// worth a look.
    says: &'static str,
    near: &'static [Edit],
}

/// Begins the case of a rule.
const fn case(slug: &'static str) -> Case {
    Case {
        slug,
        base: BASE,
        edits: &[],
        place: "",
        says: "",
        near: &[],
    }
}

impl Case {
    /// The same case on the metric spec.
    const fn metric(self) -> Self {
        Self {
            base: METRIC,
            ..self
        }
    }

    /// The edits that break the rule and the text its finding points at.
    const fn fires(self, edits: &'static [Edit], place: &'static str) -> Self {
        Self {
            edits,
            place,
            ..self
        }
    }

    /// What the finding must say.
    const fn saying(self, says: &'static str) -> Self {
        Self { says, ..self }
    }

    /// The edits that come near and are allowed.
    const fn near(self, near: &'static [Edit]) -> Self {
        Self { near, ..self }
    }
}

/// Every case, those about reading a spec first.
fn cases() -> impl Iterator<Item = &'static Case> {
    [
        reading::CASES,
        confirm::CASES,
        scope::CASES,
        metric::CASES,
        heat::CASES,
        heater::CASES,
        tools::CASES,
        walls::CASES,
        kinds::CASES,
        fit::CASES,
        times::CASES,
        standing::CASES,
        texts::CASES,
        audit::CASES,
    ]
    .into_iter()
    .flatten()
}

/// The clean spec with the edits of a case.
fn edited(base: &str, slug: &str, edits: &[Edit]) -> Result<String, String> {
    let mut text = base.to_owned();
    for (old, new) in edits {
        let times = text.matches(old).count();
        if times != 1 {
            return Err(format!("{slug}: '{old}' stands {times} times in the spec"));
        }
        text = text.replace(old, new);
    }
    if text == base {
        return Err(format!("{slug}: the edits change nothing"));
    }
    Ok(text)
}

/// The spec of every case, both as it breaks its rule and as it comes near.
pub fn edited_specs() -> Vec<String> {
    let both = |case: &'static Case| {
        [case.edits, case.near].map(|edits| edited(case.base, case.slug, edits))
    };
    cases().flat_map(both).filter_map(Result::ok).collect()
}

/// A clean spec with the edits of several cases, as far as they do not take the
/// text from one another.
pub fn edited_at_once(picks: &[Index], metric: bool) -> String {
    let base = if metric { METRIC } else { BASE };
    let of_base: Vec<_> = cases().filter(|case| case.base == base).collect();
    picks.iter().fold(base.to_owned(), |text, pick| {
        let case = pick.get(&of_base);
        edited(&text, case.slug, case.edits).unwrap_or(text)
    })
}

fn findings(text: &str) -> Vec<Finding> {
    let as_of = NaiveDate::from_ymd_opt(2026, 11, 25).expect("a day in the calendar");
    check_with_heat(&Source::new("base.yaml", text).into(), as_of).findings
}

/// The text a finding points at.
fn place<'t>(finding: &Finding, text: &'t str) -> &'t str {
    finding.span.map_or("", |span| &text[span.range()])
}

/// Findings in a form that is good to read when a test fails.
fn told(findings: &[Finding], text: &str) -> String {
    let line = |f: &Finding| format!("\n  {} at '{}': {}", f.rule.slug, place(f, text), f.message);
    findings.iter().map(line).collect()
}

/// Checks an edited spec. One that cannot be read never meets the rules of the
/// trade and would pass for one that keeps them, so only the cases about
/// reading may have such findings.
fn checked(base: &str, slug: &str, edits: &[Edit]) -> Result<(String, Vec<Finding>), String> {
    let text = edited(base, slug, edits)?;
    let found = findings(&text);
    let is_about_reading = |slug| reading::CASES.iter().any(|case| case.slug == slug);
    if !is_about_reading(slug) && found.iter().any(|f| is_about_reading(f.rule.slug)) {
        let told = told(&found, &text);
        return Err(format!("{slug}: the edited spec cannot be read:{told}"));
    }
    Ok((text, found))
}

/// Runs `judge` over every case and reports all that fail, not the first.
fn each_case(judge: impl Fn(&Case) -> Result<(), String>) {
    let failed: Vec<_> = cases().filter_map(|case| judge(case).err()).collect();
    assert!(failed.is_empty(), "\n{}", failed.join("\n"));
}

#[test]
fn nothing_is_wrong_with_the_clean_specs() {
    // What comes near a rule is compared with these, so that a rule which fires
    // at both would be silent there. Two are about sources, no spigot was
    // measured, and two are what the thermal estimate tells.
    const KNOWN: [&str; 5] = [
        "recalled-figures-used",
        "conflicting-figures-used",
        "spigot-not-measured",
        "melt-over-caution",
        "change-over-near-ceiling",
    ];
    for base in [BASE, METRIC] {
        let found = findings(base);
        assert!(
            found.iter().all(|f| KNOWN.contains(&f.rule.slug)),
            "{}",
            told(&found, base)
        );
    }
}

#[test]
fn every_rule_fires_at_the_text_that_is_wrong() {
    each_case(|case| {
        let (text, found) = checked(case.base, case.slug, case.edits)?;
        let wanted = |f: &&Finding| f.rule.slug == case.slug && place(f, &text) == case.place;
        let says = |f: &Finding| {
            let said = [Some(&f.message), f.help.as_ref(), f.source.as_ref()];
            said.into_iter()
                .flatten()
                .any(|text| text.contains(case.says))
        };
        if found.iter().filter(wanted).any(says) {
            return Ok(());
        }
        let (slug, place, says) = (case.slug, case.place, case.says);
        let told = told(&found, &text);
        Err(format!(
            "{slug} is not found at '{place}' saying '{says}'; found:{told}"
        ))
    });
}

#[test]
fn no_rule_fires_at_what_only_comes_near() {
    // A few published figures are in every procedure, and so are the findings
    // that they are recalled or in conflict: the clean spec has those too.
    each_case(|case| {
        let always = findings(case.base);
        let (text, mut found) = checked(case.base, case.slug, case.near)?;
        found.retain(|f| f.rule.slug == case.slug);
        found.retain(|f| always.iter().all(|known| known.message != f.message));
        if found.is_empty() {
            return Ok(());
        }
        let told = told(&found, &text);
        Err(format!(
            "{} is found where nothing is wrong:{told}",
            case.slug
        ))
    });
}

#[test]
fn every_rule_has_a_case_and_every_case_a_rule() {
    let rules: BTreeSet<_> = coldring::authoring::rule_index::rules()
        .map(|rule| rule.slug)
        .collect();
    let cased: BTreeSet<_> = cases().map(|case| case.slug).collect();
    let elsewhere: BTreeSet<_> = ELSEWHERE.iter().map(|(slug, _)| *slug).collect();
    let tested: BTreeSet<_> = cased.union(&elsewhere).copied().collect();
    assert_eq!(rules, tested);
    assert!(cased.is_disjoint(&elsewhere));
}

#[test]
fn slugs_are_unique_and_plain() {
    let mut seen = BTreeSet::new();
    for rule in coldring::authoring::rule_index::rules() {
        let slug = rule.slug;
        assert!(seen.insert(slug), "{slug} is the name of two rules");
        let words: Vec<_> = slug.split('-').collect();
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
        assert!(
            words.iter().all(|w| !w.is_empty() && w.chars().all(plain)),
            "{slug}"
        );
    }
}

#[test]
fn every_rule_explains_itself() {
    for rule in coldring::authoring::rule_index::rules() {
        for (what, text) in [
            ("summary", rule.summary),
            ("why", rule.why),
            ("example", rule.example),
            ("fix", rule.fix),
        ] {
            assert!(!text.trim().is_empty(), "{} has no {what}", rule.slug);
            assert_eq!(text, text.trim(), "{}: {what}", rule.slug);
        }
        for sentence in [rule.summary, rule.why] {
            assert!(
                sentence.ends_with('.') || sentence.ends_with('?'),
                "{}: '{sentence}' does not end",
                rule.slug
            );
        }
    }
}

#[test]
fn every_finding_can_be_shown() {
    each_case(|case| {
        let (text, found) = checked(case.base, case.slug, case.edits)?;
        for finding in &found {
            let (slug, message) = (finding.rule.slug, &finding.message);
            let spans = finding.span.into_iter();
            let mut spans = spans.chain(finding.related.iter().map(|r| r.span));
            if spans.any(|span| text.get(span.range()).is_none_or(str::is_empty)) {
                return Err(format!("{slug} points at nothing: {message}"));
            }
            let said = [
                Some(message),
                finding.help.as_ref(),
                finding.source.as_ref(),
            ];
            for line in said.into_iter().flatten() {
                if line.trim().is_empty() || line.contains("  ") || line.contains("..") {
                    return Err(format!("{slug} is not plain text: {line}"));
                }
            }
        }
        Ok(())
    });
}

#[test]
fn an_unreadable_value_is_not_said_to_be_missing() {
    for (edits, never) in [
        (("0.94 in", "-0.94 in"), "depth-missing"),
        (("swing: 4 °F", "swing: 4"), "heater-step-or-swing-unknown"),
        (
            ("40 °F to 110 °F", "110 °F to 40 °F"),
            "pipe-temperature-missing",
        ),
        (("largest: 2 IPS", "largest: 2"), "cutter-missing"),
        (
            ("{depth: 23.88 mm}", "{depth: 23.88}"),
            "no-adapter-for-size",
        ),
        (
            ("2 IPS: {depth: 23.88 mm}", "2: {depth: 23.88 mm}"),
            "no-adapter-for-size",
        ),
        (
            ("strength: 91 %", "strength: 91"),
            "cleaning-below-practice",
        ),
    ] {
        let text = edited(BASE, never, &[edits]).expect("an edit of the clean spec");
        let found = findings(&text);
        assert!(found.iter().any(|f| f.severity() == Severity::Error));
        assert!(
            found.iter().all(|f| f.rule.slug != never),
            "{}",
            told(&found, &text)
        );
    }
    // A misspelt field hides nothing that is missing elsewhere.
    let edits = [
        ("  step: 2 °F", "  stepp: 2 °F"),
        ("  cutter: {largest: 2 IPS}\n", ""),
    ];
    let text = edited(BASE, "unknown-field", &edits).expect("edits of the clean spec");
    assert!(
        findings(&text)
            .iter()
            .any(|f| f.rule.slug == "cutter-missing")
    );
}
