//! What the procedure refers to.

use super::super::block::Section;
use super::super::clause::Clause;
use super::writer::Writer;

pub(super) fn references(w: &Writer) -> Section {
    let named: Vec<_> =
        w.p.spec
            .references
            .iter()
            .map(|r| r.value.clone())
            .collect();
    let mut blocks = if named.is_empty() {
        vec![w.text(Clause::ReferencesNone)]
    } else {
        vec![w.text(Clause::ReferencesIntro), w.authors(named)]
    };
    blocks.push(w.text(Clause::ReferencesFigures));
    w.section(Clause::TitleReferences, blocks)
}
