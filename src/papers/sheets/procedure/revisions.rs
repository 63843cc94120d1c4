//! The revision history.

use super::writer::{Align, Cell, Clause, Section, Writer, format};
use crate::spec::{Revision, Status};

pub(crate) fn revisions(w: &Writer) -> Section {
    let revisions = &w.p.spec.revisions;
    let rows = revisions
        .iter()
        .enumerate()
        .map(|(place, revision)| {
            let newest = place + 1 == revisions.len();
            let change = revision.change.as_ref();
            vec![
                Cell::plain(revision.number.value.to_string()),
                Cell::plain(revision.date.value.to_string()),
                Cell::plain(in_force(w, revision, newest)),
                match change {
                    Some(change) => Cell::plain(&change.value).lang(w.text_lang),
                    None => Cell::plain(format::DASH),
                },
            ]
        })
        .collect();
    let blocks = w.table(
        Clause::RevisionsCaption,
        vec![
            (Clause::ColumnRevision, Align::Right),
            (Clause::ColumnDate, Align::Left),
            (Clause::ColumnEffective, Align::Left),
            (Clause::ColumnChange, Align::Left),
        ],
        rows,
        false,
    );
    w.section(Clause::TitleRevisions, blocks)
}

/// A revision's effective date. The issue date does not tell it, and the newest
/// revision of a draft is not in effect, whatever date is planned.
fn in_force(w: &Writer, revision: &Revision, newest: bool) -> String {
    if newest && w.p.spec.status.value == Status::Draft {
        return w.say(Clause::NotInForce);
    }
    match &revision.effective {
        Some(effective) => effective.value.to_string(),
        None => w.say(Clause::NotStated),
    }
}
