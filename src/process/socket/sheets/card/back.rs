//! What the back of the card says: the steps, when to reject, and the lengths to
//! check a pipe by.

use serde::Serialize;

use crate::core::units::print::Bound;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::procedure::writer::Writer;
use crate::papers::sheets::{format, practice, work};
use crate::procedure::resolve::Procedure;
use crate::process::socket::sheets::steps::{JointStep, joint_steps};
use crate::published::{Basis, Library, Sourced};

/// The back of the card: text.
#[derive(Debug, Clone, Serialize)]
pub struct Back {
    /// What burns and what explodes.
    pub danger: String,
    /// The same in fewer words.
    pub short_danger: String,
    /// The steps.
    pub steps: Vec<CardStep>,
    /// Heading of the reasons to reject.
    pub reject_title: String,
    /// Reasons to reject.
    pub reject: Vec<String>,
    /// Before the outside diameters, if the sizes are not diameters.
    pub diameter_label: String,
    /// The thinnest wall that is fused.
    pub least_wall: Option<String>,
    /// Which instructions govern.
    pub deference: String,
}

/// A step in a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CardStep {
    /// Its number in the procedure.
    pub number: usize,
    /// What to do.
    pub text: String,
    /// Whether the clock runs.
    pub strong: bool,
    /// Whether it says when to stop.
    pub stop: bool,
}

impl From<JointStep> for CardStep {
    fn from(step: JointStep) -> Self {
        Self {
            number: step.number,
            text: step.short,
            strong: step.timed,
            stop: step.stop,
        }
    }
}

pub(crate) fn back(p: &Procedure, limits: &Library, words: &Clauses) -> Back {
    let say = |clause| words.render(clause);
    let units = p.practice().units;
    let writer = Writer::new(p, limits, words, None);
    let set_point = p.spec.heater.set_point.value.0;
    let own = &practice::words(p.practice()).card;
    let witness = work::has_witness_lines(p, limits).then_some(Clause::CardRejectWitness);
    let reject = own.reject.iter().cloned().chain(witness).chain([
        Clause::CardRejectSided,
        Clause::CardRejectAngle,
        Clause::CardRejectFolded,
        Clause::CardRejectDirt,
        Clause::CardRejectMelt,
    ]);
    Back {
        danger: say(Clause::CardDanger {
            set_point: set_point.show_exact(units.temperature_unit()),
        }),
        short_danger: say(Clause::CardDangerShort),
        steps: joint_steps(&writer)
            .into_iter()
            .map(CardStep::from)
            .collect(),
        reject_title: say(Clause::CardReject),
        reject: reject.map(say).collect(),
        diameter_label: say(Clause::CardDiameters {
            unit: match units.length_unit().symbol() {
                "in" => "in.".to_owned(),
                other => other.to_owned(),
            },
        }),
        least_wall: p.spec.least_wall.as_ref().map(|least| {
            let wall = Sourced::stated(least.value.value, Basis::Organization, "");
            // Beside diameters the unit stands before them.
            let show = if p.practice().size_is_diameter {
                format::with_unit
            } else {
                format::number
            };
            say(Clause::CardLeastWall {
                wall: show(units, &wall, Bound::Minimum),
            })
        }),
        deference: say(Clause::CardDeference),
    }
}
