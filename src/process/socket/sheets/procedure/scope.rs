//! What the procedure covers.

use crate::core::units::print::Bound;
use crate::papers::sheets::procedure::writer::{Block, Clause, Section, Writer, format};
use crate::procedure::resolve::Joint;
use crate::process::socket::sheets::procedure::spigot;
use crate::spec::{FittingKind, Service};

pub(crate) fn scope(w: &Writer) -> Section {
    let (spec, words) = (w.p.spec, w.practice_words());
    let mut covered = vec![
        w.say(Clause::ScopeSizes { sizes: w.sizes() }),
        w.say(Clause::ScopeWalls { walls: walls(w) }),
        w.say((words.scope_fittings)(fittings(w))),
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
    if let Some(sizes) = w.pushed() {
        covered.push(w.say((words.pusher.scope)(sizes)));
    }
    let service = w.say(service(spec.service.value));
    let scope = (words.scope)(w.resin(), spec.organization.value.clone(), service);
    let mut blocks = vec![
        w.text(scope),
        Block::lead_in_list(covered),
        w.text(Clause::ScopeLimit),
    ];
    if w.covers(FittingKind::Spigot) {
        blocks.push(w.text(words.scope_spigot.clone()));
        let lengths: Vec<_> = spec
            .fittings
            .spigots
            .iter()
            .map(|(size, spigot)| {
                let length = format::with_other_unit(
                    w.units(),
                    &spigot::straight_length(w, spigot),
                    Bound::Nominal,
                );
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

pub(crate) fn service(service: Service) -> Clause {
    match service {
        Service::Gas => Clause::ServiceGas,
        Service::Water => Clause::ServiceWater,
        Service::Geothermal => Clause::ServiceGeothermal,
        Service::Industrial => Clause::ServiceIndustrial,
    }
}

pub(crate) fn fittings(w: &Writer) -> String {
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

/// The walls, listed by size if the sizes differ.
pub(crate) fn walls(w: &Writer) -> String {
    if let Some(walls) = common_walls(w) {
        return walls;
    }
    let groups: Vec<_> = wall_groups(w)
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

/// The walls, if all sizes have the same.
pub(crate) fn common_walls(w: &Writer) -> Option<String> {
    match wall_groups(w).as_slice() {
        [(walls, _)] => Some(walls.clone()),
        _ => None,
    }
}

/// Neighboring sizes with the same walls.
fn wall_groups(w: &Writer) -> Vec<(String, Vec<Joint>)> {
    let of = |joint: &Joint| {
        // Every joint of the size in turn.
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
    groups
}
