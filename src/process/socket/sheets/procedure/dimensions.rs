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
    let words = &w.practice_words().dimensions;
    let between = words.columns.iter().map(|column| {
        let unit = unit.clone();
        match column {
            Dimension::OdTolerance => Clause::ColumnOdTolerance { unit },
            Dimension::OdPlus => Clause::ColumnOdPlus { unit },
            Dimension::OutOfRoundness => Clause::ColumnOutOfRoundness { unit },
            Dimension::MinimumWall => Clause::ColumnLeastWall { unit },
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
    let length = |number: &Sourced<Length>| format::length_cell(w.units(), number, Bound::Nominal);
    let least = |number: &Sourced<Length>| format::length_cell(w.units(), number, Bound::Minimum);
    let most = |number: &Option<Sourced<Length>>| {
        format::or_dash(number.as_ref(), |number| {
            format::length_cell(w.units(), number, Bound::Maximum)
        })
    };
    let mut row = vec![
        Cell::plain(joint.size.to_string()).strong(),
        Cell::plain(pipe.label.name(w.units())),
        format::or_dash(joint.outside_diameter.as_ref(), length),
    ];
    let columns = w.practice_words().dimensions.columns.iter();
    row.extend(columns.map(|column| match column {
        Dimension::OdTolerance => most(&joint.od_tolerance),
        Dimension::OdPlus => format::or_dash(joint.od_tolerance.as_ref(), |tolerance| {
            Cell::plain(format::plus_only(tolerance.value)).verify(tolerance.needs_verifying())
        }),
        Dimension::OutOfRoundness => most(&joint.out_of_roundness),
        Dimension::MinimumWall => least(&pipe.minimum_wall),
        Dimension::WallTolerance => most(&pipe.wall_tolerance),
    }));
    row.push(length(&pipe.inside_diameter));
    row
}
