//! Which clauses a house style may reword, and why the others keep the program's
//! words.

use crate::papers::sheets::Clause;

/// Reasons why clauses keep the program's words, each with the keys it applies
/// to; `*` ends a prefix.
const PROTECTED: &[(&str, &[&str])] = &[
    (
        "it is part of the frame, which tells every paper apart alike",
        &[
            "paper-*",
            "document-title",
            "status-*",
            "effective-*",
            "digest-label",
            "tables-line",
            "revision-label",
            "check-line",
            "page-label",
            "of-label",
            "code-*",
            "lid-sizes-of",
        ],
    ),
    (
        "it says what a mark means or how far a figure can be trusted",
        &[
            "verify-*",
            "basis-*",
            "no-joint*",
            "not-*",
            "source-*",
            "sources-*",
            "open-*",
            "disagree-*",
            "printed-*",
            "absent-*",
            "statements-*",
            "house-*",
        ],
    ),
    (
        "it says what governs or what nobody may take for a claim",
        &[
            "deference",
            "scope-limit",
            "qualification-*",
            "standing-*",
            "fill-in*",
            "title-qualification",
            "approval",
            "title-approval",
            "card-deference",
            "word-*",
            "support-*",
            "criterion-*",
            "record-criterion-*",
            "wallet-roster",
            "wallet-void",
            "wallet-no-card",
        ],
    ),
    (
        "every paper names the times and limits by it",
        &["head-*", "bar-*"],
    ),
    (
        "it warns, limits or rejects",
        &[
            "signal-*",
            "title-cautions",
            "cautions-intro",
            "hazard-*",
            "stop-*",
            "heater-outside*",
            "abnormal-*",
            "pipe-*",
            "do-not-fuse",
            "trial-*",
            "dimension-*",
            "dimensions-*",
            "heater-check-none",
            "kit-indicator-check",
            "lesson-answer-unchecked",
            "times-depth-unset*",
            "times-test-unset",
            "times-max*",
            "fact-cold",
            "fact-no-cold",
            "fact-pipe-open",
            "step-bad-melt*",
            "step-caution-*",
            "step-peel-open*",
            "step-heater-open",
            "short-bad-melt",
            "short-peel-open",
            "line-bad-melt",
            "line-peel-open",
            "lid-reject*",
            "fails-*",
            "spigot-reject",
            "unlike-late*",
            "plate-*",
            "at-most-seconds",
            "card-label",
            "card-no-cold",
            "card-under",
            "card-to-under",
            "card-to-limit",
            "card-from-trigger",
            "card-over",
            "card-stop-field",
            "card-cold-field*",
            "card-heat-field",
            "card-danger*",
            "card-verify-*",
            "card-pressure-test*",
            "card-unlike",
            "card-see-sheet",
            "lowest-ambient-*",
            "card-pipe-range",
            "card-pipe-open",
            "card-least-wall",
            "card-test-unset",
            "card-reject*",
        ],
    ),
    (
        "the thermal estimate and the worksheet are the program's own",
        &["heat-*", "title-heat", "no-estimate-*", "confirm-*"],
    ),
    ("it says how a strip is printed and measured", &["marks-*"]),
    (
        "no paper prints it: it stands in for what every spec without errors has",
        &["kit-indicator", "kit-machine-any"],
    ),
    (
        "it is on a paper that has the program's own words in any house style",
        &["submittal-*", "state-*", "notice-*", "class-*", "change-*"],
    ),
];

/// Why a clause must keep the program's words, if it must.
pub(super) fn protected(key: &str) -> Option<&'static str> {
    let is = |entry: &&str| match entry.strip_suffix('*') {
        Some(start) => key.starts_with(start),
        None => key == *entry,
    };
    let of_key = PROTECTED.iter().find(|(_, keys)| keys.iter().any(is));
    of_key.map(|(why, _)| *why)
}

/// The clauses that a house style may reword: key and quantities.
pub(super) fn replaceable() -> impl Iterator<Item = (&'static str, &'static [&'static str])> {
    let clauses = Clause::ALL.iter().copied();
    clauses.filter(|(key, _)| protected(key).is_none())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_protected_entry_is_that_of_a_clause() {
        for entry in PROTECTED.iter().flat_map(|(_, keys)| *keys) {
            let some = Clause::ALL.iter().any(|(key, _)| {
                entry
                    .strip_suffix('*')
                    .map_or(key == entry, |start| key.starts_with(start))
            });
            assert!(some, "{entry}");
        }
    }

    #[test]
    fn wording_of_the_work_is_a_houses_own() {
        for key in ["step-cut", "title-steps", "field-coil", "kit-timer"] {
            assert_eq!(protected(key), None, "{key}");
        }
        for key in [
            "deference",
            "verify-legend",
            "status-draft",
            "card-reject-gap",
        ] {
            assert!(protected(key).is_some(), "{key}");
        }
    }
}
