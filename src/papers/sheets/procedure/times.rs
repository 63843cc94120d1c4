//! Depth and times of each size, and the lines that stay in sight.

use super::super::block::{Align, Block, Cell, Section};
use super::super::clause::Clause;
use super::super::{format, metric};
use super::writer::Writer;
use crate::core::units::print::Bound;
use crate::procedure::resolve::Joint;
use crate::published::{Figure, Practice, ResinGroup};

/// The statement that published times are guide values.
const GUIDE_VALUES: &str = "metric-temperatures:guide-values:text";

/// The same, of PP-R.
const GUIDE_VALUES_PPR: &str = "metric-temperatures:guide-values-ppr:text";

pub(super) fn times(w: &Writer) -> Section {
    let unit = w.unit();
    let columns = match w.p.practice() {
        Practice::Us => vec![
            (Clause::ColumnSize, Align::Left),
            (Clause::ColumnOd { unit: unit.clone() }, Align::Right),
            (Clause::ColumnDepth { unit }, Align::Right),
            (Clause::ColumnHeating, Align::Right),
            (Clause::ColumnChangeOver, Align::Right),
            (Clause::ColumnHold, Align::Right),
            (Clause::ColumnHandling, Align::Right),
            (Clause::ColumnPressureTest, Align::Right),
        ],
        // The size is the outside diameter.
        Practice::Metric => {
            let mut columns = vec![
                (Clause::ColumnSizeUnit { unit: unit.clone() }, Align::Left),
                (Clause::ColumnDepth { unit }, Align::Right),
                (Clause::ColumnHeating, Align::Right),
                (Clause::ColumnChangeOver, Align::Right),
            ];
            let holds = hold_columns(w).into_iter();
            columns.extend(holds.map(|column| (column, Align::Right)));
            columns.push((Clause::ColumnPressureTest, Align::Right));
            columns
        }
    };
    let joints = w.p.joints.iter();
    let rows = joints
        .map(|joint| time_row(w, joint, columns.len()))
        .collect();
    let caption = Clause::TimesCaption { resin: w.resin() };
    let mut blocks = w.table(caption, columns, rows, false);
    blocks.push(Block::List {
        items: match w.p.practice() {
            Practice::Us => times_notes(w),
            Practice::Metric => times_notes_metric(w),
        },
    });
    if w.p.joints.iter().any(|joint| joint.depth.known().is_none()) {
        blocks.push(w.text(w.by_practice(Clause::TimesDepthUnsetMetric, Clause::TimesDepthUnset)));
    }
    if w.p.before_pressure_test.is_none() {
        blocks.push(w.text(Clause::TimesTestUnset));
    }
    blocks.extend(witness_lines(w));
    w.section(Clause::TitleTimes, blocks)
}

fn times_notes(w: &Writer) -> Vec<String> {
    [
        if w.p.spec.cold_weather.is_some() {
            Clause::TimesShortSideCold
        } else {
            Clause::TimesShortSide
        },
        Clause::TimesCount,
        Clause::TimesWaits,
        Clause::TimesDepth,
    ]
    .into_iter()
    .map(|line| w.say(line))
    .collect()
}

fn time_row(w: &Writer, joint: &Joint, columns: usize) -> Vec<Cell> {
    let size = Cell::plain(joint.size.nominal()).strong();
    let Some(depth) = joint.depth.known() else {
        let below = match w.p.practice() {
            Practice::Us => format::system(joint.size.system()).to_owned(),
            Practice::Metric => format::walls(w.units(), joint),
        };
        return vec![size.below(below), format::no_joint(w.words, columns - 1)];
    };
    let depth = format::length_cell(w.units(), depth, Bound::Nominal);
    let (mut row, hold) = match w.p.practice() {
        Practice::Us => (
            vec![
                size.below(format::system(joint.size.system())),
                format::or_none(joint.outside_diameter.as_ref(), |od| {
                    format::length_cell(w.units(), od, Bound::Nominal)
                }),
            ],
            Some(format::or_none(joint.hold.as_ref(), format::seconds_cell)),
        ),
        Practice::Metric => (
            vec![size.below(format::walls(w.units(), joint))],
            (!metric::all_hold_until_cool(w.p)).then(|| hold_cell(w, joint)),
        ),
    };
    row.extend([
        depth,
        heating(w, joint),
        format::or_none(joint.change_over.as_ref(), format::seconds_cell),
    ]);
    row.extend(hold);
    row.extend([
        format::or_none(joint.before_handling.as_ref(), format::time_cell),
        w.p.before_pressure_test
            .as_ref()
            .map_or_else(|| Cell::plain(w.say(Clause::NotStated)), format::time_cell),
    ]);
    row
}

/// The heating time of a joint; where pipe and fitting are heated for unlike
/// times one figure would be wrong, and the cell says where to look.
pub(super) fn heating(w: &Writer, joint: &Joint) -> Cell {
    if w.p.unlike(joint.size).is_some() {
        return Cell::plain(w.say(Clause::SeeUnlike));
    }
    format::or_none(joint.heat.as_ref(), |heat| {
        format::heating_cell(heat, |seconds| w.say(Clause::AtMostSeconds { seconds }))
    })
}

/// The hold, or that it lasts as long as the cooling.
pub(super) fn hold_cell(w: &Writer, joint: &Joint) -> Cell {
    match &joint.hold {
        Some(hold) => format::seconds_cell(hold),
        None => Cell::plain(w.say(Clause::UntilCool)),
    }
}

/// The columns of hold and cooling; one where no joint has a hold of its own.
fn hold_columns(w: &Writer) -> Vec<Clause> {
    if metric::all_hold_until_cool(w.p) {
        return vec![Clause::ColumnHoldAndCool];
    }
    vec![Clause::ColumnHold, Clause::ColumnCooling]
}

/// The statement on guide values, where a published time is used.
pub(super) fn guide_values<'a>(w: &Writer<'a>) -> Option<&'a Figure> {
    let published = |joint: &Joint| joint.heat.as_ref().is_some_and(|heat| heat.id.is_some());
    let statement = match w.p.resin.as_ref()?.group {
        ResinGroup::MetricPe => GUIDE_VALUES,
        ResinGroup::PpR => GUIDE_VALUES_PPR,
        ResinGroup::PpH | ResinGroup::MediumDensity | ResinGroup::HighDensity => return None,
    };
    w.limits
        .figure(statement)
        .filter(|_| w.p.joints.iter().any(published))
}

/// The witness lines, in a table of their own, so that none is taken for a depth.
fn witness_lines(w: &Writer) -> Vec<Block> {
    let rows: Vec<_> =
        w.p.sizes()
            .filter(|joint| joint.depth.known().is_some())
            .filter_map(|joint| {
                let mark = metric::witness_line(w.p, w.limits, joint.size)?;
                Some(vec![
                    Cell::plain(joint.size.to_string()).strong(),
                    format::length_cell(w.units(), &mark, Bound::Nominal),
                ])
            })
            .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    let mut blocks = w.table(
        Clause::WitnessLinesCaption,
        vec![
            (Clause::ColumnSize, Align::Left),
            (Clause::ColumnWitnessLine { unit: w.unit() }, Align::Right),
        ],
        rows,
        true,
    );
    blocks.push(w.text(Clause::WitnessLinesNote));
    blocks
}

/// What is said below the table of times.
fn times_notes_metric(w: &Writer) -> Vec<String> {
    let mut notes = vec![w.say(if w.p.spec.cold_weather.is_some() {
        Clause::TimesHeatingMetricCold
    } else {
        Clause::TimesHeatingMetric
    })];
    notes.extend(guide_values(w).and_then(|figure| w.statement(figure)));
    notes.push(w.say(Clause::TimesCount));
    if w.p.joints.iter().any(metric::holds_until_cool) {
        notes.push(w.say(Clause::TimesHoldUntilCool));
    }
    notes.push(w.say(Clause::TimesCooling));
    notes.push(w.say(Clause::TimesDepthMetric));
    notes
}
