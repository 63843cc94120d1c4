//! Rules that are tested by other files of the suite, and why.

/// Rules that a single edited spec cannot show, and where they are tested.
pub const ELSEWHERE: &[(&str, &str)] = &[
    ("same-number-twice", "takes two specs: see cli.rs"),
    (
        "essential-change-without-record",
        "takes two specs: see compare/rules.rs",
    ),
    (
        "compared-with-other-procedure",
        "takes two specs: see compare/rules.rs",
    ),
    (
        "compared-in-reverse",
        "takes two specs: see compare/rules.rs",
    ),
    (
        "changed-without-new-revision",
        "takes two specs: see compare/rules.rs",
    ),
    ("reading-not-a-value", "takes a second file: see confirm.rs"),
    (
        "figure-read-otherwise",
        "takes a second file: see confirm.rs",
    ),
    ("edition-overruled", "takes a second file: see confirm.rs"),
    ("reading-after-as-of", "takes a second file: see confirm.rs"),
    ("confirmations-empty", "takes a second file: see confirm.rs"),
    (
        "record-of-other-procedure",
        "takes a second file: see records.rs",
    ),
    (
        "record-before-its-joints",
        "takes a second file: see records.rs",
    ),
    (
        "record-without-joints",
        "takes a second file: see records.rs",
    ),
    ("tested-before-made", "takes a second file: see records.rs"),
    ("pulled-and-burst", "takes a second file: see records.rs"),
    (
        "test-without-criterion",
        "takes a second file: see records.rs",
    ),
    ("test-joint-failed", "takes a second file: see records.rs"),
    (
        "test-result-contradicted",
        "takes a second file: see records.rs",
    ),
    ("test-joint-refused", "takes a second file: see records.rs"),
    ("test-joint-untested", "takes a second file: see records.rs"),
    (
        "test-joint-of-other-resin",
        "takes a second file: see records.rs",
    ),
    (
        "test-joint-not-claimed",
        "takes a second file: see records.rs",
    ),
    (
        "test-wall-unknown",
        "takes a second file: see records/metric.rs",
    ),
    (
        "test-face-outside-window",
        "takes a second file: see records.rs",
    ),
    (
        "test-pipe-outside-temperatures",
        "takes a second file: see records.rs",
    ),
    ("test-depth-differs", "takes a second file: see records.rs"),
    (
        "test-time-outside-row",
        "takes a second file: see records.rs",
    ),
    (
        "pyrometer-calibrated-later",
        "takes a second file: see records.rs",
    ),
    (
        "witness-made-the-joint",
        "takes a second file: see records/slips.rs",
    ),
    (
        "person-is-organization",
        "takes a second file: see records/slips.rs",
    ),
    (
        "test-gauge-of-other-size",
        "takes a second file: see records/slips.rs",
    ),
    (
        "pyrometer-calibration-expired",
        "takes a second file: see records/slips.rs",
    ),
    (
        "one-mark-two-tools",
        "takes a second file: see records/slips.rs",
    ),
    (
        "pipe-and-fitting-of-one-lot",
        "takes a second file: see records/slips.rs",
    ),
    (
        "record-without-procedure-test",
        "takes a second file: see records.rs",
    ),
    (
        "qualified-without-procedure-tests",
        "takes a second file: see records.rs",
    ),
    (
        "qualified-outside-temperatures",
        "takes a second file: see records.rs",
    ),
    (
        "test-face-off-set-point",
        "takes a second file: see records.rs",
    ),
    (
        "held-revision-not-later",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "failed-before-qualified",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "qualified-outside-range",
        "takes a second file: see records.rs",
    ),
    (
        "range-widened-by-rule",
        "takes a second file: see records.rs",
    ),
    (
        "badge-of-two-people",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "csv-not-readable",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "fuser-date-in-future",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "fuser-rule-for-nobody",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "fuser-rule-from-memory",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "fuser-rule-not-chosen",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "row-and-header-differ",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "rows-of-fuser-differ",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "cards-of-unqualified-procedure",
        "takes a roster: see wallet.rs",
    ),
    (
        "two-specs-of-one-procedure",
        "takes two specs: see wallet.rs",
    ),
    ("gas-cards-by-other-rule", "takes a roster: see wallet.rs"),
    ("gas-rule-for-other-work", "takes a roster: see wallet.rs"),
    ("figures-past-wallet-card", "takes a roster: see wallet.rs"),
    ("name-past-wallet-card", "takes a roster: see wallet.rs"),
    ("code-past-wallet-card", "takes a roster: see wallet.rs"),
    ("panels-past-paper", "takes a roster: see wallet.rs"),
    (
        "text-like-a-formula",
        "is about a roster: see fusers/reading.rs",
    ),
    (
        "nothing-submitted",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "submitted-file-not-read",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "submitted-procedure-has-errors",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "submitted-draft",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "submittal-names-other",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "submitted-withdrawn",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "submitted-record-not-placed",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "submitted-record-short",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "submitted-roster-has-errors",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "submitted-badge-unknown",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "submitted-fuser-not-qualified",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "no-fuser-for-procedure",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "attachment-not-a-pdf",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "attachment-damaged",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "attachment-encrypted",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "attachment-without-pages",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "attachment-too-large",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "attachment-loses-marks",
        "is about a submittal: see submittal/findings.rs",
    ),
    (
        "manifest-not-read",
        "takes manifests: see src/batch/merge/tests.rs",
    ),
    (
        "shard-missing",
        "takes manifests: see src/batch/merge/tests.rs",
    ),
    (
        "same-paper-differs",
        "takes manifests: see src/batch/merge/tests.rs",
    ),
    (
        "papers-of-shard-missing",
        "takes manifests: see src/batch/merge/tests.rs",
    ),
    ("house-not-read", "takes a house style: see house.rs"),
    (
        "house-of-another-organization",
        "takes a house style: see house.rs",
    ),
    ("house-too-much", "takes a house style: see house/texts.rs"),
    ("house-figure", "takes a house style: see house/texts.rs"),
    (
        "house-claims-approval",
        "takes a house style: see house/texts.rs",
    ),
    (
        "house-text-missing-in-language",
        "takes a house style: see house/texts.rs",
    ),
    ("color-not-read", "takes a house style: see house.rs"),
    ("color-too-pale", "takes a house style: see house.rs"),
    ("logo-not-read", "takes a house style: see house.rs"),
    ("logo-reaches-out", "takes a house style: see house.rs"),
    ("clause-unknown", "takes a house style: see house.rs"),
    ("clause-protected", "takes a house style: see house.rs"),
    ("clause-quantities", "takes a house style: see house.rs"),
    ("clause-failed", "takes a house style: see house.rs"),
    ("house-template", "takes a house style: see house/files.rs"),
];
