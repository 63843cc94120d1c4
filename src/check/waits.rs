//! Waits after the hold: before the joint is handled, and before it is tested.

use super::{Context, say};
use crate::finding::{
    Finding, Rule,
    Severity::{Error, Warning},
};
use crate::limits::{Practice, Sourced};
use crate::spec::Stated;
use crate::units::{Duration, TimeUnit};

/// The rules of this family.
pub static RULES: &[&Rule] = &[
    &WAIT_MISSING,
    &WAIT_SHORTER_THAN_PUBLISHED,
    &PRESSURE_TEST_BEFORE_HANDLING,
    &WAIT_WITHOUT_SOURCE,
];

/// A wait the spec does not give.
static WAIT_MISSING: Rule = Rule {
    slug: "wait-missing",
    severity: Warning,
    summary: "The spec does not say how long a joint rests before handling or before the test.",
    why: "After the hold a joint is firm outside and still soft within. Pulled, bent or put under \
          pressure too early, it can creep apart at the fusion.",
    example: "cycles: {waits: {before_handling: 5 min}}      # and before the pressure test?",
    fix: "Give both waits with their source: before_pressure_test: {value: 30 min, source: \
          operations manual}. No wait before the pressure test is assumed for you.",
    dated: false,
};

/// A wait below the published one.
static WAIT_SHORTER_THAN_PUBLISHED: Rule = Rule {
    slug: "wait-shorter-than-published",
    severity: Error,
    summary: "A wait is shorter than the published wait before any stress.",
    why: "Any stress counts: a pull into the trench, a wrench on a transition, a test pressure. \
          Before the joint has cooled through, it moves instead of holding.",
    example: "cycles: {waits: {before_handling: 2 min}}",
    fix: "Wait at least as long as published after the hold.",
    dated: false,
};

/// Tested before it may be touched.
static PRESSURE_TEST_BEFORE_HANDLING: Rule = Rule {
    slug: "pressure-test-before-handling",
    severity: Error,
    summary: "The wait before the pressure test is shorter than the wait before handling.",
    why: "A joint that may not be handled yet may not be put under pressure either; two waits \
          that say so confuse the crew, and the shorter one wins.",
    example: "cycles: {waits: {before_handling: 20 min, before_pressure_test: 10 min}}",
    fix: "Make the wait before the pressure test at least as long as the wait before handling.",
    dated: false,
};

/// A wait nobody can trace.
static WAIT_WITHOUT_SOURCE: Rule = Rule {
    slug: "wait-without-source",
    severity: Warning,
    summary: "A wait is given without saying where it comes from.",
    why: "Waits differ from one organization to the next. Whoever revises the procedure has to \
          know whose figure it is before changing it.",
    example: "cycles: {waits: {before_handling: 10 min}}",
    fix: "Write {value: 10 min, source: operations manual 7.3}.",
    dated: false,
};

/// Applies the family.
pub fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let joints = &context.procedure.joints;
    let waits = &context.procedure.spec.cycles.waits;
    // The longest of the sizes binds a wait that is stated for all of them.
    let published = joints
        .iter()
        .filter_map(|j| j.published.before_handling.as_ref());
    let published = published.max_by_key(|wait| wait.value);
    let from = match context.procedure.practice() {
        Practice::Us => "after the hold",
        Practice::Metric => "from fully joined",
    };
    match &waits.before_handling {
        Some(wait) => stated(published, from, wait, "before handling", findings),
        // Metric tables give each size its cooling; there is nothing to add.
        None if context.procedure.practice() == Practice::Metric && published.is_some() => {}
        None => {
            let used = match published {
                Some(published) => format!("the published {} is used", minutes(published.value)),
                None => "none is published either, so none is printed".to_owned(),
            };
            let finding = WAIT_MISSING
                .at(
                    waits.span,
                    format!("no wait before handling is given; {used}"),
                )
                .help("state it yourself: waits: {before_handling: {value: …, source: …}}");
            findings.push(match published {
                Some(published) => finding.limit(say::source(published)),
                None => finding,
            });
        }
    }
    match &waits.before_pressure_test {
        Some(wait) => stated(published, from, wait, "before the pressure test", findings),
        None => {
            let finding = WAIT_MISSING
                .at(waits.span, "no wait before the pressure test is given, so none is printed")
                .help("nothing is assumed: take it from your operations manual or the makers, waits: {before_pressure_test: {value: …, source: …}}");
            let absent = context
                .limits
                .figure("us-times:wait-before-pressure-test:time");
            findings.push(match absent {
                Some(absent) => finding.limit(say::source_of_text(absent)),
                None => finding,
            });
        }
    }
    if let (Some(handling), Some(test)) = (&waits.before_handling, &waits.before_pressure_test)
        && test.value.value < handling.value.value
    {
        findings.push(
            PRESSURE_TEST_BEFORE_HANDLING
                .at(
                    test.value.span,
                    format!(
                        "the pressure test comes {} before the joint may be handled",
                        minutes(handling.value.value - test.value.value)
                    ),
                )
                .related(handling.value.span, "the wait before handling")
                .help(format!(
                    "wait at least {} before the pressure test",
                    minutes(handling.value.value)
                )),
        );
    }
}

fn stated(
    published: Option<&Sourced<Duration>>,
    from: &str,
    wait: &Stated<Duration>,
    name: &str,
    findings: &mut Vec<Finding>,
) {
    let own = &wait.value;
    if let Some(published) = published
        && own.value < published.value
    {
        findings.push(
            WAIT_SHORTER_THAN_PUBLISHED
                .at(
                    own.span,
                    format!(
                        "a wait of {} {name} is {} shorter than the published {} before any stress",
                        minutes(own.value),
                        minutes(published.value - own.value),
                        minutes(published.value)
                    ),
                )
                .limit(say::source(published))
                .help(format!(
                    "wait at least {} {from}",
                    minutes(published.value)
                )),
        );
    }
    if wait.source.is_none() {
        findings.push(
            WAIT_WITHOUT_SOURCE
                .at(
                    own.span,
                    format!("the wait {name} does not say where it comes from"),
                )
                .help(format!("write {{value: {}, source: …}}", own.text)),
        );
    }
}

/// A wait in minutes where it is whole minutes short of hours: `1 min` beside
/// `5 min`, where a stopwatch time would be `60 s`.
fn minutes(wait: Duration) -> String {
    let shown = wait.show();
    let number = wait.number(TimeUnit::Minute);
    if shown.ends_with(TimeUnit::Second.symbol()) && !number.contains('.') {
        return format!("{number} {}", TimeUnit::Minute.symbol());
    }
    shown
}
