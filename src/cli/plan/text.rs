//! The plan for people: a table of joint times, and the day in a few lines.

use super::{DayLine, Document, Line};
use crate::cli::layout::{columns, wrap};
use crate::core::units::{Duration, Range};

/// Headings, two lines each.
const HEAD: [[&str; 2]; 7] = [
    ["size", ""],
    ["on heater", "s"],
    ["change-over", "s"],
    ["hold", "s"],
    ["heater and", "crew busy, s"],
    ["then leave", "alone"],
    ["until handled", ""],
];

pub(crate) fn plan(document: &Document) -> String {
    let mut text = format!(
        "{}: {} revision {}, practice: {}\n\nTime for a joint\n",
        document.file, document.number, document.revision, document.practice
    );
    let rows: Vec<_> = document.joint_times.iter().map(cells).collect();
    text.push_str(&columns(HEAD, &rows));
    let unsure: Vec<_> = document
        .joint_times
        .iter()
        .filter(|line| line.standing == crate::published::Basis::Recalled.word())
        .map(name)
        .collect();
    if !unsure.is_empty() {
        text.push_str(&format!(
            "  Partly from memory; verify: {}\n",
            unsure.join(", ")
        ));
    }
    if !document.no_joint.is_empty() {
        let sizes = document.no_joint.iter().map(|open| open.size.as_str());
        text.push_str(&format!(
            "  NO JOINT until the depth is measured: {}\n",
            sizes.collect::<Vec<_>>().join(", ")
        ));
    }
    if let Some(line) = &document.day {
        text.push_str(&day(line));
    }
    for assumption in &document.assumptions {
        text.push_str(&wrap("  - ", "    ", 88, assumption));
    }
    text
}

fn name(line: &Line) -> String {
    match line.walls {
        Some(walls) => format!("{} {walls}", line.size),
        None => line.size.clone(),
    }
}

fn day(day: &DayLine) -> String {
    let joints: Vec<_> = day
        .joints
        .iter()
        .map(|joints| format!("{} of {}", joints.count, joints.size))
        .collect();
    let mut text = format!(
        "\nEstimate for {} joints: {}\n",
        day.joint_count,
        joints.join(", ")
    );
    let mut add_line = |what: &str, at: Option<f64>, otherwise: &str| {
        let shown = at.map_or_else(|| otherwise.to_owned(), whole_minutes);
        text.push_str(&format!("  {what:42} {shown}\n"));
    };
    add_line(
        "heating, change-over and hold",
        Some(day.heater_and_crew_s),
        "",
    );
    add_line("preparation", day.preparation_s, "left out");
    add_line("last hold ends after", Some(day.last_hold_ends_s), "");
    add_line(
        "every joint may be handled after",
        day.all_handled_s,
        "not stated",
    );
    add_line(
        "pressure test, at the earliest after",
        day.pressure_test_from_s,
        "not stated",
    );
    text
}

/// A time in minutes, never rounded down.
fn whole_minutes(seconds: f64) -> String {
    Duration::from_float_seconds((seconds / 60.0).ceil() * 60.0).clock()
}

fn cells(line: &Line) -> Vec<String> {
    let number = |seconds: Option<f64>| seconds.map_or_else(|| "-".to_owned(), |s| s.to_string());
    let clock = |seconds: f64| Duration::from_float_seconds(seconds).clock();
    let handled = line
        .until_handled_shortest_s
        .zip(line.until_handled_longest_s)
        .map(|(least, most)| Range { least, most });
    vec![
        name(line),
        span(line.on_heater_shortest_s, line.on_heater_longest_s),
        number(line.change_over_s),
        number(line.hold_s),
        span(
            line.heater_and_crew_shortest_s,
            line.heater_and_crew_longest_s,
        ),
        line.wait_after_hold_s.map_or_else(|| "-".to_owned(), clock),
        match handled {
            None => "-".to_owned(),
            Some(Range { least, most }) if least == most => clock(most),
            Some(Range { least, most }) => format!("{} to {}", clock(least), clock(most)),
        },
    ]
}

/// `18 to 21`; one number if both are the same.
fn span(least: f64, most: f64) -> String {
    if least == most {
        return most.to_string();
    }
    format!("{least} to {most}")
}
