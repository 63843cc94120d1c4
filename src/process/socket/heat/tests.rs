//! Tests the model against closed forms, against runs on a far finer grid, and against
//! properties that hold for any input.

mod closed_forms;
mod joints;
mod properties;

use crate::process::socket::heat::joint::JointInput;
use crate::process::socket::heat::properties::Resin;
use crate::process::socket::heat::quantity::{duration, length, temperature};

/// A joint at 260 °C, 23 °C and 3 s of change-over.
fn at_room_temperature(resin: Resin, od_mm: f64, wall_mm: f64, heat_s: f64) -> JointInput {
    JointInput {
        resin,
        outside_diameter: length(od_mm / 1e3),
        wall: length(wall_mm / 1e3),
        socket_wall: None,
        heating: duration(heat_s),
        change_over: duration(3.0),
        heater_face: temperature(260.0),
        pipe_temperature: temperature(23.0),
        ambient: temperature(23.0),
    }
}
