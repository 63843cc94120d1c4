//! Rules about what the two practices do not share.

use super::{Case, case};

pub static CASES: &[Case] = &[
    case("resin-outside-practice")
        .metric()
        .fires(&[("resin: PE100", "resin: PE4710")], "PE4710")
        .saying("practice: us")
        .near(&[("resin: PE100", "resin: PE80")]),
    case("resin-outside-practice")
        .fires(&[("resin: PE4710", "resin: PP-R")], "PP-R")
        .saying("metric practice")
        .near(&[("resin: PE4710", "resin: PE3608")]),
    case("size-outside-practice")
        .metric()
        .fires(&[("32 mm to 63 mm", "[32 mm to 63 mm, 1 IPS]")], "1 IPS")
        .saying("practice: us")
        .near(&[("32 mm to 63 mm", "[32 mm to 63 mm, 75 mm]")]),
    // The largest metric size is d 125.
    case("size-outside-practice")
        .metric()
        .fires(&[("sizes: 90 mm", "sizes: 140 mm")], "140 mm")
        .near(&[("sizes: 90 mm", "sizes: 125 mm")]),
    // Thin walls are advised against up to d 63, and have times from d 75.
    case("fusion-not-advisable")
        .metric()
        .fires(
            &[("63 mm, dimension_ratio: 11", "63 mm, dimension_ratio: 17")],
            "17",
        )
        .saying("not advisable")
        .near(&[("sizes: 90 mm", "sizes: 75 mm")]),
    // SDR 13.6 lies between the groups that times are published for.
    case("no-cycle-row")
        .metric()
        .fires(&[("[11, 17]", "[11, 13.6]")], "13.6")
        .saying("90 mm with SDR 13.6")
        .near(&[("[11, 17]", "[9, 17.6]")]),
    // What is not advisable is told as that.
    case("no-cycle-row")
        .metric()
        .fires(&[("[11, 17]", "[11, 18]")], "18")
        .saying("90 mm with SDR 18")
        .near(&[("63 mm, dimension_ratio: 11", "63 mm, dimension_ratio: 17")]),
    case("machine-missing")
        .metric()
        .fires(&[("  machine: {largest: 125 mm}\n", "")], "90 mm")
        .near(&[("largest: 125 mm", "largest: 90 mm")]),
    // By hand up to d 50, by machine from d 63.
    case("machine-missing")
        .metric()
        .fires(&[("largest: 125 mm", "largest: 50 mm")], "50 mm")
        .saying("63 mm needs a fusion machine, and the machine takes pipe up to 50 mm")
        .near(&[
            ("  machine: {largest: 125 mm}\n", ""),
            ("    - {sizes: 32 mm to 63 mm, dimension_ratio: 11}\n", ""),
            ("{sizes: 90 mm, dimension_ratio: [11, 17]}", "{sizes: 32 mm to 50 mm, dimension_ratio: 11}"),
        ]),
    case("machine-missing")
        .metric()
        .fires(&[("largest: 125 mm", "largest: 4 IPS")], "4 IPS")
        .saying("4 IPS is an inch size")
        .near(&[("largest: 125 mm", "largest: 110 mm")]),
    case("ring-not-of-practice")
        .metric()
        .fires(
            &[("tools:\n", "tools:\n  cold_rings: [32 mm]\n")],
            "32 mm",
        )
        .near(&[("tools:\n", "tools:\n  cold_rings: []\n")]),
    case("peeling-not-stated")
        .metric()
        .fires(&[(", peel: no", "")], "isopropyl alcohol")
        .near(&[("peel: no", "peel: yes")]),
    case("hold-not-published")
        .metric()
        .fires(&[("resin: PE100", "resin: PP-R")], "32 mm to 63 mm")
        .saying("looked for and not found; the tables give cooling alone (not found)")
        .near(&[("11, 17]", "11]")]),
    // A size with a hold of the organization's own needs no other.
    case("hold-not-published")
        .metric()
        .fires(
            &[
                ("resin: PE100", "resin: PP-R"),
                ("cycles:\n", "cycles:\n  rows:\n    - {size: 32 mm, hold: 10 s, source: A}\n"),
            ],
            "32 mm to 63 mm",
        )
        .saying("is published for 40 mm, 50 mm, 63 mm and 90 mm;")
        .near(&[("11, 17]", "11]")]),
    // 0 degrees is the lowest by SP 40-101-96.
    case("below-lowest-ambient")
        .metric()
        .fires(
            &[
                ("resin: PE100", "resin: PP-R"),
                ("5 °C to 40 °C", "-1 °C to 40 °C"),
            ],
            "-1 °C to 40 °C",
        )
        .saying("below 0 °C (32 °F)")
        .near(&[
            ("resin: PE100", "resin: PP-R"),
            ("5 °C to 40 °C", "0 °C to 40 °C"),
        ]),
    // d 32 goes in 14.6 to 17.1 mm.
    case("depth-outside-band")
        .metric()
        .fires(&[("depth: 16 mm", "depth: 14.5 mm")], "14.5 mm")
        .saying("0.1 mm (0.004 in) less than the least")
        .near(&[("depth: 16 mm", "depth: 14.6 mm")]),
    case("depth-outside-band")
        .metric()
        .fires(&[("depth: 25 mm", "depth: 27.4 mm")], "27.4 mm")
        .saying("1.0 mm (0.039 in) more than the most")
        .near(&[("depth: 25 mm", "depth: 26.4 mm")]),
    // The PP socket of d 32 is 18.1 mm long, and its witness line is at 22 mm.
    case("depth-beyond-socket")
        .metric()
        .fires(
            &[("resin: PE100", "resin: PP-R"), ("depth: 16 mm", "depth: 22 mm")],
            "22 mm",
        )
        .near(&[("resin: PE100", "resin: PP-R"), ("depth: 16 mm", "depth: 18.1 mm")]),
    // A socket that was measured is deeper; one of another size says nothing.
    case("depth-beyond-socket")
        .metric()
        .fires(
            &[
                ("resin: PE100", "resin: PP-R"),
                ("depth: 16 mm", "depth: 22 mm"),
                ("  depths:\n", "  sockets: {40 mm: {depth: 30 mm, source: caliper}}\n  depths:\n"),
            ],
            "22 mm",
        )
        .near(&[
            ("resin: PE100", "resin: PP-R"),
            ("depth: 16 mm", "depth: 22 mm"),
            ("  depths:\n", "  sockets: {32 mm: {depth: 24 mm, source: caliper}}\n  depths:\n"),
        ]),
    case("depth-missing")
        .metric()
        .fires(
            &[("    32 mm: {depth: 16 mm, source: fitting drawing FD-1}\n", "")],
            "32 mm to 63 mm",
        )
        .saying("are not depths")
        .near(&[("depth: 16 mm", "depth: to be measured")]),
    case("cycle-row-given-twice")
        .metric()
        .fires(
            &[(
                "cycles:\n",
                "cycles:\n  rows:\n    - {size: 90 mm, heat: 40 s, source: A}\n    - {size: 90 mm, heat: 22 s, source: A}\n",
            )],
            "90 mm",
        )
        .near(&[(
            "cycles:\n",
            "cycles:\n  rows:\n    - {size: 90 mm, walls: thick, heat: 40 s, source: A}\n    - {size: 90 mm, walls: thin, heat: 22 s, source: A}\n",
        )]),
    // Thick walls of d 90 are heated 40 s, thin ones 22 s.
    case("heating-outside-published")
        .metric()
        .fires(
            &[(
                "cycles:\n",
                "cycles:\n  rows:\n    - {size: 90 mm, walls: thin, heat: 40 s, source: A}\n",
            )],
            "40 s",
        )
        .saying("18 s too late")
        .near(&[(
            "cycles:\n",
            "cycles:\n  rows:\n    - {size: 90 mm, walls: thick, heat: 40 s, source: A}\n",
        )]),
    // The change-over of d 32 is 6 s, and binds a time given for all sizes.
    case("change-over-longer")
        .metric()
        .fires(
            &[("cycles:\n", "cycles:\n  change_over: {value: 7 s, source: A}\n")],
            "7 s",
        )
        .saying("1 s longer than the 6 s")
        .near(&[("cycles:\n", "cycles:\n  change_over: {value: 6 s, source: A}\n")]),
    case("wait-missing")
        .metric()
        .fires(
            &[("    before_pressure_test: {value: 2 h, source: Works manual 3.5}\n", "")],
            "waits",
        )
        .near(&[("    before_handling: {value: 8 min, source: Works manual 3.4}\n", "")]),
    // The cooling of d 90 is 6 min in all, and binds a wait given for all sizes.
    case("wait-shorter-than-published")
        .metric()
        .fires(&[("value: 8 min", "value: 5 min")], "5 min")
        .saying("the published 6 min")
        .near(&[("value: 8 min", "value: 6 min")]),
];
