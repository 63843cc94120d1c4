//! Rules about own times that have a record, or that no published time forbids, and still
//! look like typing errors.

use crate::core::finding::{Finding, rules};
use crate::core::source::Span;
use crate::procedure::resolve::Joint;
use crate::process::socket::rules::cycles;
use crate::rules::{Context, wording};
use crate::spec::CycleRow;

rules! {
    OWN_HEATING_FAR_FROM_PUBLISHED = warning(
        "Own heating that a record is cited for is less than half or more than twice the published \
         time.")
        .why("Test joints may prove another time, and a digit that changed places looks the same. \
              The factor of two is the program's own, to catch typing errors; it says nothing \
              about the \
              right time.")
        .example("cycles: {rows: [{size: 1-1/4 IPS, heat: 81 s, source: trial joints, record: \
                  PQ-3}]}")
        .fix("Compare the time with the record. Leave it if the joints were heated for so long.");
    OWN_TIMES_FALL_WITH_SIZE = warning(
        "With the spec's own times a larger size is heated or held for less than a smaller one.")
        .why("Larger pipe has a thicker wall and takes longer to melt and to set. A time that \
              falls is most often that of another row, or two rows that changed places.")
        .example("cycles:\n  rows:\n    - {size: 1 IPS, hold: 90 s, source: A}\n    - {size: 1-1/4 \
                  IPS, hold: 65 s, source: A}")
        .fix("Check both rows against the record that proves them.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    for row in &spec.cycles.rows {
        far_from_published(context, row, findings);
    }
    let joints = &context.procedure.joints;
    for (index, joint) in joints.iter().enumerate() {
        let is_alike = |other: &&Joint| {
            other.size.system() == joint.size.system()
                && other.size < joint.size
                && (other.walls, other.ungrouped_ratio) == (joint.walls, joint.ungrouped_ratio)
        };
        let mut before = joints.iter().take(index).rev();
        if let Some(smaller) = before.find(is_alike) {
            heating_falls(context, smaller, joint, findings);
        }
    }
}

fn is_proven(context: &Context<'_>, row: &CycleRow) -> bool {
    row.record.as_ref().is_some_and(|record| {
        let mut listed = context.procedure.cited();
        listed.any(|listed| listed.number.value == record.value)
    })
}

fn far_from_published(context: &Context<'_>, row: &CycleRow, findings: &mut Vec<Finding>) {
    // Without a record, the published range is the limit.
    let Some(heat) = row.heat.as_ref().filter(|_| is_proven(context, row)) else {
        return;
    };
    for joint in cycles::joints_of(context, row) {
        let Some(published) = &joint.published.heat else {
            continue;
        };
        let (own, limit) = (heat.value, published.value);
        if own.most.times(2) < limit.least || own.least > limit.most.times(2) {
            findings.push(
                OWN_HEATING_FAR_FROM_PUBLISHED
                    .at(
                        heat.span,
                        format!(
                            "heating {} for {} is far from the published {}",
                            wording::times(own),
                            joint.size,
                            wording::times(limit)
                        ),
                    )
                    .limit(wording::source(published))
                    .help("compare it with the record; leave it if the joints were heated for so long"),
            );
            return;
        }
    }
}

fn heating_falls(
    context: &Context<'_>,
    smaller: &Joint,
    joint: &Joint,
    findings: &mut Vec<Finding>,
) {
    let spec = context.procedure.spec;
    let (before, row) = (smaller.own_row(spec), joint.own_row(spec));
    let mut push = |span: Span, what: &str, time: String, smaller_time: String| {
        findings.push(
            OWN_TIMES_FALL_WITH_SIZE
                .at(
                    span,
                    format!(
                        "{} is {what} for {time}, and {} for {smaller_time}",
                        joint.size, smaller.size
                    ),
                )
                .help("check both rows against the record that proves them"),
        );
    };
    // Another rule reports a heating time outside the published range without a record.
    let wrong = [(before, smaller), (row, joint)]
        .into_iter()
        .any(|(row, joint)| row.is_some_and(|row| leaves_published(context, row, joint)));
    let at = |row: &CycleRow| row.heat.as_ref().map(|heat| heat.span);
    let own = row.and_then(at).or_else(|| before.and_then(at));
    if let (Some(span), Some(heat), Some(less)) = (own, joint.cycle.heat(), smaller.cycle.heat())
        && !wrong
        && heat.value.least < less.value.least
        && heat.value.most < less.value.most
    {
        push(
            span,
            "heated",
            wording::times(heat.value),
            wording::times(less.value),
        );
    }
    // A hold may exceed the published one for a single size, so compare only own times
    // with each other.
    let hold = |row: Option<&'_ CycleRow>| row.and_then(|row| row.hold.clone());
    if let (Some(hold), Some(less)) = (hold(row), hold(before))
        && hold.value < less.value
    {
        push(hold.span, "held", hold.value.show(), less.value.show());
    }
}

fn leaves_published(context: &Context<'_>, row: &CycleRow, joint: &Joint) -> bool {
    let (Some(own), Some(published)) = (&row.heat, &joint.published.heat) else {
        return false;
    };
    let outside = own.value.least < published.value.least || own.value.most > published.value.most;
    outside && !is_proven(context, row)
}
