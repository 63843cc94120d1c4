//! A procedure as it resolves, for people and for other programs: its figures
//! one by one, or its spec with every choice made explicit.

mod explicit;
mod figures;

pub use explicit::{explicit, yaml};
pub use figures::{Numbers, Row, rows};
