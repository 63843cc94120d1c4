//! Socket fusion: its practices and their cycle, its thermal model, the rules and
//! the papers that no other process has. `SOCKET` is what the rest of the
//! program sees of it.

pub mod heat;
pub mod practice;
pub(crate) mod rules;
pub mod sheets;

use super::Process;
use crate::rules as shared;

/// Socket fusion with a hand-held heater.
pub(crate) static SOCKET: Process = Process {
    rules: FAMILIES,
    procedure: sheets::procedure,
    sources: sheets::sources,
    lid: sheets::lid,
    card: sheets::card,
    depth_marks: sheets::depth_marks,
};

/// The families of rules, in the order of the groups of a spec.
static FAMILIES: &[shared::Family] = &[
    (shared::scope::RULES, shared::scope::check),
    (rules::cold::RULES, rules::cold::check),
    (shared::claims::RULES, shared::claims::check),
    (shared::wall::RULES, shared::wall::check),
    (shared::gas_wall::RULES, shared::gas_wall::check),
    (shared::practice::RULES, shared::practice::check),
    (rules::holder::RULES, rules::holder::check),
    (shared::heater::RULES, shared::heater::check),
    (shared::face_check::RULES, shared::face_check::check),
    (shared::sticks::RULES, shared::sticks::check),
    (rules::tools::RULES, rules::tools::check),
    (rules::kit::RULES, rules::kit::check),
    (rules::depth::RULES, rules::depth::check),
    (rules::spigot::RULES, rules::spigot::check),
    (rules::reducer::RULES, rules::reducer::check),
    (rules::unlike::RULES, rules::unlike::check),
    (rules::fit::RULES, rules::fit::check),
    (rules::by_size::RULES, rules::by_size::check),
    (shared::cleaning::RULES, shared::cleaning::check),
    (rules::cycles::RULES, rules::cycles::check),
    (rules::own_times::RULES, rules::own_times::check),
    (rules::waits::RULES, rules::waits::check),
    (shared::status::RULES, shared::status::check),
    (shared::regulation::RULES, shared::regulation::check),
    (shared::own_rules::RULES, shared::own_rules::check),
    (shared::records::RULES, shared::records::check),
    (rules::reach::RULES, rules::reach::check),
    (shared::record_slips::RULES, shared::record_slips::check),
    (shared::texts::title::RULES, shared::texts::title::check),
    (shared::texts::change::RULES, shared::texts::change::check),
    (shared::texts::source::RULES, shared::texts::source::check),
    (shared::lists::RULES, shared::lists::check),
    (shared::service::RULES, shared::service::check),
    (shared::standing::RULES, shared::standing::check),
    (rules::heat::RULES, rules::heat::check),
];
