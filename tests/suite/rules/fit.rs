//! Rules about the fit of pipe and socket, and about pipe that was measured.
//! 2 IPS is 2.375 ± 0.006 in: 2.369 to 2.381 in; out of round by 0.024 in.

use super::{Case, case};

const SOCKET: &str = "2 IPS: {depth: 1.06 in, source: caliper on three sockets}";
const SCOPE: &str = "  pipe_temperature: 40 °F to 110 °F";

pub static CASES: &[Case] = &[
    // 2.369 − 2.372 = −0.003 in.
    case("no-interference-at-extreme")
        .fires(
            &[(SOCKET, "2 IPS: {depth: 1.06 in, mouth: 2.350 to 2.372 in}")],
            "2.350 to 2.372 in",
        )
        .saying("at the mouth of the 2 IPS socket, the pipe is loose by 0.003 in (0.08 mm)")
        .near(&[(SOCKET, "2 IPS: {depth: 1.06 in, mouth: 2.350 to 2.368 in}")]),
    case("no-interference-at-extreme")
        .fires(
            &[(
                SOCKET,
                "2 IPS: {mouth: 2.350 to 2.369 in, root: 2.340 to 2.369 in}",
            )],
            "2.340 to 2.369 in",
        )
        .saying("at the root of the 2 IPS socket, no interference is left")
        .near(&[(
            SOCKET,
            "2 IPS: {mouth: 2.350 to 2.368 in, root: 2.340 to 2.368 in}",
        )]),
    case("given-socket-not-smaller-than-pipe")
        .fires(
            &[(SOCKET, "2 IPS: {mouth: 2.375 to 2.380 in}")],
            "2.375 to 2.380 in",
        )
        .saying("goes in cold")
        .near(&[(SOCKET, "2 IPS: {mouth: 2.374 to 2.380 in}")]),
    case("given-socket-not-smaller-than-pipe")
        .fires(
            &[(SOCKET, "2 IPS: {mouth: 2.40 in, root: 2.38 in}")],
            "2.38 in",
        )
        .saying("slides fully home cold")
        .near(&[(SOCKET, "2 IPS: {mouth: 2.36 in, root: 2.34 in}")]),
    case("socket-bands-inverted")
        .fires(
            &[(
                SOCKET,
                "2 IPS: {mouth: 2.345 to 2.350 in, root: 2.335 to 2.352 in}",
            )],
            "2.335 to 2.352 in",
        )
        .saying("0.002 in (0.05 mm) more than at its widest mouth")
        // A socket without taper is no wider at its root.
        .near(&[(
            SOCKET,
            "2 IPS: {mouth: 2.345 to 2.350 in, root: 2.345 to 2.350 in}",
        )]),
    case("socket-bands-inverted")
        .fires(
            &[(
                SOCKET,
                "2 IPS: {mouth: 2.340 to 2.350 in, root: 2.342 to 2.350 in}",
            )],
            "2.342 to 2.350 in",
        )
        .saying("narrowest")
        .near(&[(SOCKET, "2 IPS: {root: 2.342 to 2.350 in}")]),
    // Under by one unit of its last digit, the least that a reading can tell.
    case("measured-od-out-of-tolerance")
        .fires(
            &[(
                SCOPE,
                "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {outside_diameter: 2.368 in}}",
            )],
            "2.368 in",
        )
        .saying("0.001 in (0.03 mm) under its band of 2.369 in")
        .near(&[(
            SCOPE,
            "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {outside_diameter: 2.37 in}}",
        )]),
    case("measured-od-out-of-tolerance")
        .fires(
            &[(
                SCOPE,
                "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {outside_diameter: 2.366 in}}",
            )],
            "2.366 in",
        )
        .saying("0.003 in (0.08 mm) under its band of 2.369 in")
        .near(&[(
            SCOPE,
            "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {outside_diameter: 2.369 in}}",
        )]),
    case("measured-od-out-of-tolerance")
        .fires(
            &[(
                SCOPE,
                "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {outside_diameter: 2.383 in}}",
            )],
            "2.383 in",
        )
        .saying("0.002 in (0.05 mm) over")
        .near(&[(
            SCOPE,
            "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {outside_diameter: 2.381 in}}",
        )]),
    // 5 % of 2.375 in is 0.119 in.
    case("measured-out-of-roundness")
        .fires(
            &[(
                SCOPE,
                "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {out_of_roundness: 0.060 in}}",
            )],
            "0.060 in",
        )
        .saying("0.036 in (0.91 mm) more than the 0.024 in (0.61 mm) allowed as made; that is within what coiled pipe may have, 0.119 in")
        .near(&[(
            SCOPE,
            "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {out_of_roundness: 0.024 in}}",
        )]),
    // One unit of the last digit over, and less than one: 0.03 in may be 0.025 in.
    case("measured-out-of-roundness")
        .fires(
            &[(
                SCOPE,
                "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {out_of_roundness: 0.025 in}}",
            )],
            "0.025 in",
        )
        .saying("0.001 in (0.03 mm) more than the 0.024 in")
        .near(&[(
            SCOPE,
            "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {out_of_roundness: 0.03 in}}",
        )]),
    // 5 % of 2.375 in is 0.11875 in.
    case("measured-out-of-roundness")
        .fires(
            &[(
                SCOPE,
                "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {out_of_roundness: 0.11875 in}}",
            )],
            "0.11875 in",
        )
        .saying("that is within what coiled pipe may have")
        .near(&[(
            SCOPE,
            "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {out_of_roundness: 0.023 in}}",
        )]),
    case("measured-out-of-roundness")
        .fires(
            &[(
                SCOPE,
                "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {out_of_roundness: 0.119 in}}",
            )],
            "0.119 in",
        )
        .saying("that is more than what coiled pipe may have")
        .near(&[(
            SCOPE,
            "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {out_of_roundness: 0.02 in}}",
        )]),
    // None is published for CTS, so nothing can be said of it.
    case("measured-out-of-roundness")
        .fires(
            &[(
                SCOPE,
                "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 IPS: {out_of_roundness: 0.120 in}}",
            )],
            "0.120 in",
        )
        .saying("does not change the mean diameter")
        .near(&[
            ("1 IPS to 2 IPS", "[1 IPS to 2 IPS, 2 CTS]"),
            (
                SCOPE,
                "  pipe_temperature: 40 °F to 110 °F\n  measured: {2 CTS: {out_of_roundness: 0.120 in}}",
            ),
        ]),
];
