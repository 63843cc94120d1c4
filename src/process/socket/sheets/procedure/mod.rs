//! The written procedure, section by section, in the order a crew and an inspector
//! read it: what it covers, the hazards, what to bring, how the joint is made and
//! judged. Each section has a file of its name; all use [`writer`].

mod acceptance;
pub(super) mod cold;
mod dimensions;
pub(super) mod equipment;
mod facts;
pub(super) mod fit;
mod heater;
mod numbers;
mod plate;
mod qualification;
mod reducing;
mod scope;
pub(super) mod spigot;
mod steps;
#[cfg(test)]
pub(super) mod tests;
mod threaded;
pub(super) mod times;
pub(super) mod unlike;

pub(super) use equipment::agent;
use serde::Serialize;
pub(super) use unlike::{print_line, unlike_sizes};

use crate::papers::sheets::block::Section;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::procedure::writer::Writer;
use crate::papers::sheets::procedure::{approval, cautions, field, materials, revisions};
use crate::procedure::resolve::Procedure;
use crate::process::socket::sheets::joint_times::JointTimes;
use crate::published::Library;
use facts::Fact;
use numbers::Numbers;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct ProcedureSheet {
    pub(crate) frame: Frame,
    /// The facts at the top.
    pub(crate) facts: Vec<Fact>,
    /// The times of the joints.
    pub(crate) times: JointTimes,
    /// Its sections, in numbered order.
    pub(crate) sections: Vec<Section>,
}

/// Writes the procedure. Where its numbers come from stands on a paper of its own.
pub(crate) fn procedure(procedure: &Procedure, limits: &Library, frame: Frame) -> ProcedureSheet {
    let words = frame.words.clone();
    let w = &Writer {
        p: procedure,
        limits,
        words: &words,
        text_lang: frame.text_lang,
    };
    let numbers = &Numbers::new();
    let sections = [
        Some(scope::scope(w)),
        Some(cautions::cautions(w)),
        Some(equipment::equipment(w)),
        Some(heater::heater(w, numbers)),
        Some(materials::materials(w)),
        Some(dimensions::dimensions(w)),
        Some(times::times(w)),
        Some(steps::steps(w, numbers)),
        reducing::reducing(w),
        threaded::threaded(w),
        spigot::spigots(w),
        unlike::unlike(w),
        Some(field::field(w)),
        Some(cold::cold(w)),
        Some(acceptance::acceptance(w, numbers)),
        Some(qualification::qualification(w)),
        Some(revisions::revisions(w)),
        Some(approval::approval(w)),
        Some(plate::plate(w)),
    ];
    let mut sheet = ProcedureSheet {
        facts: facts::facts(w),
        times: JointTimes::new(procedure, limits, &words),
        sections: sections.into_iter().flatten().collect(),
        frame,
    };
    numbers::number(w, &mut sheet.sections);
    let frame = &sheet.frame;
    frame.style.add_to(&mut sheet.sections, frame.lang);
    sheet
}
