//! How a procedure is proven, and whose reading of a figure holds.

use super::source;
use crate::authoring::schema::field::{Value, either, group, list, may, must, one_or_list};
use crate::authoring::schema::values::{counting_number, date, path, text_like, word};
use crate::spec::decode::{GOVERNS, WIDER_RANGES};
use crate::spec::plausible;

pub(super) fn qualification() -> Value {
    let cited = group([
        must("number", "The number of the record.", text_like("PQ-7")),
        must("date", "The date of the record.", date()),
        must(
            "revision",
            "The revision of the procedure that the joints were made by.",
            counting_number(&plausible::REVISION),
        ),
    ]);
    let record = either([path("records/PQ-7.yaml"), cited]).told(
        "The path of its file from this file's own folder, as in records/PQ-7.yaml; or number, \
         date and revision of a record without its file, which is not evaluated.",
    );
    let range = group([
        must(
            "rule",
            "How far the test joints reach beyond the sizes, walls and pipe temperatures tested.",
            word(WIDER_RANGES),
        ),
        must("source", "Where that rule stands.", source()),
    ]);
    group([
        may(
            "rules",
            "The rules you qualify under, printed as they are written.",
            "none are named; a procedure for gas has to.",
            one_or_list(text_like("49 CFR 192.283")),
        ),
        may(
            "operator_qualification",
            "How your program covers the people who join.",
            "nothing is said; a procedure for gas has to.",
            text_like("OQ plan, covered task 12"),
        ),
        may(
            "records",
            "The records of test joints that prove the procedure.",
            "none, as in a draft; a qualified procedure needs one.",
            list(record),
        ),
        may(
            "range",
            "Rules by which the records reach further.",
            "from the smallest to the largest size tested, down to the thinnest wall tested, and from \
             the coldest to the hottest pipe tested.",
            one_or_list(range),
        ),
    ])
}

pub(super) fn figures() -> Value {
    let governing = group([
        must(
            "figure",
            "The id of the figure, as coldring limits lists it.",
            text_like("us-cycles:high-density:3/4-IPS:heat"),
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
            "The file that says who read what in which edition; coldring confirm SPEC --file \
             starts one.",
            "nobody has read any again.",
            path("read.yaml"),
        ),
        may(
            "governing",
            "Figures that were read otherwise than the tables give them, and which reading holds.",
            "none is; a figure that was read otherwise is then an error.",
            list(governing),
        ),
    ])
}
