//! Rules about indicating sticks. A stick melts at its rating, plus or minus its
//! accuracy. The stick that must melt proves the face is hot enough; the one that must
//! stay solid proves it is not too hot. A rating must prove the window, and a face at the
//! settings must be able to pass it.

use super::wording::{difference, whole};
use super::{Context, wording};
use crate::core::finding::{Finding, rules};
use crate::core::units::{Range, Temperature, TemperatureDifference, TemperatureUnit};
use crate::procedure::resolve::stick_accuracy;
use crate::published::Sourced;
use crate::spec::plausible::STICK;
use crate::spec::{FaceCheck, Written};

rules! {
    STICK_MISSES_THE_WINDOW = error(
        "The rating of an indicating stick does not lie inside the window, or two ratings stand \
         the wrong way round.")
        .why("A stick rated below the window also melts on a face that is too cold. One rated \
              above it melts only on a face that is too hot, and a crew that waits for it burns \
              the pipe. Of two sticks the lower one melts and the upper one stays solid: that puts \
              the face between the ratings.")
        .example("heater:\n  face_check: {method: indicating stick, melts: 450 °F}")
        .fix("Choose ratings inside the window, the lower one under `melts`.");
    STICK_TOO_COARSE = error(
        "A stick that melts as far from its rating as it may passes a face outside the window.")
        .why("A stick melts near its rating, not at it. The lower one may melt early by as much as \
              its accuracy and the upper one stay solid as much too long; a stick proves its side \
              of the window only if its rating lies inside by that much.")
        .example("heater:\n  face_check: {method: two indicating sticks, melts: 491 °F, \
                  stays_solid: 509 °F, accuracy: 5 °F}")
        .fix("Choose ratings that lie inside the window by at least the accuracy, or check with a \
              pyrometer. Where the spec states no accuracy, the published share of the rating \
              counts.");
    STICK_BEYOND_FACES = error(
        "A stick cannot do what is asked of it on any face that the settings give.")
        .why("Set point, offset and swing give the face. A stick rated above all of it stays solid \
              on a heater that is right, and the crew turns the heater up until it melts.")
        .example("heater:\n  set_point: 500 °F\n  swing: 4 °F\n  face_check: {method: indicating \
                  stick, melts: 508 °F}")
        .fix("Choose a stick that melts below the lowest face that the settings give, or one that \
              stays solid above the highest; or check with a pyrometer.");
    STICK_NEAR_FACES = warning(
        "A stick may fail a face that is right: its accuracy reaches into the faces that the \
         settings give.")
        .why("The face swings, and a stick melts some degrees from its rating. Where the two meet, \
              a heater that is right fails the check now and then. Turning it up until the stick \
              melts makes the joints hotter than the procedure says.")
        .example("heater:\n  set_point: 500 °F\n  swing: 4 °F\n  face_check: {method: indicating \
                  stick, melts: 500 °F}")
        .fix("Check with a pyrometer, which reads both sides. If sticks are all there is, tell the \
              crew to wait for the swing and never to change the set point because of a stick.");
}

/// A stick and its required behavior.
struct Stick<'a> {
    rating: &'a Written<(Temperature, TemperatureUnit)>,
    /// Whether it must melt; otherwise it must stay solid.
    melts: bool,
}

/// The temperatures that sticks are compared with.
struct Faces<'a> {
    window: &'a Sourced<Range<Temperature>>,
    /// Face temperatures at the settings, or the window if the settings leave it, which
    /// another rule reports.
    given: Range<Temperature>,
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let Some(check) = &context.procedure.spec.heater.face_check else {
        return;
    };
    if let (Some(lower), Some(upper)) = (&check.melts, &check.stays_solid)
        && lower.value.0 >= upper.value.0
    {
        findings.push(wrong_way_round(lower, upper));
        return;
    }
    let Some(window) = &context.procedure.window else {
        return;
    };
    let swinging = context.procedure.face.with_swing();
    let inside = window.value.contains(swinging.least) && window.value.contains(swinging.most);
    let faces = Faces {
        window,
        given: if inside { swinging } else { window.value },
    };
    let sticks = [(&check.melts, true), (&check.stays_solid, false)];
    for (rating, melts) in sticks {
        let Some(rating) = rating else { continue };
        let stick = Stick { rating, melts };
        findings.extend(check_stick(context, check, &stick, &faces));
    }
}

fn wrong_way_round(
    lower: &Written<(Temperature, TemperatureUnit)>,
    upper: &Written<(Temperature, TemperatureUnit)>,
) -> Finding {
    let shown = |(temperature, unit): (Temperature, TemperatureUnit)| temperature.show_exact(unit);
    STICK_MISSES_THE_WINDOW
        .at(
            lower.span,
            format!(
                "the stick that melts is rated {}, not below the one that stays solid, {}",
                shown(lower.value),
                shown(upper.value)
            ),
        )
        .help("give the lower rating under `melts`, the higher under `stays_solid`")
        .related(upper.span, "the stick that stays solid")
}

/// Accuracy of a stick, in each direction.
fn accuracy(
    context: &Context<'_>,
    check: &FaceCheck,
    rating: (Temperature, TemperatureUnit),
) -> TemperatureDifference {
    match &check.accuracy {
        Some(stated) => stated.value.0,
        None => stick_accuracy(rating, context.limits).unwrap_or_default(),
    }
}

/// The most serious finding about a stick.
fn check_stick(
    context: &Context<'_>,
    check: &FaceCheck,
    stick: &Stick<'_>,
    faces: &Faces<'_>,
) -> Option<Finding> {
    let (rating, unit) = stick.rating.value;
    let Range { least, most } = faces.window.value;
    let off = accuracy(context, check, stick.rating.value);
    let (span, shown) = (stick.rating.span, rating.show_exact(unit));
    let does = if stick.melts { "melt" } else { "stay solid" };
    let nothing = TemperatureDifference::ZERO;
    let help = suggested_rating(context, check, stick, faces);
    if !faces.window.value.contains(rating) {
        let message = match (stick.melts, rating < least) {
            (true, true) => format!(
                "a stick rated {shown} also melts on a face {} below the window",
                difference(least - rating, unit)
            ),
            (true, false) => format!(
                "a stick rated {shown} melts only on a face {} above the window",
                difference(rating - most, unit)
            ),
            (false, true) => format!(
                "a stick rated {shown} stays solid only on a face {} below the window",
                difference(least - rating, unit)
            ),
            (false, false) => format!(
                "a stick rated {shown} also stays solid on a face {} above the window",
                difference(rating - most, unit)
            ),
        };
        let finding = STICK_MISSES_THE_WINDOW.at(span, message).help(help);
        return Some(finding.limit(wording::source(faces.window)));
    }
    let (over, end) = if stick.melts {
        (least - (rating - off), "below")
    } else {
        (rating + off - most, "above")
    };
    if over > nothing {
        let finding = STICK_TOO_COARSE
            .at(
                span,
                format!(
                    "a stick rated {shown}, good to ±{}, may {does} on a face {} {end} the window",
                    off.show(unit),
                    difference(over, unit)
                ),
            )
            .help(help)
            .limit(wording::source(faces.window));
        return Some(match &check.accuracy {
            Some(stated) => finding.related(stated.span, "the accuracy stated"),
            None => finding,
        });
    }
    let given = faces.given;
    let (beyond, end) = if stick.melts {
        (rating - given.most, "hottest")
    } else {
        (given.least - rating, "coldest")
    };
    let fails = if stick.melts {
        "does not melt"
    } else {
        "melts"
    };
    if beyond > nothing {
        return Some(
            STICK_BEYOND_FACES
                .at(
                    span,
                    format!(
                        "a stick rated {shown} {fails} on any face that the settings give: the \
                         {end} is {} from it",
                        difference(beyond, unit)
                    ),
                )
                .related(
                    context.procedure.spec.heater.set_point.span,
                    "the set point",
                )
                .help(help),
        );
    }
    let (reach, worst) = if stick.melts {
        (rating + off - given.least, given.least)
    } else {
        (given.most - (rating - off), given.most)
    };
    (reach > nothing).then(|| {
        let may = if stick.melts {
            "may stay solid"
        } else {
            "may melt"
        };
        STICK_NEAR_FACES
            .at(
                span,
                format!(
                    "a stick rated {shown}, accurate to ±{}, {may} on a face at {}, which is a \
                    correct temperature",
                    off.show(unit),
                    worst.show_exact(unit)
                ),
            )
            .help(
                "check with a pyrometer; with sticks alone wait for the swing, and never change \
                 the set point to make a stick pass",
            )
    })
}

/// Suggests a rating that proves the window, that a face at the settings can pass, and
/// that is on the right side of the other stick's.
fn suggested_rating(
    context: &Context<'_>,
    check: &FaceCheck,
    stick: &Stick<'_>,
    faces: &Faces<'_>,
) -> String {
    let unit = stick.rating.value.1;
    let Range { least, most } = faces.window.value;
    let proves = |rating: &Temperature| {
        let off = accuracy(context, check, (*rating, unit));
        let passes = if stick.melts {
            *rating - off >= least && *rating <= faces.given.most
        } else {
            *rating + off <= most && *rating >= faces.given.least
        };
        passes && STICK.contains(*rating)
    };
    let rating = if stick.melts {
        whole_degrees(faces.window.value, unit).find(proves)
    } else {
        whole_degrees(faces.window.value, unit)
            .filter(proves)
            .last()
    };
    match rating.map(|rating| rating.show_exact(unit)) {
        Some(rating) if stick.melts => {
            format!(
                "use a stick rated {rating}, or the next rating up; or check with a \
                pyrometer"
            )
        }
        Some(rating) => {
            format!(
                "use a stick rated {rating}, or the next rating down; or check with a \
                pyrometer"
            )
        }
        None => "no stick of this accuracy proves the window: check with a pyrometer".to_owned(),
    }
}

/// Whole degrees in a range, lowest first.
fn whole_degrees(
    range: Range<Temperature>,
    unit: TemperatureUnit,
) -> impl Iterator<Item = Temperature> {
    let degree = TemperatureDifference::written(whole(1), unit);
    let over = range.least.above_zero(unit).remainder(degree);
    let first = match over.unwrap_or_default() {
        TemperatureDifference::ZERO => range.least,
        part => range.least - part + degree,
    };
    std::iter::successors(Some(first), move |before| Some(*before + degree))
        .take_while(move |rating| *rating <= range.most)
}
