//! At which temperature of the pipe a joint is made, and how its heating time is
//! found in the cold.

use crate::core::units::Temperature;
use crate::core::units::{Duration, TimeUnit};
use crate::papers::sheets::parts::{
    ColdForm, ColdHeads, ColdRow, Run, TrialJoints, TrialStep, runs,
};
use crate::papers::sheets::procedure::writer::{Block, Cell, Clause, Section, Writer, format};
use crate::papers::sheets::resin;
use crate::procedure::resolve::{Joint, SHORT_HEATING};
use crate::process::socket::sheets::procedure::pipe_temperature;
use crate::published::{Entry, Family, Sourced};

/// The section on cold weather, if the procedure covers it.
pub(crate) fn cold(w: &Writer) -> Option<Section> {
    w.p.spec.cold_weather.as_ref()?;
    let mut blocks = vec![strip(w)];
    if let Some(lowest) = lowest_ambient_pp(w) {
        blocks.push(w.text(Clause::LowestAmbientPp {
            resin: w.resin(),
            lowest: w.units().minimum_temperature(lowest.value),
        }));
    }
    blocks.push(Block::TrialJoints(Box::new(trials(w))));
    blocks.push(Block::ColdForm(Box::new(form(w))));
    let section = w.section(Clause::TitleCold, blocks);
    Some(section.lead(w.say(Clause::PipeLead)))
}

/// What is done at which temperature of the pipe.
pub(crate) fn strip(w: &Writer) -> Block {
    Block::PipeTemperature(Box::new(pipe_temperature::strip(w)))
}

fn trials(w: &Writer) -> TrialJoints {
    let plain = |text: Clause| runs(&w.say(text), "", false);
    let mut steps = vec![(plain(Clause::TrialStart), plain(Clause::TrialStartDo))];
    let longer = match &w.p.cold_step {
        Some(step) => {
            let number = step.value.show();
            let text = w.say(Clause::TrialLonger {
                step: number.clone(),
            });
            runs(&text, &number, step.needs_verifying())
        }
        None => plain(Clause::TrialLongerOpen),
    };
    steps.push((plain(Clause::TrialComplete), longer));
    if let Some(short) = short_heating(w) {
        let number = short.value.show();
        let head = w.say(Clause::TrialStrap {
            short: number.clone(),
        });
        steps.push((
            runs(&head, &number, short.needs_verifying()),
            plain(Clause::TrialStrapDo),
        ));
    }
    steps.push((plain(Clause::TrialWrite), plain(Clause::TrialWriteDo)));
    let lettered = |((head, text), letter): ((Vec<Run>, Vec<Run>), char)| TrialStep {
        letter: letter.to_string(),
        head,
        text,
    };
    TrialJoints {
        title: w.say(Clause::TitleTrial),
        lead: w.say(Clause::TrialLead),
        steps: steps.into_iter().zip('A'..).map(lettered).collect(),
    }
}

/// Wind, rain and frost stand with field work and print line; of this statement the
/// form has the bag alone.
const SHELTER: &str = "practice:shelter:text";

fn form(w: &Writer) -> ColdForm {
    let second = w.say(Clause::HeadSecond);
    let step = w.p.cold_step.as_ref().map(|step| {
        let number = step.value.number(TimeUnit::Second);
        [format!("+{number}"), second.clone()]
    });
    let unit = w.units().temperature_unit().symbol().to_owned();
    let rules = w.limits.cold_statements(w.practice());
    ColdForm {
        title: w.say(Clause::TitleColdForm),
        lead: w.say(Clause::ColdFormLead),
        date: w.say(Clause::ColdFormDate),
        heads: ColdHeads {
            size: w.size_head(),
            pipe: [w.say(Clause::ColdPipe), unit],
            first: [w.say(Clause::ColdFirst), second.clone()],
            step,
            cold: [w.say(Clause::ColdHeat), second],
            strap: w.say(Clause::ColdStrap),
            fuser: w.say(Clause::ColdFuser),
            pass: w.say(Clause::ColdPass),
            fail: w.say(Clause::ColdFail),
            not_required: format::DASH.to_owned(),
        },
        rows: w.p.joints.iter().map(|joint| row(w, joint)).collect(),
        rules: rules
            .filter(|entry| entry.id != SHELTER)
            .filter_map(|entry| w.words.statement(entry).map(str::to_owned))
            .chain([w.say(Clause::ColdBag), w.say(Clause::ColdFormTick)])
            .collect(),
    }
}

fn row(w: &Writer, joint: &Joint) -> ColdRow {
    let mut size = w.size_name(joint.size);
    if format::shares_size(joint, &w.p.joints) {
        size = format!("{size} {}", format::walls(w.units(), joint));
    }
    let none = |first| ColdRow {
        size: size.clone(),
        first,
        joined: false,
        strap: false,
    };
    if joint.depth.known().is_none() {
        return none(Cell::plain(w.say(Clause::NoJoint)));
    }
    // A trial changes neither time of an unlike pair.
    if w.p.unlike_pair(joint.size).is_some() {
        return none(Cell::plain(w.say(Clause::SeeUnlike)));
    }
    let Some(heat) = joint.cycle.heat() else {
        return none(Cell::plain(format::DASH));
    };
    let least = heat.value.least;
    ColdRow {
        size,
        first: Cell::plain(least.number(TimeUnit::Second)).verify(heat.needs_verifying()),
        joined: true,
        strap: least < SHORT_HEATING,
    }
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
