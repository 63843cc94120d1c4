//! Rules about cold-weather work: the lower limit that the papers print.

use crate::core::finding::{Finding, rules};
use crate::rules::Context;

rules! {
    COLD_LIMITS_DIFFER = error(
        "The range of pipe temperatures and the cold-weather section give different lower limits.")
        .why("The papers print both. Where the range begins lower, the crew makes joints that the \
              section forbids. Where it begins higher, the section reads as leave to go lower.")
        .example("scope: {pipe_temperature: 20 °F to 110 °F}\ncold_weather: {no_joints_below: 60 \
                  °F}")
        .fix("Give `no_joints_below` the lower end of `pipe_temperature`, or leave it out: the \
              range says it already.");
    COLD_SECTION_UNUSED = warning(
        "There is a cold-weather section, and the range of pipe temperatures has no cold in it.")
        .why("The papers then have a column for times in the cold that no crew may use. Most often \
              the range begins at another number than was meant.")
        .example("scope: {pipe_temperature: 50 °F to 110 °F}\ncold_weather: {trial_step: 3 s}")
        .fix("Correct the lower end of the range, or take the cold-weather section out.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    if let (Some(_), Some(range), Some(trigger)) = (
        &spec.cold_weather,
        &spec.pipe_temperature,
        &context.procedure.cold_trigger,
    ) && range.value.least >= trigger.value
    {
        findings.push(
            COLD_SECTION_UNUSED
                .at(
                    range.span,
                    format!(
                        "the range begins at {}, and work in the cold begins below {}",
                        context.temperature(range.value.least),
                        context.temperature(trigger.value)
                    ),
                )
                .help("correct the lower end of the range, or take `cold_weather` out"),
        );
    }
    let cold = spec.cold_weather.as_ref();
    let floor = cold.and_then(|cold| cold.no_joints_below.as_ref());
    let (Some(range), Some(floor)) = (&spec.pipe_temperature, floor) else {
        return;
    };
    let (lowest, floor) = (range.value.least, &floor.value);
    // A difference too small to print is the same temperature in the other scale: 5 °C
    // and 41 °F.
    if context.temperature(lowest) == context.temperature(floor.value) {
        return;
    }
    let (lowest, limit) = (
        context.temperature(lowest),
        context.temperature(floor.value),
    );
    let message = if floor.value > range.value.most {
        format!(
            "no joint is made below {limit}, and the whole range of pipe temperatures lies below it"
        )
    } else if floor.value > range.value.least {
        format!(
            "no joint is made below {limit}, and the range of pipe temperatures begins at {lowest}"
        )
    } else {
        format!(
            "the range of pipe temperatures begins at {lowest}, and joints are ruled out only below {limit}"
        )
    };
    findings.push(
        COLD_LIMITS_DIFFER
            .at(floor.span, message)
            .related(range.span, "the range")
            .help("decide which of the two holds; write it at the lower end of `pipe_temperature`, and leave `no_joints_below` out or give it the same value"),
    );
}
