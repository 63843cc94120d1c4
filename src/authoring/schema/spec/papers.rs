//! How the papers are made.

use crate::authoring::schema::field::{Value, group, list, may, must, one_or};
use crate::authoring::schema::values::{counting_number, length, word};
use crate::spec::PAPERS;
use crate::spec::card::{FLIPS, MOST_COPIES, TRIMS};
use crate::spec::decode::{LONG_STRIPS, STRIP_USES};
use crate::spec::language::Language;
use crate::spec::plausible;
use crate::spec::words::YES_NO;

pub(super) fn documents() -> Value {
    group([
        may(
            "paper",
            "The paper.",
            "that of the house style, or letter for US practice and a4 for metric.",
            word(PAPERS),
        ),
        may(
            "languages",
            "The languages of the papers, one or two; with two, a card has one on each side.",
            "English.",
            languages(),
        ),
        may(
            "text_language",
            "The language that your own texts are in, for programs that read papers aloud.",
            "that of each paper.",
            word(Language::TAGS),
        ),
        may("strips", "The depth-mark strips.", "bare paper.", strips()),
        may(
            "card",
            "The pocket cards.",
            "the smallest that hold their lines, printed on both sides.",
            card(),
        ),
    ])
}

fn languages() -> Value {
    let several = list(word(Language::TAGS)).with("minItems", 1).unlike();
    one_or(word(Language::TAGS), several)
}

fn strips() -> Value {
    group([
        must(
            "use",
            "What becomes of the printed paper, which decides how thick the strip is.",
            word(STRIP_USES),
        ),
        may(
            "thickness",
            "The thickness of the strip as used, measured.",
            "that of paper; for a label or a laminate it is needed.",
            length(&plausible::STOCK),
        ),
        may(
            "long",
            "What becomes of a strip that is too long for the paper.",
            "two pieces.",
            word(LONG_STRIPS),
        ),
    ])
}

fn card() -> Value {
    let copies = counting_number(&plausible::COPIES).with("maximum", MOST_COPIES);
    group([
        may(
            "trim",
            "The size the cards are cut to.",
            "the smallest that holds the lines at readable sizes.",
            word(TRIMS),
        ),
        may(
            "flip",
            "How the back gets behind the front: printed on both sides and turned on an edge, or \
             folded.",
            "long edge.",
            word(FLIPS),
        ),
        may(
            "lanyard",
            "Whether there is a place to punch a slot for a lanyard.",
            "no.",
            word(YES_NO),
        ),
        may(
            "copies",
            format!("How many cards, up to {MOST_COPIES}."),
            "as many as a sheet holds.",
            copies,
        ),
    ])
}
