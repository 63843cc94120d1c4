//! Single slips of a tired engineer in the specs of the demo: another unit, a point
//! in another place, digits that changed places, a value of the line above. Each is
//! an error.

use std::collections::BTreeSet;

use coldring::core::finding::Severity;
use coldring::core::source::{Source, Sources};
use coldring::papers::compile::check;

use crate::support::{GAS, GEOTHERMAL, as_of, gas_alone, read};

const HOT_WATER: &str = "specs/saddle-works-hot-water.yaml";
const WATER: &str = "specs/tern-valley-water.yaml";
const FULL: &str = "specs/tour/6-full.yaml";

/// A spec, what stands in it and what the slip makes of it.
#[rustfmt::skip]
const SLIPS: &[(&str, &str, &str)] = &[
    (GEOTHERMAL, "dimension_ratio: [9, 11]", "dimension_ratio: [9, 110]"),
    (GEOTHERMAL, "dimension_ratio: [9, 11]", "dimension_ratio: [9, 1.1]"),
    (GEOTHERMAL, "dimension_ratio: [9, 11]", "dimension_ratio: [9, S 11]"),
    (HOT_WATER, "dimension_ratio: 7.4", "dimension_ratio: S 3.2"),
    (HOT_WATER, "dimension_ratio: 7.4", "dimension_ratio: 74"),
    (HOT_WATER, "dimension_ratio: 7.4", "dimension_ratio: 4.7"),
    (WATER, "dimension_ratio: 11}", "dimension_ratio: RD 11}"),
    (GEOTHERMAL, "20 °F to 110 °F", "20 °C to 110 °C"),
    (GEOTHERMAL, "20 °F to 110 °F", "20 °F to 1100 °F"),
    (GEOTHERMAL, "20 °F to 110 °F", "110 °F to 20 °F"),
    (WATER, "5 °C to 35 °C", "5 °F to 35 °F"),
    (WATER, "5 °C to 35 °C", "-5 °C to 35 °C"),
    (GEOTHERMAL, "set_point: 500 °F", "set_point: 500 °C"),
    (GEOTHERMAL, "set_point: 500 °F", "set_point: 260 °F"),
    (GEOTHERMAL, "set_point: 500 °F", "set_point: 50 °F"),
    (GEOTHERMAL, "set_point: 500 °F", "set_point: 550 °F"),
    (GEOTHERMAL, "set_point: 500 °F", "set_point: 510 °F"),
    (WATER, "set_point: 260 °C", "set_point: 206 °C"),
    (WATER, "set_point: 260 °C", "set_point: 260 °F"),
    (GEOTHERMAL, "face_offset: -2 °F", "face_offset: 498 °F"),
    (GEOTHERMAL, "face_offset: -2 °F", "face_offset: -20 °F"),
    (WATER, "face_offset: -1 °C", "face_offset: -10 °C"),
    (GEOTHERMAL, "step: 2 °F", "step: 0 °F"),
    (GEOTHERMAL, "step: 2 °F", "step: 200 °F"),
    (GEOTHERMAL, "swing: 4 °F", "swing: 0 °F"),
    (GEOTHERMAL, "swing: 4 °F", "swing: 40 °F"),
    (GEOTHERMAL, "swing: 4 °F", "swing: 0.4 °F"),
    (GEOTHERMAL, "swing: 4 °F", "swing: 4 °C"),
    (GEOTHERMAL, "accuracy: 2 °F", "accuracy: 0 °F"),
    (GEOTHERMAL, "accuracy: 2 °F", "accuracy: 20 °F"),
    (GEOTHERMAL, "accuracy: 2 °F", "accuracy: 0.2 °F"),
    (GEOTHERMAL, "1 IPS: {depth: 0.71 in", "1 IPS: {depth: 7.1 in"),
    (GEOTHERMAL, "1 IPS: {depth: 0.71 in", "1 IPS: {depth: 0.071 in"),
    (GEOTHERMAL, "1 IPS: {depth: 0.71 in", "1 IPS: {depth: 0.71 mm"),
    (GEOTHERMAL, "1 IPS: {depth: 0.71 in", "1 IPS: {depth: 0.17 in"),
    (GEOTHERMAL, "2 IPS: {depth: 0.94 in, id", "2 IPS: {depth: 0.49 in, id"),
    (GEOTHERMAL, "1-1/4 IPS: {depth: 0.81 in", "1-1/4 IPS: {depth: 0.18 in"),
    (GEOTHERMAL, "2 IPS: {depth: 0.94 in}", "2 IPS: {depth: 9.4 in}"),
    (WATER, "32 mm: {depth: 16.0 mm", "32 mm: {depth: 16.0 in"),
    (WATER, "32 mm: {depth: 16.0 mm", "32 mm: {depth: 1.6 mm"),
    (WATER, "32 mm: {depth: 16.0 mm", "32 mm: {depth: 61.0 mm"),
    (HOT_WATER, "40 mm: {depth: 19.0 mm", "40 mm: {depth: 9.0 mm"),
    (HOT_WATER, "40 mm: {depth: 19.0 mm", "40 mm: {depth: 22.0 mm"),
    (GEOTHERMAL, "2 IPS: {depth: 1.06 in", "2 IPS: {depth: 10.6 in"),
    (GEOTHERMAL, "2 IPS: {depth: 1.06 in", "2 IPS: {depth: 3.06 in"),
    (GEOTHERMAL, "straight_length: 1.90 in", "straight_length: 19.0 in"),
    (GEOTHERMAL, "straight_length: 1.90 in", "straight_length: 1.09 in"),
    (GEOTHERMAL, "outside_diameter: 2.376 in", "outside_diameter: 2.736 in"),
    (GEOTHERMAL, "wall: 0.270 in", "wall: 0.027 in"),
    (GEOTHERMAL, "2 IPS: {width: 0.75 in}", "2 IPS: {width: 7.5 in}"),
    (GEOTHERMAL, "2 IPS: {width: 0.75 in}", "2 IPS: {width: 0.075 in}"),
    (GEOTHERMAL, "cutter: {largest: 2 IPS}", "cutter: {largest: 20 IPS}"),
    (GEOTHERMAL, "cutter: {largest: 2 IPS}", "cutter: {largest: 2 CTS}"),
    (WATER, "machine: {largest: 110 mm}", "machine: {largest: 11 mm}"),
    (WATER, "machine: {largest: 110 mm}", "machine: {largest: 1100 mm}"),
    (GEOTHERMAL, "strength: 91 %", "strength: 19 %"),
    (GEOTHERMAL, "strength: 91 %", "strength: 9.1 %"),
    (GEOTHERMAL, "before_handling: {value: 5 min", "before_handling: {value: 5 s"),
    (GEOTHERMAL, "before_handling: {value: 5 min", "before_handling: {value: 5 h"),
    (GEOTHERMAL, "before_pressure_test: {value: 30 min", "before_pressure_test: {value: 30 s"),
    (GEOTHERMAL, "before_pressure_test: {value: 30 min", "before_pressure_test: {value: 3 min"),
    (WATER, "before_pressure_test: {value: 1 h", "before_pressure_test: {value: 1 min"),
    (WATER, "before_pressure_test: {value: 1 h", "before_pressure_test: {value: 1 s"),
    (GEOTHERMAL, "trial_step: {value: 3 s", "trial_step: {value: 3 min"),
    (GEOTHERMAL, "trial_step: {value: 3 s", "trial_step: {value: 30 s"),
    (GEOTHERMAL, "trial_step: {value: 3 s", "trial_step: {value: 1000 h"),
    (GEOTHERMAL, "least_wall: {value: 0.075 in", "least_wall: {value: 0.75 in"),
    (GEOTHERMAL, "least_wall: {value: 0.075 in", "least_wall: {value: 0.0075 in"),
    (GEOTHERMAL, "least_wall: {value: 0.075 in", "least_wall: {value: 0.075 mm"),
    (GEOTHERMAL, "date: 2025-09-15", "date: 1025-09-15"),
    (GEOTHERMAL, "date: 2026-11-02", "date: 2106-11-02"),
    (GEOTHERMAL, "date: 2026-11-02", "date: 2062-11-02"),
    (FULL, "hold: 45 s", "hold: 45 min"),
    (FULL, "hold: 45 s", "hold: 4.5 s"),
    (FULL, "hold: 45 s", "hold: 21 s"),
    (FULL, "change_over: {value: 3 s", "change_over: {value: 30 s"),
    (FULL, "change_over: {value: 3 s", "change_over: {value: 3 min"),
    (FULL, "no_joints_below: {value: 20 °F", "no_joints_below: {value: 60 °F"),
    (FULL, "no_joints_below: {value: 20 °F", "no_joints_below: {value: 120 °F"),
    (FULL, "no_joints_below: {value: 20 °F", "no_joints_below: {value: 20 °C"),
    (FULL, "1 IPS: {outside_diameter: 1.316 in", "1 IPS: {outside_diameter: 1.613 in"),
    (FULL, "thickness: 0.15 mm", "thickness: 0.15 in"),
    (FULL, "pipe_heat: 16 s, fitting_heat: 14 s", "pipe_heat: 14 s, fitting_heat: 16 s"),
    (FULL, "pipe_heat: 16 s", "pipe_heat: 61 s"),
    (GAS, "wall: 0.090 in", "wall: 0.90 in"),
    (GAS, "wall: 0.090 in", "wall: 0.009 in"),
    (GAS, "wall: 0.090 in", "wall: 0.090 mm"),
    (GAS, "wall: 0.090 in", "wall: 0.19 in"),
    (GAS, "method: pyrometer, accuracy: 2 °F", "method: indicating stick, melts: 525 °F"),
    (GAS, "method: pyrometer, accuracy: 2 °F", "method: indicating stick, melts: 450 °F"),
    (GAS, "method: pyrometer, accuracy: 2 °F", "method: two indicating sticks, melts: 525 °F, stays_solid: 475 °F"),
];

fn errors(text: &str) -> BTreeSet<(&'static str, String)> {
    let found = check(&Sources::from(Source::new("spec.yaml", text)), as_of()).findings;
    let errors = found
        .into_iter()
        .filter(|f| f.severity() == Severity::Error);
    errors.map(|f| (f.rule.slug, f.message)).collect()
}

#[test]
fn every_slip_is_an_error() {
    let mut silent = Vec::new();
    for (spec, right, slip) in SLIPS {
        let text = if *spec == GAS {
            gas_alone()
        } else {
            read(spec)
        };
        let slipped = text.replacen(right, slip, 1);
        assert_ne!(text, slipped, "{spec}: {right}");
        if errors(&slipped).difference(&errors(&text)).next().is_none() {
            silent.push(format!("{spec}: {slip}"));
        }
    }
    assert!(silent.is_empty(), "{}", silent.join("\n"));
    assert!(SLIPS.len() > 60);
}
