//! The steps page: the steps of a joint with their pictures, under a strip of the
//! times, so that the page can be worked from without any other.

use crate::core::paper::Paper;
use crate::papers::sheets::drawing::micrometers;
use crate::papers::sheets::figures::StepPicture;
use crate::papers::sheets::pages::{Melt, PictureWords, StepCell, StepPiece, StepsPage, Waits};
use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer, format, work};
use crate::process::socket::sheets::joint_times::JointTimes;
use crate::process::socket::sheets::procedure::steps_fit;
use crate::process::socket::sheets::steps::{JointStep, joint_steps};

pub(crate) fn steps(w: &Writer, paper: Paper) -> Section {
    let times = JointTimes::new(w.p, w.limits, w.words);
    let in_strip = steps_fit::in_strip(&times, paper);
    let steps = joint_steps(w);
    let verify = steps.iter().any(|step| step.verify) || has_mark(&times);
    let mut pieces = pieces(w, steps, &times);
    let strip = steps_fit::strip_height(&times, in_strip);
    let step_type = steps_fit::fit(&mut pieces, strip, verify, paper);
    let page = StepsPage {
        heads: micrometers(steps_fit::strip_heads(&times)),
        black: micrometers(steps_fit::black(&times, in_strip, paper)),
        walls: steps_fit::has_walls(&times),
        times,
        in_strip,
        step_type,
        verify,
        pictures: picture_words(w),
        pieces,
    };
    Section {
        own_page: true,
        ..w.section(Clause::TitleSteps, vec![Block::StepsPage(Box::new(page))])
            .lead(w.say(Clause::StepsLead))
    }
}

/// Whether a time that the page prints is not confirmed.
fn has_mark(times: &JointTimes) -> bool {
    let limits = &times.limits;
    let common = [&limits.off_heater, &limits.hands_off];
    let rows = times.rows.iter().filter_map(|row| row.times.as_ref());
    common.into_iter().flatten().any(|limit| limit.mark)
        || limits.pressure_test.mark
        || rows
            .flat_map(|times| {
                [
                    Some(&times.heat),
                    times.max.as_ref(),
                    times.off_heater.as_ref(),
                    times.hold.as_ref(),
                    times.cool.as_ref(),
                ]
            })
            .flatten()
            .any(|number| number.verify)
}

/// Two cells to a row, read from left to right, so that the black bar crosses the page
/// in its place. The melts to compare with stand behind the step at which they are
/// looked at: in one cell if that fills the row, in two if a row of their own is left.
fn pieces(w: &Writer, steps: Vec<JointStep>, times: &JointTimes) -> Vec<StepPiece> {
    let mut pieces = Vec::new();
    let mut cells = Vec::new();
    for step in steps {
        match step.picture {
            None => {
                let [good, bad] = melts(w);
                let look = Some(w.say(Clause::MeltLook));
                let one = |melts, look| StepCell::Melts { melts, look };
                if cells.len() % 2 == 0 {
                    cells.extend([one(vec![good], look), one(vec![bad], None)]);
                } else {
                    cells.push(one(vec![good, bad], look));
                }
                pieces.extend(rows(&mut cells));
                pieces.push(StepPiece::Bar {
                    height: 0,
                    number: step.number,
                    order: step.order,
                    detail: step.detail,
                });
            }
            Some(picture) => cells.push(StepCell::Step {
                number: step.number,
                order: step.order,
                cautions: step.cautions,
                detail: step.detail,
                verify: step.verify,
                picture,
                alt: w.say(picture_alt(w, picture)),
            }),
        }
    }
    cells.push(StepCell::Waits(waits(w, times)));
    pieces.extend(rows(&mut cells));
    pieces
}

/// The cells in pairs.
fn rows(cells: &mut Vec<StepCell>) -> Vec<StepPiece> {
    let mut rows = Vec::new();
    let mut left = std::mem::take(cells).into_iter();
    while let Some(first) = left.next() {
        let cells: Vec<_> = [Some(first), left.next()].into_iter().flatten().collect();
        let heats = |cell: &StepCell| {
            matches!(
                cell,
                StepCell::Step {
                    picture: StepPicture::Heat,
                    ..
                }
            )
        };
        rows.push(StepPiece::Row {
            height: 0,
            clock: cells.iter().any(heats),
            cells,
        });
    }
    rows
}

fn melts(w: &Writer) -> [Melt; 2] {
    let melt = |good, word, text, alt| Melt {
        good,
        word: w.say(word),
        text: w.say(text),
        alt: w.say(alt),
    };
    [
        melt(
            true,
            Clause::MeltGood,
            Clause::MeltGoodText,
            Clause::MeltGoodAlt,
        ),
        melt(
            false,
            Clause::MeltBad,
            Clause::MeltBadText,
            Clause::MeltBadAlt,
        ),
    ]
}

fn waits(w: &Writer, times: &JointTimes) -> Waits {
    let limits = &times.limits;
    let hold_is_part = w.practice().holds_until_cool;
    let has_hold = !work::all_hold_until_cool(w.p);
    let words = w.say(Clause::WaitsHandsOff);
    let hands_off = match &limits.hands_off {
        Some(limit) => [limit.number.clone(), words],
        None if hold_is_part => [times.heads.cool.clone(), words],
        None => [times.heads.cool.clone(), w.say(Clause::WaitsBySize)],
    };
    Waits {
        head: w.say(if hold_is_part {
            Clause::WaitsHeadCool
        } else {
            Clause::WaitsHead
        }),
        hold: has_hold.then(|| times.heads.hold.clone()),
        hands_off,
        hands_off_verify: limits.hands_off.as_ref().is_some_and(|limit| limit.mark),
        test: [
            limits.pressure_test.number.clone(),
            w.say(Clause::WaitsNoTest),
        ],
        test_verify: limits.pressure_test.mark,
        hold_is_part,
        meaning: w.say(Clause::WaitsMeaning),
    }
}

/// What the pictures print. The print lines are those of the largest size, as an
/// example that the crew knows.
fn picture_words(w: &Writer) -> PictureWords {
    let window = w.p.window.as_ref().map(|window| {
        format::temperature_range(w.units(), window.value, "\u{2013}")
            .replace(" \u{2013} ", "\u{2013}")
    });
    let resin = w.resin();
    let of_fittings = w.p.spec.fittings.resin.as_ref();
    let largest = w.p.joints.last();
    let nominal = largest.map_or_else(String::new, |joint| joint.size.to_string());
    let wall = largest.and_then(|joint| joint.pipes.first());
    let wall = wall.map(|pipe| pipe.label.name(w.units()));
    let cleaning = w.p.spec.cleaning.as_ref();
    let strength = cleaning.and_then(|cleaning| cleaning.strength.as_ref());
    PictureWords {
        ring: w.practice().has_ring(),
        window: window.unwrap_or_default(),
        female: w.say(Clause::PictureFemale),
        male: w.say(Clause::PictureMale),
        size: [Some(nominal.clone()), wall]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" "),
        fitting: of_fittings.map_or_else(|| resin.clone(), |fitting| fitting.value.clone()),
        resin,
        nominal,
        depth: w.say(Clause::PictureDepth),
        agent: strength.map(|strength| strength.value.show()),
    }
}

/// Alternative text of a step's picture.
fn picture_alt(w: &Writer, picture: StepPicture) -> Clause {
    let words = &w.practice_words().steps;
    match picture {
        StepPicture::Heater => Clause::StepAltHeater,
        StepPicture::PrintLine => Clause::StepAltPrintLine,
        StepPicture::Cut => Clause::StepAltCut,
        StepPicture::Chamfer => Clause::StepAltChamfer,
        StepPicture::Ring => Clause::StepAltRing,
        StepPicture::Peel => Clause::StepAltPeel,
        StepPicture::Mark => Clause::StepAltMark,
        StepPicture::Clean => Clause::StepAltClean,
        StepPicture::Machine => Clause::StepAltMachine,
        StepPicture::Holder => Clause::StepAltHolder,
        StepPicture::Heat => Clause::StepAltHeat,
        StepPicture::Count => Clause::StepAltCount,
        StepPicture::Off => Clause::StepAltOff,
        StepPicture::Join => words.join_alt.clone(),
        StepPicture::Hold => Clause::StepAltHold,
        StepPicture::Inspect => words.inspect_alt.clone(),
    }
}
