//! Data of the parts of the procedure that have a drawing of their own, each in
//! the file of its kind under `templates/procedure`: what is safe, what to bring,
//! the heater, the pipe, special joints, and work outdoors. Positions on a scale
//! are thousandths of its length.

use serde::Serialize;

use super::cell::Cell;
use crate::core::units::LengthUnit;

/// Running text, cut behind each number so that the mark of an unconfirmed one
/// can stand there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Run {
    pub(crate) text: String,
    /// Whether the mark follows.
    pub(crate) verify: bool,
}

/// Cuts `text` behind `number` and sets the mark there; at the end of a text that
/// does not have the number.
pub(crate) fn runs(text: &str, number: &str, verify: bool) -> Vec<Run> {
    let run = |text: &str, verify| Run {
        text: text.to_owned(),
        verify,
    };
    if !verify {
        return vec![run(text, false)];
    }
    match text.split_once(number) {
        Some((before, after)) => {
            vec![run(&format!("{before}{number}"), true), run(after, false)]
        }
        None => vec![run(text, true)],
    }
}

/// The safety panels, most severe first, and who may stop the work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct SafetyPanels {
    pub(crate) panels: Vec<SafetyPanel>,
    pub(crate) stop: StopBox,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct SafetyPanel {
    /// The signal word's key in the tables, which gives its severity.
    pub(crate) signal: String,
    /// The signal word as printed.
    pub(crate) word: String,
    pub(crate) hazard: String,
    pub(crate) result: String,
    pub(crate) action: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct StopBox {
    pub(crate) word: String,
    pub(crate) title: String,
    pub(crate) text: String,
}

/// The kit to tick off before the first joint of the day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct KitCheck {
    pub(crate) items: Vec<KitLine>,
    /// The columns of the table by size, the first of which is the size.
    pub(crate) columns: Vec<String>,
    pub(crate) rows: Vec<KitRow>,
    pub(crate) note: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct KitLine {
    pub(crate) name: String,
    /// What is looked at.
    pub(crate) check: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct KitRow {
    pub(crate) size: String,
    /// A box to tick for each column behind the size, with the mark on the tool;
    /// `None` where the size needs none.
    pub(crate) boxes: Vec<Option<String>>,
}

/// The heater: where its faces are, what temperature they must have, and how that
/// is checked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct HeaterCheck {
    pub(crate) alt: String,
    /// The name of each adapter, and what it heats.
    pub(crate) female: [String; 2],
    pub(crate) male: [String; 2],
    pub(crate) plate: String,
    /// What is done at the faces, and beside them if sticks are used.
    pub(crate) face: String,
    pub(crate) beside: Option<String>,
    /// The window of both faces.
    pub(crate) window: Option<Cell>,
    pub(crate) scale: Option<FaceScale>,
    /// The settings, each with its label.
    pub(crate) facts: Vec<(String, Cell)>,
    pub(crate) when: TitledList,
    pub(crate) how: TitledText,
    pub(crate) stop: StopBox,
}

/// The window of the faces and where they are within it, on one scale.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct FaceScale {
    pub(crate) title: String,
    pub(crate) unit: String,
    pub(crate) alt: String,
    pub(crate) window: ScaleBand,
    /// The face over the swing, and with the accuracy of the check.
    pub(crate) bands: Vec<ScaleBand>,
    pub(crate) ticks: Vec<ScaleTick>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ScaleBand {
    pub(crate) from: i64,
    pub(crate) to: i64,
    pub(crate) range: Cell,
    pub(crate) label: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ScaleTick {
    pub(crate) at: i64,
    pub(crate) first: String,
    pub(crate) other: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct TitledList {
    pub(crate) title: String,
    pub(crate) items: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct TitledText {
    pub(crate) title: String,
    pub(crate) text: String,
}

/// A pipe with its print line, and what each part of it must read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct PrintLine {
    pub(crate) alt: String,
    pub(crate) parts: Vec<PrintPart>,
    /// What holds for every print line.
    pub(crate) rules: String,
    /// What may be joined to what; the first is emphasized.
    pub(crate) joined: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct PrintPart {
    /// As printed on the pipe.
    pub(crate) sample: String,
    pub(crate) name: String,
    pub(crate) text: String,
}

/// The pipe by size: outside diameters to measure, and the walls.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct PipeDimensions {
    pub(crate) unit: LengthUnitName,
    pub(crate) heads: DimensionHeads,
    pub(crate) sizes: Vec<SizeDimensions>,
    pub(crate) notes: Vec<String>,
}

/// The unit that comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum LengthUnitName {
    Inch,
    Millimeter,
}

impl From<LengthUnit> for LengthUnitName {
    fn from(unit: LengthUnit) -> Self {
        match unit {
            LengthUnit::Inch => Self::Inch,
            LengthUnit::Millimeter => Self::Millimeter,
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct DimensionHeads {
    pub(crate) size: String,
    pub(crate) nominal: [String; 2],
    /// Least and greatest mean diameter.
    pub(crate) least: [String; 2],
    pub(crate) greatest: [String; 2],
    /// Greatest minus least diameter of one section, if the practice limits it.
    pub(crate) out_of_round: Option<[String; 2]>,
    pub(crate) wall: String,
    pub(crate) least_wall: [String; 2],
    pub(crate) over: Option<[String; 2]>,
    pub(crate) inside: [String; 2],
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct SizeDimensions {
    pub(crate) size: String,
    pub(crate) nominal: Cell,
    pub(crate) least: Cell,
    pub(crate) greatest: Cell,
    pub(crate) out_of_round: Option<Cell>,
    pub(crate) walls: Vec<WallDimensions>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct WallDimensions {
    pub(crate) name: String,
    pub(crate) least: Cell,
    pub(crate) over: Option<Cell>,
    pub(crate) inside: Cell,
}

/// What helps and hinders outdoors, each with a picture.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct FieldWork {
    pub(crate) cells: Vec<FieldCell>,
    /// Whether the words stand without their pictures.
    pub(crate) compact: bool,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct FieldCell {
    pub(crate) picture: FieldPicture,
    pub(crate) alt: String,
    pub(crate) head: String,
    pub(crate) text: Vec<Run>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum FieldPicture {
    Coil,
    CoilEnd,
    Wind,
    Rain,
    Sun,
    Trench,
}

/// What can go wrong in the middle of a joint, and what is done then.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Abnormal {
    pub(crate) cases: Vec<AbnormalCase>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct AbnormalCase {
    pub(crate) case: String,
    pub(crate) action: String,
}

/// What is done at which temperature of the pipe, from cold to hot.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct PipeTemperature {
    pub(crate) bands: Vec<PipeBand>,
    pub(crate) note: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct PipeBand {
    pub(crate) kind: PipeBandKind,
    /// `20 to below 40 °F`, with the mark of its numbers.
    pub(crate) range: Cell,
    pub(crate) order: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum PipeBandKind {
    Stop,
    Trial,
    Heat,
}

/// How the heating time of a cold day is found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct TrialJoints {
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) steps: Vec<TrialStep>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct TrialStep {
    pub(crate) letter: String,
    pub(crate) head: Vec<Run>,
    pub(crate) text: Vec<Run>,
}

/// A form for the heating times of a cold day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ColdForm {
    pub(crate) title: String,
    pub(crate) lead: String,
    pub(crate) date: String,
    pub(crate) heads: ColdHeads,
    pub(crate) rows: Vec<ColdRow>,
    /// Rules for the cold; the first is emphasized.
    pub(crate) rules: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ColdHeads {
    pub(crate) size: String,
    pub(crate) pipe: [String; 2],
    pub(crate) first: [String; 2],
    /// `+3`, three times; `None` if no step is stated.
    pub(crate) step: Option<[String; 2]>,
    pub(crate) cold: [String; 2],
    pub(crate) strap: String,
    pub(crate) fuser: String,
    pub(crate) pass: String,
    pub(crate) fail: String,
    pub(crate) not_required: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ColdRow {
    pub(crate) size: String,
    /// The time of the first trial, or that there is no joint.
    pub(crate) first: Cell,
    /// Whether there is a time to write at all.
    pub(crate) joined: bool,
    /// Whether the new time is proved by a strap test.
    pub(crate) strap: bool,
}

/// Reducers: a picture, the rules, and both ends of each.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ReducerTable {
    pub(crate) alt: String,
    /// The sizes of the ends drawn, and what is said under each.
    pub(crate) ends: [ReducerEnd; 2],
    /// Whether a cold ring sets the depth, and not a mark.
    pub(crate) ring: bool,
    pub(crate) rules: Vec<Rule>,
    pub(crate) heads: Vec<[String; 2]>,
    /// Which columns are emphasized: those of heating and hold.
    pub(crate) strong: Vec<usize>,
    pub(crate) rows: Vec<ReducerRow>,
    /// The black bar: words, number, and mark.
    pub(crate) bar: Vec<BarCell>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ReducerEnd {
    pub(crate) size: String,
    pub(crate) note: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ReducerRow {
    /// The fitting, at its first end.
    pub(crate) fitting: Option<String>,
    pub(crate) cells: Vec<Cell>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct BarCell {
    pub(crate) words: String,
    pub(crate) number: String,
    pub(crate) mark: bool,
}

/// What to do, and why or how.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Rule {
    pub(crate) order: Vec<Run>,
    pub(crate) detail: String,
}

/// Threaded transitions: a picture with two wrenches, and the rules.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct ThreadedTransition {
    pub(crate) alt: String,
    pub(crate) hold: [String; 2],
    pub(crate) turn: [String; 2],
    pub(crate) never: String,
    pub(crate) ring: bool,
    pub(crate) rules: Vec<Rule>,
}

/// Spigot ends: one drawn to scale, the rules, and a table of those on hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct SpigotEnds {
    pub(crate) drawing: Option<SpigotDrawing>,
    pub(crate) rules: Vec<Rule>,
    pub(crate) heads: Vec<[String; 2]>,
    pub(crate) rows: Vec<Vec<Cell>>,
    /// The sizes that are not measured, and what to do about them.
    pub(crate) open: Option<[String; 2]>,
}

/// Lengths in micrometers at full size; radii likewise.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct SpigotDrawing {
    pub(crate) alt: String,
    pub(crate) size: String,
    pub(crate) straight: i64,
    pub(crate) depth: i64,
    /// Width of the cold ring, if it is known.
    pub(crate) ring: Option<i64>,
    pub(crate) radius: i64,
    pub(crate) wall: i64,
    pub(crate) straight_label: String,
    pub(crate) depth_label: String,
    pub(crate) ring_label: Option<String>,
}

/// Pipe and fitting that are heated for different times, as one sequence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct UnlikePairs {
    /// The two resins, if they differ.
    pub(crate) resins: Option<String>,
    pub(crate) heads: Vec<[String; 2]>,
    pub(crate) rows: Vec<Vec<Cell>>,
    pub(crate) rules: Vec<Rule>,
    pub(crate) note: String,
}
