//! Rules that compare a revision's description of its change with the current spec.

use super::mentions::Words;
use super::{Context, outside_scope};
use crate::core::finding::{Finding, rules};
use crate::spec::{FittingKind, Spec};

rules! {
    CHANGE_NOT_IN_SPEC = warning(
        "The last revision says that it adds something, and the spec does not have it.")
        .absence()
        .why("The table of revisions tells crews what is new. What it announces and the papers \
              leave out was forgotten in the spec, or the text is that of another procedure.")
        .example("procedure:\n  revisions: [{revision: 2, date: 2026-11-02, change: Adds 2 \
                  IPS}]\nscope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}")
        .fix("Add it to the spec, or correct the text of the change.");
    FIRST_ISSUE_LATER = warning("A revision that follows another says that it is the first issue.")
        .why("Whoever holds the revision before it cannot tell what has changed. Most often the \
              line was copied and its text left as it was.")
        .example("procedure:\n  revisions:\n    - {revision: 1, date: 2026-09-14, change: First \
                  issue}\n    - {revision: 2, date: 2026-11-02, change: First issue}")
        .fix("Say what the revision changes.");
}

/// Words for additions.
const ADDS: &[&str] = &["add", "adds", "added", "adding"];
/// Words that show the text also mentions removed things.
const TAKES_OUT: &[&str] = &[
    "remove",
    "removes",
    "removed",
    "drop",
    "drops",
    "dropped",
    "delete",
    "deletes",
    "deleted",
    "withdraw",
    "withdraws",
    "withdrawn",
    "omits",
    "takes",
    "leaves",
];

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    for revision in spec.revisions.iter().skip(1) {
        let Some(change) = &revision.change else {
            continue;
        };
        if change
            .trim()
            .trim_end_matches('.')
            .eq_ignore_ascii_case("first issue")
        {
            findings.push(
                FIRST_ISSUE_LATER
                    .at(
                        change.span,
                        format!("revision {} is not the first", revision.number.value),
                    )
                    .help("say what it changes"),
            );
        }
    }
    let Some(change) = spec.revisions.last().and_then(|last| last.change.as_ref()) else {
        return;
    };
    let words = Words::new(change);
    let says = |list: &[&str]| list.iter().any(|word| words.has(word));
    if !says(ADDS) || says(TAKES_OUT) || words.names_the_unclaimed() {
        return;
    }
    for (named, field) in outside_scope(context, &words)
        .into_iter()
        .chain(parts(spec, &words))
    {
        findings.push(
            CHANGE_NOT_IN_SPEC
                .at(
                    change.span,
                    format!("the revision adds {named}, and the spec does not have it"),
                )
                .help(format!("add it under `{field}`, or correct the text")),
        );
    }
}

/// Parts of a spec that a change announces and the spec does not have.
fn parts(spec: &Spec, words: &Words) -> Vec<(String, &'static str)> {
    let has_kind = |kind| spec.fittings.kinds.iter().any(|known| known.value == kind);
    let named = |forms: [&str; 2]| forms.iter().any(|form| words.has(form));
    let cold = words.has_pair("cold", "weather") || words.has("cold-weather");
    [
        (
            "a cold-weather section",
            "cold_weather",
            cold && spec.cold_weather.is_none(),
        ),
        (
            "reducers",
            "fittings.kinds",
            named(["reducer", "reducers"]) && !has_kind(FittingKind::Reducer),
        ),
        (
            "spigots",
            "fittings.kinds",
            named(["spigot", "spigots"]) && !has_kind(FittingKind::Spigot),
        ),
    ]
    .into_iter()
    .filter(|(_, _, is_missing)| *is_missing)
    .map(|(name, field, _)| (name.to_owned(), field))
    .collect()
}
