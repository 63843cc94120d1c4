//! The depth marks: which sizes get a strip and a gauge, and what each page says.
//! `strips` decides where they go, `words` what they say.

mod words;

use serde::Serialize;

use crate::core::units::print::{Bound, UnitsFirst};
use crate::core::units::{Length, LengthUnit};
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::{format, work};
use crate::procedure::resolve::{Joint, Procedure};
use crate::process::socket::sheets::size_check;
use crate::process::socket::sheets::size_check::Neighbor;
use crate::process::socket::sheets::strips;
use crate::process::socket::sheets::strips::{
    Choices, Correction, Layout, MarkInput, Page, PipeInput,
};
use crate::published::Library;
use crate::spec::{LongStrips, StripUse};
pub(crate) use words::Labels;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct DepthMarksSheet {
    pub(crate) frame: Frame,
    /// Labels of strips and gauges.
    pub(crate) labels: Labels,
    /// That the pages are corrected, and for which printer.
    pub(crate) corrected: Option<String>,
    pub(crate) pages: Vec<MarksPage>,
    /// Sizes without a strip, and why.
    pub(crate) not_printed: Vec<String>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct MarksPage {
    #[serde(flatten)]
    pub(crate) page: Page,
    /// Its bookmark.
    pub(crate) name: String,
    /// The paper to load.
    pub(crate) load: String,
    /// How to print, cut, and use what is on it.
    pub(crate) steps: Vec<String>,
}

/// The depth marks; `None` if no size can have any.
pub(crate) fn depth_marks(
    procedure: &Procedure,
    limits: &Library,
    frame: Frame,
    correction: Option<Correction>,
) -> Option<DepthMarksSheet> {
    let words = Clauses::load(frame.lang);
    let stated = procedure.spec.documents.strips.as_ref();
    let long = stated.and_then(|strips| strips.long.as_ref());
    let choices = Choices {
        paper: frame.paper,
        thickness: procedure.strip_thickness.as_ref()?.value,
        labels: stated.is_some_and(|strips| strips.usage.value == StripUse::Label),
        long: long.map_or(LongStrips::TwoPieces, |long| long.value),
        correction,
    };
    let writer = Writer {
        procedure,
        units: procedure.practice().units,
        limits,
        words,
    };
    let mut not_printed = Vec::new();
    let mut marks = Vec::new();
    for joint in procedure.sizes() {
        match writer.input(joint) {
            Some(mark) => {
                if mark.pipe.is_none() {
                    let size = mark.size.clone();
                    not_printed.push(words.render(Clause::MarksNoDiameter { size }));
                }
                marks.push(mark);
            }
            None => not_printed.push(words.render(Clause::MarksUnmeasured {
                size: joint.size.to_string(),
            })),
        }
    }
    let layout = strips::lay_out(&marks, &choices);
    if layout.pages.is_empty() {
        return None;
    }
    let notes = words::Notes {
        words,
        limits,
        practice: procedure.practice(),
        published_witness: work::has_witness_lines(procedure, limits),
        choices: &choices,
        deepest: deepest(&marks),
        lap_movement: lap_movement(procedure, &layout),
    };
    not_printed.extend(
        (layout.not_printed.into_iter())
            .map(|strip| words.render(words::not_printed(words, strip))),
    );
    Some(DepthMarksSheet {
        labels: Labels::new(words),
        corrected: correction.map(|c| words.render(words::corrected(c))),
        pages: (layout.pages.into_iter())
            .map(|page| MarksPage {
                name: words::name(words, &page),
                load: words::load(words, &page, &choices),
                steps: notes.for_page(&page),
                page,
            })
            .collect(),
        not_printed,
        frame,
    })
}

/// What strips and gauges are made from.
struct Writer<'a> {
    procedure: &'a Procedure<'a>,
    units: UnitsFirst,
    limits: &'a Library,
    words: &'a Clauses,
}

impl Writer<'_> {
    /// The marks of a size; `None` until its depth is measured.
    fn input(&self, joint: &Joint) -> Option<MarkInput> {
        let depth = joint.depth.known()?;
        let other = format::other_unit(self.units, depth, Bound::Nominal);
        let (witness, witness_text) = self.witness(joint, depth.value);
        Some(MarkInput {
            witness,
            witness_text,
            size: joint.size.to_string(),
            gauge: joint.gauge.clone(),
            depth: depth.value,
            depth_text: format!(
                "{} / {other}",
                format::with_unit(self.units, depth, Bound::Nominal)
            ),
            pipe: (joint.mean_diameter.as_ref()).map(|mean| self.pipe(joint, mean.value)),
        })
    }

    /// How far past the depth mark the witness line is, and that in words. It is
    /// the published distance if there is one, because the procedure prints no
    /// other.
    fn witness(&self, joint: &Joint, depth: Length) -> (Length, String) {
        let published = work::witness_line(self.procedure, self.limits, joint.size);
        // A line short of the depth mark would be hidden; a rule reports a depth
        // that is deeper than its socket.
        match published.filter(|line| line.value > depth) {
            Some(line) => (
                line.value - depth,
                self.words.render(Clause::MarksWitnessFromEnd {
                    distance: format::with_unit(self.units, &line, Bound::Nominal),
                }),
            ),
            None => (
                strips::WITNESS,
                self.words.render(Clause::MarksWitness {
                    distance: words::witness_distance(),
                }),
            ),
        }
    }

    fn pipe(&self, joint: &Joint, diameter: Length) -> PipeInput {
        let neighbors = size_check::neighbors(joint.size, diameter, self.limits);
        let side = |larger: bool| {
            let of_side = |neighbor: &&Neighbor| (neighbor.gap > Length::ZERO) == larger;
            // Nearest first, because it is the most easily confused with this
            // size.
            let mut side: Vec<_> = neighbors.iter().filter(of_side).collect();
            side.sort_by_key(|neighbor| neighbor.gap.distance(Length::ZERO));
            let named: Vec<_> = side.into_iter().map(|n| self.neighbor(*n)).collect();
            named.join("; ")
        };
        PipeInput {
            diameter,
            laps: side(false),
            gaps: side(true),
            neighbors,
        }
    }

    /// `40 mm: 6.2`, in millimeters.
    fn neighbor(&self, neighbor: Neighbor) -> String {
        let size = neighbor.size.to_string();
        let distance = neighbor
            .gap
            .distance(Length::ZERO)
            .number(LengthUnit::Millimeter, 1);
        self.words.render(if neighbor.is_indistinct() {
            Clause::MarksNeighborUnseen { size, distance }
        } else {
            Clause::MarksNeighbor { size, distance }
        })
    }
}

fn deepest(marks: &[MarkInput]) -> Length {
    marks.iter().map(|m| m.depth).max().unwrap_or_default()
}

/// How far the lap moves on the largest printed size: from the whole diameter
/// tolerance, and from the error allowed on a scale bar.
fn lap_movement(procedure: &Procedure, layout: &Layout) -> Option<Clause> {
    let on_pages = |joint: &&Joint| {
        let size = joint.size.to_string();
        let mut strips = layout.pages.iter().flat_map(|page| &page.strips);
        strips.any(|strip| strip.size == size)
    };
    let (mean, joint) = (procedure.sizes())
        .filter(on_pages)
        .filter_map(|joint| Some((joint.mean_diameter.as_ref()?.value, joint)))
        .max_by_key(|(mean, _)| *mean)?;
    let band = joint.od_band.as_ref()?.value;
    Some(words::lap_movement(
        joint.size,
        band.most - band.least,
        mean,
    ))
}
