//! The schema of a record of test joints.

use crate::spec::plausible;
use crate::spec::record::decode::Kind;
use crate::spec::record::{FailedAt, Partner, Witnessed};
use crate::spec::schema::values::{
    count, counting_number, date, dimension_ratio, duration, format_one, length, names, percent,
    pressure, procedure_number, resin, size, temperature, text, text_like, weather, word,
    word_among,
};
use crate::spec::schema::{Declared, Value, either, group, list, may, must};
use crate::spec::words::Word;

/// A record.
pub(super) fn record() -> Value {
    group([
        must(
            "coldring-record",
            "The number of the format: write 1.",
            format_one(),
        ),
        must("number", "The number of the record.", text_like("PQ-7")),
        must("date", "The date of the record.", date()),
        must(
            "procedure",
            "The number of the procedure whose settings the joints were made with.",
            procedure_number(),
        ),
        must(
            "revision",
            "The revision of that procedure.",
            counting_number(&plausible::REVISION),
        ),
        must("witness", "Who saw the tests.", text("A name.")),
        must(
            "laboratory",
            "Who made the tests.",
            text("The name of the laboratory, or your own."),
        ),
        must(
            "joints",
            "The test joints, each once.",
            list(joint()).unlike(),
        ),
    ])
}

fn joint() -> Value {
    let wall = either([length(&plausible::WALL), dimension_ratio()])
        .told("A length with its unit, as in 0.120 in, or a dimension ratio, as in 11.");
    let resin = either([resin(), text("")]).told("As in PE4710.");
    group([
        must("id", "The mark on the joint.", text_like("T-1a")),
        must("date", "The day it was made.", date()),
        must("operator", "Who made it.", text("A name.")),
        must("size", "The size of the pipe.", size()),
        must(
            "wall",
            "The wall of the pipe: as measured, or the ratio of its print line.",
            wall,
        ),
        must(
            "resin",
            "The designation of the resin, from the print line.",
            resin,
        ),
        must("pipe", "Maker and lot of the pipe.", part("pipe")),
        must("fitting", "Maker and lot of the fitting.", part("fitting")),
        must(
            "partner",
            "What was joined to the fitting's socket: a pipe end (socket), or the spigot end of a \
             fitting (spigot).",
            word::<Partner>(),
        ),
        must("heater", "The mark of the heater.", text_like("H-2")),
        must("gauge", "The mark of the depth gauge.", text_like("G-1")),
        must(
            "pyrometer",
            "The instrument that the faces were measured with.",
            group([
                must("id", "Its mark.", text_like("P-3")),
                must("calibrated", "The day it was calibrated last.", date()),
                may(
                    "due",
                    "The day it has to be calibrated again; it is good through that day.",
                    "Not held against the day of the joint.",
                    date(),
                ),
            ]),
        ),
        must(
            "pipe_temperature",
            "The temperature of the pipe, measured on it.",
            weather(),
        ),
        must(
            "ambient_temperature",
            "The temperature of the air.",
            weather(),
        ),
        must(
            "face_temperatures",
            "What the pyrometer read on the two adapter faces.",
            group([
                must(
                    "pipe_adapter",
                    "On the adapter that heats the pipe.",
                    temperature(&plausible::FACE),
                ),
                must(
                    "fitting_adapter",
                    "On the adapter that heats the fitting.",
                    temperature(&plausible::FACE),
                ),
            ]),
        ),
        must(
            "gauge_depth",
            "The depth that the gauge set.",
            length(&plausible::DEPTH),
        ),
        must(
            "heating",
            "How long both parts were heated, from fully on the adapters.",
            duration(&plausible::HEATING),
        ),
        must(
            "change_over",
            "From heater off to fully joined.",
            duration(&plausible::CHANGE_OVER),
        ),
        must(
            "hold",
            "How long the joint was held still, from fully joined.",
            duration(&plausible::HOLD),
        ),
        must(
            "visual",
            "What the witness says of it by eye.",
            word::<Witnessed>(),
        ),
        may(
            "tests",
            "The destructive tests of this joint.",
            "none was made, and the joint proves nothing.",
            list(test()),
        ),
    ])
}

fn part(what: &str) -> Value {
    group([
        must("maker", format!("Who made the {what}."), text("A name.")),
        must(
            "lot",
            format!("The lot of the {what}, from its print line or label."),
            text("As it is printed."),
        ),
    ])
}

/// A test: the fields of its kind.
fn test() -> Value {
    either(Kind::WORDS.iter().map(|(name, kind)| {
        let kind_of_test = must(
            "kind",
            "What was done to the joint.",
            word_among(name, names::<Kind>()),
        );
        let result = must(
            "result",
            "What the witness says of it.",
            word::<Witnessed>(),
        );
        let figures = figures(*kind).into_iter();
        group([kind_of_test].into_iter().chain(figures).chain([result]))
    }))
}

fn figures(kind: Kind) -> Vec<Declared> {
    match kind {
        Kind::Straps => vec![
            must(
                "straps",
                "How many straps were cut from the joint.",
                count(&plausible::STRAPS),
            ),
            must(
                "with_voids",
                "On how many of them the cut faces show voids.",
                count(&plausible::STRAPS),
            ),
            must(
                "failed_in_joint",
                "How many of them failed, beginning in the joint.",
                count(&plausible::STRAPS),
            ),
        ],
        Kind::Tensile => vec![
            must(
                "elongation",
                "How much longer it became.",
                percent(&plausible::ELONGATION),
            ),
            must("failure", "Where it failed.", word::<FailedAt>()),
            criterion([must(
                "at_least",
                "The least elongation of a specimen that does not fail outside the joint.",
                percent(&plausible::ELONGATION),
            )]),
        ],
        Kind::Burst => vec![
            must(
                "pressure",
                "The pressure it burst at.",
                pressure(&plausible::TEST_PRESSURE),
            ),
            criterion([must(
                "at_least",
                "The least pressure it must reach.",
                pressure(&plausible::TEST_PRESSURE),
            )]),
        ],
        Kind::Sustained => vec![
            must(
                "pressure",
                "The pressure it was held at.",
                pressure(&plausible::TEST_PRESSURE),
            ),
            must("time", "For how long.", duration(&plausible::TEST_TIME)),
            must(
                "failed",
                "Whether it failed or leaked in that time.",
                word::<bool>(),
            ),
            criterion([
                must(
                    "pressure",
                    "The least pressure.",
                    pressure(&plausible::TEST_PRESSURE),
                ),
                must("time", "The least time.", duration(&plausible::TEST_TIME)),
            ]),
        ],
        Kind::Crush => vec![
            must(
                "separated",
                "How much of the joint's length came apart.",
                percent(&plausible::SHARE),
            ),
            criterion([must(
                "at_most",
                "The most that may.",
                percent(&plausible::SHARE),
            )]),
        ],
    }
}

/// What the test is held against.
fn criterion(limits: impl IntoIterator<Item = Declared>) -> Declared {
    let source = must(
        "source",
        "Where that limit stands.",
        text_like("Qualification plan 3.2"),
    );
    may(
        "criterion",
        "The limit the test is held against.",
        "nothing tells whether it passed, and the test does not count.",
        group(limits.into_iter().chain([source])),
    )
}
