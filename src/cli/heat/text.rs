//! The estimates as tables for people.

use super::{Conditions, HEADING, Line, Spec};
use crate::cli::layout::columns;
use crate::core::units::print::UnitsFirst;
use crate::core::units::{Temperature, TemperatureUnit};
use crate::process::socket::heat::advice::shown;

/// Headings, two lines each.
const HEAD: [[&str; 2]; 11] = [
    ["size", ""],
    ["wall", ""],
    ["heat", "s"],
    ["pipe melt", "mm"],
    ["socket melt", "mm"],
    ["of wall", "%"],
    ["collapse", ""],
    ["joined at", "°C"],
    ["melt sets", "s"],
    ["allowed", "s"],
    ["setting", "s"],
];

/// What the columns mean.
const LEGEND: &str = "\
Figures are for the shortest and the longest heating time; depths and shares are within 20 %.
joined at: the interface after the allowed change-over, to 10 °C (20 °F).
melt sets: off the heater, after the shortest heating; the allowed change-over stays as it is.
setting: of the interface, after joining; no hold, cooling or test time, and none below ";

/// The tables of all specs without errors.
pub(crate) fn tables(specs: &[Spec]) -> String {
    let tables: Vec<_> = specs.iter().filter_map(table).collect();
    if tables.is_empty() {
        return String::new();
    }
    let has = |units| {
        let mut conditions = specs.iter().filter_map(|spec| spec.conditions.as_ref());
        conditions.any(|conditions| conditions.units == units)
    };
    // The smallest size for which the model gives a setting time, by practice.
    let smallest = match (has(UnitsFirst::Us), has(UnitsFirst::Metric)) {
        (true, true) => "1-1/4 IPS or 50 mm",
        (_, true) => "50 mm",
        (_, false) => "1-1/4 IPS",
    };
    format!("{HEADING}\n{}\n{LEGEND}{smallest}.\n", tables.concat())
}

fn table(spec: &Spec) -> Option<String> {
    let conditions = spec.conditions.as_ref()?;
    let mut text = format!(
        "\n{}: {} revision {}\n",
        spec.file,
        spec.number.as_deref().unwrap_or_default(),
        spec.revision.unwrap_or_default(),
    );
    let resin = match (conditions.model_resin, conditions.model_resin_stands_in) {
        (Some(name), Some(true)) => format!("{name}, standing in for {}", conditions.resin),
        _ => conditions.resin.clone(),
    };
    text.push_str(&format!(
        "{resin}; heater face {}, pipe and air {}, socket wall {} % of the pipe's\n",
        conditions.face, conditions.mild, conditions.socket_wall_percent_of_pipe_wall,
    ));
    text.push_str(&grid(&spec.rows, conditions.units));
    text.push_str(&extremes(&spec.rows, conditions));
    Some(text)
}

/// The cells of a row; without an estimate, the reason.
fn cells(line: &Line, units: UnitsFirst) -> Vec<String> {
    let mut cells = vec![line.size.clone(), line.wall.clone().unwrap_or_default()];
    if let Some(reason) = &line.no_estimate {
        cells.push(format!("no estimate: {reason}"));
        return cells;
    }
    cells.extend([
        span(line.heating_shortest_s, line.heating_longest_s, 0),
        span(line.pipe_melt_shortest_mm, line.pipe_melt_longest_mm, 1),
        span(line.socket_melt_shortest_mm, line.socket_melt_longest_mm, 1),
        span(
            line.melted_wall_shortest_percent,
            line.melted_wall_longest_percent,
            0,
        ),
        line.collapse_flag.unwrap_or_default().to_owned(),
        joined_at(line, units),
        line.change_over_ceiling_s
            .map_or_else(|| "over 600".to_owned(), |ceiling| ceiling.to_string()),
        line.change_over_allowed_s
            .map_or_else(String::new, |allowed| allowed.to_string()),
        span(line.solidification_from_s, line.solidification_to_s, 0),
    ]);
    cells
}

/// The temperature of the interface, rounded as on the papers.
fn joined_at(line: &Line, units: UnitsFirst) -> String {
    let degrees = |at| shown::degrees(at, units.temperature_unit());
    match line.exact.interface.map(|ends| ends.map(degrees)) {
        Some([least, most]) if least == most => least,
        Some([least, most]) => format!("{least} to {most}"),
        None => "-".to_owned(),
    }
}

/// `0.8 to 0.9`; one number if both are the same, a dash if there are none.
fn span<T: std::fmt::Display + PartialEq>(
    least: Option<T>,
    most: Option<T>,
    places: usize,
) -> String {
    match (least, most) {
        (Some(least), Some(most)) if least == most => format!("{least:.places$}"),
        (Some(least), Some(most)) => format!("{least:.places$} to {most:.places$}"),
        _ => "-".to_owned(),
    }
}

fn grid(rows: &[Line], units: UnitsFirst) -> String {
    let rows: Vec<_> = rows.iter().map(|row| cells(row, units)).collect();
    let head = HEAD.map(|[name, unit]| match (unit, units) {
        ("°C", UnitsFirst::Us) => [name, TemperatureUnit::Fahrenheit.symbol()],
        _ => [name, unit],
    });
    columns(head, &rows)
}

/// The effect of cold and hot pipe, in the row where it is largest.
fn extremes(rows: &[Line], conditions: &Conditions) -> String {
    let units = conditions.units;
    let most = |pick: fn(&Line) -> Option<(i64, Temperature)>| {
        rows.iter().filter_map(pick).max_by_key(|(share, _)| *share)
    };
    let cold = most(|line| {
        line.cold_pipe_same_melt_longer_percent
            .zip(line.exact.cold_pipe)
    });
    let hot = most(|line| line.hot_pipe_melt_deeper_percent.zip(line.exact.hot_pipe));
    let mut text = String::new();
    if let Some((share, at)) = cold {
        text.push_str(&format!(
            "  cold pipe, {}: the same melt takes up to {share} % longer; \
             make trial joints, this is no new time\n",
            units.minimum_temperature(at)
        ));
    }
    if let Some((share, at)) = hot {
        text.push_str(&format!(
            "  hot pipe, {}: melts up to {share} % deeper; keep to the shortest time, \
             never below it\n",
            units.maximum_temperature(at)
        ));
    }
    for end in &conditions.beyond_model {
        let (side, reach) = if end.hot {
            ("above", "up to")
        } else {
            ("below", "down to")
        };
        let [model, allowed] = [end.model, end.allowed].map(|temperature| match end.hot {
            true => units.maximum_temperature(temperature),
            false => units.minimum_temperature(temperature),
        });
        text.push_str(&format!(
            "  no estimate {side} {model}; the procedure allows {reach} {allowed}\n"
        ));
    }
    text
}
