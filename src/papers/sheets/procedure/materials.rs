//! What the print line must read, and what may be joined.

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

pub(crate) fn materials(w: &Writer) -> Section {
    let must_read = [
        Clause::MaterialsResin { resin: w.resin() },
        w.practice_words().materials_size.clone(),
        Clause::MaterialsWall,
        Clause::MaterialsStandard,
    ];
    let mut blocks = vec![
        w.text(if w.p.is_buried() {
            Clause::MaterialsIntro
        } else {
            Clause::MaterialsIntroIndoors
        }),
        w.checks(must_read),
        w.text(Clause::MaterialsColor),
        w.text(Clause::MaterialsDamage),
    ];
    let superseded =
        w.p.resin
            .as_ref()
            .and_then(|resin| resin.superseded.as_ref());
    let designation = w.limits.entry(&format!("resins:{}:group", w.resin()));
    if let Some(why) = designation.and_then(|entry| w.words.note(entry))
        && superseded.is_some()
    {
        blocks.push(w.text(Clause::MaterialsSuperseded {
            resin: w.resin(),
            why: why.to_owned(),
        }));
    }
    let joined: Vec<_> = joined(w).filter_map(|fact| w.statement(fact)).collect();
    if !joined.is_empty() {
        blocks.push(w.text(Clause::MaterialsMixing));
        blocks.push(Block::List { items: joined });
    }
    w.section(Clause::TitleMaterials, blocks)
}
