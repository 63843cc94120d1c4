//! Text → typed spec. Syntax only: nothing here knows engineering, every value
//! keeps its position and its written digits, and every problem is reported,
//! not just the first.

pub(crate) mod card;
mod confirmations;
mod dates;
pub(crate) mod decode;
pub(crate) mod equipment;
pub(crate) mod fields;
pub(crate) mod fittings;
pub mod language;
mod model;
pub(crate) mod node;
pub mod plausible;
pub(crate) mod quantities;
pub mod record;
pub(crate) mod recovery;
pub mod rules;
mod sizes;
pub(crate) mod times;
mod unfilled;
mod unfinished;
pub(crate) mod values;
pub(crate) mod words;
mod write;

pub use card::{CardTrim, Cards, Flip};
pub use confirmations::{Confirmation, Confirmations, confirmations};
pub(crate) use decode::PAPERS;
pub use decode::{decode, included};
pub use fields::given_twice;
pub use model::*;
pub use node::{scalars, scalars_within};
pub use unfilled::{may_be_unfilled, unfilled};
pub use unfinished::unfinished;
pub use values::{Written, nearest};
pub use write::write;
