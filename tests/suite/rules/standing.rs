//! Rules about the procedure's status, its records and its figures.
//! The day the specs are read is 2026-11-25.

use super::{Case, case};

pub static CASES: &[Case] = &[
    // What only the organization can say has to stand in a qualified procedure.
    case("own-rule-open")
        .fires(
            &[("  joint_mark: paint marker beside the joint\n", "")],
            "qualified",
        )
        .saying("under `own_rules`: joint_mark: …")
        .near(&[
            ("  joint_mark: paint marker beside the joint\n", ""),
            ("status: qualified", "status: draft"),
        ]),
    case("own-rule-open")
        .fires(&[("told: the foreman, ", "")], "qualified")
        .saying("under `own_rules.failed_joint`: told: …")
        .near(&[("told: the foreman, ", "told: nobody, ")]),
    // A note to oneself says no more than an empty box.
    case("own-rule-open")
        .fires(&[("told: the foreman, ", "told: TBD, ")], "TBD")
        .saying("who is told of a joint that fails")
        .near(&[("told: the foreman, ", "told: the foreman of TBD-4, ")]),
    case("own-rule-open")
        .fires(
            &[("until: next roster", "until: 'until TODO: ask'")],
            "'until TODO: ask'",
        )
        .saying("who keeps the roster")
        .near(&[
            ("until: next roster", "until: 'until TODO: ask'"),
            ("status: qualified", "status: draft"),
        ]),
    case("own-rule-open")
        .fires(
            &[(
                "    roster: {by: training office, until: next roster}\n",
                "",
            )],
            "qualified",
        )
        .saying("under `own_rules.records_kept`: roster: {by: …, until: …}")
        .near(&[("until: next roster", "until: further notice")]),
    // Trials on cold days leave a record too, where there are any.
    case("own-rule-open")
        .fires(
            &[
                ("40 °F to 110 °F", "30 °F to 110 °F"),
                (
                    "least_wall:",
                    "cold_weather: {trial_step: {value: 3 s, source: Manual}}\nleast_wall:",
                ),
            ],
            "qualified",
        )
        .saying("under `own_rules.records_kept`: cold_trials: {by: …, until: …}")
        .near(&[
            ("40 °F to 110 °F", "30 °F to 110 °F"),
            (
                "least_wall:",
                "cold_weather: {trial_step: {value: 3 s, source: Manual}}\nleast_wall:",
            ),
            (
                "    procedure: {by",
                "    cold_trials: {by: field office, until: spring}\n    procedure: {by",
            ),
        ]),
    case("qualified-without-record")
        .fires(
            &[(
                "  records:\n    - {number: BL-PQ-3, date: 2026-08-28, revision: 2}\n",
                "",
            )],
            "qualified",
        )
        .near(&[
            (
                "  records:\n    - {number: BL-PQ-3, date: 2026-08-28, revision: 2}\n",
                "",
            ),
            ("status: qualified", "status: draft"),
        ]),
    case("record-after-as-of")
        .fires(&[("date: 2026-08-28", "date: 2026-11-26")], "2026-11-26")
        .near(&[("date: 2026-08-28", "date: 2026-11-25")]),
    case("record-after-revision")
        .fires(&[("date: 2026-08-28", "date: 2026-10-02")], "2026-10-02")
        .saying("1 day after revision 2")
        .near(&[("date: 2026-08-28", "date: 2026-10-01")]),
    // Without a day from which it is in effect, the day of its issue counts.
    case("record-after-revision")
        .fires(
            &[
                (", effective: 2026-10-01", ""),
                ("date: 2026-08-28", "date: 2026-09-02"),
            ],
            "2026-09-02",
        )
        .near(&[
            (", effective: 2026-10-01", ""),
            ("date: 2026-08-28", "date: 2026-09-01"),
        ]),
    case("record-for-unknown-revision")
        .fires(
            &[("2026-08-28, revision: 2", "2026-08-28, revision: 3")],
            "3",
        )
        .near(&[("2026-08-28, revision: 2", "2026-05-28, revision: 1")]),
    case("record-for-other-revision")
        .fires(
            &[("2026-08-28, revision: 2", "2026-05-28, revision: 1")],
            "qualified",
        )
        .near(&[(
            "  records:\n",
            "  records:\n    - {number: BL-PQ-1, date: 2026-05-28, revision: 1}\n",
        )]),
    case("effective-in-future")
        .fires(
            &[("effective: 2026-10-01", "effective: 2026-11-26")],
            "2026-11-26",
        )
        .near(&[("effective: 2026-10-01", "effective: 2026-11-25")]),
    case("effective-before-revision-date")
        .fires(
            &[("effective: 2026-10-01", "effective: 2026-08-31")],
            "2026-08-31",
        )
        .near(&[("effective: 2026-10-01", "effective: 2026-09-01")]),
    case("revisions-out-of-order")
        .fires(&[("{revision: 1,", "{revision: 2,")], "2")
        .near(&[(
            "{revision: 2, date: 2026-09-01",
            "{revision: 5, date: 2026-09-01",
        )]),
    case("revisions-out-of-order")
        .fires(&[("date: 2026-06-01", "date: 2026-09-02")], "2026-09-01")
        .near(&[("date: 2026-06-01", "date: 2026-09-01")]),
    case("revision-date-after-as-of")
        .fires(&[("date: 2026-09-01", "date: 2026-11-26")], "2026-11-26")
        .near(&[("date: 2026-09-01", "date: 2026-11-25")]),
    case("qualified-without-effective-date")
        .fires(&[(", effective: 2026-10-01", "")], "2")
        .saying("revision 2 does not say from which day it is effective")
        .near(&[
            (", effective: 2026-10-01", ""),
            ("status: qualified", "status: draft"),
        ]),
    case("procedure-test-rule-not-listed")
        .fires(
            &[(
                "[49 CFR 192.283, 49 CFR 192.285]",
                "[Manual 4, 49 CFR 192.285]",
            )],
            "49 CFR 192.285",
        )
        .saying("49 CFR 192.283, by which a procedure is tested, is not")
        .near(&[(
            "[49 CFR 192.283, 49 CFR 192.285]",
            "[49 CFR 192.281 to 192.287]",
        )]),
    case("procedure-test-rule-not-listed")
        .fires(
            &[(
                "[49 CFR 192.283, 49 CFR 192.285]",
                "[49 CFR 192.285 and 192.287]",
            )],
            "49 CFR 192.285 and 192.287",
        )
        .near(&[(
            "[49 CFR 192.283, 49 CFR 192.285]",
            "[\"49 CFR Part 192, Subpart F\", 49 CFR 192.285]",
        )]),
    // Rules of another authority say nothing about part 192.
    case("procedure-test-rule-not-listed")
        .fires(
            &[("[49 CFR 192.283, 49 CFR 192.285]", "[49 CFR 192.285(b)]")],
            "49 CFR 192.285(b)",
        )
        .near(&[("[49 CFR 192.283, 49 CFR 192.285]", "[16 NYCRR 255.285]")]),
    case("bare-strip-thick")
        .fires(
            &[(
                "use: laminated, thickness: 0.4 mm",
                "use: bare, thickness: 0.31 mm",
            )],
            "0.31 mm",
        )
        .saying("ordinary paper is 0.004 in (0.10 mm)")
        .near(&[(
            "use: laminated, thickness: 0.4 mm",
            "use: bare, thickness: 0.3 mm",
        )]),
    case("gas-without-qualification")
        .fires(
            &[("  operator_qualification: OQ plan, covered task 12\n", "")],
            "gas",
        )
        .near(&[
            ("  operator_qualification: OQ plan, covered task 12\n", ""),
            ("service: gas", "service: industrial"),
        ]),
    case("part-192-outside-gas")
        .fires(
            &[("service: gas", "service: water")],
            "49 CFR Part 192, Subpart F",
        )
        .near(&[
            ("service: gas", "service: water"),
            ("49 CFR Part 192, Subpart F", "29 CFR Part 1926, Subpart P"),
            ("[49 CFR 192.283, 49 CFR 192.285]", "[the city's rule 192]"),
        ]),
    case("part-192-outside-gas")
        .fires(
            &[
                ("service: gas", "service: geothermal"),
                (
                    "Operations Manual, section 4",
                    "49 C.F.R. Parts 191 and 192",
                ),
            ],
            "49 C.F.R. Parts 191 and 192",
        )
        .near(&[
            ("service: gas", "service: geothermal"),
            ("49 CFR Part 192, Subpart F", "40 CFR 192"),
            (
                "[49 CFR 192.283, 49 CFR 192.285]",
                "[Manual 192, 49 CFR 195.281, Part 193]",
            ),
        ]),
    case("part-192-outside-gas")
        .fires(
            &[
                ("service: gas", "service: industrial"),
                ("Operations Manual, section 4", "Parts 191 and 192"),
            ],
            "Parts 191 and 192",
        )
        .near(&[
            ("service: gas", "service: industrial"),
            ("49 CFR Part 192, Subpart F", "Parts 191 and 193"),
            ("[49 CFR 192.283, 49 CFR 192.285]", "[part of drawing 192]"),
        ]),
    // The row for 3/4 IPS is recalled.
    case("recalled-figures-used")
        .fires(&[("1 IPS to 2 IPS", "3/4 IPS to 2 IPS")], "")
        .saying("heating 3/4 IPS (8 to 14 s), hold 3/4 IPS (30 s)")
        .near(&[("1 IPS to 2 IPS", "1-1/4 IPS to 2 IPS")]),
    // … and gives way to the organization's own time.
    case("recalled-figures-used")
        .fires(
            &[(
                "change_over: {value: 3 s, source: Operations Manual 4.5}",
                "",
            )],
            "",
        )
        .saying("change-over (3 s)")
        .near(&[
            ("1 IPS to 2 IPS", "3/4 IPS to 2 IPS"),
            (
                "  rows:\n",
                "  rows:\n    - {size: 3/4 IPS, heat: 10 s, hold: 30 s, source: trial joints}\n",
            ),
        ]),
    // Two hazards, one sign of a good joint and, for gas, one rule are recalled …
    case("recalled-figures-used")
        .fires(&[("step: 2 °F", "step: 1 °F")], "")
        .saying("so are 6 statements that the papers print and mark")
        .near(&[("step: 2 °F", "step: 1 °F")]),
    // … and two statements on cold weather.
    case("recalled-figures-used")
        .fires(
            &[(
                "least_wall:",
                "cold_weather: {trial_step: 3 s}\nleast_wall:",
            )],
            "",
        )
        .saying("so are 8 statements")
        .near(&[("step: 2 °F", "step: 1 °F")]),
    case("conflicting-figures-used")
        .fires(
            &[("1 IPS to 2 IPS", "3/4 IPS to 2 IPS")],
            "3/4 IPS to 2 IPS",
        )
        .saying("for 3/4 IPS")
        .near(&[("1 IPS to 2 IPS", "1-1/4 IPS to 2 IPS")]),
    // Medium-density 1-1/2 and 2 IPS are given differently, high-density are not.
    case("conflicting-figures-used")
        .fires(&[("resin: PE4710", "resin: PE2406")], "1 IPS to 2 IPS")
        .saying("for 1-1/2 IPS and 2 IPS")
        .near(&[("resin: PE4710", "resin: PE3608")]),
    case("strip-thickness-unknown")
        .fires(&[(", thickness: 0.4 mm", "")], "laminated")
        .near(&[("laminated, thickness: 0.4 mm", "bare")]),
    case("strip-thickness-out-of-range")
        .fires(&[("thickness: 0.4 mm", "thickness: 0.7 mm")], "0.7 mm")
        .saying("(0.10 mm) to 0.024 in (0.61 mm)")
        .near(&[("thickness: 0.4 mm", "thickness: 0.608 mm")]),
    case("strip-thickness-out-of-range")
        .fires(&[("thickness: 0.4 mm", "thickness: 0.09 mm")], "0.09 mm")
        .near(&[("thickness: 0.4 mm", "thickness: 0.1 mm")]),
];
