//! Setting and checking the heater, and its drawing.

use crate::core::units::Temperature;
use crate::papers::sheets::figures::HeaterFigure;
use crate::papers::sheets::procedure::writer::{
    Align, Block, Cell, Clause, Section, Writer, format,
};
use crate::process::socket::sheets::procedure::numbers::Numbers;
use crate::spec::{FaceCheck, FaceCheckMethod};

pub(crate) fn heater(w: &Writer, numbers: &Numbers) -> Section {
    let mut blocks = vec![w.text(Clause::HeaterWindow)];
    blocks.extend(w.table(
        Clause::HeaterCaption,
        vec![
            (Clause::HeaterWhat, Align::Left),
            (Clause::HeaterValue, Align::Right),
        ],
        settings(w),
        false,
    ));
    blocks.push(w.text(Clause::HeaterCheckWhen));
    blocks.push(w.text(match &w.p.spec.heater.face_check {
        None => Clause::HeaterCheckNone,
        Some(check) => {
            let (melts, solid) = ratings(w, check);
            match check.method.value {
                FaceCheckMethod::Pyrometer => Clause::HeaterCheckPyrometer,
                FaceCheckMethod::Stick => Clause::HeaterCheckStick { melts },
                FaceCheckMethod::TwoSticks => Clause::HeaterCheckTwoSticks { melts, solid },
            }
        }
    }));
    blocks.push(w.text(Clause::HeaterOutside));
    blocks.push(w.text(Clause::HeaterSeeFigure {
        number: numbers.heater.to_string(),
    }));
    blocks.push(Block::HeaterFigure(drawing(w)));
    w.section(Clause::TitleHeater, blocks)
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

fn settings(w: &Writer) -> Vec<Vec<Cell>> {
    let heater = &w.p.spec.heater;
    let to = w.say(Clause::To);
    let unknown = |clause| Cell::plain(w.say(clause));
    let mut rows = vec![(
        Clause::HeaterSetPoint,
        temperature_cell(w, heater.set_point.value.0).strong(),
    )];
    rows.push((
        Clause::HeaterOffset,
        heater.face_offset.as_ref().map_or_else(
            || unknown(Clause::NotMeasured),
            |offset| format::difference_cell(w.units(), offset.value.0),
        ),
    ));
    rows.push((
        Clause::HeaterSwing,
        heater.swing.as_ref().map_or_else(
            || unknown(Clause::NotStated),
            |swing| format::difference_cell(w.units(), swing.value.0),
        ),
    ));
    if let Some(step) = &heater.step {
        rows.push((
            Clause::HeaterStep,
            format::difference_cell(w.units(), step.value.0),
        ));
    }
    if let Some(accuracy) = w.p.face.accuracy {
        rows.push((
            Clause::HeaterAccuracy,
            format::difference_cell(w.units(), accuracy),
        ));
    }
    // Without a measured offset only the display temperature is known, not the
    // face temperature.
    if heater.face_offset.is_some() {
        let face = &w.p.face;
        rows.push((
            Clause::HeaterFaceBand,
            format::temperature_range_cell(w.units(), face.with_swing(), &to),
        ));
        if face.accuracy.is_some() {
            rows.push((
                Clause::HeaterFaceProven,
                format::temperature_range_cell(w.units(), face.proven(), &to),
            ));
        }
    }
    if let Some(window) = &w.p.window {
        rows.push((
            Clause::HeaterWindowLabel,
            format::temperature_range_cell(w.units(), window.value, &to)
                .strong()
                .verify(window.needs_verifying()),
        ));
    }
    rows.into_iter()
        .map(|(label, cell)| vec![Cell::plain(w.say(label)), cell])
        .collect()
}

fn temperature_cell(w: &Writer, value: Temperature) -> Cell {
    let [first, other] = w.units().temperature_pair(value);
    Cell::plain(first).below(other)
}

/// The window in both units, marked if it is recalled.
pub(crate) fn window(w: &Writer) -> Option<String> {
    let window = w.p.window.as_ref()?;
    let cell = format::temperature_range_cell(w.units(), window.value, &w.say(Clause::To));
    Some(format::marked(
        &cell.in_one_line(),
        window.needs_verifying(),
        w.words,
    ))
}

/// The heater, and where its faces are checked.
fn drawing(w: &Writer) -> HeaterFigure {
    let window = window(w);
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
