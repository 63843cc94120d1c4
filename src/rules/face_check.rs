//! Rules about the check of the heater's face: whether there is one, and what its
//! instrument can prove. Ratings of sticks are in `sticks`.

use super::Context;
use crate::core::finding::{Finding, rules};
use crate::spec::{FaceCheck, FaceCheckMethod};

rules! {
    FACE_CHECK_MISSING = error("The procedure does not say how the face temperature is checked.")
        .absence()
        .why("The face is checked before the first joint of the day and from time to time after \
              it. A heater that drifts is found by that check or by a joint that fails.")
        .example("heater: {set_point: 500 °F}      # no face_check")
        .fix("Add `face_check` with the method: pyrometer, or two indicating sticks.");
    FACE_CHECK_ONE_SIDED = warning("A single indicating stick proves one side of the window only.")
        .why("A stick melts at its rating and at everything above it. It shows that the face is \
              hot enough and cannot show that it is not too hot.")
        .example("heater:\n  face_check: {method: indicating stick, melts: 500 °F}")
        .fix("Use a pyrometer, or two sticks: a lower one that melts and an upper one that does \
              not. Never touch a stick to the part of the face that melts the pipe.");
    PYROMETER_ACCURACY_UNKNOWN = warning(
        "The pyrometer's accuracy is not stated, so what it proves is not known.")
        .absence()
        .why("Contact pyrometers differ widely. One that is off by more than the margin passes a \
              face that is outside the window.")
        .example("heater:\n  face_check: {method: pyrometer}")
        .fix("Add `accuracy: 2 °F`, with the figure from its calibration certificate or manual.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let heater = &context.procedure.spec.heater;
    match &heater.face_check {
        None => findings.push(
            FACE_CHECK_MISSING
                .at(
                    heater.span,
                    "the spec does not say how the adapter faces are checked",
                )
                .help("add `face_check: {method: pyrometer, accuracy: …}` under `heater`"),
        ),
        Some(check) => instrument(check, findings),
    }
}

/// Checks what this kind of instrument can prove.
fn instrument(check: &FaceCheck, findings: &mut Vec<Finding>) {
    match check.method.value {
        FaceCheckMethod::Pyrometer if check.accuracy.is_none() => findings.push(
            PYROMETER_ACCURACY_UNKNOWN
                .at(check.method.span, "the pyrometer's accuracy is not stated")
                .help("add `accuracy`, from its calibration certificate or manual")
                .asks("`accuracy`", ""),
        ),
        FaceCheckMethod::Pyrometer => {}
        FaceCheckMethod::Stick => {
            let rated = check.melts.as_ref().map_or(String::new(), |m| {
                format!(" of {}", m.value.0.show_exact(m.value.1))
            });
            findings.push(
                FACE_CHECK_ONE_SIDED
                    .at(
                        check.method.span,
                        format!(
                            "one stick proves only that the face is at or above its rating{rated}, \
                             not that it is below the upper end of the window"
                        ),
                    )
                    .help("use a pyrometer, or two sticks: one that melts and one that does not"),
            );
        }
        FaceCheckMethod::TwoSticks => {}
    }
}
