//! Threaded transitions.

use crate::papers::sheets::parts::{Rule, ThreadedTransition, runs};
use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer};
use crate::spec::FittingKind;

pub(crate) fn threaded(w: &Writer) -> Option<Section> {
    if !w.covers(FittingKind::ThreadedTransition) {
        return None;
    }
    let rule = |order, detail| Rule {
        order: runs(&w.say(order), "", false),
        detail: w.say(detail),
    };
    // The wait, if it is one for all sizes.
    let wait = w.p.common(|joint| joint.cycle.before_handling());
    let make_up = match wait.filter(|_| !w.practice().times_by_size) {
        Some(wait) => {
            let number = wait.value.show();
            let order = w.say(Clause::ThreadedWait {
                wait: number.clone(),
            });
            runs(&order, &number, wait.needs_verifying())
        }
        None => runs(&w.say(Clause::ThreadedWaitTable), "", false),
    };
    let part = |order, what| [w.say(order), w.say(what)];
    let threaded = ThreadedTransition {
        alt: w.say(Clause::ThreadedAlt),
        hold: part(Clause::ThreadedHold, Clause::ThreadedHoldBy),
        turn: part(Clause::ThreadedTurn, Clause::ThreadedTurnThe),
        never: w.say(Clause::ThreadedNever),
        ring: w.practice().has_ring(),
        rules: vec![
            rule(Clause::ThreadedWrench, Clause::ThreadedWrenchWhy),
            Rule {
                order: make_up,
                detail: w.say(w.practice_words().wait_from.clone()),
            },
            rule(Clause::ThreadedFlats, Clause::ThreadedFlatsHow),
        ],
    };
    let section = w.section(
        Clause::TitleThreaded,
        vec![Block::ThreadedTransition(Box::new(threaded))],
    );
    Some(section.lead(w.say(Clause::ThreadedCycle)))
}
