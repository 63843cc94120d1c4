//! Metric practice with a mark on the pipe and a look at the bead.

use super::{DepthBy, Event, Phase, PhaseName, Practice, Pusher, Starter};
use crate::core::paper::Paper;
use crate::core::size::SizeSystem;
use crate::core::units::print::{DecimalMark, UnitsFirst};

/// Metric practice with a mark on the pipe and a look at the bead.
pub static METRIC: Practice = Practice {
    key: "metric",
    name: "metric practice",
    adjective: "metric",
    systems: &[SizeSystem::Metric],
    ratio: "SDR",
    units: UnitsFirst::Metric,
    paper: Paper::A4,
    spanish_decimal_mark: DecimalMark::Comma,
    depth_by: DepthBy::Mark,
    peels: true,
    size_is_diameter: true,
    pusher: Pusher {
        from: "metric-range:machine-from:length",
        statement: "metric-range:machine-from:text",
        is_machine: true,
    },
    rounded_by: ["a re-rounding clamp", "the clamp"],
    cycle: [
        Phase::new(PhaseName::Heating, Event::OnHeater),
        Phase::new(PhaseName::ChangeOver, Event::OffHeater),
        Phase::new(PhaseName::Hold, Event::Joined),
        // The hold is its first part.
        Phase::new(PhaseName::Handling, Event::Joined),
        Phase::new(PhaseName::PressureTest, Event::Cooled),
    ],
    times_by_size: true,
    holds_until_cool: true,
    federal_gas_rules: false,
    has_least_wall: false,
    range: "metric-range:largest:text",
    coil_ovality: None,
    // The one of US practice cites ASTM standards, one of them about PE alone.
    cold_trial: "practice:cold-trial-metric:text",
    cold_statements: [
        // F2620 is a standard of US practice.
        "practice:never-raise-setting-metric:text",
        // No cold ring to shim.
        "practice:warm-fittings-metric:text",
        "practice:shelter:text",
    ],
    lowest_ambient_pe: Some("metric-temperatures:lowest-ambient-pe:text"),
    how_to_measure_depth: "take it from the fitting manufacturer or measure it in the fitting, from \
        the entrance to where the pipe end comes to rest, and give the drawing or the caliper and \
        the day as source; the length of the socket and the distance of a witness line are not \
        depths; until then write `depth: to be measured` in a draft",
    spigot_needs: "give fittings.spigots: {SIZE: {straight_length: …}} and the insertion depth",
    size_needs: "adapters, depth",
    reducer_example: "63 mm x 32 mm",
    starter: Starter {
        places: "four places: scope,\n# depths, adapters, cutter",
        quantities: "260 °C, 8 s, 10 min",
        range: "20 mm to 63 mm",
        resin: "PE100",
        set_point: "260 °C",
        cold: "5 °C",
    },
};
