//! Compares a test joint with its procedure: whether it was made by the procedure's
//! numbers, and passed.

use super::criteria::{Outcome, Verdict, judge};
use crate::core::units::{Duration, Length, LengthUnit, Range, Temperature};
use crate::procedure::resolve::{
    Joint, Pipe, Procedure, WallLabel, minimum_wall_for, wall_group_for,
};
use crate::published::{Library, ResinGroup, Sourced};
use crate::spec::record::{RecordFile, TestJoint, TestWall, Witnessed};

/// A face of the heater.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Face {
    /// The face that heats the pipe.
    Pipe,
    /// The face that heats the fitting.
    Fitting,
}

/// Why a test joint does not support the procedure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// The record is of another procedure.
    OtherProcedure,
    /// The joint failed the visual check.
    RefusedByEye,
    /// No test of it has a criterion.
    Untested,
    /// A test failed, by its numbers or by the witness.
    TestFailed(usize),
    /// The witness contradicts the numbers of a test.
    Contradicted(usize),
    /// It is of another resin.
    OtherResin,
    /// The procedure does not claim its size or its wall.
    NotClaimed,
    /// Its ratio has no published wall, and the procedure states none.
    WallUnknown,
    /// The face was outside the window.
    Face(Face, Range<Temperature>),
    /// The face was in the window, but not where the set point puts it.
    OffSetPoint(Face, Range<Temperature>),
    /// The pipe was colder or hotter than the procedure covers.
    PipeTemperature(Range<Temperature>),
    /// Its depth differs from the procedure's.
    Depth(Length),
    /// Its heating time differs from the procedure's.
    Heating(Range<Duration>),
    /// The change-over took longer.
    ChangeOver(Duration),
    /// Its hold was shorter.
    Hold(Duration),
    /// The pyrometer was calibrated after the joint was made.
    CalibratedLater,
    /// The pyrometer was due for calibration before the joint was made.
    CalibrationExpired,
}

/// A test joint, judged.
#[derive(Debug, Clone)]
pub struct JudgedJoint<'r> {
    /// The record that contains it.
    pub record_file: &'r RecordFile,
    /// The joint.
    pub joint: &'r TestJoint,
    /// Verdicts on its tests, in order.
    pub verdicts: Vec<Verdict>,
    /// Its minimum wall, if the diameter of its size is known.
    pub wall: Option<Length>,
    /// Why it does not support the procedure; empty when it does.
    pub faults: Vec<Fault>,
}

impl JudgedJoint<'_> {
    /// Whether the joint supports the procedure.
    pub(crate) fn counts(&self) -> bool {
        self.faults.is_empty() && self.wall.is_some()
    }
}

/// The wall of a test joint as a procedure names it.
pub(crate) fn label(wall: &TestWall) -> WallLabel {
    match wall {
        TestWall::Ratio(ratio) => WallLabel::Ratio(ratio.value),
        TestWall::Stated(wall) => WallLabel::Stated(wall.value),
    }
}

pub(super) fn judge_joint<'r>(
    record_file: &'r RecordFile,
    joint: &'r TestJoint,
    procedure: &Procedure<'_>,
    limits: &Library,
) -> JudgedJoint<'r> {
    let verdicts: Vec<_> = joint.tests.iter().map(|test| judge(test, limits)).collect();
    let size = joint.size.value;
    let od = limits.outside_diameter(size);
    let wall = od
        .as_ref()
        .and_then(|od| minimum_wall(joint, od, procedure, limits));
    let mut faults = Vec::new();
    let mut add_if = |is: bool, fault: Fault| faults.extend(is.then_some(fault));
    add_if(
        record_file.record.procedure.value != procedure.spec.number.value,
        Fault::OtherProcedure,
    );
    add_if(joint.visual.value == Witnessed::Fail, Fault::RefusedByEye);
    let judged = |verdict: &Verdict| verdict.outcome != Outcome::NotJudged;
    add_if(!verdicts.iter().any(judged), Fault::Untested);
    for (place, (test, verdict)) in joint.tests.iter().zip(&verdicts).enumerate() {
        let contradicted = verdict.contradicts(test.result.value);
        add_if(contradicted, Fault::Contradicted(place));
        let failed = verdict.outcome == Outcome::Fail || test.result.value == Witnessed::Fail;
        add_if(failed && !contradicted, Fault::TestFailed(place));
    }
    add_if(other_resin(joint, procedure, limits), Fault::OtherResin);
    add_if(
        joint.pyrometer.calibrated.value > joint.date.value,
        Fault::CalibratedLater,
    );
    let due = joint.pyrometer.due.as_ref();
    let calibrated = joint.pyrometer.calibrated.value;
    add_if(
        due.is_some_and(|due| due.value < joint.date.value || due.value <= calibrated),
        Fault::CalibrationExpired,
    );
    let set = procedure.face.proven();
    let mut off_set_point = None;
    for (face, measured) in [
        (Face::Pipe, joint.pipe_face.value.0),
        (Face::Fitting, joint.fitting_face.value.0),
    ] {
        match &procedure.window {
            Some(window) if !window.value.contains(measured) => {
                add_if(true, Fault::Face(face, window.value));
            }
            _ if !set.contains(measured) => {
                // One set point heats both faces, so report it once per joint.
                off_set_point.get_or_insert(face);
            }
            _ => {}
        }
    }
    if let Some(face) = off_set_point {
        add_if(true, Fault::OffSetPoint(face, set));
    }
    if let Some(range) = &procedure.spec.pipe_temperature {
        let outside = !range.value.contains(joint.pipe_temperature.value.0);
        add_if(outside, Fault::PipeTemperature(range.value));
    }
    match procedure_row(joint, wall, procedure, limits) {
        None => add_if(true, Fault::NotClaimed),
        Some(row) => {
            add_if(od.is_some() && wall.is_none(), Fault::WallUnknown);
            faults.extend(departures(
                joint,
                row,
                is_of_earlier_revision(record_file, procedure),
            ));
        }
    }
    JudgedJoint {
        record_file,
        joint,
        verdicts,
        wall,
        faults,
    }
}

/// The minimum wall of a test joint's pipe: that of the procedure's pipe with the same
/// ratio, or else as stated or published.
fn minimum_wall(
    joint: &TestJoint,
    od: &Sourced<Length>,
    procedure: &Procedure<'_>,
    limits: &Library,
) -> Option<Length> {
    let (size, label) = (joint.size.value, label(&joint.wall));
    let mut pipes = procedure
        .joints
        .iter()
        .filter(|row| row.size == size)
        .flat_map(|row| &row.pipes);
    let same_ratio = |pipe: &&Pipe| label.ratio().is_some() && pipe.label.ratio() == label.ratio();
    if let Some(pipe) = pipes.find(same_ratio) {
        return Some(pipe.minimum_wall.value);
    }
    let group = procedure.resin.as_ref().map(|resin| resin.group);
    Some(minimum_wall_for(size, label, group, od, limits)?.value)
}

fn other_resin(joint: &TestJoint, procedure: &Procedure<'_>, limits: &Library) -> bool {
    let code = |written: &str| match limits.resin(written) {
        Some(resin) => resin.code,
        None => written.to_owned(),
    };
    code(&joint.resin) != code(&procedure.spec.resin)
}

/// Whether the record is of an earlier revision than the current one.
fn is_of_earlier_revision(record_file: &RecordFile, procedure: &Procedure<'_>) -> bool {
    let current = procedure.spec.revisions.last();
    current.is_some_and(|current| record_file.record.revision.value < current.number.value)
}

/// The procedure's joint that a test joint was made by: the one with its wall, or else
/// the one with its wall group.
fn procedure_row<'p>(
    joint: &TestJoint,
    wall: Option<Length>,
    procedure: &'p Procedure<'_>,
    limits: &Library,
) -> Option<&'p Joint> {
    let size = joint.size.value;
    let rows = || procedure.joints.iter().filter(|row| row.size == size);
    let same_wall = |row: &&Joint| {
        let mut pipes = row.pipes.iter();
        pipes.any(|pipe| Some(pipe.minimum_wall.value) == wall)
    };
    let group = procedure.resin.as_ref().map(|resin| resin.group);
    let as_claimed = wall_group_for(size, label(&joint.wall), group, limits);
    let heated_with = match &joint.wall {
        // A measured wall is thicker than the minimum of its series.
        TestWall::Stated(measured) if group == Some(ResinGroup::MetricPe) => limits
            .metric_series(size, measured.value)
            .map(|series| wall_group_for(size, WallLabel::Ratio(series), group, limits)),
        _ => None,
    };
    rows().find(same_wall).or_else(|| {
        rows().find(|row| {
            [Some(as_claimed), heated_with].contains(&Some((row.walls, row.ungrouped_ratio)))
        })
    })
}

/// Departures of a test joint from the procedure. A joint of an earlier revision used
/// that revision's change-over and hold; if the change-over is shorter now or the hold
/// longer, its test was harder, and it counts.
fn departures(joint: &TestJoint, row: &Joint, earlier: bool) -> Vec<Fault> {
    let mut faults = Vec::new();
    // A depth in the other unit counts as equal if both print the same.
    let shown = |depth: Length| depth.show(LengthUnit::Inch);
    if let Some(depth) = row.depth.known()
        && shown(depth.value) != shown(joint.depth.value)
    {
        faults.push(Fault::Depth(depth.value));
    }
    if let Some(heat) = row.cycle.heat()
        && !heat.value.contains(joint.heating.value)
    {
        faults.push(Fault::Heating(heat.value));
    }
    if let Some(most) = row.cycle.change_over()
        && joint.change_over.value > most.value
        && !earlier
    {
        faults.push(Fault::ChangeOver(most.value));
    }
    if let Some(least) = row.cycle.hold()
        && joint.hold.value < least.value
        && !earlier
    {
        faults.push(Fault::Hold(least.value));
    }
    faults
}
