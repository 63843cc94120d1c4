//! Depth and times of each size, and the witness lines.

use crate::core::units::Length;
use crate::core::units::print::Bound;
use crate::papers::sheets::procedure::writer::{
    Align, Block, Cell, Clause, Section, Writer, format, work,
};
use crate::procedure::resolve::Joint;
use crate::process::socket::practice::PhaseName;
use crate::published::{Entry, ResinGroup, Sourced};

/// The statement that published times are guide values.
const GUIDE_VALUES: &str = "metric-temperatures:guide-values:text";

/// The same, for PP-R.
const GUIDE_VALUES_PPR: &str = "metric-temperatures:guide-values-ppr:text";

pub(crate) fn times(w: &Writer) -> Section {
    let (practice, words) = (w.practice(), &w.practice_words().times);
    let unit = w.unit();
    let mut columns = vec![((words.size)(unit.clone()), Align::Left)];
    let mut figure = |title: Clause| columns.push((title, Align::Right));
    if !practice.size_is_diameter {
        figure(Clause::ColumnOd { unit: unit.clone() });
    }
    figure(Clause::ColumnDepth { unit });
    for phase in work::phases(w.p) {
        // One column if no joint has a hold of its own.
        figure(match phase {
            PhaseName::Handling if work::all_hold_until_cool(w.p) => Clause::ColumnHoldAndCool,
            _ => heading(w, phase),
        });
    }
    let joints = w.p.joints.iter();
    let rows = joints
        .map(|joint| time_row(w, joint, columns.len()))
        .collect();
    let caption = Clause::TimesCaption { resin: w.resin() };
    let mut blocks = w.table(caption, columns, rows, false);
    blocks.push(Block::List { items: notes(w) });
    if w.p.joints.iter().any(|joint| joint.depth.known().is_none()) {
        blocks.push(w.text(words.depth_unset.clone()));
    }
    if w.p.before_pressure_test.is_none() {
        blocks.push(w.text(Clause::TimesTestUnset));
    }
    blocks.extend(witness_lines(w));
    w.section(Clause::TitleTimes, blocks)
}

/// The notes below the table.
fn notes(w: &Writer) -> Vec<String> {
    let words = &w.practice_words().times;
    let mut notes = vec![w.say(match w.p.spec.cold_weather {
        Some(_) => words.heating_cold.clone(),
        None => words.heating.clone(),
    })];
    notes.extend(guide_values(w).and_then(|figure| w.statement(figure)));
    notes.push(w.say(Clause::TimesCount));
    let mut joints = w.p.joints.iter();
    if joints.any(|joint| work::holds_until_cool(w.p, joint)) {
        notes.push(w.say(Clause::TimesHoldUntilCool));
    }
    notes.push(w.say(words.waits.clone()));
    notes.push(w.say(words.depth.clone()));
    notes
}

fn time_row(w: &Writer, joint: &Joint, columns: usize) -> Vec<Cell> {
    let units = w.units();
    let is_diameter = w.practice().size_is_diameter;
    let size = Cell::plain(joint.size.nominal()).strong();
    let size = size.below(if is_diameter {
        format::walls(units, joint)
    } else {
        format::system(joint.size.system()).to_owned()
    });
    let Some(depth) = joint.depth.known() else {
        return vec![size, format::no_joint(w.words, columns - 1)];
    };
    let length = |figure: &Sourced<Length>| format::length_cell(units, figure, Bound::Nominal);
    let mut row = vec![size];
    if !is_diameter {
        row.push(format::or_dash(joint.outside_diameter.as_ref(), length));
    }
    row.push(length(depth));
    row.extend(work::phases(w.p).map(|phase| cell(w, joint, phase)));
    row
}

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

/// The witness lines, in a table of their own so that none is mistaken for a
/// depth.
fn witness_lines(w: &Writer) -> Vec<Block> {
    let rows: Vec<_> =
        w.p.sizes()
            .filter(|joint| joint.depth.known().is_some())
            .filter_map(|joint| {
                let mark = work::witness_line(w.p, w.limits, joint.size)?;
                Some(vec![
                    Cell::plain(joint.size.to_string()).strong(),
                    format::length_cell(w.units(), &mark, Bound::Nominal),
                ])
            })
            .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    let mut blocks = w.table(
        Clause::WitnessLinesCaption,
        vec![
            (Clause::ColumnSize, Align::Left),
            (Clause::ColumnWitnessLine { unit: w.unit() }, Align::Right),
        ],
        rows,
        true,
    );
    blocks.push(w.text(Clause::WitnessLinesNote));
    blocks
}
