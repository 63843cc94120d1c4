//! What the drawings of the work show: the steps by their numbers, the heater,
//! the joint of the largest size with its own lengths, and the cases that are
//! accepted and refused.

mod joint;
mod plate;

pub(super) use plate::acceptance;

use super::super::block::{Block, Section};
use super::super::clause::Clause;
use super::super::figures::{HeaterFigure, StepFrame, StepPicture, StepsFigure};
use super::{Writer, heat_figures, tools};
use crate::heat::advice::Advice;
use crate::spec::FaceCheckMethod;

/// The numbers of the figures, which are those of their order.
pub(super) struct Numbers {
    pub(super) heater: usize,
    pub(super) steps: usize,
    pub(super) joint: Option<usize>,
    pub(super) chart: Option<usize>,
    pub(super) section: Option<usize>,
    pub(super) plate: usize,
}

impl Numbers {
    pub(super) fn of(w: &Writer, advice: &Advice) -> Self {
        let (heater, steps) = (1, 2);
        let mut last = steps;
        let mut next = |drawn: bool| {
            last += usize::from(drawn);
            drawn.then_some(last)
        };
        let joint = next(joint::joint(w, advice).is_some());
        let chart = next(heat_figures::chart(w, advice).is_some());
        let section = next(heat_figures::cross_section(w, advice).is_some());
        Self {
            heater,
            steps,
            joint,
            chart,
            section,
            plate: last + 1,
        }
    }
}

/// Numbers the captions of the figures.
pub(super) fn number(w: &Writer, sections: &mut [Section]) {
    let blocks = sections.iter_mut().flat_map(|section| &mut section.blocks);
    for (caption, number) in blocks.filter_map(Block::drawing_caption).zip(1..) {
        *caption = w.say(Clause::NumberedCaption {
            number: number.to_string(),
            caption: std::mem::take(caption),
        });
    }
}

/// The steps with their figures, and the joint they make.
pub(super) fn illustrated(
    w: &Writer,
    advice: &Advice,
    numbers: &Numbers,
    mut steps: Section,
) -> Section {
    let drawn = steps.blocks.iter().find_map(|block| match block {
        Block::Steps { items } => {
            let pictures = items.iter().map(|step| step.picture).zip(1..);
            Some(pictures.filter_map(|(picture, number)| Some((picture?, number))))
        }
        _ => None,
    });
    let frames: Vec<_> = drawn.into_iter().flatten().collect();
    let work = numbers.steps.to_string();
    let see = w.text(match numbers.joint {
        Some(joint) => Clause::StepsSeeFigures {
            work,
            joint: joint.to_string(),
        },
        None => Clause::StepsSeeFigure { work },
    });
    steps.blocks.push(see);
    steps
        .blocks
        .push(Block::StepsFigure(steps_figure(w, &frames)));
    steps
        .blocks
        .extend(joint::joint(w, advice).map(Block::JointFigure));
    steps
}

fn steps_figure(w: &Writer, pictures: &[(StepPicture, usize)]) -> StepsFigure {
    let told: Vec<_> = pictures
        .iter()
        .map(|(picture, number)| {
            w.say(Clause::StepsFigureAltStep {
                number: number.to_string(),
                picture: w.say(told(w, *picture)),
            })
        })
        .collect();
    StepsFigure {
        caption: w.say(Clause::StepsFigureCaption),
        alt: w.say(Clause::StepsFigureAlt {
            steps: told.join(" "),
        }),
        ring: !w.is_metric(),
        frames: pictures
            .iter()
            .map(|&(picture, number)| StepFrame {
                picture,
                number,
                label: w.say(label(w, picture)),
            })
            .collect(),
    }
}

/// A step in a few words.
fn label(w: &Writer, picture: StepPicture) -> Clause {
    match picture {
        StepPicture::Cut => Clause::StepLabelCut,
        StepPicture::Chamfer => Clause::StepLabelChamfer,
        StepPicture::Ring => Clause::StepLabelRing,
        StepPicture::Peel => Clause::StepLabelPeel,
        StepPicture::Mark => Clause::StepLabelMark,
        StepPicture::Clean => Clause::StepLabelClean,
        StepPicture::Machine => Clause::StepLabelMachine,
        StepPicture::Heat => Clause::StepLabelHeat,
        StepPicture::Count => Clause::StepLabelCount,
        StepPicture::Off => Clause::StepLabelOff,
        StepPicture::Join => w.by_practice(Clause::StepLabelJoinMark, Clause::StepLabelJoin),
        StepPicture::Hold => Clause::StepLabelHold,
        StepPicture::Inspect => {
            w.by_practice(Clause::StepLabelInspectMark, Clause::StepLabelInspect)
        }
    }
}

/// What the figure of a step shows, in words.
fn told(w: &Writer, picture: StepPicture) -> Clause {
    match picture {
        StepPicture::Cut => Clause::StepAltCut,
        StepPicture::Chamfer => Clause::StepAltChamfer,
        StepPicture::Ring => Clause::StepAltRing,
        StepPicture::Peel => Clause::StepAltPeel,
        StepPicture::Mark => Clause::StepAltMark,
        StepPicture::Clean => Clause::StepAltClean,
        StepPicture::Machine => Clause::StepAltMachine,
        StepPicture::Heat => Clause::StepAltHeat,
        StepPicture::Count => Clause::StepAltCount,
        StepPicture::Off => Clause::StepAltOff,
        StepPicture::Join => w.by_practice(Clause::StepAltJoinMark, Clause::StepAltJoin),
        StepPicture::Hold => Clause::StepAltHold,
        StepPicture::Inspect => w.by_practice(Clause::StepAltInspectMark, Clause::StepAltInspect),
    }
}

/// The heater, and where its faces are checked.
pub(super) fn heater(w: &Writer) -> HeaterFigure {
    let window = tools::window(w);
    let check = w.p.spec.heater.face_check.as_ref();
    let by_stick = check.is_some_and(|check| check.method.value != FaceCheckMethod::Pyrometer);
    let face = match (window, by_stick) {
        (Some(window), false) => Clause::HeaterFigureFace { window },
        (Some(window), true) => Clause::HeaterFigureFaceStick { window },
        (None, false) => Clause::HeaterFigureFaceOpen,
        (None, true) => Clause::HeaterFigureFaceStickOpen,
    };
    let face = w.say(face);
    let beside = by_stick.then(|| w.say(Clause::HeaterFigureBeside));
    let (female, male) = (
        w.say(Clause::HeaterFigureFemale),
        w.say(Clause::HeaterFigureMale),
    );
    let plate = w.say(Clause::HeaterFigurePlate);
    let labels = [
        Some(&female),
        Some(&male),
        Some(&face),
        beside.as_ref(),
        Some(&plate),
    ];
    let labels: Vec<_> = labels.into_iter().flatten().map(String::as_str).collect();
    HeaterFigure {
        caption: w.say(Clause::HeaterFigureCaption),
        alt: w.say(Clause::HeaterFigureAlt {
            labels: labels.join(" "),
        }),
        face,
        beside,
        female,
        male,
        plate,
    }
}
