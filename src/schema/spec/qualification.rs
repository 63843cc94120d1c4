//! How a procedure is proven, and whose reading of a figure holds.

use super::source;
use crate::schema::field::{Value, either, group, list, may, must, one_or_list};
use crate::schema::values::{counting_number, date, path, text, word};
use crate::spec::decode::{GOVERNS, WIDER_RANGES};

pub(super) fn qualification() -> Value {
    let cited = group([
        must("number", "The number of the record.", text("As in PQ-7.")),
        must("date", "The date of the record.", date()),
        must(
            "revision",
            "The revision of the procedure that the joints were made by.",
            counting_number(),
        ),
    ]);
    let record = either([
        path("As in records/PQ-7.yaml."),
        cited.told("A record that is cited without its file, which is not evaluated."),
    ]);
    let range = group([
        must(
            "rule",
            "How far the test joints reach beyond the sizes and walls tested.",
            word(WIDER_RANGES),
        ),
        must("source", "Where that rule stands.", source()),
    ]);
    group([
        may(
            "rules",
            "The rules you qualify under, printed as they are written.",
            one_or_list(text("As in 49 CFR 192.283.")),
        ),
        may(
            "operator_qualification",
            "How your program covers the people who join. A procedure for gas has to say.",
            text("As in OQ plan, covered task 12."),
        ),
        may(
            "records",
            "The records of test joints that prove the procedure. A qualified procedure needs at least one.",
            list(record),
        ),
        may(
            "range",
            "Rules by which the records reach further. Left out: from the smallest to the largest size tested, down to the thinnest wall tested.",
            one_or_list(range),
        ),
    ])
}

pub(super) fn figures() -> Value {
    let governing = group([
        must(
            "figure",
            "The id of the figure, as coldring limits lists it.",
            text("As in us-cycles:high-density:3/4-IPS:heat."),
        ),
        must(
            "governs",
            "Whose reading holds: that of the edition on hand, or that of the tables.",
            word(GOVERNS),
        ),
    ]);
    group([
        may(
            "confirmations",
            "The file that says who read what in which edition; coldring confirm SPEC --file starts one.",
            path("As in read.yaml."),
        ),
        may(
            "governing",
            "Figures that were read otherwise than the tables give them, and which reading holds.",
            list(governing),
        ),
    ])
}
