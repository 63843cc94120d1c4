//! The equipment to bring.

use crate::papers::sheets::procedure::writer::{Clause, Section, Writer, work};
use crate::procedure::resolve::tool_reach;
use crate::process::socket::sheets::procedure::heater::ratings;
use crate::spec::{CleaningAgent, FaceCheckMethod};

pub(crate) fn equipment(w: &Writer) -> Section {
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
    checks.extend((w.practice_words().depth_tools)(gauges(w), w.sizes()));
    if work::peel(w.p) == Some(true) {
        checks.push(Clause::EquipmentPeeler { sizes: w.sizes() });
    }
    checks.extend(pusher(w));
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
        vec![w.text(Clause::EquipmentIntro), w.checks(checks)],
    )
}

/// What pipe end and socket are wiped with.
pub(crate) fn agent(w: &Writer) -> String {
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

/// The tool or machine that pushes larger sizes together. A tool that does not
/// take all of them is not named.
fn pusher(w: &Writer) -> Option<Clause> {
    let (sizes, words) = (w.pushed()?, &w.practice_words().pusher);
    let listed = w.p.spec.tools.machine_largest.as_ref();
    let takes = listed.and_then(|size| tool_reach(size.value, w.limits));
    let diameters =
        w.p.joints
            .iter()
            .filter_map(|j| j.outside_diameter.as_ref());
    let largest = diameters.map(|od| od.value).max();
    Some(match listed {
        Some(listed) if takes >= largest => (words.equipment)(sizes, listed.value.to_string()),
        _ => (words.equipment_any)(sizes),
    })
}
