//! The sizes that a card is cut to, and the position of the lanyard slot.

use serde::Serialize;

use crate::process::socket::sheets::card::print_length;
use crate::published::Library;
use crate::spec::CardTrim;

/// The size a card is cut to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trim {
    /// Its keyword in a spec.
    #[serde(skip)]
    pub choice: CardTrim,
    /// Its printed name.
    pub name: String,
    /// Its width.
    pub width_mm: f64,
    pub height_mm: f64,
    /// Corner radius.
    pub radius_mm: f64,
}

impl Trim {
    /// The same, standing on its short side.
    pub(crate) fn upright(&self) -> Self {
        Self {
            width_mm: self.height_mm,
            height_mm: self.width_mm,
            ..self.clone()
        }
    }
}

/// A slot to punch for a lanyard, at the left of the front.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Slot {
    /// Along the card's edge.
    pub length_mm: f64,
    /// Across it.
    pub width_mm: f64,
    /// From the trim to the slot's center line.
    pub inset_mm: f64,
    /// From the trim to the nearest text.
    pub zone_mm: f64,
}

/// The trims, smallest first.
pub(crate) fn trims(limits: &Library) -> Vec<Trim> {
    let radius_mm = print_length(limits, "card-id1-corner").mm();
    [
        (CardTrim::Id1, "ID-1", "card-id1"),
        (CardTrim::Id2, "ID-2", "card-id2"),
        (CardTrim::Id3, "ID-3", "card-id3"),
    ]
    .into_iter()
    .map(|(choice, name, key)| Trim {
        choice,
        name: name.to_owned(),
        width_mm: print_length(limits, &format!("{key}-width")).mm(),
        height_mm: print_length(limits, &format!("{key}-height")).mm(),
        radius_mm,
    })
    .collect()
}

pub(crate) fn slot(limits: &Library) -> Slot {
    let length = |key: &str| print_length(limits, key).mm();
    Slot {
        length_mm: length("lanyard-slot-length"),
        width_mm: length("lanyard-slot-width"),
        inset_mm: length("lanyard-slot-inset"),
        zone_mm: length("lanyard-zone"),
    }
}
