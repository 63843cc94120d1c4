//! Rules about reading a spec.

use super::{BASE, Case, case};

/// Deeper than a spec may be nested, and as deep as one may reasonably be.
const DEEP: &str =
    "note: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[x]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]\n";
const SHALLOW: &str = "note: [[[[[[[[[[[[[[[[[[[[x]]]]]]]]]]]]]]]]]]]]\n";

/// The walls of a spec, and so many that a range of sizes comes to 312 and 300 pairs.
const PIPE: &str = "dimension_ratio: [9, 11]";
const MANY_PIPES: &str = "\
    dimension_ratio: [9, 9.1, 9.2, 9.3, 9.4, 9.5, 9.6, 9.7, 9.8, 9.9, 10, 10.1, \
    10.2, 10.3, 10.4, 10.5, 10.6, 10.7, 10.8, 10.9, 11, 11.1, 11.2, 11.3, 11.4, \
    11.5]";
const FEWER_PIPES: &str = "\
    dimension_ratio: [9, 9.1, 9.2, 9.3, 9.4, 9.5, 9.6, 9.7, 9.8, 9.9, 10, 10.1, \
    10.2, 10.3, 10.4, 10.5, 10.6, 10.7, 10.8, 10.9, 11, 11.1, 11.2, 11.3, 11.4]";

pub static CASES: &[Case] = &[
    case("not-yaml")
        .fires(&[("heater:\n  set_point", "heater:\n\tset_point")], "s")
        .near(&[("  step: 2 °F", "  step: \"2 °F\"")]),
    case("not-yaml")
        .fires(&[("elbow, spigot]", "elbow, spigot")], ":")
        .near(&[("elbow, spigot]", "elbow, spigot,]")]),
    case("not-yaml")
        .fires(&[(BASE, "coldring: 1\n---\nprocedure: 1\n")], "p")
        .saying("two documents")
        .near(&[(BASE, "---\ncoldring: 1\n")]),
    case("spec-too-large")
        .fires(&[(BASE, DEEP)], "[")
        .near(&[(BASE, SHALLOW)]),
    // 26 walls of a range, which is counted as twelve sizes: 312 pairs; and 25, 300.
    case("list-too-long")
        .fires(&[(PIPE, MANY_PIPES)], "scope")
        .saying("312 pairs")
        .near(&[(PIPE, FEWER_PIPES)]),
    case("spec-empty")
        .fires(&[(BASE, "# only a remark\n")], "")
        .near(&[(BASE, "coldring: 1\n")]),
    case("format-version")
        .fires(&[("coldring: 1", "coldring: 2")], "2")
        .near(&[("coldring: 1", "coldring: \"1\"")]),
    case("field-out-of-place")
        .fires(
            &[("  step: 2 °F", "  step: 2 °F\n  trial_step: 3 s")],
            "trial_step",
        )
        .saying("belongs in `cold_weather`")
        .near(&[("  step: 2 °F", "  step: 2 °F\n  # trial_step: 3 s")]),
    case("field-out-of-place")
        .fires(&[("\ncleaning:", "\n  cleaning:")], "cleaning")
        .saying("belongs at the top")
        .near(&[("\ncleaning:", "\n\ncleaning:")]),
    case("duplicate-key")
        .fires(&[("  step: 2 °F", "  step: 2 °F\n  step: 4 °F")], "step")
        .near(&[("  step: 2 °F", "  step: 2 °F\n  # step: 4 °F")]),
    case("duplicate-key")
        .fires(&[("elbow, spigot]", "elbow, spigot, elbow]")], "elbow")
        .saying("'elbow' is given a second time")
        .near(&[("elbow, spigot]", "elbow, spigot, tee]")]),
    // A size spelt in another way is the same size.
    case("duplicate-key")
        .fires(
            &[(
                "1-1/4 IPS: {depth",
                "1¼ IPS: {depth: 0.80 in}\n    1-1/4 IPS: {depth",
            )],
            "1-1/4 IPS",
        )
        .near(&[(
            "1-1/4 IPS: {depth",
            "1-1/4 CTS: {depth: 0.80 in}\n    1-1/4 IPS: {depth",
        )]),
    case("unknown-field")
        .fires(&[("  set_point:", "  setpoint:")], "setpoint")
        .near(&[("  set_point:", "  \"set_point\":")]),
    case("missing-field")
        .fires(&[("  resin: PE4710\n", "")], "scope")
        .near(&[("  pipe_temperature: 40 °F to 110 °F\n", "")]),
    case("missing-field")
        .fires(&[("resin: PE4710", "resin:")], "resin")
        .near(&[("resin: PE4710", "resin: \"PE4710\"")]),
    case("wrong-type")
        .fires(
            &[("kinds: [coupling, elbow, spigot]", "kinds: coupling")],
            "coupling",
        )
        .near(&[("kinds: [coupling, elbow, spigot]", "kinds: [coupling]")]),
    case("wrong-type")
        .fires(&[(BASE, "- coldring: 1\n")], "")
        .saying("the file is a list")
        .near(&[(BASE, "coldring: 1\n")]),
    case("wrong-type")
        .fires(&[("cutter: {largest: 2 IPS}", "cutter: 2 IPS")], "cutter")
        .near(&[("cutter: {largest: 2 IPS}", "cutter: {largest: 3 IPS}")]),
    case("unknown-word")
        .fires(&[("status: qualified", "status: approved")], "approved")
        .near(&[("status: qualified", "status: withdrawn")]),
    case("text-not-printable")
        .fires(
            &[("title: Socket fusion of PE4710 gas pipe", "title: \"\"")],
            "\"\"",
        )
        .near(&[(
            "title: Socket fusion of PE4710 gas pipe",
            "title: \"#import ‘x’ $π$ \\\\\"",
        )]),
    case("text-not-printable")
        .fires(&[("id: G-1", "id: \"G\\u001b1\"")], "\"G\\u001b1\"")
        .saying("follows 'G'")
        .near(&[("id: G-1", "id: \"G µ 1\"")]),
    // Five accents on one letter, and four.
    case("text-not-printable")
        .fires(
            &[(
                "change: First issue",
                "change: First is\u{301}\u{301}\u{301}\u{301}\u{301}sue",
            )],
            "First is\u{301}\u{301}\u{301}\u{301}\u{301}sue",
        )
        .saying("5 accents")
        .near(&[(
            "change: First issue",
            "change: First is\u{301}\u{301}\u{301}\u{301}sue",
        )]),
    case("no-glyph")
        .fires(
            &[("change: First issue", "change: 水 First issue")],
            "水 First issue",
        )
        .saying("U+6C34")
        .near(&[(
            "change: First issue",
            "change: Première édition ≤ Ø 50 Ελλάδα Кровь",
        )]),
    // Escapes are undone before a text is looked at.
    case("no-glyph")
        .fires(
            &[("change: First issue", "change: \"\\u6c34 First issue\"")],
            "\"\\u6c34 First issue\"",
        )
        .saying("U+6C34")
        .near(&[(
            "change: First issue",
            "change: \"\\u2264 \\u00d8 50 First issue\"",
        )]),
    case("blank-left")
        .fires(
            &[("change: First issue", "change: \"\\u2026\"")],
            "\"\\u2026\"",
        )
        .near(&[("change: First issue", "change: \"First issue\\u2026\"")]),
    case("blank-left")
        .fires(&[("change: First issue", "change: …")], "…")
        .near(&[("change: First issue", "change: First issue … and last")]),
    case("example-left")
        .fires(
            &[(
                "organization: Base Line Utility",
                "organization: Your organization",
            )],
            "Your organization",
        )
        .near(&[(
            "organization: Base Line Utility",
            "organization: Your organization of Base Line",
        )]),
    case("number-not-a-file-name")
        .fires(&[("number: BL-SF-7", "number: BL/SF/7")], "BL/SF/7")
        .near(&[("number: BL-SF-7", "number: BL_SF.7")]),
    case("number-not-a-file-name")
        .fires(&[("number: BL-SF-7", "number: com1.x")], "com1.x")
        .near(&[("number: BL-SF-7", "number: common1.x")]),
    case("not-yaml")
        .fires(
            &[("set_point: 500 °F", "set_point:500 °F")],
            "set_point:500 °F",
        )
        .saying("write `set_point: 500 °F`")
        .near(&[("set_point: 500 °F", "set_point:   500 °F")]),
    case("unknown-field")
        .fires(
            &[("cutter: {largest: 2 IPS}", "cutter: {largest:2 IPS}")],
            "largest:2 IPS",
        )
        .saying("put a space after the colon: `largest: 2 IPS`")
        .near(&[("cutter: {largest: 2 IPS}", "cutter: {\"largest\":2 IPS}")]),
    case("unknown-field")
        .fires(
            &[(
                "cutter: {largest: 2 IPS}",
                "cutter: &c {largest: 2 IPS}\n  machine: {<<: *c}",
            )],
            "<<",
        )
        .saying("write out here what it stands for: `largest`")
        .near(&[(
            "cutter: {largest: 2 IPS}",
            "cutter: &c {largest: 2 IPS}\n  machine: *c",
        )]),
    case("missing-field")
        .fires(&[("sizes: 1 IPS to 2 IPS", "sizes: []")], "[")
        .saying("names no size")
        .near(&[("sizes: 1 IPS to 2 IPS", "sizes: [1 IPS to 2 IPS]")]),
    case("wrong-type")
        .fires(
            &[("kinds: [coupling, elbow, spigot]", "kinds: coupling, elbow")],
            "coupling, elbow",
        )
        .saying("write [coupling, elbow]")
        .near(&[(
            "kinds: [coupling, elbow, spigot]",
            "kinds: [Coupling, Elbow]",
        )]),
    case("not-a-date")
        .fires(&[("date: 2026-06-01", "date: 6/1/2026")], "6/1/2026")
        .saying("2026-06-01 or 2026-01-06")
        .near(&[("date: 2026-06-01", "date: '2026-06-01'")]),
    case("wrong-unit")
        .fires(&[("width: 0.62 in", "width: 620 mil")], "620 mil")
        .saying("a millimeter to others")
        .near(&[("width: 0.62 in", "width: 0.62 in.")]),
    case("not-a-quantity")
        .fires(&[("width: 0.62 in", "width: \"1,062 in\"")], "\"1,062 in\"")
        .saying("1.062 in")
        .near(&[("width: 0.62 in", "width: 1.575 cm")]),
    case("not-a-size")
        .fires(&[("largest: 2 IPS", "largest: 2.375 IPS")], "2.375 IPS")
        .saying("the nominal size, not the outside diameter")
        .near(&[("largest: 2 IPS", "largest: 2.0\" IPS")]),
    case("unknown-word")
        .fires(
            &[("method: pyrometer", "method: thermometer")],
            "thermometer",
        )
        .saying("use one of: pyrometer, indicating stick")
        .near(&[("method: pyrometer", "method: Pyrometer")]),
    case("missing-unit")
        .fires(&[("set_point: 500 °F", "set_point: 500")], "500")
        .saying("write 500 °F")
        .near(&[("set_point: 500 °F", "set_point: 500F")]),
    case("unknown-field")
        .fires(&[("dimension_ratio: [9, 11]", "sdr: [9, 11]")], "sdr")
        .saying("did you mean `dimension_ratio`?")
        .near(&[(
            "dimension_ratio: [9, 11]",
            "dimension_ratio: [SDR 9, SDR 11]",
        )]),
    case("unknown-field")
        .fires(&[("coldring: 1", "coldring: 1\nnotes:")], "notes")
        .saying("it has: coldring, procedure, references,")
        .near(&[("coldring: 1", "# notes:\ncoldring: 1")]),
    case("unknown-field")
        .fires(&[("change: First issue", "change: First, issue")], "issue")
        .saying("a text with a comma in it is put in quotes")
        .near(&[("change: First issue", "change: \"First, issue\"")]),
    case("not-a-size")
        .fires(
            &[("sizes: 1 IPS to 2 IPS", "sizes: \"1 IPS, 2 IPS\"")],
            "\"1 IPS, 2 IPS\"",
        )
        .saying("in brackets: [1 IPS, 2 IPS]")
        .near(&[(
            "sizes: 1 IPS to 2 IPS",
            "sizes: [1 IPS, 1-1/4 IPS, 1-1/2 IPS, 2 IPS]",
        )]),
    case("wrong-unit")
        .fires(&[("0.71 in", "0.71 s")], "0.71 s")
        .near(&[("0.71 in", "18 mm")]),
    case("not-a-quantity")
        .fires(&[("set_point: 500 °F", "set_point: hot")], "hot")
        .near(&[("set_point: 500 °F", "set_point: +500.0 °F")]),
    case("not-a-quantity")
        .fires(
            &[
                ("0.71 in", "0,71 in"),
                ("{depth: 0,71 in", "{depth: \"0,71 in\""),
            ],
            "\"0,71 in\"",
        )
        .saying("a point in a spec, whatever the papers print: 0.71 in")
        .near(&[("0.71 in", "0.710 in")]),
    case("not-a-quantity")
        .fires(&[("18 to 20 s", "20 to 18 s")], "20 to 18 s")
        .near(&[("18 to 20 s", "20 to 20 s")]),
    case("implausible-value")
        .fires(&[("strength: 91 %", "strength: 100.1 %")], "100.1 %")
        .near(&[("strength: 91 %", "strength: 100 %")]),
    case("implausible-value")
        .fires(&[("strength: 91 %", "strength: 9.1 %")], "9.1 %")
        .saying("did you mean 91 %")
        .near(&[("strength: 91 %", "strength: 50 %")]),
    case("implausible-value")
        .fires(&[("0.71 in", "18 in")], "18 in")
        .saying("did you mean 18 mm")
        .near(&[("0.71 in", "18 mm")]),
    case("implausible-value")
        .fires(&[("0.71 in", "7.1 in")], "7.1 in")
        .saying("or 0.71 in?")
        .near(&[("0.71 in", "3 in")]),
    // A scale in place of the other.
    case("implausible-value")
        .fires(&[("set_point: 500 °F", "set_point: 260 °F")], "260 °F")
        .saying("did you mean 260 °C?")
        .near(&[("set_point: 500 °F", "set_point: 260 °C")]),
    case("implausible-value")
        .fires(&[("set_point: 500 °F", "set_point: 576 °F")], "576 °F")
        .saying("this program takes 400 °F to 575 °F")
        .near(&[("set_point: 500 °F", "set_point: 575 °F")]),
    // The temperature of the face in the place of its offset.
    case("implausible-value")
        .fires(&[("face_offset: 0 °F", "face_offset: 500 °F")], "500 °F")
        .saying("write face minus display")
        .near(&[("face_offset: 0 °F", "face_offset: 40 °F")]),
    // None at all would silence a check.
    case("implausible-value")
        .fires(&[("step: 2 °F", "step: 0 °F")], "0 °F")
        .saying("leave the line out where it is not known")
        .near(&[("step: 2 °F", "step: 0.1 °F")]),
    case("implausible-value")
        .fires(&[("swing: 4 °F", "swing: 0 °F")], "0 °F")
        .near(&[("swing: 4 °F", "swing: 0.5 °F")]),
    case("implausible-value")
        .fires(&[("accuracy: 3 °F", "accuracy: 0 °F")], "0 °F")
        .near(&[("accuracy: 3 °F", "accuracy: 0.5 °F")]),
    case("implausible-value")
        .fires(
            &[("40 °F to 110 °F", "40 °F to 1100 °F")],
            "40 °F to 1100 °F",
        )
        .near(&[("40 °F to 110 °F", "40 °F to 140 °F")]),
    // Both ends have one unit, so both are told with the other.
    case("implausible-value")
        .fires(&[("40 °F to 110 °F", "4 to 110 °C")], "4 to 110 °C")
        .saying("did you mean 4 to 110 °F")
        .near(&[("40 °F to 110 °F", "4 to 43 °C")]),
    case("implausible-value")
        .fires(&[("hold: 65 s", "hold: 65 min")], "65 min")
        .saying("did you mean 65 s")
        .near(&[("hold: 65 s", "hold: 15 min")]),
    case("implausible-value")
        .fires(&[("value: 6 min", "value: 6 s")], "6 s")
        .saying("did you mean 6 min")
        .near(&[("value: 6 min", "value: 3 h")]),
    case("implausible-value")
        .fires(&[("value: 3 s", "value: 30 s")], "30 s")
        .saying("did you mean 3 s")
        .near(&[("value: 3 s", "value: 20 s")]),
    case("implausible-value")
        .fires(&[("value: 30 min", "value: 30 s")], "30 s")
        .saying("did you mean 30 min")
        .near(&[("value: 30 min", "value: 24 h")]),
    case("implausible-value")
        .fires(
            &[(
                "least_wall:",
                "cold_weather: {trial_step: 3 min}\nleast_wall:",
            )],
            "3 min",
        )
        .near(&[(
            "least_wall:",
            "cold_weather: {trial_step: 10 s}\nleast_wall:",
        )]),
    case("implausible-value")
        .fires(&[("value: 0.075 in", "value: 0.075 mm")], "0.075 mm")
        .saying("did you mean 0.075 in")
        .near(&[("value: 0.075 in", "value: 0.025 in")]),
    case("implausible-value")
        .fires(&[("thickness: 0.4 mm", "thickness: 4 mm")], "4 mm")
        .near(&[("thickness: 0.4 mm", "thickness: 0.5 mm")]),
    case("implausible-value")
        .fires(&[("width: 0.62 in", "width: 6.2 in")], "6.2 in")
        .near(&[("width: 0.62 in", "width: 0.60 in")]),
    case("implausible-value")
        .fires(&[("1.60 in", "16.0 in")], "16.0 in")
        .near(&[("1.60 in", "8 in")]),
    case("implausible-value")
        .fires(&[("[9, 11]", "[9, 110]")], "110")
        .saying("this program takes 5 to 33")
        .near(&[("[9, 11]", "[9, 33]")]),
    case("implausible-value")
        .fires(&[("[9, 11]", "[3.5, 11]")], "3.5")
        .near(&[("[9, 11]", "[5, 11]")]),
    case("implausible-value")
        .fires(&[("date: 2026-06-01", "date: 1026-06-01")], "1026-06-01")
        .saying("check the digits of the year")
        .near(&[("date: 2026-06-01", "date: 1970-01-01")]),
    case("implausible-value")
        .fires(
            &[("effective: 2026-10-01", "effective: 2106-10-01")],
            "2106-10-01",
        )
        .near(&[("effective: 2026-10-01", "effective: 2049-12-31")]),
    case("implausible-value")
        .fires(
            &[(
                "revision: 2, date: 2026-09-01",
                "revision: 2026, date: 2026-09-01",
            )],
            "2026",
        )
        .near(&[(
            "revision: 2, date: 2026-09-01",
            "revision: 999, date: 2026-09-01",
        )]),
    // A pipe series is half of the ratio less one.
    case("not-a-quantity")
        .fires(&[("[9, 11]", "[9, S 8]")], "S 8")
        .saying("write SDR 17: the ratio is 2 S + 1")
        .near(&[("[9, 11]", "[9, SDR-17]")]),
    case("not-a-quantity")
        .fires(&[("[9, 11]", "[9, RD 11]")], "RD 11")
        .saying("only a number, DR or SDR is read")
        .near(&[("[9, 11]", "[9, dr11]")]),
    case("not-a-quantity")
        .fires(&[("[9, 11]", "[9, D 11]")], "D 11")
        .near(&[("[9, 11]", "[9, sdr 11]")]),
    case("not-a-size")
        .fires(&[("largest: 2 IPS", "largest: 2")], "2")
        .near(&[("largest: 2 IPS", "largest: 2 CTS")]),
    case("not-a-date")
        .fires(&[("date: 2026-06-01", "date: 06/01/2026")], "06/01/2026")
        .near(&[("date: 2026-06-01", "date: 2024-02-29")]),
    case("not-a-date")
        .fires(&[("date: 2026-06-01", "date: 2026-02-29")], "2026-02-29")
        .near(&[("date: 2026-06-01", "date: \"2026-06-01\"")]),
    case("mixed-size-systems")
        .fires(
            &[("sizes: 1 IPS to 2 IPS", "sizes: 1/2 CTS to 2 IPS")],
            "1/2 CTS to 2 IPS",
        )
        .near(&[("sizes: 1 IPS to 2 IPS", "sizes: [1/2 CTS, 1 to 2 IPS]")]),
    case("file-not-read")
        .fires(
            &[(
                "least_wall:",
                "figures: {confirmations: read.yaml}\nleast_wall:",
            )],
            "read.yaml",
        )
        .saying("was not handed over")
        .near(&[("least_wall:", "figures: {governing: []}\nleast_wall:")]),
];
