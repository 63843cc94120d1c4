//! The test sheet of a fuser: the specimen joints that one person makes by one
//! revision, what was measured and seen, and the result. It is filled in by hand and
//! typed into a roster as an entry. What no text asks for (how many joints, how they
//! are tested) is left to the examiner, and the sheet says so.

mod due;

use crate::process::socket::sheets::procedure::heater::stick_names;
use serde::Serialize;

use crate::core::size::Size;
use crate::core::units::{Range, Temperature};
use crate::papers::sheets::block::SignatureLabels;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::format;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::procedure::writer::Writer;
use crate::people::fusers::RuleSet;
use crate::procedure::resolve::{Joint, Procedure};
use crate::process::socket::sheets::joint_times::{self, Figure, JointTimes};
use crate::process::socket::sheets::steps::joint_steps;
use crate::published::{Basis, Library};
use crate::spec::FaceCheckMethod;
use due::Due;

/// Rows of a sheet with few sizes; the last are for a second try.
const ROWS: usize = 7;
/// What the rows of the table may take of the page, and their least height, in mm.
const ROWS_HEIGHT: f64 = 54.6;
const MIN_ROW: f64 = 7.6;
/// Room for a hand.
const BLANK: &str = "____";

#[derive(Debug, Clone, Serialize)]
pub(crate) struct TestSheet {
    pub(crate) frame: Frame,
    pub(crate) title: String,
    /// Four to a row; a value is absent if it is filled in by hand.
    pub(crate) fields: Vec<(String, Option<String>)>,
    pub(crate) reason: String,
    pub(crate) reasons: Vec<String>,
    pub(crate) joints: String,
    pub(crate) joints_lead: String,
    /// What the examiner asks for, to be written in.
    pub(crate) asked: String,
    pub(crate) columns: Vec<Head>,
    pub(crate) rows: Vec<Row>,
    pub(crate) row_mm: f64,
    /// The boxes to tick: visual, voids, failure.
    pub(crate) ticks: [[String; 2]; 3],
    /// What is asked of the joints, and where it stands.
    pub(crate) notes: Vec<Note>,
    pub(crate) watched: String,
    /// The steps, each with its number.
    pub(crate) steps: Vec<(usize, String)>,
    pub(crate) result: String,
    pub(crate) pass: String,
    pub(crate) fail: String,
    pub(crate) sizes_passed: String,
    pub(crate) sizes: Vec<String>,
    /// Who signs, and what for.
    pub(crate) signers: [(String, String); 2],
    pub(crate) labels: SignatureLabels,
    pub(crate) due: Due,
    /// What becomes of the sheet.
    pub(crate) entered: [String; 2],
    /// The legend of the verify mark, if a number has it.
    pub(crate) legend: Option<String>,
}

/// The head of a column: its name and the limits of this procedure.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Head {
    pub(crate) name: String,
    pub(crate) lines: Vec<String>,
    pub(crate) verify: bool,
}

/// A specimen joint.
#[derive(Debug, Clone, Default, Serialize)]
pub(crate) struct Row {
    pub(crate) size: Option<String>,
    /// Its wall, after the system where the sizes have several.
    pub(crate) wall: Option<String>,
    /// The heating time to aim for, and the longest.
    pub(crate) aim: Option<Figure>,
    pub(crate) max: Option<String>,
    /// In place of the rest while the depth is not measured.
    pub(crate) no_joint: Option<String>,
}

/// A line below the table.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct Note {
    pub(crate) text: String,
    pub(crate) verify: bool,
}

/// The sheet; `rule` says how long a passed test holds.
pub(crate) fn test_sheet(
    procedure: &Procedure,
    rule: Option<&RuleSet>,
    limits: &Library,
    mut frame: Frame,
) -> TestSheet {
    let words = frame.words.clone();
    let w = &Writer::new(procedure, limits, &words, frame.text_lang);
    let title = w.say(Clause::PaperTestSheet);
    frame.name_document(&title);
    let times = JointTimes::new(procedure, limits, &words);
    let (columns, rows) = (columns(w), rows(w, &times));
    let due = due::due(w, rule);
    let notes = notes(w);
    let steps = joint_steps(w).into_iter();
    let steps = steps.map(|step| (step.number, step.line));
    let mut aims = rows.iter().filter_map(|row| row.aim.as_ref());
    let verify = aims.any(|aim| aim.verify)
        || columns.iter().any(|head| head.verify)
        || notes.iter().any(|note| note.verify)
        || due.verify;
    TestSheet {
        fields: fields(w, &frame),
        reason: w.say(Clause::TestReason),
        reasons: reasons(w, rule),
        joints: w.say(Clause::TestJoints),
        joints_lead: w.say(Clause::TestJointsLead),
        asked: w.say(Clause::TestAsked),
        row_mm: (ROWS_HEIGHT / rows_as_length(rows.len())).max(MIN_ROW),
        columns,
        rows,
        ticks: [
            [Clause::LogGood, Clause::TestReject],
            [Clause::TestNone, Clause::TestSeen],
            [Clause::TestNone, Clause::TestFailed],
        ]
        .map(|pair| pair.map(|clause| w.say(clause))),
        notes,
        watched: w.say(Clause::TestWatched),
        steps: steps.collect(),
        result: w.say(Clause::TestResult),
        pass: w.say(Clause::TestPass),
        fail: w.say(Clause::TestFail),
        sizes_passed: w.say(Clause::TestSizesPassed),
        sizes: sizes(w),
        signers: [
            (Clause::TestFuser, Clause::TestFuserSays),
            (Clause::TestExaminer, Clause::TestExaminerSays),
        ]
        .map(|(role, says)| (w.say(role), w.say(says))),
        labels: SignatureLabels {
            name: w.say(Clause::LabelName),
            signature: w.say(Clause::LabelSignature),
            date: w.say(Clause::LabelDate),
        },
        due,
        entered: [Clause::TestOnRoster, Clause::TestCardIssued].map(|clause| w.say(clause)),
        legend: verify.then(|| frame.verify_legend.clone()),
        title,
        frame,
    }
}

/// A number of rows to divide by; no spec has more than `u16` can count.
fn rows_as_length(rows: usize) -> f64 {
    u16::try_from(rows).map_or(f64::from(u16::MAX), f64::from)
}

fn fields(w: &Writer, frame: &Frame) -> Vec<(String, Option<String>)> {
    let blank = |clause| (w.say(clause), None);
    let [check, checked] = face_check(w);
    vec![
        blank(Clause::TestName),
        blank(Clause::WalletBadge),
        blank(Clause::TestDate),
        blank(Clause::TestSheetNumber),
        blank(Clause::TestEmployer),
        (
            w.say(Clause::SubmittalFuserProcedure),
            Some(frame.number.clone()),
        ),
        (frame.revision_label.clone(), Some(frame.revision.clone())),
        (w.say(Clause::FactResin), Some(w.resin())),
        blank(Clause::TestPlace {
            unit: w.units().temperature_unit().symbol().to_owned(),
        }),
        blank(Clause::TestHeater),
        check,
        checked,
    ]
}

/// What the heater faces are checked with.
fn face_check(w: &Writer) -> [(String, Option<String>); 2] {
    let check = w.p.spec.heater.face_check.as_ref();
    match check.filter(|check| check.method.value != FaceCheckMethod::Pyrometer) {
        None => [
            (w.say(Clause::TestPyrometer), None),
            (w.say(Clause::TestCalibrated), None),
        ],
        Some(check) => {
            let (melts, solid) = stick_names(w, check);
            let (label, rated) = match check.method.value {
                FaceCheckMethod::TwoSticks => (Clause::TestSticks, format!("{melts}, {solid}")),
                _ => (Clause::TestStick, melts),
            };
            [
                (w.say(label), Some(rated)),
                (w.say(Clause::TestSticksLot), None),
            ]
        }
    }
}

/// Why the test is made, as far as the rule set knows the reason.
fn reasons(w: &Writer, rule: Option<&RuleSet>) -> Vec<String> {
    let lapse = due::lapse(w, rule);
    let clauses = [Clause::TestFirst, Clause::TestAgain].into_iter();
    clauses
        .chain(lapse)
        .chain([
            Clause::TestJointFailed,
            Clause::TestSpecimenFailed,
            Clause::TestNewRevision,
        ])
        .map(|clause| w.say(clause))
        .collect()
}

/// The numbers of a range of temperatures, for a narrow column: `490–510`.
fn numbers(w: &Writer, range: Range<Temperature>) -> String {
    let units = w.units();
    let shown = format::temperature_range(units, range, "\u{2013}");
    let symbol = units.temperature_unit().symbol();
    shown
        .replace(symbol, "")
        .replace(" \u{2013} ", "\u{2013}")
        .trim()
        .to_owned()
}

fn columns(w: &Writer) -> Vec<Head> {
    let degree = w.units().temperature_unit().symbol().to_owned();
    let head = |name, lines: Vec<String>| Head {
        name: w.say(name),
        lines: lines.into_iter().filter(|line| !line.is_empty()).collect(),
        verify: false,
    };
    let window = w.p.window.as_ref();
    // A stick gives no reading.
    let sticks = match w
        .p
        .spec
        .heater
        .face_check
        .as_ref()
        .map(|check| check.method.value)
    {
        Some(FaceCheckMethod::Stick) => Some(Clause::TestFaceStick),
        Some(FaceCheckMethod::TwoSticks) => Some(Clause::TestFaceSticks),
        Some(FaceCheckMethod::Pyrometer) | None => None,
    };
    let face = |name| match &sticks {
        Some(checked) => head(name, vec![w.say(checked.clone())]),
        None => Head {
            verify: window.is_some_and(|window| window.needs_verifying()),
            ..head(
                name,
                vec![
                    w.say(Clause::TestFace {
                        unit: degree.clone(),
                    }),
                    window.map_or_else(String::new, |window| numbers(w, window.value)),
                ],
            )
        },
    };
    let pipe = w.p.spec.pipe_temperature.as_ref();
    let words = &w.practice_words().test_sheet;
    let least = w.is_gas().then(|| straps(w)).flatten();
    vec![
        head(Clause::TestNumber, vec![]),
        head(
            Clause::ColumnSize,
            vec![one_system(w).unwrap_or_default().to_owned()],
        ),
        head(Clause::TestAim, vec![w.say(Clause::TestAimLine)]),
        head(Clause::TestFitting, vec![w.say(Clause::TestFittingLine)]),
        head(Clause::TestUsed, vec![w.say(Clause::TestUsedLine)]),
        head(
            Clause::TestPipe,
            vec![
                degree.clone(),
                pipe.map_or_else(String::new, |pipe| numbers(w, pipe.value)),
            ],
        ),
        face(Clause::TestFemale),
        face(Clause::TestMale),
        head(Clause::TestVisual, vec![w.say(Clause::TestVisualLine)]),
        head(
            words.pieces.clone(),
            vec![
                w.say(Clause::TestCut),
                least.map_or_else(String::new, |count| w.say(Clause::TestAtLeast { count })),
            ],
        ),
        head(Clause::TestVoids, vec![w.say(Clause::TestVoidsLine)]),
        head(words.broken.clone(), vec![w.say(Clause::TestBrokenLine)]),
    ]
}

/// How many straps the regulation asks for.
fn straps(w: &Writer) -> Option<String> {
    let entry = w.limits.entry("record-criteria:straps:straps")?;
    Some(entry.text()?.to_owned())
}

/// What the sizes are counted in, if it is the same for all.
fn one_system(w: &Writer) -> Option<&'static str> {
    let first = w.p.joints.first()?.size.system();
    let mut systems = w.p.joints.iter().map(|joint| joint.size.system());
    systems
        .all(|system| system == first)
        .then(|| format::system(first))
}

/// A size as the sheet writes it; the system stands in the head if there is only one.
fn size(w: &Writer, size: Size) -> String {
    match one_system(w) {
        Some(_) => size.nominal(),
        None => size.to_string(),
    }
}

fn sizes(w: &Writer) -> Vec<String> {
    let joined = w.p.sizes().filter(|joint| joint.depth.known().is_some());
    joined.map(|joint| size(w, joint.size)).collect()
}

/// A row for each joint of the procedure, and blank ones for a second try where the
/// page has room.
fn rows(w: &Writer, times: &JointTimes) -> Vec<Row> {
    let joints = w.p.joints.iter().zip(&times.rows);
    let mut rows: Vec<_> = joints.map(|(joint, times)| row(w, joint, times)).collect();
    rows.resize_with(ROWS.max(rows.len()), Row::default);
    rows
}

fn row(w: &Writer, joint: &Joint, row: &joint_times::Row) -> Row {
    let figure = row.times.as_ref().map(|times| &times.heat);
    let max = row.times.as_ref().and_then(|times| times.max.as_ref());
    let seconds = |max: &Figure| {
        w.say(Clause::TestMax {
            seconds: max.text.clone(),
        })
    };
    // Where the sizes have several systems, each names its own.
    let system = one_system(w).is_none().then(|| row.system.clone());
    let below: Vec<_> = system.into_iter().chain(wall(w, joint)).collect();
    Row {
        size: Some(row.size.clone()),
        wall: (!below.is_empty()).then(|| below.join(" ")),
        aim: figure.cloned(),
        max: max.map(seconds),
        no_joint: row.no_joint.as_ref().map(|words| words.join(" ")),
    }
}

/// The wall of a size, or room to write in which of several the joint has.
fn wall(w: &Writer, joint: &Joint) -> Option<String> {
    let mut walls = joint.pipes.iter().map(|pipe| pipe.label.name(w.units()));
    let first = walls.next()?;
    if walls.next().is_none() {
        return Some(first);
    }
    Some(match first.split_once(' ') {
        Some((ratio, _)) if ratio.ends_with("DR") => format!("{ratio} {BLANK}"),
        _ => BLANK.to_owned(),
    })
}

/// What is asked of the joints. Without a published rule the examiner decides.
fn notes(w: &Writer) -> Vec<Note> {
    let plain = |clause| Note {
        text: w.say(clause),
        verify: false,
    };
    let stated = |id: &str| {
        let entry = w.limits.entry(id)?;
        Some(Note {
            text: w.say(Clause::RecordCriterionWithSource {
                text: w.words.statement(entry)?.to_owned(),
                source: w.words.source(&entry.source),
            }),
            verify: entry.basis >= Basis::Recalled,
        })
    };
    let mut notes = Vec::new();
    if w.is_gas() {
        notes.extend(stated("joint-tests:straps:text"));
        notes.push(plain(Clause::TestCountGas));
        let smaller = w.limits.entry("fuser-rules:smaller-size:text");
        notes.extend(smaller.map(|entry| {
            plain(Clause::TestSmaller {
                source: w.words.source(&entry.source),
            })
        }));
    } else {
        notes.push(plain(Clause::TestCountOpen));
        let outside = w.limits.statements("acceptance-rules", &w.p.work());
        let outside = outside
            .iter()
            .filter(|entry| entry.id.contains("failure-outside"));
        notes.extend(outside.filter_map(|entry| stated(&entry.id)));
    }
    notes
}
