//! Text → typed spec. Syntax only: no engineering is known here, every value
//! keeps its place and its written digits, and every problem is reported, not
//! the first alone.

mod decode;
mod equipment;
mod fields;
mod model;
mod node;
pub mod rules;
mod times;
mod values;

pub use decode::decode;
pub use model::*;
pub use node::{MOST_BYTES, scalars};
pub use values::{Written, nearest};
