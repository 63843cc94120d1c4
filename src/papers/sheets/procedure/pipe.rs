//! The pipe: what its print line must say, its dimensions, and the depth and
//! times of each size.

use super::super::block::{Align, Block, Cell, Section};
use super::super::clause::Clause;
use super::super::{format, metric};
use super::{Writer, kinds, metric_work};
use crate::core::units::Length;
use crate::core::units::print::Bound;
use crate::procedure::resolve::{Joint, Pipe};
use crate::published::{Figure, Practice, Sourced};

/// What may be joined to what, whatever the service.
pub(super) fn joined<'a>(w: &Writer<'a>) -> impl Iterator<Item = &'a Figure> {
    let (limits, work) = (w.limits, w.p.work());
    [
        "compatibility:same-family:text",
        "compatibility:same-family-pp:text",
        "compatibility:unlike-melt-flow:text",
    ]
    .into_iter()
    .filter_map(|id| limits.figure(id))
    .filter(move |figure| limits.bears_on(figure, &work))
}

pub(super) fn materials(w: &Writer) -> Section {
    let must_read = [
        Clause::MaterialsResin { resin: w.resin() },
        w.by_practice(Clause::MaterialsSizeMetric, Clause::MaterialsSize),
        Clause::MaterialsWall,
        Clause::MaterialsStandard,
    ];
    let mut blocks = vec![
        w.text(if w.p.is_buried() {
            Clause::MaterialsIntro
        } else {
            Clause::MaterialsIntroIndoors
        }),
        Block::Checks {
            items: must_read.into_iter().map(|line| w.say(line)).collect(),
        },
        w.text(Clause::MaterialsColor),
        w.text(Clause::MaterialsDamage),
    ];
    let superseded =
        w.p.resin
            .as_ref()
            .and_then(|resin| resin.superseded.as_ref());
    let designation = w.limits.figure(&format!("resins:{}:group", w.resin()));
    if let Some(why) = designation.and_then(|figure| w.words.note(figure))
        && superseded.is_some()
    {
        blocks.push(w.text(Clause::MaterialsSuperseded {
            resin: w.resin(),
            why: why.to_owned(),
        }));
    }
    let joined: Vec<_> = joined(w).filter_map(|fact| w.statement(fact)).collect();
    if !joined.is_empty() {
        blocks.push(w.text(Clause::MaterialsMixing));
        blocks.push(Block::List { items: joined });
    }
    w.section(Clause::TitleMaterials, blocks)
}

pub(super) fn dimensions(w: &Writer) -> Section {
    let pipes = w.p.joints.iter().flat_map(|joint| {
        let pipes = joint.pipes.iter();
        pipes.map(move |pipe| (joint, pipe))
    });
    let rows = pipes.map(|(joint, pipe)| dimension_row(w, joint, pipe));
    let unit = w.unit();
    let mut columns = vec![
        (Clause::ColumnSize, Align::Left),
        (Clause::ColumnWall, Align::Left),
        (Clause::ColumnOd { unit: unit.clone() }, Align::Right),
    ];
    let (least_wall, inside) = (
        Clause::ColumnLeastWall { unit: unit.clone() },
        Clause::ColumnInside { unit: unit.clone() },
    );
    columns.extend(
        match w.p.practice() {
            Practice::Us => vec![
                Clause::ColumnOdTolerance { unit: unit.clone() },
                least_wall,
                Clause::ColumnWallTolerance { unit },
                inside,
            ],
            Practice::Metric => vec![
                Clause::ColumnOdPlus { unit: unit.clone() },
                Clause::ColumnOutOfRoundness { unit },
                least_wall,
                inside,
            ],
        }
        .into_iter()
        .map(|column| (column, Align::Right)),
    );
    let mut blocks = w.table(
        w.by_practice(Clause::DimensionsCaptionMetric, Clause::DimensionsCaption),
        columns,
        rows.collect(),
        true,
    );
    blocks.push(w.text(w.by_practice(Clause::DimensionsNoteMetric, Clause::DimensionsNote)));
    blocks.extend(super::fit::fit(w));
    w.section(Clause::TitleDimensions, blocks)
}

fn dimension_row(w: &Writer, joint: &Joint, pipe: &Pipe) -> Vec<Cell> {
    let length = |figure: &Sourced<Length>| format::length_cell(w.units(), figure, Bound::Nominal);
    let least = |figure: &Sourced<Length>| format::length_cell(w.units(), figure, Bound::Minimum);
    let most = |figure: &Option<Sourced<Length>>| {
        format::or_none(figure.as_ref(), |figure| {
            format::length_cell(w.units(), figure, Bound::Maximum)
        })
    };
    let mut row = vec![
        Cell::plain(joint.size.to_string()).strong(),
        Cell::plain(pipe.label.name(w.units())),
        format::or_none(joint.outside_diameter.as_ref(), length),
    ];
    row.extend(match w.p.practice() {
        Practice::Us => [
            most(&joint.od_tolerance),
            least(&pipe.least_wall),
            most(&pipe.wall_tolerance),
        ],
        Practice::Metric => [
            format::or_none(joint.od_tolerance.as_ref(), |tolerance| {
                Cell::plain(format::plus_only(tolerance.value)).verify(tolerance.needs_verifying())
            }),
            most(&joint.out_of_roundness),
            least(&pipe.least_wall),
        ],
    });
    row.push(length(&pipe.inside_diameter));
    row
}

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
            let holds = metric_work::hold_columns(w).into_iter();
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
            Practice::Metric => metric_work::times_notes(w),
        },
    });
    if w.p.joints.iter().any(|joint| joint.depth.known().is_none()) {
        blocks.push(w.text(w.by_practice(Clause::TimesDepthUnsetMetric, Clause::TimesDepthUnset)));
    }
    if w.p.before_pressure_test.is_none() {
        blocks.push(w.text(Clause::TimesTestUnset));
    }
    blocks.extend(metric_work::witness_lines(w));
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
            (!metric::all_hold_until_cool(w.p)).then(|| metric_work::hold_cell(w, joint)),
        ),
    };
    row.extend([
        depth,
        kinds::heating(w, joint),
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
