//! Help for people who write files: JSON Schemas, starter specs, and the index
//! of all rules.

pub mod rule_index;
pub mod schema;
pub mod starter;
