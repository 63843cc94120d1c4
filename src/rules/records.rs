//! Rules about records of test joints: the result of each test by its criterion, and
//! departures from the procedure. The range they support is in `reach`.

use super::{Context, record_slips};
use crate::core::finding::{Finding, rules};
use crate::core::source::Span;
use crate::procedure::record::{Face, Fault, JudgedJoint, Verdict, support, test_name};
use crate::spec::record::{JointTest, Record, RecordFile, TestFigures, TestJoint, Witnessed};

rules! {
    RECORD_OF_OTHER_PROCEDURE = error("The file of a record is about another procedure.")
        .why("Joints prove the settings they were made with. Two procedures may share a size and \
              differ in a time.")
        .example("coldring-record: 1\nprocedure: AF-JP-11      # the spec is AF-JP-12")
        .fix("Name the record of this procedure, or correct the number in the record.");
    RECORD_BEFORE_ITS_JOINTS = error(
        "A test joint, or a test of it, is dated later than its record.")
        .why("A record is closed when its joints are made and tested. One of the two dates is \
              wrong, and nobody can tell which.")
        .example("date: 2026-08-28\njoints: [{id: S-1, date: 2026-08-30, …}]")
        .fix("Correct the date of the joint, of its test or of the record.");
    RECORD_WITHOUT_JOINTS = warning("A record has no test joint yet, so it supports no claim.")
        .absence()
        .why("A record that `coldring new` wrote has its joints in comments until somebody makes \
              and tests them.")
        .example("coldring-record: 1\nnumber: PQ-001\njoints: []")
        .fix("Make and test the joints, write what was measured, and remove the # from their \
            lines.");
    TESTED_BEFORE_MADE = error("A test is dated before the day its joint was made.")
        .why("A joint cannot be tested before it is made. One of the two dates is wrong, or the \
              test is of another joint.")
        .example("joints: [{id: S-1, date: 2026-08-18, tests: [{kind: straps, date: 2026-08-17, \
                  …}], …}]")
        .fix("Look up both dates, and correct the one that is wrong.");
    PULLED_AND_BURST = error("A test joint was burst, and pulled or burst besides.")
        .why("A burst test takes a whole joint and destroys it, and a joint that was pulled is no \
              longer whole. One of the tests was made of another joint, and nobody can tell which \
              joint the figures are of.")
        .example("joints: [{id: S-1, tests: [{kind: tensile, …}, {kind: burst, …}], …}]")
        .fix("Enter each test under the joint that it was made of. Where only one joint was made, \
              make and test another.");
    TEST_WITHOUT_CRITERION = warning(
        "A test of a joint has no criterion, so the test does not count.")
        .why("A burst pressure alone does not say whether a joint is good. The program read \
              criteria for straps and tensile tests only; those of pressure and crush tests are \
              in specifications that it has not read.")
        .example("tests: [{kind: burst, pressure: 712 psi, result: pass}]")
        .fix("State the limit and its source: criterion: {at_least: …, source: …}.");
    TEST_JOINT_FAILED = warning("A test of a joint failed, so the joint does not count.")
        .why("A joint that was made by the procedure and failed points to a fault in the \
            procedure, its fuser or its tools. Whoever approves the procedure has to know why.")
        .example("tests: [{kind: straps, straps: 2, with_voids: 0, failed_in_joint: 0, result: \
                  fail}]")
        .fix("Find the cause, keep the failed joint on the record, and add joints that pass.");
    TEST_RESULT_CONTRADICTED = error(
        "The result that the witness gives is not what the figures of the test say.")
        .why("Either a figure or the result is wrong. A procedure must not rest on a record that \
              contradicts itself.")
        .example("tests: [{kind: tensile, elongation: 24 %, failure: in the joint, criterion: \
                  {at_least: 25 %, source: …}, result: pass}]")
        .fix("Look the figures up in the laboratory's report, and correct the one that is wrong.");
    TEST_JOINT_REFUSED = warning("A test joint failed visual inspection, so the joint does not \
        count.")
        .why("A joint must look right before a test of it counts; a crew would cut this one out.")
        .example("joints: [{id: S-1, visual: fail, …}]")
        .fix("Make and test another joint of that size; keep this one on the record.");
    TEST_JOINT_UNTESTED = warning(
        "A test joint has no destructive test with a criterion, so the joint does not count.")
        .absence()
        .why("A bead that looks good does not prove a good joint.")
        .example("joints: [{id: S-1, visual: pass, tests: []}]")
        .fix("Enter the tests that were made of the joint, with their figures.");
    TEST_JOINT_OF_OTHER_RESIN = warning(
        "A test joint is of another resin than the procedure, so the joint does not count.")
        .why("Resins melt and flow differently. A time that is proven in one is not proven in \
              another.")
        .example("scope: {resin: PE4710}\n# in the record\njoints: [{id: S-1, resin: PE2708, …}]")
        .fix("Name joints of the procedure's resin, or correct the designation.");
    TEST_JOINT_NOT_CLAIMED = warning(
        "The procedure does not claim the size of a test joint, so the joint does not count.")
        .absence()
        .why("There is no row to compare its depth and its times with.")
        .example("scope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}\n# in the record\njoints: \
                  [{id: S-4, size: 2 IPS, …}]")
        .fix("Claim the size, or leave the joint as it is: it does no harm.");
    TEST_WALL_UNKNOWN = warning(
        "The wall of a test joint is given by a ratio that no wall is published for, so the joint \
         does not count.")
        .why("Test joints support walls down to the thinnest tested. A wall that nobody stated \
              cannot be compared, and diameter over ratio is not the wall that pipe is made with.")
        .example("# in the record\njoints: [{id: M-1, size: 90 mm, wall: SDR 17.6, …}]")
        .fix("Write the minimum wall of the test pipe, from its print line or measured: wall: … \
              mm.");
    TEST_FACE_OUTSIDE_WINDOW = warning(
        "A test joint was made with a face outside the window, so the joint does not count.")
        .why("A joint that holds though it was made outside the window says nothing about joints \
            made inside it.")
        .example("joints: [{id: S-1, face_temperatures: {pipe_adapter: 486 °F, fitting_adapter: \
                  500 °F}, …}]")
        .fix("Check the figure. If it is right, make another joint with both faces in the window.");
    TEST_PIPE_OUTSIDE_TEMPERATURES = warning(
        "The pipe of a test joint was outside the temperatures the procedure covers.")
        .why("Cold pipe takes longer to melt and hot pipe less. The joint was not made by this \
              procedure, so the joint does not count.")
        .example("scope: {pipe_temperature: 40 °F to 100 °F}\n# in the record\njoints: [{id: S-1, \
                  pipe_temperature: 34 °F, …}]")
        .fix("Check the figure. If it is right, make another joint within the range.");
    TEST_DEPTH_DIFFERS = warning(
        "A test joint was set to another depth than the procedure's, so the joint does not count.")
        .why("The depth decides how much melt is pushed where. A joint set by another gauge proves \
              that gauge.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 0.70 in}}}\n# in the record\njoints: \
                  [{size: 1 IPS, gauge_depth: 0.64 in, …}]")
        .fix("Check both figures. If they are right, make another joint with the procedure's \
              gauge.");
    TEST_TIME_OUTSIDE_ROW = warning(
        "A time of a test joint lies outside the row of the procedure, so the joint does \
         not count.")
        .why("A joint proves the times it was made with, not those on the card.")
        .example("joints: [{size: 1 IPS, heating: 21 s, …}]      # the card says 9 to 14 s")
        .fix("Check the figure. If it is right, make another joint by the card, or prove the time \
              as one of your own under `cycles`.");
    PYROMETER_CALIBRATED_LATER = warning(
        "The pyrometer's calibration is later than the joint, so nothing shows that its readings \
         were right.")
        .why("What the instrument read on the day of the joint rests on the calibration before it.")
        .example("joints: [{id: S-1, date: 2026-08-18, pyrometer: {id: P-3, calibrated: \
                  2026-08-20}, …}]")
        .fix("Give the calibration that was current on the day of the joint.");
    TEST_FACE_OFF_SET_POINT = warning(
        "A test joint was made with a face that the procedure's set point does not give, so the joint \
         does not count.")
        .absence()
        .why("Joints prove the face temperatures they were made at. With another set point the \
              faces are hotter or colder than those that were tested, though both may be in the \
              window.")
        .example("heater: {set_point: 492 °F, face_offset: 0 °F, swing: 4 °F}\n# in the \
                  record\njoints: [{id: S-1, face_temperatures: {pipe_adapter: 505 °F, \
                  fitting_adapter: 500 °F}, …}]")
        .fix("Check the figure, the set point, the offset and the swing. If they are right, make \
              another joint at this set point.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let procedure = context.procedure;
    if procedure.records.is_empty() {
        return;
    }
    let support = support(procedure, context.limits);
    for record_file in procedure.records {
        check_record(context, record_file, findings);
    }
    for joint in &support.joints {
        for fault in &joint.faults {
            findings.extend(fault_finding(context, joint, fault));
        }
        for (test, verdict) in joint.joint.tests.iter().zip(&joint.verdicts) {
            findings.extend(without_criterion(joint, test, verdict));
        }
    }
}

/// Checks a record as a whole.
fn check_record(context: &Context<'_>, record_file: &RecordFile, findings: &mut Vec<Finding>) {
    let (spec, record) = (context.procedure.spec, &record_file.record);
    let number = &record.number.value;
    if record.procedure.value != spec.number.value {
        findings.push(
            RECORD_OF_OTHER_PROCEDURE
                .at(
                    record.procedure.span,
                    format!(
                        "record {number} is about {}, and the procedure is {}",
                        record.procedure.value, spec.number.value
                    ),
                )
                .in_file(record_file.file)
                .related(record_file.named_at, "the spec names the record here")
                .help("name the record of this procedure"),
        );
    }
    if record.joints.is_empty() {
        findings.push(
            RECORD_WITHOUT_JOINTS
                .at(
                    record.number.span,
                    format!("record {number} has no test joint yet"),
                )
                .help("write the joints that were made and tested, and take their # away")
                .in_file(record_file.file),
        );
    }
    for joint in record
        .joints
        .iter()
        .filter(|j| j.date.value > record.date.value)
    {
        findings.push(
            RECORD_BEFORE_ITS_JOINTS
                .at(
                    joint.date.span,
                    format!(
                        "joint {} is dated {}, after record {number} of {}",
                        joint.id.value, joint.date.value, record.date.value
                    ),
                )
                .help("correct the date of the joint or of the record")
                .related(record.date.span, "the date of the record")
                .in_file(record_file.file),
        );
    }
    for joint in &record.joints {
        let found = tests_in_time(record, joint).chain(pulled_and_burst(joint));
        findings.extend(found.map(|finding| finding.in_file(record_file.file)));
    }
}

/// Tests before the day of their joint, and tests after the day of the record; where the
/// joint itself is, that is reported.
fn tests_in_time<'r>(
    record: &'r Record,
    joint: &'r TestJoint,
) -> impl Iterator<Item = Finding> + 'r {
    let (id, number, closed) = (&joint.id.value, &record.number.value, &record.date);
    let dated = joint.tests.iter().filter_map(move |test| {
        let date = test.date.as_ref()?;
        Some((test_name(&test.figures), date))
    });
    dated.filter_map(move |(name, date)| {
        if date.value < joint.date.value {
            let message = format!(
                "the {name} of joint {id} is dated {}, and the joint was made on {}",
                date.value, joint.date.value
            );
            let finding = TESTED_BEFORE_MADE.at(date.span, message);
            return Some(
                finding
                    .related(joint.date.span, "the day of the joint")
                    .help("correct the date that is wrong"),
            );
        }
        (date.value > closed.value && joint.date.value <= closed.value).then(|| {
            let message = format!(
                "the {name} of joint {id} is dated {}, after record {number} of {}",
                date.value, closed.value
            );
            RECORD_BEFORE_ITS_JOINTS
                .at(date.span, message)
                .related(closed.span, "the date of the record")
                .help("correct the date of the test or of the record")
        })
    })
}

/// A joint that was burst, and pulled or burst again.
fn pulled_and_burst(joint: &TestJoint) -> Option<Finding> {
    let whole = |test: &&JointTest| {
        matches!(
            test.figures,
            TestFigures::Burst(_) | TestFigures::Tensile(_)
        )
    };
    let mut tests = joint.tests.iter().filter(whole);
    let (first, second) = (tests.next()?, tests.next()?);
    let is_burst = |test: &JointTest| matches!(test.figures, TestFigures::Burst(_));
    let (is_burst, of) = (is_burst(first) || is_burst(second), |test: &JointTest| {
        test_name(&test.figures)
    });
    is_burst.then(|| {
        PULLED_AND_BURST
            .at(
                second.span,
                format!(
                    "joint {} has a {} and a {}; one joint takes one of them",
                    joint.id.value,
                    of(first),
                    of(second)
                ),
            )
            .related(first.span, "the other test")
            .help("enter each test under the joint that it was made of")
    })
}

fn without_criterion(
    joint: &JudgedJoint<'_>,
    test: &JointTest,
    verdict: &Verdict,
) -> Option<Finding> {
    if verdict.outcome != crate::procedure::record::Outcome::NotJudged {
        return None;
    }
    let (name, id) = (test_name(&test.figures), &joint.joint.id.value);
    let finding = TEST_WITHOUT_CRITERION
        .at(
            test.span,
            format!(
                "the {name} of joint {id} has no criterion: {}",
                verdict.numbers
            ),
        )
        .in_file(joint.record_file.file)
        .help("state the limit and its source: criterion: {…, source: …}");
    Some(finding.limit(format!("no criterion was read of {}", verdict.source)))
}

/// The finding for a fault; `None` if a rule about the record reports it.
fn fault_finding(
    context: &Context<'_>,
    judged: &JudgedJoint<'_>,
    fault: &Fault,
) -> Option<Finding> {
    let joint = judged.joint;
    let id = &joint.id.value;
    let again = "check the figure; if it is right, make another joint";
    let finding = match fault {
        Fault::OtherProcedure => return None,
        Fault::RefusedByEye => TEST_JOINT_REFUSED
            .at(
                joint.visual.span,
                format!("joint {id} failed visual inspection"),
            )
            .help("make and test another joint of that size"),
        // A test without a criterion is reported already.
        Fault::Untested if !joint.tests.is_empty() => return None,
        Fault::Untested => TEST_JOINT_UNTESTED
            .at(joint.id.span, format!("joint {id} has no destructive test"))
            .help("enter the tests that were made of it"),
        Fault::TestFailed(place) => {
            let (test, verdict) = (joint.tests.get(*place)?, judged.verdicts.get(*place)?);
            let name = test_name(&test.figures);
            TEST_JOINT_FAILED
                .at(
                    test.result.span,
                    format!("joint {id} failed its {name}: {}", verdict.numbers),
                )
                .help("find the cause, and add joints that pass")
                .limit(&verdict.source)
        }
        Fault::Contradicted(place) => {
            let (test, verdict) = (joint.tests.get(*place)?, judged.verdicts.get(*place)?);
            let (says, figures) = match test.result.value {
                Witnessed::Pass => ("pass", "fail"),
                Witnessed::Fail => ("fail", "pass"),
            };
            TEST_RESULT_CONTRADICTED
                .at(
                    test.result.span,
                    format!(
                        "the witness says {says} of the {} of joint {id}, and the figures say {figures}: {}",
                        test_name(&test.figures),
                        verdict.numbers
                    ),
                )
                .help("look the figures up in the report, and correct the one that is wrong")
                .limit(&verdict.source)
        }
        Fault::OtherResin => TEST_JOINT_OF_OTHER_RESIN
            .at(
                joint.resin.span,
                format!(
                    "joint {id} is of {}, and the procedure of {}",
                    joint.resin.value, context.procedure.spec.resin.value
                ),
            )
            .help("name joints of the procedure's resin"),
        Fault::NotClaimed => TEST_JOINT_NOT_CLAIMED
            .at(
                joint.size.span,
                format!(
                    "the procedure has no row for joint {id}, {}",
                    joint.size.value
                ),
            )
            .help("claim the size, or leave the joint as it is"),
        Fault::WallUnknown => TEST_WALL_UNKNOWN
            .at(
                joint.id.span,
                format!(
                    "no wall is published for the ratio that joint {id}, {}, is given with",
                    joint.size.value
                ),
            )
            .help("write the minimum wall of its pipe in place of the ratio: wall: … mm"),
        Fault::Face(face, window) => {
            let (which, measured) = match face {
                Face::Pipe => ("pipe", &joint.pipe_face),
                Face::Fitting => ("fitting", &joint.fitting_face),
            };
            let finding = TEST_FACE_OUTSIDE_WINDOW
                .at(
                    measured.span,
                    format!(
                        "the {which} adapter of joint {id} was at {}; the window is {} to {}",
                        measured.text,
                        context.temperature(window.least),
                        context.temperature(window.most)
                    ),
                )
                .help(again);
            match &context.procedure.window {
                Some(window) => finding.limit(&window.source),
                None => finding,
            }
        }
        Fault::OffSetPoint(face, range) => {
            let (which, measured) = match face {
                Face::Pipe => ("pipe", &joint.pipe_face),
                Face::Fitting => ("fitting", &joint.fitting_face),
            };
            TEST_FACE_OFF_SET_POINT
                .at(
                    measured.span,
                    format!(
                        "the {which} adapter of joint {id} was at {}; the set point gives {} to {}, \
                         with the offset, the swing and the accuracy of the check that the spec states",
                        measured.text,
                        context.temperature(range.least),
                        context.temperature(range.most)
                    ),
                )
                .help(
                    "check the figure and the heater's set point, offset and swing; if they are \
                     right, make another joint",
                )
        }
        Fault::PipeTemperature(range) => TEST_PIPE_OUTSIDE_TEMPERATURES
            .at(
                joint.pipe_temperature.span,
                format!(
                    "the pipe of joint {id} was at {}; the procedure covers {} to {}",
                    joint.pipe_temperature.text,
                    context.temperature(range.least),
                    context.temperature(range.most)
                ),
            )
            .help(again),
        Fault::Depth(depth) => TEST_DEPTH_DIFFERS
            .at(
                joint.depth.span,
                format!(
                    "joint {id} was set to {}; the procedure says {}",
                    joint.depth.text,
                    context.length(*depth)
                ),
            )
            .help(again),
        Fault::Heating(range) => time_finding(
            joint.heating.span,
            format!(
                "joint {id} was heated for {}; the row says {} to {}",
                joint.heating.text,
                range.least.show(),
                range.most.show()
            ),
        ),
        Fault::ChangeOver(most) => time_finding(
            joint.change_over.span,
            format!(
                "the change-over of joint {id} took {}; the row says at most {}",
                joint.change_over.text,
                most.show()
            ),
        ),
        Fault::Hold(least) => time_finding(
            joint.hold.span,
            format!(
                "joint {id} was held for {}; the row says at least {}",
                joint.hold.text,
                least.show()
            ),
        ),
        Fault::CalibratedLater => PYROMETER_CALIBRATED_LATER
            .at(
                joint.pyrometer.calibrated.span,
                format!(
                    "pyrometer {} was calibrated on {}, after joint {id} of {}",
                    joint.pyrometer.id.value, joint.pyrometer.calibrated.value, joint.date.value
                ),
            )
            .help("give the calibration that was current on the day of the joint"),
        Fault::CalibrationExpired => {
            record_slips::calibration_expired(joint, joint.pyrometer.due.as_ref()?)
        }
    };
    let finding = finding.in_file(judged.record_file.file);
    Some(match fault {
        Fault::OffSetPoint(..) => {
            let set_point = context.procedure.spec.heater.set_point.span;
            finding.related(set_point, "the set point")
        }
        _ => finding,
    })
}

fn time_finding(place: Span, message: String) -> Finding {
    TEST_TIME_OUTSIDE_ROW
        .at(place, message)
        .help("check the figure; if it is right, make another joint by the card")
}
