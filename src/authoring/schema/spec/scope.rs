//! The pipe that a spec covers.

use super::source;
use crate::authoring::schema::field::{Value, group, keyed, may, must, one_or_more};
use crate::authoring::schema::values::{
    dimension_ratio, length, resin, size, size_range, temperature_range,
};
use crate::spec::plausible;
use serde_json::json;

pub(super) fn scope() -> Value {
    group([
        must(
            "resin",
            "The designation of the resin, from the pipe's print line. Times belong to it.",
            resin(),
        ),
        must(
            "pipe",
            "The sizes and walls covered. Give inch pipe of IPS and of CTS, or of unlike walls, an \
             entry each.",
            one_or_more(pipe()),
        ),
        may(
            "measured",
            "Pipe of the lot on hand, measured, size by size.",
            "the outside diameters of the tables.",
            keyed(size(), measured()),
        ),
        may(
            "pipe_temperature",
            "The pipe temperatures covered, measured on the pipe.",
            "unknown, and a finding tells so.",
            temperature_range(),
        ),
    ])
}

/// Sizes with their walls: by ratio or by length, or one size by both.
fn pipe() -> Value {
    let wanted = "wanted here: dimension_ratio or wall";
    let one = |name| json!({"required": [name], "errorMessage": wanted});
    let together = "a ratio with its wall is for one size: give each size an entry of its own";
    let alone = json!({"maxItems": 1, "errorMessage": together});
    let alone = json!({"sizes": alone, "dimension_ratio": alone, "wall": alone});
    group([
        must("sizes", "The nominal sizes.", one_or_more(size_range())),
        may(
            "dimension_ratio",
            "Outside diameter to least wall (DR, SDR), from the print line.",
            "wall has to be given.",
            one_or_more(dimension_ratio()),
        ),
        may(
            "wall",
            "The minimum wall, where the print line gives that and no ratio, as on tubing; or beside \
             the one ratio of one size, where no wall is published for it.",
            "dimension_ratio has to be given.",
            one_or_more(length(&plausible::WALL)),
        ),
    ])
    .with("anyOf", json!([one("dimension_ratio"), one("wall")]))
    .with("if", json!({"required": ["dimension_ratio", "wall"]}))
    .with("then", json!({"properties": alone}))
}

fn measured() -> Value {
    group([
        may(
            "outside_diameter",
            "The mean outside diameter, by pi tape.",
            "the table's.",
            length(&plausible::DIAMETER),
        ),
        may(
            "out_of_roundness",
            "The greatest less the least diameter of one section.",
            "the table's limit.",
            length(&plausible::OUT_OF_ROUNDNESS),
        ),
        may(
            "source",
            "Who measured it with what, and when.",
            "a finding tells so.",
            source(),
        ),
    ])
}
