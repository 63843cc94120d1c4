//! The lesson sheet of a trainer: what to lay out, one joint step by step with what to
//! show, what goes wrong and how it looks, and questions whose answers are this
//! procedure's own numbers. Each line is ticked for each trainee.

mod questions;

use serde::Serialize;

use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::figures::StepPicture;
use crate::papers::sheets::frame::Frame;
use crate::papers::sheets::pages::InspectionBox;
use crate::papers::sheets::procedure::writer::Writer;
use crate::procedure::resolve::Procedure;
use crate::process::socket::sheets::joint_times::JointTimes;
use crate::process::socket::sheets::kit::kit;
use crate::process::socket::sheets::procedure::inspected;
use crate::process::socket::sheets::steps::{JointStep, joint_steps};
use crate::published::Library;
use questions::{Question, questions};

/// Trainees on a sheet.
const TRAINEES: u8 = 4;

#[derive(Debug, Clone, Serialize)]
pub(crate) struct LessonSheet {
    pub(crate) frame: Frame,
    pub(crate) title: String,
    /// What is filled in at the top, and by whom.
    pub(crate) fields: Vec<(String, Option<String>)>,
    pub(crate) trainees: u8,
    pub(crate) kit_title: String,
    pub(crate) kit: Vec<String>,
    pub(crate) steps_title: String,
    pub(crate) steps_lead: String,
    pub(crate) steps: Vec<TaughtStep>,
    pub(crate) mistakes_title: String,
    pub(crate) mistakes_lead: String,
    /// Each with its name on the inspection page, and what it looks like.
    pub(crate) mistakes: Vec<(String, String)>,
    pub(crate) questions_title: String,
    pub(crate) questions: Vec<Question>,
    /// The legend of the verify mark, if a number has it.
    pub(crate) legend: Option<String>,
}

/// A step, and what the trainer shows at it.
#[derive(Debug, Clone, Serialize)]
pub(crate) struct TaughtStep {
    pub(crate) number: usize,
    pub(crate) line: String,
    pub(crate) show: String,
    /// Whether it is the black bar.
    pub(crate) stop: bool,
}

pub(crate) fn lesson_sheet(
    procedure: &Procedure,
    limits: &Library,
    mut frame: Frame,
) -> LessonSheet {
    let words = frame.words.clone();
    let w = &Writer::new(procedure, limits, &words, frame.text_lang);
    let title = w.say(Clause::PaperLessonSheet);
    frame.name_document(&title);
    let times = JointTimes::new(procedure, limits, &words);
    let steps = joint_steps(w);
    let questions = questions(w, &times, &steps);
    let verify = questions.iter().any(Question::verify);
    let trainee = |number: u8| {
        let number = number.to_string();
        (w.say(Clause::LessonTrainee { number }), None)
    };
    let [trainer, place] = [Clause::LessonTrainer, Clause::LessonPlace];
    let taught = |step: JointStep| TaughtStep {
        number: step.number,
        show: w.say(show(step.picture)),
        line: step.line,
        stop: step.stop,
    };
    let rejected = |frame: InspectionBox| (!frame.good).then_some((frame.title, frame.text));
    LessonSheet {
        fields: [(w.say(trainer), None), (w.say(place), None)]
            .into_iter()
            .chain((1..=TRAINEES).map(trainee))
            .collect(),
        trainees: TRAINEES,
        kit_title: w.say(Clause::LessonKit),
        kit: laid_out(w),
        steps_title: w.say(Clause::LessonSteps),
        steps_lead: w.say(Clause::LessonStepsLead),
        steps: steps.into_iter().map(taught).collect(),
        mistakes_title: w.say(Clause::LessonMistakes),
        mistakes_lead: w.say(Clause::LessonMistakesLead),
        mistakes: inspected(w).into_iter().filter_map(rejected).collect(),
        questions_title: w.say(Clause::LessonQuestions),
        questions,
        legend: verify.then(|| frame.verify_legend.clone()),
        title,
        frame,
    }
}

/// What lies ready: the tools of the sizes, and the rest of the kit.
fn laid_out(w: &Writer) -> Vec<String> {
    let kit = kit(w);
    let sizes = w.sizes();
    let rings = kit.has_ring.then(|| {
        let sizes = sizes.clone();
        let rings = &w.p.spec.tools.cold_rings;
        match rings.iter().any(|(_, ring)| ring.insert_in.is_some()) {
            true => Clause::LessonKitInserts { sizes },
            false => Clause::LessonKitRings { sizes },
        }
    });
    [Clause::LessonKitAdapters { sizes }]
        .into_iter()
        .chain(rings)
        .map(|clause| w.say(clause))
        .chain(kit.items.into_iter().map(|item| item.name))
        .collect()
}

/// What to show at a step; the one without a picture is the black bar.
fn show(picture: Option<StepPicture>) -> Clause {
    match picture {
        None => Clause::LessonShowBadMelt,
        Some(StepPicture::Heater) => Clause::LessonShowHeater,
        Some(StepPicture::PrintLine) => Clause::LessonShowPrintLine,
        Some(StepPicture::Cut) => Clause::LessonShowCut,
        Some(StepPicture::Chamfer) => Clause::LessonShowChamfer,
        Some(StepPicture::Ring) => Clause::LessonShowRing,
        Some(StepPicture::Peel) => Clause::LessonShowPeel,
        Some(StepPicture::Mark) => Clause::LessonShowMark,
        Some(StepPicture::Clean) => Clause::LessonShowClean,
        Some(StepPicture::Machine) => Clause::LessonShowMachine,
        Some(StepPicture::Holder) => Clause::LessonShowHolder,
        Some(StepPicture::Heat) => Clause::LessonShowHeat,
        Some(StepPicture::Count) => Clause::LessonShowCount,
        Some(StepPicture::Off) => Clause::LessonShowOff,
        Some(StepPicture::Join) => Clause::LessonShowJoin,
        Some(StepPicture::Hold) => Clause::LessonShowHold,
        Some(StepPicture::Inspect) => Clause::LessonShowInspect,
    }
}
