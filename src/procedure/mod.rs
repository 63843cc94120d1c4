//! A spec with its numbers: the joints it resolves to, its records of test
//! joints, two revisions compared, how long joints take, and every number
//! listed.

pub mod compare;
pub(crate) mod confirm;
pub mod numbers;
pub(crate) mod plan;
pub mod record;
pub mod resolve;
mod unavailable;
