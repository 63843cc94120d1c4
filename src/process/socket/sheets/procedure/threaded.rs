//! Threaded transitions.

use crate::papers::sheets::procedure::writer::{Clause, Section, Writer};
use crate::spec::FittingKind;

pub(crate) fn threaded(w: &Writer) -> Option<Section> {
    if !w.covers(FittingKind::ThreadedTransition) {
        return None;
    }
    let items = [
        Clause::ThreadedCycle,
        Clause::ThreadedWrench,
        Clause::ThreadedFlats,
    ];
    Some(w.section(Clause::TitleThreaded, vec![w.list(items)]))
}
