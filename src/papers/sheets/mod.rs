//! Procedure → what each paper says, as plain data for its template. A page
//! template places what it is given: it computes nothing and words nothing.
//! Every number arrives as text with its basis, every sentence from the clauses
//! of the paper's language. A card is laid out here, too: `card/plan.rs` fits its
//! faces by the widths of the fonts, and `card/imposition.rs` arranges them on the
//! paper.

pub(crate) mod area;
pub(crate) mod block;
pub(crate) mod cell;
mod change_notice;
pub(crate) mod clause;
pub(crate) mod clauses;
mod confirm;
pub(crate) mod drawing;
pub(crate) mod figures;
pub(crate) mod findings;
pub(crate) mod format;
pub(crate) mod frame;
pub(crate) mod house;
pub(crate) mod house_clauses;
pub(crate) mod joint_times;
mod kind;
pub(crate) mod pages;
pub(crate) mod parts;
pub(crate) mod practice;
pub(crate) mod procedure;
pub(crate) mod records;
pub(crate) mod resin;
pub(crate) mod standing;
pub(crate) mod statements;
mod submittal;
pub(crate) mod work;

pub(crate) use block::SignatureRole;
#[cfg(test)]
pub(crate) use block::{Block, Table};
pub(crate) use change_notice::{
    Answer, Group, change_groups, change_notice, fusers_answer, no_difference, procedure_answer,
    revision_notes,
};
pub use clause::Clause;
pub use clauses::{Clauses, Language};
pub(crate) use confirm::confirm;
pub use frame::Frame;
pub use kind::PaperKind;
pub(crate) use submittal::{Item, ListedFuser, Placed, fusers_item, procedure_item, submittal};
