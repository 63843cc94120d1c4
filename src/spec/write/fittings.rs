//! The fittings.

use super::{Group, equipment, value, word};
use crate::spec::fittings::{FIRST_ON, KINDS};
use crate::spec::model::*;
use crate::spec::write::tree::Tree;

/// The `fittings` group.
pub fn fittings(fittings: &Fittings) -> Group {
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
    let kinds = kinds.iter().map(|kind| word(&kind.value, KINDS));
    Group::new()
        // A spec without this field is refused, so it is there if it is empty.
        .add("kinds", [Tree::List(kinds.collect())])
        .shown("resin", resin)
        .by_size("depths", depths, equipment::depth)
        .by_size("sockets", sockets, socket)
        .by_size("spigots", spigots, spigot)
        .list("reducers", reducers, |reducer| {
            let Reducer {
                large,
                small,
                span: _,
            } = reducer;
            value(format!("{large} x {small}"))
        })
        .list("unlike", unlike, pair)
}

fn socket(socket: &Socket) -> Tree {
    let Socket {
        depth,
        mouth,
        root,
        source,
    } = socket;
    Group::new()
        .quantity("depth", depth)
        .quantity("mouth", mouth)
        .quantity("root", root)
        .shown("source", source)
        .tree()
}

fn spigot(spigot: &Spigot) -> Tree {
    let Spigot {
        straight_length,
        outside_diameter,
        wall,
        source,
    } = spigot;
    Group::new()
        .quantity("straight_length", [straight_length])
        .quantity("outside_diameter", outside_diameter)
        .quantity("wall", wall)
        .shown("source", source)
        .tree()
}

fn pair(pair: &UnlikePair) -> Tree {
    let UnlikePair {
        size,
        pipe_heat,
        fitting_heat,
        first,
        record,
        source,
        span: _,
    } = pair;
    Group::new()
        .shown("size", [size])
        .quantity("pipe_heat", [pipe_heat])
        .quantity("fitting_heat", [fitting_heat])
        .word("first", [first], FIRST_ON)
        .shown("record", record)
        .shown("source", source)
        .tree()
}
