//! Rules about texts that name pipe the spec is not about: the title, a revision's
//! change, and the source of a depth.

pub(crate) mod change;
mod mentions;
pub(crate) mod source;
pub(crate) mod title;

use super::{Context, wording};
use crate::core::size::{Size, SizeSystem};
use crate::process::socket::practice::PRACTICES;
use crate::published::{Family, Library, ResinGroup};
use crate::spec::WallClaim;
use mentions::{Polymer, Words, bare};

/// What a text names outside the scope, each with the field it belongs in.
fn outside_scope(context: &Context<'_>, words: &Words) -> Vec<(String, &'static str)> {
    let mut outside = Vec::new();
    let mut add = |names: Vec<String>, field| {
        if !names.is_empty() {
            outside.push((wording::list(&names), field));
        }
    };
    add(other_resins(context, words), "scope.resin");
    add(other_sizes(context, words), "scope.pipe");
    add(other_ratios(context, words), "dimension_ratio");
    outside
}

fn other_resins(context: &Context<'_>, words: &Words) -> Vec<String> {
    let spec = context.procedure.spec;
    let own = [Some(&spec.resin), spec.fittings.resin.as_ref()];
    let own: Vec<_> = own.into_iter().flatten().map(|code| bare(code)).collect();
    let mut others = resins(context.limits, words);
    others.retain(|name| !is_one_of(name, &own));
    // The polymer of an unknown resin is unknown too.
    if let Some(resin) = &context.procedure.resin {
        let polymers = words.polymers().into_iter();
        let others_by_word = polymers.filter(|(_, polymer)| !polymer_fits(*polymer, resin.group));
        others.extend(others_by_word.map(|(name, _)| name));
    }
    each_once(others)
}

/// Resins named by designation.
fn resins(limits: &Library, words: &Words) -> Vec<String> {
    let practices = PRACTICES.into_iter();
    let codes: Vec<_> = practices.flat_map(|p| limits.resin_codes(p)).collect();
    words.resins(&codes)
}

/// Whether a designation is among `own`. PE100-RC counts as PE100.
fn is_one_of(name: &str, own: &[String]) -> bool {
    let name = bare(name);
    own.iter()
        .any(|own| own.starts_with(&name) || name.starts_with(own.as_str()))
}

/// Resins and revisions that a text names and that belong to none of several procedures.
pub(crate) fn mentions_of_none(
    limits: &Library,
    text: &str,
    own_resins: &[String],
    own_revisions: &[u32],
) -> Vec<String> {
    let words = Words::new(text);
    if words.names_the_unclaimed() {
        return Vec::new();
    }
    let own: Vec<_> = own_resins.iter().map(|code| bare(code)).collect();
    let mut others = resins(limits, &words);
    others.retain(|name| !is_one_of(name, &own));
    let revisions = words.revisions();
    // A text may also name an earlier revision.
    if !revisions
        .iter()
        .any(|number| own_revisions.contains(number))
    {
        others.extend(revisions.iter().map(|number| format!("revision {number}")));
    }
    each_once(others)
}

/// Whether this polymer name fits a resin of the group.
fn polymer_fits(polymer: Polymer, group: ResinGroup) -> bool {
    match polymer {
        Polymer::Polyethylene => group.family() == Family::Polyethylene,
        Polymer::Polypropylene => group.family() == Family::Polypropylene,
        Polymer::MediumDensity => {
            matches!(group, ResinGroup::MediumDensity | ResinGroup::MetricPe)
        }
        Polymer::HighDensity => matches!(group, ResinGroup::HighDensity | ResinGroup::MetricPe),
        Polymer::Other => false,
    }
}

fn other_sizes(context: &Context<'_>, words: &Words) -> Vec<String> {
    let mut named = words.inch_sizes();
    // The millimeters of an inch size may follow it.
    if named.is_empty() {
        named.extend(words.metric_sizes());
    }
    let claimed = |size: &Size| context.procedure.joints.iter().any(|j| j.size == *size);
    let is_published = |size: &Size| context.limits.sizes(size.system()).contains(size);
    named.retain(|size| is_published(size) && !claimed(size));
    let mut others: Vec<_> = named.iter().map(Size::to_string).collect();
    for (word, system) in [("ips", SizeSystem::Ips), ("cts", SizeSystem::Cts)] {
        let mut joints = context.procedure.joints.iter();
        let has_system = joints.any(|joint| joint.size.system() == system);
        if words.has(word) && !has_system && !named.iter().any(|size| size.system() == system) {
            others.push(system.name().to_owned());
        }
    }
    each_once(others)
}

fn other_ratios(context: &Context<'_>, words: &Words) -> Vec<String> {
    let mut claimed = Vec::new();
    for claim in &context.procedure.spec.pipe {
        match &claim.wall {
            WallClaim::Ratios(ratios) => {
                claimed.extend(ratios.iter().map(|ratio| ratio.value.number()));
            }
            WallClaim::Both(ratio, _) => claimed.push(ratio.value.number()),
            // A wall in inches also has a ratio.
            WallClaim::Stated(_) => return Vec::new(),
        }
    }
    let mut others = words.ratios();
    others.retain(|ratio| !claimed.contains(ratio));
    let named = others.iter().map(|ratio| format!("DR {ratio}"));
    each_once(named.collect())
}

fn each_once(names: Vec<String>) -> Vec<String> {
    let mut once: Vec<String> = Vec::new();
    for name in names {
        if !once.contains(&name) {
            once.push(name);
        }
    }
    once
}
