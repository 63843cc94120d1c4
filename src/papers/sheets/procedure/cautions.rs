//! The hazards, most severe first.

use super::writer::{Block, Clause, Section, Writer};
use crate::published::Entry;

/// Signal words, most severe first.
const SIGNALS: [(&str, Clause); 4] = [
    ("DANGER", Clause::SignalDanger),
    ("WARNING", Clause::SignalWarning),
    ("CAUTION", Clause::SignalCaution),
    ("NOTICE", Clause::SignalNotice),
];

pub(crate) fn cautions(w: &Writer) -> Section {
    let mut blocks = vec![w.text(Clause::CautionsIntro)];
    blocks.extend(hazards(w).into_iter().filter_map(|(signal, word, figure)| {
        Some(Block::Caution {
            signal: signal.to_owned(),
            word,
            text: w.statement(figure)?,
        })
    }));
    w.section(Clause::TitleCautions, blocks)
}

/// Signal, printed signal word, and statement of each hazard, most severe first.
pub(crate) fn hazards<'a>(w: &Writer<'a>) -> Vec<(&'static str, String, &'a Entry)> {
    let work = w.p.work();
    let mut hazards: Vec<_> = w
        .limits
        .texts("hazards", "signal")
        .into_iter()
        .filter(|signal| w.limits.applies_to(signal, &work))
        .filter_map(|signal| {
            let word = signal.text()?;
            let rank = SIGNALS
                .iter()
                .position(|(known, _)| known.eq_ignore_ascii_case(word))?;
            let text = w.limits.other_column(signal, "text")?;
            Some((rank, SIGNALS.get(rank)?, text))
        })
        .collect();
    hazards.sort_by_key(|(rank, ..)| *rank);
    hazards
        .into_iter()
        .map(|(_, (signal, word), text)| (*signal, w.say(word.clone()), text))
        .collect()
}
