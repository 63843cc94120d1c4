//! Coiled pipe, weather, and trench.

use super::writer::{Block, Clause, Section, Writer, format};
use crate::core::units::Percent;
use crate::published::Sourced;

pub(crate) fn field(w: &Writer) -> Section {
    let mut coil = w.say(Clause::Coil);
    let round = match coil_ovality(w) {
        // The limit depends on the size.
        _ if w.practice().coil_ovality.is_none() => Some(Clause::CoilRound),
        Some(ovality) => Some(Clause::CoilOvality {
            ovality: format::marked(&ovality.value.show(), ovality.needs_verifying(), w.words),
        }),
        None => None,
    };
    if let Some(round) = round {
        coil = format!("{coil} {}", w.say(round));
    }
    let mut items = vec![
        coil,
        w.say(w.practice_words().weather.clone()),
        w.say(Clause::WeatherHot),
    ];
    if w.p.is_buried() {
        items.push(w.say(Clause::Trench));
    }
    w.section(Clause::TitleField, vec![Block::lead_in_list(items)])
}

/// Out-of-roundness of coiled pipe, if it is the same for all sizes.
pub(crate) fn coil_ovality(w: &Writer) -> Option<Sourced<Percent>> {
    w.limits.entry(w.practice().coil_ovality?)?.percent()
}
