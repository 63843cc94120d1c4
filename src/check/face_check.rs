//! Rules about the check of the heater's face: whether there is one, and what
//! an instrument of its kind can prove about the window.

use super::say::{difference, whole};
use super::{Context, say};
use crate::finding::{
    Finding, Rule,
    Severity::{Error, Warning},
};
use crate::limits::Sourced;
use crate::resolve::stick_accuracy;
use crate::spec::{FaceCheck, FaceCheckMethod};
use crate::units::{Range, Temperature, TemperatureDifference, TemperatureUnit};

/// The rules of this family.
pub static RULES: &[&Rule] = &[
    &FACE_CHECK_MISSING,
    &FACE_CHECK_ONE_SIDED,
    &TWO_STICKS_MISS_THE_WINDOW,
    &TWO_STICKS_TOO_COARSE,
    &PYROMETER_ACCURACY_UNKNOWN,
];

/// Nothing says how the face is checked.
static FACE_CHECK_MISSING: Rule = Rule {
    slug: "face-check-missing",
    severity: Error,
    summary: "The procedure does not say how the face temperature is checked.",
    why: "The face is checked before the first joint of the day and from time to time after it. \
          A heater that drifts is found by that check or by a joint that fails.",
    example: "heater: {set_point: 500 °F}      # no face_check",
    fix: "Add `face_check` with the method: pyrometer, or two indicating sticks.",
    dated: false,
};

/// One stick says only that the face is hot enough.
static FACE_CHECK_ONE_SIDED: Rule = Rule {
    slug: "face-check-one-sided",
    severity: Warning,
    summary: "A single indicating stick proves one side of the window only.",
    why: "A stick melts at its rating and at everything above it. It shows that the face is hot \
          enough and cannot show that it is not too hot.",
    example: "heater:\n  face_check: {method: indicating stick, melts: 500 °F}",
    fix: "Use a pyrometer, or two sticks: a lower one that melts and an upper one that does not. \
          Never touch a stick to the part of the face that melts the pipe.",
    dated: false,
};

/// The pair of sticks leaves a gap.
static TWO_STICKS_MISS_THE_WINDOW: Rule = Rule {
    slug: "two-sticks-miss-the-window",
    severity: Error,
    summary: "The ratings of the two sticks do not lie inside the window, lower one first.",
    why: "The lower stick melts and the upper one stays solid: that puts the face between the \
          two ratings. A rating outside the window passes a face that is outside it too.",
    example: "heater:\n  face_check: {method: two indicating sticks, melts: 475 °F, \
              stays_solid: 525 °F}",
    fix: "Choose a lower stick rated at or above the window's lower end and an upper stick rated \
          at or below its upper end.",
    dated: false,
};

/// The pair lies inside, but not with its accuracy.
static TWO_STICKS_TOO_COARSE: Rule = Rule {
    slug: "two-sticks-too-coarse",
    severity: Error,
    summary: "A stick that melts as far from its rating as it may passes a face outside the window.",
    why: "A stick melts near its rating, not at it. The lower one may melt early by as much as \
          its accuracy and the upper one stay solid as much too long; the pair proves the window \
          only if both then still lie inside.",
    example: "heater:\n  face_check: {method: two indicating sticks, melts: 491 °F, \
              stays_solid: 509 °F, accuracy: 5 °F}",
    fix: "Choose ratings that lie inside the window by at least the accuracy, or check with a \
          pyrometer. Where the spec states no accuracy, the published share of the rating counts.",
    dated: false,
};

/// The pyrometer's accuracy is not stated.
static PYROMETER_ACCURACY_UNKNOWN: Rule = Rule {
    slug: "pyrometer-accuracy-unknown",
    severity: Warning,
    summary: "The pyrometer's accuracy is not stated, so what it proves is not known.",
    why: "Contact pyrometers differ widely. One that is off by more than the margin passes a \
          face that is outside the window.",
    example: "heater:\n  face_check: {method: pyrometer}",
    fix: "Add `accuracy: 2 °F`, with the figure from its calibration certificate or manual.",
    dated: false,
};

/// Applies the rules about the check.
pub fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
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
        Some(check) => instrument(context, check, findings),
    }
}

/// What the instrument can prove by its kind.
fn instrument(context: &Context<'_>, check: &FaceCheck, findings: &mut Vec<Finding>) {
    match check.method.value {
        FaceCheckMethod::Pyrometer if check.accuracy.is_none() => findings.push(
            PYROMETER_ACCURACY_UNKNOWN
                .at(check.method.span, "the pyrometer's accuracy is not stated")
                .help("add `accuracy`, from its calibration certificate or manual"),
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
        FaceCheckMethod::TwoSticks => two_sticks(context, check, findings),
    }
}

fn two_sticks(context: &Context<'_>, check: &FaceCheck, findings: &mut Vec<Finding>) {
    let (Some(lower), Some(upper)) = (&check.melts, &check.stays_solid) else {
        return;
    };
    let shown = |(temperature, unit): (Temperature, TemperatureUnit)| temperature.show_exact(unit);
    if lower.value.0 >= upper.value.0 {
        findings.push(
            TWO_STICKS_MISS_THE_WINDOW
                .at(
                    lower.span,
                    format!(
                        "the stick that melts is rated {}, not below the one that stays solid, {}",
                        shown(lower.value),
                        shown(upper.value)
                    ),
                )
                .help("give the lower rating under `melts`, the higher under `stays_solid`")
                .related(upper.span, "the stick that stays solid"),
        );
    }
    let Some(window) = &context.procedure.window else {
        return;
    };
    sticks_too_coarse(context, check, window, findings);
    let Range { least, most } = window.value;
    if lower.value.0 < least {
        let unit = lower.value.1;
        findings.push(
            TWO_STICKS_MISS_THE_WINDOW
                .at(
                    lower.span,
                    format!(
                        "a stick rated {} also melts on a face {} below the window",
                        shown(lower.value),
                        difference(least - lower.value.0, unit)
                    ),
                )
                .help(format!(
                    "use a lower stick rated {} or more",
                    whole_degrees_inside(window, unit).least.show_exact(unit)
                ))
                .limit(say::source(window)),
        );
    }
    if upper.value.0 > most {
        let unit = upper.value.1;
        findings.push(
            TWO_STICKS_MISS_THE_WINDOW
                .at(
                    upper.span,
                    format!(
                        "a stick rated {} also stays solid on a face {} above the window",
                        shown(upper.value),
                        difference(upper.value.0 - most, unit)
                    ),
                )
                .help(format!(
                    "use an upper stick rated {} or less",
                    whole_degrees_inside(window, unit).most.show_exact(unit)
                ))
                .limit(say::source(window)),
        );
    }
}

/// Ratings inside the window that are outside it once their accuracy is counted.
fn sticks_too_coarse(
    context: &Context<'_>,
    check: &FaceCheck,
    window: &Sourced<Range<Temperature>>,
    findings: &mut Vec<Finding>,
) {
    let Range { least, most } = window.value;
    for (stick, is_lower) in [(&check.melts, true), (&check.stays_solid, false)] {
        let Some(stick) = stick else { continue };
        let (rating, unit) = stick.value;
        let accuracy = match &check.accuracy {
            Some(stated) => Some(stated.value.0),
            None => stick_accuracy(stick.value, context.limits),
        };
        let Some(accuracy) = accuracy.filter(|_| window.value.contains(rating)) else {
            continue;
        };
        let (over, does, end) = if is_lower {
            (least - (rating - accuracy), "melts", "below")
        } else {
            (rating + accuracy - most, "stays solid", "above")
        };
        if over <= TemperatureDifference::ZERO {
            continue;
        }
        let mut finding = TWO_STICKS_TOO_COARSE
            .at(
                stick.span,
                format!(
                    "a stick rated {}, good to ±{}, may be one that {does} on a face {} {end} \
                     the window",
                    rating.show_exact(unit),
                    accuracy.show(unit),
                    difference(over, unit)
                ),
            )
            .help(
                "choose ratings that lie inside the window by at least the accuracy, or check \
                 with a pyrometer",
            )
            .limit(say::source(window));
        if let Some(stated) = &check.accuracy {
            finding = finding.related(stated.span, "the accuracy stated");
        }
        findings.push(finding);
    }
}

/// The window drawn in to whole degrees, so that a rating as printed lies inside.
fn whole_degrees_inside(
    window: &Sourced<Range<Temperature>>,
    unit: TemperatureUnit,
) -> Range<Temperature> {
    let degree = TemperatureDifference::written(whole(1), unit);
    let over = |temperature: Temperature| {
        let over = temperature.above_zero(unit).remainder(degree);
        over.unwrap_or_default()
    };
    let Range { least, most } = window.value;
    let up = match over(least) {
        TemperatureDifference::ZERO => TemperatureDifference::ZERO,
        part => degree + -part,
    };
    Range::new(least + up, most - over(most))
}
