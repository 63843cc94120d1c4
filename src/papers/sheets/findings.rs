//! The warnings of the checks as a paper words them: what each is about, what it
//! says in the paper's language, and what closes it. In English the message of the
//! finding is printed, which also says by how much.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use minijinja::{Environment, UndefinedBehavior};
use serde::Deserialize;

use crate::core::finding::Finding;
use crate::core::units::print::marked;
use crate::spec::language::Language;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Wording {
    /// English and Spanish.
    point: [String; 2],
    es: String,
    /// English and Spanish.
    close: [String; 2],
}

/// A warning as a paper prints it.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct PrintedWarning {
    /// What it is about, in a word or two.
    pub(crate) point: String,
    pub(crate) text: String,
    /// What closes it.
    pub(crate) close: String,
}

static WORDINGS: LazyLock<BTreeMap<String, Wording>> = LazyLock::new(|| {
    // The texts are part of the program, and a test renders every one.
    serde_json::from_str(include_str!(concat!(env!("OUT_DIR"), "/findings.json")))
        .unwrap_or_else(|error| panic!("the wording of the warnings cannot be read: {error}"))
});

/// Words a finding in a language; `None` if its rule has no wording, or the finding
/// lacks a quantity that the wording has.
pub(crate) fn printed(finding: &Finding, language: Language) -> Option<PrintedWarning> {
    let wording = WORDINGS.get(finding.rule.slug)?;
    let [point_en, point_es] = &wording.point;
    let [close_en, close_es] = &wording.close;
    let render = |text: &str| render(text, finding);
    Some(match language {
        Language::En => PrintedWarning {
            point: render(point_en)?,
            text: sentence(&finding.message),
            close: close_en.clone(),
        },
        Language::Es => PrintedWarning {
            point: render(point_es)?,
            text: render(&wording.es)?,
            close: close_es.clone(),
        },
    })
}

fn render(text: &str, finding: &Finding) -> Option<String> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    let quantities: BTreeMap<_, _> = finding
        .quantities
        .iter()
        .map(|(name, value)| (*name, marked(value)))
        .collect();
    environment.render_str(text, quantities).ok()
}

/// A finding's message as a full sentence.
pub(crate) fn sentence(message: &str) -> String {
    let mut letters = message.chars();
    let first: String = letters
        .next()
        .map(|c| c.to_uppercase().collect())
        .unwrap_or_default();
    let end = if message.ends_with(['.', '?', '!']) {
        ""
    } else {
        "."
    };
    format!("{first}{}{end}", letters.as_str())
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::core::finding::Severity;
    use crate::papers::house::rules as house;
    use crate::procedure::confirm::rules as confirm;
    use crate::rules::{CONFLICTING_FIGURES_USED, RECALLED_FIGURES_USED};
    use crate::spec::rules as spec;

    /// What can be printed: every warning about a spec and its files that does not
    /// depend on the day. Two have a place of their own on the paper.
    #[test]
    fn every_warning_that_a_paper_can_carry_is_worded_in_every_language() {
        let rules = crate::process::rules()
            .chain(spec::RULES.iter().copied())
            .chain(confirm::RULES.iter().copied())
            .chain(house::RULES.iter().copied());
        let own_place = [&CONFLICTING_FIGURES_USED, &RECALLED_FIGURES_USED];
        let needed: BTreeSet<_> = rules
            .filter(|rule| rule.severity == Severity::Warning && !rule.dated)
            .filter(|rule| own_place.iter().all(|own| own.slug != rule.slug))
            .map(|rule| rule.slug)
            .collect();
        let worded: BTreeSet<_> = WORDINGS.keys().map(String::as_str).collect();
        let missing: Vec<_> = needed.difference(&worded).collect();
        let left_over: Vec<_> = worded.difference(&needed).collect();
        assert!(
            missing.is_empty() && left_over.is_empty(),
            "templates/findings.yaml: missing {missing:?}; of no warning {left_over:?}"
        );
    }

    #[test]
    fn a_message_becomes_a_sentence() {
        assert_eq!(sentence("élan is missing"), "Élan is missing.");
        assert_eq!(sentence("why?"), "Why?");
        assert_eq!(sentence(""), ".");
    }
}
