//! The size of a face: its trims, the least sizes of its type, the place of the
//! lanyard slot, and the plan that the templates find for it.

use serde::{Deserialize, Serialize};

use crate::core::units::Length;
use crate::process::socket::sheets::card::print_length;
use crate::published::Library;
use crate::spec::CardTrim;

/// Height of the lower case as a share of the type size, in Noto Sans: 1098 of
/// 2048 units. The bold has more.
const X_HEIGHT: f64 = 1098.0 / 2048.0;

const MM_PER_POINT: f64 = 25.4 / 72.0;

/// The steps in which the heating times give way where room is short.
const STEP_PT: f64 = 0.5;

/// The size a card is cut to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trim {
    /// Which it is, in a spec.
    #[serde(skip)]
    pub choice: CardTrim,
    /// What the size is called.
    pub name: String,
    /// Its width.
    pub width_mm: f64,
    /// Its height.
    pub height_mm: f64,
    /// Radius of its corners.
    pub radius_mm: f64,
}

/// Sizes of type, in points.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TypeSizes {
    /// Heating times and sizes, the largest first.
    pub figures: Vec<Figures>,
    /// Other numbers, and steps.
    pub body_pt: f64,
    /// The least on a card.
    pub fine_pt: f64,
}

/// Sizes of the numbers that are looked for. The heating time is the largest.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Figures {
    /// Heating times.
    pub heat_pt: f64,
    /// Pipe sizes, and the times after heating.
    pub size_pt: f64,
}

impl Figures {
    /// The lower-case height of the heating times.
    pub(crate) fn heat_height(&self) -> Length {
        Length::from_mm(self.heat_pt * X_HEIGHT * MM_PER_POINT)
    }
}

/// A place to punch a slot for a lanyard, at the left of the front.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Slot {
    /// Along the edge of the card.
    pub length_mm: f64,
    /// Across.
    pub width_mm: f64,
    /// From the trim to its middle.
    pub inset_mm: f64,
    /// From the trim to the first thing that is read.
    pub zone_mm: f64,
}

/// How the templates fill the faces: the first way in which all lines fit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Plan {
    /// The trim, by its place in the card's list.
    pub(crate) trim: usize,
    /// Sizes of the figures, by their place.
    pub(crate) figures: usize,
    /// How many cards it takes.
    pub(crate) cards: usize,
    /// How many cards the sizes are shared out among. Each card has all steps.
    /// With two languages that do not fit one card there is a card of each
    /// part in either language.
    pub(crate) row_parts: usize,
    /// How large the fronts are drawn.
    pub(crate) front_percent: u32,
    /// How large the backs are drawn.
    pub(crate) back_percent: u32,
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

/// The sizes that reach the heights of the print table.
pub(crate) fn type_sizes(limits: &Library) -> TypeSizes {
    let points = |key: &str| {
        let height = print_length(limits, key).mm();
        // Up to the next hundredth, so that none falls short.
        (height / MM_PER_POINT / X_HEIGHT * 100.0).ceil() / 100.0
    };
    let (most, body_pt) = (points("x-height-critical"), points("x-height-steps"));
    let mut figures = Vec::new();
    let mut heat_pt = most;
    // A step above the body at the least, so that the heating time stays the largest number.
    while heat_pt > body_pt + STEP_PT {
        figures.push(Figures {
            heat_pt,
            size_pt: (heat_pt * 0.82).max(body_pt),
        });
        heat_pt -= STEP_PT;
    }
    TypeSizes {
        figures,
        body_pt,
        fine_pt: points("x-height-fine-print"),
    }
}

/// The lanyard slot.
pub(crate) fn slot(limits: &Library) -> Slot {
    let length = |key: &str| print_length(limits, key).mm();
    Slot {
        length_mm: length("lanyard-slot-length"),
        width_mm: length("lanyard-slot-width"),
        inset_mm: length("lanyard-slot-inset"),
        zone_mm: length("lanyard-zone"),
    }
}
