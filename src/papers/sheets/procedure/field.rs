//! Coiled pipe, weather, and trench; and what is done when something goes wrong.

use super::super::parts::{Abnormal, AbnormalCase, FieldCell, FieldPicture, FieldWork, Run, runs};
use super::writer::{Block, Clause, Section, Writer};
use crate::core::units::Percent;
use crate::published::{Family, Sourced};

pub(crate) fn field(w: &Writer) -> Section {
    let plain = |text: Clause| runs(&w.say(text), "", false);
    let cell = |picture, alt, head, text| FieldCell {
        picture,
        alt: w.say(alt),
        head: w.say(head),
        text,
    };
    let mut cells = Vec::new();
    if is_coiled(w) {
        cells.push(cell(
            FieldPicture::Coil,
            Clause::FieldCoilAlt,
            Clause::FieldCoil,
            plain(Clause::FieldCoilText),
        ));
        cells.push(cell(
            FieldPicture::CoilEnd,
            Clause::FieldCoilEndAlt,
            Clause::FieldCoilEnd,
            coil_end(w),
        ));
    }
    cells.push(cell(
        FieldPicture::Wind,
        Clause::FieldWindAlt,
        Clause::FieldWind,
        plain(Clause::FieldWindText),
    ));
    cells.push(cell(
        FieldPicture::Rain,
        Clause::FieldRainAlt,
        Clause::FieldRain,
        plain(w.practice_words().rain.clone()),
    ));
    cells.push(cell(
        FieldPicture::Sun,
        Clause::FieldSunAlt,
        Clause::FieldSun,
        plain(Clause::FieldSunText),
    ));
    let compact = w.has_few_sizes();
    if w.p.is_buried() {
        let trench = cell(
            FieldPicture::Trench,
            Clause::FieldTrenchAlt,
            Clause::FieldTrench,
            plain(Clause::FieldTrenchText),
        );
        // In rows of three the long texts share one.
        let place = if compact && is_coiled(w) {
            2
        } else {
            cells.len()
        };
        cells.insert(place, trench);
    }
    let section = w.section(
        Clause::TitleField,
        vec![Block::FieldWork(Box::new(FieldWork { cells, compact }))],
    );
    // With cold weather the section about it says how the pipe is measured.
    match w.p.spec.cold_weather {
        Some(_) => section,
        None => section.lead(w.say(Clause::PipeLead)),
    }
}

/// Whether the pipe may come in coils. PP pipe comes in straight lengths.
fn is_coiled(w: &Writer) -> bool {
    w.p.family() != Some(Family::Polypropylene)
}

/// The flattened end of a coil, and how far out of round it may be.
fn coil_end(w: &Writer) -> Vec<Run> {
    let cut = w.say(Clause::FieldCoilEndText);
    // The limit depends on the size.
    if w.practice().coil_ovality.is_none() {
        let round = w.say(Clause::FieldCoilEndRound);
        return runs(&format!("{cut} {round}"), "", false);
    }
    let Some(ovality) = coil_ovality(w) else {
        return runs(&cut, "", false);
    };
    let number = ovality.value.show();
    let round = w.say(Clause::FieldCoilEndRing {
        ovality: number.clone(),
    });
    runs(
        &format!("{cut} {round}"),
        &number,
        ovality.needs_verifying(),
    )
}

/// Out-of-roundness of coiled pipe, if it is the same for all sizes.
pub(crate) fn coil_ovality(w: &Writer) -> Option<Sourced<Percent>> {
    if !is_coiled(w) {
        return None;
    }
    w.limits.entry(w.practice().coil_ovality?)?.percent()
}

/// What is done when something goes wrong in the middle of a joint. `stop` is the
/// number of the step that says what becomes of parts that were heated.
pub(crate) fn abnormal(w: &Writer, stop: usize) -> Section {
    let stop = || stop.to_string();
    let cases = [
        (
            Clause::AbnormalPower,
            Clause::AbnormalPowerDo { step: stop() },
        ),
        (
            Clause::AbnormalDrift,
            Clause::AbnormalDriftDo { step: stop() },
        ),
        (Clause::AbnormalWet, Clause::AbnormalWetDo { step: stop() }),
        (
            Clause::AbnormalDropped,
            Clause::AbnormalDroppedDo { step: stop() },
        ),
        (
            Clause::AbnormalAdapter,
            Clause::AbnormalAdapterDo { step: stop() },
        ),
        (Clause::AbnormalMoved, Clause::AbnormalMovedDo),
    ];
    let cases = cases.map(|(case, action)| AbnormalCase {
        case: w.say(case),
        action: w.say(action),
    });
    w.section(
        Clause::TitleAbnormal,
        vec![Block::Abnormal(Box::new(Abnormal {
            cases: cases.into(),
        }))],
    )
    .lead(w.say(Clause::AbnormalLead))
}
