//! The organisation's own times for heating, hold and change-over, against the
//! published ones.

use std::collections::HashMap;

use super::{Context, say};
use crate::finding::{
    Finding, Rule,
    Severity::{Error, Note},
};
use crate::limits::{Cycle, Resin, Sourced, WallGroup};
use crate::resolve::Joint;
use crate::size::Size;
use crate::source::Span;
use crate::spec::{CycleRow, Written};
use crate::units::Duration;

/// The rules of this family.
pub static RULES: &[&Rule] = &[
    &HEATING_OUTSIDE_PUBLISHED,
    &HOLD_SHORTER_THAN_PUBLISHED,
    &CYCLE_ROW_GIVEN_TWICE,
    &OWN_ROW_FOR_UNCLAIMED_SIZE,
    &CHANGE_OVER_LONGER,
];

/// Heating outside the published range with nothing to prove it.
static HEATING_OUTSIDE_PUBLISHED: Rule = Rule {
    slug: "heating-outside-published",
    severity: Error,
    summary: "Own heating times leave the published range, and no record proves them.",
    why: "Too short, and the melt is too thin to fuse: a cold joint that can hold the test and \
          fail later. Too long, and the pipe end softens and buckles as it is pushed in. Only \
          joints that were made and tested can show that another time is right.",
    example: "cycles: {rows: [{size: 1-1/4 IPS, heat: 18 to 25 s, source: shop practice}]}",
    fix: "Stay inside the published range, or cite a record of test joints that `qualification.records` lists.",
    dated: false,
};

/// A hold shorter than the published one.
static HOLD_SHORTER_THAN_PUBLISHED: Rule = Rule {
    slug: "hold-shorter-than-published",
    severity: Error,
    summary: "The spec's own hold is shorter than the published one.",
    why: "The interference fit pushes the pipe out of a socket that is still soft. A joint let go \
          too early backs off or turns, and from outside the bead still looks whole.",
    example: "cycles: {rows: [{size: 1-1/4 IPS, hold: 30 s, source: shop practice}]}",
    fix: "Hold at least as long as published; leave `hold` out to use the published time.",
    dated: false,
};

/// Two rows for one size.
static CYCLE_ROW_GIVEN_TWICE: Rule = Rule {
    slug: "cycle-row-given-twice",
    severity: Error,
    summary: "A size has two rows of its own under cycles.rows.",
    why: "Only one row can be printed. Nobody should have to know which of two heating times a \
          program picks.",
    example: "cycles:\n  rows:\n    - {size: 1 IPS, heat: 15 s, source: A}\n    - {size: 1 IPS, heat: 17 s, source: B}",
    fix: "Keep the row that is meant and delete the other.",
    dated: false,
};

/// A row for a size outside the scope.
static OWN_ROW_FOR_UNCLAIMED_SIZE: Rule = Rule {
    slug: "own-row-for-unclaimed-size",
    severity: Note,
    summary: "cycles.rows has a row for a size the scope does not claim.",
    why: "The row is not printed. Either it is a leftover, or the size was meant to be claimed.",
    example: "scope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}\ncycles: {rows: [{size: 2 IPS, hold: 60 s, source: A}]}",
    fix: "Delete the row, or claim the size under scope.pipe.",
    dated: false,
};

/// A change-over longer than allowed.
static CHANGE_OVER_LONGER: Rule = Rule {
    slug: "change-over-longer",
    severity: Error,
    summary: "The spec allows more time from heater off to fully joined than is published.",
    why: "The melt skins over within seconds of leaving the face. Two skins pressed together do \
          not fuse, and the joint is cold although everything was timed.",
    example: "cycles: {change_over: 6 s}",
    fix: "Give the published time or a shorter one, or leave `change_over` out. A joint that is \
          late is cut out, never reheated.",
    dated: false,
};

/// Applies the family.
pub fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let mut seen: HashMap<(Size, Option<WallGroup>), Span> = HashMap::new();
    for row in &context.procedure.spec.cycles.rows {
        let size = row.size.value;
        let for_walls = (size, row.walls.as_ref().map(|walls| walls.value));
        if let Some(first) = seen.get(&for_walls) {
            findings.push(
                CYCLE_ROW_GIVEN_TWICE
                    .at(row.size.span, format!("{size} has a second row of its own"))
                    .related(*first, "its first row is here")
                    .help("keep the one that is meant and delete the other"),
            );
        } else {
            seen.insert(for_walls, row.size.span);
        }
        if !context
            .procedure
            .joints
            .iter()
            .any(|joint| joint.size == size)
        {
            findings.push(
                OWN_ROW_FOR_UNCLAIMED_SIZE
                    .at(
                        row.size.span,
                        format!("the scope does not claim {size}, so this row is not printed"),
                    )
                    .help("delete the row, or claim the size under `scope.pipe`"),
            );
        }
        let Some(resin) = &context.procedure.resin else {
            continue;
        };
        for published in published(context, resin, row) {
            heat(context, row, &published, findings);
            hold(row, &published, findings);
            if let Some(own) = &row.change_over {
                change_over(own, published.change_over.as_ref(), findings);
            }
        }
    }
    // The strictest of the sizes binds a time that is stated for all of them.
    let joints = &context.procedure.joints;
    let published = joints
        .iter()
        .filter_map(|j| j.published.change_over.as_ref());
    if let Some(own) = &context.procedure.spec.cycles.change_over {
        change_over(
            &own.value,
            published.min_by_key(|time| time.value),
            findings,
        );
    }
}

/// The published times a row stands in for: of each group of walls it is for.
fn published(context: &Context<'_>, resin: &Resin, row: &CycleRow) -> Vec<Cycle> {
    let for_row = |joint: &&Joint| {
        joint.size == row.size.value
            && row
                .walls
                .as_ref()
                .is_none_or(|walls| Some(walls.value) == joint.walls)
    };
    let joints = context.procedure.joints.iter().filter(for_row);
    let published: Vec<_> = joints.map(|joint| joint.published.clone()).collect();
    if !published.is_empty() {
        return published;
    }
    let walls = row.walls.as_ref().map(|walls| walls.value);
    vec![context.limits.cycle(resin.group, row.size.value, walls)]
}

fn heat(context: &Context<'_>, row: &CycleRow, published: &Cycle, findings: &mut Vec<Finding>) {
    let (Some(heat), Some(published)) = (&row.heat, &published.heat) else {
        return;
    };
    let cited = context
        .procedure
        .spec
        .qualification
        .iter()
        .flat_map(|qualification| &qualification.records);
    let mut cited = cited.map(|record| record.number.value.as_str());
    let unproven = match &row.record {
        Some(record) if cited.any(|number| number == record.value) => return,
        Some(record) => format!(
            "`qualification.records` does not list its record {}",
            record.value
        ),
        None => "the row cites no record".to_owned(),
    };
    let (own, limit) = (heat.value, published.value);
    let mut by = Vec::new();
    if own.least < limit.least {
        by.push(format!(
            "it begins {} too early",
            (limit.least - own.least).show()
        ));
    }
    if own.most > limit.most {
        by.push(format!(
            "it ends {} too late",
            (own.most - limit.most).show()
        ));
    }
    if by.is_empty() {
        return;
    }
    findings.push(
        HEATING_OUTSIDE_PUBLISHED
            .at(
                heat.span,
                format!(
                    "heating {} for {} leaves the published {}: {}, and {unproven}",
                    say::times(own),
                    row.size.value,
                    say::times(limit),
                    by.join(" and ")
                ),
            )
            .limit(say::source(published))
            .help("stay inside the published range, or cite as `record:` one of `qualification.records` whose test joints prove these times"),
    );
}

fn hold(row: &CycleRow, published: &Cycle, findings: &mut Vec<Finding>) {
    let (Some(hold), Some(published)) = (&row.hold, &published.hold) else {
        return;
    };
    if hold.value >= published.value {
        return;
    }
    findings.push(
        HOLD_SHORTER_THAN_PUBLISHED
            .at(
                hold.span,
                format!(
                    "a hold of {} for {} is {} shorter than the published {}",
                    hold.value.show(),
                    row.size.value,
                    (published.value - hold.value).show(),
                    published.value.show()
                ),
            )
            .limit(say::source(published))
            .help(format!(
                "hold at least {}, or leave `hold` out to use it",
                published.value.show()
            )),
    );
}

fn change_over(
    own: &Written<Duration>,
    published: Option<&Sourced<Duration>>,
    findings: &mut Vec<Finding>,
) {
    let Some(published) = published.filter(|published| own.value > published.value) else {
        return;
    };
    findings.push(
        CHANGE_OVER_LONGER
            .at(
                own.span,
                format!(
                    "a change-over of {} is {} longer than the {} allowed",
                    own.value.show(),
                    (own.value - published.value).show(),
                    published.value.show()
                ),
            )
            .limit(say::source(published))
            .help("give that time or a shorter one, or leave `change_over` out to use it"),
    );
}
