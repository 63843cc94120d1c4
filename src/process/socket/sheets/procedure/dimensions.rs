//! Pipe dimensions, and how pipe fits the socket.

use crate::core::units::Length;
use crate::core::units::print::Bound;
use crate::papers::sheets::practice::Dimension;
use crate::papers::sheets::procedure::writer::{Align, Cell, Clause, Section, Writer, format};
use crate::procedure::resolve::{Joint, Pipe};
use crate::process::socket::sheets::procedure::fit;
use crate::published::Sourced;

pub(crate) fn dimensions(w: &Writer) -> Section {
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
    let words = &w.by_practice().dimensions;
    let between = words.columns.iter().map(|column| {
        let unit = unit.clone();
        match column {
            Dimension::OdTolerance => Clause::ColumnOdTolerance { unit },
            Dimension::OdPlus => Clause::ColumnOdPlus { unit },
            Dimension::OutOfRoundness => Clause::ColumnOutOfRoundness { unit },
            Dimension::LeastWall => Clause::ColumnLeastWall { unit },
            Dimension::WallTolerance => Clause::ColumnWallTolerance { unit },
        }
    });
    columns.extend(between.map(|column| (column, Align::Right)));
    columns.push((Clause::ColumnInside { unit: unit.clone() }, Align::Right));
    let mut blocks = w.table(words.caption.clone(), columns, rows.collect(), true);
    blocks.push(w.text(words.note.clone()));
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
    let columns = w.by_practice().dimensions.columns.iter();
    row.extend(columns.map(|column| match column {
        Dimension::OdTolerance => most(&joint.od_tolerance),
        Dimension::OdPlus => format::or_none(joint.od_tolerance.as_ref(), |tolerance| {
            Cell::plain(format::plus_only(tolerance.value)).verify(tolerance.needs_verifying())
        }),
        Dimension::OutOfRoundness => most(&joint.out_of_roundness),
        Dimension::LeastWall => least(&pipe.minimum_wall),
        Dimension::WallTolerance => most(&pipe.wall_tolerance),
    }));
    row.push(length(&pipe.inside_diameter));
    row
}
