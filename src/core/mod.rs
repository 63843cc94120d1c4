//! What every other room stands on: quantities as types, pipe sizes, places in a
//! text, findings, digests, the bounds of what is read, and the protocol between
//! coldring and its sandboxed worker. Nothing here knows what a spec is.

pub mod budget;
pub mod digest;
pub mod finding;
pub mod parallel;
pub mod pdf_parts;
pub mod sandbox;
pub mod size;
pub mod source;
pub mod units;
