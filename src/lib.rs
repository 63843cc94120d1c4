//! coldring.
pub mod finding;
pub mod limits;
pub mod resolve;
pub mod size;
pub mod source;
pub mod spec;
pub mod units;
