//! Facts of the fittings.

use super::super::fact::{ALONE, Collector};
use super::equipment;
use crate::spec::fittings::KINDS;
use crate::spec::words;
use crate::spec::{DepthGauge, FittingKind, Fittings, Reducer, Socket, Spigot, UnlikePair};

/// The fittings.
pub fn facts(fittings: &Fittings, to: &mut Collector<'_>) {
    let Fittings {
        kinds,
        resin,
        depths,
        reducers,
        unlike,
        sockets,
        spigots,
        span: _,
    } = fittings;
    for kind in kinds {
        // A pipe-like end is another part to hold, to heat and to push.
        let variable = match kind.value {
            FittingKind::Spigot => "spigot-fitting",
            _ => "fitting-kind",
        };
        let of = words::name(KINDS, &kind.value);
        to.present(variable, of, kind.span);
    }
    to.text("fitting-resin", ALONE, resin);
    for (size, gauge) in depths {
        let DepthGauge { depth, id, source } = gauge;
        equipment::depth("stated-depth", size.value, depth, to);
        to.text("stated-depth-id", size.value, id);
        to.text("stated-depth-source", size.value, source);
    }
    for Reducer { large, small, span } in reducers {
        to.present("reducer", format!("{large} x {small}").as_str(), *span);
    }
    for pair in unlike {
        let UnlikePair {
            size,
            pipe_heat,
            fitting_heat,
            first,
            record,
            source,
            span: _,
        } = pair;
        to.quantity("unlike-pipe-heating", size.value, [pipe_heat]);
        to.quantity("unlike-fitting-heating", size.value, [fitting_heat]);
        to.word("unlike-first-on", size.value, [first]);
        to.text("unlike-record", size.value, record);
        to.text("unlike-source", size.value, source);
    }
    for (size, socket) in sockets {
        let Socket {
            depth,
            mouth,
            root,
            source,
        } = socket;
        to.quantity("socket-depth", size.value, depth);
        to.quantity("socket-mouth", size.value, mouth);
        to.quantity("socket-root", size.value, root);
        to.text("socket-source", size.value, source);
    }
    for (size, spigot) in spigots {
        let Spigot {
            straight_length,
            outside_diameter,
            wall,
            source,
        } = spigot;
        to.quantity("spigot-length", size.value, [straight_length]);
        to.quantity("spigot-diameter", size.value, outside_diameter);
        to.quantity("spigot-wall", size.value, wall);
        to.text("spigot-source", size.value, source);
    }
}
