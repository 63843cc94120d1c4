//! Heater, hand tools and cleaning.

use super::{Group, value};
use crate::spec::equipment::{AGENTS, METHODS};
use crate::spec::model::*;
use crate::spec::words::YES_NO;
use crate::spec::write::tree::Tree;

/// The `heater` group.
pub fn heater(heater: &Heater) -> Group {
    let Heater {
        set_point,
        face_offset,
        step,
        swing,
        face_check,
        adapters,
        span: _,
    } = heater;
    let face_check = face_check.iter().map(|check| {
        let FaceCheck {
            method,
            accuracy,
            melts,
            stays_solid,
            span: _,
        } = check;
        Group::new()
            .word("method", [method], METHODS)
            .quantity("accuracy", accuracy)
            .quantity("melts", melts)
            .quantity("stays_solid", stays_solid)
            .tree()
    });
    let adapters = adapters.iter().map(|(size, Adapter { depth })| {
        let adapter = Group::new().quantity("depth", depth);
        (size.to_string(), adapter.tree())
    });
    Group::new()
        .quantity("set_point", [set_point])
        .quantity("face_offset", face_offset)
        .quantity("step", step)
        .quantity("swing", swing)
        .add("face_check", face_check)
        // A spec without this field is refused, so it is there if it is empty.
        .group("adapters", Group(adapters.collect()))
}

/// The insertion depth of one size.
pub fn depth(gauge: &DepthGauge) -> Tree {
    let DepthGauge { depth, id, source } = gauge;
    let depth = match depth {
        GaugeDepth::Known(depth) => value(&depth.text),
        GaugeDepth::ToBeMeasured(_) => value(TO_BE_MEASURED),
    };
    Group::new()
        .add("depth", [depth])
        .shown("id", id)
        .shown("source", source)
        .tree()
}

/// The `tools` group.
pub fn tools(tools: &Tools) -> Group {
    let Tools {
        depth_gauges,
        cold_rings,
        cutter_largest,
        machine_largest,
        span: _,
    } = tools;
    let largest = |largest| Group::new().shown("largest", largest);
    Group::new()
        .by_size("depth_gauges", depth_gauges, depth)
        .by_size("cold_rings", cold_rings, |ColdRing { width }| {
            Group::new().quantity("width", width).tree()
        })
        .some("cutter", largest(cutter_largest))
        .some("machine", largest(machine_largest))
}

/// The `cleaning` group.
pub fn cleaning(cleaning: &Cleaning) -> Tree {
    let Cleaning {
        agent,
        strength,
        peel,
    } = cleaning;
    Group::new()
        .word("agent", [agent], AGENTS)
        .quantity("strength", strength)
        .word("peel", peel, YES_NO)
        .tree()
}
