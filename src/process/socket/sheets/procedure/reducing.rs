//! Reducers: each end has its own depth and times.

use crate::core::units::print::Bound;
use crate::papers::sheets::procedure::writer::{Align, Cell, Clause, Section, Writer, format};
use crate::procedure::resolve::Joint;
use crate::process::socket::practice::PhaseName;
use crate::process::socket::sheets::procedure::times;
use crate::spec::FittingKind;

pub(crate) fn reducing(w: &Writer) -> Option<Section> {
    if !w.covers(FittingKind::Reducer) {
        return None;
    }
    let mut blocks = Vec::new();
    let ends = w.p.spec.fittings.reducers.iter().flat_map(|reducer| {
        let fitting = format!("{} x {}", reducer.large, reducer.small);
        [reducer.large, reducer.small]
            .into_iter()
            .flat_map(|size| w.p.joints.iter().filter(move |j| j.size == size))
            .map(move |joint| end_row(w, &fitting, joint))
    });
    let rows: Vec<_> = ends.collect();
    if rows.is_empty() {
        blocks.push(w.text(Clause::ReducingUnstated));
    } else {
        blocks.push(w.text(Clause::ReducingIntro));
        let mut columns = vec![
            (Clause::ColumnReducer, Align::Left),
            (Clause::ColumnEnd, Align::Left),
            (Clause::ColumnDepth { unit: w.unit() }, Align::Right),
        ];
        columns.extend(phases(w).map(|phase| (times::heading(w, phase), Align::Right)));
        blocks.extend(w.table(Clause::ReducingCaption, columns, rows, false));
    }
    blocks.push(w.list([
        Clause::ReducingOneEnd,
        Clause::ReducingWait,
        Clause::ReducingAdapters,
    ]));
    Some(w.section(Clause::TitleReducing, blocks))
}

/// The phases of one end; the fitting is tested as a whole.
fn phases(w: &Writer) -> impl Iterator<Item = PhaseName> {
    let phases = w.practice().cycle.iter().map(|phase| phase.name);
    phases.filter(|phase| *phase != PhaseName::PressureTest)
}

fn end_row(w: &Writer, fitting: &str, joint: &Joint) -> Vec<Cell> {
    let units = w.units();
    let mut row = vec![
        Cell::plain(fitting),
        Cell::plain(format::joint(units, joint, &w.p.joints)),
    ];
    let Some(depth) = joint.depth.known() else {
        row.push(format::no_joint(w.words, 1 + phases(w).count()));
        return row;
    };
    row.push(format::length_cell(units, depth, Bound::Nominal));
    row.extend(phases(w).map(|phase| times::cell(w, joint, phase)));
    row
}
