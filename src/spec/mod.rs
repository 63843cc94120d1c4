//! Text → typed spec. Syntax only: no engineering is known here, every value
//! keeps its place and its written digits, and every problem is reported, not
//! the first alone.

mod confirmations;
mod decode;
mod equipment;
mod fields;
mod fittings;
mod model;
mod node;
pub mod rules;
mod times;
mod values;

pub use confirmations::{Confirmation, Confirmations, confirmations};
pub use decode::{decode, included};
pub use fields::given_twice;
pub use model::*;
pub use node::{MOST_BYTES, scalars};
pub use values::{Written, nearest};
