//! The text of the depth marks: on strips and gauges, beside them, and why a
//! strip is not printed.

use serde::Serialize;

use crate::core::size::Size;
use crate::core::units::print::millimeters;
use crate::core::units::{Length, LengthUnit};
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::{format, practice};
use crate::process::socket::practice::Practice;
use crate::process::socket::sheets::strips;
use crate::process::socket::sheets::strips::{
    BAR_TOLERANCE, Choices, Correction, JOINT_SPAN, NotPrinted, Page, Part, Reason, Sheet,
    fold_allowance,
};
use crate::published::Library;

/// The bar whose error is checked; the inch bar is longer, so its relative error
/// is smaller.
const BAR: Length = Length::from_micrometers(100_000);

/// Labels of strips and gauges.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Labels {
    pub(crate) revision: String,
    pub(crate) gauge: String,
    /// Along the marking edge.
    pub(crate) mark: String,
    /// At the start edge.
    pub(crate) start: String,
    /// At the start edge of label stock.
    pub(crate) start_label: String,
    /// On the flap.
    pub(crate) fold: String,
    /// Along the end of label stock, which has no flap.
    pub(crate) flush: String,
    /// At the lap line.
    pub(crate) lap: String,
    /// On the tab of the first piece.
    pub(crate) joint: String,
    /// At the cut edge of the second piece.
    pub(crate) joint_edge: String,
    pub(crate) first: String,
    pub(crate) second: String,
    /// At the register ticks.
    pub(crate) register: String,
    /// On every strip and piece.
    pub(crate) take_off: String,
    /// On a stick gauge, along the edge that butts against the pipe.
    pub(crate) butt: String,
    /// On its lower arm.
    pub(crate) arm: String,
    /// Heading of the size check.
    pub(crate) check: String,
    /// Column of the strips in the size check.
    pub(crate) check_strip: String,
    /// Column of the smaller sizes.
    pub(crate) check_laps: String,
    /// Column of the larger sizes.
    pub(crate) check_gaps: String,
    pub(crate) print: String,
    /// Heading of the sizes without a strip.
    pub(crate) not_printed: String,
}

impl Labels {
    pub(crate) fn new(words: &Clauses) -> Self {
        let say = |clause| words.render(clause);
        Self {
            revision: say(Clause::MarksRevision),
            gauge: say(Clause::MarksGauge),
            mark: say(Clause::MarksMark),
            start: say(Clause::MarksStart),
            start_label: say(Clause::MarksStartLabel),
            fold: say(Clause::MarksFold),
            flush: say(Clause::MarksFlush),
            lap: say(Clause::MarksLap),
            joint: say(Clause::MarksJoint),
            joint_edge: say(Clause::MarksJointEdge),
            first: say(Clause::MarksFirst),
            second: say(Clause::MarksSecond),
            register: say(Clause::MarksRegister {
                span: format::millimeters_to(JOINT_SPAN, 0),
            }),
            take_off: say(Clause::MarksTakeOff),
            butt: say(Clause::MarksButt),
            arm: say(Clause::MarksArm),
            check: say(Clause::MarksCheck),
            check_strip: say(Clause::MarksCheckStrip),
            check_laps: say(Clause::MarksCheckLaps),
            check_gaps: say(Clause::MarksCheckGaps),
            print: say(Clause::MarksPrint),
            not_printed: say(Clause::MarksNotPrinted),
        }
    }
}

/// What the notes of a page are made from.
pub(crate) struct Notes<'a> {
    pub(crate) words: &'a Clauses,
    /// The published numbers, for the error of marker and paper.
    pub(crate) limits: &'a Library,
    /// Determines whose gauge governs.
    pub(crate) practice: &'static Practice,
    /// Whether a witness-line distance is published for the resin.
    pub(crate) published_witness: bool,
    /// Stock and printer.
    pub(crate) choices: &'a Choices,
    /// The greatest depth.
    pub(crate) deepest: Length,
    /// How far the lap moves.
    pub(crate) lap_movement: Option<Clause>,
}

impl Notes<'_> {
    /// The notes of a page; the first is about the bars.
    pub(crate) fn for_page(&self, page: &Page) -> Vec<String> {
        let tolerance = format::millimeters_to(BAR_TOLERANCE, 1);
        let depth_error = format::millimeters_to(self.deepest.scaled(bar_share(), 1000), 2);
        let bars = match self.choices.correction {
            None => Clause::MarksNoteBars {
                tolerance,
                depth_error,
            },
            Some(_) => Clause::MarksNoteBarsCorrected {
                tolerance,
                depth_error,
            },
        };
        let thickness = format::millimeters_to(self.choices.thickness, 2);
        let (gauges, labels) = (!page.gauges.is_empty(), self.choices.labels);
        let use_of_it: Vec<Clause> = if gauges {
            vec![
                Clause::MarksNoteGaugeCut,
                Clause::MarksNoteGaugeHold,
                if self.published_witness {
                    Clause::MarksNoteGaugeMarkWitness
                } else {
                    Clause::MarksNoteGaugeMark
                },
                Clause::MarksNoteGaugeWear,
            ]
        } else {
            let wrap = if labels {
                [
                    Clause::MarksNoteLabelCut,
                    Clause::MarksNoteLabelWrap { thickness },
                ]
            } else {
                let fold = format::millimeters_to(fold_allowance(self.choices.thickness), 2);
                let cut = Clause::MarksNoteCut {
                    fold,
                    thickness: thickness.clone(),
                };
                [cut, Clause::MarksNoteWrap { thickness }]
            };
            let in_pieces = page.strips.iter().any(|strip| strip.part != Part::Whole);
            let pieces = in_pieces.then(|| Clause::MarksNotePieces {
                span: format::millimeters_to(JOINT_SPAN, 1),
            });
            (wrap.into_iter().chain(pieces))
                .chain([Clause::MarksNoteSize])
                .chain(self.lap_movement.clone())
                .chain([if labels {
                    Clause::MarksNoteLabelMark
                } else if self.published_witness {
                    Clause::MarksNoteMarkWitness
                } else {
                    Clause::MarksNoteMark
                }])
                .collect()
        };
        let governs = practice::words(self.practice).depth_govern.clone();
        std::iter::once(bars)
            .chain(use_of_it)
            .chain(self.marking_accuracy())
            .chain([governs])
            .map(|note| self.words.render(note))
            .collect()
    }

    /// The accuracy of a marker line and paper.
    fn marking_accuracy(&self) -> Option<Clause> {
        let figure = |key: &str| {
            let figure = self.limits.entry(&format!("print:{key}:length"))?;
            Some(figure.length()?.value)
        };
        Some(Clause::MarksNoteHolds {
            least: figure("marker-line-least")?.number(LengthUnit::Millimeter, 1),
            most: millimeters(figure("marker-line-most")?),
        })
    }
}

/// How far the lap moves from the whole diameter tolerance and the error allowed
/// on a bar.
pub(crate) fn lap_movement(size: Size, tolerance: Length, mean: Length) -> Clause {
    Clause::MarksNoteTolerance {
        size: size.to_string(),
        tolerance: format::millimeters_to(tolerance, 2),
        moves: format::millimeters_to(tolerance.circumference(), 1),
        error: format::millimeters_to(mean.circumference().scaled(bar_share(), 1000), 1),
    }
}

/// The largest error allowed on a bar, in thousandths of its length.
fn bar_share() -> i64 {
    BAR_TOLERANCE.thousandths_of(BAR).unwrap_or_default()
}

/// Which printer a page is corrected for.
pub(crate) fn corrected(correction: Correction) -> Clause {
    Clause::MarksCorrected {
        x: millimeters(correction.x),
        y: millimeters(correction.y),
    }
}

/// A page's sizes.
pub(crate) fn name(words: &Clauses, page: &Page) -> String {
    let mut sizes: Vec<&str> = page.strips.iter().map(|s| s.size.as_str()).collect();
    sizes.dedup();
    if page.gauges.is_empty() {
        return sizes.join(", ");
    }
    let sizes: Vec<&str> = page.gauges.iter().map(|g| g.size.as_str()).collect();
    words.render(Clause::MarksGauges {
        sizes: sizes.join(", "),
    })
}

/// The paper to load for a page.
pub(crate) fn load(words: &Clauses, page: &Page, choices: &Choices) -> String {
    let paper = paper(words, page.sheet);
    words.render(if !page.gauges.is_empty() {
        Clause::MarksLoadCard { paper }
    } else if choices.labels {
        Clause::MarksLoadLabels { paper }
    } else {
        Clause::MarksLoad { paper }
    })
}

fn paper(words: &Clauses, sheet: Sheet) -> String {
    words.render(match sheet {
        Sheet::Letter => Clause::MarksPaperLetter,
        Sheet::Tabloid => Clause::MarksPaperTabloid,
        Sheet::A4 => Clause::MarksPaperA4,
        Sheet::A3 => Clause::MarksPaperA3,
    })
}

/// Why a strip is not printed.
pub(crate) fn not_printed(words: &Clauses, strip: NotPrinted) -> Clause {
    let size = strip.size;
    match strip.reason {
        Reason::TooLong {
            strip,
            longest,
            paper: sheet,
        } => Clause::MarksTooLong {
            size,
            strip: format::millimeters_to(strip, 1),
            longest: format::millimeters_to(longest, 1),
            paper: paper(words, sheet),
        },
        Reason::TooDeep {
            deepest,
            paper: sheet,
        } => Clause::MarksTooDeep {
            size,
            deepest: format::millimeters_to(deepest, 1),
            paper: paper(words, sheet),
        },
        Reason::TooShallow => Clause::MarksTooShallow {
            size,
            least: format::millimeters_to(strips::MIN_DEPTH, 1),
        },
        Reason::TooThin => Clause::MarksTooThin {
            size,
            least: format::millimeters_to(strips::MIN_WRAP, 1),
        },
    }
}

/// The witness distance in both units; no-break spaces keep each with its number
/// on a narrow tongue.
pub(crate) fn witness_distance() -> String {
    let (mm, inch) = (LengthUnit::Millimeter, LengthUnit::Inch);
    format!(
        "{}\u{a0}{} ({}\u{a0}{})",
        strips::WITNESS.number(mm, 0),
        mm.symbol(),
        strips::WITNESS.number(inch, 2),
        inch.symbol()
    )
}
