//! What every other room builds on: quantities as types, pipe sizes, positions
//! in a text, findings, digests, limits on input, and the sandbox protocol.

pub mod budget;
pub(crate) mod digest;
pub mod finding;
pub(crate) mod finding_json;
pub(crate) mod paper;
pub(crate) mod parallel;
pub(crate) mod pdf_parts;
pub(crate) mod sandbox;
pub mod size;
pub mod source;
pub mod units;
