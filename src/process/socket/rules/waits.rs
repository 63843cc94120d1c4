//! Rules about waits after the hold: before handling and before testing.

use crate::core::finding::{Finding, rules};
use crate::core::units::{Duration, TimeUnit};
use crate::procedure::resolve::Joint;
use crate::process::socket::practice::{Event, PhaseName};
use crate::process::socket::rules::cycles;
use crate::published::Sourced;
use crate::rules::{Context, wording};
use crate::spec::{Spec, Stated, Written};

rules! {
    WAIT_MISSING = warning(
        "The spec does not say how long a joint rests before handling or before the test.")
        .absence()
        .why("After the hold a joint is firm outside and still soft within. Pulled, bent or put \
              under pressure too early, it can creep apart at the fusion.")
        .example("cycles: {waits: {before_handling: 5 min}}      # and before the pressure test?")
        .fix("Give both waits with their source: before_pressure_test: {value: 30 min, source: \
              operations manual}. No wait before the pressure test is assumed for you.");
    WAIT_SHORTER_THAN_PUBLISHED = error(
        "A wait is shorter than the published wait before any stress.")
        .why("Any stress counts: a pull into the trench, a wrench on a transition, a test \
              pressure. Before the joint has cooled through, it moves instead of holding.")
        .example("cycles: {waits: {before_handling: 2 min}}")
        .fix("Wait at least as long as published after the hold.");
    PRESSURE_TEST_BEFORE_HANDLING = error(
        "The wait before the pressure test is shorter than the wait before handling.")
        .why("A joint that may not be handled yet may not be put under pressure either; two waits \
              that say so confuse the crew, and the shorter one wins.")
        .example("cycles: {waits: {before_handling: 20 min, before_pressure_test: 10 min}}")
        .fix("Make the wait before the pressure test at least as long as the wait before \
              handling.");
    WAIT_WITHOUT_SOURCE = warning("A wait is given without saying where it comes from.")
        .absence()
        .why("Waits differ from one organization to the next. Whoever revises the procedure has to \
              know whose figure it is before changing it.")
        .example("cycles: {waits: {before_handling: 10 min}}")
        .fix("Write {value: 10 min, source: operations manual 7.3}.");
    HOLD_LONGER_THAN_COOLING = error(
        "A metric hold is longer than the cooling in all that it is a part of.")
        .why("Metric cooling is counted from fully joined and the hold is its first part. A paper \
              on which the part is longer than the whole lets the crew pick the shorter one.")
        .example("procedure: {practice: metric}\ncycles: {rows: [{size: 32 mm, hold: 5 min, \
                  source: A}]}      # cooling 4 min")
        .fix("Make the wait before handling at least as long as the hold, both from fully joined.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let waits = &spec.cycles.waits;
    let practice = context.procedure.practice();
    // The hold is then part of the wait.
    let from_joined = practice.counted_from(PhaseName::Handling) == Some(Event::Joined);
    let from = if from_joined {
        "from fully joined"
    } else {
        "after the hold"
    };
    before_handling(context, from, findings);
    let published = longest(context.procedure.joints.iter());
    match &waits.before_pressure_test {
        Some(wait) => stated(published, from, wait, "before the pressure test", findings),
        None => {
            let finding = WAIT_MISSING
                .at(waits.span, "no wait before the pressure test is given, so none is printed")
                .help("nothing is assumed: take it from your operations manual or the manufacturers, waits: {before_pressure_test: {value: …, source: …}}")
                .asks("`before_pressure_test`", "");
            let absent = context
                .limits
                .practice_entry(practice, "times:wait-before-pressure-test:time");
            findings.push(match absent {
                Some(absent) => finding.limit(wording::entry_source(absent)),
                None => finding,
            });
        }
    }
    for row in &spec.cycles.rows {
        let Some(own) = &row.before_handling else {
            continue;
        };
        let name = format!("before {} is handled", row.size.value);
        let joints = cycles::joints_of(context, row);
        if let Some(published) = longest(joints.into_iter()) {
            findings.extend(shorter(published, from, own, &name));
        }
    }
    // A test must wait for the longest wait of any joint.
    let handling = spec
        .cycles
        .rows
        .iter()
        .filter_map(|row| row.before_handling.as_ref());
    let handling = handling.chain(waits.before_handling.iter().map(|wait| &wait.value));
    if let (Some(handling), Some(test)) = (
        handling.max_by_key(|wait| wait.value),
        &waits.before_pressure_test,
    ) && test.value.value < handling.value
    {
        findings.push(
            PRESSURE_TEST_BEFORE_HANDLING
                .at(
                    test.value.span,
                    format!(
                        "the pressure test comes {} before the joint may be handled",
                        minutes(handling.value - test.value.value)
                    ),
                )
                .related(handling.span, "the wait before handling")
                .help(format!(
                    "wait at least {} before the pressure test",
                    minutes(handling.value)
                )),
        );
    }
    if from_joined {
        for joint in &context.procedure.joints {
            findings.extend(held_too_long(spec, joint));
        }
    }
}

/// The longest published wait among joints.
fn longest<'a>(joints: impl Iterator<Item = &'a Joint>) -> Option<&'a Sourced<Duration>> {
    joints
        .filter_map(|joint| joint.published.before_handling.as_ref())
        .max_by_key(|wait| wait.value)
}

fn before_handling(context: &Context<'_>, from: &str, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let waits = &spec.cycles.waits;
    // A row with its own wait does not need one for all sizes.
    let without_own = |joint: &&Joint| {
        let row = joint.own_row(spec);
        row.is_none_or(|row| row.before_handling.is_none())
    };
    let joints = || context.procedure.joints.iter().filter(without_own);
    // A wait for all sizes must satisfy the longest one.
    let published = longest(joints());
    match &waits.before_handling {
        Some(wait) => stated(published, from, wait, "before handling", findings),
        None if joints().next().is_none() => {}
        // If the tables give a wait for each size, nothing is missing.
        None if context.procedure.practice().times_by_size && published.is_some() => {}
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
                .help("state it yourself: waits: {before_handling: {value: …, source: …}}")
                .asks("`before_handling`", "");
            findings.push(match published {
                Some(published) => finding.limit(wording::source(published)),
                None => finding,
            });
        }
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
    if let Some(published) = published {
        findings.extend(shorter(published, from, own, name));
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

fn shorter(
    published: &Sourced<Duration>,
    from: &str,
    own: &Written<Duration>,
    name: &str,
) -> Option<Finding> {
    if own.value >= published.value {
        return None;
    }
    Some(
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
            .limit(wording::source(published))
            .help(format!("wait at least {} {from}", minutes(published.value))),
    )
}

/// In metric practice, the hold is part of the cooling time.
fn held_too_long(spec: &Spec, joint: &Joint) -> Option<Finding> {
    let (hold, cooling) = (joint.cycle.hold()?, joint.cycle.before_handling()?);
    if hold.value <= cooling.value {
        return None;
    }
    let row = joint.own_row(spec);
    let own = row.and_then(|row| row.hold.as_ref().or(row.before_handling.as_ref()));
    let for_all = spec.cycles.waits.before_handling.as_ref();
    let at = own
        .or(for_all.map(|wait| &wait.value))
        .map_or(joint.claimed_at, |time| time.span);
    Some(
        HOLD_LONGER_THAN_COOLING
            .at(
                at,
                format!(
                    "{} is held still for {}, and its cooling in all, of which the hold is a part, is {}",
                    joint.size,
                    minutes(hold.value),
                    minutes(cooling.value)
                ),
            )
            .related(joint.claimed_at, "the size")
            .help("count both from fully joined: make the wait before handling at least as long as the hold"),
    )
}

/// A wait in seconds below a minute, else in whole minutes if possible, so that the waits
/// in a message are comparable: `1 min` and `90 min` beside `5 min`.
fn minutes(wait: Duration) -> String {
    // A tenth of a minute is six seconds.
    let round = wait.seconds() % 6.0 == 0.0;
    if wait >= Duration::from_seconds(60) && round {
        let number = wait.number(TimeUnit::Minute);
        return format!("{number} {}", TimeUnit::Minute.symbol());
    }
    wait.show()
}
