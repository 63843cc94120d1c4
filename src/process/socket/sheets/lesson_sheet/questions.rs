//! The questions of a lesson. Every number in an answer is one of this procedure, from
//! the place where its other papers read it.

use crate::process::socket::sheets::procedure::heater::stick_names;
use serde::Serialize;

use crate::core::units::{Temperature, TimeUnit};
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::figures::StepPicture;
use crate::papers::sheets::format;
use crate::papers::sheets::procedure::writer::{Writer, work};
use crate::process::socket::practice::{Event, PhaseName};
use crate::process::socket::sheets::joint_times::{Figure, JointTimes, Row, Times};
use crate::process::socket::sheets::steps::JointStep;
use crate::spec::FaceCheckMethod;

/// A question with its answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Question {
    pub(crate) ask: String,
    pub(crate) answer: Vec<Piece>,
}

/// A part of an answer, and whether a number at its end is not confirmed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Piece {
    pub(crate) text: String,
    pub(crate) verify: bool,
}

impl Question {
    pub(super) fn verify(&self) -> bool {
        self.answer.iter().any(|piece| piece.verify)
    }
}

fn piece(text: impl Into<String>, verify: bool) -> Piece {
    Piece {
        text: text.into(),
        verify,
    }
}

pub(super) fn questions(w: &Writer, times: &JointTimes, steps: &[JointStep]) -> Vec<Question> {
    let ask = |ask: Clause, answer: Vec<Piece>| {
        (!answer.is_empty()).then(|| Question {
            ask: w.say(ask),
            answer,
        })
    };
    let plain = |clause| vec![piece(w.say(clause), false)];
    let second = &times.heads.second;
    let heat = by_size(times, second, |row| Some(row.heat.clone()));
    let max = by_size(times, second, |row| row.max.clone());
    let depth = by_size(times, &times.heads.length, |row| {
        Some(Figure {
            text: row.depth.text.clone(),
            verify: row.depth.verify,
            words: false,
        })
    });
    let all = [
        ask(Clause::LessonAskFaces, faces(w)),
        ask(Clause::LessonAskPipe, pipe(w)),
        ask(Clause::LessonAskLoose, plain(Clause::LessonAnswerLoose)),
        ask(Clause::LessonAskUnmeasured, unmeasured(w, times)),
        ask(Clause::LessonAskDepth, depth),
        ask(Clause::LessonAskHeat, heat),
        ask(Clause::LessonAskMax, max),
        ask(Clause::LessonAskOff, off_heater(w, times)),
        ask(Clause::LessonAskBad, bad_melt(w, steps)),
        ask(Clause::LessonAskHold, hold(w, times)),
        ask(Clause::LessonAskHands, hands_off(w, times)),
        ask(Clause::LessonAskTest, pressure_test(w)),
    ];
    all.into_iter().flatten().collect()
}

/// A number for each size: `3/4: 8, 1: 15 sec`, or one if it is the same for all. Words
/// in place of a number have no unit.
fn by_size(
    times: &JointTimes,
    unit: &str,
    figure: impl Fn(&Times) -> Option<Figure>,
) -> Vec<Piece> {
    let rows = times.rows.iter();
    let rows: Vec<(&Row, Option<Figure>)> = rows
        .filter_map(|row| Some((row, figure(row.times.as_ref()?))))
        .collect();
    let Some((_, first)) = rows.first() else {
        return Vec::new();
    };
    if let Some(first) = first
        .as_ref()
        .filter(|_| rows.iter().all(|(_, one)| one == first))
    {
        let text = match first.words {
            true => first.text.clone(),
            false => format!("{} {unit}", first.text),
        };
        return vec![piece(text, first.verify)];
    }
    let mut pieces: Vec<Piece> = Vec::new();
    let mut numbers = None;
    for (row, figure) in &rows {
        let Some(found) = figure else { continue };
        let same_size = rows
            .iter()
            .filter(|(other, _)| name(times, other) == name(times, row));
        let differs = same_size.clone().any(|(_, other)| other != figure);
        let size = match row.walls.as_ref().filter(|_| differs) {
            Some(walls) => format!("{} {walls}", name(times, row)),
            None => name(times, row),
        };
        let found_piece = piece(format!("{size}: {}", found.text), found.verify);
        if !pieces.contains(&found_piece) {
            if !found.words {
                numbers = Some(pieces.len());
            }
            pieces.push(found_piece);
        }
    }
    // The unit stands once, behind the last number.
    if let Some(last) = numbers.and_then(|last| pieces.get_mut(last)) {
        last.text = format!("{} {unit}", last.text);
    }
    pieces
}

/// A size, with its system if the sizes have several.
fn name(times: &JointTimes, row: &Row) -> String {
    match times.system {
        Some(_) => row.size.clone(),
        None => format!("{} {}", row.size, row.system),
    }
}

/// The sizes that are not joined until their depth is measured.
fn unmeasured(w: &Writer, times: &JointTimes) -> Vec<Piece> {
    let rows = times.rows.iter().filter(|row| row.no_joint.is_some());
    let mut sizes: Vec<_> = rows.clone().map(|row| name(times, row)).collect();
    sizes.dedup();
    let reason = rows.filter_map(|row| row.no_joint.as_ref()).next();
    let answer = reason.map(|reason| Clause::LessonAnswerUnmeasured {
        sizes: sizes.join(", "),
        reason: reason.join(" "),
    });
    answer
        .map(|answer| piece(w.say(answer), false))
        .into_iter()
        .collect()
}

fn faces(w: &Writer) -> Vec<Piece> {
    let Some(window) = &w.p.window else {
        return vec![piece(w.say(Clause::LessonAnswerUnchecked), false)];
    };
    let range = format::temperature_range(w.units(), window.value, &w.say(Clause::To));
    let Some(check) = &w.p.spec.heater.face_check else {
        return vec![piece(w.say(Clause::LessonAnswerUnchecked), false)];
    };
    let (melts, solid) = stick_names(w, check);
    let answer = match check.method.value {
        FaceCheckMethod::Pyrometer => Clause::LessonAnswerPyrometer { range },
        FaceCheckMethod::Stick => Clause::LessonAnswerStick { range, melts },
        FaceCheckMethod::TwoSticks => Clause::LessonAnswerTwoSticks {
            range,
            melts,
            solid,
        },
    };
    vec![piece(w.say(answer), window.needs_verifying())]
}

fn pipe(w: &Writer) -> Vec<Piece> {
    let Some(allowed) = &w.p.spec.pipe_temperature else {
        return vec![piece(w.say(Clause::LessonAnswerPipeOpen), false)];
    };
    let range = format::temperature_range(w.units(), allowed.value, &w.say(Clause::To));
    let mut pieces = vec![piece(w.say(Clause::LessonAnswerPipe { range }), false)];
    let cold = w.p.cold_trigger.as_ref();
    if let Some(cold) = cold.filter(|_| w.p.spec.cold_weather.is_some()) {
        let below = shown(w, cold.value);
        let cold_time = Clause::LessonAnswerCold { below };
        pieces.push(piece(w.say(cold_time), cold.needs_verifying()));
    }
    pieces
}

fn shown(w: &Writer, value: Temperature) -> String {
    value.show_exact(w.units().temperature_unit())
}

fn off_heater(w: &Writer, times: &JointTimes) -> Vec<Piece> {
    let unit = &times.heads.second;
    let common = w.p.common(|joint| joint.cycle.change_over());
    match (common, &times.limits.off_heater) {
        (Some(time), Some(limit)) => {
            let seconds = time.value.number(TimeUnit::Second);
            vec![piece(format!("{seconds} {unit}"), limit.mark)]
        }
        _ => by_size(times, unit, |row| row.off_heater.clone()),
    }
}

/// What the black bar orders, and the step to start over at: the cut.
fn bad_melt(w: &Writer, steps: &[JointStep]) -> Vec<Piece> {
    let mut steps = steps.iter();
    let cut = steps.find(|step| step.picture == Some(StepPicture::Cut));
    let answer = cut.map(|cut| Clause::LessonAnswerBad {
        step: cut.number.to_string(),
    });
    let answer = answer.map(|answer| piece(w.say(answer), false));
    answer.into_iter().collect()
}

fn hold(w: &Writer, times: &JointTimes) -> Vec<Piece> {
    if work::all_hold_until_cool(w.p) {
        return vec![piece(w.say(Clause::UntilCool), false)];
    }
    by_size(times, &times.heads.second, |row| row.hold.clone())
}

fn hands_off(w: &Writer, times: &JointTimes) -> Vec<Piece> {
    let from = counted_from(w, PhaseName::Handling);
    let mut pieces = match &times.limits.hands_off {
        Some(limit) => vec![piece(limit.number.clone(), limit.mark)],
        None => by_size(times, &times.heads.minute, |row| row.cool.clone()),
    };
    if !pieces.is_empty() {
        pieces.extend(from);
    }
    pieces
}

fn pressure_test(w: &Writer) -> Vec<Piece> {
    let Some(wait) = &w.p.before_pressure_test else {
        return vec![piece(w.say(Clause::LessonAnswerTestUnset), false)];
    };
    let mut pieces = vec![piece(wait.value.show(), wait.needs_verifying())];
    pieces.extend(counted_from(w, PhaseName::PressureTest));
    pieces
}

/// What a wait is counted from.
fn counted_from(w: &Writer, phase: PhaseName) -> Option<Piece> {
    let clause = match w.practice().counted_from(phase)? {
        Event::Joined => Clause::LessonFromJoined,
        Event::HoldEnd => Clause::LessonFromHold,
        Event::Cooled => Clause::LessonFromCooled,
        Event::OnHeater | Event::OffHeater => return None,
    };
    Some(piece(w.say(clause), false))
}
