//! The dimensions of a face: its trims, minimum type sizes, the position of the
//! lanyard slot, and the plan that the templates find for it.

use serde::{Deserialize, Serialize};

use crate::core::units::Length;
use crate::process::socket::sheets::card::print_length;
use crate::published::Library;
use crate::spec::CardTrim;

/// Lower-case height as a fraction of the type size, in Noto Sans: 1098 of 2048
/// units. The bold is taller.
const X_HEIGHT: f64 = 1098.0 / 2048.0;

const MM_PER_POINT: f64 = 25.4 / 72.0;

/// The step by which heating times shrink if space is short.
const STEP_PT: f64 = 0.5;

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

/// Type sizes, in points.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TypeSizes {
    /// Heating times and pipe sizes, largest first.
    pub figures: Vec<Figures>,
    /// Other numbers, and steps.
    pub body_pt: f64,
    /// The smallest type on a card.
    pub fine_pt: f64,
}

/// Type sizes of the most important numbers. The heating time is the largest.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Figures {
    /// Heating times.
    pub heat_pt: f64,
    /// Pipe sizes, and times after heating.
    pub size_pt: f64,
}

impl Figures {
    /// The lower-case height of the heating times.
    pub(crate) fn heat_height(&self) -> Length {
        Length::from_mm(self.heat_pt * X_HEIGHT * MM_PER_POINT)
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

/// How the templates fill the faces: the first layout in which all lines fit.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Plan {
    /// Index into the card's trims.
    pub(crate) trim: usize,
    /// Index into the type sizes.
    pub(crate) figures: usize,
    /// Number of cards.
    pub(crate) cards: usize,
    /// How many cards the sizes are divided among. Every card has all steps. If
    /// two languages do not fit one card, each part gets one card per language.
    pub(crate) row_parts: usize,
    /// Scale of the fronts.
    pub(crate) front_percent: u32,
    /// Scale of the backs.
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

/// The type sizes that reach the heights in the print table.
pub(crate) fn type_sizes(limits: &Library) -> TypeSizes {
    let points = |key: &str| {
        let height = print_length(limits, key).mm();
        // Rounded up to a hundredth, so that no height falls short.
        (height / MM_PER_POINT / X_HEIGHT * 100.0).ceil() / 100.0
    };
    let (most, body_pt) = (points("x-height-critical"), points("x-height-steps"));
    let mut figures = Vec::new();
    let mut heat_pt = most;
    // At least a step above the body, so that the heating time stays the largest
    // number.
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

pub(crate) fn slot(limits: &Library) -> Slot {
    let length = |key: &str| print_length(limits, key).mm();
    Slot {
        length_mm: length("lanyard-slot-length"),
        width_mm: length("lanyard-slot-width"),
        inset_mm: length("lanyard-slot-inset"),
        zone_mm: length("lanyard-zone"),
    }
}
