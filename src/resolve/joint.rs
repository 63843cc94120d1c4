//! Joints and pipes: what a size and a wall resolve to.

use crate::limits::{Basis, Library, Resin, ResinGroup, Sourced};
use crate::size::Size;
use crate::source::Span;
use crate::spec::{GaugeDepth, PipeClaim, Spec, WallClaim};
use crate::units::{DimensionRatio, Duration, Length, Percent, Range};

/// The insertion depth of a size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Depth {
    /// Measured on the gauge.
    Known(Sourced<Length>),
    /// The spec says it is still to be measured.
    ToBeMeasured(Span),
    /// The spec gives no gauge for the size.
    Missing,
}

impl Depth {
    /// The depth, if it is known.
    pub fn known(&self) -> Option<&Sourced<Length>> {
        match self {
            Depth::Known(depth) => Some(depth),
            Depth::ToBeMeasured(_) | Depth::Missing => None,
        }
    }
}

/// How a pipe's wall is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WallLabel {
    /// By dimension ratio.
    Ratio(DimensionRatio),
    /// By its least wall, as tubing is sold.
    Stated(Length),
}

/// A pipe of one size and wall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pipe {
    /// How the wall is named.
    pub label: WallLabel,
    /// Where the spec claims it.
    pub claimed_at: Span,
    /// Least wall.
    pub least_wall: Sourced<Length>,
    /// How much thicker the wall may be.
    pub wall_tolerance: Option<Sourced<Length>>,
    /// Inside diameter with the least wall.
    pub inside_diameter: Sourced<Length>,
    /// Outside diameter over least wall.
    pub ratio: Option<DimensionRatio>,
}

/// All that is known of the joint of one size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joint {
    /// The size.
    pub size: Size,
    /// Where the spec claims it first.
    pub claimed_at: Span,
    /// Average outside diameter, where published.
    pub outside_diameter: Option<Sourced<Length>>,
    /// Tolerance on it, each way.
    pub od_tolerance: Option<Sourced<Length>>,
    /// Circumference of the average outside diameter.
    pub circumference: Option<Sourced<Length>>,
    /// Heating, shortest to longest: the organisation's own, else as published.
    pub heat: Option<Sourced<Range<Duration>>>,
    /// Heating as published.
    pub published_heat: Option<Sourced<Range<Duration>>>,
    /// Hold in the cold ring: the organisation's own, else as published.
    pub hold: Option<Sourced<Duration>>,
    /// Hold as published.
    pub published_hold: Option<Sourced<Duration>>,
    /// Insertion depth.
    pub depth: Depth,
    /// The mark on the depth gauge.
    pub gauge: Option<String>,
    /// The walls claimed for the size, thickest first.
    pub pipes: Vec<Pipe>,
}

/// Every joint the spec claims, by system and size.
pub fn joints(spec: &Spec, resin: Option<&Resin>, limits: &Library) -> Vec<Joint> {
    let group = resin.map(|resin| resin.group);
    let mut joints: Vec<Joint> = Vec::new();
    for claim in &spec.pipe {
        for (size, span) in expand(claim, limits) {
            let index = match joints.iter().position(|joint| joint.size == size) {
                Some(index) => index,
                None => {
                    joints.push(joint(size, span, spec, group, limits));
                    joints.len() - 1
                }
            };
            if let Some(joint) = joints.get_mut(index) {
                add_pipes(joint, claim, limits);
            }
        }
    }
    joints.sort_by_key(|joint| joint.size);
    for joint in &mut joints {
        joint
            .pipes
            .sort_by_key(|pipe| std::cmp::Reverse(pipe.least_wall.value));
    }
    joints
}

/// The sizes of a claim: a range runs through the published sizes of its system.
fn expand(claim: &PipeClaim, limits: &Library) -> Vec<(Size, Span)> {
    let mut sizes = Vec::new();
    for range in &claim.sizes {
        let (least, most) = (range.value.least, range.value.most);
        let mut within: Vec<_> = limits
            .sizes(least.system())
            .into_iter()
            .filter(|size| range.value.contains(*size))
            .collect();
        // An end that has no published row is still claimed; a rule says so.
        within.extend([least, most]);
        within.sort();
        within.dedup();
        sizes.extend(within.into_iter().map(|size| (size, range.span)));
    }
    sizes
}

fn joint(
    size: Size,
    claimed_at: Span,
    spec: &Spec,
    group: Option<ResinGroup>,
    limits: &Library,
) -> Joint {
    let own = spec.cycles.rows.iter().find(|row| row.size.value == size);
    let source = own.map_or("", |row| row.source.value.as_str());
    let published_heat = group.and_then(|group| limits.heating(group, size));
    let published_hold = group.and_then(|group| limits.hold(group, size));
    let own_heat = own
        .and_then(|row| row.heat.as_ref())
        .map(|heat| Sourced::stated(heat.value, Basis::Organization, source));
    let own_hold = own
        .and_then(|row| row.hold.as_ref())
        .map(|hold| Sourced::stated(hold.value, Basis::Organization, source));
    let gauge = spec
        .tools
        .depth_gauges
        .iter()
        .find(|(s, _)| s.value == size);
    let depth = match gauge.map(|(_, gauge)| (&gauge.depth, &gauge.source)) {
        Some((GaugeDepth::Known(depth), source)) => Depth::Known(
            Sourced::stated(
                depth.value,
                Basis::Measured,
                source
                    .as_ref()
                    .map_or("stated in the spec without a source", |s| s.value.as_str()),
            )
            .as_written(&depth.text),
        ),
        Some((GaugeDepth::ToBeMeasured(span), _)) => Depth::ToBeMeasured(*span),
        None => Depth::Missing,
    };
    let outside_diameter = limits.outside_diameter(size);
    Joint {
        size,
        claimed_at,
        circumference: outside_diameter
            .as_ref()
            .map(|od| Sourced::derived(od.value.circumference(), "π × OD", &[od.standing])),
        outside_diameter,
        od_tolerance: limits.od_tolerance(size),
        heat: own_heat.or_else(|| published_heat.clone()),
        published_heat,
        hold: own_hold.or_else(|| published_hold.clone()),
        published_hold,
        depth,
        gauge: gauge.and_then(|(_, gauge)| gauge.id.as_ref().map(|id| id.value.clone())),
        pipes: Vec::new(),
    }
}

/// The walls of a claim, each with its place.
pub fn walls(claim: &PipeClaim) -> Vec<(WallLabel, Span)> {
    match &claim.wall {
        WallClaim::Ratios(ratios) => ratios
            .iter()
            .map(|ratio| (WallLabel::Ratio(ratio.value), ratio.span))
            .collect(),
        WallClaim::Stated(walls) => walls
            .iter()
            .map(|wall| (WallLabel::Stated(wall.value), wall.span))
            .collect(),
    }
}

fn add_pipes(joint: &mut Joint, claim: &PipeClaim, limits: &Library) {
    let Some(od) = joint.outside_diameter.clone() else {
        return;
    };
    for (label, claimed_at) in walls(claim) {
        if joint.pipes.iter().any(|pipe| pipe.label == label) {
            continue;
        }
        let least_wall = match label {
            WallLabel::Stated(wall) => {
                Sourced::stated(wall, Basis::Organization, "stated in the spec")
            }
            WallLabel::Ratio(ratio) => least_wall(&od, ratio, limits),
        };
        joint.pipes.push(Pipe {
            label,
            claimed_at,
            wall_tolerance: wall_tolerance(&least_wall, limits),
            inside_diameter: Sourced::derived(
                // A wall that leaves no bore is an error, said by a rule.
                (od.value - least_wall.value.scaled(2, 1)).max(Length::ZERO),
                "OD − 2 × least wall",
                &[od.standing, least_wall.standing],
            ),
            ratio: DimensionRatio::of(od.value, least_wall.value),
            least_wall,
        });
    }
}

/// OD / DR, not below the least wall the rule allows.
fn least_wall(od: &Sourced<Length>, ratio: DimensionRatio, limits: &Library) -> Sourced<Length> {
    let floor = limits
        .figure("wall-rules:least-wall:length")
        .and_then(|figure| figure.length());
    let wall = ratio.wall(od.value);
    match floor {
        Some(floor) => Sourced::derived(
            wall.max(floor.value),
            "average OD / DR, not below the least wall of the rule",
            &[od.standing, floor.standing],
        ),
        None => Sourced::derived(wall, "average OD / DR", &[od.standing]),
    }
}

/// The greater of a share of the wall and a fixed length.
fn wall_tolerance(wall: &Sourced<Length>, limits: &Library) -> Option<Sourced<Length>> {
    let share: Sourced<Percent> = limits
        .figure("wall-rules:wall-tolerance:percent")?
        .percent()?;
    let fixed = limits
        .figure("wall-rules:wall-tolerance:length")?
        .length()?;
    Some(Sourced::derived(
        share.value.of_length(wall.value).max(fixed.value),
        "plus only: the greater of a share of the wall and a fixed length",
        &[wall.standing, share.standing, fixed.standing],
    ))
}
