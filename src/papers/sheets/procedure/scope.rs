//! What the procedure covers, what it refers to, and what can hurt.

use super::super::block::{Block, Section};
use super::super::clause::Clause;
use super::super::{format, holder, resin};
use super::{Fact, Writer, metric_work, tools};
use crate::core::units::Length;
use crate::core::units::print::Bound;
use crate::procedure::resolve::Joint;
use crate::published::{Basis, Figure, Sourced};
use crate::spec::{FittingKind, Service, Spigot, Status};

/// Signal words, the gravest first.
const SIGNALS: [(&str, Clause); 4] = [
    ("DANGER", Clause::SignalDanger),
    ("WARNING", Clause::SignalWarning),
    ("CAUTION", Clause::SignalCaution),
    ("NOTICE", Clause::SignalNotice),
];

pub(super) fn facts(w: &Writer) -> Vec<Fact> {
    let spec = w.p.spec;
    let to = w.say(Clause::To);
    let mut facts = vec![
        (Clause::FactService, w.say(service(spec.service.value))),
        (Clause::FactResin, resin(w)),
        (Clause::FactSizes, w.sizes()),
        (Clause::FactWalls, walls(w)),
        (Clause::FactFittings, fittings(w)),
    ];
    if let Some(range) = &spec.pipe_temperature {
        let cell = format::temperature_range_cell(w.units(), range.value, &to);
        facts.push((Clause::FactPipeTemperature, cell.in_one_line()));
    }
    if let Some(window) = tools::window(w) {
        facts.push((Clause::FactHeaterFace, window));
    }
    let effective = spec.revisions.last().and_then(|r| r.effective.as_ref());
    let in_force = effective.filter(|_| spec.status.value != Status::Draft);
    if let Some(effective) = in_force {
        facts.push((Clause::FactEffective, effective.value.to_string()));
    }
    facts
        .into_iter()
        .map(|(label, value)| Fact {
            band: resin::band(w.p).filter(|_| label == Clause::FactResin),
            label: w.say(label),
            value,
        })
        .collect()
}

/// The resin by name and kind: in words before any color.
fn resin(w: &Writer) -> String {
    let kind = resin::kind(w.p, w.words);
    [Some(w.resin()), kind]
        .into_iter()
        .flatten()
        .collect::<Vec<_>>()
        .join(", ")
}

pub(super) fn service(service: Service) -> Clause {
    match service {
        Service::Gas => Clause::ServiceGas,
        Service::Water => Clause::ServiceWater,
        Service::Geothermal => Clause::ServiceGeothermal,
        Service::Industrial => Clause::ServiceIndustrial,
    }
}

fn fittings(w: &Writer) -> String {
    let kinds = w.p.spec.fittings.kinds.iter().map(|kind| {
        w.say(match kind.value {
            FittingKind::Coupling => Clause::FittingCoupling,
            FittingKind::Elbow => Clause::FittingElbow,
            FittingKind::Tee => Clause::FittingTee,
            FittingKind::Reducer => Clause::FittingReducer,
            FittingKind::ThreadedTransition => Clause::FittingThreadedTransition,
            FittingKind::Cap => Clause::FittingCap,
            FittingKind::Spigot => Clause::FittingSpigot,
        })
    });
    kinds.collect::<Vec<_>>().join(", ")
}

/// The walls; by size where the sizes differ.
fn walls(w: &Writer) -> String {
    let of = |joint: &Joint| {
        // Every joint of the size, one after the other.
        let of_size = w.p.joints.iter().filter(|j| j.size == joint.size);
        let walls = of_size.map(|joint| format::walls(w.units(), joint));
        walls.collect::<Vec<_>>().join(", ")
    };
    let mut groups: Vec<(String, Vec<Joint>)> = Vec::new();
    for joint in w.p.sizes() {
        let walls = of(joint);
        match groups.last_mut().filter(|(last, _)| *last == walls) {
            Some((_, joints)) => joints.push(joint.clone()),
            None => groups.push((walls, vec![joint.clone()])),
        }
    }
    if let [(walls, _)] = groups.as_slice() {
        return walls.clone();
    }
    let groups: Vec<_> = groups
        .into_iter()
        .map(|(walls, joints)| {
            w.say(Clause::WallsOfSizes {
                sizes: format::sizes(&joints),
                walls,
            })
        })
        .collect();
    groups.join("; ")
}

pub(super) fn scope(w: &Writer) -> Section {
    let spec = w.p.spec;
    let mut covered = vec![
        w.say(Clause::ScopeSizes { sizes: w.sizes() }),
        w.say(Clause::ScopeWalls { walls: walls(w) }),
        w.say(if w.is_metric() {
            Clause::ScopeFittingsMetric {
                fittings: fittings(w),
            }
        } else {
            Clause::ScopeFittings {
                fittings: fittings(w),
            }
        }),
        w.say(match &spec.pipe_temperature {
            Some(range) => Clause::ScopeTemperature {
                range: format::temperature_range_cell(w.units(), range.value, &w.say(Clause::To))
                    .in_one_line(),
            },
            None => Clause::ScopeTemperatureOpen,
        }),
    ];
    if let Some(least) = &spec.least_wall {
        covered.push(w.say(Clause::ScopeLeastWall {
            wall: w.units().minimum_length(least.value.value),
        }));
    }
    if let Some(sizes) = metric_work::by_machine(w) {
        covered.push(w.say(Clause::ScopeMachine { sizes }));
    }
    if let Some(sizes) = holder::held(w.p, w.limits) {
        covered.push(w.say(Clause::ScopeHolder { sizes }));
    }
    let (resin, organization) = (w.resin(), spec.organization.value.clone());
    let service = w.say(service(spec.service.value));
    let mut blocks = vec![
        w.text(if w.is_metric() {
            Clause::ScopeMetric {
                resin,
                organization,
                service,
            }
        } else {
            Clause::Scope {
                resin,
                organization,
                service,
            }
        }),
        Block::heads(covered),
        w.text(Clause::ScopeLimit),
    ];
    if spec
        .fittings
        .kinds
        .iter()
        .any(|kind| kind.value == FittingKind::Spigot)
    {
        blocks.push(w.text(w.by_practice(Clause::ScopeSpigotMetric, Clause::ScopeSpigot)));
        let lengths: Vec<_> = spec
            .fittings
            .spigots
            .iter()
            .map(|(size, spigot)| {
                let length =
                    format::with_other_unit(w.units(), &spigot_length(w, spigot), Bound::Nominal);
                format!("{} {length}", size.value)
            })
            .collect();
        if !lengths.is_empty() {
            blocks.push(w.text(Clause::ScopeSpigotLengths {
                lengths: lengths.join("; "),
            }));
        }
    }
    blocks.push(w.text(Clause::Deference));
    w.section(Clause::TitleScope, blocks)
}

/// The straight length of a spigot end; without a source nothing says that it
/// was measured.
pub(super) fn spigot_length(w: &Writer, spigot: &Spigot) -> Sourced<Length> {
    let length = &spigot.straight_length;
    let (basis, source) = match &spigot.source {
        Some(source) => (Basis::Measured, source.value.clone()),
        None => (Basis::Organization, w.say(Clause::SourceUnsourced)),
    };
    Sourced::stated(length.value, basis, source).as_written(&length.text)
}

pub(super) fn references(w: &Writer) -> Section {
    let named: Vec<_> =
        w.p.spec
            .references
            .iter()
            .map(|r| r.value.clone())
            .collect();
    let mut blocks = if named.is_empty() {
        vec![w.text(Clause::ReferencesNone)]
    } else {
        vec![w.text(Clause::ReferencesIntro), w.authors(named)]
    };
    blocks.push(w.text(Clause::ReferencesFigures));
    w.section(Clause::TitleReferences, blocks)
}

/// Signal, signal word and statement of each hazard, the gravest first.
pub(super) fn hazards<'a>(w: &Writer<'a>) -> Vec<(&'static str, String, &'a Figure)> {
    let work = w.p.work();
    let mut hazards: Vec<_> = w
        .limits
        .texts("hazards", "signal")
        .into_iter()
        .filter(|signal| w.limits.bears_on(signal, &work))
        .filter_map(|signal| {
            let word = signal.text()?;
            let rank = SIGNALS
                .iter()
                .position(|(known, _)| known.eq_ignore_ascii_case(word))?;
            let text = w.limits.beside(signal, "text")?;
            Some((rank, SIGNALS.get(rank)?, text))
        })
        .collect();
    hazards.sort_by_key(|(rank, ..)| *rank);
    hazards
        .into_iter()
        .map(|(_, (signal, word), text)| (*signal, w.say(word.clone()), text))
        .collect()
}

pub(super) fn cautions(w: &Writer) -> Section {
    let mut blocks = vec![w.text(Clause::CautionsIntro)];
    blocks.extend(hazards(w).into_iter().filter_map(|(signal, word, figure)| {
        Some(Block::Caution {
            signal: signal.to_owned(),
            word,
            text: w.statement(figure)?,
        })
    }));
    w.section(Clause::TitleCautions, blocks)
}
