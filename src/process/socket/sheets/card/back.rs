//! The back of the card: the steps, when to reject, and which instructions
//! govern.

use serde::Serialize;

use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::{practice, work};
use crate::procedure::resolve::Procedure;
use crate::published::Library;

/// The back of the card: text.
#[derive(Debug, Clone, Serialize)]
pub struct Back {
    /// The steps.
    pub steps: Vec<String>,
    /// Heading of the reasons to reject.
    pub reject_title: String,
    /// Reasons to reject.
    pub reject: Vec<String>,
    /// When to stop and cut.
    pub stop: String,
    /// Which instructions govern.
    pub deference: String,
}

pub(crate) fn back(p: &Procedure, limits: &Library, words: &Clauses) -> Back {
    let say = |clause| words.render(clause);
    let set_point = p.spec.heater.set_point.value.0;
    let danger = Clause::CardStepDanger {
        set_point: set_point.show_exact(p.practice().units.temperature_unit()),
    };
    // An unlike pair has its own order on the heater and its own times.
    let is_unlike = p.sizes().any(|joint| p.unlike_pair(joint.size).is_some());
    let is_cold = p.spec.cold_weather.is_some();
    let own = &practice::words(p.practice()).card;
    let steps = [
        danger,
        Clause::CardStepFaces,
        match work::peel(p) {
            Some(true) => Clause::CardStepMarkPeel,
            _ => own.depth.clone(),
        },
        Clause::CardStepClean,
        if is_unlike {
            Clause::CardStepHeatUnlike
        } else {
            own.heat.clone()
        },
        if is_cold {
            own.count_cold.clone()
        } else {
            own.count.clone()
        },
        own.off.clone(),
        own.hold.clone(),
    ];
    let witness = work::has_witness_lines(p, limits).then_some(Clause::CardRejectWitness);
    let reject = own.reject.iter().cloned().chain(witness).chain([
        Clause::CardRejectGap,
        Clause::CardRejectAngle,
        Clause::CardRejectBuckled,
        Clause::CardRejectDirt,
    ]);
    Back {
        steps: steps.map(say).into(),
        reject_title: say(Clause::CardReject),
        reject: reject.map(say).collect(),
        stop: say(Clause::CardStop),
        deference: say(Clause::CardDeference),
    }
}
