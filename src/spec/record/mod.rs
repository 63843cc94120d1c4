//! A record of test joints: how each was made, how it was tested, and what the
//! witness says of it. What the figures are worth is judged elsewhere.

pub(crate) mod decode;

use chrono::NaiveDate;

pub use decode::record;

use super::Written;
use crate::core::size::Size;
use crate::core::source::{FileId, Span, Spanned};
use crate::core::units::{
    DimensionRatio, Duration, Length, Percent, Pressure, Temperature, TemperatureUnit,
};

/// What a test came to, as the witness says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Witnessed {
    /// Passed.
    Pass,
    /// Failed.
    Fail,
}

/// What the pipe of a test joint went into.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Partner {
    /// A pipe end in a socket.
    Socket,
    /// A fitting's spigot end in a socket.
    Spigot,
}

/// Where a tensile specimen failed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FailedAt {
    /// In the joint area.
    Joint,
    /// Outside the joint area.
    Outside,
    /// Nowhere; the test was ended.
    Nowhere,
}

/// How the wall of a test pipe is named.
#[derive(Debug, Clone)]
pub enum TestWall {
    /// By dimension ratio.
    Ratio(Spanned<DimensionRatio>),
    /// By its least wall, or as measured.
    Stated(Written<Length>),
}

/// Who made a pipe or a fitting, and in which lot.
#[derive(Debug, Clone)]
pub struct Part {
    /// The maker.
    pub maker: Spanned<String>,
    /// The lot.
    pub lot: Spanned<String>,
}

/// The instrument that the face temperatures were measured with.
#[derive(Debug, Clone)]
pub struct Pyrometer {
    /// Its mark.
    pub id: Spanned<String>,
    /// When it was calibrated last.
    pub calibrated: Spanned<NaiveDate>,
    /// When it has to be calibrated again, where the record says; good through
    /// that day.
    pub due: Option<Spanned<NaiveDate>>,
}

/// What a stated criterion asks, and where it stands.
#[derive(Debug, Clone)]
pub struct Criterion<T> {
    /// The limit.
    pub limit: T,
    /// Where it stands.
    pub source: Spanned<String>,
}

/// A destructive test with its figures.
#[derive(Debug, Clone)]
pub enum TestFigures {
    /// Cut lengthwise into straps, each deformed.
    Straps {
        /// How many.
        straps: Spanned<u32>,
        /// On how many of them the cut faces show voids.
        with_voids: Spanned<u32>,
        /// How many of them failed, beginning in the joint.
        failed_in_joint: Spanned<u32>,
    },
    /// Pulled.
    Tensile {
        /// Elongation.
        elongation: Written<Percent>,
        /// Where it failed.
        failure: Spanned<FailedAt>,
        /// The least elongation of a specimen that does not fail outside the joint.
        criterion: Option<Criterion<Written<Percent>>>,
    },
    /// Pressure raised until it burst.
    Burst {
        /// The pressure it burst at.
        pressure: Written<Pressure>,
        /// The least it must reach.
        criterion: Option<Criterion<Written<Pressure>>>,
    },
    /// Held under pressure.
    Sustained {
        /// The pressure.
        pressure: Written<Pressure>,
        /// For how long.
        time: Written<Duration>,
        /// Whether it failed or leaked in that time.
        failed: Spanned<bool>,
        /// The least pressure and time.
        criterion: Option<Criterion<(Written<Pressure>, Written<Duration>)>>,
    },
    /// Crushed.
    Crush {
        /// How much of the joint's length came apart.
        separated: Written<Percent>,
        /// The most that may.
        criterion: Option<Criterion<Written<Percent>>>,
    },
}

/// A destructive test of a joint.
#[derive(Debug, Clone)]
pub struct JointTest {
    /// Its figures.
    pub figures: TestFigures,
    /// What the witness says.
    pub result: Spanned<Witnessed>,
    /// The place of the test.
    pub span: Span,
}

/// A test joint.
#[derive(Debug, Clone)]
pub struct TestJoint {
    /// Its mark.
    pub id: Spanned<String>,
    /// When it was made.
    pub date: Spanned<NaiveDate>,
    /// Who made it.
    pub operator: Spanned<String>,
    /// Size.
    pub size: Spanned<Size>,
    /// Wall.
    pub wall: TestWall,
    /// The resin's designation.
    pub resin: Spanned<String>,
    /// The pipe.
    pub pipe: Part,
    /// The fitting.
    pub fitting: Part,
    /// What went into the socket.
    pub partner: Spanned<Partner>,
    /// The heater's mark.
    pub heater: Spanned<String>,
    /// The depth gauge's mark.
    pub gauge: Spanned<String>,
    /// The pyrometer.
    pub pyrometer: Pyrometer,
    /// Temperature of the pipe.
    pub pipe_temperature: Written<(Temperature, TemperatureUnit)>,
    /// Temperature of the air.
    pub ambient_temperature: Written<(Temperature, TemperatureUnit)>,
    /// Face of the adapter that heats the pipe.
    pub pipe_face: Written<(Temperature, TemperatureUnit)>,
    /// Face of the adapter that heats the fitting.
    pub fitting_face: Written<(Temperature, TemperatureUnit)>,
    /// Depth that the gauge set.
    pub depth: Written<Length>,
    /// Heating, from full seating.
    pub heating: Written<Duration>,
    /// Heater off to fully joined.
    pub change_over: Written<Duration>,
    /// Held still, from fully joined.
    pub hold: Written<Duration>,
    /// What the eye says of it.
    pub visual: Spanned<Witnessed>,
    /// Destructive tests.
    pub tests: Vec<JointTest>,
    /// The place of the joint.
    pub span: Span,
}

/// A record.
#[derive(Debug, Clone)]
pub struct Record {
    /// Its number.
    pub number: Spanned<String>,
    /// Its date.
    pub date: Spanned<NaiveDate>,
    /// The procedure whose settings the joints were made with.
    pub procedure: Spanned<String>,
    /// The revision of that procedure.
    pub revision: Spanned<u32>,
    /// Who saw the tests.
    pub witness: Spanned<String>,
    /// Who made the tests.
    pub laboratory: Spanned<String>,
    /// Each joint once.
    pub joints: Vec<TestJoint>,
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
