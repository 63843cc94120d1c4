//! Resolves a size and a wall to its joint and pipes.

use super::cycle::{JointCycle, PhaseTime, TimedPhase};
use super::stated_or_published;
use crate::core::size::{Size, SizeSystem};
use crate::core::source::Span;
use crate::core::units::print::{UnitsFirst, millimeters};
use crate::core::units::{DimensionRatio, Duration, Length, LengthUnit, Percent, Range};
use crate::process::socket::practice::PhaseName;
use crate::published::{
    Basis, Cycle, Family, Library, Resin, ResinGroup, Socket, Sourced, WallGroup,
};
use crate::spec::{CycleRow, GaugeDepth, PipeClaim, RowWalls, Service, Spec, WallClaim, Written};

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
    /// By its minimum wall, as tubing is sold.
    Stated(Length),
    /// By dimension ratio, with the minimum wall that the spec states for it.
    Both(DimensionRatio, Length),
}

impl WallLabel {
    /// `DR 11`, `0.090 in`; in metric practice `SDR 11`, `5.8 mm`.
    pub(crate) fn name(self, units: UnitsFirst) -> String {
        match (self, units) {
            (WallLabel::Ratio(ratio) | WallLabel::Both(ratio, _), UnitsFirst::Us) => {
                format!("DR {}", ratio.number())
            }
            (WallLabel::Ratio(ratio) | WallLabel::Both(ratio, _), UnitsFirst::Metric) => {
                format!("SDR {}", ratio.number())
            }
            (WallLabel::Stated(wall), UnitsFirst::Us) => wall.show(LengthUnit::Inch),
            (WallLabel::Stated(wall), UnitsFirst::Metric) => millimeters(wall),
        }
    }

    /// The name with everything the spec states: `SDR 7.4 (2.8 mm)`.
    pub(crate) fn full_name(self, units: UnitsFirst) -> String {
        match self {
            WallLabel::Both(_, wall) => {
                let wall = WallLabel::Stated(wall).name(units);
                format!("{} ({wall})", self.name(units))
            }
            WallLabel::Ratio(_) | WallLabel::Stated(_) => self.name(units),
        }
    }

    /// The dimension ratio, if the spec gives one.
    pub(crate) fn ratio(self) -> Option<DimensionRatio> {
        match self {
            WallLabel::Ratio(ratio) | WallLabel::Both(ratio, _) => Some(ratio),
            WallLabel::Stated(_) => None,
        }
    }
}

/// A pipe of one size and wall.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pipe {
    /// How the wall is named.
    pub label: WallLabel,
    /// Place of the claim in the spec.
    pub claimed_at: Span,
    /// Minimum wall.
    pub minimum_wall: Sourced<Length>,
    /// Plus tolerance on the wall.
    pub wall_tolerance: Option<Sourced<Length>>,
    /// Inside diameter at minimum wall.
    pub inside_diameter: Sourced<Length>,
    /// Outside diameter over minimum wall.
    pub ratio: Option<DimensionRatio>,
}

/// The resolved joint of one size; in metric practice, of one size and one group of walls
/// that share a heating time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joint {
    /// The size.
    pub size: Size,
    /// The group of walls, if heating depends on it.
    pub walls: Option<WallGroup>,
    /// The dimension ratio of a wall that belongs to no group and so has no published
    /// time.
    pub ungrouped_ratio: Option<DimensionRatio>,
    /// Place of the size's first claim in the spec.
    pub claimed_at: Span,
    /// Place of the first claimed wall in the spec.
    pub wall_at: Span,
    /// Published outside diameter: the average for inch pipe, the nominal (which is the
    /// minimum) for metric pipe.
    pub outside_diameter: Option<Sourced<Length>>,
    /// Outside diameter tolerance: plus or minus for inch pipe, plus only for metric
    /// pipe.
    pub od_tolerance: Option<Sourced<Length>>,
    /// Allowed range of the mean outside diameter.
    pub od_band: Option<Sourced<Range<Length>>>,
    /// The middle of that range; strips are cut to close on it.
    pub mean_diameter: Option<Sourced<Length>>,
    /// Maximum out-of-roundness as made.
    pub out_of_roundness: Option<Sourced<Length>>,
    /// The times as published.
    pub published: Cycle,
    /// The phases of the practice's cycle in order, each with its time.
    pub cycle: JointCycle,
    /// Insertion depth.
    pub depth: Depth,
    /// The mark on the depth gauge.
    pub gauge: Option<String>,
    /// The socket as published.
    pub socket: Option<Socket>,
    /// The walls claimed for the size, thickest first.
    pub pipes: Vec<Pipe>,
}

impl Joint {
    /// The organization's own times for this joint, if the spec has any.
    pub(crate) fn own_row<'s>(&self, spec: &'s Spec) -> Option<&'s CycleRow> {
        own_row(spec, self.size, self.walls, self.ungrouped_ratio)
    }
}

/// The row for these walls, or else the one for all walls of the size.
fn own_row(
    spec: &Spec,
    size: Size,
    walls: Option<WallGroup>,
    ungrouped_ratio: Option<DimensionRatio>,
) -> Option<&CycleRow> {
    let is_for = |of: RowWalls| match of {
        RowWalls::Group(group) => Some(group) == walls,
        RowWalls::Ratio(ratio) => Some(ratio) == ungrouped_ratio,
    };
    let rows = || spec.cycles.rows.iter().filter(|row| row.size.value == size);
    rows()
        .find(|row| row.walls.as_ref().is_some_and(|of| is_for(of.value)))
        .or_else(|| rows().find(|row| row.walls.is_none()))
}

/// Every joint the spec claims, sorted by system, size, and group of walls.
pub(crate) fn joints(spec: &Spec, resin: Option<&Resin>, limits: &Library) -> Vec<Joint> {
    let group = resin.map(|resin| resin.group);
    let mut joints: Vec<Joint> = Vec::new();
    for claim in &spec.pipe {
        for (size, span) in sizes(claim, limits) {
            for (label, claimed_at) in walls(claim) {
                let (walls, ungrouped_ratio) = wall_group_for(size, label, group, limits);
                let published_ratio = walls.map(WallGroup::published_ratio);
                let same = |joint: &Joint| {
                    (joint.size, joint.walls, joint.ungrouped_ratio)
                        == (size, walls, ungrouped_ratio)
                };
                let index = match joints.iter().position(same) {
                    Some(index) => index,
                    None => {
                        let places = (span, claimed_at);
                        joints.push(joint(
                            size,
                            (walls, ungrouped_ratio),
                            places,
                            spec,
                            group,
                            limits,
                        ));
                        joints.len() - 1
                    }
                };
                let Some(joint) = joints.get_mut(index) else {
                    continue;
                };
                let ratio = walls.and_then(|_| ratio(size, label, limits));
                if let Some(published_ratio) = published_ratio.filter(|_| published_ratio != ratio)
                {
                    mark_other_wall(joint.cycle.heat_mut(), published_ratio);
                    mark_other_wall(joint.published.heat.as_mut(), published_ratio);
                }
                add_pipe(joint, (label, claimed_at), spec, group, limits);
            }
        }
    }
    joints.sort_by_key(|joint| (joint.size, joint.walls, joint.ungrouped_ratio));
    for joint in &mut joints {
        joint
            .pipes
            .sort_by_key(|pipe| std::cmp::Reverse(pipe.minimum_wall.value));
    }
    joints
}

/// The sizes of a claim. A range includes every published size of its system.
pub(crate) fn sizes(claim: &PipeClaim, limits: &Library) -> Vec<(Size, Span)> {
    let mut sizes = Vec::new();
    for range in &claim.sizes {
        let (least, most) = (range.value.least, range.value.most);
        let mut within: Vec<_> = limits
            .sizes(least.system())
            .into_iter()
            .filter(|size| range.value.contains(*size))
            .collect();
        // The ends are claimed even if they are not published; a rule reports that.
        within.extend([least, most]);
        within.sort();
        within.dedup();
        sizes.extend(within.into_iter().map(|size| (size, range.span)));
    }
    sizes
}

/// Marks a published heating time as recalled when it is used for a wall it was not
/// published for.
fn mark_other_wall(heat: Option<&mut Sourced<Range<Duration>>>, published_ratio: DimensionRatio) {
    let of_a_table = |heat: &&mut Sourced<_>| heat.id.is_some();
    let Some(heat) = heat.filter(of_a_table) else {
        return;
    };
    // Confirmed by a reader of the edition, or already marked.
    if matches!(heat.basis, Basis::Confirmed | Basis::Recalled) {
        return;
    }
    (heat.basis, heat.weakest_basis) = (Basis::Recalled, Basis::Recalled);
    heat.source = format!(
        "{}; read for SDR {}, taken over for another wall",
        heat.source,
        published_ratio.number()
    );
}

/// The wall group that sets a pipe's heating time, or the ratio that has no group. Both
/// are `None` outside metric PE, where one time covers all walls of a size.
pub(crate) fn wall_group_for(
    size: Size,
    label: WallLabel,
    group: Option<ResinGroup>,
    limits: &Library,
) -> (Option<WallGroup>, Option<DimensionRatio>) {
    let ratio = group
        .filter(|group| *group == ResinGroup::MetricPe)
        .and_then(|_| ratio(size, label, limits));
    let walls = ratio.and_then(WallGroup::from_ratio);
    (walls, ratio.filter(|_| walls.is_none()))
}

/// The dimension ratio that decides the heating time of a metric PE pipe.
fn ratio(size: Size, label: WallLabel, limits: &Library) -> Option<DimensionRatio> {
    match label {
        WallLabel::Ratio(ratio) | WallLabel::Both(ratio, _) => Some(ratio),
        WallLabel::Stated(wall) => limits
            .metric_ratio(size, wall)
            .or_else(|| DimensionRatio::from_wall(limits.outside_diameter(size)?.value, wall)),
    }
}

fn joint(
    size: Size,
    (walls, ungrouped_ratio): (Option<WallGroup>, Option<DimensionRatio>),
    (claimed_at, wall_at): (Span, Span),
    spec: &Spec,
    group: Option<ResinGroup>,
    limits: &Library,
) -> Joint {
    let own = own_row(spec, size, walls, ungrouped_ratio);
    let published = group.map_or_else(Cycle::default, |group| limits.cycle(group, size, walls));
    let cycles = &spec.cycles;
    let source = own.map_or("", |row| row.source.value.as_str());
    let own_time = |time: fn(&CycleRow) -> &Option<Written<Duration>>| {
        own.and_then(|row| time(row).as_ref())
            .map(|time| Sourced::stated(time.value, Basis::Organization, source))
    };
    let own_heat = own
        .and_then(|row| row.heat.as_ref())
        .map(|heat| Sourced::stated(heat.value, Basis::Organization, source));
    let practice = spec.practice.value;
    let of_practice = practice.has(size.system());
    let outside_diameter = limits.outside_diameter(size).filter(|_| of_practice);
    let family = group.map(|group| group.family());
    let od_band = recalled_for_pp(limits.od_band(size).filter(|_| of_practice), family);
    let (depth, gauge) = depth(spec, size);
    let time = |name| match name {
        PhaseName::Heating => {
            let heat = own_heat.clone().or_else(|| published.heat.clone());
            heat.map(PhaseTime::Range)
        }
        PhaseName::ChangeOver => own_time(|row| &row.change_over)
            .or_else(|| stated_or_published(&cycles.change_over, &published.change_over))
            .map(PhaseTime::Limit),
        PhaseName::Hold => own_time(|row| &row.hold)
            .or_else(|| published.hold.clone())
            .map(PhaseTime::Limit),
        PhaseName::Handling => own_time(|row| &row.before_handling)
            .or_else(|| {
                stated_or_published(&cycles.waits.before_handling, &published.before_handling)
            })
            .map(PhaseTime::Limit),
        PhaseName::PressureTest => {
            stated_or_published(&cycles.waits.before_pressure_test, &None).map(PhaseTime::Limit)
        }
    };
    let cycle = practice.cycle.iter().map(|phase| TimedPhase {
        phase: *phase,
        time: time(phase.name),
    });
    let cycle = JointCycle(cycle.collect());
    Joint {
        size,
        walls,
        ungrouped_ratio,
        claimed_at,
        wall_at,
        mean_diameter: od_band.as_ref().map(|band| {
            let sum = band.value.least + band.value.most;
            Sourced::derived(
                sum.scaled(1, 2),
                "the middle of the OD band",
                &[band.weakest_basis],
            )
        }),
        out_of_roundness: recalled_for_pp(
            limits.out_of_roundness(size).filter(|_| of_practice),
            family,
        ),
        outside_diameter,
        od_tolerance: recalled_for_pp(limits.od_tolerance(size).filter(|_| of_practice), family),
        od_band,
        cycle,
        published,
        depth,
        gauge,
        socket: group.and_then(|group| limits.socket(group.family(), size)),
        pipes: Vec::new(),
    }
}

/// Marks a tolerance as recalled for PP: the metric tolerances were read for PE only.
fn recalled_for_pp<T>(number: Option<Sourced<T>>, family: Option<Family>) -> Option<Sourced<T>> {
    let number = number?;
    if family != Some(Family::Polypropylene) {
        return Some(number);
    }
    Some(Sourced {
        basis: Basis::Recalled,
        weakest_basis: Basis::Recalled,
        source: format!(
            "{}; read for another resin, taken over for PP",
            number.source
        ),
        ..number
    })
}

/// The depth set by the gauge, or else by the fitting, and the mark on the gauge.
fn depth(spec: &Spec, size: Size) -> (Depth, Option<String>) {
    let stated = spec.tools.depth_gauges.iter().chain(&spec.fittings.depths);
    let Some((_, gauge)) = stated.into_iter().find(|(s, _)| s.value == size) else {
        return (Depth::Missing, None);
    };
    let id = gauge.id.as_ref().map(|id| id.value.clone());
    let depth = match &gauge.depth {
        GaugeDepth::ToBeMeasured(span) => Depth::ToBeMeasured(*span),
        GaugeDepth::Known(depth) => {
            let source = gauge
                .source
                .as_ref()
                .map_or("stated in the spec without a source", |s| s.value.as_str());
            Depth::Known(
                Sourced::stated(depth.value, Basis::Measured, source).written_as(&depth.text),
            )
        }
    };
    (depth, id)
}

/// The claimed walls with their places in the spec.
pub(crate) fn walls(claim: &PipeClaim) -> Vec<(WallLabel, Span)> {
    match &claim.wall {
        WallClaim::Ratios(ratios) => ratios
            .iter()
            .map(|ratio| (WallLabel::Ratio(ratio.value), ratio.span))
            .collect(),
        WallClaim::Stated(walls) => walls
            .iter()
            .map(|wall| (WallLabel::Stated(wall.value), wall.span))
            .collect(),
        WallClaim::Both(ratio, wall) => {
            vec![(WallLabel::Both(ratio.value, wall.value), wall.span)]
        }
    }
}

fn add_pipe(
    joint: &mut Joint,
    (label, claimed_at): (WallLabel, Span),
    spec: &Spec,
    group: Option<ResinGroup>,
    limits: &Library,
) {
    let Some(od) = joint.outside_diameter.clone() else {
        return;
    };
    if joint.pipes.iter().any(|pipe| pipe.label == label) {
        return;
    }
    // A wall that is not published must be stated; a rule reports it.
    let Some(mut minimum_wall) = minimum_wall_for(joint.size, label, group, &od, limits) else {
        return;
    };
    // The PE walls were read in tables for water pipe.
    if spec.service.value == Service::Gas
        && group == Some(ResinGroup::MetricPe)
        && minimum_wall.id.is_some()
        && minimum_wall.basis != Basis::Confirmed
    {
        (minimum_wall.basis, minimum_wall.weakest_basis) = (Basis::Recalled, Basis::Recalled);
        minimum_wall
            .source
            .push_str("; read for water pipe, taken over for gas");
    }
    joint.pipes.push(Pipe {
        label,
        claimed_at,
        wall_tolerance: wall_tolerance(joint.size, &minimum_wall, limits),
        inside_diameter: Sourced::derived(
            // A rule reports a wall that leaves no bore.
            (od.value - minimum_wall.value.scaled(2, 1)).max(Length::ZERO),
            "OD − 2 × minimum wall",
            &[od.weakest_basis, minimum_wall.weakest_basis],
        ),
        ratio: DimensionRatio::from_wall(od.value, minimum_wall.value),
        minimum_wall,
    });
}

/// The minimum wall of a pipe; `None` for a metric ratio without a published wall.
pub(crate) fn minimum_wall_for(
    size: Size,
    label: WallLabel,
    group: Option<ResinGroup>,
    od: &Sourced<Length>,
    limits: &Library,
) -> Option<Sourced<Length>> {
    match label {
        WallLabel::Stated(wall) | WallLabel::Both(_, wall) => Some(Sourced::stated(
            wall,
            Basis::Organization,
            "stated in the spec",
        )),
        WallLabel::Ratio(ratio) if size.system() == SizeSystem::Metric => {
            limits.metric_wall(group?, size, ratio)
        }
        WallLabel::Ratio(ratio) => Some(inch_wall(size, od, ratio, limits)),
    }
}

/// OD / DR, but no less than the minimum wall of the rule.
fn inch_wall(
    size: Size,
    od: &Sourced<Length>,
    ratio: DimensionRatio,
    limits: &Library,
) -> Sourced<Length> {
    // The rule on walls by ratio was read for IPS pipe.
    let rule = limits.entry(match size.system() {
        SizeSystem::Cts => "wall-rules:by-ratio-cts:text",
        SizeSystem::Ips | SizeSystem::Metric => "wall-rules:by-ratio:text",
    });
    let rule = rule.map_or(Basis::Recalled, |entry| entry.basis);
    let wall = ratio.wall(od.value);
    match inch_floor(limits) {
        Some(floor) if floor.value > wall => Sourced::derived(
            floor.value,
            "average OD / DR, not below the minimum wall of the rule",
            &[od.weakest_basis, rule, floor.weakest_basis],
        ),
        _ => Sourced::derived(wall, "average OD / DR", &[od.weakest_basis, rule]),
    }
}

/// The minimum wall of any inch pipe named by its ratio.
pub(crate) fn inch_floor(limits: &Library) -> Option<Sourced<Length>> {
    limits.entry("wall-rules:least-wall:length")?.length()
}

/// Plus tolerance on inch walls: for IPS the greater of a percentage and a fixed length,
/// for CTS a percentage. None was found for metric walls.
fn wall_tolerance(size: Size, wall: &Sourced<Length>, limits: &Library) -> Option<Sourced<Length>> {
    let share = |id: &str| -> Option<Sourced<Percent>> { limits.entry(id)?.percent() };
    match size.system() {
        SizeSystem::Ips => {
            let share = share("wall-rules:wall-tolerance:percent")?;
            let fixed = limits.entry("wall-rules:wall-tolerance:length")?.length()?;
            Some(Sourced::derived(
                share.value.of_length(wall.value).max(fixed.value),
                "plus only: the greater of a share of the wall and a fixed length",
                &[wall.weakest_basis, share.weakest_basis, fixed.weakest_basis],
            ))
        }
        SizeSystem::Cts => {
            let share = share("wall-rules:wall-tolerance-cts:percent")?;
            Some(Sourced::derived(
                share.value.of_length(wall.value),
                "plus only: a share of the wall",
                &[wall.weakest_basis, share.weakest_basis],
            ))
        }
        SizeSystem::Metric => None,
    }
}
