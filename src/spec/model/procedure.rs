//! The whole spec. The fields of `procedure` and of `scope` stand in the struct of the
//! spec itself.

use chrono::NaiveDate;

use super::{
    Cleaning, ColdWeather, Cycles, Documents, Figures, Fittings, Heater, MeasuredPipe, OwnRules,
    PipeClaim, Practice, Qualification, Tools, few_enough,
};
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::{Length, Range, Temperature};
use crate::process::socket::practice::{METRIC, US};
use crate::spec::declare::kinds::{
    counting_number, date, length, procedure_number, resin, text, text_like, weather_range, word,
};
use crate::spec::declare::{
    Inner, by_size, checked, group, list, nested, one_or_list, optional, optional_group,
    optional_list, place, required, stated, within,
};
use crate::spec::fact::Of;
use crate::spec::plausible;
use crate::spec::words::Word;
use crate::spec::written::{Stated, Written};

/// Where a procedure stands in its life.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Status {
    /// Being written; every paper says so.
    Draft,
    /// Claimed to be proven by test joints.
    Qualified,
    /// No longer to be used.
    Withdrawn,
}

impl Status {
    /// The word in the spec.
    pub const fn word(self) -> &'static str {
        match self {
            Status::Draft => "draft",
            Status::Qualified => "qualified",
            Status::Withdrawn => "withdrawn",
        }
    }
}

impl Word for Status {
    const WORDS: &'static [(&'static str, Self)] = &[
        (Status::Draft.word(), Status::Draft),
        (Status::Qualified.word(), Status::Qualified),
        (Status::Withdrawn.word(), Status::Withdrawn),
    ];
}

/// What the pipe carries, which decides whose rules apply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, clap::ValueEnum)]
pub enum Service {
    /// Fuel gas.
    Gas,
    /// Water under pressure.
    Water,
    /// Ground-source loops.
    Geothermal,
    /// Plant piping.
    Industrial,
}

impl Service {
    /// The word for it in a spec.
    pub const fn word(self) -> &'static str {
        match self {
            Service::Gas => "gas",
            Service::Water => "water",
            Service::Geothermal => "geothermal",
            Service::Industrial => "industrial",
        }
    }
}

impl Word for Service {
    const WORDS: &'static [(&'static str, Self)] = &[
        (Service::Gas.word(), Service::Gas),
        (Service::Water.word(), Service::Water),
        (Service::Geothermal.word(), Service::Geothermal),
        (Service::Industrial.word(), Service::Industrial),
    ];
}

impl Word for &'static Practice {
    const WORDS: &'static [(&'static str, Self)] = &[("us", &US), ("metric", &METRIC)];
}

group! {
    /// A revision of the procedure.
    pub struct Revision written {
        /// The number of the issue.
        number as "revision": Spanned<u32> = required(counting_number(&plausible::REVISION)),
        /// The day it was issued; it dates the papers.
        date: Spanned<NaiveDate> = required(date()).fact("revision"),
        /// The day it takes effect.
        effective: Option<Spanned<NaiveDate>> = optional(
            date(),
            "the papers say the effective date is not stated.",
        ).fact("effective"),
        /// What it changes, printed in the list of revisions.
        change: Option<Spanned<String>> =
            optional(text_like("Adds 1-1/4 and 2 IPS"), "the list has no text for \
                it.").fact("revision-change"),
    }
}

static PROCEDURE: Inner = Inner {
    name: "procedure",
    about: "Number, title, issuer and status of the procedure.",
};

static SCOPE: Inner = Inner {
    name: "scope",
    about: "The pipe that the procedure covers: resin, sizes, walls and temperature.",
};

group! {
    /// A whole spec.
    pub struct Spec written {
        /// The number of the procedure, which also names the folder of its papers.
        number: Spanned<String> = within(&PROCEDURE, required(procedure_number())),
        /// Title printed at the top of every paper.
        title: Spanned<String> = within(
            &PROCEDURE,
            required(text_like("Socket fusion of PE4710 pipe")).fact("title"),
        ),
        /// Who issues the procedure.
        organization: Spanned<String> = within(
            &PROCEDURE,
            required(text("The name as on your documents.")).fact("organization"),
        ),
        /// Status: draft prints DRAFT on every paper; qualified claims passing test joints;
        /// withdrawn means do not use.
        status: Spanned<Status> = within(&PROCEDURE, required(word()).fact("status")),
        /// What the pipe carries, which decides whose rules apply.
        service: Spanned<Service> = within(&PROCEDURE, required(word()).fact("service")),
        /// Which tables and temperature window apply: us for IPS and CTS sizes, metric for sizes
        /// in mm.
        practice: Spanned<&'static Practice> = within(&PROCEDURE, required(word()).fact("practice")),
        /// Every issue, the newest last; the last is the one on the papers.
        revisions: Vec<Revision> = within(&PROCEDURE, required(
            list(nested())
                .not_empty(
                    "`procedure.revisions` lists no revision",
                    "give the first issue: - {revision: 1, date: 2026-09-14}",
                )
                .of(|revision: &Revision, _| Of::from(revision.number.to_string().as_str())),
        )),
        /// The place of the procedure group, for what is missing.
        span: Span = within(&PROCEDURE, place()),
        /// Documents of your own that the crew needs, printed as they are written.
        references: Vec<Spanned<String>> = optional_list(
            list(text_like("Operations Manual, section 4")),
            "none are named.",
        ).fact("reference"),
        /// The designation of the resin, from the pipe's print line. Times belong to it.
        resin: Spanned<String> = within(&SCOPE, required(resin()).resolved("resin")),
        /// The sizes and walls covered. IPS and CTS pipe, or pipe of different walls, need an
        /// entry each.
        pipe: Vec<PipeClaim> = within(&SCOPE, checked(
            required(one_or_list(nested()).not_empty(
                "`scope.pipe` claims no size",
                "give the sizes and their walls: {sizes: 3/4 IPS to 2 IPS, dimension_ratio: 11}",
            )),
            few_enough,
        ).resolved("pipe")),
        /// Pipe of the lot on hand, measured, size by size.
        measured: Vec<(Spanned<Size>, MeasuredPipe)> = within(
            &SCOPE,
            optional_list(by_size(nested()), "the outside diameters of the tables."),
        ),
        /// The pipe temperatures covered, measured on the pipe.
        pipe_temperature: Option<Written<Range<Temperature>>> = within(
            &SCOPE,
            optional(weather_range(), "unknown; check reports it.").fact("pipe-temperature"),
        ),
        /// The fittings that the procedure covers.
        fittings: Fittings = required(nested()),
        /// The heater, its settings, how its faces are checked, and its adapters.
        heater: Heater = required(nested()),
        /// The hand tools on the truck: depth gauges, cold rings, cutter, machine.
        tools: Tools = required(nested()),
        /// What pipe end and socket are wiped with.
        cleaning: Option<Cleaning> = optional(
            nested(),
            "the papers do not say; check reports it.",
        ),
        /// Times. A time left out is the published one, if there is one.
        cycles: Cycles = required(nested()),
        /// How heating is lengthened when the pipe is cold. Write {} to use the published rule.
        cold_weather: Option<ColdWeather> = optional(
            nested(),
            "an error if pipe_temperature goes below the range of the published times.",
        ).resolved("cold-weather"),
        /// The thinnest wall that your organization fuses.
        least_wall: Option<Stated<Length>> = optional(
            stated(length(&plausible::WALL), "least-wall-source"),
            "only the tables limit the wall.",
        ).fact("least-wall"),
        /// How procedure and fusers are qualified, with the records.
        qualification: Option<Qualification> = optional(
            nested(),
            "the papers say nothing; a gas procedure needs it.",
        ),
        /// Rules that only your organization can make. A paper has a FILL IN box for each that is
        /// left out.
        own_rules: OwnRules = optional_group(
            "the papers have FILL IN boxes; a qualified procedure may have none.",
        ),
        /// Table figures that someone has checked in an edition.
        figures: Option<Figures> = optional(
            nested(),
            "they keep their basis.",
        ),
        /// Paper, language, strips and cards.
        documents: Documents = optional_group("the usual paper of the practice, in English."),
    }
}
