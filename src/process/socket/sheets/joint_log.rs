//! A crew's joint log: one line per joint, tied to the procedure and revision it
//! was made by. It is filled in by hand.

use crate::spec::FaceCheckMethod;
use serde::Serialize;

use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::format;
use crate::papers::sheets::frame::Frame;
use crate::procedure::resolve::Procedure;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct JointLogSheet {
    pub(crate) frame: Frame,
    pub(crate) title: String,
    /// How to keep it.
    pub(crate) intro: String,
    /// What is filled in once at the top of a sheet.
    pub(crate) head: Vec<String>,
    /// Procedure and revision.
    pub(crate) procedure: String,
    pub(crate) procedure_label: String,
    /// The face-temperature window with its label, if there is one.
    pub(crate) window: Option<(String, String)>,
    pub(crate) columns: LogColumns,
}

#[derive(Debug, Clone, Serialize)]
pub(crate) struct LogColumns {
    pub(crate) number: String,
    pub(crate) date: String,
    /// Where in the job.
    pub(crate) place: String,
    pub(crate) fuser: String,
    pub(crate) size: String,
    /// Lots of pipe and fitting.
    pub(crate) lots: String,
    /// Readings of both heater faces.
    pub(crate) faces: String,
    /// Pipe temperature.
    pub(crate) pipe: String,
    pub(crate) heating: String,
    pub(crate) change_over: String,
    pub(crate) hold: String,
    /// Visual inspection.
    pub(crate) visual: String,
    /// The boxes to tick there.
    pub(crate) ticks: [String; 2],
    pub(crate) remarks: String,
}

pub(crate) fn joint_log(procedure: &Procedure, mut frame: Frame) -> JointLogSheet {
    let words = frame.words.clone();
    let say = |clause| words.render(clause);
    let title = say(Clause::PaperJointLog);
    frame.name_document(&title);
    let units = procedure.practice().units;
    let degree = || units.temperature_unit().symbol().to_owned();
    let window = procedure.window.as_ref().map(|window| {
        let cell = format::temperature_range_cell(units, window.value, &say(Clause::To));
        (say(Clause::FactHeaterFace), cell.in_one_line())
    });
    let check = procedure.spec.heater.face_check.as_ref();
    let (instrument, faces) = match check.map(|check| check.method.value) {
        Some(FaceCheckMethod::Stick) => (Clause::LogStick, Clause::LogStickMelted),
        Some(FaceCheckMethod::TwoSticks) => (Clause::LogSticks, Clause::LogSticksRight),
        Some(FaceCheckMethod::Pyrometer) | None => {
            (Clause::LogPyrometer, Clause::LogFaces { unit: degree() })
        }
    };
    JointLogSheet {
        title,
        intro: say(Clause::LogIntro),
        head: [
            Clause::LogJob,
            Clause::LogHeater,
            instrument,
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
            faces: say(faces),
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
