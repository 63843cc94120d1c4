//! The typed spec: what the author wrote, field by field, nothing looked up.

mod fittings;

use chrono::NaiveDate;

use super::card::Cards;
use super::values::Written;
pub use crate::core::paper::Paper;
use crate::core::size::Size;
use crate::core::source::{Span, Spanned};
use crate::core::units::{
    DimensionRatio, Duration, Length, Percent, Range, Temperature, TemperatureDifference,
    TemperatureUnit,
};
pub use crate::published::Practice;
use crate::published::WallGroup;
use crate::spec::language::Language;
pub use fittings::*;

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

/// How the face temperature is checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FaceCheckMethod {
    /// Contact or surface pyrometer.
    Pyrometer,
    /// One temperature-indicating stick, which melts at or above its rating.
    Stick,
    /// A lower stick that melts and an upper one that does not.
    TwoSticks,
}

/// How a strip of paper is used, which decides its thickness.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StripUse {
    /// Bare paper.
    Bare,
    /// Adhesive label.
    Label,
    /// Laminated.
    Laminated,
}

/// What becomes of a strip too long for the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LongStrips {
    /// Two pieces that butt in the middle.
    TwoPieces,
    /// It goes on the next larger paper.
    LargerPaper,
}

/// A value with the author's source for it.
#[derive(Debug, Clone)]
pub struct Stated<T> {
    /// The value as written.
    pub value: Written<T>,
    /// Where the author has it from.
    pub source: Option<Spanned<String>>,
}

/// How a depth that is still to be measured is written.
pub const TO_BE_MEASURED: &str = "to be measured";

/// A depth that was measured, or that is still to be.
#[derive(Debug, Clone)]
pub enum GaugeDepth {
    /// Measured, or taken from the maker.
    Known(Written<Length>),
    /// `to be measured`: draft only.
    ToBeMeasured(Span),
}

/// A revision of the procedure.
#[derive(Debug, Clone)]
pub struct Revision {
    /// Its number.
    pub number: Spanned<u32>,
    /// The day it was issued.
    pub date: Spanned<NaiveDate>,
    /// The day it comes into force, when that is another.
    pub effective: Option<Spanned<NaiveDate>>,
    /// What it changes.
    pub change: Option<Spanned<String>>,
}

/// How the wall of a group of pipes is stated.
#[derive(Debug, Clone)]
pub enum WallClaim {
    /// By dimension ratio.
    Ratios(Vec<Spanned<DimensionRatio>>),
    /// By least wall, as tubing is sold.
    Stated(Vec<Written<Length>>),
    /// One size by its ratio, with the minimum wall that its print line gives.
    Both(Spanned<DimensionRatio>, Written<Length>),
}

/// Sizes and walls the procedure claims.
#[derive(Debug, Clone)]
pub struct PipeClaim {
    /// Sizes and ranges of sizes, each in one system.
    pub sizes: Vec<Spanned<Range<Size>>>,
    /// Their walls.
    pub wall: WallClaim,
    /// The place of the claim.
    pub span: Span,
}

/// How the face is checked, and how well.
#[derive(Debug, Clone)]
pub struct FaceCheck {
    /// The instrument.
    pub method: Spanned<FaceCheckMethod>,
    /// Its accuracy each way.
    pub accuracy: Option<Written<(TemperatureDifference, TemperatureUnit)>>,
    /// What the lower (or only) stick is rated to melt at.
    pub melts: Option<Written<(Temperature, TemperatureUnit)>>,
    /// What the upper stick, which must stay solid, is rated at.
    pub stays_solid: Option<Written<(Temperature, TemperatureUnit)>>,
    /// The place of the group.
    pub span: Span,
}

/// A pair of adapters, male and female, for one size.
#[derive(Debug, Clone)]
pub struct Adapter {
    /// Depth of the female adapter, where measured.
    pub depth: Option<Written<Length>>,
}

/// The heater.
#[derive(Debug, Clone)]
pub struct Heater {
    /// On the controller.
    pub set_point: Written<(Temperature, TemperatureUnit)>,
    /// Face minus display, as measured.
    pub face_offset: Option<Written<(TemperatureDifference, TemperatureUnit)>>,
    /// The controller's step.
    pub step: Option<Written<(TemperatureDifference, TemperatureUnit)>>,
    /// Its swing around the set point, each way.
    pub swing: Option<Written<(TemperatureDifference, TemperatureUnit)>>,
    /// How the face is checked.
    pub face_check: Option<FaceCheck>,
    /// The adapters on the truck.
    pub adapters: Vec<(Spanned<Size>, Adapter)>,
    /// The place of the group.
    pub span: Span,
}

/// A depth gauge for one size.
#[derive(Debug, Clone)]
pub struct DepthGauge {
    /// From its stop to the face that sets the cold ring.
    pub depth: GaugeDepth,
    /// The mark on the gauge.
    pub id: Option<Spanned<String>>,
    /// How the depth was measured.
    pub source: Option<Spanned<String>>,
}

/// A cold ring for one size.
#[derive(Debug, Clone)]
pub struct ColdRing {
    /// Its width along the pipe.
    pub width: Option<Written<Length>>,
}

/// The hand tools on the truck.
#[derive(Debug, Clone)]
pub struct Tools {
    /// Depth gauges by size.
    pub depth_gauges: Vec<(Spanned<Size>, DepthGauge)>,
    /// Cold rings by size.
    pub cold_rings: Vec<(Spanned<Size>, ColdRing)>,
    /// The largest size the cutter takes.
    pub cutter_largest: Option<Spanned<Size>>,
    /// The largest size that the fusion machine or holding tool takes, where there
    /// is one.
    pub machine_largest: Option<Spanned<Size>>,
    /// The place of the group.
    pub span: Span,
}

/// How pipe end and socket are cleaned.
#[derive(Debug, Clone)]
pub struct Cleaning {
    /// The agent.
    pub agent: Spanned<CleaningAgent>,
    /// Its strength.
    pub strength: Option<Written<Percent>>,
    /// Whether the pipe end is peeled.
    pub peel: Option<Spanned<bool>>,
}

/// What surfaces are wiped with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CleaningAgent {
    /// Isopropyl alcohol.
    IsopropylAlcohol,
    /// A clean dry cloth alone.
    DryCloth,
    /// Water, with or without soap.
    Water,
    /// Acetone.
    Acetone,
}

impl CleaningAgent {
    /// The words in a spec.
    pub const fn name(self) -> &'static str {
        match self {
            CleaningAgent::IsopropylAlcohol => "isopropyl alcohol",
            CleaningAgent::DryCloth => "dry cloth",
            CleaningAgent::Water => "water",
            CleaningAgent::Acetone => "acetone",
        }
    }
}

/// The walls that a row of own times is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RowWalls {
    /// A group that times are published for.
    Group(WallGroup),
    /// A dimension ratio between the groups.
    Ratio(DimensionRatio),
}

/// The organisation's own times for one size.
#[derive(Debug, Clone)]
pub struct CycleRow {
    /// The size.
    pub size: Spanned<Size>,
    /// The walls it is for; all where it does not say.
    pub walls: Option<Spanned<RowWalls>>,
    /// Heating, from full seating.
    pub heat: Option<Written<Range<Duration>>>,
    /// Heater off to fully joined, at most.
    pub change_over: Option<Written<Duration>>,
    /// Held still, from fully joined.
    pub hold: Option<Written<Duration>>,
    /// Before the joint is handled.
    pub before_handling: Option<Written<Duration>>,
    /// Where the times come from.
    pub source: Spanned<String>,
    /// The record that proves them.
    pub record: Option<Spanned<String>>,
    /// The place of the row.
    pub span: Span,
}

/// Waits after the hold.
#[derive(Debug, Clone)]
pub struct Waits {
    /// Before the joint is handled or stressed.
    pub before_handling: Option<Stated<Duration>>,
    /// Before the pressure test.
    pub before_pressure_test: Option<Stated<Duration>>,
    /// The place of the group.
    pub span: Span,
}

/// Times.
#[derive(Debug, Clone)]
pub struct Cycles {
    /// Rows that stand in for the published ones.
    pub rows: Vec<CycleRow>,
    /// Heater off to fully joined, at most.
    pub change_over: Option<Stated<Duration>>,
    /// Waits after the hold.
    pub waits: Waits,
}

/// How heating is lengthened for cold pipe.
#[derive(Debug, Clone)]
pub struct ColdWeather {
    /// The step in which trial joints are lengthened.
    pub trial_step: Option<Stated<Duration>>,
    /// Pipe temperature below which no joint is made.
    pub no_joints_below: Option<Stated<Temperature>>,
}

/// A record that is said to prove the procedure.
#[derive(Debug, Clone)]
pub struct RecordCitation {
    /// Its number.
    pub number: Spanned<String>,
    /// Its date.
    pub date: Spanned<NaiveDate>,
    /// The revision it supports.
    pub revision: Spanned<u32>,
    /// The place of the citation.
    pub span: Span,
}

/// How the range that test joints support is taken wider than by default.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WiderRange {
    /// Down to any size, not only to the smallest tested.
    SmallerSizes,
    /// Down to any wall, not only to the thinnest tested.
    ThinnerWalls,
    /// On pipe of any temperature the procedure allows, not only between the
    /// coldest and the hottest tested.
    OtherTemperatures,
}

/// A rule for a wider range, and where the author has it from.
#[derive(Debug, Clone)]
pub struct RangeRule {
    /// The rule.
    pub rule: Spanned<WiderRange>,
    /// Where it stands.
    pub source: Spanned<String>,
}

/// How procedure and fusers are qualified.
#[derive(Debug, Clone)]
pub struct Qualification {
    /// Rules the organisation qualifies under.
    pub rules: Vec<Spanned<String>>,
    /// How joiners' operator qualification is handled, for gas.
    pub operator_qualification: Option<Spanned<String>>,
    /// Records that prove the procedure, cited without their file.
    pub records: Vec<RecordCitation>,
    /// Files of records that prove the procedure.
    pub record_files: Vec<Spanned<String>>,
    /// Rules by which the records reach further than by default.
    pub range: Vec<RangeRule>,
    /// The place of the group.
    pub span: Span,
}

/// Which of two readings of a figure the author works by.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Governs {
    /// What was read in the edition on hand.
    Edition,
    /// What the tables of this program give.
    Tables,
}

/// How the figures of the tables were confirmed.
#[derive(Debug, Clone)]
pub struct Figures {
    /// The file that says who read what in which edition.
    pub confirmations: Option<Spanned<String>>,
    /// Figures that were read otherwise, and which reading governs.
    pub governing: Vec<(Spanned<String>, Spanned<Governs>)>,
}

/// A pipe of the lot on hand, measured.
#[derive(Debug, Clone)]
pub struct MeasuredPipe {
    /// Mean outside diameter, by pi tape.
    pub outside_diameter: Option<Written<Length>>,
    /// Greatest less least diameter of one section.
    pub out_of_roundness: Option<Written<Length>>,
    /// Where the author has it from.
    pub source: Option<Spanned<String>>,
}

/// How strips are printed.
#[derive(Debug, Clone)]
pub struct Strips {
    /// What becomes of the paper.
    pub usage: Spanned<StripUse>,
    /// Its thickness as used, where measured.
    pub thickness: Option<Written<Length>>,
    /// What becomes of a long one; two pieces where the spec says nothing.
    pub long: Option<Spanned<LongStrips>>,
}

/// How the papers are made.
#[derive(Debug, Clone)]
pub struct Documents {
    /// The paper, where the spec says.
    pub paper: Option<Spanned<Paper>>,
    /// The languages, the first one first; empty where the spec does not say.
    pub languages: Vec<Spanned<Language>>,
    /// The language the author's own texts are in, where the spec says.
    pub text_language: Option<Spanned<Language>>,
    /// Depth-mark strips.
    pub strips: Option<Strips>,
    /// Pocket cards.
    pub card: Cards,
}

/// A whole spec.
#[derive(Debug, Clone)]
pub struct Spec {
    /// Procedure number.
    pub number: Spanned<String>,
    /// Title.
    pub title: Spanned<String>,
    /// Who issues it.
    pub organization: Spanned<String>,
    /// Where it stands.
    pub status: Spanned<Status>,
    /// What the pipe carries.
    pub service: Spanned<Service>,
    /// Whose tables rule.
    pub practice: Spanned<&'static Practice>,
    /// Revisions, newest last; never empty.
    pub revisions: Vec<Revision>,
    /// Documents the organisation refers to.
    pub references: Vec<Spanned<String>>,
    /// The resin's designation, not looked up.
    pub resin: Spanned<String>,
    /// Sizes and walls; never empty.
    pub pipe: Vec<PipeClaim>,
    /// Pipe of the lot on hand, measured.
    pub measured: Vec<(Spanned<Size>, MeasuredPipe)>,
    /// Pipe temperatures the procedure covers.
    pub pipe_temperature: Option<Written<Range<Temperature>>>,
    /// Fittings.
    pub fittings: Fittings,
    /// Heater.
    pub heater: Heater,
    /// Hand tools.
    pub tools: Tools,
    /// Cleaning.
    pub cleaning: Option<Cleaning>,
    /// The place of the procedure group, for what is missing.
    pub span: Span,
    /// Times.
    pub cycles: Cycles,
    /// Cold-weather section, if there is one.
    pub cold_weather: Option<ColdWeather>,
    /// The thinnest wall the organisation fuses.
    pub least_wall: Option<Stated<Length>>,
    /// Qualification section, if there is one.
    pub qualification: Option<Qualification>,
    /// How figures of the tables were confirmed.
    pub figures: Option<Figures>,
    /// Papers.
    pub documents: Documents,
}
