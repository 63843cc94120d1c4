//! The dimensions of the pipe, and how it fits the socket.

use super::super::block::{Align, Cell, Section};
use super::super::clause::Clause;
use super::super::format;
use super::fit;
use super::writer::Writer;
use crate::core::units::Length;
use crate::core::units::print::Bound;
use crate::procedure::resolve::{Joint, Pipe};
use crate::published::{Practice, Sourced};

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
    blocks.extend(fit::fit(w));
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
