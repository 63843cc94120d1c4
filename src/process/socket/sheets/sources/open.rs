//! Open points: what is only remembered, what was looked for and not found, the
//! warnings that do not depend on the date, each with what closes it; and where
//! sources disagree, with the decision.

use serde::Serialize;

use crate::core::finding::Severity;
use crate::papers::sheets::findings::{printed, sentence};
use crate::papers::sheets::procedure::writer::{Clause, Writer, format};
use crate::procedure::resolve::{recalled_in_use, trade_quantity};
use crate::published::{Basis, Entry, ResinGroup};
use crate::rules::{CONFLICTING_FIGURES_USED, RECALLED_FIGURES_USED};
use crate::spec::language::Language;

use super::PlacedFinding;

/// A row of the open points, with a box to tick.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct OpenPoint {
    /// What it is about, in a word or two.
    pub(crate) point: String,
    pub(crate) text: String,
    /// What closes it.
    pub(crate) close: String,
    /// Language of the text, if it is not the paper's.
    pub(crate) lang: Option<Language>,
}

/// A number that texts give differently.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Disagreement {
    pub(crate) name: String,
    pub(crate) sides: Vec<Side>,
    pub(crate) decision: String,
}

/// What one of them says.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Side {
    pub(crate) who: String,
    pub(crate) says: String,
}

/// All open points, in the order of their weight.
pub(crate) fn points(w: &Writer, findings: &[PlacedFinding], language: Language) -> Vec<OpenPoint> {
    let mut points: Vec<_> = from_memory(w).into_iter().collect();
    points.extend(warnings(w, findings, language));
    points.extend(own_times(w));
    points.extend(absences(w));
    points
}

/// The numbers and sentences that nobody has read in their source. Their values
/// stand in the table.
fn from_memory(w: &Writer) -> Option<OpenPoint> {
    let recalled = recalled_in_use(w.p, w.limits);
    let (sentences, numbers): (Vec<_>, Vec<_>) = recalled
        .into_iter()
        .partition(|entry| entry.text().is_some());
    let text = match (names(w, &numbers), sentences.len()) {
        (numbers, 0) if numbers.is_empty() => return None,
        (numbers, 0) => numbers,
        (numbers, count) => {
            let count = count.to_string();
            let sentences = w.say(Clause::OpenRecalledSentences { count });
            let parts: Vec<_> = [numbers, sentences]
                .into_iter()
                .filter(|part| !part.is_empty())
                .collect();
            parts.join("; ")
        }
    };
    Some(OpenPoint {
        point: w.say(Clause::OpenRecalled),
        text: sentence(&text),
        close: w.say(Clause::OpenRecalledClose),
        lang: None,
    })
}

/// Quantities, each once, with its size if it is recalled for one alone.
fn names(w: &Writer, numbers: &[&Entry]) -> String {
    let mut quantities: Vec<(String, Vec<&Entry>)> = Vec::new();
    for entry in numbers {
        let quantity = trade_quantity(entry);
        match quantities.iter_mut().find(|(known, _)| *known == quantity) {
            Some((_, of)) => of.push(entry),
            None => quantities.push((quantity, vec![entry])),
        }
    }
    let names = quantities.iter().filter_map(|(_, of)| match of.as_slice() {
        [one] => Some(w.words.trade_name(one)),
        [first, ..] => Some(w.words.trade_quantity(first)),
        [] => None,
    });
    names.collect::<Vec<_>>().join(", ")
}

/// The warnings that do not depend on the date.
fn warnings(w: &Writer, findings: &[PlacedFinding], language: Language) -> Vec<OpenPoint> {
    let own_place = [
        // Stands below, with its sides and the decision.
        CONFLICTING_FIGURES_USED.slug,
        // Stands above.
        RECALLED_FIGURES_USED.slug,
    ];
    findings
        .iter()
        .filter(|placed| {
            let rule = placed.finding.rule;
            rule.severity == Severity::Warning && !rule.dated && !own_place.contains(&rule.slug)
        })
        .map(|placed| warning(w, placed, language))
        .collect()
}

fn warning(w: &Writer, placed: &PlacedFinding, language: Language) -> OpenPoint {
    let at_line = |text: String| match placed.line {
        Some(line) => format!(
            "{text} {}",
            w.say(Clause::OpenSpecLine {
                line: line.to_string()
            })
        ),
        None => text,
    };
    if let Some(printed) = printed(placed.finding, language) {
        return OpenPoint {
            point: printed.point,
            text: at_line(w.in_print(&printed.text)),
            close: printed.close,
            lang: None,
        };
    }
    OpenPoint {
        point: w.say(Clause::OpenWarning),
        text: w.in_print(&sentence(&placed.finding.message)),
        close: w.say(Clause::OpenWarningClose),
        lang: Some(Language::En).filter(|english| *english != language),
    }
}

/// Sizes that work by times of the organization because none are published.
fn own_times(w: &Writer) -> Option<OpenPoint> {
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
    (!without.is_empty()).then(|| OpenPoint {
        point: w.say(Clause::OpenOwnTimes),
        text: w.say((w.practice_words().absent_times)(without.join(", "))),
        close: w.say(Clause::OpenOwnTimesClose),
        lang: None,
    })
}

/// What was looked for, not found, and matters to this procedure.
fn absences(w: &Writer) -> Vec<OpenPoint> {
    let group = w.p.resin.as_ref().map(|resin| resin.group);
    let bears = |of: &[ResinGroup]| of.is_empty() || group.is_some_and(|group| of.contains(&group));
    let absent = w.practice_words().absent.iter();
    absent
        .filter(|absent| bears(absent.resins))
        .filter_map(|absent| {
            let entry = w.limits.entry(absent.entry)?;
            let note = w.words.note(entry).unwrap_or_default().to_owned();
            (entry.basis == Basis::NotFound).then(|| OpenPoint {
                point: w.say(absent.what.clone()),
                text: w.say(Clause::OpenAbsent { note }).trim_end().to_owned(),
                close: w.say(absent.close.clone()),
                lang: None,
            })
        })
        .collect()
}

/// A disagreement between sources about a number in use, and the decision.
pub(crate) fn disagreement(w: &Writer, slug: &str) -> Option<Disagreement> {
    let text = |column: &str| {
        let entry = w.limits.entry(&format!("conflicts:{slug}:{column}"))?;
        w.words.statement(entry)
    };
    let sides = text("sides")?.split(" | ").map(|side| {
        let (who, says) = side.split_once(": ").unwrap_or(("", side));
        Side {
            who: who.to_owned(),
            says: says.to_owned(),
        }
    });
    Some(Disagreement {
        name: text("name")?.to_owned(),
        sides: sides.collect(),
        decision: text("decision")?.to_owned(),
    })
}
