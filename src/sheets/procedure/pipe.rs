//! The pipe: what its print line must say, its dimensions, and the depth and
//! times of each size.

use super::super::block::{Align, Block, Cell, Section};
use super::super::clause::Clause;
use super::super::format;
use super::Writer;
use crate::resolve::{Depth, Joint, Pipe};

/// What may be joined to what, whatever the service.
pub(super) const JOINED: [&str; 2] = [
    "compatibility:same-family:text",
    "compatibility:unlike-melt-flow:text",
];

pub(super) fn materials(w: &Writer) -> Section {
    let must_read = [
        Clause::MaterialsResin { resin: w.resin() },
        Clause::MaterialsSize,
        Clause::MaterialsWall,
        Clause::MaterialsStandard,
    ];
    let mut blocks = vec![
        w.text(Clause::MaterialsIntro),
        Block::Checks {
            items: must_read.into_iter().map(|line| w.say(line)).collect(),
        },
        w.text(Clause::MaterialsColor),
        w.text(Clause::MaterialsDamage),
    ];
    if let Some(why) =
        w.p.resin
            .as_ref()
            .and_then(|resin| resin.superseded.clone())
    {
        blocks.push(w.text(Clause::MaterialsSuperseded {
            resin: w.resin(),
            why,
        }));
    }
    let joined: Vec<_> = JOINED
        .iter()
        .filter_map(|id| w.statement(w.limits.figure(id)?))
        .collect();
    if !joined.is_empty() {
        blocks.push(w.text(Clause::MaterialsMixing));
        blocks.push(Block::List { items: joined });
    }
    w.section(Clause::TitleMaterials, blocks)
}

pub(super) fn dimensions(w: &Writer) -> Section {
    let rows =
        w.p.joints
            .iter()
            .flat_map(|joint| {
                joint
                    .pipes
                    .iter()
                    .map(move |pipe| dimension_row(joint, pipe))
            })
            .collect();
    let mut blocks = w.table(
        Clause::DimensionsCaption,
        vec![
            (Clause::ColumnSize, Align::Left),
            (Clause::ColumnWall, Align::Left),
            (Clause::ColumnOd, Align::Right),
            (Clause::ColumnOdTolerance, Align::Right),
            (Clause::ColumnLeastWall, Align::Right),
            (Clause::ColumnWallTolerance, Align::Right),
            (Clause::ColumnInside, Align::Right),
        ],
        rows,
        true,
    );
    blocks.push(w.text(Clause::DimensionsNote));
    w.section(Clause::TitleDimensions, blocks)
}

fn dimension_row(joint: &Joint, pipe: &Pipe) -> Vec<Cell> {
    vec![
        Cell::plain(joint.size.to_string()).strong(),
        Cell::plain(format::wall(pipe.label)),
        format::or_none(joint.outside_diameter.as_ref(), format::length_cell),
        format::or_none(joint.od_tolerance.as_ref(), format::length_cell),
        format::length_cell(&pipe.least_wall),
        format::or_none(pipe.wall_tolerance.as_ref(), format::length_cell),
        format::length_cell(&pipe.inside_diameter),
    ]
}

pub(super) fn times(w: &Writer) -> Section {
    let rows = w.p.joints.iter().map(|joint| time_row(w, joint)).collect();
    let mut blocks = w.table(
        Clause::TimesCaption { resin: w.resin() },
        vec![
            (Clause::ColumnSize, Align::Left),
            (Clause::ColumnOd, Align::Right),
            (Clause::ColumnDepth, Align::Right),
            (Clause::ColumnHeating, Align::Right),
            (Clause::ColumnChangeOver, Align::Right),
            (Clause::ColumnHold, Align::Right),
            (Clause::ColumnHandling, Align::Right),
            (Clause::ColumnPressureTest, Align::Right),
        ],
        rows,
        false,
    );
    blocks.push(Block::List {
        items: [
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
        .collect(),
    });
    if w.p.joints.iter().any(|joint| joint.depth.known().is_none()) {
        blocks.push(w.text(Clause::TimesDepthUnset));
    }
    if w.p.before_pressure_test.is_none() {
        blocks.push(w.text(Clause::TimesTestUnset));
    }
    w.section(Clause::TitleTimes, blocks)
}

fn time_row(w: &Writer, joint: &Joint) -> Vec<Cell> {
    let depth = match &joint.depth {
        Depth::Known(depth) => format::length_cell(depth),
        Depth::ToBeMeasured(_) | Depth::Missing => Cell::plain(w.say(Clause::ToBeMeasured)),
    };
    vec![
        Cell::plain(joint.size.nominal())
            .strong()
            .below(joint.size.system().name().to_owned()),
        format::or_none(joint.outside_diameter.as_ref(), format::length_cell),
        depth,
        format::or_none(joint.heat.as_ref(), |heat| {
            format::heating_cell(heat, |seconds| w.say(Clause::AtMostSeconds { seconds }))
        }),
        format::or_none(w.p.change_over.as_ref(), format::seconds_cell),
        format::or_none(joint.hold.as_ref(), format::seconds_cell),
        format::or_none(w.p.before_handling.as_ref(), format::time_cell),
        w.p.before_pressure_test
            .as_ref()
            .map_or_else(|| Cell::plain(w.say(Clause::NotStated)), format::time_cell),
    ]
}
