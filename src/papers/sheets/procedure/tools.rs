//! What has to be on the truck, and how the heater is set and checked.

use super::super::block::{Align, Block, Cell, Section};
use super::super::clause::Clause;
use super::super::{format, holder};
use super::{Writer, figures, metric_work};
use crate::core::units::Temperature;
use crate::procedure::resolve::tool_reach;
use crate::spec::{CleaningAgent, FaceCheck, FaceCheckMethod};

/// What pipe end and socket are wiped with.
pub(super) fn agent(w: &Writer) -> String {
    let Some(cleaning) = &w.p.spec.cleaning else {
        return w.say(Clause::AgentNotStated);
    };
    let agent = w.say(match cleaning.agent.value {
        CleaningAgent::IsopropylAlcohol => Clause::AgentIsopropylAlcohol,
        CleaningAgent::DryCloth => Clause::AgentDryCloth,
        CleaningAgent::Water => Clause::AgentWater,
        CleaningAgent::Acetone => Clause::AgentAcetone,
    });
    match &cleaning.strength {
        Some(strength) => w.say(Clause::AgentStrength {
            agent,
            strength: strength.value.show(),
        }),
        None => agent,
    }
}

/// A rating as it was given, or that it was not.
fn rating(w: &Writer, rated: Option<Temperature>) -> String {
    rated.map_or_else(|| w.say(Clause::NotStated), |t| w.units().temperature(t))
}

fn ratings(w: &Writer, check: &FaceCheck) -> (String, String) {
    (
        rating(w, check.melts.as_ref().map(|stick| stick.value.0)),
        rating(w, check.stays_solid.as_ref().map(|stick| stick.value.0)),
    )
}

/// The sizes, each with the mark on its gauge.
fn gauges(w: &Writer) -> String {
    let gauges: Vec<_> =
        w.p.joints
            .iter()
            .map(|joint| match &joint.gauge {
                Some(gauge) => w.say(Clause::SizeWithGauge {
                    size: joint.size.to_string(),
                    gauge: gauge.clone(),
                }),
                None => joint.size.to_string(),
            })
            .collect();
    gauges.join(", ")
}

pub(super) fn equipment(w: &Writer) -> Section {
    let spec = w.p.spec;
    let indicator = match &spec.heater.face_check {
        None => Clause::EquipmentIndicator,
        Some(check) => {
            let (melts, solid) = ratings(w, check);
            match check.method.value {
                FaceCheckMethod::Pyrometer => Clause::EquipmentPyrometer,
                FaceCheckMethod::Stick => Clause::EquipmentStick { melts },
                FaceCheckMethod::TwoSticks => Clause::EquipmentTwoSticks { melts, solid },
            }
        }
    };
    let mut checks = vec![
        Clause::EquipmentHeater,
        Clause::EquipmentAdapters { sizes: w.sizes() },
    ];
    checks.extend(if w.is_metric() {
        metric_work::tools(w)
    } else {
        vec![
            Clause::EquipmentGauges { gauges: gauges(w) },
            Clause::EquipmentRings { sizes: w.sizes() },
        ]
    });
    checks.extend(holding_tool(w));
    checks.extend([
        match &spec.tools.cutter_largest {
            Some(size) => Clause::EquipmentCutter {
                size: size.value.to_string(),
            },
            None => Clause::EquipmentCutterAny,
        },
        indicator,
        Clause::EquipmentTimer,
        Clause::EquipmentPower,
        Clause::EquipmentSetDown,
        Clause::EquipmentCleaning { agent: agent(w) },
        Clause::EquipmentCloths,
        Clause::EquipmentThermometer,
        Clause::EquipmentGloves,
        Clause::EquipmentScrap,
    ]);
    w.section(
        Clause::TitleEquipment,
        vec![
            w.text(Clause::EquipmentIntro),
            Block::Checks {
                items: checks.into_iter().map(|check| w.say(check)).collect(),
            },
        ],
    )
}

/// The tool that pushes the larger inch sizes together; one that does not take all
/// of them is not named.
fn holding_tool(w: &Writer) -> Option<Clause> {
    let sizes = holder::held(w.p, w.limits)?;
    let listed = w.p.spec.tools.machine_largest.as_ref();
    let takes = listed.and_then(|size| tool_reach(size.value, w.limits));
    let diameters =
        w.p.joints
            .iter()
            .filter_map(|j| j.outside_diameter.as_ref());
    let largest = diameters.map(|od| od.value).max();
    Some(match listed {
        Some(listed) if takes >= largest => Clause::EquipmentHolder {
            sizes,
            largest: listed.value.to_string(),
        },
        _ => Clause::EquipmentHolderAny { sizes },
    })
}

pub(super) fn heater(w: &Writer, numbers: &figures::Numbers) -> Section {
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
    blocks.push(Block::HeaterFigure(figures::heater(w)));
    w.section(Clause::TitleHeater, blocks)
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
    // Without a measured offset the face is not known, only the display.
    if heater.face_offset.is_some() {
        let face = &w.p.face;
        rows.push((
            Clause::HeaterFaceBand,
            format::temperature_range_cell(w.units(), face.swinging(), &to),
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

/// The set point, both scales.
pub(super) fn set_point(w: &Writer) -> String {
    w.units().temperature(w.p.spec.heater.set_point.value.0)
}

/// The window, both scales, marked when it is from memory.
pub(super) fn window(w: &Writer) -> Option<String> {
    let window = w.p.window.as_ref()?;
    let cell = format::temperature_range_cell(w.units(), window.value, &w.say(Clause::To));
    Some(format::marked(
        &cell.in_one_line(),
        window.needs_verifying(),
        w.words,
    ))
}
