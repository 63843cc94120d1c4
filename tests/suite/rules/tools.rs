//! Rules about the tools on the truck, the depths they set, and spigots.

use super::{Case, Edit, case};

/// The clean spec as a draft.
const DRAFT: Edit = ("status: qualified", "status: draft");
/// Sizes that nobody pushes together by hand.
const LARGE: Edit = ("1 IPS to 2 IPS", "1 IPS to 4 IPS");

pub static CASES: &[Case] = &[
    case("no-adapter-for-size")
        .fires(&[("    2 IPS: {depth: 23.88 mm}\n", "")], "heater")
        .near(&[("2 IPS: {depth: 23.88 mm}", "2 ips: {}")]),
    case("no-cold-ring-for-size")
        .fires(
            &[("2 IPS: {width: 0.75 in}", "2 CTS: {width: 0.75 in}")],
            "tools",
        )
        .near(&[("2 IPS: {width: 0.75 in}", "2 IPS: {}")]),
    // A size outside the practice has no tools either, and that is said once.
    case("no-adapter-for-size")
        .fires(&[("1 IPS to 2 IPS", "1 IPS to 3 IPS")], "heater")
        .saying("no adapters are listed for 3 IPS")
        .near(&[("1 IPS to 2 IPS", "[1 IPS to 2 IPS, 63 mm]")]),
    case("no-cold-ring-for-size")
        .fires(&[("1 IPS to 2 IPS", "1 IPS to 3 IPS")], "tools")
        .saying("no cold ring is listed for 3 IPS")
        .near(&[("1 IPS to 2 IPS", "[1 IPS to 2 IPS, 63 mm]")]),
    case("cutter-too-small")
        .fires(&[("largest: 2 IPS", "largest: 1-1/2 IPS")], "1-1/2 IPS")
        .near(&[("largest: 2 IPS", "largest: 4 IPS")]),
    // 2 CTS is 2.125 in across, 2 IPS 2.375 in: the same number is not the same pipe.
    case("cutter-too-small")
        .fires(&[("largest: 2 IPS", "largest: 2 CTS")], "2 CTS")
        .saying("2 CTS, 2.125 in")
        .near(&[
            ("largest: 2 IPS", "largest: 2 CTS"),
            ("1 IPS to 2 IPS", "1 IPS to 1-1/2 IPS"),
        ]),
    case("cutter-missing")
        .fires(&[("  cutter: {largest: 2 IPS}\n", "")], "tools")
        .near(&[("largest: 2 IPS", "largest: 3 IPS")]),
    // Several cutters share the sizes: each size needs one, by its list or by its reach.
    case("no-cutter-for-size")
        .fires(
            &[(
                "cutter: {largest: 2 IPS}",
                "cutters: [{sizes: 1 to 1-1/2 IPS}, {name: Saw, sizes: 3 IPS}]",
            )],
            "1 to 1-1/2 IPS",
        )
        .saying("sizes: 2 IPS")
        .near(&[(
            "cutter: {largest: 2 IPS}",
            "cutters: [{sizes: 1 to 1-1/2 IPS}, {name: Saw, sizes: 2 IPS}]",
        )]),
    case("no-cutter-for-size")
        .fires(
            &[(
                "cutter: {largest: 2 IPS}",
                "cutter: {largest: 1-1/4 IPS}\n  cutters: [{sizes: 2 IPS}]",
            )],
            "2 IPS",
        )
        .saying("cuts 1-1/2 IPS")
        .near(&[(
            "cutter: {largest: 2 IPS}",
            "cutter: {largest: 1-1/2 IPS}\n  cutters: [{sizes: 2 IPS}]",
        )]),
    case("cutter-missing")
        .fires(
            &[("  cutter: {largest: 2 IPS}\n", "  cutters: []\n")],
            "tools",
        )
        .near(&[("cutter: {largest: 2 IPS}", "cutters: [{sizes: 1 to 2 IPS}]")]),
    case("insert-without-ring")
        .fires(
            &[("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 3 IPS}")],
            "3 IPS",
        )
        .saying("3 IPS: {}")
        .near(&[("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 2 IPS}")]),
    // 1-1/4 IPS is 1.660 in across, 2 CTS 2.125 in, 1-1/2 IPS 1.900 in.
    case("insert-in-smaller-ring")
        .fires(
            &[(
                "1-1/2 IPS: {width: 0.70 in}",
                "1-1/2 IPS: {insert_in: 1-1/4 IPS}",
            )],
            "1-1/4 IPS",
        )
        .saying("1.660 in")
        .near(&[(
            "1-1/2 IPS: {width: 0.70 in}",
            "1-1/2 IPS: {insert_in: 2 IPS}",
        )]),
    case("insert-in-smaller-ring")
        .fires(
            &[("2 IPS: {width: 0.75 in}", "2 IPS: {insert_in: 2 IPS}")],
            "2 IPS",
        )
        .near(&[("2 IPS: {width: 0.75 in}", "2 IPS: {insert_in: 3 IPS}")]),
    // No table has the diameter of 7/8 IPS.
    case("insert-in-smaller-ring")
        .fires(
            &[("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 7/8 IPS}")],
            "7/8 IPS",
        )
        .saying("is not larger")
        .near(&[("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 1-1/8 IPS}")]),
    // Where the ring is of pipe that is not claimed, adding it would not help.
    case("insert-without-ring")
        .fires(
            &[("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 63 mm}")],
            "63 mm",
        )
        .saying("of the kind of pipe that is claimed")
        .near(&[("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 2 IPS}")]),
    case("tool-in-other-system")
        .fires(
            &[
                ("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 63 mm}"),
                ("  cutter:", "    63 mm: {}\n  cutter:"),
            ],
            "63 mm",
        )
        .saying("write the larger ring")
        .near(&[
            ("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 3 IPS}"),
            ("  cutter:", "    3 IPS: {}\n  cutter:"),
        ]),
    case("tool-size-implausible")
        .fires(
            &[
                ("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 20 IPS}"),
                ("  cutter:", "    20 IPS: {}\n  cutter:"),
            ],
            "20 IPS",
        )
        .near(&[
            ("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 6 IPS}"),
            ("  cutter:", "    6 IPS: {}\n  cutter:"),
        ]),
    // Of two rings that are inserts of each other, one is not larger.
    case("insert-in-smaller-ring")
        .fires(
            &[
                ("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 2 IPS}"),
                (
                    "    2 IPS: {width: 0.75 in}",
                    "    2 IPS: {insert_in: 1 IPS}",
                ),
            ],
            "1 IPS",
        )
        .near(&[("1 IPS: {width: 0.62 in}", "1 IPS: {insert_in: 2 IPS}")]),
    // A ring that carries an insert is needed, whether or not its own size is joined.
    case("tool-for-unclaimed-size")
        .fires(&[("  cutter:", "    3 IPS: {}\n  cutter:")], "3 IPS")
        .near(&[
            ("  cutter:", "    3 IPS: {}\n  cutter:"),
            ("2 IPS: {width: 0.75 in}", "2 IPS: {insert_in: 3 IPS}"),
        ]),
    case("tool-in-other-system")
        .fires(
            &[(
                "cutter: {largest: 2 IPS}",
                "cutters: [{sizes: 1 to 2 IPS}, {sizes: 63 mm}]",
            )],
            "63 mm",
        )
        .near(&[(
            "cutter: {largest: 2 IPS}",
            "cutters: [{sizes: 1 to 2 IPS}, {sizes: 3 IPS}]",
        )]),
    case("tool-size-implausible")
        .fires(
            &[(
                "cutter: {largest: 2 IPS}",
                "cutters: [{sizes: 1 to 20 IPS}]",
            )],
            "1 to 20 IPS",
        )
        .near(&[("cutter: {largest: 2 IPS}", "cutters: [{sizes: 1 to 4 IPS}]")]),
    case("tool-for-unclaimed-size")
        .fires(&[("  cutter:", "    3 IPS: {}\n  cutter:")], "3 IPS")
        .near(&[
            ("  cutter:", "    3 IPS: {}\n  cutter:"),
            ("1 IPS to 2 IPS", "1 IPS to 3 IPS"),
        ]),
    case("depth-missing")
        .fires(
            &[(
                "    2 IPS: {depth: 0.94 in, id: G-4, source: caliper on G-4}\n",
                "",
            )],
            "1 IPS to 2 IPS",
        )
        .near(&[("id: G-4, ", "")]),
    case("depth-not-measured")
        .fires(
            &[
                ("depth: 0.94 in", "depth: to be measured"),
                ("status: qualified", "status: draft"),
            ],
            "to be measured",
        )
        .near(&[
            ("depth: 0.94 in", "depth: 0.95 in"),
            ("status: qualified", "status: draft"),
        ]),
    case("depth-not-measured-but-qualified")
        .fires(
            &[("depth: 0.94 in", "depth: to be measured")],
            "to be measured",
        )
        .near(&[
            ("depth: 0.94 in", "depth: to be measured"),
            ("status: qualified", "status: draft"),
        ]),
    case("depth-without-source")
        .fires(&[(", source: caliper on G-4", "")], "0.94 in")
        .near(&[("source: caliper on G-4", "source: maker's sheet")]),
    // The clean spec's 23.88 mm is the gauge's 0.94 in in another unit.
    case("adapter-and-gauge-differ")
        .fires(&[("23.88 mm", "1.00 in")], "1.00 in")
        .saying("0.060 in (1.52 mm) deeper than the depth gauge")
        .near(&[("23.88 mm", "0.940 in")]),
    // The other sizes have a gauge; the depth of this one is stated.
    case("adapter-and-gauge-differ")
        .fires(
            &[
                (
                    "    2 IPS: {depth: 0.94 in, id: G-4, source: caliper on G-4}\n",
                    "",
                ),
                (
                    "  sockets:\n",
                    "  depths: {2 IPS: {depth: 0.94 in, source: caliper}}\n  sockets:\n",
                ),
                ("23.88 mm", "0.90 in"),
            ],
            "0.90 in",
        )
        .saying("0.040 in (1.02 mm) shallower than the stated depth")
        .near(&[("23.88 mm", "0.940 in")]),
    case("socket-shallower-than-gauge")
        .fires(&[("depth: 1.06 in", "depth: 0.93 in")], "0.93 in")
        .saying("0.010 in (0.25 mm) less")
        .near(&[("depth: 1.06 in", "depth: 0.94 in")]),
    case("depth-falls-with-size")
        .fires(&[("depth: 0.88 in", "depth: 0.80 in")], "0.80 in")
        .saying("0.010 in (0.25 mm) less than 1-1/4 IPS")
        .near(&[("depth: 0.88 in", "depth: 0.81 in")]),
    // 0.3 × 33.4 mm + 8.5 mm = 18.5 mm = 0.73 in; 0.6 and 1.4 times it are
    // 0.44 in and 1.02 in.
    case("depth-unit-slip")
        .fires(&[("0.71 in", "1.03 in")], "1.03 in")
        .near(&[("0.71 in", "1.02 in")]),
    case("depth-unit-slip")
        .fires(&[("0.71 in", "0.43 in")], "0.43 in")
        .saying("0.437 in (11.10 mm) to 1.021 in (25.93 mm)")
        .near(&[("0.71 in", "0.44 in")]),
    // 0.71 mm is right in inches, 0.071 in with the point one place on; a depth of
    // 0.14 in is less than the wall of DR 9, 1.315 in / 9 = 0.146 in.
    case("depth-impossible")
        .fires(&[("0.71 in", "0.71 mm")], "0.71 mm")
        .saying("the same number in inches would be 0.710 in")
        .near(&[("0.71 in", "18 mm")]),
    case("depth-impossible")
        .fires(&[("0.71 in", "0.071 in")], "0.071 in")
        .saying("the point one place to the right would be 0.710 in")
        .near(&[("0.71 in", "0.37 in")]),
    case("depth-impossible")
        .fires(&[("0.71 in", "0.14 in")], "0.14 in")
        .saying("the wall alone is 0.146 in")
        .near(&[("0.71 in", "0.38 in")]),
    // 0.3 x 33.40 mm + 8.5 mm is 18.52 mm: half of it 0.365 in, 1.6 times 1.167 in.
    case("depth-impossible")
        .fires(&[("0.71 in", "0.36 in")], "0.36 in")
        .saying("0.365 in (9.27 mm) to 1.167 in (29.64 mm) deep")
        .near(&[("0.71 in", "0.37 in")]),
    case("depth-impossible")
        .fires(&[("0.71 in", "1.17 in")], "1.17 in")
        .near(&[("0.71 in", "1.16 in")]),
    // 2.375 in / 33 = 0.072 in, 1.315 in / 33 = 0.040 in.
    case("implausible-for-size")
        .fires(
            &[("dimension_ratio: [9, 11]", "wall: 0.071 in")],
            "0.071 in",
        )
        .saying("on 2 IPS makes a dimension ratio of 33.45")
        .near(&[("dimension_ratio: [9, 11]", "wall: 0.072 in")]),
    // 2 IPS: 0.3 x 60.33 mm + 8.5 mm is 26.60 mm; 2.4 times that is 63.83 mm.
    case("implausible-for-size")
        .fires(&[("1.06 in", "2.52 in")], "2.52 in")
        .saying("not that of a 2 IPS socket")
        .near(&[("1.06 in", "2.51 in")]),
    case("implausible-for-size")
        .fires(&[("23.88 mm", "13.2 mm")], "13.2 mm")
        .saying("not that of a 2 IPS adapter")
        .near(&[("23.88 mm", "13.4 mm")]),
    // A twentieth of 1.315 in is 0.066 in.
    case("implausible-for-size")
        .fires(
            &[("1.60 in", "1.60 in, outside_diameter: 1.382 in")],
            "1.382 in",
        )
        .near(&[("1.60 in", "1.60 in, outside_diameter: 1.380 in")]),
    case("implausible-for-size")
        .fires(&[("1.60 in", "1.60 in, wall: 0.039 in")], "0.039 in")
        .near(&[("1.60 in", "1.60 in, wall: 0.040 in")]),
    case("tool-size-implausible")
        .fires(&[("largest: 2 IPS", "largest: 20 IPS")], "20 IPS")
        .near(&[("largest: 2 IPS", "largest: 6 IPS")]),
    case("tool-size-implausible")
        .metric()
        .fires(&[("largest: 125 mm", "largest: 1250 mm")], "1250 mm")
        .near(&[("largest: 125 mm", "largest: 160 mm")]),
    // Metric work has a rule of its own for its machine.
    case("holding-tool-missing")
        .fires(&[DRAFT, LARGE], "1 IPS to 4 IPS")
        .saying("4 IPS needs a tool that holds and pushes")
        .near(&[
            DRAFT,
            LARGE,
            ("  cutter:", "  machine: {largest: 4 IPS}\n  cutter:"),
        ]),
    case("holding-tool-missing")
        .fires(
            &[
                DRAFT,
                LARGE,
                ("  cutter:", "  machine: {largest: 3 IPS}\n  cutter:"),
            ],
            "3 IPS",
        )
        .saying("the one that is listed takes pipe up to 3 IPS")
        .near(&[
            DRAFT,
            ("  cutter:", "  machine: {largest: 3 IPS}\n  cutter:"),
        ]),
    // A tool for larger pipe than is socket fused takes them all.
    case("holding-tool-missing-but-qualified")
        .fires(&[LARGE], "1 IPS to 4 IPS")
        .saying("3 IPS needs a tool that holds and pushes")
        .near(&[
            LARGE,
            ("  cutter:", "  machine: {largest: 6 IPS}\n  cutter:"),
        ]),
    case("spigot-without-socket")
        .fires(&[("[coupling, elbow, spigot]", "[spigot]")], "spigot")
        .near(&[("[coupling, elbow, spigot]", "[spigot, cap]")]),
    // Insertion depth 0.94 in and cold ring 0.75 in: 1.69 in.
    case("spigot-too-short")
        .fires(&[("1.90 in", "1.68 in")], "1.68 in")
        .saying("short by 0.010 in")
        .near(&[("1.90 in", "1.69 in")]),
    case("spigot-length-unknown")
        .fires(
            &[(
                "    2 IPS: {straight_length: 1.90 in, source: caliper}\n",
                "",
            )],
            "spigot",
        )
        .saying("without the spigot's straight length for 2 IPS")
        .near(&[
            (
                "    2 IPS: {straight_length: 1.90 in, source: caliper}\n",
                "",
            ),
            ("[coupling, elbow, spigot]", "[coupling, elbow]"),
        ]),
    case("spigot-length-unknown")
        .fires(&[("2 IPS: {width: 0.75 in}", "2 IPS: {}")], "spigot")
        .saying("without the ring's width for 2 IPS")
        .near(&[("2 IPS: {width: 0.75 in}", "2 IPS: {width: 19 mm}")]),
    case("spigot-length-unknown")
        .fires(
            &[
                ("depth: 0.94 in", "depth: to be measured"),
                ("status: qualified", "status: draft"),
            ],
            "spigot",
        )
        .saying("without the depth for 2 IPS")
        .near(&[
            ("depth: 0.94 in", "depth: 0.93 in"),
            ("status: qualified", "status: draft"),
        ]),
];
