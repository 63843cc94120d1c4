//! The schema of a spec, group by group as `src/spec` reads it.

mod equipment;
mod fittings;
mod papers;
mod qualification;
mod scope;
mod times;

use super::field::{Value, group, list, may, must, stated};
use super::values::{
    counting_number, date, format_one, length, procedure_number, text, text_like, word,
};
use crate::spec::decode::{PRACTICES, SERVICES, STATUSES};
use crate::spec::plausible;

/// Where somebody has a figure from.
fn source() -> Value {
    text("As in “Operations Manual 4.6” or “caliper, 2026-08-11”.")
}

/// A spec.
pub(super) fn spec() -> Value {
    group([
        must(
            "coldring",
            "The number of the format: write 1.",
            format_one(),
        ),
        must(
            "procedure",
            "What the procedure is called, who issues it and where it stands.",
            procedure(),
        ),
        may(
            "references",
            "Documents of your own that the crew needs, printed as they are written.",
            "none are named.",
            list(text_like("Operations Manual, section 4")),
        ),
        must(
            "scope",
            "The pipe that the procedure covers: resin, sizes, walls and temperature.",
            scope::scope(),
        ),
        must(
            "fittings",
            "The fittings that the procedure covers.",
            fittings::fittings(),
        ),
        must(
            "heater",
            "The heater, its settings, how its faces are checked, and its adapters.",
            equipment::heater(),
        ),
        must(
            "tools",
            "The hand tools on the truck: depth gauges, cold rings, cutter, machine.",
            equipment::tools(),
        ),
        may(
            "cleaning",
            "What pipe end and socket are wiped with.",
            "the papers cannot say, and a finding tells so.",
            equipment::cleaning(),
        ),
        must(
            "cycles",
            "Times. What is left out is the published time, where there is one.",
            times::cycles(),
        ),
        may(
            "cold_weather",
            "How heating is lengthened when the pipe is cold. Write {} where nothing of it is your \
             own.",
            "an error where pipe_temperature reaches below what the published times are for.",
            times::cold_weather(),
        ),
        may(
            "least_wall",
            "The thinnest wall that your organization fuses.",
            "only the tables limit the wall.",
            stated(length(&plausible::WALL), source()),
        ),
        may(
            "qualification",
            "How procedure and fusers are qualified, and the records that prove it.",
            "nothing is said; a procedure for gas has to.",
            qualification::qualification(),
        ),
        may(
            "figures",
            "Figures of the tables that somebody has read again in an edition.",
            "they keep the standing they have in the tables.",
            qualification::figures(),
        ),
        may(
            "documents",
            "Paper, language, strips and cards.",
            "the usual paper of the practice, in English.",
            papers::documents(),
        ),
    ])
}

fn procedure() -> Value {
    group([
        must(
            "number",
            "The number of the procedure, which also names the folder of its papers.",
            procedure_number(),
        ),
        must(
            "title",
            "What it is of, as the papers are headed.",
            text_like("Socket fusion of PE4710 pipe"),
        ),
        must(
            "organization",
            "Who issues the procedure.",
            text("The name as it stands on your documents."),
        ),
        must(
            "status",
            "Where the procedure stands: draft marks every paper; qualified claims that test \
             joints prove it; withdrawn is no longer to be used.",
            word(STATUSES),
        ),
        must(
            "service",
            "What the pipe carries, which decides whose rules apply.",
            word(SERVICES),
        ),
        must(
            "practice",
            "Whose tables and temperature window rule: us for IPS and CTS sizes, metric for sizes \
             in mm.",
            word(PRACTICES),
        ),
        must(
            "revisions",
            "Every issue, the newest last; the last is the one on the papers.",
            list(revision()).with("minItems", 1),
        ),
    ])
}

fn revision() -> Value {
    group([
        must(
            "revision",
            "The number of the issue.",
            counting_number(&plausible::REVISION),
        ),
        must(
            "date",
            "The day it was issued; it dates the papers.",
            date(),
        ),
        may(
            "effective",
            "The day it comes into force.",
            "the papers say that it is not stated; the day of issue does not tell.",
            date(),
        ),
        may(
            "change",
            "What it changes, for the list of revisions.",
            "the list says nothing.",
            text_like("Adds 1-1/4 and 2 IPS"),
        ),
    ])
}
