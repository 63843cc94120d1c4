//! Rules about the heater. The window applies to the faces of both adapters, so what
//! counts is set point plus measured offset, the controller's swing, and the accuracy of
//! the check. What each kind of check can prove is in `face_check`.

use super::wording::{difference, whole};
use super::{Context, wording};
use crate::core::finding::{Finding, rules};
use crate::core::units::print::temperature_range;
use crate::core::units::{
    Decimal, Percent, Range, Temperature, TemperatureDifference, TemperatureUnit,
};
use crate::procedure::resolve::FaceBand;
use crate::published::Sourced;
use crate::spec::Heater;
use crate::spec::plausible::{ACCURACY, SET_POINT};

rules! {
    FACE_OUTSIDE_WINDOW = error(
        "With these settings the adapter faces leave the temperature window.")
        .why("A face that is too cold gives a thin melt that does not bond; one that is too hot \
              burns the surface of the pipe. Both can look like a good bead. The display shows the \
              inside of the heater, and the pipe touches the face.")
        .example("heater: {set_point: 510 °F, face_offset: -2 °F, swing: 4 °F}")
        .fix("Choose a set point that puts set point plus offset in the middle of the window. If \
              the swing alone is wider than the window, the controller has to be repaired or \
              replaced.");
    FACE_CHECK_TOO_COARSE = error(
        "The check of the face is less accurate than the margin it has to prove.")
        .why("A pyrometer good to ±5 °F that reads 492 °F has not shown that the face is above 490 \
              °F. A check that cannot tell inside from outside lets a bad heater pass.")
        .example("heater:\n  set_point: 500 °F\n  swing: 6 °F\n  face_check: {method: pyrometer, \
                  accuracy: 5 °F}")
        .fix("Use a check at least as accurate as the margin that is left, or move the set point \
              so that the margin is the same on both sides.");
    SET_POINT_NOT_REACHABLE = warning("The controller's steps do not lead to the set point.")
        .why("The fuser will set the nearest number the controller has and the papers will say \
              another. A procedure that cannot be followed to the letter teaches people not to.")
        .example("heater: {set_point: 501 °F, step: 2 °F}")
        .fix("Write a set point that is a whole number of steps in the scale the controller \
              shows.");
    FACE_OFFSET_UNKNOWN = warning(
        "Nobody has stated how far the face is from what the display shows.")
        .absence()
        .why("The display shows the temperature inside the heater. The face can be several degrees \
              from it, and each set of adapters differs. Without a measured offset the face is \
              only assumed to be at the set point.")
        .example("heater: {set_point: 500 °F}      # no face_offset")
        .fix("Let the heater settle, measure both adapter faces, and write face minus display as \
              `face_offset: -2 °F`. Write `0 °F` when it was measured and there is none.");
    HEATER_STEP_OR_SWING_UNKNOWN = warning("The controller's step or its swing is not stated.")
        .absence()
        .why("A controller moves a few degrees to each side of its set point. Where the swing is \
              not known it is counted as none, and the face may leave the window unnoticed.")
        .example("heater: {set_point: 500 °F, face_offset: -2 °F}      # no step, no swing")
        .fix("Watch the display through a few cycles for the swing, try the buttons for the step, \
              or take both from the heater's manual.");
    HEATER_IN_TWO_SCALES = warning("The heater is described in °F and °C side by side.")
        .why("A swing of 4 °C is 7.2 °F. Whoever types the wrong letter after the right number \
              nearly doubles a margin or halves it, and both look alike on the page.")
        .example("heater: {set_point: 500 °F, swing: 4 °C}")
        .fix("Write all of the heater in the scale that its controller and your pyrometer show.");
}

/// Warns if a heater temperature is in another scale than the set point.
fn mixed_scales(heater: &Heater, findings: &mut Vec<Finding>) {
    let (_, own) = heater.set_point.value;
    let check = heater.face_check.as_ref();
    let accuracy = check.and_then(|check| check.accuracy.as_ref());
    let differences = [&heater.face_offset, &heater.step, &heater.swing];
    let differences = differences.into_iter().flatten().chain(accuracy);
    let other = differences.filter(|difference| difference.value.1 != own);
    findings.extend(other.map(|difference| {
        HEATER_IN_TWO_SCALES
            .at(
                difference.span,
                format!(
                    "this is in {}, and the set point is in {}",
                    difference.value.1.symbol(),
                    own.symbol()
                ),
            )
            .help("check the letter; if it is right, convert it to the scale of the set point")
            .related(heater.set_point.span, "the set point")
    }));
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let heater = &context.procedure.spec.heater;
    let window = context.procedure.window.as_ref();
    mixed_scales(heater, findings);
    controller(heater, window, findings);
    // An unreadable offset or swing is not zero.
    let unknown = heater.face_offset.is_none() || heater.swing.is_none();
    if let Some(window) = window.filter(|_| !(context.unread && unknown)) {
        check_face(context, window, findings);
    }
}

/// Reports what is unknown about the controller, and a set point it cannot show.
fn controller(
    heater: &Heater,
    window: Option<&Sourced<Range<Temperature>>>,
    findings: &mut Vec<Finding>,
) {
    if heater.face_offset.is_none() {
        findings.push(
            FACE_OFFSET_UNKNOWN
                .at(
                    heater.span,
                    "the face's offset from the display is not stated; it is counted as none",
                )
                .help("measure both adapter faces and write face minus display as `face_offset`")
                .asks("`face_offset`", ""),
        );
    }
    let unknown = match (&heater.step, &heater.swing) {
        (None, None) => Some(("step and swing", "`step`, `swing`")),
        (None, Some(_)) => Some(("step", "`step`")),
        (Some(_), None) => Some(("swing", "`swing`")),
        (Some(_), Some(_)) => None,
    };
    if let Some((unknown, fields)) = unknown {
        let rest = match heater.swing {
            None => "; the swing is counted as none",
            Some(_) => "",
        };
        findings.push(
            HEATER_STEP_OR_SWING_UNKNOWN
                .at(
                    heater.span,
                    format!("the controller's {unknown} is not stated{rest}"),
                )
                .help("watch the display through a few cycles, or take it from the heater's manual")
                .asks(fields, ""),
        );
    }
    let Some(step) = &heater.step else { return };
    let (set_point, (width, unit)) = (heater.set_point.value.0, step.value);
    let none = TemperatureDifference::ZERO;
    if let Some(over) = set_point
        .above_zero(unit)
        .remainder(width)
        .filter(|over| *over != none)
    {
        let below = set_point - over;
        let neighbors = reachable_neighbors(heater, window, [below, below + width], unit);
        findings.push(
            SET_POINT_NOT_REACHABLE
                .at(
                    heater.set_point.span,
                    format!(
                        "a controller with a step of {} cannot be set to {}",
                        width.show(unit),
                        heater.set_point.text
                    ),
                )
                .help(neighbors)
                .related(step.span, "the controller's step"),
        );
    }
}

/// The nearest settings to an unreachable set point that keep the face in the window.
fn reachable_neighbors(
    heater: &Heater,
    window: Option<&Sourced<Range<Temperature>>>,
    set_points: [Temperature; 2],
    unit: TemperatureUnit,
) -> String {
    let none = TemperatureDifference::ZERO;
    let offset = heater.face_offset.as_ref().map_or(none, |o| o.value.0);
    let swing = heater.swing.as_ref().map_or(none, |s| s.value.0);
    let keeps = |set_point: &Temperature| {
        let face = *set_point + offset;
        let inside = |window: &Sourced<Range<Temperature>>| {
            window.value.contains(face - swing) && window.value.contains(face + swing)
        };
        SET_POINT.contains(*set_point) && window.is_none_or(inside)
    };
    let shown = |set_point: Temperature| set_point.show_exact(unit);
    let kept: Vec<_> = set_points.into_iter().filter(keeps).map(shown).collect();
    match kept.as_slice() {
        [one] => format!("the nearest it can be set to is {one}"),
        [one, other] => format!("its neighbors are {one} and {other}"),
        _ => "no setting next to it keeps the face in the window".to_owned(),
    }
}

/// Checks that the face stays in the window and that the check can prove it.
fn check_face(
    context: &Context<'_>,
    window: &Sourced<Range<Temperature>>,
    findings: &mut Vec<Finding>,
) {
    let (band, heater) = (&context.procedure.face, &context.procedure.spec.heater);
    let unit = context.procedure.practice().units.temperature_unit();
    let swinging = band.with_swing();
    let leaves = excess(&swinging, &window.value, unit);
    if !leaves.is_empty() {
        let help = better_set_point(heater, &window.value, band).unwrap_or_else(|| {
            "no set point that can be set keeps the face inside: the swing is too wide for \
             the window, so have the controller repaired or use another heater"
                .to_owned()
        });
        findings.push(
            FACE_OUTSIDE_WINDOW
                .at(
                    heater.set_point.span,
                    format!(
                        "{} give a face of {}, which leaves the window of {} by {leaves}",
                        settings(heater),
                        temperature_range(swinging, unit, "to"),
                        temperature_range(window.value, unit, "to"),
                    ),
                )
                .help(help)
                .limit(wording::source(window)),
        );
        return;
    }
    let (Some(accuracy), Some(check)) = (band.accuracy, &heater.face_check) else {
        return;
    };
    if excess(&band.proven(), &window.value, unit).is_empty() {
        return;
    }
    let margin = (swinging.least - window.value.least).min(window.value.most - swinging.most);
    let enough = rounded_down(margin, unit);
    let better = ACCURACY
        .contains(enough)
        .then(|| format!("use a check accurate to ±{} or better", enough.show(unit)));
    let help = match (
        centered_set_point(heater, &window.value, band.swing + accuracy),
        better,
    ) {
        (Some(set_point), Some(better)) => format!(
            "a set point of {} leaves enough margin on both sides; else {better}",
            shown_on_controller(heater, set_point)
        ),
        (Some(set_point), None) => format!(
            "a set point of {} leaves enough margin on both sides",
            shown_on_controller(heater, set_point)
        ),
        (None, Some(better)) => better,
        (None, None) => "the face comes so near the end of the window that no check can prove it \
             inside: move the set point towards the middle"
            .to_owned(),
    };
    let place = check
        .accuracy
        .as_ref()
        .map_or(check.method.span, |a| a.span);
    let (known, limit) = match check.accuracy {
        Some(_) => ("the check is accurate to", wording::source(window)),
        None => (
            "a stick is accurate to about",
            format!(
                "{}; of the stick: {}",
                wording::source(window),
                stick_source(context)
            ),
        ),
    };
    findings.push(
        FACE_CHECK_TOO_COARSE
            .at(
                place,
                format!(
                    "the face lies at {}, inside the window of {} by {}, but {known} ±{} only",
                    temperature_range(swinging, unit, "to"),
                    temperature_range(window.value, unit, "to"),
                    margin.show(unit),
                    accuracy.show(unit),
                ),
            )
            .help(help)
            .limit(limit)
            .related(heater.set_point.span, settings(heater)),
    );
}

/// Suggests a set point that keeps the face in the window, if possible one that the check
/// can prove.
fn better_set_point(
    heater: &Heater,
    window: &Range<Temperature>,
    band: &FaceBand,
) -> Option<String> {
    let puts = |set_point| {
        format!(
            "a set point of {} puts the face near the middle of the window",
            shown_on_controller(heater, set_point)
        )
    };
    let reach = band.swing + band.accuracy.unwrap_or_default();
    if let Some(set_point) = centered_set_point(heater, window, reach) {
        return Some(puts(set_point));
    }
    let set_point = centered_set_point(heater, window, band.swing)?;
    let face = set_point + (band.center - heater.set_point.value.0);
    let margin = (face - band.swing - window.least).min(window.most - (face + band.swing));
    let unit = heater.set_point.value.1;
    let enough = rounded_down(margin, unit);
    ACCURACY.contains(enough).then(|| {
        format!(
            "{}, and the check then has to be accurate to ±{} or better",
            puts(set_point),
            enough.show(unit)
        )
    })
}

/// A set point in the unit of the controller's steps, so that the controller can show it.
fn shown_on_controller(heater: &Heater, set_point: Temperature) -> String {
    let step = heater.step.as_ref().map(|step| step.value.1);
    set_point.show_exact(step.unwrap_or(heater.set_point.value.1))
}

/// Set point, offset, and swing as in the spec.
fn settings(heater: &Heater) -> String {
    let set_point = &heater.set_point.text;
    let offset = match &heater.face_offset {
        Some(offset) => format!("offset {}", offset.value.0.show(offset.value.1)),
        None => "an offset not known".to_owned(),
    };
    let swing = match &heater.swing {
        Some(swing) => format!("swing ±{}", swing.value.0.show(swing.value.1)),
        None => "a swing not known".to_owned(),
    };
    format!("set point {set_point}, {offset} and {swing}")
}

/// The reachable set point nearest to the center, if `reach` to each side fits in the
/// window.
fn centered_set_point(
    heater: &Heater,
    window: &Range<Temperature>,
    reach: TemperatureDifference,
) -> Option<Temperature> {
    let none = TemperatureDifference::ZERO;
    let one_degree = |unit| (TemperatureDifference::written(whole(1), unit), unit);
    let (step, unit) = match &heater.step {
        Some(step) if step.value.0 != none => step.value,
        _ => one_degree(heater.set_point.value.1),
    };
    let offset = heater.face_offset.as_ref().map_or(none, |o| o.value.0);
    let half = Percent::written(whole(50));
    let ends = window.least.share(half, unit) + window.most.share(half, unit);
    let ideal = Temperature::written(whole(0), unit) + ends + -offset;
    let below = ideal - ideal.above_zero(unit).remainder(step)?;
    [below, below + step]
        .into_iter()
        .filter(|set_point| {
            let face = *set_point + offset;
            SET_POINT.contains(*set_point)
                && window.contains(face - reach)
                && window.contains(face + reach)
        })
        .min_by_key(|set_point| (*set_point - ideal).magnitude())
}

/// Source of the default accuracy of a stick.
fn stick_source(context: &Context<'_>) -> String {
    let entry = context.limits.entry("us-heater:stick-accuracy:percent");
    entry
        .and_then(|entry| entry.percent())
        .map_or_else(String::new, |percent| wording::source(&percent))
}

/// A difference rounded down to tenths, so that a printed limit is never looser than the
/// real one.
fn rounded_down(difference: TemperatureDifference, unit: TemperatureUnit) -> TemperatureDifference {
    let tenth = Decimal {
        millionths: 100_000,
        places: 1,
    };
    let over = difference.remainder(TemperatureDifference::written(tenth, unit));
    difference + -over.unwrap_or_default()
}

/// By how much `band` exceeds `window`, in words; empty if it does not.
fn excess(band: &Range<Temperature>, window: &Range<Temperature>, unit: TemperatureUnit) -> String {
    let mut ends = Vec::new();
    if band.least < window.least {
        ends.push(format!(
            "{} at the lower end",
            difference(window.least - band.least, unit)
        ));
    }
    if band.most > window.most {
        ends.push(format!(
            "{} at the upper end",
            difference(band.most - window.most, unit)
        ));
    }
    ends.join(" and ")
}
