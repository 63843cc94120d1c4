//! Rules about contradictions in a record: people, tools, and lots.

use chrono::NaiveDate;

use super::Context;
use crate::core::finding::{Finding, rules};
use crate::core::size::Size;
use crate::core::source::Spanned;
use crate::spec::record::{Partner, RecordFile, TestJoint};

rules! {
    WITNESS_MADE_THE_JOINT = warning("The witness of a record also made joints of it.")
        .why("A witness is there so that somebody else saw what was done. Whoever made the joint \
              cannot be that person.")
        .example("witness: A. Weld\njoints: [{id: S-1, operator: A. Weld, …}]")
        .fix("Name the person who saw the tests, or have joints made by somebody else.");
    PERSON_IS_ORGANIZATION = warning(
        "The witness or an operator of a record has the name of the organization or the \
         laboratory.")
        .why("A company makes no joint and sees no test. The line was filled in the wrong place, \
              and the person is not on record.")
        .example("laboratory: Test House\nwitness: Test House")
        .fix("Write the name of the person.");
    TEST_GAUGE_OF_OTHER_SIZE = error("A test joint was made with the depth gauge of another size.")
        .why("The gauge of another size sets another depth. Either the mark in the record is wrong \
              or the joint is; a procedure must not rest on a record that leaves this open.")
        .example("tools: {depth_gauges: {1 IPS: {depth: 0.71 in, id: G-1}, 2 IPS: {depth: 0.94 in, \
                  id: G-2}}}\n# in the record\njoints: [{id: S-1, size: 2 IPS, gauge: G-1, …}]")
        .fix("Correct the mark if it was mistyped, else make another joint with the gauge of its \
              size.");
    PYROMETER_CALIBRATION_EXPIRED = warning(
        "The pyrometer's calibration had run out when the joint was made, so the joint supports \
         nothing.")
        .why("After the day on which it is due, nothing shows that the readings of the faces were \
              right, and with them the temperatures the joint was made at.")
        .example("joints: [{id: S-1, date: 2026-08-18, pyrometer: {id: P-3, calibrated: \
                  2025-08-03, due: 2026-08-03}, …}]")
        .fix("Give the calibration that was current on the day of the joint. If there was none, \
              make another joint.");
    ONE_MARK_TWO_TOOLS = warning("Two tools of a test joint have the same mark.")
        .why("Heater, depth gauge and pyrometer are three things. One of the marks was copied, and \
              what was really used is not on record.")
        .example("joints: [{id: S-1, heater: P-3, gauge: G-1, pyrometer: {id: P-3, …}, …}]")
        .fix("Read the marks on the tools again, and correct the one that is wrong.");
    PIPE_AND_FITTING_OF_ONE_LOT = warning(
        "Pipe and fitting of a test joint have the same maker and the same lot.")
        .why("Pipe is extruded and fittings are molded, so no lot holds both. One line was copied, \
              and the lot that was tested is not on record.")
        .example("joints: [{id: S-1, pipe: {maker: Maker, lot: 26-1}, fitting: {maker: Maker, lot: \
                  26-1}, partner: pipe, …}]")
        .fix("Read the print lines again, and correct the lot that is wrong.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    for record_file in context.procedure.records {
        let mut found = Vec::new();
        people(context, record_file, &mut found);
        for joint in &record_file.record.joints {
            found.extend(gauge(context, joint));
            found.extend(marks(joint));
            found.extend(lots(joint));
        }
        let placed = found
            .into_iter()
            .map(|finding| finding.in_file(record_file.file));
        findings.extend(placed);
    }
}

/// A name without differences in case and spaces.
fn normalized_name(name: &str) -> String {
    let words: Vec<_> = name.split_whitespace().collect();
    words.join(" ").to_lowercase()
}

/// Findings are printed on papers, so none of these repeats a name.
fn people(context: &Context<'_>, record_file: &RecordFile, found: &mut Vec<Finding>) {
    let record = &record_file.record;
    let number = &record.number.value;
    let witness = normalized_name(&record.witness);
    let mut joints = record.joints.iter();
    if let Some(joint) = joints.find(|joint| normalized_name(&joint.operator) == witness) {
        found.push(
            WITNESS_MADE_THE_JOINT
                .at(
                    record.witness.span,
                    format!(
                        "the witness of record {number} also made joint {}",
                        joint.id.value
                    ),
                )
                .related(joint.operator.span, "the same name")
                .help("name the person who saw the tests"),
        );
    }
    let companies = [
        normalized_name(&context.procedure.spec.organization),
        normalized_name(&record.laboratory),
    ];
    let operators = record
        .joints
        .iter()
        .map(|joint| ("operator", &joint.operator));
    let mut people = std::iter::once(("witness", &record.witness)).chain(operators);
    if let Some((who, name)) = people.find(|(_, name)| companies.contains(&normalized_name(name))) {
        found.push(
            PERSON_IS_ORGANIZATION
                .at(
                    name.span,
                    format!("the {who} in record {number} has the name of a company"),
                )
                .help("write the name of the person"),
        );
    }
}

fn gauge(context: &Context<'_>, joint: &TestJoint) -> Option<Finding> {
    let gauges = &context.procedure.spec.tools.depth_gauges;
    let marked = |size: &Spanned<Size>| size.value == joint.size.value;
    let same =
        |id: &Option<Spanned<String>>| id.as_ref().is_some_and(|id| id.value == joint.gauge.value);
    let mut owners = gauges.iter().filter(|(_, gauge)| same(&gauge.id));
    // Two gauges with one mark are a finding about the spec, and a size without a gauge
    // is reported as not claimed.
    let known = gauges.iter().any(|(size, _)| marked(size));
    if !known || owners.clone().any(|(size, _)| marked(size)) {
        return None;
    }
    let (owner, _) = owners.next()?;
    Some(
        TEST_GAUGE_OF_OTHER_SIZE
            .at(
                joint.gauge.span,
                format!(
                    "joint {} is {}, and {} is the gauge of {}",
                    joint.id.value, joint.size.value, joint.gauge.value, owner.value
                ),
            )
            .help(
                "correct the mark if it was mistyped, else make another joint with the gauge \
                of its size",
            ),
    )
}

fn marks(joint: &TestJoint) -> Option<Finding> {
    let tools = [
        ("heater", &joint.heater),
        ("depth gauge", &joint.gauge),
        ("pyrometer", &joint.pyrometer.id),
    ];
    let mut pairs = tools.iter().enumerate().flat_map(|(index, second)| {
        let before = tools.iter().take(index);
        before.map(move |first| (first, second))
    });
    let ((one, first), (two, second)) = pairs.find(|((_, a), (_, b))| a.value == b.value)?;
    Some(
        ONE_MARK_TWO_TOOLS
            .at(
                second.span,
                format!(
                    "the {one} and the {two} of joint {} are both {}",
                    joint.id.value, second.value
                ),
            )
            .related(first.span, format!("the {one}"))
            .help("read the marks on the tools again"),
    )
}

fn lots(joint: &TestJoint) -> Option<Finding> {
    let (pipe, fitting) = (&joint.pipe, &joint.fitting);
    let is_one = normalized_name(&pipe.maker) == normalized_name(&fitting.maker)
        && pipe.lot.value == fitting.lot.value
        && joint.partner.value == Partner::Pipe;
    is_one.then(|| {
        PIPE_AND_FITTING_OF_ONE_LOT
            .at(
                fitting.lot.span,
                format!(
                    "pipe and fitting of joint {} are both of lot {}",
                    joint.id.value, fitting.lot.value
                ),
            )
            .related(pipe.lot.span, "the lot of the pipe")
            .help("read the print lines again, and correct the lot that is wrong")
    })
}

/// A calibration that was due before the joint was made.
pub(crate) fn calibration_expired(joint: &TestJoint, due: &Spanned<NaiveDate>) -> Finding {
    let pyrometer = &joint.pyrometer;
    let message = if due.value <= pyrometer.calibrated.value {
        format!(
            "pyrometer {} is due on {}, and was calibrated on {}, not before it",
            pyrometer.id.value, due.value, pyrometer.calibrated.value
        )
    } else {
        format!(
            "the calibration of pyrometer {} was due on {}, before joint {} of {}",
            pyrometer.id.value, due.value, joint.id.value, joint.date.value
        )
    };
    PYROMETER_CALIBRATION_EXPIRED
        .at(due.span, message)
        .help("give the calibration that was current on the day of the joint")
}
