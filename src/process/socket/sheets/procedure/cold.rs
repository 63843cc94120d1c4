//! Cold-weather work.

use crate::core::units::{Duration, Temperature};
use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer, format};
use crate::papers::sheets::resin;
use crate::procedure::resolve::SHORT_HEATING;
use crate::published::{Entry, Family, Sourced};

pub(crate) fn cold(w: &Writer) -> Section {
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
        Some(step) => Clause::ColdTrial { step: w.time(step) },
        None => Clause::ColdTrialPlain,
    })];
    if let Some(short) = short_heating(w) {
        items.push(w.say(Clause::ColdProve {
            short: w.time(&short),
        }));
    }
    items.push(w.say(Clause::ColdWrite));
    items.extend(
        w.limits
            .cold_statements(w.practice())
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
    blocks.extend(lowest_ambient(w));
    blocks.push(Block::List { items });
    w.section(Clause::TitleCold, blocks)
}

/// The limit below which heating counts as short for a cold-weather step, if some
/// size of the procedure is below it.
pub(crate) fn short_heating(w: &Writer) -> Option<Sourced<Duration>> {
    w.p.spec.cold_weather.as_ref()?;
    let mut heats = w.p.joints.iter().filter_map(|joint| joint.cycle.heat());
    if !heats.any(|heat| heat.value.least < SHORT_HEATING) {
        return None;
    }
    let trial = w.limits.entry(w.practice().cold_trial)?;
    Some(Sourced::stated(
        SHORT_HEATING,
        trial.basis,
        trial.source.as_str(),
    ))
}

/// What is published on the lowest temperature for joining the resin, if the
/// procedure covers cold weather.
fn lowest_ambient(w: &Writer) -> Option<Block> {
    if let Some(statement) = lowest_ambient_pe(w) {
        let statement = w.statement(statement)?;
        return Some(w.text(Clause::LowestAmbientPe { statement }));
    }
    let lowest = lowest_ambient_pp(w)?;
    let shown = w.units().minimum_temperature(lowest.value);
    Some(w.text(Clause::LowestAmbientPp {
        resin: w.resin(),
        lowest: format::marked(&shown, lowest.needs_verifying(), w.words),
    }))
}

/// The temperature below which PP-R is not joined.
pub(crate) fn lowest_ambient_pp(w: &Writer) -> Option<Sourced<Temperature>> {
    w.p.spec.cold_weather.as_ref()?;
    resin::lowest_ambient(w.p, w.limits)
}

/// The statement on the lowest temperature for joining PE, if it applies.
pub(crate) fn lowest_ambient_pe<'a>(w: &Writer<'a>) -> Option<&'a Entry> {
    w.p.spec.cold_weather.as_ref()?;
    let is_pe = w.p.family() == Some(Family::Polyethylene);
    w.limits
        .entry(w.practice().lowest_ambient_pe?)
        .filter(|_| is_pe)
}
