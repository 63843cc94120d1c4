//! What a heating time does to the pipe: a thermal estimate of a socket joint,
//! from the heater to the set joint. It has not been validated against
//! measured joints; it explains and warns, and the published or qualified time
//! governs. It never shortens a time and never rewrites one.
//!
//! The model is one-dimensional, through the wall. Pipe and socket each take
//! heat from the heater face through a contact conductance, lose some in air
//! during the change-over, and then cool as one. Heat is carried as enthalpy
//! (plastic melts near its peak and crystallizes some 15 to 45 K lower), on
//! rings that are thinnest at the fusion face, by backward Euler:
//!
//! ```text
//! ρ dH/dt = (1/r) d/dr(r k dT/dr)                   in pipe and socket
//! q = h_contact (T_heater - T)                      fused faces, on the heater
//! q = 1.32 (dT/D)^¼ dT + ε σ (T⁴ - T_air⁴)          fused faces, in air; socket's outside
//! q = h_bore (T_air - T)                            bore, always
//! ```
//!
//! Inside, units are SI and °C; at the boundary they are the project's own.
//! Not modeled: heat along the pipe, plastic pushed into the bead, the time
//! the parts take to slide on and off, wind, and interference of the fit.
//! Properties and their basis are in `resins.yaml` and `process.yaml`.
//!
//! [`joint()`] estimates a joint; [`pipe_melt`] follows the melt while heating.

pub mod advice;
mod boundary;
mod collapse;
mod estimate;
mod grid;
mod joint;
mod material;
mod properties;
mod quantity;
mod solver;
mod stages;
mod steps;
mod table;
mod tables;
#[cfg(test)]
mod tests;

pub(crate) use collapse::CollapseFlag;
pub(crate) use estimate::socket_wall_ratio;
pub use estimate::{joint, pipe_melt};
pub(crate) use estimate::{joint_and_curve, joint_at_both};
pub use joint::JointInput;
pub use joint::Refusal;
pub(crate) use joint::{
    JointEstimate, LEAST_WITH_SOLIDIFICATION, MeltPoint, pipe_temperatures, shows_solidification,
};
pub use properties::Resin;
