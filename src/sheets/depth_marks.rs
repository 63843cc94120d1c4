//! The depth-mark strips: which sizes have one, and every word on the page.
//! Where the strips lie is settled in `strips`.

use serde::Serialize;

use super::clause::Clause;
use super::clauses::Clauses;
use super::format;
use super::frame::Frame;
use super::size_check::{self, Neighbor};
use super::strips::{self, BAR_TOLERANCE, Layout, Page, StripInput};
use crate::limits::{Library, Practice};
use crate::resolve::{Joint, Procedure};
use crate::units::print::UnitsFirst;
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
    /// Over the size check.
    pub check: String,
    /// Over the strips of the size check.
    pub check_strip: String,
    /// Over the smaller sizes.
    pub check_laps: String,
    /// Over the larger sizes.
    pub check_gaps: String,
    /// How to print.
    pub print: String,
    /// Before the paper's name.
    pub load: String,
    /// Before the sizes that have no strip.
    pub not_printed: String,
}

/// Writes the depth marks; `None` when no size can have one.
pub fn depth_marks(
    procedure: &Procedure,
    limits: &Library,
    frame: Frame,
) -> Option<DepthMarksSheet> {
    let own = frame.words.clone();
    let words: &Clauses = &own;
    let thickness = procedure.strip_thickness.as_ref()?.value;
    let mut not_printed = Vec::new();
    let mut inputs = Vec::new();
    let writer = Writer {
        units: procedure.practice().units(),
        limits,
        words,
    };
    for joint in procedure.sizes() {
        match writer.input(joint) {
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
        notes: notes(
            words,
            procedure.practice(),
            thickness,
            deepest,
            moves(procedure, &layout),
        ),
        pages: layout.pages,
        not_printed,
        frame,
    })
}

/// What a strip is written from.
struct Writer<'a> {
    units: UnitsFirst,
    limits: &'a Library,
    words: &'a Clauses,
}

impl Writer<'_> {
    /// The strip of a joint, or why it has none.
    fn input(&self, joint: &Joint) -> Result<StripInput, String> {
        let size = joint.size.to_string();
        let Some(depth) = joint.depth.known() else {
            return Err(self.words.render(Clause::MarksUnmeasured { size }));
        };
        let Some(diameter) = &joint.mean_diameter else {
            return Err(self.words.render(Clause::MarksNoDiameter { size }));
        };
        let other = match self.units {
            UnitsFirst::Us => depth.value.show(LengthUnit::Millimetre),
            UnitsFirst::Metric => depth.value.show(LengthUnit::Inch),
        };
        let neighbors = size_check::neighbors(joint.size, diameter.value, self.limits);
        let side = |larger: bool| {
            let of_side = |neighbor: &&Neighbor| (neighbor.gap > Length::ZERO) == larger;
            // The nearest first, which is the likeliest to be taken for this size.
            let mut side: Vec<_> = neighbors.iter().filter(of_side).collect();
            side.sort_by_key(|neighbor| neighbor.gap.distance(Length::ZERO));
            let named: Vec<_> = side.into_iter().map(|n| self.neighbor(*n)).collect();
            named.join("; ")
        };
        Ok(StripInput {
            size,
            gauge: joint.gauge.clone(),
            depth: depth.value,
            depth_text: format!("{} / {other}", format::with_unit(self.units, depth)),
            diameter: diameter.value,
            laps: side(false),
            gaps: side(true),
            neighbors,
        })
    }

    /// `40 mm: 6.2`, in millimeters.
    fn neighbor(&self, neighbor: Neighbor) -> String {
        let size = neighbor.size.to_string();
        let distance = neighbor
            .gap
            .distance(Length::ZERO)
            .number(LengthUnit::Millimetre, 1);
        self.words.render(if neighbor.unseen() {
            Clause::MarksNeighborUnseen { size, distance }
        } else {
            Clause::MarksNeighbor { size, distance }
        })
    }
}

/// The greatest depth among the strips that are printed.
fn deepest(inputs: &[StripInput], layout: &Layout) -> Length {
    let printed = inputs
        .iter()
        .filter(|strip| is_printed(&strip.size, layout));
    printed.map(|strip| strip.depth).max().unwrap_or_default()
}

fn is_printed(size: &str, layout: &Layout) -> bool {
    layout.not_printed.iter().all(|strip| strip.size != size)
}

/// What moves the lap on the largest size printed: the whole tolerance on its
/// diameter, and the error that is allowed on a bar.
fn moves(procedure: &Procedure, layout: &Layout) -> Option<Clause> {
    let printed = procedure.sizes().filter(|joint| {
        joint.depth.known().is_some() && is_printed(&joint.size.to_string(), layout)
    });
    let (mean, joint) = printed
        .filter_map(|joint| Some((joint.mean_diameter.as_ref()?.value, joint)))
        .max_by_key(|(mean, _)| *mean)?;
    let band = joint.od_band.as_ref()?.value;
    let width = band.most - band.least;
    Some(Clause::MarksNoteTolerance {
        size: joint.size.to_string(),
        tolerance: in_places(width, 2),
        moves: in_places(width.circumference(), 1),
        error: in_places(mean.circumference().scaled(bar_share(), 1000), 1),
    })
}

/// The largest error allowed on a bar, in thousandths of its length.
fn bar_share() -> i64 {
    BAR_TOLERANCE.thousandths_of(BAR).unwrap_or_default()
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
        check: say(Clause::MarksCheck),
        check_strip: say(Clause::MarksCheckStrip),
        check_laps: say(Clause::MarksCheckLaps),
        check_gaps: say(Clause::MarksCheckGaps),
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

fn notes(
    words: &Clauses,
    practice: Practice,
    thickness: Length,
    deepest: Length,
    moves: Option<Clause>,
) -> Vec<String> {
    [
        Some(Clause::MarksNoteBars {
            tolerance: in_places(BAR_TOLERANCE, 1),
            depth_error: in_places(deepest.scaled(bar_share(), 1000), 2),
        }),
        Some(Clause::MarksNoteCut),
        Some(Clause::MarksNoteWrap {
            thickness: in_places(thickness, 2),
        }),
        Some(Clause::MarksNoteSize),
        moves,
        Some(Clause::MarksNoteMark),
        Some(match practice {
            Practice::Us => Clause::MarksNoteGovern,
            Practice::Metric => Clause::MarksNoteGovernMetric,
        }),
    ]
    .into_iter()
    .flatten()
    .map(|note| words.render(note))
    .collect()
}

fn in_places(length: Length, places: u8) -> String {
    let unit = LengthUnit::Millimetre;
    format!("{} {}", length.number(unit, places), unit.symbol())
}
