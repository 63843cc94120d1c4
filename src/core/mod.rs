//! What every other room builds on: quantities as types, pipe sizes, positions
//! in a text, findings, digests, limits on input, and the sandbox protocol.

pub mod budget;
pub mod digest;
pub mod finding;
pub mod paper;
pub mod parallel;
pub mod pdf_parts;
pub mod sandbox;
pub mod size;
pub mod source;
pub mod units;
