//! How long a joint takes, so that nobody plans less time for it.

use crate::core::units::{Duration, Range};
use crate::papers::sheets::procedure::writer::{Align, Cell, Clause, Section, Writer, format};
use crate::procedure::plan::{JointTime, joint_times};
use crate::published::Sourced;

/// The section; `None` if no size has all its times.
pub(crate) fn joint_time(w: &Writer) -> Option<Section> {
    let times = joint_times(w.p);
    if times.is_empty() {
        return None;
    }
    let rows = w.p.joints.iter().filter_map(|joint| {
        if joint.depth.known().is_none() {
            let size = Cell::plain(format::joint(w.units(), joint, &w.p.joints)).strong();
            return Some(vec![size, format::no_joint(w.words, 3)]);
        }
        let time = times.iter().find(|time| std::ptr::eq(time.joint, joint))?;
        Some(row(w, time))
    });
    let rows = rows.collect();
    let ranges = times.iter().any(|time| {
        let heated = time.on_heater.value;
        heated.most > heated.least
    });
    let mut blocks = vec![w.text(Clause::JointTimeIntro)];
    blocks.extend(w.table(
        if ranges {
            Clause::JointTimeCaption
        } else {
            Clause::JointTimeCaptionOne
        },
        vec![
            (Clause::ColumnSize, Align::Left),
            (Clause::ColumnTaken, Align::Right),
            (Clause::ColumnLeaveAlone, Align::Right),
            (Clause::ColumnUntilHandled, Align::Right),
        ],
        rows,
        true,
    ));
    blocks.push(w.text(Clause::JointTimeNote));
    Some(w.section(Clause::TitleJointTime, blocks))
}

fn row(w: &Writer, time: &JointTime) -> Vec<Cell> {
    let to = w.say(Clause::To);
    let some = |wait: &&Sourced<Duration>| wait.value > Duration::ZERO;
    let range = |number: &Sourced<Range<Duration>>| {
        Cell::plain(format::seconds_range(number.value, &to)).verify(number.needs_verifying())
    };
    vec![
        Cell::plain(format::joint(w.units(), time.joint, &w.p.joints)).strong(),
        range(&time.busy),
        format::or_dash(time.wait.as_ref().filter(some), |wait| {
            Cell::plain(wait.value.clock()).verify(wait.needs_verifying())
        }),
        format::or_dash(time.handled.as_ref(), |handled| {
            let Range { least, most } = handled.value;
            let shown = if least == most {
                least.clock()
            } else {
                format!("{} {to} {}", least.clock(), most.clock())
            };
            Cell::plain(shown).verify(handled.needs_verifying())
        }),
    ]
}
