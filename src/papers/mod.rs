//! A procedure becomes paper: plain data for each sheet, a house style, typesetting,
//! and the whole way from the text of a spec to the bytes of its papers.

pub mod compile;
pub mod house;
pub mod sheets;
pub mod typeset;
