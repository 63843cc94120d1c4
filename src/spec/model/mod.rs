//! The typed spec: what the author wrote, field by field, nothing looked up. Each group
//! is declared in a file of its own.

mod cleaning;
mod fittings;
mod heater;
mod own_rules;
mod papers;
mod procedure;
mod qualification;
mod scope;
mod times;
mod tools;

pub(crate) use crate::process::socket::practice::Practice;
pub use crate::spec::written::Stated;
pub use cleaning::*;
pub use fittings::*;
pub use heater::*;
pub use own_rules::*;
pub use papers::*;
pub use procedure::*;
pub use qualification::*;
pub use scope::*;
pub use times::*;
pub use tools::*;
