//! Procedure → what each paper says, as plain data for its template. A page
//! template places what it is given: it computes nothing and words nothing.
//! Every number arrives as text with its basis, every sentence from the clauses
//! of the paper's language. The one exception is fitting a card to its trim,
//! which is layout: `card-fit.typ` returns a plan, and
//! `sheets/card/imposition.rs` arranges the faces on the paper.

mod block;
mod card;
mod change_notice;
mod clause;
mod clauses;
mod confirm;
mod depth_marks;
mod drawing;
mod figures;
mod format;
mod frame;
pub(crate) mod house;
pub(crate) mod house_clauses;
mod joint_log;
mod kind;
mod practice;
mod procedure;
mod record;
mod resin;
pub(crate) mod size_check;
mod statements;
pub(crate) mod strips;
mod submittal;
pub(crate) mod wallet;
mod work;

pub(crate) use block::SignatureRole;
#[cfg(test)]
pub(crate) use block::{Block, Table};
pub use card::card;
pub(crate) use card::{CardPrint, CardSheet, Plan as CardPlan, notes_around, printed};
pub(crate) use change_notice::{
    Answer, Group, change_notice, fusers, groups, procedure as procedure_again,
    says as revision_says,
};
pub use clause::Clause;
pub use clauses::{Clauses, Language};
pub(crate) use confirm::confirm;
pub(crate) use depth_marks::depth_marks;
pub use frame::Frame;
pub(crate) use joint_log::joint_log;
pub use kind::PaperKind;
pub(crate) use procedure::procedure;
pub(crate) use record::record;
pub(crate) use submittal::{Item, Listed, Placed, fusers_item, procedure_item, submittal};
