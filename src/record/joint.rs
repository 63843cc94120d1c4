//! A test joint beside the procedure it is said to prove: whether it was made
//! by that procedure's figures, and passed.

use super::criteria::{Outcome, Verdict, judge};
use crate::limits::{Library, WallGroup};
use crate::resolve::{Joint, Procedure, WallLabel, least_wall_of};
use crate::spec::record::{RecordFile, TestJoint, TestWall, Witnessed};
use crate::units::{DimensionRatio, Duration, Length, LengthUnit, Range, Temperature};

/// A face of the heater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Face {
    /// That heats the pipe.
    Pipe,
    /// That heats the fitting.
    Fitting,
}

/// Why a test joint does not support the procedure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// The record is of another procedure.
    OtherProcedure,
    /// The joint was refused by eye.
    RefusedByEye,
    /// No test of it has a criterion.
    Untested,
    /// A test failed, by its figures or by the witness.
    TestFailed(usize),
    /// The witness says otherwise than the figures of a test.
    Contradicted(usize),
    /// It is of another resin.
    OtherResin,
    /// The procedure does not claim its size or its wall.
    NotClaimed,
    /// The face was outside the window.
    Face(Face, Range<Temperature>),
    /// The pipe was colder or hotter than the procedure covers.
    PipeTemperature(Range<Temperature>),
    /// The gauge set another depth.
    Depth(Length),
    /// It was heated for another time.
    Heating(Range<Duration>),
    /// The change-over took longer.
    ChangeOver(Duration),
    /// It was held for less.
    Hold(Duration),
    /// The pyrometer was calibrated after the joint was made.
    CalibratedLater,
    /// The pyrometer was due for calibration before the joint was made.
    CalibrationExpired,
}

/// A test joint, judged.
#[derive(Debug, Clone)]
pub struct JudgedJoint<'r> {
    /// The record it stands in.
    pub named: &'r RecordFile,
    /// The joint.
    pub joint: &'r TestJoint,
    /// Its tests in order.
    pub verdicts: Vec<Verdict>,
    /// Its least wall, where the diameter of its size is known.
    pub wall: Option<Length>,
    /// Why it does not support the procedure; empty when it does.
    pub faults: Vec<Fault>,
}

impl JudgedJoint<'_> {
    /// Whether the joint supports the procedure.
    pub fn counts(&self) -> bool {
        self.faults.is_empty() && self.wall.is_some()
    }
}

/// How the procedure names the wall of a test joint.
pub fn label(wall: &TestWall) -> WallLabel {
    match wall {
        TestWall::Ratio(ratio) => WallLabel::Ratio(ratio.value),
        TestWall::Stated(wall) => WallLabel::Stated(wall.value),
    }
}

/// Judges a joint of a record.
pub(super) fn judged<'r>(
    named: &'r RecordFile,
    joint: &'r TestJoint,
    procedure: &Procedure<'_>,
    limits: &Library,
) -> JudgedJoint<'r> {
    let verdicts: Vec<_> = joint.tests.iter().map(|test| judge(test, limits)).collect();
    let size = joint.size.value;
    let od = limits.outside_diameter(size);
    let wall = od
        .as_ref()
        .map(|od| least_wall_of(size, label(&joint.wall), od, limits).value);
    let mut faults = Vec::new();
    let mut say = |is: bool, fault: Fault| faults.extend(is.then_some(fault));
    say(
        named.record.procedure.value != procedure.spec.number.value,
        Fault::OtherProcedure,
    );
    say(joint.visual.value == Witnessed::Fail, Fault::RefusedByEye);
    let judged = |verdict: &Verdict| verdict.outcome != Outcome::NotJudged;
    say(!verdicts.iter().any(judged), Fault::Untested);
    for (place, (test, verdict)) in joint.tests.iter().zip(&verdicts).enumerate() {
        let contradicted = verdict.contradicts(test.result.value);
        say(contradicted, Fault::Contradicted(place));
        let failed = verdict.outcome == Outcome::Fail || test.result.value == Witnessed::Fail;
        say(failed && !contradicted, Fault::TestFailed(place));
    }
    say(other_resin(joint, procedure, limits), Fault::OtherResin);
    say(
        joint.pyrometer.calibrated.value > joint.date.value,
        Fault::CalibratedLater,
    );
    let due = joint.pyrometer.due.as_ref();
    let calibrated = joint.pyrometer.calibrated.value;
    say(
        due.is_some_and(|due| due.value < joint.date.value || due.value <= calibrated),
        Fault::CalibrationExpired,
    );
    if let Some(window) = &procedure.window {
        let outside = |face: Temperature| !window.value.contains(face);
        say(
            outside(joint.pipe_face.value.0),
            Fault::Face(Face::Pipe, window.value),
        );
        say(
            outside(joint.fitting_face.value.0),
            Fault::Face(Face::Fitting, window.value),
        );
    }
    if let Some(range) = &procedure.spec.pipe_temperature {
        let outside = !range.value.contains(joint.pipe_temperature.value.0);
        say(outside, Fault::PipeTemperature(range.value));
    }
    match of_procedure(joint, wall, procedure, limits) {
        None => say(true, Fault::NotClaimed),
        Some(row) => faults.extend(beside(joint, row)),
    }
    JudgedJoint {
        named,
        joint,
        verdicts,
        wall,
        faults,
    }
}

fn other_resin(joint: &TestJoint, procedure: &Procedure<'_>, limits: &Library) -> bool {
    let code = |written: &str| match limits.resin(written) {
        Some(resin) => resin.code,
        None => written.to_owned(),
    };
    code(&joint.resin) != code(&procedure.spec.resin)
}

/// The row of the procedure that a test joint was made by: that of its pipe,
/// else that of the size, which in metric practice goes by the wall too.
fn of_procedure<'p>(
    joint: &TestJoint,
    wall: Option<Length>,
    procedure: &'p Procedure<'_>,
    limits: &Library,
) -> Option<&'p Joint> {
    let rows = || {
        procedure
            .joints
            .iter()
            .filter(|row| row.size == joint.size.value)
    };
    let same_wall = |row: &&Joint| {
        let mut pipes = row.pipes.iter();
        pipes.any(|pipe| Some(pipe.least_wall.value) == wall)
    };
    let ratio = match &joint.wall {
        TestWall::Ratio(ratio) => Some(ratio.value),
        TestWall::Stated(wall) => limits
            .outside_diameter(joint.size.value)
            .and_then(|od| DimensionRatio::of(od.value, wall.value)),
    };
    let group = ratio.and_then(WallGroup::of);
    rows()
        .find(same_wall)
        .or_else(|| rows().find(|row| row.walls == group && row.between.is_none()))
        .or_else(|| rows().find(|row| row.walls.is_none() && row.between.is_none()))
}

/// Where a joint left the row it was made by.
fn beside(joint: &TestJoint, row: &Joint) -> Vec<Fault> {
    let mut faults = Vec::new();
    // A depth in the other unit is the same as far as both are written.
    let shown = |depth: Length| depth.show(LengthUnit::Inch);
    if let Some(depth) = row.depth.known()
        && shown(depth.value) != shown(joint.depth.value)
    {
        faults.push(Fault::Depth(depth.value));
    }
    if let Some(heat) = &row.heat
        && !heat.value.contains(joint.heating.value)
    {
        faults.push(Fault::Heating(heat.value));
    }
    if let Some(most) = &row.change_over
        && joint.change_over.value > most.value
    {
        faults.push(Fault::ChangeOver(most.value));
    }
    if let Some(least) = &row.hold
        && joint.hold.value < least.value
    {
        faults.push(Fault::Hold(least.value));
    }
    faults
}
