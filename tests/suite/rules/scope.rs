//! Rules about what the procedure claims.

use super::{Case, case};

/// A range that reaches into the cold.
const COLD_RANGE: super::Edit = ("40 °F to 110 °F", "20 °F to 110 °F");

/// A cold-weather section with this in it.
macro_rules! cold {
    ($said:literal) => {
        (
            "least_wall:",
            concat!("cold_weather: {", $said, "}\nleast_wall:"),
        )
    };
}

pub static CASES: &[Case] = &[
    case("unknown-resin")
        .fires(&[("resin: PE4710", "resin: PE4719")], "PE4719")
        .near(&[("resin: PE4710", "resin: PE2708")]),
    case("superseded-resin")
        .fires(&[("resin: PE4710", "resin: PE3408")], "PE3408")
        .near(&[("resin: PE4710", "resin: PE3608")]),
    case("size-outside-practice")
        .fires(&[("1 IPS to 2 IPS", "[1 IPS to 2 IPS, 63 mm]")], "63 mm")
        .near(&[("1 IPS to 2 IPS", "[1 IPS to 2 IPS, 4 IPS]")]),
    case("size-outside-practice")
        .fires(&[("1 IPS to 2 IPS", "1 IPS to 6 IPS")], "1 IPS to 6 IPS")
        .near(&[("1 IPS to 2 IPS", "1 IPS to 4 IPS")]),
    // 2 CTS has an outside diameter, and no times were found for it.
    case("no-cycle-row")
        .fires(&[("1 IPS to 2 IPS", "[1 IPS to 2 IPS, 2 CTS]")], "2 CTS")
        .near(&[
            ("1 IPS to 2 IPS", "[1 IPS to 2 IPS, 2 CTS]"),
            ("{size: 1-1/4 IPS, heat: 18", "{size: 2 CTS, heat: 18"),
        ]),
    case("no-cycle-row")
        .fires(
            &[
                ("1 IPS to 2 IPS", "[1 IPS to 2 IPS, 2 CTS]"),
                (
                    "{size: 1-1/4 IPS, heat: 18 to 20 s, hold: 65 s",
                    "{size: 2 CTS, heat: 18 to 20 s",
                ),
            ],
            "2 CTS",
        )
        .saying("no hold is published for 2 CTS")
        .near(&[(
            "{size: 1-1/4 IPS, heat: 18 to 20 s, hold: 65 s",
            "{size: 2 IPS, heat: 26 s",
        )]),
    case("no-cycle-row")
        .fires(
            &[
                ("1 IPS to 2 IPS", "[1 IPS to 2 IPS, 2 CTS]"),
                (
                    "{size: 1-1/4 IPS, heat: 18 to 20 s, hold: 65 s",
                    "{size: 2 CTS, hold: 65 s",
                ),
            ],
            "2 CTS",
        )
        .saying("no heating time is published for 2 CTS")
        .near(&[(
            "{size: 1-1/4 IPS, heat: 18 to 20 s, hold: 65 s",
            "{size: 2 IPS, hold: 75 s",
        )]),
    // 1.315 in across: twice 0.66 in is 1.32 in, twice 0.65 in is 1.30 in.
    case("wall-leaves-no-bore")
        .fires(
            &[("dimension_ratio: [9, 11]", "wall: [0.120 in, 0.66 in]")],
            "0.66 in",
        )
        .saying("no bore in 1 IPS, which is 1.315 in")
        .near(&[("dimension_ratio: [9, 11]", "wall: [0.120 in, 0.65 in]")]),
    // Twice 0.6575 in is 1.315 in: nothing is left.
    case("wall-leaves-no-bore")
        .fires(
            &[("dimension_ratio: [9, 11]", "wall: [0.120 in, 0.6575 in]")],
            "0.6575 in",
        )
        .saying("no bore in 1 IPS, which is 1.315 in")
        .near(&[("dimension_ratio: [9, 11]", "wall: [0.120 in, 0.6574 in]")]),
    // 1.315 in / 17.53 = 0.0750 in is just enough; DR 21 gives 0.0626 in.
    case("wall-below-least")
        .fires(&[("[9, 11]", "[9, 21]")], "21")
        .saying("1 IPS DR 21 is 0.063 in (1.60 mm), thinner than 0.075 in (1.91 mm) by 0.012 in")
        .near(&[("[9, 11]", "[9, 17]")]),
    // 1.315 in / 11 is 0.1195 in, which one table prints as 0.120 in.
    case("wall-below-least")
        .fires(&[("value: 0.075 in", "value: 0.121 in")], "11")
        .saying("0.120 in (3.05 mm)")
        .near(&[("value: 0.075 in", "value: 0.120 in")]),
    // A wall that the author states is compared as it stands.
    case("wall-below-least")
        .fires(
            &[("dimension_ratio: [9, 11]", "wall: [0.120 in, 0.074 in]")],
            "0.074 in",
        )
        .saying("the minimum wall of 1 IPS is 0.074 in")
        .near(&[("dimension_ratio: [9, 11]", "wall: [0.120 in, 0.075 in]")]),
    case("size-claimed-twice")
        .fires(
            &[("1 IPS to 2 IPS", "[1 IPS to 2 IPS, 1-1/2 IPS]")],
            "1-1/2 IPS",
        )
        .near(&[("1 IPS to 2 IPS", "[1 IPS to 1-1/4 IPS, 1-1/2 IPS to 2 IPS]")]),
    case("size-claimed-twice")
        .fires(&[("[9, 11]", "[9, 11, DR 11]")], "DR 11")
        .near(&[("[9, 11]", "[9, 11, 13.5]")]),
    // The same size under another entry is a second claim only with the same wall.
    case("size-claimed-twice")
        .fires(
            &[(
                "[9, 11]}",
                "[9, 11]}\n    - {sizes: 2 IPS, dimension_ratio: 11.0}",
            )],
            "11.0",
        )
        .near(&[(
            "[9, 11]}",
            "[9, 11]}\n    - {sizes: 2 IPS, dimension_ratio: 13.5}",
        )]),
    case("pipe-temperature-missing")
        .fires(
            &[("  pipe_temperature: 40 °F to 110 °F\n", "")],
            "1 IPS to 2 IPS",
        )
        .near(&[("40 °F to 110 °F", "60 °F to 60 °F")]),
    case("cold-without-section")
        .fires(&[("40 °F to 110 °F", "39 °F to 110 °F")], "39 °F to 110 °F")
        .saying("39 °F (3.9 °C), below 40 °F (4.4 °C)")
        .near(&[
            ("40 °F to 110 °F", "39 °F to 110 °F"),
            (
                "least_wall:",
                "cold_weather: {trial_step: 3 s}\nleast_wall:",
            ),
        ]),
    case("cold-limits-differ")
        .fires(&[COLD_RANGE, cold!("no_joints_below: 60 °F")], "60 °F")
        .saying("the range of pipe temperatures begins at 20 °F")
        .near(&[COLD_RANGE, cold!("no_joints_below: 20 °F")]),
    case("cold-limits-differ")
        .fires(&[COLD_RANGE, cold!("no_joints_below: 120 °F")], "120 °F")
        .saying("the whole range of pipe temperatures lies below it")
        .near(&[COLD_RANGE, cold!("trial_step: 3 s")]),
    // Lower than the range it reads as leave to go lower.
    case("cold-limits-differ")
        .fires(&[COLD_RANGE, cold!("no_joints_below: 19 °F")], "19 °F")
        .saying("joints are ruled out only below 19 °F")
        .near(&[
            ("40 °F to 110 °F", "-5 °C to 110 °F"),
            cold!("no_joints_below: 23 °F"),
        ]),
];
