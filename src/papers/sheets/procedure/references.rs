//! The documents that the procedure cites.

use super::writer::{Clause, Section, Writer};

pub(crate) fn references(w: &Writer) -> Section {
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
