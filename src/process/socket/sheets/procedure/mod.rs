//! The written procedure, section by section, in the order a crew and an inspector
//! read it: what it covers, the hazards, what to bring, how the joint is made and
//! judged. Each section has a file of its name; all use [`writer`].

pub(super) mod cold;
mod dimensions;
pub(super) mod equipment;
pub(super) mod facts;
mod first_page;
pub(super) mod fit;
pub(super) mod heater;
mod inspection;
pub(super) mod pipe_temperature;
mod records;
mod reducing;
mod scope;
pub(super) mod spigot;
mod steps;
mod steps_fit;
#[cfg(test)]
pub(super) mod tests;
mod threaded;
pub(super) mod times;
pub(super) mod unlike;

pub(super) use inspection::boxes as inspected;
use serde::Serialize;

use crate::papers::sheets::block::Section;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::procedure::writer::Writer;
use crate::papers::sheets::procedure::{cautions, field, materials};
use crate::procedure::resolve::Procedure;
use crate::process::socket::sheets::steps::joint_steps;
use crate::published::Library;
use first_page::FirstPage;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct ProcedureSheet {
    pub(crate) frame: Frame,
    pub(crate) first: FirstPage,
    /// Its sections, in numbered order.
    pub(crate) sections: Vec<Section>,
}

/// Writes the procedure. Where its numbers come from stands on a paper of its own.
pub(crate) fn procedure(procedure: &Procedure, limits: &Library, frame: Frame) -> ProcedureSheet {
    let words = frame.words.clone();
    let w = &Writer::new(procedure, limits, &words, frame.text_lang);
    // What becomes of parts that were heated stands at one step.
    let mut steps = joint_steps(w).into_iter();
    let stop = steps.find(|step| step.stop).map_or(0, |step| step.number);
    let cold = cold::cold(w);
    let mut field = field::field(w);
    if cold.is_none() {
        field.blocks.push(cold::strip(w));
    }
    // A letterhead takes the room that a first page may have to spare.
    let letterhead = frame.house.is_some();
    let sections = [
        Some(steps::steps(w, frame.paper)),
        Some(inspection::inspection(w, frame.paper)),
        Some(cautions::cautions(w)),
        Some(equipment::equipment(w)),
        Some(heater::heater(w)),
        Some(materials::materials(w, scope::walls(w).join("; "))),
        Some(dimensions::dimensions(w)),
        reducing::reducing(w),
        threaded::threaded(w),
        spigot::spigots(w),
        unlike::unlike(w),
        Some(field),
        Some(field::abnormal(w, stop)),
        cold,
        Some(records::records(w, letterhead)),
    ];
    let mut sheet = ProcedureSheet {
        first: first_page::first_page(w, frame.paper, letterhead),
        sections: sections.into_iter().flatten().collect(),
        frame,
    };
    let frame = &sheet.frame;
    sheet.first.house = frame.style.add_to(&mut sheet.sections, frame.lang);
    if !frame.style.signatures.is_empty() {
        sheet.first.sign.roles = frame.style.signatures.clone();
    }
    sheet
}
