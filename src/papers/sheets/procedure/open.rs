//! Open points on the sources sheet: what was looked for and not found, where
//! sources disagree, and the warnings that do not depend on the date.

use super::writer::{Block, Clause, Writer, format};
use crate::core::finding::{Finding, Severity};
use crate::published::{Basis, ResinGroup};
use crate::rules::CONFLICTING_FIGURES_USED;
use crate::spec::language::Language;

/// What was looked for, not found, and matters to this procedure.
pub(crate) fn absences(w: &Writer) -> Vec<String> {
    let words = w.practice_words();
    let group = w.p.resin.as_ref().map(|resin| resin.group);
    let bears = |of: &[ResinGroup]| of.is_empty() || group.is_some_and(|group| of.contains(&group));
    let mut items: Vec<_> = words
        .absent
        .iter()
        .filter(|(of, ..)| bears(of))
        .filter_map(|(_, id, what)| {
            let entry = w.limits.entry(id)?;
            (entry.basis == Basis::NotFound).then(|| {
                w.say(Clause::SourcesAbsent {
                    what: w.say(what.clone()),
                    note: w.words.note(entry).unwrap_or_default().to_owned(),
                })
                .trim_end()
                .to_owned()
            })
        })
        .collect();
    let without: Vec<_> =
        w.p.joints
            .iter()
            .filter(|joint| {
                // A hold until the joint is cool need not be published.
                let held = w.practice().holds_until_cool || joint.published.hold.is_some();
                joint.published.heat.is_none() || !held
            })
            .map(|joint| format::joint(w.units(), joint, &w.p.joints))
            .collect();
    if !without.is_empty() {
        let sizes = without.join(", ");
        items.push(w.say((words.absent_times)(sizes)));
    }
    items
}

/// A disagreement between sources about a number in use, and the decision.
pub(crate) fn conflict(w: &Writer, slug: &str) -> Option<String> {
    let text = |column: &str| {
        let entry = w.limits.entry(&format!("conflicts:{slug}:{column}"))?;
        w.words.statement(entry)
    };
    Some(w.say(Clause::SourcesConflict {
        figures: text("figures")?.to_owned(),
        decision: text("decision")?.to_owned(),
    }))
}

/// The warnings that do not depend on the date; their text is English.
pub(crate) fn warnings(w: &Writer, findings: &[Finding]) -> Vec<Block> {
    let items: Vec<_> = findings
        .iter()
        .filter(|finding| finding.severity() == Severity::Warning && !finding.rule.dated)
        // A conflict is printed above, with its decision.
        .filter(|finding| finding.rule.slug != CONFLICTING_FIGURES_USED.slug)
        .map(|finding| sentence(&finding.message))
        .collect();
    if items.is_empty() {
        return vec![w.text(Clause::SourcesNoWarnings)];
    }
    vec![
        w.text(Clause::SourcesWarnings),
        Block::ListIn {
            lang: Language::En,
            items,
        },
    ]
}

/// A finding's message as a full sentence.
fn sentence(message: &str) -> String {
    let mut letters = message.chars();
    let first: String = letters
        .next()
        .map(|c| c.to_uppercase().collect())
        .unwrap_or_default();
    format!("{first}{}", letters.as_str())
}
