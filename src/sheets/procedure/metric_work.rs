//! The work of metric practice: a mark on the pipe takes the place of depth
//! gauge and cold ring, each size has its own change-over and cooling, and from
//! a published size on the joint is made in a machine.

use super::super::block::{Align, Block, Cell, Section, Step};
use super::super::clause::Clause;
use super::super::figures::StepPicture;
use super::super::{format, metric};
use super::{Writer, kinds, work};
use crate::limits::{Family, Figure, ResinGroup, Sourced};
use crate::resolve::Joint;
use crate::size::Size;
use crate::units::print::Bound;
use crate::units::{Length, Temperature};

/// The statement that published times are guide values.
const GUIDE_VALUES: &str = "metric-temperatures:guide-values:text";

/// The statement on the lowest temperature to join PE at.
const LOWEST_AMBIENT_PE: &str = "metric-temperatures:lowest-ambient-pe:text";

/// The polymer, where the tables know the resin.
fn family(w: &Writer) -> Option<Family> {
    Some(w.p.resin.as_ref()?.group.family())
}

/// The sizes that are joined in a machine.
pub(super) fn by_machine(w: &Writer) -> Option<String> {
    metric::by_machine(w.p, w.limits)
}

/// The tools that metric practice has in place of gauge and ring.
pub(super) fn tools(w: &Writer) -> Vec<Clause> {
    let mut tools = vec![Clause::EquipmentMarker];
    if metric::peel(w.p) == Some(true) {
        tools.push(Clause::EquipmentPeeler { sizes: w.sizes() });
    }
    if let Some(sizes) = by_machine(w) {
        let largest = w.p.spec.tools.machine_largest.as_ref();
        tools.push(match largest {
            Some(largest) => Clause::EquipmentMachine {
                sizes,
                largest: largest.value.to_string(),
            },
            None => Clause::EquipmentMachineAny { sizes },
        });
    }
    tools
}

/// Where the mark that must stay in sight is drawn, as published for PP-R.
pub(super) fn sight_mark(w: &Writer, size: Size) -> Option<Sourced<Length>> {
    let resin = w.p.resin.as_ref()?;
    if resin.group != ResinGroup::PpR {
        return None;
    }
    w.limits.sight_mark(size)
}

/// The sight marks, in a table of their own, so that none is taken for a depth.
pub(super) fn sight_marks(w: &Writer) -> Vec<Block> {
    let rows: Vec<_> =
        w.p.sizes()
            .filter_map(|joint| {
                let mark = sight_mark(w, joint.size)?;
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
        Clause::SightMarksCaption,
        vec![
            (Clause::ColumnSize, Align::Left),
            (Clause::ColumnSightMark { unit: w.unit() }, Align::Right),
        ],
        rows,
        true,
    );
    blocks.push(w.text(Clause::SightMarksNote));
    blocks
}

/// The columns of hold and cooling; one where no joint has a hold of its own.
pub(super) fn hold_columns(w: &Writer) -> Vec<Clause> {
    if metric::all_hold_until_cool(w.p) {
        return vec![Clause::ColumnHoldAndCool];
    }
    vec![Clause::ColumnHold, Clause::ColumnCooling]
}

/// The hold, or that it lasts as long as the cooling.
pub(super) fn hold_cell(w: &Writer, joint: &Joint) -> Cell {
    match &joint.hold {
        Some(hold) => format::seconds_cell(hold),
        None => Cell::plain(w.say(Clause::UntilCool)),
    }
}

/// What is said below the table of times.
pub(super) fn times_notes(w: &Writer) -> Vec<String> {
    let mut notes = vec![w.say(if w.p.spec.cold_weather.is_some() {
        Clause::TimesHeatingMetricCold
    } else {
        Clause::TimesHeatingMetric
    })];
    notes.extend(guide_values(w).and_then(|figure| w.statement(figure)));
    notes.push(w.say(Clause::TimesCount));
    if w.p.joints.iter().any(metric::holds_until_cool) {
        notes.push(w.say(Clause::TimesHoldUntilCool));
    }
    notes.push(w.say(Clause::TimesCooling));
    notes.push(w.say(Clause::TimesDepthMetric));
    notes
}

/// The statement on guide values, where a published time is used.
pub(super) fn guide_values<'a>(w: &Writer<'a>) -> Option<&'a Figure> {
    // It was read with the times of PE.
    let is_pe = family(w) == Some(Family::Polyethylene);
    let published = |joint: &Joint| joint.heat.as_ref().is_some_and(|heat| heat.id.is_some());
    w.limits
        .figure(GUIDE_VALUES)
        .filter(|_| w.is_metric() && is_pe && w.p.joints.iter().any(published))
}

/// The statements of the tables that the metric sections rest on.
pub(super) fn statements<'a>(w: &Writer<'a>) -> Vec<&'a Figure> {
    let machine = by_machine(w).and(w.limits.figure("metric-range:machine-from:text"));
    let lowest = w.limits.figure(LOWEST_AMBIENT_PE);
    let lowest = lowest.filter(|_| covers_cold(w) && family(w) == Some(Family::Polyethylene));
    [guide_values(w), lowest, machine]
        .into_iter()
        .flatten()
        .collect()
}

/// Whether metric work is done in the cold.
fn covers_cold(w: &Writer) -> bool {
    w.is_metric() && w.p.spec.cold_weather.is_some()
}

/// What is published on the lowest temperature that a resin is joined at, where
/// the cold is covered.
pub(super) fn lowest_ambient(w: &Writer) -> Option<Block> {
    if !covers_cold(w) {
        return None;
    }
    match family(w)? {
        Family::Polyethylene => {
            let statement = w.statement(w.limits.figure(LOWEST_AMBIENT_PE)?)?;
            Some(w.text(Clause::LowestAmbientPe { statement }))
        }
        Family::Polypropylene => {
            let lowest = lowest_ambient_pp(w)?;
            let shown = w.units().minimum_temperature(lowest.value);
            Some(w.text(Clause::LowestAmbientPp {
                resin: w.resin(),
                lowest: format::marked(&shown, lowest.needs_verifying(), w.words),
            }))
        }
    }
}

/// The temperature below which PP-R is not joined.
pub(super) fn lowest_ambient_pp(w: &Writer) -> Option<Sourced<Temperature>> {
    let resin = w.p.resin.as_ref()?;
    if resin.group != ResinGroup::PpR || !covers_cold(w) {
        return None;
    }
    w.limits
        .figure("metric-temperatures:lowest-ambient-ppr:temperature")?
        .temperature()
}

pub(super) fn steps(w: &Writer) -> Section {
    let step = |text, detail: Option<Clause>| Step {
        text: w.say(text),
        detail: detail.map(|detail| w.say(detail)),
        branch: false,
        picture: None,
    };
    let mut items = work::prepared(w);
    items.push(match metric::peel(w.p) {
        Some(true) => step(Clause::StepPeel, Some(Clause::StepPeelDetail)).drawn(StepPicture::Peel),
        Some(false) => step(Clause::StepPeelNone, None),
        None => step(Clause::StepPeelOpen, None),
    });
    let has_sight_marks = w.p.sizes().any(|joint| sight_mark(w, joint.size).is_some());
    items.push(
        step(
            Clause::StepMark,
            Some(if has_sight_marks {
                Clause::StepMarkSightDetail
            } else {
                Clause::StepMarkDetail
            }),
        )
        .drawn(StepPicture::Mark),
    );
    items.push(work::clean(w, Clause::StepCleanMarkDetail));
    if let Some(sizes) = by_machine(w) {
        items.push(
            step(
                Clause::StepMachine { sizes },
                Some(Clause::StepMachineDetail),
            )
            .drawn(StepPicture::Machine),
        );
    }
    let (until_cool, by_time): (Vec<_>, Vec<_>) =
        w.p.joints
            .iter()
            .partition(|joint| metric::holds_until_cool(joint));
    let hold = match (until_cool.is_empty(), by_time.is_empty()) {
        (true, _) => Clause::StepHoldMetric,
        (false, true) => Clause::StepHoldUntilCool,
        (false, false) => Clause::StepHoldMixed,
    };
    items.extend([
        step(Clause::StepHeatMark, Some(kinds::heat_detail(w))).drawn(StepPicture::Heat),
        step(
            Clause::StepCountMetric,
            Some(if w.p.spec.cold_weather.is_some() {
                Clause::StepCountDetailCold
            } else {
                Clause::StepCountDetail
            }),
        )
        .drawn(StepPicture::Count),
        step(
            Clause::StepOff,
            Some(match w.p.common(|joint| joint.change_over.as_ref()) {
                Some(change_over) => Clause::StepOffDetail {
                    change_over: work::time(w, change_over),
                },
                None => Clause::StepOffDetailTable,
            }),
        )
        .drawn(StepPicture::Off),
        work::bad_melt(w),
        step(Clause::StepJoinMark, Some(Clause::StepJoinMarkDetail)).drawn(StepPicture::Join),
        step(hold, Some(Clause::StepHoldDetail)).drawn(StepPicture::Hold),
        step(Clause::StepInspectMark, Some(Clause::StepInspectDetail)).drawn(StepPicture::Inspect),
    ]);
    w.section(
        Clause::TitleSteps,
        vec![w.text(Clause::StepsIntro), Block::Steps { items }],
    )
}
