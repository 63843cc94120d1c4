//! Rules about records of test joints: what each test came to by its criterion,
//! where a joint left the procedure, and whether the joints reach as far as the
//! procedure claims.

use super::{Context, record_slips};
use crate::finding::{
    Finding, Rule,
    Severity::{Error, Warning},
};
use crate::limits::Practice;
use crate::record::{Face, Fault, JudgedJoint, Support, Uncovered, Verdict, name, support};
use crate::source::Span;
use crate::spec::record::{JointTest, RecordFile, TestFigures, Witnessed};
use crate::spec::{Service, Status};

/// The rules of this family.
pub static RULES: &[&Rule] = &[
    &RECORD_OF_OTHER_PROCEDURE,
    &RECORD_BEFORE_ITS_JOINTS,
    &TEST_WITHOUT_CRITERION,
    &TEST_FAILED,
    &RESULT_CONTRADICTED,
    &TEST_JOINT_REFUSED,
    &TEST_JOINT_UNTESTED,
    &TEST_JOINT_OF_OTHER_RESIN,
    &TEST_JOINT_NOT_CLAIMED,
    &TEST_FACE_OUTSIDE_WINDOW,
    &TEST_PIPE_OUTSIDE_TEMPERATURES,
    &TEST_DEPTH_DIFFERS,
    &TEST_TIME_OUTSIDE_ROW,
    &PYROMETER_CALIBRATED_LATER,
    &RECORD_WITHOUT_PROCEDURE_TEST,
    &QUALIFIED_OUTSIDE_RANGE,
    &RANGE_WIDENED,
];

/// Another procedure's record.
static RECORD_OF_OTHER_PROCEDURE: Rule = Rule {
    slug: "record-of-other-procedure",
    severity: Error,
    summary: "The file of a record is about another procedure.",
    why: "Joints prove the settings they were made with. Two procedures may share a size and \
          differ in a time.",
    example: "coldring-record: 1\nprocedure: AF-JP-11      # the spec is AF-JP-12",
    fix: "Name the record of this procedure, or correct the number in the record.",
    dated: false,
};

/// Joints younger than their record.
static RECORD_BEFORE_ITS_JOINTS: Rule = Rule {
    slug: "record-before-its-joints",
    severity: Error,
    summary: "A test joint is dated later than the record it stands in.",
    why: "A record is closed when its joints are made and tested. One of the two dates is wrong, \
          and nobody can tell which.",
    example: "date: 2026-08-28\njoints: [{id: S-1, date: 2026-08-30, …}]",
    fix: "Correct the date of the joint or of the record.",
    dated: false,
};

/// Nothing to hold a test against.
static TEST_WITHOUT_CRITERION: Rule = Rule {
    slug: "test-without-criterion",
    severity: Warning,
    summary: "A test of a joint has no criterion to be held against, so it proves nothing here.",
    why: "A burst pressure alone does not say whether a joint is good. The program read criteria \
          for straps and tensile tests only; those of pressure and crush tests stand in \
          specifications that it has not read.",
    example: "tests: [{kind: burst, pressure: 712 psi, result: pass}]",
    fix: "State the limit and where it stands: criterion: {at_least: …, source: …}.",
    dated: false,
};

/// A test that failed.
static TEST_FAILED: Rule = Rule {
    slug: "test-joint-failed",
    severity: Warning,
    summary: "A test of a joint failed, so the joint supports nothing.",
    why: "A joint that was made by the procedure and failed speaks against the procedure, its \
          fuser or its tools. Whoever approves the procedure has to know why.",
    example: "tests: [{kind: straps, straps: 2, with_voids: 0, failed_in_joint: 0, result: fail}]",
    fix: "Find the cause, keep the failed joint on the record, and add joints that pass.",
    dated: false,
};

/// Witness and figures disagree.
static RESULT_CONTRADICTED: Rule = Rule {
    slug: "test-result-contradicted",
    severity: Error,
    summary: "The result that the witness gives is not what the figures of the test say.",
    why: "Either a figure or the result is wrong. A procedure must not rest on a record that \
          contradicts itself.",
    example: "tests: [{kind: tensile, elongation: 24.9 %, failure: in the joint, result: pass}]",
    fix: "Look the figures up in the laboratory's report, and correct the one that is wrong.",
    dated: false,
};

/// Refused by eye.
static TEST_JOINT_REFUSED: Rule = Rule {
    slug: "test-joint-refused",
    severity: Warning,
    summary: "A test joint was refused by eye, so it supports nothing.",
    why: "A joint must look right before a test of it counts; a crew would cut this one out.",
    example: "joints: [{id: S-1, visual: fail, …}]",
    fix: "Make and test another joint of that size; keep this one on the record.",
    dated: false,
};

/// Not tested.
static TEST_JOINT_UNTESTED: Rule = Rule {
    slug: "test-joint-untested",
    severity: Warning,
    summary: "A test joint has no destructive test with a criterion, so it supports nothing.",
    why: "A bead that looks good does not prove a good joint.",
    example: "joints: [{id: S-1, visual: pass, tests: []}]",
    fix: "Enter the tests that were made of the joint, with their figures.",
    dated: false,
};

/// Another resin.
static TEST_JOINT_OF_OTHER_RESIN: Rule = Rule {
    slug: "test-joint-of-other-resin",
    severity: Warning,
    summary: "A test joint is of another resin than the procedure, so it supports nothing.",
    why: "Resins melt and flow differently. A time that is proven in one is not proven in another.",
    example: "scope: {resin: PE4710}\n# in the record\njoints: [{id: S-1, resin: PE2708, …}]",
    fix: "Name joints of the procedure's resin, or correct the designation.",
    dated: false,
};

/// A size the procedure does not have.
static TEST_JOINT_NOT_CLAIMED: Rule = Rule {
    slug: "test-joint-not-claimed",
    severity: Warning,
    summary: "The procedure does not claim the size of a test joint, so the joint supports nothing.",
    why: "There is no row to hold its depth and its times against.",
    example: "scope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}\n# in the record\njoints: [{id: S-4, size: 2 IPS, …}]",
    fix: "Claim the size, or leave the joint as it is: it does no harm.",
    dated: false,
};

/// Face too cold or too hot.
static TEST_FACE_OUTSIDE_WINDOW: Rule = Rule {
    slug: "test-face-outside-window",
    severity: Warning,
    summary: "A test joint was made with a face outside the window, so it supports nothing.",
    why: "A joint that holds though it was made outside the window says nothing of joints made \
          inside it.",
    example: "joints: [{id: S-1, face_temperatures: {pipe_adapter: 486 °F, fitting_adapter: 500 °F}, …}]",
    fix: "Check the figure. If it is right, make another joint with both faces in the window.",
    dated: false,
};

/// Pipe too cold or too hot.
static TEST_PIPE_OUTSIDE_TEMPERATURES: Rule = Rule {
    slug: "test-pipe-outside-temperatures",
    severity: Warning,
    summary: "The pipe of a test joint was outside the temperatures the procedure covers.",
    why: "Cold pipe takes longer to melt and hot pipe less. The joint was not made by this \
          procedure, so it supports nothing.",
    example: "scope: {pipe_temperature: 40 °F to 100 °F}\n# in the record\njoints: [{id: S-1, pipe_temperature: 34 °F, …}]",
    fix: "Check the figure. If it is right, make another joint within the range.",
    dated: false,
};

/// Another depth.
static TEST_DEPTH_DIFFERS: Rule = Rule {
    slug: "test-depth-differs",
    severity: Warning,
    summary: "A test joint was set to another depth than the procedure's, so it supports nothing.",
    why: "The depth decides how much melt is pushed where. A joint set by another gauge proves \
          that gauge.",
    example: "tools: {depth_gauges: {1 IPS: {depth: 0.70 in}}}\n# in the record\njoints: [{size: 1 IPS, gauge_depth: 0.64 in, …}]",
    fix: "Check both figures. If they are right, make another joint with the procedure's gauge.",
    dated: false,
};

/// Other times.
static TEST_TIME_OUTSIDE_ROW: Rule = Rule {
    slug: "test-time-outside-row",
    severity: Warning,
    summary: "A time of a test joint lies outside the row of the procedure, so the joint supports nothing.",
    why: "A joint proves the times it was made with, not those on the card.",
    example: "joints: [{size: 1 IPS, heating: 21 s, …}]      # the card says 9 to 14 s",
    fix: "Check the figure. If it is right, make another joint by the card, or prove the time as \
          one of your own under `cycles`.",
    dated: false,
};

/// Calibrated afterwards.
static PYROMETER_CALIBRATED_LATER: Rule = Rule {
    slug: "pyrometer-calibrated-later",
    severity: Warning,
    summary: "The pyrometer's calibration is later than the joint, so nothing shows that its readings were right.",
    why: "What the instrument read on the day of the joint rests on the calibration before it.",
    example: "joints: [{id: S-1, date: 2026-08-18, pyrometer: {id: P-3, calibrated: 2026-08-20}, …}]",
    fix: "Give the calibration that was in force on the day of the joint.",
    dated: false,
};

/// Straps alone.
static RECORD_WITHOUT_PROCEDURE_TEST: Rule = Rule {
    slug: "record-without-procedure-test",
    severity: Warning,
    summary: "No joint of a gas record has a pressure test or a tensile test.",
    why: "Straps are how 49 CFR 192.285 judges the joint of a person. A procedure is tested by \
          49 CFR 192.283: sustained pressure or burst, and tensile for joints that are not lateral.",
    example: "joints: [{id: S-1, tests: [{kind: straps, …}], …}]      # and no other kind",
    fix: "Add the tests that the listed specification asks for, each with its criterion.",
    dated: false,
};

/// More is claimed than is proven.
static QUALIFIED_OUTSIDE_RANGE: Rule = Rule {
    slug: "qualified-outside-range",
    severity: Error,
    summary: "The status is qualified, and test joints do not reach as far as the procedure claims.",
    why: "Joints support the sizes between the smallest and the largest tested and walls down to \
          the thinnest tested, for the resin tested. Small thin walls buckle first, so a joint of \
          one size does not speak for the next smaller one.",
    example: "procedure: {status: qualified}\nscope: {pipe: {sizes: 1 IPS to 2 IPS, …}}\n\
              # in the record\njoints: [{size: 1 IPS, …}]",
    fix: "Test joints of the sizes and walls named, take them out of the scope, set the status to \
          draft, or name the wider rule you work under: qualification: {range: {rule: smaller \
          sizes too, source: …}}.",
    dated: false,
};

/// A wider rule is needed.
static RANGE_WIDENED: Rule = Rule {
    slug: "range-widened-by-rule",
    severity: Warning,
    summary: "Rows of the procedure rest on a wider rule that the spec names, not on test joints.",
    why: "The rule is the author's choice and is printed as that. An interpretation letter is not \
          the regulation, and the smallest and thinnest pipe is the first to buckle.",
    example: "qualification:\n  range: {rule: smaller sizes too, source: PHMSA PI-92-061}",
    fix: "Nothing, if the rule is meant. Joints of the rows themselves are better proof.",
    dated: false,
};

/// Applies the rules of this family.
pub fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let procedure = context.procedure;
    if procedure.records.is_empty() {
        return;
    }
    let support = support(procedure, context.limits);
    for named in procedure.records {
        record(context, named, findings);
    }
    for joint in &support.joints {
        for fault in &joint.faults {
            findings.extend(said(context, joint, fault));
        }
        for (test, verdict) in joint.joint.tests.iter().zip(&joint.verdicts) {
            findings.extend(without_criterion(joint, test, verdict));
        }
    }
    reach(context, &support, findings);
}

/// What is wrong with a record as a whole.
fn record(context: &Context<'_>, named: &RecordFile, findings: &mut Vec<Finding>) {
    let (spec, record) = (context.procedure.spec, &named.record);
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
                .in_file(named.file)
                .related(named.named_at, "the spec names the record here")
                .help("name the record of this procedure"),
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
                .in_file(named.file),
        );
    }
    let tests = || record.joints.iter().flat_map(|joint| &joint.tests);
    let of_straps = |test: &JointTest| matches!(test.figures, TestFigures::Straps { .. });
    let us_gas = spec.service.value == Service::Gas && spec.practice.value == Practice::Us;
    if us_gas && tests().next().is_some() && tests().all(of_straps) {
        findings.push(
            RECORD_WITHOUT_PROCEDURE_TEST
                .at(
                    record.number.span,
                    format!("the joints of record {number} were tested by straps only"),
                )
                .in_file(named.file)
                .help("add the pressure and tensile tests that 192.283 asks for")
                .limit("49 CFR 192.283(a), text before 2019"),
        );
    }
}

fn without_criterion(
    joint: &JudgedJoint<'_>,
    test: &JointTest,
    verdict: &Verdict,
) -> Option<Finding> {
    if verdict.outcome != crate::record::Outcome::NotJudged {
        return None;
    }
    let (name, id) = (name(&test.figures), &joint.joint.id.value);
    let finding = TEST_WITHOUT_CRITERION
        .at(
            test.span,
            format!(
                "the {name} of joint {id} has no criterion: {}",
                verdict.figure
            ),
        )
        .in_file(joint.named.file)
        .help("state the limit and where it stands: criterion: {…, source: …}");
    Some(finding.limit(format!("no criterion was read of {}", verdict.source)))
}

/// The finding of a fault; none where a rule about the record tells it.
fn said(context: &Context<'_>, judged: &JudgedJoint<'_>, fault: &Fault) -> Option<Finding> {
    let joint = judged.joint;
    let id = &joint.id.value;
    let again = "check the figure; if it is right, make another joint";
    let finding = match fault {
        Fault::OtherProcedure => return None,
        Fault::RefusedByEye => TEST_JOINT_REFUSED
            .at(joint.visual.span, format!("joint {id} was refused by eye"))
            .help("make and test another joint of that size"),
        // A test without a criterion has been told as that.
        Fault::Untested if !joint.tests.is_empty() => return None,
        Fault::Untested => TEST_JOINT_UNTESTED
            .at(joint.id.span, format!("joint {id} has no destructive test"))
            .help("enter the tests that were made of it"),
        Fault::TestFailed(place) => {
            let (test, verdict) = (joint.tests.get(*place)?, judged.verdicts.get(*place)?);
            let name = name(&test.figures);
            TEST_FAILED
                .at(
                    test.result.span,
                    format!("joint {id} failed its {name}: {}", verdict.figure),
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
            RESULT_CONTRADICTED
                .at(
                    test.result.span,
                    format!(
                        "the witness says {says} of the {} of joint {id}, and the figures say {figures}: {}",
                        name(&test.figures),
                        verdict.figure
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
        Fault::Heating(range) => time(
            joint.heating.span,
            format!(
                "joint {id} was heated for {}; the row says {} to {}",
                joint.heating.text,
                range.least.show(),
                range.most.show()
            ),
        ),
        Fault::ChangeOver(most) => time(
            joint.change_over.span,
            format!(
                "the change-over of joint {id} took {}; the row says at most {}",
                joint.change_over.text,
                most.show()
            ),
        ),
        Fault::Hold(least) => time(
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
            .help("give the calibration that was in force on the day of the joint"),
        Fault::CalibrationExpired => record_slips::expired(joint, joint.pyrometer.due.as_ref()?),
    };
    Some(finding.in_file(judged.named.file))
}

fn time(place: Span, message: String) -> Finding {
    TEST_TIME_OUTSIDE_ROW
        .at(place, message)
        .help("check the figure; if it is right, make another joint by the card")
}

/// Whether the joints reach as far as the procedure claims.
fn reach(context: &Context<'_>, support: &Support<'_>, findings: &mut Vec<Finding>) {
    let procedure = context.procedure;
    let spec = procedure.spec;
    let range = context.limits.figure("record-criteria:range:text");
    let source = range.map_or("", |figure| figure.source.as_str());
    let uncovered = support.uncovered(procedure);
    if spec.status.value == Status::Qualified && !uncovered.is_empty() {
        let mut finding = QUALIFIED_OUTSIDE_RANGE
            .at(
                spec.status.span,
                format!(
                    "the status is qualified, and no test joint supports {}; {}",
                    rows(context, &uncovered),
                    proven(context, support)
                ),
            )
            .help("test joints of these, take them out of the scope, or set the status to draft")
            .limit(source);
        for named in procedure.records {
            finding = finding.related(named.named_at, "a record that was counted");
        }
        findings.push(finding);
    }
    let widened = support.widened(procedure);
    let rules = spec.qualification.iter().flat_map(|q| &q.range);
    for rule in rules.filter(|_| !widened.is_empty()) {
        findings.push(
            RANGE_WIDENED
                .at(
                    rule.rule.span,
                    format!(
                        "by this rule alone the records support {}",
                        rows(context, &widened)
                    ),
                )
                .help("joints of these rows are better proof")
                .limit(&rule.source.value),
        );
    }
}

/// Rows by size and wall: `2 IPS DR 11 (0.216 in (5.48 mm) least wall)`.
fn rows(context: &Context<'_>, rows: &[Uncovered<'_>]) -> String {
    let units = context.procedure.practice().units();
    let named = |row: &Uncovered<'_>| {
        let why = if row.by_size { "size" } else { "wall" };
        format!("{} {} ({why})", row.joint.size, row.pipe.label.name(units))
    };
    rows.iter().map(named).collect::<Vec<_>>().join(", ")
}

/// What the joints do support.
fn proven(context: &Context<'_>, support: &Support<'_>) -> String {
    let tested: Vec<_> = support
        .tested()
        .into_iter()
        .map(|tested| {
            format!(
                "{} to {} down to a wall of {}",
                tested.smallest,
                tested.largest,
                context.length(tested.wall)
            )
        })
        .collect();
    match tested.as_slice() {
        [] => "no joint of the records counts".to_owned(),
        tested => format!("the records support {}", tested.join(" and ")),
    }
}
