//! The written procedure, section by section, in the order a crew, an inspector,
//! and an engineer read it: what it covers, the hazards, what to bring, how the
//! joint is made and judged, and at the end the source of every number. Each
//! section has a file of its name; all use [`writer`].

mod acceptance;
mod cold;
mod dimensions;
mod equipment;
mod facts;
mod fit;
mod heat;
mod heat_figures;
pub(super) mod heater;
mod joint_figure;
mod joint_time;
mod numbers;
mod plate;
mod proof;
mod qualification;
mod reducing;
mod scope;
mod sources;
mod spigot;
mod steps;
#[cfg(test)]
mod tests;
mod threaded;
mod times;
mod unlike;

use serde::Serialize;

use crate::core::finding::Finding;
use crate::papers::sheets::block::Section;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::procedure::writer::Writer;
use crate::papers::sheets::procedure::{
    approval, cautions, field, materials, references, revisions,
};
use crate::procedure::resolve::Procedure;
use crate::process::socket::heat::advice::Advice;
use crate::published::Library;
use facts::Fact;
use numbers::Numbers;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct ProcedureSheet {
    pub(crate) frame: Frame,
    /// The facts at the top.
    pub(crate) facts: Vec<Fact>,
    /// Its sections, in numbered order.
    pub(crate) sections: Vec<Section>,
}

/// Writes the procedure. Warnings in `findings` are printed on its sources sheet.
pub(crate) fn procedure(
    procedure: &Procedure,
    advice: &Advice,
    findings: &[Finding],
    limits: &Library,
    frame: Frame,
) -> ProcedureSheet {
    let words = frame.words.clone();
    let w = &Writer {
        p: procedure,
        limits,
        words: &words,
        text_lang: frame.text_lang,
    };
    let numbers = &Numbers::new(w, advice);
    let sections = [
        Some(scope::scope(w)),
        Some(references::references(w)),
        Some(cautions::cautions(w)),
        Some(equipment::equipment(w)),
        Some(heater::heater(w, numbers)),
        Some(materials::materials(w)),
        Some(dimensions::dimensions(w)),
        Some(times::times(w)),
        Some(steps::steps(w, advice, numbers)),
        reducing::reducing(w),
        threaded::threaded(w),
        spigot::spigots(w),
        unlike::unlike(w),
        joint_time::joint_time(w),
        Some(field::field(w)),
        Some(cold::cold(w)),
        Some(acceptance::acceptance(w, numbers)),
        Some(qualification::qualification(w)),
        Some(sources::sources(w, findings)),
        Some(revisions::revisions(w)),
        Some(approval::approval(w)),
        Some(heat::estimate(w, advice, numbers)),
        Some(plate::plate(w)),
    ];
    let mut sheet = ProcedureSheet {
        facts: facts::facts(w),
        sections: sections.into_iter().flatten().collect(),
        frame,
    };
    numbers::number(w, &mut sheet.sections);
    let frame = &sheet.frame;
    frame.style.add_to(&mut sheet.sections, frame.lang, &words);
    sheet
}
