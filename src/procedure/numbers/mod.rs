//! Lists a resolved procedure for people and programs: its numbers one by one,
//! or its spec with every choice made explicit.

mod explicit;
mod rows;

pub use explicit::yaml;
pub use rows::rows;
pub(crate) use rows::{Numbers, Row};
