//! Setting and checking the heater: where its faces are, what temperature they
//! must have, and what is known of this heater.

use crate::core::units::print::Bound;
use crate::core::units::{Range, Temperature, TemperatureUnit};
use crate::papers::sheets::parts::{
    FaceScale, HeaterCheck, ScaleBand, ScaleTick, StopBox, TitledList, TitledText,
};
use crate::papers::sheets::procedure::writer::{Block, Cell, Clause, Section, Writer, format};
use crate::spec::{FaceCheck, FaceCheckMethod, Written};

pub(crate) fn heater(w: &Writer) -> Section {
    let check = w.p.spec.heater.face_check.as_ref();
    let by_stick = check.is_some_and(|check| check.method.value != FaceCheckMethod::Pyrometer);
    let to = w.say(Clause::To);
    let window = w.p.window.as_ref().map(|window| {
        format::temperature_range_cell(w.units(), window.value, &to)
            .verify(window.needs_verifying())
    });
    let face = w.say(if by_stick {
        Clause::HeaterFaceStick
    } else {
        Clause::HeaterFace
    });
    let part = |name, heats| [w.say(name), w.say(heats)];
    let alt = Clause::HeaterFigureAlt {
        labels: match &window {
            Some(window) => format!("{face}: {}.", window.text),
            None => format!("{face}."),
        },
    };
    let check = HeaterCheck {
        alt: w.say(alt),
        female: part(Clause::HeaterFemale, Clause::HeaterFemaleHeats),
        male: part(Clause::HeaterMale, Clause::HeaterMaleHeats),
        plate: w.say(Clause::HeaterPlate),
        face,
        beside: by_stick.then(|| w.say(Clause::HeaterBeside)),
        scale: w
            .p
            .window
            .as_ref()
            .and_then(|window| scale(w, window.value)),
        window,
        facts: settings(w),
        when: TitledList {
            title: w.say(Clause::HeaterWhen),
            items: [
                Clause::HeaterWhenFirst,
                Clause::HeaterWhenAdapter,
                Clause::HeaterWhenPower,
                Clause::HeaterWhenMelt,
            ]
            .map(|when| w.say(when))
            .into(),
        },
        how: TitledText {
            title: w.say(Clause::HeaterHow),
            text: w.say(how(w, check)),
        },
        stop: StopBox {
            word: w.say(match check.map(|check| check.method.value) {
                Some(FaceCheckMethod::Stick) => Clause::HeaterOutsideStick,
                Some(FaceCheckMethod::TwoSticks) => Clause::HeaterOutsideTwoSticks,
                Some(FaceCheckMethod::Pyrometer) | None => Clause::HeaterOutside,
            }),
            title: w.say(Clause::HeaterOutsideStop),
            text: w.say(Clause::HeaterOutsideDo),
        },
    };
    w.section(
        Clause::TitleHeater,
        vec![Block::HeaterCheck(Box::new(check))],
    )
    .lead(w.say(Clause::HeaterWindow))
}

fn how(w: &Writer, check: Option<&FaceCheck>) -> Clause {
    let Some(check) = check else {
        return Clause::HeaterCheckNone;
    };
    let (melts, solid) = ratings(w, check);
    match check.method.value {
        FaceCheckMethod::Pyrometer => Clause::HeaterCheckPyrometer,
        FaceCheckMethod::Stick => Clause::HeaterCheckStick { melts },
        FaceCheckMethod::TwoSticks => Clause::HeaterCheckTwoSticks { melts, solid },
    }
}

/// A temperature rating as stated, or that none was.
fn rating(w: &Writer, rated: Option<Temperature>) -> String {
    rated.map_or_else(|| w.say(Clause::NotStated), |t| w.units().temperature(t))
}

pub(crate) fn ratings(w: &Writer, check: &FaceCheck) -> (String, String) {
    (
        rating(w, check.melts.as_ref().map(|stick| stick.value.0)),
        rating(w, check.stays_solid.as_ref().map(|stick| stick.value.0)),
    )
}

/// The ratings in the unit of the practice alone, as short as on the stick.
pub(crate) fn stick_names(w: &Writer, check: &FaceCheck) -> (String, String) {
    let unit = w.units().temperature_unit();
    let name = |rated: &Option<Written<(Temperature, TemperatureUnit)>>| {
        rated.as_ref().map_or_else(
            || w.say(Clause::NotStated),
            |rated| rated.value.0.show_exact(unit).replace(' ', "\u{a0}"),
        )
    };
    (name(&check.melts), name(&check.stays_solid))
}

/// The settings of the heater, each with its label.
fn settings(w: &Writer) -> Vec<(String, Cell)> {
    let heater = &w.p.spec.heater;
    let units = w.units();
    let unknown = |clause| Cell::plain(w.say(clause));
    let either_way = |cell: Cell| Cell {
        text: format!("±{}", cell.text),
        sub: None,
        ..cell
    };
    let [first, other] = units.temperature_pair(heater.set_point.value.0);
    let mut facts = vec![
        (Clause::HeaterSetPoint, Cell::plain(first).below(other)),
        (
            Clause::HeaterOffset,
            heater.face_offset.as_ref().map_or_else(
                || unknown(Clause::NotMeasured),
                |offset| {
                    let cell = format::difference_cell(units, offset.value.0);
                    Cell { sub: None, ..cell }
                },
            ),
        ),
        (
            Clause::HeaterSwing,
            heater.swing.as_ref().map_or_else(
                || unknown(Clause::NotStated),
                |swing| either_way(format::difference_cell(units, swing.value.0)),
            ),
        ),
    ];
    if let Some(step) = &heater.step {
        let cell = format::difference_cell(units, step.value.0);
        facts.push((Clause::HeaterStep, Cell { sub: None, ..cell }));
    }
    if let Some(accuracy) = w.p.face.accuracy {
        let cell = either_way(format::difference_cell(units, accuracy));
        facts.push((Clause::HeaterAccuracy, cell));
    }
    facts
        .into_iter()
        .map(|(label, cell)| (w.say(label), cell))
        .collect()
}

/// The window on a scale, and on it what is known of the faces. Without a measured
/// offset only the display is known, and there is nothing to compare with the window.
fn scale(w: &Writer, window: Range<Temperature>) -> Option<FaceScale> {
    let heater = &w.p.spec.heater;
    let face = &w.p.face;
    let mut known = Vec::new();
    if heater.face_offset.is_some() {
        if heater.swing.is_some() {
            known.push((face.with_swing(), Clause::HeaterFaceBand));
        }
        if face.accuracy.is_some() {
            known.push((face.proven(), Clause::HeaterFaceProven));
        }
    }
    if known.is_empty() {
        return None;
    }
    // The window takes four fifths of the scale, unless the faces leave it.
    let reach = |range: Range<Temperature>| (range.least.celsius(), range.most.celsius());
    let (low, high) = reach(window);
    let margin = (high - low) / 8.0;
    let (start, end) = known.iter().map(|(range, _)| reach(*range)).fold(
        (low - margin, high + margin),
        |(start, end), (least, most)| (start.min(least - margin), end.max(most + margin)),
    );
    let at = |t: Temperature| ((t.celsius() - start) / (end - start) * 1000.0).round() as i64;
    let band = |range: Range<Temperature>, label: Clause| ScaleBand {
        from: at(range.least),
        to: at(range.most),
        range: Cell::plain(format::temperature_range(
            w.units(),
            range,
            &w.say(Clause::To),
        )),
        label: w.say(label),
    };
    let tick = |t: Temperature, bound| {
        let [first, other] = w.units().temperatures(t, bound);
        ScaleTick {
            at: at(t),
            first,
            other,
        }
    };
    let set_point = tick(heater.set_point.value.0, Bound::Nominal);
    let mut ticks = vec![
        tick(window.least, Bound::Minimum),
        tick(window.most, Bound::Maximum),
    ];
    // Its words stay clear of those at the ends of the window, and on the scale.
    let clear = |other: &ScaleTick| (other.at - set_point.at).abs() > 220;
    if ticks.iter().all(clear) && (100..=900).contains(&set_point.at) {
        ticks.push(set_point);
    }
    let bands: Vec<_> = known
        .into_iter()
        .map(|(range, label)| band(range, label))
        .collect();
    let verify = w.p.window.as_ref().is_some_and(|w| w.needs_verifying());
    let mut window = band(window, Clause::HeaterWindowLabel);
    window.range.verify = verify;
    let words = |band: &ScaleBand| format!("{} {}.", band.label, band.range.text);
    let mut alt = vec![words(&window)];
    alt.extend(bands.iter().map(words));
    Some(FaceScale {
        title: w.say(Clause::HeaterScale),
        unit: w.units().temperature_unit().symbol().to_owned(),
        alt: alt.join(" "),
        window,
        bands,
        ticks,
    })
}
