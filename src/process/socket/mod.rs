//! Socket fusion: its practices, and the cycle that each of them makes a joint in. A
//! practice is all that differs between the ways in which crews join pipe: a stage
//! asks the practice of its procedure what it needs to know and never which practice
//! it is. What the papers say under a practice stands beside the papers.

mod cycle;
mod metric;
mod practice;
mod us;

pub use cycle::{Event, Phase, PhaseName};
pub use metric::METRIC;
pub use practice::{DepthBy, Practice, Pusher, Starter};
pub use us::US;

/// Every practice.
pub static PRACTICES: [&Practice; 2] = [&US, &METRIC];
