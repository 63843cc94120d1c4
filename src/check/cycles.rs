//! The organisation's own times for heating, hold and change-over, against the
//! published ones.

use std::collections::HashMap;

use super::{Context, say};
use crate::finding::{
    Finding, Rule,
    Severity::{Error, Note},
};
use crate::size::Size;
use crate::source::Span;
use crate::spec::CycleRow;

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
    let mut seen: HashMap<Size, Span> = HashMap::new();
    for row in &context.procedure.spec.cycles.rows {
        let size = row.size.value;
        if let Some(first) = seen.get(&size) {
            findings.push(
                CYCLE_ROW_GIVEN_TWICE
                    .at(row.size.span, format!("{size} has a second row of its own"))
                    .related(*first, "its first row is here")
                    .help("keep the one that is meant and delete the other"),
            );
        } else {
            seen.insert(size, row.size.span);
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
        heat(context, row, findings);
        hold(context, row, findings);
    }
    change_over(context, findings);
}

fn heat(context: &Context<'_>, row: &CycleRow, findings: &mut Vec<Finding>) {
    let Some(heat) = &row.heat else { return };
    let Some(resin) = &context.procedure.resin else {
        return;
    };
    let Some(published) = context.limits.heating(resin.group, row.size.value) else {
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
            .limit(say::source(&published))
            .help("stay inside the published range, or cite as `record:` one of `qualification.records` whose test joints prove these times"),
    );
}

fn hold(context: &Context<'_>, row: &CycleRow, findings: &mut Vec<Finding>) {
    let Some(hold) = &row.hold else { return };
    let Some(resin) = &context.procedure.resin else {
        return;
    };
    let Some(published) = context.limits.hold(resin.group, row.size.value) else {
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
            .limit(say::source(&published))
            .help(format!(
                "hold at least {}, or leave `hold` out to use it",
                published.value.show()
            )),
    );
}

fn change_over(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let own = &context.procedure.spec.cycles.change_over;
    let (Some(own), Some(published)) = (own, &context.procedure.published_change_over) else {
        return;
    };
    if own.value.value <= published.value {
        return;
    }
    findings.push(
        CHANGE_OVER_LONGER
            .at(
                own.value.span,
                format!(
                    "a change-over of {} is {} longer than the {} allowed",
                    own.value.value.show(),
                    (own.value.value - published.value).show(),
                    published.value.show()
                ),
            )
            .limit(say::source(published))
            .help("give that time or a shorter one, or leave `change_over` out to use it"),
    );
}
