//! The papers of socket fusion as data: written procedure, its sources, pocket card, depth
//! marks, lid sheet, record form, joint log, test sheet and lesson sheet.

pub(crate) mod card;
mod depth_marks;
mod joint_log;
pub(crate) mod joint_times;
pub(crate) mod kit;
mod lesson_sheet;
mod lid;
mod procedure;
mod record;
pub(crate) mod size_check;
mod sources;
pub(crate) mod steps;
pub(crate) mod strips;
mod test_sheet;

pub use card::card;
pub(crate) use card::{
    CardPrint, CardSheet, Plan as CardPlan, lay_out_cards, notes_around, panels as card_panels,
    plan as card_plan,
};
pub(crate) use depth_marks::{DepthMarksSheet, depth_marks};
pub(crate) use joint_log::joint_log;
pub(crate) use lesson_sheet::lesson_sheet;
pub(crate) use lid::{LidSheet, lid};
pub(crate) use procedure::{ProcedureSheet, procedure};
pub(crate) use record::record;
pub(crate) use sources::{PlacedFinding, SourcesSheet, sources};
pub(crate) use test_sheet::test_sheet;
