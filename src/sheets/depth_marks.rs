//! The depth-mark strips: which sizes have one, and every word on the page.
//! Where the strips lie is settled in `strips`.

use serde::Serialize;

use super::clause::Clause;
use super::clauses::Clauses;
use super::format;
use super::frame::Frame;
use super::strips::{self, BAR_TOLERANCE, Layout, Page, StripInput};
use crate::resolve::{Joint, Procedure};
use crate::units::{Length, LengthUnit};

/// The bar whose error is judged; the inch bar is longer, so it errs by less
/// for the same misprint.
const BAR: Length = Length::from_micrometres(100_000);

/// All that the depth-mark paper says.
#[derive(Debug, Clone, Serialize)]
pub struct DepthMarksSheet {
    /// What every paper carries.
    pub frame: Frame,
    /// The words on the strips.
    pub labels: Labels,
    /// The pages.
    pub pages: Vec<Page>,
    /// How to print, cut and use the strips, on every page.
    pub notes: Vec<String>,
    /// Sizes without a strip, and why.
    pub not_printed: Vec<String>,
}

/// The words on the strips.
#[derive(Debug, Clone, Serialize)]
pub struct Labels {
    /// Before the revision.
    pub revision: String,
    /// Before the gauge's mark.
    pub gauge: String,
    /// Along the marking edge.
    pub mark: String,
    /// At the start edge.
    pub start: String,
    /// On the flap.
    pub fold: String,
    /// At the lap line.
    pub lap: String,
    /// On the tongue.
    pub witness: String,
    /// How to print.
    pub print: String,
    /// Before the paper's name.
    pub load: String,
    /// Before the sizes that have no strip.
    pub not_printed: String,
}

/// Writes the depth marks; `None` when no size can have one.
pub fn depth_marks(procedure: &Procedure, frame: Frame) -> Option<DepthMarksSheet> {
    let words = Clauses::load(frame.lang);
    let thickness = procedure.strip_thickness.as_ref()?.value;
    let mut not_printed = Vec::new();
    let mut inputs = Vec::new();
    for joint in &procedure.joints {
        match input(joint, words) {
            Ok(strip) => inputs.push(strip),
            Err(why) => not_printed.push(why),
        }
    }
    let layout = strips::lay_out(&inputs, thickness, frame.paper);
    if layout.pages.is_empty() {
        return None;
    }
    not_printed.extend(layout.not_printed.iter().map(ToString::to_string));
    let deepest = deepest(&inputs, &layout);
    Some(DepthMarksSheet {
        labels: labels(words),
        notes: notes(words, thickness, deepest),
        pages: layout.pages,
        not_printed,
        frame,
    })
}

/// The strip of a joint, or why it has none.
fn input(joint: &Joint, words: &Clauses) -> Result<StripInput, String> {
    let size = joint.size.to_string();
    let Some(depth) = joint.depth.known() else {
        return Err(words.render(Clause::MarksUnmeasured { size }));
    };
    let Some(diameter) = &joint.outside_diameter else {
        return Err(words.render(Clause::MarksNoDiameter { size }));
    };
    Ok(StripInput {
        size,
        gauge: joint.gauge.clone(),
        depth: depth.value,
        depth_text: format!(
            "{} / {}",
            format::with_inches(depth),
            depth.value.show(LengthUnit::Millimetre)
        ),
        outside_diameter: diameter.value,
    })
}

/// The greatest depth among the strips that are printed.
fn deepest(inputs: &[StripInput], layout: &Layout) -> Length {
    let left_out = |size: &str| layout.not_printed.iter().any(|strip| strip.size == size);
    inputs
        .iter()
        .filter(|strip| !left_out(&strip.size))
        .map(|strip| strip.depth)
        .max()
        .unwrap_or(Length::ZERO)
}

fn labels(words: &Clauses) -> Labels {
    let say = |clause| words.render(clause);
    Labels {
        revision: say(Clause::MarksRevision),
        gauge: say(Clause::MarksGauge),
        mark: say(Clause::MarksMark),
        start: say(Clause::MarksStart),
        fold: say(Clause::MarksFold),
        lap: say(Clause::MarksLap),
        witness: say(Clause::MarksWitness {
            distance: witness_distance(),
        }),
        print: say(Clause::MarksPrint),
        load: say(Clause::MarksLoad),
        not_printed: say(Clause::MarksNotPrinted),
    }
}

/// Both units; neither comes apart from its number on a narrow tongue.
fn witness_distance() -> String {
    let (mm, inch) = (LengthUnit::Millimetre, LengthUnit::Inch);
    format!(
        "{}\u{a0}{} ({}\u{a0}{})",
        strips::WITNESS.number(mm, 0),
        mm.symbol(),
        strips::WITNESS.number(inch, 2),
        inch.symbol()
    )
}

fn notes(words: &Clauses, thickness: Length, deepest: Length) -> Vec<String> {
    // What the largest error allowed on a bar is on a depth.
    let share = BAR_TOLERANCE.thousandths_of(BAR).unwrap_or_default();
    [
        Clause::MarksNoteBars {
            tolerance: millimetres(BAR_TOLERANCE, 1),
            depth_error: millimetres(deepest.scaled(share, 1000), 2),
        },
        Clause::MarksNoteCut,
        Clause::MarksNoteWrap {
            thickness: millimetres(thickness, 2),
        },
        Clause::MarksNoteMark,
        Clause::MarksNoteGovern,
    ]
    .into_iter()
    .map(|note| words.render(note))
    .collect()
}

fn millimetres(length: Length, places: u8) -> String {
    let unit = LengthUnit::Millimetre;
    format!("{} {}", length.number(unit, places), unit.symbol())
}
