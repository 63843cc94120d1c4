//! The band in which each quantity that people write is plausible.
//!
//! The bands catch slips of the pen: another unit, a decimal point in another
//! place, a value in the wrong field. They are the program's own and no limit of
//! the trade, so they are wide: every published figure lies well inside. A reader
//! of a quantity takes a band, so no field can be added without one. What the
//! pipe's size says about a value is left to the rules, which know the size.

mod slip;

use chrono::NaiveDate;

use super::rules::IMPLAUSIBLE_VALUE;
use crate::core::finding::Finding;
use crate::core::source::Span;
use crate::core::units::{
    DimensionRatio, Duration, Length, Percent, Pressure, Range, Temperature, TemperatureDifference,
};

pub(crate) use slip::Quantifiable;

/// Said wherever a band refuses a value.
const OWN_LIMITS: &str =
    "These limits only catch typing errors; they are this program's own, not limits of the trade";

/// The band that the values of a field lie in.
#[derive(Debug)]
pub struct Band<T: 'static> {
    /// What the field holds, with its article.
    pub what: &'static str,
    /// Its least and its most.
    pub range: Range<T>,
    /// What to look at where no single slip explains a value.
    pub look: &'static str,
}

impl<T: Copy + Ord> Band<T> {
    const fn new(what: &'static str, least: T, most: T, look: &'static str) -> Self {
        Self {
            what,
            range: Range { least, most },
            look,
        }
    }

    /// Whether a value is plausible.
    pub fn contains(&self, value: T) -> bool {
        self.range.contains(value)
    }
}

impl<T: Quantifiable> Band<T> {
    /// The ends of the band in each unit that it can be written in.
    pub(crate) fn shown(&self) -> Vec<String> {
        let shown = T::UNITS.iter().map(|unit| self.shown_in(unit));
        let mut shown: Vec<_> = shown.collect();
        shown.dedup();
        shown
    }

    fn shown_in(&self, unit: &str) -> String {
        let Range { least, most } = self.range;
        format!(
            "{} to {}",
            least.inside(unit, true),
            most.inside(unit, false)
        )
    }

    /// The finding about a value outside, in the unit it was written in.
    pub(super) fn refuse(&self, span: Span, written: &str) -> Finding {
        let unit = slip::unit_of(written);
        let shown = match T::UNITS
            .iter()
            .find(|known| Some(**known) == unit.as_deref())
        {
            Some(unit) => self.shown_in(unit),
            None => self.shown().join(", "),
        };
        let likely = slip::likely(written, self);
        self.refused(span, written, &shown, likely)
    }
}

impl<T> Band<T> {
    fn refused(&self, span: Span, written: &str, shown: &str, likely: Option<String>) -> Finding {
        let Self { what, look, .. } = self;
        let first = likely.unwrap_or_else(|| format!("{look}."));
        IMPLAUSIBLE_VALUE
            .at(
                span,
                format!("'{written}' is not plausible for {what}; this program takes {shown}"),
            )
            .help(format!("{first} {OWN_LIMITS}"))
    }
}

/// A ratio with no unit, a count or a date: what is plausible, or a finding.
pub(super) fn counted<T: Copy + Ord + ToString>(
    band: &Band<T>,
    value: T,
    span: Span,
    written: &str,
    findings: &mut Vec<Finding>,
) -> Option<T> {
    if band.contains(value) {
        return Some(value);
    }
    let Range { least, most } = band.range;
    let shown = format!("{} to {}", least.to_string(), most.to_string());
    findings.push(band.refused(span, written, &shown, None));
    None
}

/// A dimension ratio that pipe for sockets can have, or a finding.
pub(super) fn ratio(
    value: DimensionRatio,
    span: Span,
    written: &str,
    findings: &mut Vec<Finding>,
) -> Option<DimensionRatio> {
    if RATIO.contains(value) {
        return Some(value);
    }
    let Range { least, most } = RATIO.range;
    let shown = format!("{} to {}", least.exact(), most.exact());
    findings.push(RATIO.refused(span, written, &shown, None));
    None
}

const fn in_(mils: i64) -> Length {
    Length::from_mils(mils)
}

const fn s(seconds: i64) -> Duration {
    Duration::from_seconds(seconds)
}

const fn min(minutes: i64) -> Duration {
    Duration::from_seconds(minutes * 60)
}

const fn h(hours: i64) -> Duration {
    Duration::from_seconds(hours * 3600)
}

const fn f(degrees: i64) -> Temperature {
    Temperature::from_fahrenheit(degrees)
}

const fn df(tenths: i64) -> TemperatureDifference {
    TemperatureDifference::from_fahrenheit_tenths(tenths)
}

const UNIT_OR_POINT: &str = "check the unit and the decimal point";
const SCALE: &str = "check the scale, °F or °C, and the digits";

// Lengths. Depths are held against the size by the rules on depth, walls and
// bores by those on scope and fit.
/// How deep the pipe goes into a socket or an adapter.
pub static DEPTH: Band<Length> =
    Band::new("an insertion depth", in_(20), in_(3_000), UNIT_OR_POINT);
/// How deep the pipe of a diameter goes into its socket: from half to 1.6 times
/// 0.3 d + 8.5 mm, which fits the lengths of metric sockets. The band of the warning
/// `depth-unit-slip` lies inside.
pub fn depth_of(diameter: Length) -> Range<Length> {
    let about = diameter.scaled(3, 10) + Length::from_micrometers(8_500);
    Range::new(about.scaled(5, 10), about.scaled(16, 10))
}

/// How deep a socket for the pipe of a diameter is: up to one and a half times what the
/// pipe goes in.
pub fn socket_depth_of(diameter: Length) -> Range<Length> {
    let Range { least, most } = depth_of(diameter);
    Range::new(least, most.scaled(3, 2))
}

/// How deep a socket is.
pub static SOCKET_DEPTH: Band<Length> =
    Band::new("the depth of a socket", in_(150), in_(4_000), UNIT_OR_POINT);
/// The inside diameter of a socket.
pub static BORE: Band<Length> = Band::new(
    "the inside diameter of a socket",
    in_(300),
    in_(7_000),
    UNIT_OR_POINT,
);
/// The outside diameter of a pipe or a spigot.
pub static DIAMETER: Band<Length> = Band::new(
    "the outside diameter of a pipe",
    in_(300),
    in_(7_000),
    UNIT_OR_POINT,
);
/// The largest less the smallest diameter of a pipe end.
pub static OUT_OF_ROUNDNESS: Band<Length> = Band::new(
    "out-of-roundness, the largest diameter less the smallest",
    in_(1),
    in_(500),
    UNIT_OR_POINT,
);
/// The wall of a pipe.
pub static WALL: Band<Length> = Band::new("the wall of a pipe", in_(25), in_(1_000), UNIT_OR_POINT);
/// The width of a cold ring.
pub(crate) static RING_WIDTH: Band<Length> = Band::new(
    "the width of a cold ring",
    in_(200),
    in_(2_500),
    UNIT_OR_POINT,
);
/// The straight length of a spigot.
pub(crate) static STRAIGHT_LENGTH: Band<Length> = Band::new(
    "the straight length of a spigot",
    in_(400),
    in_(8_000),
    UNIT_OR_POINT,
);
/// The thickness of the stock of a strip.
pub(crate) static STOCK: Band<Length> =
    Band::new("the thickness of a strip", in_(2), in_(60), UNIT_OR_POINT);

/// The nominal size that a tool takes; hand tools take larger pipe than is socket fused.
pub(crate) static TOOL: Band<Length> = Band::new(
    "the size that a tool takes",
    in_(300),
    in_(13_000),
    UNIT_OR_POINT,
);

// Times.
/// Heating.
pub static HEATING: Band<Duration> = Band::new("a heating time", s(3), s(120), UNIT_OR_POINT);
/// Heater off to fully joined.
pub static CHANGE_OVER: Band<Duration> = Band::new("a change-over", s(1), s(20), UNIT_OR_POINT);
/// The joint held still.
pub static HOLD: Band<Duration> = Band::new("a hold", s(3), min(15), UNIT_OR_POINT);
/// The rest before handling.
pub static HANDLING: Band<Duration> =
    Band::new("the wait before handling", min(1), h(3), UNIT_OR_POINT);
/// The rest before the pressure test.
pub(crate) static PRESSURE_TEST: Band<Duration> = Band::new(
    "the wait before a pressure test",
    min(2),
    h(24),
    UNIT_OR_POINT,
);
/// By how much the heating of trial joints is lengthened in the cold.
pub static TRIAL_STEP: Band<Duration> = Band::new(
    "the step by which trial joints are heated longer",
    s(1),
    s(10),
    UNIT_OR_POINT,
);
/// How long a pressure was held in a test.
pub(crate) static TEST_TIME: Band<Duration> = Band::new(
    "the time of a pressure test",
    min(1),
    h(10_000),
    UNIT_OR_POINT,
);
/// Cutting, cleaning and setting the depth, for each joint.
pub(crate) static PREPARATION: Band<Duration> =
    Band::new("the preparation of a joint", s(0), h(24), UNIT_OR_POINT);

// Temperatures.
/// What the controller is set to.
pub static SET_POINT: Band<Temperature> = Band::new("a set point", f(400), f(575), SCALE);
/// The rating of an indicating stick.
pub(crate) static STICK: Band<Temperature> =
    Band::new("the rating of an indicating stick", f(400), f(600), SCALE);
/// A face as it was measured, which may be wrong.
pub(crate) static FACE: Band<Temperature> =
    Band::new("the temperature of an adapter face", f(350), f(650), SCALE);
/// Pipe and air.
pub static WEATHER: Band<Temperature> =
    Band::new("the temperature of pipe or air", f(-40), f(140), SCALE);

// Differences of temperature.
/// Face minus display.
pub(crate) static FACE_OFFSET: Band<TemperatureDifference> = Band::new(
    "a face offset",
    df(-400),
    df(400),
    "write face minus display, not the temperature of the face",
);
/// The step of a controller. None at all would bind no set point.
pub static STEP: Band<TemperatureDifference> = Band::new(
    "the step of a controller",
    df(1),
    df(200),
    "write the smallest change that the buttons make; leave the line out where it is not known",
);
/// The swing of a heater. None at all would leave the check of the face nothing to do.
pub(crate) static SWING: Band<TemperatureDifference> = Band::new(
    "the swing of a heater",
    df(5),
    df(300),
    "write how far the display moves to each side; leave the line out where it is not known",
);
/// The accuracy of an instrument. None has none.
pub(crate) static ACCURACY: Band<TemperatureDifference> = Band::new(
    "the accuracy of an instrument",
    df(5),
    df(250),
    "write how far the reading may be off, each way, as the certificate or the data sheet says",
);

// Shares, pressures, counts.
/// The strength of an agent.
pub static STRENGTH: Band<Percent> = Band::new(
    "the strength of a cleaning agent",
    Percent::from_whole(50),
    Percent::WHOLE,
    "read the label again",
);
/// How much longer a specimen became.
pub(crate) static ELONGATION: Band<Percent> = Band::new(
    "an elongation",
    Percent::ZERO,
    Percent::from_whole(1_500),
    UNIT_OR_POINT,
);
/// A part of the whole.
pub(crate) static SHARE: Band<Percent> = Band::new(
    "a share of the whole",
    Percent::ZERO,
    Percent::WHOLE,
    UNIT_OR_POINT,
);
/// The pressure of a test.
pub(crate) static TEST_PRESSURE: Band<Pressure> = Band::new(
    "the pressure of a test",
    Pressure::from_psi(20),
    Pressure::from_psi(3_000),
    UNIT_OR_POINT,
);
/// Outside diameter over wall.
pub static RATIO: Band<DimensionRatio> = Band::new(
    "a dimension ratio",
    DimensionRatio::from_tenths(50),
    DimensionRatio::from_tenths(330),
    "read the ratio of outside diameter to wall from the print line again",
);
/// The number of a revision.
pub(crate) static REVISION: Band<u32> = Band::new(
    "the number of a revision",
    0,
    999,
    "write the number alone, as in 2",
);
/// How many straps were cut from a joint.
pub(crate) static STRAPS: Band<u32> = Band::new(
    "a number of straps",
    0,
    100,
    "count the straps of this joint alone",
);
/// How many cards are printed; what a file holds is said by the reader of the field.
pub(crate) static COPIES: Band<u32> = Band::new(
    "a number of cards",
    1,
    99_999,
    "write how many cards to print",
);
/// For how many months a person stays qualified; the longest is said by the reader.
pub(crate) static MONTHS: Band<u32> =
    Band::new("a number of months", 1, 9_999, "write how many months");

/// The days that papers, records and rosters are of.
pub(crate) static DATE: Band<NaiveDate> = Band::new(
    "a date",
    day(1970, 1, 1),
    day(2049, 12, 31),
    "check the digits of the year",
);

const fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    match NaiveDate::from_ymd_opt(year, month, day) {
        Some(date) => date,
        None => NaiveDate::MIN,
    }
}

/// Reads a date of the command line.
///
/// # Errors
/// In words, when the text is no date or none that is plausible.
pub(crate) fn date_argument(text: &str) -> Result<NaiveDate, String> {
    let how = "write the year, the month and the day, as in 2026-09-14";
    let date = NaiveDate::parse_from_str(text, "%Y-%m-%d").map_err(|_| how.to_owned())?;
    if text.len() != 10 {
        return Err(how.to_owned());
    }
    if DATE.contains(date) {
        return Ok(date);
    }
    let Range { least, most } = DATE.range;
    Err(format!(
        "this program takes dates from {least} to {most}; {}",
        DATE.look
    ))
}
