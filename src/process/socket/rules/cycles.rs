//! Rules that compare the organization's own heating, hold, and change-over times with
//! the published ones.

use std::collections::HashMap;

use crate::core::finding::{Finding, rules};
use crate::core::size::Size;
use crate::core::source::Span;
use crate::core::units::Duration;
use crate::procedure::resolve::Joint;
use crate::published::{Cycle, Resin, Sourced, WallGroup};
use crate::rules::{Context, wording};
use crate::spec::{CycleRow, RowWalls, Status, Written};

rules! {
    HEATING_OUTSIDE_PUBLISHED = error(
        "Own heating times leave the published range, and no record proves them.")
        .absence()
        .why("Too short, and the melt is too thin to fuse: a cold joint that can hold the test and \
              fail later. Too long, and the pipe end softens and buckles as it is pushed in. Only \
              joints that were made and tested can show that another time is right.")
        .example("cycles: {rows: [{size: 1-1/4 IPS, heat: 18 to 25 s, source: shop practice}]}")
        .fix("Stay inside the published range, or cite a record of test joints that \
              `qualification.records` lists.");
    HOLD_SHORTER_THAN_PUBLISHED = error("The spec's own hold is shorter than the published one.")
        .why("The interference fit pushes the pipe out of a socket that is still soft. A joint let \
              go too early backs off or turns, and from outside the bead still looks whole.")
        .example("cycles: {rows: [{size: 1-1/4 IPS, hold: 30 s, source: shop practice}]}")
        .fix("Hold at least as long as published; leave `hold` out to use the published time.");
    CYCLE_ROW_GIVEN_TWICE = error("A size has two rows of its own under cycles.rows.")
        .why("Only one row can be printed. Nobody should have to know which of two heating times a \
              program picks.")
        .example("cycles:\n  rows:\n    - {size: 1 IPS, heat: 15 s, source: A}\n    - {size: 1 \
                  IPS, heat: 17 s, source: B}")
        .fix("Keep the row that is meant and delete the other.");
    OWN_ROW_FOR_UNCLAIMED_SIZE = note(
        "cycles.rows has a row for a size or a wall the scope does not claim.")
        .absence()
        .why("The row is not printed. Either it is a leftover, or the pipe was meant to be \
              claimed.")
        .example("scope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}\ncycles: {rows: [{size: 2 \
                  IPS, hold: 60 s, source: A}]}")
        .fix("Delete the row, or claim the pipe under scope.pipe.");
    CHANGE_OVER_LONGER = error(
        "The spec allows more time from heater off to fully joined than is published.")
        .why("The melt skins over within seconds of leaving the face. Two skins pressed together \
              do not fuse, and the joint is cold although everything was timed.")
        .example("cycles: {change_over: 6 s}")
        .fix("Give the published time or a shorter one, or leave `change_over` out. A joint that \
              is late is cut out, never reheated.");
    OWN_TIMES_UNPROVEN = warning(
        "Own times stand where none are published, and no record proves them.")
        .absence()
        .why("A published time is something to check your own against. Where there is none, only \
            joints that were \
              made and tested with these times show that they are right.")
        .example("scope: {resin: PP-H}\ncycles: {rows: [{size: 20 mm, heat: 5 s, hold: 6 s, \
                  source: maker}]}")
        .fix("Make and test joints with these times, and cite the record in the row and under \
              qualification.records before the procedure is called qualified.");
    OWN_TIMES_UNPROVEN_BUT_QUALIFIED = error(
        "The status is qualified, and own times stand where none are published with no record of \
         them.")
        .absence()
        .why("Nothing published and no tested joint stands behind these times, and a fuser relies \
              on the word qualified.")
        .example("procedure: {status: qualified}\ncycles: {rows: [{size: 1-1/4 CTS, heat: 12 s, \
                  hold: 60 s, source: shop practice}]}")
        .fix("Cite as `record:` one of `qualification.records` whose test joints were made with \
              these times, or set the status to draft.");
    RECORD_NOT_LISTED = error(
        "A row of own times cites a record that qualification.records does not list.")
        .absence()
        .why("Whoever asks for the proof of a time is sent to a record with no date and no \
              revision. Usually its number has a typing error, or the record is of another \
              procedure.")
        .example("cycles: {rows: [{size: 1 IPS, hold: 70 s, source: trial joints, record: \
                  PQ-9}]}\nqualification: {records: []}")
        .fix("List the record under qualification.records, or correct its number in the row.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let mut seen: HashMap<(Size, Option<RowWalls>), Span> = HashMap::new();
    for row in &context.procedure.spec.cycles.rows {
        let joints = joints_of(context, row);
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
            if joints.is_empty() {
                findings.push(not_printed(context, row));
            }
        }
        findings.extend(not_listed(context, row));
        let Some(resin) = &context.procedure.resin else {
            continue;
        };
        findings.extend(unproven(context, row, &joints));
        let published = published(context, resin, row, &joints);
        for cycle in &published {
            heat(context, row, cycle, findings);
        }
        let holds = published.iter().filter_map(|cycle| cycle.hold.as_ref());
        hold(row, holds.max_by_key(|hold| hold.value), findings);
        if let Some(own) = &row.change_over {
            let times = published
                .iter()
                .filter_map(|cycle| cycle.change_over.as_ref());
            change_over(own, times.min_by_key(|time| time.value), findings);
        }
    }
    // A time for all sizes must satisfy the strictest size.
    let spec = context.procedure.spec;
    let joints = context.procedure.joints.iter().filter(|joint| {
        let row = joint.own_row(spec);
        row.is_none_or(|row| row.change_over.is_none())
    });
    let published = joints.filter_map(|joint| joint.published.change_over.as_ref());
    if let Some(own) = &spec.cycles.change_over {
        change_over(
            &own.value,
            published.min_by_key(|time| time.value),
            findings,
        );
    }
}

/// The joints that use a row's times.
pub(crate) fn joints_of<'a>(context: &Context<'a>, row: &CycleRow) -> Vec<&'a Joint> {
    let procedure = context.procedure;
    let by_row = |joint: &&Joint| {
        let own = joint.own_row(procedure.spec);
        own.is_some_and(|own| std::ptr::eq(own, row))
    };
    procedure.joints.iter().filter(by_row).collect()
}

/// The published times that a row replaces, for each group of walls.
fn published(
    context: &Context<'_>,
    resin: &Resin,
    row: &CycleRow,
    joints: &[&Joint],
) -> Vec<Cycle> {
    if !joints.is_empty() {
        return joints.iter().map(|joint| joint.published.clone()).collect();
    }
    let group = match row.walls.as_ref().map(|walls| walls.value) {
        Some(RowWalls::Group(group)) => Some(group),
        Some(RowWalls::Ratio(_)) | None => None,
    };
    vec![context.limits.cycle(resin.group, row.size.value, group)]
}

/// Reports a row that no joint uses.
fn not_printed(context: &Context<'_>, row: &CycleRow) -> Finding {
    let size = row.size.value;
    let claimed = context.procedure.joints.iter().any(|j| j.size == size);
    let Some(walls) = row.walls.as_ref().filter(|_| claimed) else {
        let (message, help) = if claimed {
            (
                format!(
                    "every wall claimed for {size} has a row of its own, so this one is not printed"
                ),
                "delete the row",
            )
        } else {
            (
                format!("the scope does not claim {size}, so this row is not printed"),
                "delete the row, or claim the size under `scope.pipe`",
            )
        };
        return OWN_ROW_FOR_UNCLAIMED_SIZE
            .at(row.size.span, message)
            .help(help);
    };
    let (named, help) = match walls.value {
        RowWalls::Group(group) => (
            match group {
                WallGroup::Thick => "thick, SDR 11 or less".to_owned(),
                WallGroup::Thin => "thin, SDR 17 or 17.6".to_owned(),
            },
            "groups of walls count for metric PE alone: leave `walls` out where the row is for all walls, or claim such a wall",
        ),
        RowWalls::Ratio(ratio) => (
            format!("SDR {} and between the groups", ratio.number()),
            "write `walls: thick` for SDR 11 or less, `walls: thin` for SDR 17 and 17.6, and a ratio for a claimed metric PE wall in neither",
        ),
    };
    OWN_ROW_FOR_UNCLAIMED_SIZE
        .at(
            walls.span,
            format!("no wall claimed for {size} is {named}, so this row is not printed"),
        )
        .help(help)
}

/// Whether `qualification.records` lists a record.
fn lists(context: &Context<'_>, record: &str) -> bool {
    let mut records = context.procedure.cited();
    records.any(|listed| listed.number.value == record)
}

fn not_listed(context: &Context<'_>, row: &CycleRow) -> Option<Finding> {
    let record = row
        .record
        .as_ref()
        .filter(|record| !lists(context, record))?;
    Some(
        RECORD_NOT_LISTED
            .at(
                record.span,
                format!(
                    "the row of {} cites {}, and `qualification.records` does not list it",
                    row.size.value, record.value
                ),
            )
            .help("add it to `qualification.records` with its date and the revision it supports, or correct its number"),
    )
}

/// Reports own times where none are published and no record proves them.
fn unproven(context: &Context<'_>, row: &CycleRow, joints: &[&Joint]) -> Option<Finding> {
    let heat = row.heat.as_ref()?;
    let stands_alone =
        |joint: &&&Joint| joint.published.heat.is_none() && joint.published.not_advisable.is_none();
    let joint = joints.iter().find(stands_alone)?;
    if row
        .record
        .as_ref()
        .is_some_and(|record| lists(context, record))
    {
        return None;
    }
    let walls = joint
        .ungrouped_ratio
        .map_or_else(String::new, |ratio| format!(" with SDR {}", ratio.number()));
    let spec = context.procedure.spec;
    let message = format!(
        "nothing is published for {}{walls} in {} to compare these times with, and no listed record proves them",
        joint.size, spec.resin.value
    );
    let help = "cite as `record:` one of `qualification.records` whose test joints were made with these times";
    Some(if spec.status.value == Status::Qualified {
        OWN_TIMES_UNPROVEN_BUT_QUALIFIED
            .at(heat.span, message)
            .related(spec.status.span, "the claim")
            .help(format!("{help}, or set the status to draft"))
    } else {
        OWN_TIMES_UNPROVEN.at(heat.span, message).help(help)
    })
}

fn heat(context: &Context<'_>, row: &CycleRow, published: &Cycle, findings: &mut Vec<Finding>) {
    let (Some(heat), Some(published)) = (&row.heat, &published.heat) else {
        return;
    };
    let unproven = match &row.record {
        Some(record) if lists(context, record) => return,
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
                    wording::times(own),
                    row.size.value,
                    wording::times(limit),
                    by.join(" and ")
                ),
            )
            .limit(wording::source(published))
            .help("stay inside the published range, or cite as `record:` one of `qualification.records` whose test joints prove these times"),
    );
}

fn hold(row: &CycleRow, published: Option<&Sourced<Duration>>, findings: &mut Vec<Finding>) {
    let (Some(hold), Some(published)) = (&row.hold, published) else {
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
            .limit(wording::source(published))
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
            .limit(wording::source(published))
            .help("give that time or a shorter one, or leave `change_over` out to use it"),
    );
}
