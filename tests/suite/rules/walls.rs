//! Walls that no table gives, walls beside a ratio, and the walls of gas pipe.
//!
//! Diameter over ratio by hand: 90 / 17.6 = 5.11 mm, 0.625 / 11 = 0.0568 in,
//! 0.625 / 10 = 0.0625 in, 0.625 / 7 = 0.0893 in.

use super::{Case, case};

const TUBING: &str = "{sizes: 1 IPS to 2 IPS, dimension_ratio: [9, 11]}";
const OWN_LIMIT: &str = "least_wall: {value: 0.075 in, source: engineering decision}\n";
const THIRTY_TWO: &str = "{sizes: 32 mm to 63 mm, dimension_ratio: 11}";
const NINETY: &str = "{sizes: 90 mm, dimension_ratio: [11, 17]}";

pub const CASES: &[Case] = &[
    case("wall-not-published")
        .metric()
        .fires(&[("[11, 17]", "[11, 17.6]")], "17.6")
        .saying("for 90 mm with SDR 17.6 in PE100")
        .near(&[(
            NINETY,
            "{sizes: 90 mm, dimension_ratio: 17.6, wall: 5.2 mm}",
        )]),
    // No table has d 16.
    case("wall-not-published")
        .metric()
        .fires(&[("32 mm to 63 mm", "16 mm to 63 mm")], "11")
        .saying("{sizes: 16 mm, dimension_ratio: 11, wall: … mm}")
        .near(&[("32 mm to 63 mm", "20 mm to 63 mm")]),
    // The walls of PE do not carry over to PP-R.
    case("wall-not-published")
        .metric()
        .fires(&[("resin: PE100", "resin: PP-R")], "11")
        .saying("for 40 mm, 50 mm and 63 mm with SDR 11 in PP-R")
        .near(&[
            ("resin: PE100", "resin: PP-R"),
            (THIRTY_TWO, "{sizes: 32 mm, dimension_ratio: 11}"),
            (NINETY, "{sizes: 90 mm, wall: 8.2 mm}"),
        ]),
    case("wall-not-of-ratio")
        .metric()
        .fires(
            &[(
                NINETY,
                "{sizes: 90 mm, dimension_ratio: 17.6, wall: 8.2 mm}",
            )],
            "8.2 mm",
        )
        .saying("does not go with 90 mm SDR 17.6: diameter over ratio is 5.11 mm")
        .near(&[(
            NINETY,
            "{sizes: 90 mm, dimension_ratio: 17.6, wall: 5.2 mm}",
        )]),
    case("wall-not-of-ratio")
        .fires(
            &[(
                TUBING,
                "{sizes: 1/2 CTS, dimension_ratio: 7, wall: 0.062 in}",
            )],
            "0.062 in",
        )
        .near(&[(
            TUBING,
            "{sizes: 1/2 CTS, dimension_ratio: 7, wall: 0.090 in}",
        )]),
    // Gas pipe of d 25 is 3.0 mm thick, whatever its ratio; water pipe is not.
    case("wall-not-of-ratio")
        .metric()
        .fires(
            &[(
                THIRTY_TWO,
                "{sizes: 25 mm, dimension_ratio: 11, wall: 3.0 mm}",
            )],
            "3.0 mm",
        )
        .near(&[
            ("service: water", "service: gas"),
            (
                THIRTY_TWO,
                "{sizes: 25 mm, dimension_ratio: 11, wall: 3.0 mm}",
            ),
        ]),
    case("gas-wall-too-thin")
        .fires(&[(TUBING, "{sizes: 1/2 CTS, dimension_ratio: 11}")], "11")
        .saying("1/2 CTS DR 11 is 0.060 in (1.52 mm): 0.002 in")
        .near(&[(TUBING, "{sizes: 1/2 CTS, dimension_ratio: 10}")]),
    case("gas-wall-too-thin")
        .fires(&[(TUBING, "{sizes: 1/2 CTS, wall: 0.061 in}")], "0.061 in")
        .saying("text of 2004-10-01 (standard)")
        .near(&[(TUBING, "{sizes: 1/2 CTS, wall: 0.062 in}")]),
    case("gas-wall-too-thin")
        .fires(&[(TUBING, "{sizes: 1/2 CTS, wall: 0.061 in}")], "0.061 in")
        .near(&[
            (TUBING, "{sizes: 1/2 CTS, wall: 0.061 in}"),
            ("service: gas", "service: water"),
        ]),
    case("gas-wall-below-table")
        .fires(
            &[
                (TUBING, "{sizes: 1/2 CTS, wall: 0.080 in}"),
                (OWN_LIMIT, ""),
            ],
            "0.080 in",
        )
        .saying("the minimum for gas pipe, 0.090 in (2.29 mm)")
        .near(&[
            (TUBING, "{sizes: 1/2 CTS, wall: 0.090 in}"),
            (OWN_LIMIT, ""),
        ]),
    // A limit without a source allows nothing.
    case("gas-wall-below-table")
        .fires(
            &[
                (TUBING, "{sizes: 1/2 CTS, wall: 0.080 in}"),
                (OWN_LIMIT, "least_wall: 0.075 in\n"),
            ],
            "0.080 in",
        )
        .near(&[(TUBING, "{sizes: 1/2 CTS, wall: 0.080 in}")]),
    case("gas-wall-below-table")
        .metric()
        .fires(
            &[
                ("service: water", "service: gas"),
                (THIRTY_TWO, "{sizes: 25 mm, dimension_ratio: 11}"),
            ],
            "11",
        )
        .saying("25 mm SDR 11 is 2.3 mm (0.091 in): 0.7 mm")
        .near(&[
            ("service: water", "service: gas"),
            (
                THIRTY_TWO,
                "{sizes: 25 mm, dimension_ratio: 11, wall: 3.0 mm}",
            ),
        ]),
    case("gas-wall-by-own-limit")
        .fires(&[(TUBING, "{sizes: 1/2 CTS, wall: 0.080 in}")], "0.080 in")
        .saying("192.121(c)(2), as recalled (recalled)")
        .near(&[(TUBING, "{sizes: 1/2 CTS, wall: 0.090 in}")]),
];
