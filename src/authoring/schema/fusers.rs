//! The schema of a roster of fusers, written as YAML.

use crate::people::fusers::roster::{FoundBy, SpecimenResult};
use crate::people::fusers::rule_set::{LONGEST_OWN, OWN, PUBLISHED, WORDS};
use crate::spec::plausible;
use crate::spec::schema::values::{
    any_spelling, counting_number, date, format_one, language_code, procedure_number, text,
    text_like, word, word_among,
};
use crate::spec::schema::{Value, either, group, keyed, list, may, must, one_or_list};

/// A roster.
pub(super) fn roster() -> Value {
    group([
        must(
            "coldring-fusers",
            "The number of the format: write 1.",
            format_one(),
        ),
        may(
            "rules",
            "How long a qualification lasts: a rule set for all procedures, or for each. It is \
             chosen, never guessed; coldring limits fuser-rules has each with its source.",
            "the command line chooses.",
            rules(),
        ),
        must(
            "fusers",
            "The people, each badge once.",
            list(fuser()).unlike(),
        ),
    ])
}

fn rules() -> Value {
    group([
        may(
            "default",
            "The rule set of every procedure that has none below.",
            "a procedure that is not named below has no rule set, and nobody's standing under it \
             is told.",
            rule_set(),
        ),
        may(
            "procedures",
            "Rule sets by the number of the procedure.",
            "default is for all.",
            keyed(procedure_number(), "NUMBER", rule_set()),
        ),
        may(
            "revisions",
            "What your organization has decided on specimens made by an earlier revision of a \
             procedure.",
            "a specimen holds for the revision it was made by.",
            list(held_revision()),
        ),
    ])
}

fn held_revision() -> Value {
    group([
        must(
            "procedure",
            "The number of the procedure.",
            procedure_number(),
        ),
        must(
            "made_by",
            "The revision that the specimens were made by.",
            counting_number(&plausible::REVISION),
        ),
        must(
            "holds_for",
            "The later revision that they hold for too.",
            counting_number(&plausible::REVISION),
        ),
        must(
            "source",
            "Where your organization says so.",
            text_like("Operations Manual 7.9"),
        ),
    ])
}

fn rule_set() -> Value {
    let published = || any_spelling(PUBLISHED.iter().map(|(word, _)| *word));
    let months = counting_number(&plausible::MONTHS).with("maximum", LONGEST_OWN);
    let named = group([must("rule", "The rule set.", published())]);
    let own = group([
        must(
            "rule",
            "Your organization's own rule set.",
            word_among(OWN, WORDS),
        ),
        must(
            "months",
            "How many months a qualification lasts from the specimen.",
            months,
        ),
        must(
            "source",
            "Where your organization says so.",
            text_like("Operations Manual 7.9"),
        ),
    ]);
    either([published(), own, named])
        .told("One of the words, or {rule: own, months: …, source: …}.")
}

fn fuser() -> Value {
    let language = language_code();
    group([
        must(
            "name",
            "The name as it is printed on a card.",
            text("First and last name."),
        ),
        must(
            "badge",
            "What your organization tells people apart by.",
            text_like("AF-014"),
        ),
        may(
            "language",
            "The language that the person reads, for their card.",
            "that of the procedure.",
            language,
        ),
        may(
            "qualifications",
            "What is on record, procedure by procedure.",
            "nothing, as for somebody in training.",
            list(qualification()).unlike(),
        ),
    ])
}

fn qualification() -> Value {
    group([
        must(
            "procedure",
            "The number of the procedure.",
            procedure_number(),
        ),
        may(
            "specimen",
            "The specimen joints that were tested.",
            "the person is not qualified.",
            one_or_list(specimen()),
        ),
        may(
            "last_production_joint",
            "The day of the last joint made in production by this procedure.",
            "none is known.",
            date(),
        ),
        may(
            "production_joints",
            "Other days on which joints were made in production by this procedure, as far as a \
             rule set needs them to show that it was used often enough.",
            "none is known.",
            one_or_list(date()),
        ),
        may(
            "certificate",
            "The date of the certificate, for rule sets that need one.",
            "there is none; nobody is qualified by such a rule set then.",
            date(),
        ),
        may(
            "confirmed",
            "The days on which the employer confirmed the certificate.",
            "none did.",
            one_or_list(date()),
        ),
        may(
            "failed_joints",
            "Production joints that were found unacceptable.",
            "none was.",
            list(failed_joint()),
        ),
    ])
}

fn specimen() -> Value {
    group([
        must("date", "The day it was tested.", date()),
        must("result", "What became of it.", word::<SpecimenResult>()),
        may("joint", "Its mark.", "it has none.", text_like("S-31")),
        may(
            "revision",
            "The revision of the procedure that it was made by.",
            "the revision in force on that day.",
            counting_number(&plausible::REVISION),
        ),
        must("record", "Where it is on record.", text_like("FQ-21")),
    ])
}

fn failed_joint() -> Value {
    group([
        must("date", "The day it was found.", date()),
        must(
            "found_by",
            "How it was found: by a test of the pipeline, or by eye.",
            word::<FoundBy>(),
        ),
        may(
            "note",
            "What else to know.",
            "nothing.",
            text("A line of text."),
        ),
    ])
}
