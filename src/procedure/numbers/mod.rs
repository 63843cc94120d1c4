//! Lists a resolved procedure for people and programs: its numbers one by one,
//! or its spec with every choice made explicit.

mod explicit;
mod figures;

pub use explicit::yaml;
pub use figures::rows;
pub(crate) use figures::{Numbers, Row};
