//! Spec + published numbers → the procedure: one joint per size and one pipe
//! per wall, every number with its basis. This stage looks up, expands, and
//! computes; the rules report what is wrong.

mod cycle;
mod face;
mod fit;
mod joint;
mod pusher;
mod unlike;
mod uses;

pub use face::FaceBand;
pub(crate) use face::stick_accuracy;
pub(crate) use fit::SocketEnd;
pub use fit::{Fit, fits};
pub use joint::{Depth, Joint};
pub(crate) use joint::{
    Pipe, WallLabel, inch_floor, minimum_wall_for, sizes, wall_group_for, walls,
};
pub(crate) use pusher::{needs_pusher, pusher_threshold, tool_reach};
pub(crate) use unlike::longer_heating;
pub use unlike::{sequence, unlike_source};
pub(crate) use uses::{EntryUse, SHORT_HEATING, recalled_in_use, trade_quantity};
pub use uses::{entries_in_use, statements_in_use, trade_name};

use chrono::NaiveDate;

use crate::core::size::Size;
use crate::core::source::{FileId, Spanned};
use crate::core::units::{Duration, Length, Range, Temperature};
use crate::process::socket::practice::Practice;
use crate::published::{Basis, Entry, Family, Library, Resin, Sourced, Work};
use crate::spec::record::RecordFile;
use crate::spec::{Service, Spec, Stated, StripUse};

/// A procedure with every number looked up or computed.
#[derive(Debug)]
pub struct Procedure<'s> {
    /// The spec as written.
    pub spec: &'s Spec,
    /// The resin, if it is in the tables.
    pub resin: Option<Resin>,
    /// Allowed temperature range of both adapter faces.
    pub window: Option<Sourced<Range<Temperature>>>,
    /// Range of the face temperature at the spec's settings.
    pub face: FaceBand,
    /// The joints, sorted by system and size.
    pub joints: Vec<Joint>,
    /// Wait before the pressure test; `None` if the spec does not state it.
    pub before_pressure_test: Option<Sourced<Duration>>,
    /// Pipe temperature below which the cold-weather section applies.
    pub cold_trigger: Option<Sourced<Temperature>>,
    /// Step by which trial joints in the cold are heated longer, if the spec has a
    /// cold-weather section.
    pub cold_step: Option<Sourced<Duration>>,
    /// Thickness of a depth-mark strip; `None` if it must be measured first.
    pub strip_thickness: Option<Sourced<Length>>,
    /// Records that the spec names as files.
    pub records: &'s [RecordFile],
}

impl<'s> Procedure<'s> {
    /// Adds the records read from the spec's files.
    pub fn with_records(mut self, records: &'s [RecordFile]) -> Self {
        self.records = records;
        self
    }

    /// Every cited record, with or without a file.
    pub(crate) fn cited(&self) -> impl Iterator<Item = Cited<'s>> {
        let inline = self.spec.qualification.iter().flat_map(|q| &q.records);
        let inline = inline.map(|record| Cited {
            number: &record.number,
            date: &record.date,
            revision: &record.revision,
            file: FileId::SPEC,
        });
        let filed = self.records.iter().map(|named| Cited {
            number: &named.record.number,
            date: &named.record.date,
            revision: &named.record.revision,
            file: named.file,
        });
        inline.chain(filed)
    }
}

/// A record that the spec cites.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cited<'s> {
    pub(crate) number: &'s Spanned<String>,
    pub(crate) date: &'s Spanned<NaiveDate>,
    /// The revision it supports.
    pub(crate) revision: &'s Spanned<u32>,
    /// The file that holds these values.
    pub(crate) file: FileId,
}

impl Procedure<'_> {
    pub(crate) fn practice(&self) -> &'static Practice {
        self.spec.practice.value
    }

    /// The polymer, if the resin is in the tables.
    pub(crate) fn family(&self) -> Option<Family> {
        Some(self.resin.as_ref()?.group.family())
    }

    /// Whether the pipe is buried, so the papers mention trenches. PP for water or for a
    /// plant is pipe inside a building; anything else counts as buried, because an extra
    /// caution does less harm than a missing one.
    pub(crate) fn is_buried(&self) -> bool {
        match self.spec.service.value {
            Service::Gas | Service::Geothermal => true,
            Service::Water | Service::Industrial => self.family() != Some(Family::Polypropylene),
        }
    }

    /// The kind of work, which decides the statements on the papers.
    pub(crate) fn work(&self) -> Work<'static> {
        let cleaning = self.spec.cleaning.as_ref();
        Work {
            practice: self.practice(),
            family: self.family(),
            agent: cleaning.map(|cleaning| cleaning.agent.value.name()),
            buried: self.is_buried(),
            service: self.spec.service.value.word(),
        }
    }

    /// One joint per size, regardless of walls.
    pub(crate) fn sizes(&self) -> impl Iterator<Item = &Joint> {
        let mut last = None;
        self.joints
            .iter()
            .filter(move |joint| last.replace(joint.size) != Some(joint.size))
    }

    /// Whether the depth of a size is known. Until then, no paper prints its times.
    pub(crate) fn is_joined(&self, size: Size) -> bool {
        let mut joints = self.joints.iter().filter(|joint| joint.size == size);
        joints.any(|joint| joint.depth.known().is_some())
    }

    /// A number that is the same for all joints; `None` if it differs.
    pub fn common<T: PartialEq>(
        &self,
        number: impl Fn(&Joint) -> Option<&Sourced<T>>,
    ) -> Option<&Sourced<T>> {
        let first = number(self.joints.first()?)?;
        self.joints
            .iter()
            .all(|joint| number(joint).is_some_and(|f| f.value == first.value))
            .then_some(first)
    }
}

/// Resolves a spec with the published numbers.
pub fn resolve<'s>(spec: &'s Spec, limits: &Library) -> Procedure<'s> {
    let practice = spec.practice.value;
    // A resin of the other practice has no times in this one; a rule reports it.
    let resin = limits
        .resin(&spec.resin)
        .filter(|resin| resin.group.practice() == practice);
    let published_step = limits
        .practice_entry(practice, "times:cold-trial-step:time")
        .and_then(Entry::duration);
    Procedure {
        face: FaceBand::new(&spec.heater, limits),
        joints: joint::joints(spec, resin.as_ref(), limits),
        before_pressure_test: stated_or_published(&spec.cycles.waits.before_pressure_test, &None),
        cold_trigger: limits
            .practice_entry(practice, "temperatures:cold-trigger:temperature")
            .and_then(Entry::temperature),
        cold_step: spec
            .cold_weather
            .as_ref()
            .and_then(|cold| stated_or_published(&cold.trial_step, &published_step)),
        strip_thickness: strip_thickness(spec, limits),
        window: limits
            .practice_entry(practice, "temperatures:heater-face:range")
            .and_then(Entry::temperature_range),
        resin,
        spec,
        records: &[],
    }
}

/// The organization's own number, or else the published one.
fn stated_or_published<T: Copy>(
    stated: &Option<Stated<T>>,
    published: &Option<Sourced<T>>,
) -> Option<Sourced<T>> {
    let Some(own) = stated else {
        return published.clone();
    };
    let source = own
        .source
        .as_ref()
        .map_or("stated in the spec without a source", |s| s.value.as_str());
    Some(Sourced::stated(
        own.value.value,
        Basis::Organization,
        source,
    ))
}

fn strip_thickness(spec: &Spec, limits: &Library) -> Option<Sourced<Length>> {
    let bare = || {
        limits
            .entry("print:strip-thickness-paper:length")
            .and_then(|number| number.length())
    };
    let Some(strips) = &spec.documents.strips else {
        return bare();
    };
    match &strips.thickness {
        Some(thickness) => Some(Sourced::stated(
            thickness.value,
            Basis::Measured,
            "stated in the spec",
        )),
        None if strips.usage.value == StripUse::Bare => bare(),
        None => None,
    }
}
