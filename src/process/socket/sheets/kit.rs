//! The kit that a crew has on the truck: one list for the kit check of the procedure and
//! for the lid sheet, from the spec where it says it.

use crate::core::size::Size;
use crate::papers::sheets::clause::Clause;
use crate::papers::sheets::procedure::writer::{Writer, work};
use crate::procedure::resolve::tool_reach;
use crate::process::socket::sheets::procedure::heater::ratings;
use crate::spec::{CleaningAgent, FaceCheckMethod, FittingKind, Tools};

/// What is on the truck.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Kit {
    /// The tools of each size, in the order of the sizes.
    pub(crate) sizes: Vec<SizeTools>,
    /// Rings of sizes that are not joined, which carry an insert of one that is.
    pub(crate) carriers: Vec<Size>,
    /// Whether a size has a gauge and a ring, or a mark on the pipe instead.
    pub(crate) has_ring: bool,
    /// What is checked of the tools of each size.
    pub(crate) sizes_check: Vec<String>,
    /// Everything else.
    pub(crate) items: Vec<Item>,
}

/// The tools of one size. Each size has a female and a male adapter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct SizeTools {
    pub(crate) size: Size,
    /// The mark on the depth gauge, if it has one.
    pub(crate) gauge: Option<String>,
    /// The size of the ring that this size's cold ring is an insert of, if it is one.
    pub(crate) insert_in: Option<Size>,
}

/// A thing to bring.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Item {
    /// What it is, in a few words.
    pub(crate) name: String,
    /// What is checked of it.
    pub(crate) check: String,
    /// Whether it is a cutter, of which there may be many.
    pub(crate) is_cutter: bool,
}

impl Kit {
    /// Whether any cold ring is an insert of another.
    pub(crate) fn has_inserts(&self) -> bool {
        self.sizes.iter().any(|tools| tools.insert_in.is_some())
    }
}

/// The kit of a procedure, in the words of its papers.
pub(crate) fn kit(w: &Writer) -> Kit {
    let spec = w.p.spec;
    let has_ring = w.practice().has_ring();
    let joined: Vec<_> = w.p.sizes().map(|joint| joint.size).collect();
    let insert_in = |size: Size| {
        let mut rings = spec.tools.cold_rings.iter();
        let (_, ring) = rings.find(|(of, _)| of.value == size)?;
        ring.insert_in.as_ref().map(|within| within.value)
    };
    let sizes: Vec<_> =
        w.p.sizes()
            .map(|joint| SizeTools {
                size: joint.size,
                gauge: joint.gauge.clone(),
                insert_in: insert_in(joint.size).filter(|_| has_ring),
            })
            .collect();
    let mut carriers: Vec<_> = sizes.iter().filter_map(|tools| tools.insert_in).collect();
    carriers.retain(|size| !joined.contains(size));
    carriers.sort();
    carriers.dedup();
    let words = &w.practice_words().kit;
    let mut kit = Kit {
        sizes,
        carriers,
        has_ring,
        sizes_check: vec![w.say(words.sizes_check.clone())],
        items: items(w),
    };
    if kit.has_inserts() {
        kit.sizes_check.push(w.say(Clause::KitInsertCheck));
    }
    kit
}

fn items(w: &Writer) -> Vec<Item> {
    let words = &w.practice_words().kit;
    let mut items = vec![
        (Clause::KitHeater, Clause::KitHeaterCheck),
        (Clause::KitPower, Clause::KitPowerCheck),
    ];
    let cutters = cutters(&w.p.spec.tools).into_iter();
    items.extend(cutters.map(|cutter| (cutter, Clause::KitCutterCheck)));
    items.push((Clause::KitChamfer, Clause::KitChamferCheck));
    if work::peel(w.p) == Some(true) {
        items.push((Clause::KitPeeler, Clause::KitPeelerCheck));
    }
    items.extend(pusher(w));
    items.push((words.marker.clone(), Clause::KitMarkerCheck));
    items.push(face_check(w));
    items.push((Clause::KitThermometer, Clause::KitThermometerCheck));
    items.push((timer(&w.p.spec.tools), Clause::KitTimerCheck));
    items.extend(cleaner(w).map(|cleaner| (cleaner, Clause::KitCleanerCheck)));
    items.push((Clause::KitCloths, Clause::KitClothsCheck));
    items.push((Clause::KitCotton, Clause::KitCottonCheck));
    let rests = rests(&w.p.spec.tools).into_iter();
    items.extend(rests.map(|rest| (rest, Clause::KitStandCheck)));
    items.push((Clause::KitGloves, Clause::KitGlovesCheck));
    if w.covers(FittingKind::ThreadedTransition) {
        items.push((Clause::KitWrenches, Clause::KitWrenchesCheck));
    }
    items.push((Clause::KitScrap, Clause::KitScrapCheck));
    let said = items.into_iter().map(|(name, check)| Item {
        name: w.say(name),
        is_cutter: check == Clause::KitCutterCheck,
        check: w.say(check),
    });
    said.collect()
}

fn cutters(tools: &Tools) -> Vec<Clause> {
    let largest = tools.cutter_largest.as_ref().map(|size| Clause::KitCutter {
        size: size.value.to_string(),
    });
    let by_size = tools.cutters.iter().map(|cutter| {
        let sizes = cutter.written();
        match &cutter.name {
            Some(name) => Clause::KitCutterNamed {
                name: capitalized(&name.value),
                sizes,
            },
            None => Clause::KitCutterSizes { sizes },
        }
    });
    let mut cutters: Vec<_> = largest.into_iter().chain(by_size).collect();
    if cutters.is_empty() {
        cutters.push(Clause::KitCutterAny);
    }
    cutters
}

/// An item begins with a capital letter, as the others of the list do.
fn capitalized(name: &str) -> String {
    let mut letters = name.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// The tool or machine that pushes larger sizes together. One that does not take
/// all of them is not named.
fn pusher(w: &Writer) -> Option<(Clause, Clause)> {
    let (sizes, words) = (w.pushed()?, &w.practice_words().kit);
    let listed = w.p.spec.tools.machine_largest.as_ref();
    let takes = listed.and_then(|size| tool_reach(size.value, w.limits));
    let diameters =
        w.p.joints
            .iter()
            .filter_map(|j| j.outside_diameter.as_ref());
    let largest = diameters.map(|od| od.value).max();
    Some(match listed {
        Some(listed) if takes >= largest => {
            let tool = (words.pusher)(listed.value.to_string());
            (tool, (words.pusher_check)(sizes))
        }
        _ => (words.pusher_any.clone(), (words.pusher_any_check)(sizes)),
    })
}

/// What the heater faces are checked with.
fn face_check(w: &Writer) -> (Clause, Clause) {
    let Some(check) = &w.p.spec.heater.face_check else {
        return (Clause::KitIndicator, Clause::KitIndicatorCheck);
    };
    let (melts, solid) = ratings(w, check);
    match check.method.value {
        FaceCheckMethod::Pyrometer => (Clause::KitPyrometer, Clause::KitPyrometerCheck),
        FaceCheckMethod::Stick => (
            Clause::KitStick {
                melts: melts.clone(),
            },
            Clause::KitStickCheck { melts },
        ),
        FaceCheckMethod::TwoSticks => (
            Clause::KitTwoSticks {
                melts: melts.clone(),
                solid: solid.clone(),
            },
            Clause::KitTwoSticksCheck { melts, solid },
        ),
    }
}

fn timer(tools: &Tools) -> Clause {
    match &tools.timer {
        Some(name) => Clause::KitTimerNamed {
            name: name.value.clone(),
        },
        None => Clause::KitTimer,
    }
}

/// What pipe end and socket are wiped with, beside the cloths.
fn cleaner(w: &Writer) -> Option<Clause> {
    let Some(cleaning) = &w.p.spec.cleaning else {
        return Some(Clause::KitCleanerOpen);
    };
    match (cleaning.agent.value, &cleaning.strength) {
        (CleaningAgent::DryCloth, _) => None,
        (CleaningAgent::IsopropylAlcohol, Some(strength)) => {
            Some(Clause::KitIsopropylAlcoholStrength {
                strength: strength.value.show(),
            })
        }
        (CleaningAgent::IsopropylAlcohol, None) => Some(Clause::KitIsopropylAlcohol),
        (CleaningAgent::Water, _) => Some(Clause::KitWater),
        (CleaningAgent::Acetone, _) => Some(Clause::KitAcetone),
    }
}

/// What the hot heater rests on or in.
fn rests(tools: &Tools) -> Vec<Clause> {
    let stand = tools.stand.as_ref().map(|name| Clause::KitStand {
        name: name.value.clone(),
    });
    let bag = tools.bag.as_ref().map(|name| Clause::KitBag {
        name: name.value.clone(),
    });
    let mut rests: Vec<_> = stand.into_iter().chain(bag).collect();
    if rests.is_empty() {
        rests.push(Clause::KitStandOrBag);
    }
    rests
}
