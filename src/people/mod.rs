//! Files that name people, or bind papers for them: rosters and who is qualified
//! on a day, who gets a wallet card, and what a submittal holds.

pub mod fusers;
pub mod submittal;
pub mod wallet;
