//! The joint log of a crew: a line for each joint, tied to the procedure and
//! the revision it was made by. All of it is filled in by hand.

use serde::Serialize;

use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::format;
use crate::papers::sheets::frame::Frame;
use crate::procedure::resolve::Procedure;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct JointLogSheet {
    /// What every paper carries.
    pub(crate) frame: Frame,
    /// What it is called.
    pub(crate) title: String,
    /// How it is kept.
    pub(crate) intro: String,
    /// What is written once at the head of a sheet.
    pub(crate) head: Vec<String>,
    /// The procedure and revision that the joints are made by.
    pub(crate) procedure: String,
    /// What the procedure's number is called.
    pub(crate) procedure_label: String,
    /// The window of the face, where there is one.
    pub(crate) window: Option<(String, String)>,
    /// The headings of the columns.
    pub(crate) columns: LogColumns,
}

/// The headings of the columns.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct LogColumns {
    /// Number of the joint.
    pub(crate) number: String,
    /// Day.
    pub(crate) date: String,
    /// Where in the job.
    pub(crate) place: String,
    /// Who made it.
    pub(crate) fuser: String,
    pub(crate) size: String,
    /// Lots of pipe and fitting.
    pub(crate) lots: String,
    /// Both faces of the heater, read.
    pub(crate) faces: String,
    /// Temperature of the pipe.
    pub(crate) pipe: String,
    pub(crate) heating: String,
    pub(crate) change_over: String,
    pub(crate) hold: String,
    /// What the eye says.
    pub(crate) visual: String,
    /// What may be ticked there.
    pub(crate) ticks: [String; 2],
    /// Room for more.
    pub(crate) remarks: String,
}

/// Writes the joint log of a procedure.
pub(crate) fn joint_log(procedure: &Procedure, mut frame: Frame) -> JointLogSheet {
    let words = frame.words.clone();
    let say = |clause| words.render(clause);
    let title = say(Clause::PaperJointLog);
    frame.document_title = say(Clause::DocumentTitle {
        paper: title.clone(),
        number: frame.number.clone(),
        revision: frame.revision.clone(),
        title: frame.title.clone(),
    });
    let units = procedure.practice().units;
    let degree = || units.temperature_unit().symbol().to_owned();
    let window = procedure.window.as_ref().map(|window| {
        let cell = format::temperature_range_cell(units, window.value, &say(Clause::To));
        (say(Clause::FactHeaterFace), cell.in_one_line())
    });
    JointLogSheet {
        title,
        intro: say(Clause::LogIntro),
        head: [
            Clause::LogJob,
            Clause::LogHeater,
            Clause::LogPyrometer,
            Clause::LogSheet,
        ]
        .map(say)
        .into(),
        procedure_label: say(Clause::RecordProcedure),
        procedure: say(Clause::RecordProcedureOf {
            number: frame.number.clone(),
            revision: frame.revision.clone(),
        }),
        window,
        columns: LogColumns {
            number: say(Clause::LogNumber),
            date: say(Clause::LabelDate),
            place: say(Clause::LogPlace),
            fuser: say(Clause::LogFuser),
            size: say(Clause::ColumnSize),
            lots: say(Clause::LogLots),
            faces: say(Clause::LogFaces { unit: degree() }),
            pipe: say(Clause::LogPipe { unit: degree() }),
            heating: say(Clause::LogHeating),
            change_over: say(Clause::LogChangeOver),
            hold: say(Clause::LogHold),
            visual: say(Clause::LogVisual),
            ticks: [say(Clause::LogGood), say(Clause::LogCutOut)],
            remarks: say(Clause::LogRemarks),
        },
        frame,
    }
}
