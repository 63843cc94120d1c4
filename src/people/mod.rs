//! Files that name people or bind papers for them: rosters and who is qualified
//! on a given day, wallet cards, and submittals.

pub mod fusers;
pub mod submittal;
pub(crate) mod wallet;
