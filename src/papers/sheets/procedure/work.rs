//! The work itself: the steps of a joint, the conditions it is made in, and how
//! it is judged.

use super::super::block::{Block, Section, Step};
use super::super::clause::Clause;
use super::super::figures::StepPicture;
use super::super::{format, holder};
use super::{Writer, figures, kinds, metric_work, tools};
use crate::core::units::{Duration, Percent};
use crate::procedure::resolve::{SHORT_HEATING, cold_trial};
use crate::published::Sourced;
use crate::spec::CleaningAgent;

/// The bound below which heating is short against a cold-weather step, where a
/// size of the procedure lies below it.
pub(super) fn short_heating(w: &Writer) -> Option<Sourced<Duration>> {
    w.p.spec.cold_weather.as_ref()?;
    let mut heats = w.p.joints.iter().filter_map(|joint| joint.heat.as_ref());
    if !heats.any(|heat| heat.value.least < SHORT_HEATING) {
        return None;
    }
    let trial = w.limits.figure(cold_trial(w.p.practice()))?;
    Some(Sourced::stated(
        SHORT_HEATING,
        trial.basis,
        trial.source.as_str(),
    ))
}

/// A time in running text, with a plain warning when it is from memory.
pub(super) fn time(w: &Writer, figure: &Sourced<Duration>) -> String {
    format::marked(&figure.value.show(), figure.needs_verifying(), w.words)
}

/// A step with what else to know while doing it.
fn step(w: &Writer, text: Clause, detail: Option<Clause>) -> Step {
    Step {
        text: w.say(text),
        detail: detail.map(|detail| w.say(detail)),
        branch: false,
        picture: None,
    }
}

/// The steps up to the prepared pipe end, whatever the practice.
pub(super) fn prepared(w: &Writer) -> Vec<Step> {
    let step = |text, detail| step(w, text, detail);
    vec![
        step(
            Clause::StepHeater {
                set_point: tools::set_point(w),
            },
            tools::window(w).map(|window| Clause::StepHeaterDetail { window }),
        ),
        step(Clause::StepPrintLine, Some(kinds::print_line(w))),
        step(Clause::StepCut, Some(Clause::StepCutDetail)).drawn(StepPicture::Cut),
        // A chamfer tool that is also a depth gauge is one of US practice.
        step(
            Clause::StepChamfer,
            Some(w.by_practice(Clause::StepChamferDetailMetric, Clause::StepChamferDetail)),
        )
        .drawn(StepPicture::Chamfer),
    ]
}

/// Cleaning; an agent that wets leaves more to know, which `detail` says.
pub(super) fn clean(w: &Writer, detail: Clause) -> Step {
    let cleaning = w.p.spec.cleaning.as_ref();
    let is_dry = cleaning.is_some_and(|c| c.agent.value == CleaningAgent::DryCloth);
    let agent = tools::agent(w);
    step(w, Clause::StepClean { agent }, (!is_dry).then_some(detail)).drawn(StepPicture::Clean)
}

/// What to do when a melt is bad or time has run out.
pub(super) fn bad_melt(w: &Writer) -> Step {
    Step {
        branch: true,
        ..step(w, Clause::StepBadMelt, Some(Clause::StepBadMeltDetail))
    }
}

pub(super) fn steps(w: &Writer) -> Section {
    let step = |text, detail| step(w, text, detail);
    let off = match w.p.common(|joint| joint.change_over.as_ref()) {
        Some(change_over) => Clause::StepOffDetail {
            change_over: time(w, change_over),
        },
        None => Clause::StepOffDetailNone,
    };
    let inspect = match w.p.common(|joint| joint.before_handling.as_ref()) {
        Some(wait) => Clause::StepInspect {
            wait: time(w, wait),
        },
        None => Clause::StepInspectOpen,
    };
    let count = if w.p.spec.cold_weather.is_some() {
        Clause::StepCountDetailCold
    } else {
        Clause::StepCountDetail
    };
    let mut items = prepared(w);
    items.extend([
        step(Clause::StepRing, Some(Clause::StepRingDetail)).drawn(StepPicture::Ring),
        clean(w, Clause::StepCleanDetail),
    ]);
    if let Some(sizes) = holder::held(w.p, w.limits) {
        items.push(step(
            Clause::StepHolder { sizes },
            Some(Clause::StepHolderDetail),
        ));
    }
    items.extend([
        step(Clause::StepHeat, Some(kinds::heat_detail(w))).drawn(StepPicture::Heat),
        step(Clause::StepCount, Some(count)).drawn(StepPicture::Count),
        step(Clause::StepOff, Some(off)).drawn(StepPicture::Off),
        bad_melt(w),
        step(Clause::StepJoin, Some(Clause::StepJoinDetail)).drawn(StepPicture::Join),
        step(Clause::StepHold, Some(Clause::StepHoldDetail)).drawn(StepPicture::Hold),
        step(inspect, Some(Clause::StepInspectDetail)).drawn(StepPicture::Inspect),
    ]);
    w.section(
        Clause::TitleSteps,
        vec![w.text(Clause::StepsIntro), Block::Steps { items }],
    )
}

/// Out-of-roundness of coiled pipe, as US practice has it; metric pipe has a
/// figure for each size.
pub(super) fn coil_ovality(w: &Writer) -> Option<Sourced<Percent>> {
    let figure = w.limits.figure("us-coil:ovality:percent")?;
    figure.percent().filter(|_| !w.is_metric())
}

pub(super) fn field(w: &Writer) -> Section {
    let mut coil = w.say(Clause::Coil);
    let round = match coil_ovality(w) {
        _ if w.is_metric() => Some(Clause::CoilRound),
        Some(ovality) => Some(Clause::CoilOvality {
            ovality: format::marked(&ovality.value.show(), ovality.needs_verifying(), w.words),
        }),
        None => None,
    };
    if let Some(round) = round {
        coil = format!("{coil} {}", w.say(round));
    }
    let mut items = vec![
        coil,
        w.say(w.by_practice(Clause::WeatherMetric, Clause::Weather)),
        w.say(Clause::WeatherHot),
    ];
    if w.p.is_buried() {
        items.push(w.say(Clause::Trench));
    }
    w.section(Clause::TitleField, vec![Block::heads(items)])
}

pub(super) fn cold(w: &Writer) -> Section {
    let trigger = w.p.cold_trigger.as_ref().map(|trigger| {
        let shown = w.units().minimum_temperature(trigger.value);
        format::marked(&shown, trigger.needs_verifying(), w.words)
    });
    let Some(cold) = &w.p.spec.cold_weather else {
        let none = match trigger {
            Some(trigger) => Clause::ColdNone { trigger },
            None => Clause::ColdNonePlain,
        };
        return w.section(Clause::TitleCold, vec![w.text(none)]);
    };
    let mut items = vec![w.say(match &w.p.cold_step {
        Some(step) => Clause::ColdTrial {
            step: time(w, step),
        },
        None => Clause::ColdTrialPlain,
    })];
    if let Some(short) = short_heating(w) {
        items.push(w.say(Clause::ColdProve {
            short: time(w, &short),
        }));
    }
    items.push(w.say(Clause::ColdWrite));
    items.extend(
        w.limits
            .cold_statements(w.p.practice())
            .filter_map(|fact| w.statement(fact)),
    );
    let mut blocks = vec![w.text(match trigger {
        Some(trigger) => Clause::ColdApplies { trigger },
        None => Clause::ColdAppliesPlain,
    })];
    if let Some(floor) = &cold.no_joints_below {
        blocks.push(w.text(Clause::ColdFloor {
            floor: w.units().minimum_temperature(floor.value.value),
        }));
    }
    blocks.extend(metric_work::lowest_ambient(w));
    blocks.push(Block::List { items });
    w.section(Clause::TitleCold, blocks)
}

pub(super) fn acceptance(w: &Writer, numbers: &figures::Numbers) -> Section {
    let mut lists = vec![
        (Clause::AcceptanceIntro, "acceptance"),
        (Clause::RejectionIntro, "rejection"),
        (Clause::RulesIntro, "acceptance-rules"),
    ];
    // The tests were read in the gas regulation, which binds gas alone.
    if w.is_gas() {
        lists.push((Clause::TestsIntro, "joint-tests"));
    }
    let mut blocks = Vec::new();
    for (intro, table) in lists {
        let items = w.statements(table);
        if items.is_empty() {
            continue;
        }
        blocks.push(w.text(intro));
        blocks.push(match table {
            "acceptance" => Block::Checks { items },
            _ => Block::List { items },
        });
    }
    blocks.push(w.text(Clause::AcceptancePlateAtEnd {
        number: numbers.plate.to_string(),
    }));
    w.section(Clause::TitleAcceptance, blocks)
}
