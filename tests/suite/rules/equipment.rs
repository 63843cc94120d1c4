//! Rules about heater, hand tools, depths and fittings.

use super::{Case, case};

pub static CASES: &[Case] = &[
    // The window is 490 to 510 °F; the face swings 4 °F and the check knows it
    // within 3 °F.
    case("face-outside-window")
        .fires(&[("set_point: 500 °F", "set_point: 508 °F")], "508 °F")
        .near(&[("set_point: 500 °F", "set_point: 506 °F")]),
    // The window binds the face, not the display.
    case("face-outside-window")
        .fires(&[("face_offset: 0 °F", "face_offset: -8 °F")], "500 °F")
        .near(&[("set_point: 500 °F", "set_point: 508 °F"), ("face_offset: 0 °F", "face_offset: -8 °F")]),
    case("face-check-too-coarse")
        .fires(&[("accuracy: 3 °F", "accuracy: 7 °F")], "7 °F")
        .near(&[("accuracy: 3 °F", "accuracy: 6 °F")]),
    // A stick is good to 1 % of its rating: 5 °F of 500 °F.
    case("face-check-too-coarse")
        .fires(
            &[
                ("{method: pyrometer, accuracy: 3 °F}", "{method: indicating stick, melts: 500 °F}"),
                ("set_point: 500 °F", "set_point: 502 °F"),
            ],
            "indicating stick",
        )
        .near(&[("{method: pyrometer, accuracy: 3 °F}", "{method: indicating stick, melts: 500 °F}")]),
    case("set-point-not-reachable")
        .fires(&[("set_point: 500 °F", "set_point: 501 °F")], "501 °F")
        .near(&[("set_point: 500 °F", "set_point: 501 °F"), ("step: 2 °F", "step: 1 °F")]),
    case("set-point-not-reachable")
        .fires(&[("step: 2 °F", "step: 2 °C")], "500 °F")
        .near(&[("set_point: 500 °F", "set_point: 260 °C"), ("step: 2 °F", "step: 2 °C")]),
    case("face-offset-unknown")
        .fires(&[("  face_offset: 0 °F\n", "")], "heater")
        .near(&[("face_offset: 0 °F", "face_offset: -1 °F")]),
    case("heater-step-or-swing-unknown")
        .fires(&[("  swing: 4 °F\n", "")], "heater")
        .near(&[("swing: 4 °F", "swing: 0 °F")]),
    case("face-check-missing")
        .fires(&[("  face_check: {method: pyrometer, accuracy: 3 °F}\n", "")], "heater")
        .near(&[(", accuracy: 3 °F", "")]),
    case("face-check-one-sided")
        .fires(&[("pyrometer, accuracy: 3 °F", "indicating stick, melts: 500 °F")], "indicating stick")
        .near(&[("pyrometer, accuracy: 3 °F", "two indicating sticks, melts: 492 °F, stays_solid: 508 °F")]),
    case("two-sticks-miss-the-window")
        .fires(
            &[("pyrometer, accuracy: 3 °F", "two indicating sticks, melts: 475 °F, stays_solid: 508 °F")],
            "475 °F",
        )
        .near(&[("pyrometer, accuracy: 3 °F", "two indicating sticks, melts: 490 °F, stays_solid: 510 °F")]),
    case("two-sticks-miss-the-window")
        .fires(
            &[("pyrometer, accuracy: 3 °F", "two indicating sticks, melts: 490 °F, stays_solid: 525 °F")],
            "525 °F",
        )
        .near(&[("pyrometer, accuracy: 3 °F", "two indicating sticks, melts: 495 °F, stays_solid: 505 °F")]),
    case("two-sticks-miss-the-window")
        .fires(
            &[("pyrometer, accuracy: 3 °F", "two indicating sticks, melts: 506 °F, stays_solid: 494 °F")],
            "506 °F",
        )
        .near(&[("pyrometer, accuracy: 3 °F", "two indicating sticks, melts: 494 °F, stays_solid: 506 °F")]),
    case("pyrometer-accuracy-unknown")
        .fires(&[(", accuracy: 3 °F", "")], "pyrometer")
        .near(&[("pyrometer, accuracy: 3 °F", "indicating stick, melts: 500 °F")]),
    // Tools.
    case("no-adapter-for-size")
        .fires(&[("    2 IPS: {depth: 0.95 in}\n", "")], "heater")
        .near(&[("2 IPS: {depth: 0.95 in}", "2 ips: {}")]),
    case("no-cold-ring-for-size")
        .fires(&[("2 IPS: {width: 0.75 in}", "2 CTS: {width: 0.75 in}")], "tools")
        .near(&[("2 IPS: {width: 0.75 in}", "2 IPS: {}")]),
    case("cutter-too-small")
        .fires(&[("largest: 2 IPS", "largest: 1-1/2 IPS")], "1-1/2 IPS")
        .near(&[("largest: 2 IPS", "largest: 4 IPS")]),
    // 2 CTS is 2.125 in across, 2 IPS 2.375 in: the same number is not the same pipe.
    case("cutter-too-small")
        .fires(&[("largest: 2 IPS", "largest: 2 CTS")], "2 CTS")
        .near(&[("largest: 2 IPS", "largest: 2 CTS"), ("1 IPS to 2 IPS", "1 IPS to 1-1/2 IPS")]),
    case("cutter-missing")
        .fires(&[("  cutter: {largest: 2 IPS}\n", "")], "tools")
        .near(&[("largest: 2 IPS", "largest: 3 IPS")]),
    case("tool-for-unclaimed-size")
        .fires(&[("  cutter:", "    3 IPS: {}\n  cutter:")], "3 IPS")
        .near(&[
            ("  cutter:", "    3 IPS: {}\n  cutter:"),
            ("1 IPS to 2 IPS", "1 IPS to 3 IPS"),
        ]),
    // Depths.
    case("depth-missing")
        .fires(&[("    2 IPS: {depth: 0.94 in, id: G-4, source: caliper on G-4}\n", "")], "1 IPS to 2 IPS")
        .near(&[("id: G-4, ", "")]),
    case("depth-not-measured")
        .fires(
            &[("depth: 0.94 in", "depth: to be measured"), ("status: qualified", "status: draft")],
            "to be measured",
        )
        .near(&[("depth: 0.94 in", "depth: 0.95 in"), ("status: qualified", "status: draft")]),
    case("depth-not-measured-but-qualified")
        .fires(&[("depth: 0.94 in", "depth: to be measured")], "to be measured")
        .near(&[("depth: 0.94 in", "depth: to be measured"), ("status: qualified", "status: draft")]),
    case("depth-without-source")
        .fires(&[(", source: caliper on G-4", "")], "0.94 in")
        .near(&[("source: caliper on G-4", "source: maker's sheet")]),
    case("adapter-and-gauge-differ")
        .fires(&[("depth: 0.95 in", "depth: 1.00 in")], "1.00 in")
        .near(&[("depth: 0.95 in", "depth: 0.94 in")]),
    case("socket-shallower-than-gauge")
        .fires(&[("depth: 1.06 in", "depth: 0.93 in")], "0.93 in")
        .near(&[("depth: 1.06 in", "depth: 0.94 in")]),
    case("depth-falls-with-size")
        .fires(&[("depth: 0.88 in", "depth: 0.80 in")], "0.80 in")
        .near(&[("depth: 0.88 in", "depth: 0.81 in")]),
    // 0.3 × 33.4 mm + 8.5 mm = 18.5 mm = 0.73 in; 0.6 and 1.4 times it are
    // 0.44 in and 1.02 in.
    case("depth-unit-slip")
        .fires(&[("0.71 in", "0.71 mm")], "0.71 mm")
        .near(&[("0.71 in", "18 mm")]),
    case("depth-unit-slip")
        .fires(&[("0.71 in", "0.43 in")], "0.43 in")
        .near(&[("0.71 in", "0.44 in")]),
    // Spigots.
    case("spigot-without-socket")
        .fires(&[("[coupling, elbow, spigot]", "[spigot]")], "spigot")
        .near(&[("[coupling, elbow, spigot]", "[spigot, cap]")]),
    // Insertion depth 0.94 in and cold ring 0.75 in: 1.69 in.
    case("spigot-too-short")
        .fires(&[("1.90 in", "1.68 in")], "1.68 in")
        .near(&[("1.90 in", "1.69 in")]),
    case("spigot-length-unknown")
        .fires(&[("    2 IPS: {straight_length: 1.90 in, source: caliper}\n", "")], "spigot")
        .near(&[
            ("    2 IPS: {straight_length: 1.90 in, source: caliper}\n", ""),
            ("[coupling, elbow, spigot]", "[coupling, elbow]"),
        ]),
    case("spigot-length-unknown")
        .fires(&[("2 IPS: {width: 0.75 in}", "2 IPS: {}")], "spigot")
        .near(&[("2 IPS: {width: 0.75 in}", "2 IPS: {width: 19 mm}")]),
];
