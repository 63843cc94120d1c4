//! The steps of a joint, with their pictures and a drawing of the joint.

use crate::papers::sheets::block::Step;
use crate::papers::sheets::figures::{StepFrame, StepPicture, StepsFigure};
use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer, work};
use crate::process::socket::sheets::procedure::numbers::Numbers;
use crate::process::socket::sheets::procedure::{equipment, heater, unlike};
use crate::spec::CleaningAgent;

pub(crate) fn steps(w: &Writer, numbers: &Numbers) -> Section {
    let items = items(w);
    let pictures = items.iter().map(|step| step.picture).zip(1..);
    let frames: Vec<_> = pictures
        .filter_map(|(picture, number)| Some((picture?, number)))
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

/// A step with its detail.
fn step(w: &Writer, text: Clause, detail: impl Into<Option<Clause>>) -> Step {
    Step {
        text: w.say(text),
        detail: detail.into().map(|detail| w.say(detail)),
        branch: false,
        picture: None,
    }
}

fn items(w: &Writer) -> Vec<Step> {
    let step = |text, detail: Option<Clause>| step(w, text, detail);
    let heater = Clause::StepHeater {
        set_point: heater::set_point(w),
    };
    let window = heater::window(w).map(|window| Clause::StepHeaterDetail { window });
    let words = &w.practice_words().steps;
    let mut items = vec![
        step(heater, window),
        step(Clause::StepPrintLine, Some(unlike::print_line(w))),
        step(Clause::StepCut, Some(Clause::StepCutDetail)).drawn(StepPicture::Cut),
        step(Clause::StepChamfer, Some(words.chamfer.clone())).drawn(StepPicture::Chamfer),
    ];
    items.extend(depth(w));
    items.push(clean(w));
    if let Some(sizes) = w.pushed() {
        let pusher = &w.practice_words().pusher;
        items.push(Step {
            picture: pusher.picture,
            ..step((pusher.step)(sizes), Some(pusher.step_detail.clone()))
        });
    }
    let count_detail = match w.p.spec.cold_weather {
        Some(_) => Clause::StepCountDetailCold,
        None => Clause::StepCountDetail,
    };
    let off = match w.p.common(|joint| joint.cycle.change_over()) {
        Some(change_over) => Clause::StepOffDetail {
            change_over: w.time(change_over),
        },
        None => words.off_by_size.clone(),
    };
    let (heat, count, join) = (words.heat.clone(), words.count.clone(), &words.join);
    items.extend([
        step(heat, Some(unlike::heat_detail(w))).drawn(StepPicture::Heat),
        step(count, Some(count_detail)).drawn(StepPicture::Count),
        step(Clause::StepOff, Some(off)).drawn(StepPicture::Off),
        // What to do if a melt is bad or time has run out.
        Step {
            branch: true,
            ..step(Clause::StepBadMelt, Some(Clause::StepBadMeltDetail))
        },
        step(join.step.clone(), Some(join.detail.clone())).drawn(StepPicture::Join),
        step(hold(w), Some(Clause::StepHoldDetail)).drawn(StepPicture::Hold),
        step(inspect(w), Some(Clause::StepInspectDetail)).drawn(StepPicture::Inspect),
    ]);
    items
}

/// Setting the depth, after peeling.
fn depth(w: &Writer) -> Vec<Step> {
    let words = &w.practice_words().steps;
    let mut steps = Vec::new();
    if w.practice().peels {
        steps.push(match work::peel(w.p) {
            Some(true) => {
                step(w, Clause::StepPeel, Clause::StepPeelDetail).drawn(StepPicture::Peel)
            }
            Some(false) => step(w, Clause::StepPeelNone, None),
            None => step(w, Clause::StepPeelOpen, None),
        });
    }
    let detail = if work::has_witness_lines(w.p, w.limits) {
        Clause::StepMarkWitnessDetail
    } else {
        words.depth.detail.clone()
    };
    steps.push(step(w, words.depth.step.clone(), detail).drawn(words.depth_picture));
    steps
}

/// Cleaning; a wetting agent needs more instructions.
fn clean(w: &Writer) -> Step {
    let cleaning = w.p.spec.cleaning.as_ref();
    let is_dry = cleaning.is_some_and(|c| c.agent.value == CleaningAgent::DryCloth);
    let agent = equipment::agent(w);
    let detail = w.practice_words().steps.clean.clone();
    step(w, Clause::StepClean { agent }, (!is_dry).then_some(detail)).drawn(StepPicture::Clean)
}

fn hold(w: &Writer) -> Clause {
    let until_cool = |joint| work::holds_until_cool(w.p, joint);
    match (
        w.p.joints.iter().any(until_cool),
        w.p.joints.iter().all(until_cool),
    ) {
        (false, _) => w.practice_words().steps.hold.clone(),
        (true, true) => Clause::StepHoldUntilCool,
        (true, false) => Clause::StepHoldMixed,
    }
}

fn inspect(w: &Writer) -> Clause {
    if work::has_witness_lines(w.p, w.limits) {
        return Clause::StepInspectWitness;
    }
    let wait = w.p.common(|joint| joint.cycle.before_handling());
    (w.practice_words().steps.inspect)(wait.map(|wait| w.time(wait)))
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
        StepPicture::Join => words.join_label.clone(),
        StepPicture::Hold => Clause::StepLabelHold,
        StepPicture::Inspect => words.inspect_label.clone(),
    }
}

/// Alternative text of a step's picture.
fn picture_alt(w: &Writer, picture: StepPicture) -> Clause {
    let words = &w.practice_words().steps;
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
        StepPicture::Join => words.join_alt.clone(),
        StepPicture::Hold => Clause::StepAltHold,
        StepPicture::Inspect => words.inspect_alt.clone(),
    }
}
