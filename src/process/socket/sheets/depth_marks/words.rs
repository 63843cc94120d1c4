//! The text of the depth marks: on strips and gauges, beside them, and why a
//! strip is not printed.

use serde::Serialize;

use crate::core::units::LengthUnit;
use crate::core::units::print::{UnitsFirst, millimeters};
use crate::papers::fonts::line_width;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::{format, practice};
use crate::process::socket::practice::Practice;
use crate::process::socket::sheets::strips;
use crate::process::socket::sheets::strips::{
    BAR_TOLERANCE, Choices, Correction, JOINT_SPAN, NotPrinted, Page, Part, Reason, Sheet,
    StripWords, fold_allowance,
};
use crate::published::Library;

/// The most room for the number of the procedure in the heading.
const NUMBER_MM: f64 = 60.0;

/// The words of a page beside the strips.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct PageLabels {
    pub(crate) title: String,
    /// Heading of the size check.
    pub(crate) check: String,
    /// Column of the strips in the size check.
    pub(crate) check_strip: String,
    /// Column of the smaller sizes.
    pub(crate) check_laps: String,
    /// Column of the larger sizes.
    pub(crate) check_gaps: String,
    /// Heading of the sizes without a strip.
    pub(crate) not_printed: String,
}

impl PageLabels {
    pub(crate) fn new(words: &Clauses) -> Self {
        let say = |clause| words.render(clause);
        Self {
            title: say(Clause::PaperDepthMarks),
            check: say(Clause::MarksCheck),
            check_strip: say(Clause::MarksCheckStrip),
            check_laps: say(Clause::MarksCheckLaps),
            check_gaps: say(Clause::MarksCheckGaps),
            not_printed: say(Clause::MarksNotPrinted),
        }
    }
}

/// Names in the heading, cut to their room.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Heading {
    pub(crate) organization: String,
    pub(crate) number: String,
}

impl Heading {
    /// Names for a heading this wide: `title`, then the organization; at the right
    /// the number with revision, date, and status.
    pub(crate) fn new(frame: &Frame, title: &str, width_mm: f64) -> Self {
        let wide = |text: &str, size| line_width(text, size).mm();
        let number = cut(&frame.number, 9.0, NUMBER_MM);
        let dated = format!(
            "{number}, {} {}, {}",
            frame.revision_label, frame.revision, frame.date
        );
        // Around the status tag, and between the parts.
        let taken = wide(title, 16.0)
            + wide(&dated, 9.0)
            + frame.tag.as_ref().map_or(0.0, |tag| wide(tag, 9.0))
            + 20.0;
        Self {
            organization: cut(&frame.organization, 9.0, (width_mm - taken).max(0.0)),
            number,
        }
    }
}

/// The beginning of a text that the room holds.
fn cut(text: &str, size_pt: f64, room_mm: f64) -> String {
    let fits = |text: &str| line_width(text, size_pt).mm() <= room_mm;
    if fits(text) {
        return text.to_owned();
    }
    let letters: Vec<char> = text.chars().collect();
    let beginning = |count: usize| {
        let some: String = letters.iter().take(count).collect();
        format!("{}…", some.trim_end())
    };
    let longest = (0..letters.len())
        .rev()
        .map(beginning)
        .find(|cut| fits(cut));
    longest.unwrap_or_default()
}

/// The words on strips and gauges.
pub(crate) fn strip_words(words: &Clauses) -> StripWords {
    let say = |clause| words.render(clause);
    StripWords {
        gauge: say(Clause::MarksGauge),
        mark: say(Clause::MarksMark),
        under: say(Clause::MarksUnder),
        meets: say(Clause::MarksMeets),
        this_edge: say(Clause::MarksThisEdge),
        peel: say(Clause::MarksPeel),
        fold: say(Clause::MarksFold),
        flush: say(Clause::MarksFlush),
        joint: say(Clause::MarksJoint),
        first: say(Clause::MarksFirst),
        second: say(Clause::MarksSecond),
        register: say(Clause::MarksRegister {
            span: format::millimeters_to(JOINT_SPAN, 0),
        }),
        remove: say(Clause::MarksRemove),
        butt: say(Clause::MarksButt),
        arm: say(Clause::MarksArm),
    }
}

/// A step of using what is on a page.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Picture {
    /// The drawing.
    pub(crate) kind: &'static str,
    /// What to do, in at most eight words, the first in capitals.
    pub(crate) text: String,
}

/// What the words of a page depend on.
pub(crate) struct Notes<'a> {
    pub(crate) words: &'a Clauses,
    /// The published numbers, for the width of a marker line.
    pub(crate) limits: &'a Library,
    /// Determines whose depth governs.
    pub(crate) practice: &'static Practice,
    /// Whether a witness-line distance is published for the resin.
    pub(crate) published_witness: bool,
    /// Stock and printer.
    pub(crate) choices: &'a Choices,
}

impl Notes<'_> {
    /// How to use what is on a page, in four pictures.
    pub(crate) fn pictures(&self, page: &Page) -> Vec<Picture> {
        let steps = if !page.gauges.is_empty() {
            [
                ("gauge-cut", Clause::MarksGaugeCut),
                ("gauge-butt", Clause::MarksGaugeButt),
                ("gauge-mark", Clause::MarksGaugeMark),
                ("gauge-turn", Clause::MarksGaugeTurn),
            ]
        } else if self.choices.labels {
            [
                ("label-cut", Clause::MarksLabelCut),
                ("label-set", Clause::MarksLabelSet),
                ("wrap", Clause::MarksWrap),
                ("label-mark", Clause::MarksLabelMark),
            ]
        } else if self.published_witness {
            [
                ("cut", Clause::MarksCut),
                ("fold", Clause::MarksFoldIt),
                ("wrap", Clause::MarksWrap),
                ("mark-edges", Clause::MarksMarkEdges),
            ]
        } else {
            [
                ("cut", Clause::MarksCut),
                ("fold", Clause::MarksFoldIt),
                ("wrap", Clause::MarksWrap),
                ("mark", Clause::MarksMarkTongue),
            ]
        };
        steps
            .map(|(kind, text)| Picture {
                kind,
                text: self.words.render(text),
            })
            .into()
    }

    /// When to stop.
    pub(crate) fn stop(&self, page: &Page) -> String {
        self.words.render(if page.gauges.is_empty() {
            Clause::MarksStop
        } else {
            Clause::MarksGaugeStop
        })
    }

    /// What else to know, a line each.
    pub(crate) fn lines(&self, page: &Page) -> Vec<String> {
        let (gauges, labels) = (!page.gauges.is_empty(), self.choices.labels);
        let thickness = format::millimeters_to(self.choices.thickness, 2);
        let tolerance = format::millimeters_to(BAR_TOLERANCE, 1);
        let stock = if gauges {
            None
        } else if labels {
            Some(Clause::MarksNoteLabel { thickness })
        } else {
            let fold = format::millimeters_to(fold_allowance(self.choices.thickness), 2);
            Some(Clause::MarksNoteStock { thickness, fold })
        };
        let in_pieces = page.strips.iter().any(|strip| strip.part != Part::Whole);
        let pieces = in_pieces.then(|| Clause::MarksNotePieces {
            span: format::millimeters_to(JOINT_SPAN, 1),
        });
        let bars = match self.choices.correction {
            None => Clause::MarksNoteBars { tolerance },
            Some(_) => Clause::MarksNoteBarsCorrected { tolerance },
        };
        let governs = practice::words(self.practice).depth_govern.clone();
        let own = if self.published_witness && (gauges || !labels) {
            Clause::MarksNotePublished
        } else {
            Clause::MarksNoteOwn
        };
        let lap = (!gauges).then_some(Clause::MarksNoteLap);
        (pieces.into_iter())
            .chain([governs, bars])
            .chain(self.choices.correction.map(corrected))
            .chain(stock)
            .chain(lap)
            .chain(self.marker_line())
            .chain([own])
            .map(|note| self.words.render(note))
            .collect()
    }

    /// The width of a marker line.
    fn marker_line(&self) -> Option<Clause> {
        let figure = |key: &str| {
            let figure = self.limits.entry(&format!("print:{key}:length"))?;
            Some(figure.length()?.value)
        };
        Some(Clause::MarksNoteMarker {
            least: figure("marker-line-least")?.number(LengthUnit::Millimeter, 1),
            most: millimeters(figure("marker-line-most")?),
        })
    }
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

/// The witness distance, in the practice's unit first; no-break spaces keep each
/// unit with its number on a narrow tongue.
pub(crate) fn witness_distance(units: UnitsFirst) -> String {
    let (mm, inch) = (LengthUnit::Millimeter, LengthUnit::Inch);
    let metric = format!("{} {}", strips::WITNESS.number(mm, 0), mm.symbol());
    let inches = format!("{} {}", strips::WITNESS.number(inch, 2), inch.symbol());
    let [first, other] = match units {
        UnitsFirst::Us => [inches, metric],
        UnitsFirst::Metric => [metric, inches],
    }
    .map(on_paper);
    format!("{first} ({other})")
}

/// A length as the strips print it: the unit tied to its number, and inches with
/// their period.
pub(crate) fn on_paper(length: String) -> String {
    let inch = LengthUnit::Inch.symbol();
    let tied = length.replace(' ', "\u{a0}");
    if tied.ends_with(inch) {
        tied + "."
    } else {
        tied
    }
}
