//! Help for people who write files: JSON Schemas, starter specs, forms, and
//! the index of all rules.

pub mod form;
pub mod rule_index;
pub mod schema;
pub mod starter;
