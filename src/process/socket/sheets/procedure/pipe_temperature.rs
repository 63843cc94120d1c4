//! What is done at which temperature of the pipe: too cold, cold, as in the table,
//! too hot. Every limit of the spec and of the tables that binds the crew is one of
//! its edges; procedure and card take them from here, so that neither lets a joint be
//! made that the other stops.

use crate::core::units::Temperature;
use crate::core::units::print::Bound;
use crate::papers::sheets::parts::{PipeBand, PipeBandKind, PipeTemperature};
use crate::papers::sheets::procedure::writer::{Cell, Clause, Writer};
use crate::papers::sheets::resin;
use crate::procedure::resolve::Procedure;
use crate::published::Library;

/// A limit of the pipe's temperature, and whether its number is recalled.
#[derive(Clone, Copy)]
pub(crate) struct Edge {
    pub(crate) at: Temperature,
    /// To which side it is rounded.
    pub(crate) bound: Bound,
    pub(crate) verify: bool,
}

/// The edges of a procedure, from cold to hot.
pub(crate) struct Edges {
    /// No joint below it.
    pub(crate) floor: Option<Edge>,
    /// From here on the times of the table hold; `None` if they hold from the floor.
    pub(crate) table: Option<Edge>,
    /// No joint above it.
    pub(crate) upper: Option<Edge>,
}

pub(crate) fn edges(p: &Procedure, limits: &Library) -> Edges {
    let least = |at| Edge {
        at,
        bound: Bound::Minimum,
        verify: false,
    };
    let range = p.spec.pipe_temperature.as_ref().map(|range| range.value);
    let trigger = p.cold_trigger.as_ref().map(|trigger| Edge {
        verify: trigger.needs_verifying(),
        ..least(trigger.value)
    });
    let warmer = |a: Option<Edge>, b: Option<Edge>| match (a, b) {
        // At the same temperature the number that needs no mark is the one printed.
        (Some(a), Some(b)) if a.at >= b.at => Some(a),
        (a, b) => b.or(a),
    };
    let stated = range.map(|range| least(range.least));
    let cold = p.spec.cold_weather.as_ref();
    let no_joints = cold.and_then(|cold| cold.no_joints_below.as_ref());
    let (floor, table) = match cold {
        None => (warmer(stated, trigger), None),
        Some(_) => {
            let own = warmer(no_joints.map(|floor| least(floor.value.value)), stated);
            let published = resin::lowest_ambient(p, limits).map(|floor| Edge {
                verify: floor.needs_verifying(),
                ..least(floor.value)
            });
            let floor = warmer(own, published);
            let cold_below = |trigger: &Edge| floor.is_none_or(|floor| floor.at < trigger.at);
            (floor, trigger.filter(cold_below))
        }
    };
    Edges {
        floor,
        table,
        upper: range.map(|range| Edge {
            bound: Bound::Maximum,
            ..least(range.most)
        }),
    }
}

pub(crate) fn strip(w: &Writer) -> PipeTemperature {
    let edges = edges(w.p, w.limits);
    let units = w.units();
    let show = |edge: &Edge| {
        let [first, _] = units.temperatures(edge.at, edge.bound);
        first
    };
    let symbol = units.temperature_unit().symbol();
    let number = |edge: &Edge| show(edge).trim_end_matches(symbol).trim_end().to_owned();
    let band = |kind, range: Clause, verify, order| PipeBand {
        kind,
        range: Cell::plain(w.say(range)).verify(verify),
        order: w.say(order),
    };
    let Edges {
        floor,
        table,
        upper,
    } = &edges;
    let mut bands = Vec::new();
    if let Some(floor) = floor {
        bands.push(band(
            PipeBandKind::Stop,
            Clause::PipeBelow { limit: show(floor) },
            floor.verify,
            Clause::DoNotFuse,
        ));
    }
    if let Some(table) = table {
        let range = match floor {
            Some(floor) => Clause::PipeToBelow {
                least: number(floor),
                limit: show(table),
            },
            None => Clause::PipeBelow { limit: show(table) },
        };
        bands.push(band(
            PipeBandKind::Trial,
            range,
            table.verify,
            Clause::PipeTrialTime,
        ));
    }
    let from = table.as_ref().or(floor.as_ref());
    let heat = match (from, upper) {
        (Some(from), Some(upper)) => Some((
            Clause::PipeFromTo {
                least: number(from),
                most: show(upper),
            },
            from.verify,
        )),
        (Some(from), None) => Some((Clause::PipeFrom { least: show(from) }, from.verify)),
        (None, Some(upper)) => Some((Clause::PipeUpTo { most: show(upper) }, false)),
        (None, None) => None,
    };
    if let Some((range, verify)) = heat {
        bands.push(band(
            PipeBandKind::Heat,
            range,
            verify,
            Clause::PipeHeatOfTable,
        ));
    }
    if let Some(upper) = upper {
        bands.push(band(
            PipeBandKind::Stop,
            Clause::PipeAbove { limit: show(upper) },
            false,
            Clause::DoNotFuse,
        ));
    }
    // The limits in the other unit. The ends of the range have it on the first page.
    let note = table.map(|edge| {
        let [first, other] = units.temperatures(edge.at, edge.bound);
        w.say(Clause::PipeIs { first, other })
    });
    PipeTemperature {
        bands,
        note: note.unwrap_or_default(),
    }
}
