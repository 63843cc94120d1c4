//! The facts at the top of the procedure.

use serde::Serialize;

use crate::papers::sheets::procedure::writer::{Clause, Writer, format};
use crate::papers::sheets::resin;
use crate::papers::sheets::resin::Band;
use crate::process::socket::sheets::procedure::{heater, scope};
use crate::spec::Status;

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Fact {
    pub(crate) label: String,
    pub(crate) value: String,
    /// For the resin, the color that also identifies it.
    pub(crate) band: Option<Band>,
}

pub(crate) fn facts(w: &Writer) -> Vec<Fact> {
    let spec = w.p.spec;
    let to = w.say(Clause::To);
    let mut facts = vec![
        (
            Clause::FactService,
            w.say(scope::service(spec.service.value)),
        ),
        (Clause::FactResin, resin(w)),
        (Clause::FactSizes, w.sizes()),
        (Clause::FactWalls, scope::walls(w)),
        (Clause::FactFittings, scope::fittings(w)),
    ];
    if let Some(range) = &spec.pipe_temperature {
        let cell = format::temperature_range_cell(w.units(), range.value, &to);
        facts.push((Clause::FactPipeTemperature, cell.in_one_line()));
    }
    if let Some(window) = heater::window(w) {
        facts.push((Clause::FactHeaterFace, window));
    }
    let effective = spec.revisions.last().and_then(|r| r.effective.as_ref());
    let in_force = effective.filter(|_| spec.status.value != Status::Draft);
    if let Some(effective) = in_force {
        facts.push((Clause::FactEffective, effective.value.to_string()));
    }
    facts
        .into_iter()
        .map(|(label, value)| Fact {
            band: resin::band(w.p).filter(|_| label == Clause::FactResin),
            label: w.say(label),
            value,
        })
        .collect()
}

/// The resin by name and kind, in words before any color.
fn resin(w: &Writer) -> String {
    let kind = resin::kind(w.p, w.words);
    [Some(w.resin()), kind]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(", ")
}
