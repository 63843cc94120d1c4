//! Facts of heater, hand tools and cleaning.

use super::super::fact::{ALONE, Collector, Value};
use crate::spec::{Adapter, Cleaning, ColdRing, DepthGauge, FaceCheck, GaugeDepth, Heater, Tools};

/// The heater.
pub fn heater(heater: &Heater, to: &mut Collector<'_>) {
    let Heater {
        set_point,
        face_offset,
        step,
        swing,
        face_check,
        adapters,
        span: _,
    } = heater;
    to.quantity("set-point", ALONE, [set_point]);
    to.quantity("face-offset", ALONE, face_offset);
    to.quantity("heater-step", ALONE, step);
    to.quantity("heater-swing", ALONE, swing);
    if let Some(check) = face_check {
        let FaceCheck {
            method,
            accuracy,
            melts,
            stays_solid,
            span: _,
        } = check;
        to.word("face-check", ALONE, [method]);
        to.quantity("face-check-accuracy", ALONE, accuracy);
        to.quantity("stick-melts", ALONE, melts);
        to.quantity("stick-stays-solid", ALONE, stays_solid);
    }
    for (size, Adapter { depth }) in adapters {
        to.present("adapter", size.value, size.span);
        to.quantity("adapter-depth", size.value, depth);
    }
}

/// The hand tools.
pub fn tools(tools: &Tools, to: &mut Collector<'_>) {
    let Tools {
        depth_gauges,
        cold_rings,
        cutter_largest,
        machine_largest,
        span: _,
    } = tools;
    for (size, gauge) in depth_gauges {
        let DepthGauge { depth, id, source } = gauge;
        self::depth("gauge-depth", size.value, depth, to);
        to.text("gauge-id", size.value, id);
        to.text("gauge-source", size.value, source);
    }
    for (size, ColdRing { width }) in cold_rings {
        to.present("cold-ring", size.value, size.span);
        to.quantity("cold-ring-width", size.value, width);
    }
    for (variable, largest) in [("cutter", cutter_largest), ("machine", machine_largest)] {
        if let Some(largest) = largest {
            let (size, shown) = (Value::Size(largest.value), largest.value.to_string());
            to.add(variable, ALONE, size, shown, largest.span);
        }
    }
}

/// A depth that is measured, or still to be.
pub fn depth(
    variable: &'static str,
    size: crate::core::size::Size,
    depth: &GaugeDepth,
    to: &mut Collector<'_>,
) {
    match depth {
        GaugeDepth::Known(depth) => to.quantity(variable, size, [depth]),
        GaugeDepth::ToBeMeasured(span) => {
            let shown = to.at(*span);
            to.add(variable, size, Value::Word(shown.to_owned()), shown, *span);
        }
    }
}

/// Cleaning.
pub fn cleaning(cleaning: Option<&Cleaning>, to: &mut Collector<'_>) {
    let Some(Cleaning {
        agent,
        strength,
        peel,
    }) = cleaning
    else {
        return;
    };
    to.word("cleaning-agent", ALONE, [agent]);
    to.quantity("cleaning-strength", ALONE, strength);
    to.word("peel", ALONE, peel);
}
