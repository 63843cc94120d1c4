//! Help for whoever writes a file: its JSON Schema, a starter to fill in, and the
//! index of all rules.

pub mod rule_index;
pub mod schema;
pub mod starter;
