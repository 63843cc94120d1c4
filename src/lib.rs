//! coldring.
pub mod finding;
pub mod size;
pub mod source;
pub mod spec;
pub mod units;
