//! United States hand practice with cold ring and depth gauge.

use super::{DepthBy, Event, Phase, PhaseName, Practice, Pusher, Starter};
use crate::core::paper::Paper;
use crate::core::size::SizeSystem;
use crate::core::units::print::{DecimalMark, UnitsFirst};

/// United States hand practice with cold ring and depth gauge.
pub static US: Practice = Practice {
    key: "us",
    name: "US practice",
    adjective: "US",
    systems: &[SizeSystem::Ips, SizeSystem::Cts],
    ratio: "DR",
    units: UnitsFirst::Us,
    paper: Paper::Letter,
    // US work is read with a point in every language.
    spanish_decimal_mark: DecimalMark::Point,
    depth_by: DepthBy::Ring,
    peels: false,
    size_is_diameter: false,
    pusher: Pusher {
        from: "us-range:holding-tool-from:length",
        statement: "us-range:holding-tool-from:text",
        is_machine: false,
    },
    rounded_by: ["the cold ring", "the ring"],
    cycle: [
        Phase::new(PhaseName::Heating, Event::OnHeater),
        Phase::new(PhaseName::ChangeOver, Event::OffHeater),
        Phase::new(PhaseName::Hold, Event::Joined),
        Phase::new(PhaseName::Handling, Event::HoldEnd),
        Phase::new(PhaseName::PressureTest, Event::HoldEnd),
    ],
    times_by_size: false,
    holds_until_cool: false,
    federal_gas_rules: true,
    has_least_wall: true,
    range: "us-range:sizes:text",
    coil_ovality: Some("us-coil:ovality:percent"),
    cold_trial: "practice:cold-trial:text",
    cold_statements: [
        "practice:never-raise-setting:text",
        "practice:warm-fittings:text",
        "practice:shelter:text",
    ],
    lowest_ambient_pe: None,
    how_to_measure_depth: "measure the depth gauge with a caliper, from its inside stop to the \
        face that sets the cold ring, three readings around, and give the gauge and the day as \
        source; until then write `depth: to be measured` in a draft",
    spigot_needs: "give fittings.spigots: {SIZE: {straight_length: …}}, tools.cold_rings: {SIZE: \
        {width: …}} and the depth of the gauge",
    size_needs: "adapters, ring, depth",
    reducer_example: "2 IPS x 1 IPS",
    starter: Starter {
        places: "five places: scope,\n# adapters, depth_gauges, cold_rings, cutter",
        quantities: "500 °F, 18 to 21 s, 5 min",
        range: "3/4 IPS to 2 IPS",
        resin: "PE4710",
        set_point: "500 °F",
        cold: "40 °F",
    },
};
