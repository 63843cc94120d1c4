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
    case("missing-unit")
        .fires(&[("set_point: 500 °F", "set_point: 500")], "500")
        .saying("write 500 and its unit")
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
    case("not-a-quantity")
        .fires(&[("strength: 91 %", "strength: 100.1 %")], "100.1 %")
        .near(&[("strength: 91 %", "strength: 100 %")]),
    case("not-a-quantity")
        .fires(&[("strength: 91 %", "strength: 0 %")], "0 %")
        .near(&[("strength: 91 %", "strength: 0.1 %")]),
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
