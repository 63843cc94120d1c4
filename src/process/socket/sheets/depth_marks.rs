//! The depth marks: which sizes get a strip and a gauge, and what each page says.
//! `strips` decides where they go and where their print goes, `words` what they
//! say.

mod words;

use serde::Serialize;

use crate::core::units::print::{Bound, UnitsFirst};
use crate::core::units::{Length, LengthUnit};
use crate::papers::fonts::line_width;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::{format, work};
use crate::procedure::resolve::{Joint, Procedure};
use crate::process::socket::sheets::size_check;
use crate::process::socket::sheets::size_check::Neighbor;
use crate::process::socket::sheets::strips;
use crate::process::socket::sheets::strips::{
    CheckLines, Choices, Correction, Identity, Layout, MarkInput, Page, PipeInput, WitnessText,
};
use crate::published::Library;
use crate::spec::{LongStrips, StripUse};
use words::{Heading, PageLabels, Picture};

/// Type size of the size check and of the list of sizes without a strip.
const TABLE_PT: f64 = 8.0;
/// Width of a column of neighbors in the wide size check.
const NEIGHBORS_MM: f64 = 40.0;
/// Width of the list of sizes without a strip, and its line pitch.
const LIST_MM: f64 = 98.0;
const LIST_PITCH_MM: f64 = 3.6;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct DepthMarksSheet {
    pub(crate) frame: Frame,
    pub(crate) labels: PageLabels,
    pub(crate) heading: Heading,
    pub(crate) pages: Vec<MarksPage>,
    /// Sizes without a strip, and why.
    pub(crate) not_printed: Vec<String>,
    /// Whether the sign of an unconfirmed number stands on the strips.
    pub(crate) has_unconfirmed: bool,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct MarksPage {
    #[serde(flatten)]
    pub(crate) page: Page,
    /// Its bookmark.
    pub(crate) name: String,
    /// How to print it, and the paper to load.
    pub(crate) load: String,
    /// How to use what is on it.
    pub(crate) pictures: Vec<Picture>,
    /// When to stop.
    pub(crate) stop: String,
    /// What else to know, a line each.
    pub(crate) notes: Vec<String>,
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
        code: frame.code.is_some(),
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
    let mut layout = strips::lay_out(&marks, &choices);
    if layout.pages.is_empty() {
        return None;
    }
    let dropped = std::mem::take(&mut layout.not_printed);
    not_printed
        .extend((dropped.into_iter()).map(|strip| words.render(words::not_printed(words, strip))));
    if !not_printed.is_empty() {
        place_list(&mut layout, &not_printed);
    }
    letter(&mut layout, words, &frame);
    let labels = PageLabels::new(words);
    let headings = layout.pages.iter().map(|page| page.heading.width_mm);
    let heading_mm = headings.fold(f64::INFINITY, f64::min);
    let published_witness = work::has_witness_lines(procedure, limits);
    let notes = words::Notes {
        words,
        limits,
        practice: procedure.practice(),
        published_witness,
        choices: &choices,
    };
    Some(DepthMarksSheet {
        heading: Heading::new(&frame, &labels.title, heading_mm),
        labels,
        has_unconfirmed: marks.iter().any(|mark| mark.witness_text.verify),
        pages: (layout.pages.into_iter())
            .map(|page| MarksPage {
                name: words::name(words, &page),
                load: words::load(words, &page, &choices),
                pictures: notes.pictures(&page),
                stop: notes.stop(&page),
                notes: notes.lines(&page),
                page,
            })
            .collect(),
        not_printed,
        frame,
    })
}

/// Room for the list of sizes without a strip, below its heading.
fn place_list(layout: &mut Layout, not_printed: &[String]) {
    let rows = |text: &String| {
        (line_width(text, TABLE_PT).mm() / (LIST_MM - 8.0))
            .ceil()
            .max(1.0)
    };
    let rows: f64 = not_printed.iter().map(rows).sum();
    let height = LIST_PITCH_MM * (rows + 2.0);
    layout.place_list(Length::from_mm(LIST_MM), Length::from_mm(height));
}

/// Puts the print on every strip and gauge.
fn letter(layout: &mut Layout, words: &Clauses, frame: &Frame) {
    let identity = Identity {
        tag: (matches!(frame.status, "draft" | "withdrawn")).then(|| frame.status_line.clone()),
        number: frame.number.clone(),
        revision: format!(
            "{}\u{a0}{}",
            words.render(Clause::MarksRevision),
            frame.revision
        ),
        digest: format!("{} {}", frame.digest_label, frame.digest),
    };
    let strip_words = words::strip_words(words);
    let width = |text: &str, size: f64| line_width(text, size).mm();
    layout.letter(strips::Lettering {
        words: &strip_words,
        identity: &identity,
        width: &width,
    });
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
        let (witness, witness_text) = self.witness(joint, depth.value);
        Some(MarkInput {
            witness,
            witness_text,
            size: joint.size.to_string(),
            gauge: joint.gauge.clone(),
            depth: depth.value,
            depth_text: [
                format::with_unit(self.units, depth, Bound::Nominal),
                format::other_unit(self.units, depth, Bound::Nominal),
            ]
            .map(words::on_paper),
            pipe: (joint.mean_diameter.as_ref()).map(|mean| self.pipe(joint, mean.value)),
        })
    }

    /// How far past the depth mark the witness line is, and that in words. It is
    /// the published distance if there is one, because the procedure prints no
    /// other.
    fn witness(&self, joint: &Joint, depth: Length) -> (Length, WitnessText) {
        let published = work::witness_line(self.procedure, self.limits, joint.size);
        // A line short of the depth mark would be hidden; a rule reports a depth
        // that is deeper than its socket.
        match published.filter(|line| line.value > depth) {
            Some(line) => {
                let distance = format::with_unit(self.units, &line, Bound::Nominal);
                let text = self.words.render(Clause::MarksWitnessFromEnd {
                    distance: words::on_paper(distance),
                });
                let verify = line.needs_verifying();
                (line.value - depth, WitnessText { text, verify })
            }
            None => {
                let text = self.words.render(Clause::MarksWitness {
                    distance: words::witness_distance(self.units),
                });
                let verify = false;
                (strips::WITNESS, WitnessText { text, verify })
            }
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
            side.into_iter().map(|n| self.neighbor(*n)).collect()
        };
        let (laps, gaps): (Vec<String>, Vec<String>) = (side(false), side(true));
        let in_one =
            |side: &Vec<String>| line_width(&side.join("; "), TABLE_PT).mm() <= NEIGHBORS_MM;
        let narrow = laps.len().max(gaps.len()).max(1);
        PipeInput {
            diameter,
            check_lines: CheckLines {
                wide: if in_one(&laps) && in_one(&gaps) {
                    1
                } else {
                    narrow
                },
                narrow,
            },
            laps,
            gaps,
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
