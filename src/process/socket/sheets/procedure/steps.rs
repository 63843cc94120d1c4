//! The steps of a joint, with their pictures and a drawing of the joint.

use crate::papers::sheets::block::Step;
use crate::papers::sheets::figures::{StepFrame, StepPicture, StepsFigure};
use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer, format};
use crate::process::socket::sheets::procedure::numbers::Numbers;
use crate::process::socket::sheets::steps::joint_steps;

pub(crate) fn steps(w: &Writer, numbers: &Numbers) -> Section {
    let items = items(w);
    let undrawn = [
        StepPicture::Heater,
        StepPicture::PrintLine,
        StepPicture::Holder,
    ];
    let pictures = items.iter().map(|step| step.picture).zip(1..);
    let frames: Vec<_> = pictures
        .filter_map(|(picture, number)| Some((picture?, number)))
        .filter(|(picture, _)| !undrawn.contains(picture))
        .collect();
    let work = numbers.steps.to_string();
    let blocks = vec![
        w.text(Clause::StepsIntro),
        Block::Steps { items },
        w.text(Clause::StepsSeeFigure { work }),
        Block::StepsFigure(steps_figure(w, &frames)),
    ];
    w.section(Clause::TitleSteps, blocks)
}

fn items(w: &Writer) -> Vec<Step> {
    joint_steps(w)
        .into_iter()
        .map(|step| Step {
            text: step.order,
            detail: Some(format::marked(&step.detail, step.verify, w.words)),
            branch: step.stop,
            picture: step.picture,
        })
        .collect()
}

fn steps_figure(w: &Writer, pictures: &[(StepPicture, usize)]) -> StepsFigure {
    let descriptions: Vec<_> = pictures
        .iter()
        .map(|(picture, number)| {
            w.say(Clause::StepsFigureAltStep {
                number: number.to_string(),
                picture: w.say(picture_alt(w, *picture)),
            })
        })
        .collect();
    StepsFigure {
        caption: w.say(Clause::StepsFigureCaption),
        alt: w.say(Clause::StepsFigureAlt {
            steps: descriptions.join(" "),
        }),
        ring: w.practice().has_ring(),
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
    let words = &w.practice_words().steps;
    match picture {
        StepPicture::Heater | StepPicture::PrintLine | StepPicture::Holder | StepPicture::Cut => {
            Clause::StepLabelCut
        }
        StepPicture::Chamfer => Clause::StepLabelChamfer,
        StepPicture::Ring => Clause::StepLabelRing,
        StepPicture::Peel => Clause::StepLabelPeel,
        StepPicture::Mark => Clause::StepLabelMark,
        StepPicture::Clean => Clause::StepLabelClean,
        StepPicture::Machine => Clause::StepLabelMachine,
        StepPicture::Heat => Clause::StepLabelHeat,
        StepPicture::Count => Clause::StepLabelCount,
        StepPicture::Off => Clause::StepLabelOff,
        StepPicture::Join => words.join_label.clone(),
        StepPicture::Hold => Clause::StepLabelHold,
        StepPicture::Inspect => words.inspect_label.clone(),
    }
}

/// Alternative text of a step's picture.
fn picture_alt(w: &Writer, picture: StepPicture) -> Clause {
    let words = &w.practice_words().steps;
    match picture {
        StepPicture::Heater | StepPicture::PrintLine | StepPicture::Holder | StepPicture::Cut => {
            Clause::StepAltCut
        }
        StepPicture::Chamfer => Clause::StepAltChamfer,
        StepPicture::Ring => Clause::StepAltRing,
        StepPicture::Peel => Clause::StepAltPeel,
        StepPicture::Mark => Clause::StepAltMark,
        StepPicture::Clean => Clause::StepAltClean,
        StepPicture::Machine => Clause::StepAltMachine,
        StepPicture::Heat => Clause::StepAltHeat,
        StepPicture::Count => Clause::StepAltCount,
        StepPicture::Off => Clause::StepAltOff,
        StepPicture::Join => words.join_alt.clone(),
        StepPicture::Hold => Clause::StepAltHold,
        StepPicture::Inspect => words.inspect_alt.clone(),
    }
}
