//! The qualification record form: one column per test joint, either blank or
//! filled in from a record file with the result of each test.

mod testing;

use serde::Serialize;

use crate::core::units::print::{UnitsFirst, marked};
use crate::papers::sheets::block::SignatureLabels;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::clauses::Clauses;
use crate::papers::sheets::format;
use crate::papers::sheets::frame::Frame;
use crate::procedure::record::{JudgedJoint, label, support};
use crate::procedure::resolve::Procedure;
use crate::published::Library;
use crate::spec::record::{Partner, Record, TestFigures, TestJoint, Witnessed};

/// Columns of a blank form, wide enough for handwriting.
const BLANK_COLUMNS: usize = 4;
/// Most columns of a filled-in form.
const MAX_COLUMNS: usize = 5;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct RecordSheet {
    pub(crate) frame: Frame,
    pub(crate) title: String,
    /// Whether it is filled in by hand.
    pub(crate) blank: bool,
    /// How to fill it in, or what it was printed from.
    pub(crate) intro: Vec<String>,
    /// Facts stated once; a value is absent if it is filled in by hand.
    pub(crate) facts: Vec<(String, Option<String>)>,
    /// The word "joint".
    pub(crate) joint: String,
    /// Heading of the tests.
    pub(crate) tests_title: String,
    /// The joints, some per sheet.
    pub(crate) parts: Vec<RecordPart>,
    /// Who signs.
    pub(crate) signers: Vec<String>,
    /// Labels of the signature lines.
    pub(crate) labels: SignatureLabels,
}

/// The joints of one sheet.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct RecordPart {
    /// Their IDs; empty on a blank form.
    pub(crate) joints: Vec<String>,
    pub(crate) making: RecordGroup,
    pub(crate) tests: Vec<RecordGroup>,
}

/// Rows under a heading.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct RecordGroup {
    pub(crate) title: String,
    /// The criterion.
    pub(crate) note: Option<String>,
    pub(crate) rows: Vec<RecordRow>,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct RecordRow {
    pub(crate) label: String,
    /// What the procedure calls for.
    pub(crate) hint: Option<String>,
    /// One cell per joint.
    pub(crate) cells: Vec<String>,
    /// Whether the program, not a person, determined it.
    pub(crate) judged: bool,
}

/// The record form; blank without a record. The record is the procedure's first.
pub(crate) fn record(
    procedure: &Procedure,
    filled: bool,
    limits: &Library,
    mut frame: Frame,
) -> RecordSheet {
    let words = frame.words.clone();
    let form = Form {
        procedure,
        limits,
        words: &words,
        units: procedure.practice().units,
    };
    let title = form.say(Clause::PaperRecord);
    frame.name_document(&title);
    let named = procedure.records.first().filter(|_| filled);
    let support = support(procedure, limits);
    let parts = match named {
        None => vec![form.part(&[None; BLANK_COLUMNS], &[])],
        Some(named) => {
            let of_record = |joint: &&JudgedJoint<'_>| joint.record_file.file == named.file;
            let joints: Vec<_> = support.joints.iter().filter(of_record).map(Some).collect();
            joints
                .chunks(MAX_COLUMNS)
                .map(|some| form.part(some, &joints))
                .collect()
        }
    };
    RecordSheet {
        title,
        blank: named.is_none(),
        intro: [
            Some(Clause::RecordHead),
            named.map(|_| Clause::RecordJudged),
        ]
        .into_iter()
        .flatten()
        .map(|clause| form.say(clause))
        .collect(),
        facts: form.facts(named.map(|named| &named.record), &frame),
        joint: form.say(Clause::RecordJoint),
        tests_title: form.say(Clause::RecordTests),
        parts,
        signers: vec![
            form.say(Clause::RecordWitness),
            form.say(Clause::RecordLaboratory),
        ],
        labels: SignatureLabels {
            name: form.say(Clause::LabelName),
            signature: form.say(Clause::LabelSignature),
            date: form.say(Clause::LabelDate),
        },
        frame,
    }
}

/// The word for a kind of test.
pub(crate) fn test_name(figures: &TestFigures) -> Clause {
    match figures {
        TestFigures::Straps(_) => Clause::TestStraps,
        TestFigures::Tensile(_) => Clause::TestTensile,
        TestFigures::Burst(_) => Clause::TestBurst,
        TestFigures::Sustained(_) => Clause::TestSustained,
        TestFigures::Crush(_) => Clause::TestCrush,
    }
}

/// What a form is made from.
struct Form<'a> {
    procedure: &'a Procedure<'a>,
    limits: &'a Library,
    words: &'a Clauses,
    units: UnitsFirst,
}

/// A joint of a filled-in form; `None` on a blank one.
type Column<'j> = Option<&'j JudgedJoint<'j>>;

impl Form<'_> {
    fn say(&self, clause: Clause) -> String {
        self.words.render(clause)
    }

    fn facts(&self, record: Option<&Record>, frame: &Frame) -> Vec<(String, Option<String>)> {
        let of = |value: fn(&Record) -> String| record.map(value);
        let procedure = self.say(Clause::RecordProcedureOf {
            number: record.map_or_else(|| frame.number.clone(), |r| r.procedure.value.clone()),
            revision: record
                .map_or_else(|| frame.revision.clone(), |r| r.revision.value.to_string()),
        });
        vec![
            (
                self.say(Clause::RecordNumber),
                of(|r| r.number.value.clone()),
            ),
            (
                self.say(Clause::LabelDate),
                of(|r| r.date.value.to_string()),
            ),
            (self.say(Clause::RecordProcedure), Some(procedure)),
            (
                self.say(Clause::ColumnResin),
                Some(self.procedure.spec.resin.value.clone()),
            ),
            (
                self.say(Clause::RecordLaboratory),
                of(|r| r.laboratory.value.clone()),
            ),
            (
                self.say(Clause::RecordWitness),
                of(|r| r.witness.value.clone()),
            ),
        ]
    }

    /// One sheet of a record's joints; it shows the kinds of test that any joint
    /// had.
    fn part(&self, columns: &[Column<'_>], all: &[Column<'_>]) -> RecordPart {
        let id =
            |column: &Column<'_>| column.map_or_else(String::new, |j| j.joint.id.value.clone());
        let (mut making, mut tests) = (self.making(columns), self.tests(columns, all));
        if !all.is_empty() {
            // What no joint of a record states has no row: an empty one looks forgotten.
            for group in tests.iter_mut().chain([&mut making]) {
                group
                    .rows
                    .retain(|row| row.cells.iter().any(|cell| !cell.is_empty()));
            }
        }
        RecordPart {
            joints: columns.iter().map(id).collect(),
            making,
            tests,
        }
    }

    fn row(
        &self,
        label: Clause,
        columns: &[Column<'_>],
        shown: impl Fn(&TestJoint) -> String,
    ) -> RecordRow {
        let cell = |column: &Column<'_>| column.map_or_else(String::new, |j| shown(j.joint));
        RecordRow {
            label: self.say(label),
            hint: None,
            cells: columns.iter().map(cell).collect(),
            judged: false,
        }
    }

    fn making(&self, columns: &[Column<'_>]) -> RecordGroup {
        let row = |label, shown: &dyn Fn(&TestJoint) -> String| self.row(label, columns, shown);
        let part =
            |part: &crate::spec::record::Part| format!("{}, {}", part.maker.value, part.lot.value);
        let to = self.say(Clause::To);
        let range = |range| format::temperature_range(self.units, range, &to);
        let window = self
            .procedure
            .window
            .as_ref()
            .map(|window| range(window.value));
        let pipe = self.procedure.spec.pipe_temperature.as_ref();
        let hinted = |row: RecordRow, hint: &Option<String>| RecordRow {
            hint: hint.clone(),
            ..row
        };
        RecordGroup {
            title: self.say(Clause::RecordMaking),
            note: None,
            rows: vec![
                row(Clause::RecordDate, &|j| j.date.value.to_string()),
                row(Clause::RecordOperator, &|j| j.operator.value.clone()),
                row(Clause::ColumnSize, &|j| j.size.value.to_string()),
                row(Clause::ColumnWall, &|j| label(&j.wall).name(self.units)),
                row(Clause::ColumnResin, &|j| j.resin.value.clone()),
                row(Clause::RecordPipe, &|j| part(&j.pipe)),
                row(Clause::RecordFitting, &|j| part(&j.fitting)),
                row(Clause::RecordPartner, &|j| {
                    self.say(match j.partner.value {
                        Partner::Pipe => Clause::PartPipe,
                        Partner::Spigot => Clause::FittingSpigot,
                    })
                }),
                row(Clause::RecordHeater, &|j| j.heater.value.clone()),
                row(Clause::RecordGauge, &|j| j.gauge.value.clone()),
                row(Clause::RecordPyrometer, &|j| {
                    format!("{}, {}", j.pyrometer.id.value, j.pyrometer.calibrated.value)
                }),
                row(Clause::RecordPyrometerDue, &|j| {
                    let due = j.pyrometer.due.as_ref();
                    due.map_or_else(String::new, |due| due.value.to_string())
                }),
                row(Clause::RecordAir, &|j| marked(&j.ambient_temperature.text)),
                hinted(
                    row(Clause::RecordPipeTemperature, &|j| {
                        marked(&j.pipe_temperature.text)
                    }),
                    &pipe.map(|pipe| range(pipe.value)),
                ),
                hinted(
                    row(Clause::RecordPipeFace, &|j| marked(&j.pipe_face.text)),
                    &window,
                ),
                hinted(
                    row(Clause::RecordFittingFace, &|j| marked(&j.fitting_face.text)),
                    &window,
                ),
                row(Clause::RecordDepth, &|j| marked(&j.depth.text)),
                row(Clause::RecordHeating, &|j| marked(&j.heating.text)),
                row(Clause::RecordChangeOver, &|j| marked(&j.change_over.text)),
                row(Clause::RecordHold, &|j| marked(&j.hold.text)),
                row(Clause::RecordVisual, &|j| self.witnessed(j.visual.value)),
            ],
        }
    }

    fn witnessed(&self, result: Witnessed) -> String {
        self.say(match result {
            Witnessed::Pass => Clause::WordPass,
            Witnessed::Fail => Clause::WordFail,
        })
    }
}
