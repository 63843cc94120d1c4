//! The processes that procedures are written for, a folder each behind one door.

pub mod socket;
