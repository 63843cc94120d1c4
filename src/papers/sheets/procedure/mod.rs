//! What the written procedures of all processes share: the writer, and the
//! sections that do not depend on the process.

pub(crate) mod cautions;
pub(crate) mod field;
pub(crate) mod materials;
mod source_places;
pub(crate) mod source_rows;
pub(crate) mod writer;
