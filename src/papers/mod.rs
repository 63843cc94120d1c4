//! Turns a procedure into paper: plain data for each sheet, the house style,
//! typesetting, and the whole way from a spec's text to the bytes of its papers.

pub mod compile;
pub(crate) mod fonts;
pub mod house;
pub mod sheets;
pub mod typeset;
pub(crate) mod wallet;
