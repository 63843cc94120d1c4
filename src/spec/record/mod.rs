//! A record of test joints: how each was made, how it was tested, and what the
//! witness says of it. What the figures are worth is judged elsewhere. The wall of a
//! joint is read by hand: a length, or a ratio. Its tests are in `testing`.

mod testing;

use chrono::NaiveDate;
use schemars::json_schema;

use super::declare::kinds::{
    counting_number, date, duration, length, procedure_number, single, size, temperature, text,
    text_like, weather, word,
};
use super::declare::{
    Inner, Kind, group, list, nested, optional, optional_list, place, read_top, required, within,
};
use super::fields::{At, Fields};
use super::node::{Node, NodeKind};
use super::recovery::read_file;
use super::schema::{self, either};
use super::words::Word;
use super::{Written, plausible, values};
use crate::core::budget;
use crate::core::finding::Finding;
use crate::core::size::Size;
use crate::core::source::{FileId, Span, Spanned};
use crate::core::units::{
    DimensionRatio, Duration, Length, Temperature, TemperatureUnit, parse_quantity,
};
pub use testing::*;

/// The field with the number of the format.
pub(crate) const FORMAT: &str = "coldring-record";

/// What went into the socket of a test joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Partner {
    /// A pipe end.
    Pipe,
    /// A fitting's spigot end.
    Spigot,
}

impl Word for Partner {
    const WORDS: &'static [(&'static str, Self)] =
        &[("pipe", Partner::Pipe), ("spigot", Partner::Spigot)];
    /// It reads as the opposite, so only earlier records have it.
    const FORMER: &'static [(&'static str, Self)] = &[("socket", Partner::Pipe)];
}

/// How the wall of a test pipe is named.
#[derive(Debug, Clone)]
pub enum TestWall {
    /// By dimension ratio.
    Ratio(Spanned<DimensionRatio>),
    /// By its minimum wall, or as measured.
    Stated(Written<Length>),
}

/// A wall by its ratio, or by a length, which alone has a unit.
fn wall(node: &Node, findings: &mut Vec<Finding>) -> Option<TestWall> {
    let written = values::scalar(node, findings)?;
    if parse_quantity(written).is_ok() {
        return values::length(&plausible::WALL)(node, findings).map(TestWall::Stated);
    }
    values::dimension_ratio(node, findings).map(TestWall::Ratio)
}

fn wall_schema() -> schema::Value {
    let length = length(&plausible::WALL).schema();
    either([length, schema::values::dimension_ratio()])
        .told("A length with its unit, as in 0.120 in, or a dimension ratio, as in 11.")
}

fn resin_schema() -> schema::Value {
    either([schema::values::resin(), schema::values::text("")]).told("Example: PE4710.")
}

group! {
    /// Who made a pipe or a fitting, and in which lot.
    pub struct Part {
        /// Who made it.
        maker: Spanned<String> = required(text("A name.")),
        /// Its lot, from the print line or the label.
        lot: Spanned<String> = required(text("As it is printed.")),
    }
}

group! {
    /// The instrument that the face temperatures were measured with.
    pub struct Pyrometer {
        /// Its mark.
        id: Spanned<String> = required(text_like("P-3")),
        /// The day of its last calibration.
        calibrated: Spanned<NaiveDate> = required(date()),
        /// The day its next calibration is due; it is good through that day.
        due: Option<Spanned<NaiveDate>> =
            optional(date(), "the date is not checked."),
    }
}

static FACES: Inner = Inner {
    name: "face_temperatures",
    about: "What the pyrometer read on the two adapter faces.",
};

group! {
    /// A test joint.
    pub struct TestJoint {
        /// The mark on the joint.
        id: Spanned<String> = required(text_like("T-1a")),
        /// The day it was made.
        date: Spanned<NaiveDate> = required(date()),
        /// Who made it.
        operator: Spanned<String> = required(text("A name.")),
        /// The size of the pipe.
        size: Spanned<Size> = required(size()),
        /// The wall of the pipe: as measured, or the ratio of its print line.
        wall: TestWall = required(single(wall, wall_schema)),
        /// The designation of the resin, from the print line.
        resin: Spanned<String> = required(single(values::resin, resin_schema)),
        /// Manufacturer and lot of the pipe.
        pipe: Part = required(nested()),
        /// Manufacturer and lot of the fitting.
        fitting: Part = required(nested()),
        /// What went into the fitting's socket: a pipe end (pipe) or the spigot end of a fitting
        /// (spigot).
        partner: Spanned<Partner> = required(word()),
        /// The mark of the heater.
        heater: Spanned<String> = required(text_like("H-2")),
        /// The mark of the depth gauge.
        gauge: Spanned<String> = required(text_like("G-1")),
        /// The instrument that the faces were measured with.
        pyrometer: Pyrometer = required(nested()),
        /// The temperature of the pipe, measured on it.
        pipe_temperature: Written<(Temperature, TemperatureUnit)> = required(weather()),
        /// The temperature of the air.
        ambient_temperature: Written<(Temperature, TemperatureUnit)> = required(weather()),
        /// On the adapter that heats the pipe.
        pipe_face as "pipe_adapter": Written<(Temperature, TemperatureUnit)> =
            within(&FACES, required(temperature(&plausible::FACE))),
        /// On the adapter that heats the fitting.
        fitting_face as "fitting_adapter": Written<(Temperature, TemperatureUnit)> =
            within(&FACES, required(temperature(&plausible::FACE))),
        /// The depth that the gauge set.
        depth as "gauge_depth": Written<Length> = required(length(&plausible::DEPTH)),
        /// How long both parts were heated, from fully on the adapters.
        heating: Written<Duration> = required(duration(&plausible::HEATING)),
        /// From heater off to fully joined.
        change_over: Written<Duration> = required(duration(&plausible::CHANGE_OVER)),
        /// How long the joint was held still, from fully joined.
        hold: Written<Duration> = required(duration(&plausible::HOLD)),
        /// Visual inspection by the witness.
        visual: Spanned<Witnessed> = required(word()),
        /// The destructive tests of this joint.
        tests: Vec<JointTest> = optional_list(
            list(nested()).named("tests"),
            "the joint proves nothing.",
        ),
        /// The place of the joint.
        span: Span = place(),
    }
}

group! {
    /// A record.
    pub struct Record {
        /// The number of the record.
        number: Spanned<String> = required(text_like("PQ-7")),
        /// The date of the record.
        date: Spanned<NaiveDate> = required(date()),
        /// The number of the procedure whose settings the joints were made with.
        procedure: Spanned<String> = required(procedure_number()),
        /// The revision of that procedure.
        revision: Spanned<u32> = required(counting_number(&plausible::REVISION)),
        /// Who saw the tests.
        witness: Spanned<String> = required(text("A name.")),
        /// Who made the tests.
        laboratory: Spanned<String> =
            required(text("The name of the laboratory, or your own.")),
        /// The test joints, each once.
        joints: Vec<TestJoint> = required(Joints),
    }
}

/// A list of joints, or nothing at all while they are all still commented out.
struct Joints;

fn joints() -> impl Kind<Value = Vec<TestJoint>> {
    list(nested()).once(|joint: &TestJoint| (joint.id.value.clone(), joint.id.span))
}

impl Kind for Joints {
    type Value = Vec<TestJoint>;

    fn read(&self, node: &Node, at: At<'_>, findings: &mut Vec<Finding>) -> Option<Self::Value> {
        match node.kind {
            NodeKind::Null => Some(Vec::new()),
            _ => joints().read(node, at, findings),
        }
    }

    fn schema(&self) -> schema::Value {
        let none = schema::Value::new(json_schema!({"type": "null"}), "");
        either([joints().schema(), none]).told("A list.")
    }

    fn takes_nothing(&self) -> bool {
        true
    }
}

/// Reads the file of a record; `None` when an error leaves no record to go on
/// with.
pub fn record(text: &str) -> (Option<Record>, Vec<Finding>) {
    let read = read_file(text, &budget::RECORD, |root, findings| {
        let top = Fields::open(root, "", Span::default(), findings)?;
        read_top::<Record>(top, (FORMAT, "the record is"), findings)
    });
    read.unwrap_or_else(|finding| (None, vec![*finding]))
}

/// A record that a spec names, read from its file.
#[derive(Debug, Clone)]
pub struct RecordFile {
    /// The file.
    pub file: FileId,
    /// The place in the spec that names it.
    pub named_at: Span,
    /// What it holds.
    pub record: Record,
    /// Whether all that the file gives was read.
    pub whole: bool,
}
