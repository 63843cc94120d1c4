//! The estimates as a table for people, its columns as wide as what is in them.

use super::{HEADING, Line, Spec};

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
joined at: the interface after the allowed change-over, to 10 °C.
melt sets: off the heater, after the shortest heating; the allowed change-over stays as it is.
setting: of the interface, after joining; no hold, cooling or test time, and none below 1-1/4 IPS.
";

/// The tables of all specs; nothing for those with errors.
pub fn tables(specs: &[Spec]) -> String {
    let told: Vec<_> = specs.iter().filter_map(table).collect();
    if told.is_empty() {
        return String::new();
    }
    format!("{HEADING}\n{}\n{LEGEND}", told.concat())
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
        "{resin}; heater face {} °C, pipe and air {} °C, socket wall {} % of the pipe's\n",
        conditions.heater_face_c,
        conditions.pipe_and_air_c,
        conditions.socket_wall_percent_of_pipe_wall,
    ));
    text.push_str(&grid(&spec.rows));
    text.push_str(&ends(&spec.rows));
    Some(text)
}

/// The columns of a row; one without an estimate has its reason instead.
fn cells(line: &Line) -> Vec<String> {
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
        span(line.interface_shortest_c, line.interface_longest_c, 0),
        line.change_over_ceiling_s
            .map_or_else(|| "over 600".to_owned(), |ceiling| ceiling.to_string()),
        line.change_over_allowed_s
            .map_or_else(String::new, |allowed| allowed.to_string()),
        span(line.solidification_from_s, line.solidification_to_s, 0),
    ]);
    cells
}

/// `0.8 to 0.9`, once where both are the same, and a dash where there are none.
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

fn grid(rows: &[Line]) -> String {
    let rows: Vec<_> = rows.iter().map(cells).collect();
    let mut widths = HEAD.map(|lines| lines.iter().map(|line| width(line)).max().unwrap_or(0));
    for row in rows.iter().filter(|row| row.len() == HEAD.len()) {
        for (wide, cell) in widths.iter_mut().zip(row) {
            *wide = (*wide).max(width(cell));
        }
    }
    let set = |cells: &[String]| {
        let cells = cells.iter().zip(widths);
        let line: Vec<_> = cells.map(|(cell, wide)| format!("{cell:wide$}")).collect();
        format!("  {}\n", line.join("  ").trim_end())
    };
    let head: String = (0..2)
        .map(|line| set(&HEAD.map(|lines| lines.get(line).copied().unwrap_or("").to_owned())))
        .collect();
    head + &rows.iter().map(|row| set(row)).collect::<String>()
}

fn width(text: &str) -> usize {
    text.chars().count()
}

/// What cold and hot pipe do, in the row where they do most.
fn ends(rows: &[Line]) -> String {
    let most = |pick: fn(&Line) -> Option<(i64, f64)>| {
        rows.iter().filter_map(pick).max_by_key(|(share, _)| *share)
    };
    let cold = most(|line| {
        line.cold_pipe_same_melt_longer_percent
            .zip(line.cold_pipe_c)
    });
    let hot = most(|line| line.hot_pipe_melt_deeper_percent.zip(line.hot_pipe_c));
    let mut text = String::new();
    if let Some((share, at)) = cold {
        text.push_str(&format!(
            "  cold pipe, {at} °C: the same melt takes up to {share} % longer; \
             make trial joints, this is no new time\n"
        ));
    }
    if let Some((share, at)) = hot {
        text.push_str(&format!(
            "  hot pipe, {at} °C: melts up to {share} % deeper; keep to the shortest time, \
             never below it\n"
        ));
    }
    text
}
