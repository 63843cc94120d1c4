//! Rules about reducers, spigots, and pipe and fitting that are not alike.

use super::{Case, Edit, case};

/// The kinds of the clean spec and a reducer.
const REDUCER: Edit = (
    "kinds: [coupling, elbow, spigot]",
    "kinds: [coupling, elbow, spigot, reducer]",
);

/// An unlike pair of every size, by the record that the clean spec lists.
const EVERY_PAIR: Edit = (
    "  sockets:\n",
    "  resin: PE2708\n  unlike:\n    \
     - {size: 1 IPS, pipe_heat: 15 s, fitting_heat: 13 s, first: pipe, record: BL-PQ-3}\n    \
     - {size: 1-1/4 IPS, pipe_heat: 18 s, fitting_heat: 16 s, first: pipe, record: BL-PQ-3}\n    \
     - {size: 1-1/2 IPS, pipe_heat: 20 s, fitting_heat: 18 s, first: pipe, record: BL-PQ-3}\n    \
     - {size: 2 IPS, pipe_heat: 24 s, fitting_heat: 20 s, first: pipe, record: BL-PQ-3}\n  \
     sockets:\n",
);

/// The clean spec with one pair for 2 IPS.
macro_rules! pair {
    ($fields:literal) => {
        (
            "  sockets:\n",
            concat!("  unlike:\n    - {", $fields, "}\n  sockets:\n"),
        )
    };
}

/// A pair that nothing is wrong with.
const PAIR: Edit =
    pair!("size: 2 IPS, pipe_heat: 26 to 30 s, fitting_heat: 20 s, first: pipe, record: BL-PQ-3");

pub static CASES: &[Case] = &[
    case("reducer-sizes-not-stated")
        .fires(&[REDUCER], "reducer")
        .near(&[
            REDUCER,
            ("  sockets:\n", "  reducers: [2 IPS x 1 IPS]\n  sockets:\n"),
        ]),
    case("reducer-not-a-kind")
        .fires(
            &[("  sockets:\n", "  reducers: [2 IPS x 1 IPS]\n  sockets:\n")],
            "2 IPS x 1 IPS",
        )
        .near(&[
            REDUCER,
            ("  sockets:\n", "  reducers: [2 IPS x 1 IPS]\n  sockets:\n"),
        ]),
    case("reducer-size-not-claimed")
        .fires(
            &[
                REDUCER,
                (
                    "  sockets:\n",
                    "  reducers: [2 IPS x 3/4 IPS]\n  sockets:\n",
                ),
            ],
            "2 IPS x 3/4 IPS",
        )
        .saying("claim 3/4 IPS under `scope.pipe`")
        .near(&[
            REDUCER,
            (
                "  sockets:\n",
                "  reducers: [1-1/2 IPS x 1-1/4 IPS]\n  sockets:\n",
            ),
        ]),
    // The same nominal size in another system is another pipe.
    case("reducer-size-not-claimed")
        .fires(
            &[
                REDUCER,
                ("  sockets:\n", "  reducers: [2 IPS x 1 CTS]\n  sockets:\n"),
            ],
            "2 IPS x 1 CTS",
        )
        .near(&[
            REDUCER,
            ("  sockets:\n", "  reducers: [2 IPS x 1 IPS]\n  sockets:\n"),
        ]),
    case("reducer-across-practices")
        .fires(
            &[
                REDUCER,
                ("  sockets:\n", "  reducers: [2 IPS x 32 mm]\n  sockets:\n"),
            ],
            "2 IPS x 32 mm",
        )
        .saying("32 mm is not joined under US practice")
        .near(&[
            REDUCER,
            ("  sockets:\n", "  reducers: [2 IPS x 1 CTS]\n  sockets:\n"),
        ]),
    case("reducer-across-practices")
        .metric()
        .fires(
            &[(
                "kinds: [coupling, elbow]",
                "kinds: [reducer]\n  reducers: [63 mm x 1 IPS]",
            )],
            "63 mm x 1 IPS",
        )
        .saying("1 IPS is not joined under metric practice")
        .near(&[(
            "kinds: [coupling, elbow]",
            "kinds: [reducer]\n  reducers: [63 mm x 32 mm]",
        )]),
    // 1 IPS is 1.315 in, 0.005 in each way.
    case("spigot-od-out-of-band")
        .fires(
            &[("1.60 in", "1.60 in, outside_diameter: 1.309 in")],
            "1.309 in",
        )
        .saying("0.001 in (0.03 mm) below the band")
        .near(&[("1.60 in", "1.60 in, outside_diameter: 1.310 in")]),
    case("spigot-od-out-of-band")
        .fires(
            &[("1.60 in", "1.60 in, outside_diameter: 1.321 in")],
            "1.321 in",
        )
        .saying("0.001 in (0.03 mm) above the band")
        .near(&[("1.60 in", "1.60 in, outside_diameter: 1.320 in")]),
    // Metric pipe is never below its nominal size.
    case("spigot-od-out-of-band")
        .metric()
        .fires(
            &[(
                "kinds: [coupling, elbow]",
                "kinds: [coupling, spigot]\n  spigots: {63 mm: {straight_length: 40 mm, outside_diameter: 62.9 mm}}",
            )],
            "62.9 mm",
        )
        .saying("0.1 mm")
        .near(&[(
            "kinds: [coupling, elbow]",
            "kinds: [coupling, spigot]\n  spigots: {63 mm: {straight_length: 40 mm, outside_diameter: 63.0 mm}}",
        )]),
    // 1 IPS, DR 11: 1.315 in / 11 = 0.1195 in.
    case("spigot-wall-thin")
        .fires(&[("1.60 in", "1.60 in, wall: 0.119 in")], "0.119 in")
        .saying("below the thinnest claimed")
        .near(&[("1.60 in", "1.60 in, wall: 0.120 in")]),
    // d 90 is claimed in two groups of walls; the thinnest is that of SDR 17.
    case("spigot-wall-thin")
        .metric()
        .fires(
            &[(
                "kinds: [coupling, elbow]",
                "kinds: [coupling, spigot]\n  spigots: {90 mm: {straight_length: 40 mm, wall: 5.3 mm}}",
            )],
            "5.3 mm",
        )
        .near(&[(
            "kinds: [coupling, elbow]",
            "kinds: [coupling, spigot]\n  spigots: {90 mm: {straight_length: 40 mm, wall: 5.4 mm}}",
        )]),
    // Without a ring the depth alone has to be straight: 25 mm for d 63.
    case("spigot-too-short")
        .metric()
        .fires(
            &[(
                "kinds: [coupling, elbow]",
                "kinds: [coupling, spigot]\n  spigots: {63 mm: {straight_length: 24.9 mm}}",
            )],
            "24.9 mm",
        )
        .saying("the depth takes 25.0 mm (0.984 in), so it is short by 0.1 mm")
        .near(&[(
            "kinds: [coupling, elbow]",
            "kinds: [coupling, spigot]\n  spigots: {63 mm: {straight_length: 25 mm}}",
        )]),
    case("spigot-not-measured")
        .fires(
            &[("1.60 in", "1.60 in, outside_diameter: 1.315 in")],
            "spigot",
        )
        .saying("outside diameter for 1-1/4 IPS, 1-1/2 IPS and 2 IPS; wall for 1 IPS, 1-1/4 IPS")
        .near(&[
            ("1.60 in", "1.60 in, outside_diameter: 1.315 in, wall: 0.120 in"),
            ("1.70 in", "1.70 in, outside_diameter: 1.660 in, wall: 0.151 in"),
            ("1.80 in", "1.80 in, outside_diameter: 1.900 in, wall: 0.173 in"),
            ("1.90 in", "1.90 in, outside_diameter: 2.375 in, wall: 0.216 in"),
        ]),
    case("fitting-resin-unknown")
        .fires(
            &[("  sockets:\n", "  resin: black HDPE\n  sockets:\n")],
            "black HDPE",
        )
        .near(&[("  sockets:\n", "  resin: PE4710\n  sockets:\n")]),
    case("families-never-fuse")
        .fires(&[("  sockets:\n", "  resin: PP-R\n  sockets:\n")], "PP-R")
        .saying("do not fuse with pipe of PE4710 (PE)")
        .near(&[("  sockets:\n", "  resin: PE2708\n  sockets:\n")]),
    // No record makes up for it.
    case("families-never-fuse")
        .metric()
        .fires(
            &[("kinds: [coupling, elbow]", "kinds: [coupling]\n  resin: PP-R")],
            "PP-R",
        )
        .near(&[("kinds: [coupling, elbow]", "kinds: [coupling]\n  resin: PE80")]),
    case("unlike-without-record")
        .fires(&[("  sockets:\n", "  resin: PE2708\n  sockets:\n")], "PE2708")
        .saying("1 IPS, 1-1/4 IPS, 1-1/2 IPS and 2 IPS")
        .near(&[EVERY_PAIR]),
    case("unlike-without-record")
        .fires(
            &[pair!(
                "size: 2 IPS, pipe_heat: 26 s, fitting_heat: 20 s, first: pipe"
            )],
            "2 IPS",
        )
        .saying("cite no record")
        .near(&[PAIR]),
    case("unlike-without-record")
        .fires(
            &[pair!(
                "size: 2 IPS, pipe_heat: 26 s, fitting_heat: 20 s, first: pipe, record: BL-PQ-4"
            )],
            "BL-PQ-4",
        )
        .near(&[PAIR]),
    case("unlike-order-wrong")
        .fires(
            &[pair!(
                "size: 2 IPS, pipe_heat: 20 to 40 s, fitting_heat: 26 s, first: pipe, record: BL-PQ-3"
            )],
            "pipe",
        )
        .saying("the fitting needs 6 s longer")
        .near(&[pair!(
            "size: 2 IPS, pipe_heat: 20 to 40 s, fitting_heat: 26 s, first: fitting, record: BL-PQ-3"
        )]),
    case("unlike-not-needed")
        .fires(
            &[pair!(
                "size: 2 IPS, pipe_heat: 24 to 28 s, fitting_heat: 24 s, first: pipe, record: BL-PQ-3"
            )],
            "2 IPS",
        )
        .saying("24 s")
        .near(&[pair!(
            "size: 2 IPS, pipe_heat: 24.5 to 28 s, fitting_heat: 24 s, first: pipe, record: BL-PQ-3"
        )]),
    case("unlike-given-twice")
        .fires(
            &[(
                "  sockets:\n",
                "  unlike:\n    \
                 - {size: 2 IPS, pipe_heat: 26 s, fitting_heat: 20 s, first: pipe, record: BL-PQ-3}\n    \
                 - {size: 2 ips, pipe_heat: 26 s, fitting_heat: 21 s, first: pipe, record: BL-PQ-3}\n  \
                 sockets:\n",
            )],
            "2 ips",
        )
        .near(&[EVERY_PAIR]),
    case("unlike-for-unclaimed-size")
        .fires(
            &[pair!(
                "size: 3/4 IPS, pipe_heat: 12 s, fitting_heat: 9 s, first: pipe, record: BL-PQ-3"
            )],
            "3/4 IPS",
        )
        .near(&[PAIR]),
];
