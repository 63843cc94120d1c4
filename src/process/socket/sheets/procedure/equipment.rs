//! The kit to tick off before the first joint of the day.

use crate::papers::sheets::parts::{KitCheck, KitLine, KitRow};
use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer};
use crate::process::socket::sheets::kit::{Kit, SizeTools, kit};
use crate::spec::CleaningAgent;

pub(crate) fn equipment(w: &Writer) -> Section {
    let kit = kit(w);
    let mut columns = vec![Clause::KitColumnFemale, Clause::KitColumnMale];
    if kit.has_ring {
        columns.extend([Clause::KitColumnGauge, Clause::KitColumnRing]);
    }
    if kit.has_inserts() {
        columns.push(Clause::KitColumnInsert);
    }
    let rows = kit.sizes.iter().map(|tools| row(w, &kit, tools));
    // A ring of a size that is not joined is needed for its inserts alone.
    let carriers = kit.carriers.iter().map(|size| KitRow {
        size: w.size_name(*size),
        boxes: vec![None, None, None, Some(String::new()), None],
    });
    let check = KitCheck {
        columns: std::iter::once(w.size_head())
            .chain(columns.into_iter().map(|column| w.say(column)))
            .collect(),
        rows: rows.chain(carriers).collect(),
        note: kit.sizes_check.join(" "),
        items: kit
            .items
            .into_iter()
            .map(|item| KitLine {
                name: item.name,
                check: item.check,
            })
            .collect(),
    };
    w.section(
        Clause::TitleEquipment,
        vec![Block::KitCheck(Box::new(check))],
    )
    .lead(w.say(Clause::EquipmentIntro))
}

/// The boxes of a size.
fn row(w: &Writer, kit: &Kit, tools: &SizeTools) -> KitRow {
    let mut boxes = vec![Some(String::new()), Some(String::new())];
    if kit.has_ring {
        let own = tools.insert_in.is_none();
        boxes.push(Some(tools.gauge.clone().unwrap_or_default()));
        boxes.push(own.then(String::new));
    }
    if kit.has_inserts() {
        boxes.push(tools.insert_in.map(|ring| {
            w.say(Clause::KitInsertIn {
                size: ring.to_string(),
            })
        }));
    }
    KitRow {
        size: w.size_name(tools.size),
        boxes,
    }
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
