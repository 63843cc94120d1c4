//! Text → typed spec. Syntax only: nothing here knows engineering, every value
//! keeps its position and its written digits, and every problem is reported,
//! not just the first.

mod confirmations;
mod dates;
pub mod declare;
mod decode;
pub(crate) mod fact;
pub(crate) mod fields;
pub(crate) mod language;
mod model;
pub(crate) mod node;
mod not_yaml;
mod out_of_place;
pub mod plausible;
pub(crate) mod quantities;
pub mod record;
pub(crate) mod recovery;
pub(crate) mod rules;
mod scalar;
pub(crate) mod schema;
mod sizes;
mod tree;
mod unfilled;
mod unfinished;
pub(crate) mod values;
pub(crate) mod words;
mod written;

pub use confirmations::confirmations;
pub(crate) use confirmations::{Confirmation, Confirmations};
pub(crate) use confirmations::{ConfirmationsFile, FORMAT as CONFIRMATIONS_FORMAT};
pub(crate) use decode::FORMAT;
pub(crate) use decode::write;
pub use decode::{decode, included};
pub(crate) use fields::given_twice;
pub use model::*;
pub use node::{scalars, scalars_within};
pub(crate) use tree::scalar as quoted;
pub(crate) use unfilled::{is_blank, may_be_unfilled, unfilled};
pub(crate) use unfinished::{note_left_in, unfinished};
pub(crate) use words::nearest;
pub(crate) use written::Written;
