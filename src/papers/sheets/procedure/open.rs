//! What the sources sheet leaves open: what was looked for and not found, where
//! sources disagree, and the warnings that hold whatever the day.

use super::super::block::Block;
use super::super::clause::Clause;
use super::super::format;
use super::writer::Writer;
use crate::core::finding::{Finding, Severity};
use crate::published::{Basis, Practice, ResinGroup};
use crate::rules::CONFLICTING_FIGURES_USED;
use crate::spec::language::Language;

/// What was looked for, not found, and would bear on this procedure.
pub(super) fn absences(w: &Writer) -> Vec<String> {
    let fixed = match w.p.practice() {
        Practice::Us => vec![
            ("us-depth:insertion-depth:text", Clause::AbsentDepth),
            ("us-heater:warm-up:text", Clause::AbsentWarmUp),
            ("wall-rules:us-maximum-ratio:text", Clause::AbsentWall),
            (
                "us-times:wait-before-pressure-test:time",
                Clause::AbsentPressureTest,
            ),
        ],
        Practice::Metric => absences_of_metric(w),
    };
    let mut items: Vec<_> = fixed
        .into_iter()
        .filter_map(|(id, what)| {
            let figure = w.limits.figure(id)?;
            (figure.basis == Basis::NotFound).then(|| {
                w.say(Clause::SourcesAbsent {
                    what: w.say(what),
                    note: w.words.note(figure).unwrap_or_default().to_owned(),
                })
                .trim_end()
                .to_owned()
            })
        })
        .collect();
    let without: Vec<_> =
        w.p.joints
            .iter()
            .filter(|joint| match w.p.practice() {
                Practice::Us => joint.published.heat.is_none() || joint.published.hold.is_none(),
                // That no hold is published for PP-R is said once.
                Practice::Metric => joint.published.heat.is_none(),
            })
            .map(|joint| format::joint(w.units(), joint, &w.p.joints))
            .collect();
    if !without.is_empty() {
        let sizes = without.join(", ");
        items.push(w.say(if w.is_metric() {
            Clause::AbsentHeating { sizes }
        } else {
            Clause::AbsentCycles { sizes }
        }));
    }
    items
}

/// Of a resin of metric practice.
fn absences_of_metric(w: &Writer) -> Vec<(&'static str, Clause)> {
    let warm_up = ("us-heater:warm-up:text", Clause::AbsentWarmUp);
    let depth = ("metric-depth:pp:text", Clause::AbsentDepthPp);
    let hold = ("metric-ppr-cycles:hold:hold", Clause::AbsentHold);
    match w.p.resin.as_ref().map(|resin| resin.group) {
        Some(ResinGroup::PpR) => vec![depth, hold, warm_up],
        Some(ResinGroup::PpH) => vec![depth, warm_up],
        _ => vec![warm_up],
    }
}

/// Where sources disagree about a figure that is used, and what was decided.
pub(super) fn conflict(w: &Writer, slug: &str) -> Option<String> {
    let text = |column: &str| {
        let figure = w.limits.figure(&format!("conflicts:{slug}:{column}"))?;
        w.words.statement(figure)
    };
    Some(w.say(Clause::SourcesConflict {
        figures: text("figures")?.to_owned(),
        decision: text("decision")?.to_owned(),
    }))
}

/// The warnings that hold whatever the day; the checks word them in English.
pub(super) fn warnings(w: &Writer, findings: &[Finding]) -> Vec<Block> {
    let items: Vec<_> = findings
        .iter()
        .filter(|finding| finding.severity() == Severity::Warning && !finding.rule.dated)
        // A conflict is told in full above, with its decision.
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

/// A finding's message as a sentence of a paper.
fn sentence(message: &str) -> String {
    let mut letters = message.chars();
    let first: String = letters
        .next()
        .map(|c| c.to_uppercase().collect())
        .unwrap_or_default();
    format!("{first}{}", letters.as_str())
}
