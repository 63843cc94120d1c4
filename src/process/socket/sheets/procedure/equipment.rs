//! The equipment to bring.

use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer};
use crate::process::socket::sheets::kit::{Kit, kit};
use crate::spec::CleaningAgent;

pub(crate) fn equipment(w: &Writer) -> Section {
    let kit = kit(w);
    let mut items = of_sizes(w, &kit);
    let rest = kit.items.iter();
    items.extend(rest.map(|item| format!("{}: {}", item.name, item.check)));
    let mut blocks = vec![w.text(Clause::EquipmentIntro), Block::Checks { items }];
    let checks = kit.sizes_check.into_iter();
    blocks.extend(checks.map(|text| Block::Text { text }));
    w.section(Clause::TitleEquipment, blocks)
}

/// The tools of each size, a line for each.
fn of_sizes(w: &Writer, kit: &Kit) -> Vec<String> {
    let mut lines = Vec::new();
    for tools in &kit.sizes {
        let mut parts = vec![w.say(Clause::KitColumnFemale), w.say(Clause::KitColumnMale)];
        if kit.has_ring {
            let gauge = w.say(Clause::KitColumnGauge);
            parts.push(match &tools.gauge {
                Some(mark) => format!("{gauge} {mark}"),
                None => gauge,
            });
            parts.push(match tools.insert_in {
                Some(ring) => {
                    let within = Clause::KitInsertIn {
                        size: ring.to_string(),
                    };
                    format!("{} {}", w.say(Clause::KitColumnInsert), w.say(within))
                }
                None => w.say(Clause::KitColumnRing),
            });
        }
        lines.push(format!("{}: {}", tools.size, parts.join(", ")));
    }
    for size in &kit.carriers {
        lines.push(format!("{size}: {}", w.say(Clause::KitColumnRing)));
    }
    lines
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
