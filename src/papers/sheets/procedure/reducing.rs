//! Reducers: both ends, each with its own depth and times.

use super::super::block::{Align, Cell, Section};
use super::super::clause::Clause;
use super::super::format;
use super::times;
use super::writer::Writer;
use crate::core::units::print::Bound;
use crate::procedure::resolve::Joint;
use crate::spec::FittingKind;

pub(super) fn reducing(w: &Writer) -> Option<Section> {
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
        let handling = w.by_practice().times.wait.clone();
        blocks.extend(w.table(
            Clause::ReducingCaption,
            vec![
                (Clause::ColumnReducer, Align::Left),
                (Clause::ColumnEnd, Align::Left),
                (Clause::ColumnDepth { unit: w.unit() }, Align::Right),
                (Clause::ColumnHeating, Align::Right),
                (Clause::ColumnChangeOver, Align::Right),
                (Clause::ColumnHold, Align::Right),
                (handling, Align::Right),
            ],
            rows,
            false,
        ));
    }
    blocks.push(w.list([
        Clause::ReducingOneEnd,
        Clause::ReducingWait,
        Clause::ReducingAdapters,
    ]));
    Some(w.section(Clause::TitleReducing, blocks))
}

fn end_row(w: &Writer, fitting: &str, joint: &Joint) -> Vec<Cell> {
    let units = w.units();
    let (fitting, end) = (
        Cell::plain(fitting),
        Cell::plain(format::joint(units, joint, &w.p.joints)),
    );
    let Some(depth) = joint.depth.known() else {
        return vec![fitting, end, format::no_joint(w.words, 5)];
    };
    vec![
        fitting,
        end,
        format::length_cell(units, depth, Bound::Nominal),
        times::heating(w, joint),
        format::or_none(joint.change_over.as_ref(), format::seconds_cell),
        times::hold(w, joint),
        format::or_none(joint.before_handling.as_ref(), format::time_cell),
    ]
}
