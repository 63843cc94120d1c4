//! Rules of the thermal estimate, which only warn.

use super::{Case, case};

pub static CASES: &[Case] = &[
    // 1 IPS DR 11 melts some 41 % of its wall in 17 s; DR 9 some 32 %.
    case("melt-over-caution")
        .fires(
            &[("1-1/4 IPS, heat: 18 to 20 s", "1 IPS, heat: 15 to 17 s")],
            "11",
        )
        .saying("17 s of heating melts 1.2 mm (±20 %) of 1 IPS DR 11 pipe, more than 40 % of its")
        .near(&[("dimension_ratio: [9, 11]", "dimension_ratio: [9, 10]")]),
    case("melt-over-half")
        .fires(
            &[("dimension_ratio: [9, 11]", "dimension_ratio: [9, 13.5]")],
            "13.5",
        )
        .saying("more than 50 % of its")
        .near(&[("dimension_ratio: [9, 11]", "dimension_ratio: [9, 12]")]),
    case("change-over-near-ceiling")
        .fires(
            &[("change_over: {value: 3 s", "change_over: {value: 9 s")],
            "1 IPS to 2 IPS",
        )
        .saying("less than 1.5 times the allowed 9 s")
        .near(&[("change_over: {value: 3 s", "change_over: {value: 8 s")]),
    case("wall-thinner-than-model")
        .fires(
            &[("dimension_ratio: [9, 11]", "dimension_ratio: [11, 17.5]")],
            "17.5",
        )
        .saying("ends at DR 17")
        .near(&[("dimension_ratio: [9, 11]", "dimension_ratio: [11, 17]")]),
];
