//! The work of metric practice: a mark on the pipe takes the place of depth
//! gauge and cold ring, each size has its own change-over and cooling, and from
//! a published size on the joint is made in a machine.

use super::super::block::{Align, Block, Cell, Section, Step};
use super::super::clause::Clause;
use super::super::figures::StepPicture;
use super::super::{format, metric, resin};
use super::{Writer, kinds, work};
use crate::core::units::Temperature;
use crate::core::units::print::Bound;
use crate::procedure::resolve::Joint;
use crate::published::{Family, Figure, ResinGroup, Sourced};

/// The statement that published times are guide values.
const GUIDE_VALUES: &str = "metric-temperatures:guide-values:text";
/// The same, of PP-R.
const GUIDE_VALUES_PPR: &str = "metric-temperatures:guide-values-ppr:text";

/// The statement on the lowest temperature to join PE at.
const LOWEST_AMBIENT_PE: &str = "metric-temperatures:lowest-ambient-pe:text";

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

/// The witness lines, in a table of their own, so that none is taken for a depth.
pub(super) fn witness_lines(w: &Writer) -> Vec<Block> {
    let rows: Vec<_> =
        w.p.sizes()
            .filter(|joint| joint.depth.known().is_some())
            .filter_map(|joint| {
                let mark = metric::witness_line(w.p, w.limits, joint.size)?;
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
    let published = |joint: &Joint| joint.heat.as_ref().is_some_and(|heat| heat.id.is_some());
    let statement = match w.p.resin.as_ref()?.group {
        ResinGroup::MetricPe => GUIDE_VALUES,
        ResinGroup::PpR => GUIDE_VALUES_PPR,
        ResinGroup::PpH | ResinGroup::MediumDensity | ResinGroup::HighDensity => return None,
    };
    w.limits
        .figure(statement)
        .filter(|_| w.p.joints.iter().any(published))
}

/// The statements of the tables that the metric sections rest on.
pub(super) fn statements<'a>(w: &Writer<'a>) -> Vec<&'a Figure> {
    let machine = by_machine(w).and(w.limits.figure("metric-range:machine-from:text"));
    let lowest = w.limits.figure(LOWEST_AMBIENT_PE);
    let lowest = lowest.filter(|_| covers_cold(w) && w.p.family() == Some(Family::Polyethylene));
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
    match w.p.family()? {
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
    resin::lowest_ambient(w.p, w.limits).filter(|_| covers_cold(w))
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
    let has_witness_lines = metric::has_witness_lines(w.p, w.limits);
    items.push(
        step(
            Clause::StepMark,
            Some(if has_witness_lines {
                Clause::StepMarkWitnessDetail
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
        step(
            if has_witness_lines {
                Clause::StepInspectWitness
            } else {
                Clause::StepInspectMark
            },
            Some(Clause::StepInspectDetail),
        )
        .drawn(StepPicture::Inspect),
    ]);
    w.section(
        Clause::TitleSteps,
        vec![w.text(Clause::StepsIntro), Block::Steps { items }],
    )
}
