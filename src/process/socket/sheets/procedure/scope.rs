//! What the procedure covers, in words.

use crate::papers::sheets::procedure::writer::{Clause, Writer, format};
use crate::procedure::resolve::Joint;
use crate::spec::{FittingKind, Service};

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
pub(crate) fn walls(w: &Writer) -> Vec<String> {
    if let Some(walls) = common_walls(w) {
        return vec![walls];
    }
    wall_groups(w)
        .into_iter()
        .map(|(walls, joints)| {
            w.say(Clause::WallsOfSizes {
                sizes: format::sizes(&joints),
                walls,
            })
        })
        .collect()
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
