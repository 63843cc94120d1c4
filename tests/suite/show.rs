//! `coldring show --resolved`: the spec it prints resolves to the same
//! procedure, and its listings hold every figure with where it comes from.

mod explicit;
mod listings;
mod same;
mod units;
