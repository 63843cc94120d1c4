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
pub mod house;
pub mod house_clauses;
mod joint_log;
mod kind;
mod practice;
mod procedure;
mod record;
mod resin;
pub mod size_check;
mod statements;
pub mod strips;
mod submittal;
pub mod wallet;
mod work;

pub use block::{Align, Block, Cell, Column, Section, SignatureRole, Step, Table};
pub use card::{CardPrint, CardSheet, Plan as CardPlan, card, notes_around, printed};
pub use change_notice::{
    Answer, ChangeNotice, Group, Line, NoticeSide, change_notice, fusers, groups,
    procedure as procedure_again, says as revision_says,
};
pub use clause::Clause;
pub use clauses::{Clauses, Language};
pub use confirm::{ConfirmSheet, confirm};
pub use depth_marks::{DepthMarksSheet, depth_marks};
pub use frame::Frame;
pub use joint_log::{JointLogSheet, joint_log};
pub use kind::PaperKind;
pub use procedure::{ProcedureSheet, procedure};
pub use record::{RecordSheet, record};
pub use submittal::{Item, Listed, Placed, SubmittalSheet, fusers_item, procedure_item, submittal};

/// The version of the sheets' data; it changes whenever a field changes its meaning.
pub const VERSION: u32 = 1;
