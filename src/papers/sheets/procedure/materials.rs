//! What the print line must read, and what may be joined.

use super::super::parts::{PrintLine, PrintPart};
use super::writer::{Block, Clause, Section, Writer};
use crate::published::Entry;

/// What may be joined to what, for any service.
pub(crate) fn joined<'a>(w: &Writer<'a>) -> impl Iterator<Item = &'a Entry> {
    let (limits, work) = (w.limits, w.p.work());
    [
        "compatibility:same-family:text",
        "compatibility:same-family-pp:text",
        "compatibility:unlike-melt-flow:text",
    ]
    .into_iter()
    .filter_map(|id| limits.entry(id))
    .filter(move |entry| limits.applies_to(entry, &work))
}

/// `walls` is what the print line must read for the wall.
pub(crate) fn materials(w: &Writer, walls: String) -> Section {
    // What the sample says already has no text.
    let part = |sample: String, name: Clause, text: Option<Clause>| PrintPart {
        sample,
        name: w.say(name),
        text: text.map_or_else(String::new, |text| w.say(text)),
    };
    let resin = w.resin();
    let fitting = w.p.spec.fittings.resin.as_ref();
    let resins = fitting
        .filter(|fitting| fitting.value != resin)
        .map(|fitting| Clause::PrintResins {
            pipe: resin.clone(),
            fitting: fitting.value.clone(),
        });
    // A pipe of the largest size, with its last wall.
    let last = w.p.joints.last();
    let size = last.map_or_else(String::new, |joint| joint.size.to_string());
    let wall = last.and_then(|joint| joint.pipes.last());
    let wall = wall.map_or_else(String::new, |pipe| pipe.label.name(w.units()));
    let other_walls = (walls != wall).then_some(Clause::PrintWallIs { walls });
    let parts = vec![
        part(resin, Clause::PrintResin, resins),
        part(
            size,
            Clause::PrintSize,
            Some(w.practice_words().print_size.clone()),
        ),
        part(wall, Clause::PrintWall, other_walls),
        part(
            w.say(Clause::PrintStandardSample),
            Clause::PrintStandard,
            Some(Clause::PrintStandardIs),
        ),
    ];
    let samples: Vec<_> = parts.iter().map(|part| part.sample.as_str()).collect();
    let mut rules = w.say(if w.p.is_buried() {
        Clause::MaterialsKeep
    } else {
        Clause::MaterialsKeepIndoors
    });
    rules = format!(
        "{} {rules} {}",
        w.say(Clause::MaterialsColor),
        w.say(Clause::MaterialsDamage)
    );
    let superseded =
        w.p.resin
            .as_ref()
            .and_then(|resin| resin.superseded.as_ref());
    let designation = w.limits.entry(&format!("resins:{}:group", w.resin()));
    if let Some(why) = designation.and_then(|entry| w.words.note(entry))
        && superseded.is_some()
    {
        let superseded = w.say(Clause::MaterialsSuperseded {
            resin: w.resin(),
            why: why.to_owned(),
        });
        rules = format!("{rules} {superseded}");
    }
    let line = PrintLine {
        alt: w.say(Clause::PrintAlt {
            parts: samples.join(", "),
        }),
        rules,
        joined: joined(w)
            .filter_map(|entry| w.words.statement(entry).map(str::to_owned))
            .collect(),
        parts,
    };
    w.section(
        Clause::TitleMaterials,
        vec![Block::PrintLine(Box::new(line))],
    )
    .lead(w.say(Clause::MaterialsIntro))
}
