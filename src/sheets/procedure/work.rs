//! The work itself: the steps of a joint, the conditions it is made in, and how
//! it is judged.

use super::super::block::{Block, Section, Step};
use super::super::clause::Clause;
use super::super::format;
use super::{Writer, tools};
use crate::limits::Sourced;
use crate::spec::CleaningAgent;
use crate::units::Duration;

/// Heating times below this are short against a cold-weather step, by the note
/// of [`COLD_TRIAL`].
const SHORT_HEATING: Duration = Duration::from_seconds(10);

/// The statement on trial joints in the cold.
const COLD_TRIAL: &str = "practice:cold-trial:text";

/// The bound below which heating is short against a cold-weather step, where a
/// size of the procedure lies below it.
pub(super) fn short_heating(w: &Writer) -> Option<Sourced<Duration>> {
    w.p.spec.cold_weather.as_ref()?;
    let mut heats = w.p.joints.iter().filter_map(|joint| joint.heat.as_ref());
    if !heats.any(|heat| heat.value.least < SHORT_HEATING) {
        return None;
    }
    let trial = w.limits.figure(COLD_TRIAL)?;
    Some(Sourced::stated(
        SHORT_HEATING,
        trial.basis,
        trial.source.as_str(),
    ))
}

/// A time in running text, with a plain warning when it is from memory.
fn time(w: &Writer, figure: &Sourced<Duration>) -> String {
    format::marked(&figure.value.show(), figure.needs_verifying(), w.words)
}

pub(super) fn steps(w: &Writer) -> Section {
    let step = |text, detail: Option<Clause>| Step {
        text: w.say(text),
        detail: detail.map(|detail| w.say(detail)),
        branch: false,
    };
    let agent = tools::agent(w);
    let cleaning =
        w.p.spec
            .cleaning
            .as_ref()
            .map(|cleaning| cleaning.agent.value);
    let clean = match cleaning {
        Some(CleaningAgent::DryCloth) => step(Clause::StepClean { agent }, None),
        _ => step(Clause::StepClean { agent }, Some(Clause::StepCleanDetail)),
    };
    let off = match &w.p.change_over {
        Some(change_over) => Clause::StepOffDetail {
            change_over: time(w, change_over),
        },
        None => Clause::StepOffDetailNone,
    };
    let inspect = match &w.p.before_handling {
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
    let items = vec![
        step(
            Clause::StepHeater {
                set_point: tools::set_point(w),
            },
            tools::window(w).map(|window| Clause::StepHeaterDetail { window }),
        ),
        step(
            Clause::StepPrintLine,
            Some(Clause::StepPrintLineDetail { resin: w.resin() }),
        ),
        step(Clause::StepCut, Some(Clause::StepCutDetail)),
        step(Clause::StepChamfer, Some(Clause::StepChamferDetail)),
        step(Clause::StepRing, Some(Clause::StepRingDetail)),
        clean,
        step(Clause::StepHeat, Some(Clause::StepHeatDetail)),
        step(Clause::StepCount, Some(count)),
        step(Clause::StepOff, Some(off)),
        Step {
            branch: true,
            ..step(Clause::StepBadMelt, Some(Clause::StepBadMeltDetail))
        },
        step(Clause::StepJoin, Some(Clause::StepJoinDetail)),
        step(Clause::StepHold, Some(Clause::StepHoldDetail)),
        step(inspect, Some(Clause::StepInspectDetail)),
    ];
    w.section(
        Clause::TitleSteps,
        vec![w.text(Clause::StepsIntro), Block::Steps { items }],
    )
}

pub(super) fn field(w: &Writer) -> Section {
    let mut coil = w.say(Clause::Coil);
    let ovality = w
        .limits
        .figure("us-coil:ovality:percent")
        .and_then(|figure| figure.percent());
    if let Some(ovality) = ovality {
        let shown = ovality.value.show();
        coil = format!(
            "{coil} {}",
            w.say(Clause::CoilOvality {
                ovality: format::marked(&shown, ovality.needs_verifying(), w.words),
            })
        );
    }
    w.section(
        Clause::TitleField,
        vec![Block::List {
            items: vec![
                coil,
                w.say(Clause::Weather),
                w.say(Clause::WeatherHot),
                w.say(Clause::Trench),
            ],
        }],
    )
}

pub(super) fn cold(w: &Writer) -> Section {
    let trigger = w.p.cold_trigger.as_ref().map(|trigger| {
        let shown = format::temperature(trigger.value);
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
            .cold_statements()
            .filter_map(|fact| w.statement(fact)),
    );
    let mut blocks = vec![w.text(match trigger {
        Some(trigger) => Clause::ColdApplies { trigger },
        None => Clause::ColdAppliesPlain,
    })];
    if let Some(floor) = &cold.no_joints_below {
        blocks.push(w.text(Clause::ColdFloor {
            floor: format::temperature(floor.value.value),
        }));
    }
    blocks.push(Block::List { items });
    w.section(Clause::TitleCold, blocks)
}

pub(super) fn acceptance(w: &Writer) -> Section {
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
    w.section(Clause::TitleAcceptance, blocks)
}
