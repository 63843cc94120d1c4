//! The times of a joint as columns of a table of further joints, and what the tables say
//! of times as a whole.

use crate::papers::sheets::procedure::writer::{Cell, Clause, Writer, format, work};
use crate::procedure::resolve::Joint;
use crate::process::socket::practice::PhaseName;
use crate::published::{Entry, ResinGroup};

/// The statement that published times are guide values.
const GUIDE_VALUES: &str = "metric-temperatures:guide-values:text";

/// The same, for PP-R.
const GUIDE_VALUES_PPR: &str = "metric-temperatures:guide-values-ppr:text";

/// Column heading of a phase.
pub(crate) fn heading(w: &Writer, phase: PhaseName) -> Clause {
    match phase {
        PhaseName::Heating => Clause::ColumnHeating,
        PhaseName::ChangeOver => Clause::ColumnChangeOver,
        PhaseName::Hold => Clause::ColumnHold,
        PhaseName::Handling => w.practice_words().times.wait.clone(),
        PhaseName::PressureTest => Clause::ColumnPressureTest,
    }
}

/// The time of a phase of a joint.
pub(crate) fn cell(w: &Writer, joint: &Joint, phase: PhaseName) -> Cell {
    let seconds = |time| format::or_dash(time, format::seconds_cell);
    match phase {
        PhaseName::Heating => heating(w, joint),
        PhaseName::ChangeOver => seconds(joint.cycle.change_over()),
        // It may last as long as the cooling.
        PhaseName::Hold if work::holds_until_cool(w.p, joint) => {
            Cell::plain(w.say(Clause::UntilCool))
        }
        PhaseName::Hold => seconds(joint.cycle.hold()),
        PhaseName::Handling => format::or_dash(joint.cycle.before_handling(), format::time_cell),
        PhaseName::PressureTest => {
            let wait = w.p.before_pressure_test.as_ref();
            wait.map_or_else(|| Cell::plain(w.say(Clause::NotStated)), format::time_cell)
        }
    }
}

/// The heating time of a joint. If pipe and fitting are heated for different
/// times, one number would be wrong, and the cell says where to look.
fn heating(w: &Writer, joint: &Joint) -> Cell {
    if w.p.unlike_pair(joint.size).is_some() {
        return Cell::plain(w.say(Clause::SeeUnlike));
    }
    format::or_dash(joint.cycle.heat(), |heat| {
        format::heating_cell(heat, |seconds| w.say(Clause::AtMostSeconds { seconds }))
    })
}

/// The statement on guide values, if a published time is used.
pub(crate) fn guide_values<'a>(w: &Writer<'a>) -> Option<&'a Entry> {
    let published = |joint: &Joint| joint.cycle.heat().is_some_and(|heat| heat.id.is_some());
    let statement = match w.p.resin.as_ref()?.group {
        ResinGroup::MetricPe => GUIDE_VALUES,
        ResinGroup::PpR => GUIDE_VALUES_PPR,
        ResinGroup::PpH | ResinGroup::MediumDensity | ResinGroup::HighDensity => return None,
    };
    w.limits
        .entry(statement)
        .filter(|_| w.p.joints.iter().any(published))
}
