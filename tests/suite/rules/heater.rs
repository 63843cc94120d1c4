//! Rules about the heater and the check of its faces.

use super::{Case, case};

pub static CASES: &[Case] = &[
    // The window is 490 to 510 °F; the face swings 4 °F and the check knows it
    // within 3 °F.
    case("face-outside-window")
        .fires(&[("set_point: 500 °F", "set_point: 508 °F")], "508 °F")
        .saying("2 °F at the upper end")
        .near(&[("set_point: 500 °F", "set_point: 506 °F")]),
    // The window binds the face, not the display.
    case("face-outside-window")
        .fires(&[("face_offset: 0 °F", "face_offset: -8 °F")], "500 °F")
        .saying("2 °F at the lower end")
        .near(&[
            ("set_point: 500 °F", "set_point: 508 °F"),
            ("face_offset: 0 °F", "face_offset: -8 °F"),
        ]),
    // The face of 488 to 496 °F comes to the middle when the display shows 8 °F more.
    case("face-outside-window")
        .fires(&[("face_offset: 0 °F", "face_offset: -8 °F")], "500 °F")
        .saying("a set point of 508 °F puts the face near the middle")
        .near(&[
            ("set_point: 500 °F", "set_point: 502 °F"),
            ("face_offset: 0 °F", "face_offset: -8 °F"),
        ]),
    case("face-outside-window")
        .fires(&[("face_offset: 0 °F", "face_offset: -8 °F")], "500 °F")
        .saying("set point 500 °F, offset −8 °F and swing ±4 °F give a face of")
        .near(&[("face_offset: 0 °F", "face_offset: -6 °F")]),
    // What would help is a set point that the controller can be set to …
    case("face-outside-window")
        .fires(
            &[
                ("set_point: 500 °F", "set_point: 507 °F"),
                ("step: 2 °F", "step: 3 °F"),
            ],
            "507 °F",
        )
        .saying("a set point of 501 °F")
        .near(&[
            ("set_point: 500 °F", "set_point: 504 °F"),
            ("step: 2 °F", "step: 3 °F"),
        ]),
    // … if there is one: 1 °F off the middle, a swing of 10 °F always leaves.
    case("face-outside-window")
        .fires(
            &[
                ("face_offset: 0 °F", "face_offset: 1 °F"),
                ("swing: 4 °F", "swing: 10 °F"),
            ],
            "500 °F",
        )
        .saying("no set point that can be set")
        .near(&[
            ("face_offset: 0 °F", "face_offset: 1 °F"),
            ("swing: 4 °F", "swing: 9 °F"),
        ]),
    case("face-check-too-coarse")
        .fires(&[("accuracy: 3 °F", "accuracy: 7 °F")], "7 °F")
        .saying("±6 °F or better")
        .near(&[("accuracy: 3 °F", "accuracy: 6 °F")]),
    // From 496 °F the face swings down to 492 °F, and the check knows 489 °F.
    case("face-check-too-coarse")
        .fires(&[("set_point: 500 °F", "set_point: 496 °F")], "3 °F")
        .saying("±2 °F or better")
        .near(&[
            ("set_point: 500 °F", "set_point: 496 °F"),
            ("accuracy: 3 °F", "accuracy: 2 °F"),
        ]),
    // 10 °F less 4.05 °F is 5.95 °F: as printed, a limit is never looser.
    case("face-check-too-coarse")
        .fires(
            &[
                ("swing: 4 °F", "swing: 4.05 °F"),
                ("accuracy: 3 °F", "accuracy: 7 °F"),
            ],
            "7 °F",
        )
        .saying("±5.9 °F or better")
        .near(&[("swing: 4 °F", "swing: 4.05 °F")]),
    // A stick is good to 1 % of its rating: 5 °F of 500 °F.
    case("face-check-too-coarse")
        .fires(
            &[
                (
                    "{method: pyrometer, accuracy: 3 °F}",
                    "{method: indicating stick, melts: 500 °F}",
                ),
                ("set_point: 500 °F", "set_point: 502 °F"),
            ],
            "indicating stick",
        )
        .saying("of the stick: common practice (practice)")
        .near(&[(
            "{method: pyrometer, accuracy: 3 °F}",
            "{method: indicating stick, melts: 500 °F}",
        )]),
    // The face touches both ends: nothing is left for any check to prove.
    case("face-check-too-coarse")
        .fires(&[("swing: 4 °F", "swing: 10 °F")], "3 °F")
        .saying("no check can prove it")
        .near(&[("swing: 4 °F", "swing: 7 °F")]),
    case("set-point-not-reachable")
        .fires(&[("set_point: 500 °F", "set_point: 501 °F")], "501 °F")
        .saying("500 °F and 502 °F")
        .near(&[
            ("set_point: 500 °F", "set_point: 501 °F"),
            ("step: 2 °F", "step: 1 °F"),
        ]),
    // 500 °F is 260 °C, which such a controller has.
    case("set-point-not-reachable")
        .fires(
            &[
                ("step: 2 °F", "step: 2 °C"),
                ("set_point: 500 °F", "set_point: 502 °F"),
            ],
            "502 °F",
        )
        .near(&[("step: 2 °F", "step: 2 °C")]),
    case("face-offset-unknown")
        .fires(&[("  face_offset: 0 °F\n", "")], "heater")
        .near(&[("face_offset: 0 °F", "face_offset: -1 °F")]),
    case("heater-step-or-swing-unknown")
        .fires(&[("  swing: 4 °F\n", "")], "heater")
        .near(&[("swing: 4 °F", "swing: 1 °F")]),
    case("face-check-missing")
        .fires(
            &[("  face_check: {method: pyrometer, accuracy: 3 °F}\n", "")],
            "heater",
        )
        .near(&[(", accuracy: 3 °F", "")]),
    case("face-check-one-sided")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "indicating stick, melts: 500 °F",
            )],
            "indicating stick",
        )
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 492 °F, stays_solid: 508 °F",
        )]),
    case("stick-misses-the-window")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "two indicating sticks, melts: 475 °F, stays_solid: 508 °F",
            )],
            "475 °F",
        )
        .saying("15 °F below the window")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 490 °F, stays_solid: 510 °F",
        )]),
    case("stick-misses-the-window")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "two indicating sticks, melts: 490 °F, stays_solid: 525 °F",
            )],
            "525 °F",
        )
        .saying("15 °F above the window")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 495 °F, stays_solid: 505 °F",
        )]),
    case("stick-misses-the-window")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "two indicating sticks, melts: 506 °F, stays_solid: 494 °F",
            )],
            "506 °F",
        )
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 494 °F, stays_solid: 506 °F",
        )]),
    case("stick-misses-the-window")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "two indicating sticks, melts: 500 °F, stays_solid: 500.0 °F",
            )],
            "500 °F",
        )
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 499 °F, stays_solid: 500 °F",
        )]),
    // The window of 490 to 510 °F is 254.4 to 265.6 °C. A stick good to 1 % proves it
    // from 258 °C (255.42 °C) and up to 262 °C (264.62 °C).
    case("stick-misses-the-window")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "two indicating sticks, melts: 250 °C, stays_solid: 265 °C",
            )],
            "250 °C",
        )
        .saying("use a stick rated 258 °C, or the next rating up")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 255 °C, stays_solid: 265 °C",
        )]),
    case("stick-misses-the-window")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "two indicating sticks, melts: 255 °C, stays_solid: 270 °C",
            )],
            "270 °C",
        )
        .saying("use a stick rated 262 °C, or the next rating down")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 255 °C, stays_solid: 265 °C",
        )]),
    // A stick good to 5 °F that is rated 494 °F may melt at 489 °F.
    case("stick-too-coarse")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "two indicating sticks, melts: 494 °F, stays_solid: 505 °F, accuracy: 5 °F",
            )],
            "494 °F",
        )
        .saying("1 °F below the window")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 495 °F, stays_solid: 505 °F, accuracy: 5 °F",
        )]),
    // Without an accuracy 1 % of the rating counts: 5.05 °F of 505 °F.
    case("stick-too-coarse")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "two indicating sticks, melts: 495 °F, stays_solid: 505 °F",
            )],
            "505 °F",
        )
        .saying("above the window")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 495 °F, stays_solid: 504 °F",
        )]),
    case("pyrometer-accuracy-unknown")
        .fires(&[(", accuracy: 3 °F", "")], "pyrometer")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "indicating stick, melts: 500 °F",
        )]),
    // One stick is held against the window as two are.
    case("stick-misses-the-window")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "indicating stick, melts: 525 °F",
            )],
            "525 °F",
        )
        .saying("melts only on a face 15 °F above the window")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "indicating stick, melts: 500 °F",
        )]),
    case("stick-misses-the-window")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "indicating stick, melts: 450 °F",
            )],
            "450 °F",
        )
        .saying("use a stick rated 495 °F, or the next rating up")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "indicating stick, melts: 495 °F",
        )]),
    case("stick-too-coarse")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "indicating stick, melts: 494 °F",
            )],
            "494 °F",
        )
        .saying("may melt on a face 0.9 °F below the window")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "indicating stick, melts: 495 °F",
        )]),
    // The window is 20 °F wide: no stick good to 15 °F proves one side of it and
    // lets the faces of 496 to 504 °F pass.
    case("stick-too-coarse")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "indicating stick, melts: 500 °F, accuracy: 15 °F",
            )],
            "500 °F",
        )
        .saying("no stick of this accuracy proves the window")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "indicating stick, melts: 500 °F, accuracy: 6 °F",
        )]),
    case("stick-beyond-faces")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "indicating stick, melts: 505 °F",
            )],
            "505 °F",
        )
        .saying("does not melt on any face that the settings give: the hottest is 1 °F from it")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "indicating stick, melts: 504 °F",
        )]),
    case("stick-beyond-faces")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "two indicating sticks, melts: 493 °F, stays_solid: 495 °F, accuracy: 2 °F",
            )],
            "495 °F",
        )
        .saying("melts on any face that the settings give: the coldest is 1 °F from it")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 493 °F, stays_solid: 496 °F, accuracy: 2 °F",
        )]),
    case("stick-near-faces")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "indicating stick, melts: 500 °F",
            )],
            "500 °F",
        )
        .saying("may stay solid on a face at 496 °F")
        .near(&[(
            "pyrometer, accuracy: 3 °F",
            "two indicating sticks, melts: 493 °F, stays_solid: 507 °F, accuracy: 3 °F",
        )]),
    case("stick-near-faces")
        .fires(
            &[(
                "pyrometer, accuracy: 3 °F",
                "two indicating sticks, melts: 493 °F, stays_solid: 506 °F, accuracy: 3 °F",
            )],
            "506 °F",
        )
        .saying("may melt on a face at 504 °F")
        .near(&[("pyrometer, accuracy: 3 °F", "pyrometer, accuracy: 4 °F")]),
    // A set point that the check can prove is advised before one that it cannot.
    case("face-outside-window")
        .fires(
            &[
                ("set_point: 500 °F", "set_point: 508 °F"),
                ("accuracy: 3 °F", "accuracy: 7 °F"),
            ],
            "508 °F",
        )
        .saying("and the check then has to be accurate to ±6 °F or better")
        .near(&[("set_point: 500 °F", "set_point: 506 °F")]),
    // Of the neighbors only the one that keeps the face in the window is named.
    case("set-point-not-reachable")
        .fires(
            &[
                ("set_point: 500 °F", "set_point: 505 °F"),
                ("step: 2 °F", "step: 10 °F"),
            ],
            "505 °F",
        )
        .saying("the nearest it can be set to is 500 °F")
        .near(&[("step: 2 °F", "step: 10 °F")]),
    case("set-point-not-reachable")
        .fires(
            &[
                ("set_point: 500 °F", "set_point: 494 °F"),
                ("step: 2 °F", "step: 15 °F"),
            ],
            "494 °F",
        )
        .saying("the nearest it can be set to is 495 °F")
        .near(&[("step: 2 °F", "step: 10 °F")]),
];
