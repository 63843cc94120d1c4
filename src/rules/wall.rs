//! Rules about walls: unpublished ones, ones that do not match their ratio, and ones the
//! published times do not name. A time says little about a wall far from those it was
//! tested with, so the author is told; no limit is invented.

use super::{Context, wording};
use crate::core::finding::{Finding, rules};
use crate::core::size::{Size, SizeSystem};
use crate::core::source::Spanned;
use crate::core::units::{DimensionRatio, Length};
use crate::procedure::resolve::{Joint, Pipe, WallLabel, inch_floor, minimum_wall_for, sizes};
use crate::published::{ResinGroup, WallGroup};
use crate::spec::{PipeClaim, Service, WallClaim, Written};

rules! {
    WALL_OUTSIDE_TABLES = warning(
        "A pipe's wall is not among those that the published tables name.")
        .why("A heating time belongs to the walls it was tested with. A much thinner wall melts \
              through and folds in; a much thicker one is usually a typing error in the wall or \
              the \
              unit.")
        .example("scope: {resin: PP-R, pipe: {sizes: 32 mm, dimension_ratio: 26, wall: 1.3 mm}}")
        .fix("Read the wall from the print line again. If it stands, ask the manufacturer of the pipe and \
              the fittings whether it may be socket fused, and prove it with trial joints, cut \
              open.");
    WALL_NOT_PUBLISHED = error(
        "No minimum wall is published for a size, ratio and resin, and the spec states none.")
        .absence()
        .why("Metric pipe is not made to diameter over ratio: small walls are rounded up, those of \
              PE and of PP differ, and a computed wall would be printed as if somebody had read \
              it.")
        .example("scope: {resin: PP-R, pipe: {sizes: 25 mm, dimension_ratio: 7.4}}")
        .fix("Give the size an entry of its own, and beside the ratio the wall from the pipe's \
              print line: {sizes: 25 mm, dimension_ratio: 7.4, wall: … mm}.");
    WALL_NOT_OF_RATIO = error(
        "A stated wall is far from diameter over the ratio that stands beside it.")
        .why("The ratio chooses the heating time and the wall is what the crew finds on the pipe. \
              One of the two was read from another pipe, or has a typing error.")
        .example("scope: {resin: PE100, pipe: {sizes: 63 mm, dimension_ratio: 17.6, wall: 5.8 mm}}")
        .fix("Read ratio and wall from the print line of one pipe again.");
}

/// The thickest and thinnest walls with a published metric PE time.
const THICKEST: DimensionRatio = DimensionRatio::from_tenths(60);
const THINNEST: DimensionRatio = DimensionRatio::from_tenths(176);
/// The thinnest wall commonly named for polypropylene socket pipe.
const THINNEST_PP: DimensionRatio = DimensionRatio::from_tenths(110);

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    for claim in &context.procedure.spec.pipe {
        match &claim.wall {
            WallClaim::Ratios(ratios) => {
                let unknown = ratios
                    .iter()
                    .filter_map(|ratio| unpublished_wall(context, claim, ratio));
                findings.extend(unknown);
            }
            WallClaim::Both(ratio, wall) => {
                findings.extend(not_of_ratio(context, claim, ratio.value, wall));
            }
            WallClaim::Stated(_) => {}
        }
    }
    for joint in &context.procedure.joints {
        for pipe in &joint.pipes {
            findings.extend(unusual_wall(context, joint, pipe));
        }
    }
}

fn unusual_wall(context: &Context<'_>, joint: &Joint, pipe: &Pipe) -> Option<Finding> {
    let od = joint.outside_diameter.as_ref()?.value;
    let wall = pipe.minimum_wall.value;
    // Another rule reports a wall that leaves no bore.
    if wall.scaled(2, 1) >= od {
        return None;
    }
    if context.procedure.practice().has_least_wall {
        return below_minimum(context, joint, pipe);
    }
    let group = context.procedure.resin.as_ref()?.group;
    outside_published_walls(context, group, joint, pipe, od).map(|finding| {
        finding.help("read the print line again; if it stands, ask the manufacturers and prove the wall with trial joints, cut open")
    })
}

/// Sizes of a claim without a published wall for this ratio.
fn unpublished_wall(
    context: &Context<'_>,
    claim: &PipeClaim,
    ratio: &Spanned<DimensionRatio>,
) -> Option<Finding> {
    let resin = context.procedure.resin.as_ref()?;
    let practice = context.procedure.practice();
    let is_unknown = |size: &Size| {
        let Some(od) = context.limits.outside_diameter(*size) else {
            return false;
        };
        let label = WallLabel::Ratio(ratio.value);
        let walls = WallGroup::from_ratio(ratio.value);
        // Another rule reports a wall that is not advisable.
        practice.has(size.system())
            && minimum_wall_for(*size, label, Some(resin.group), &od, context.limits).is_none()
            && context
                .limits
                .cycle(resin.group, *size, walls)
                .not_advisable
                .is_none()
    };
    let mut unknown: Vec<Size> = sizes(claim, context.limits)
        .into_iter()
        .map(|(size, _)| size)
        .filter(is_unknown)
        .collect();
    unknown.sort();
    unknown.dedup();
    let first = unknown.first()?;
    let number = ratio.value.exact();
    let help = match unknown.len() {
        1 => "write the wall from its print line beside the ratio, in an entry of its own",
        _ => {
            "give each of these sizes an entry of its own, with the wall from its print line beside the ratio"
        }
    };
    Some(
        WALL_NOT_PUBLISHED
            .at(
                ratio.span,
                format!(
                    "no minimum wall is published for {} with SDR {number} in {}, and the spec states none",
                    wording::sizes(&unknown),
                    resin.code
                ),
            )
            .help(format!(
                "{help}: {{sizes: {first}, dimension_ratio: {number}, wall: … mm}}"
            )),
    )
}

/// Limits of a stated wall, in percent of diameter over ratio. They catch typing errors
/// only: tables round the walls of small pipe up by a fifth.
const LEAST_SHARE: i64 = 95;
const MOST_SHARE: i64 = 125;

fn not_of_ratio(
    context: &Context<'_>,
    claim: &PipeClaim,
    ratio: DimensionRatio,
    wall: &Written<Length>,
) -> Option<Finding> {
    let size = claim.sizes.first()?.value.least;
    let od = context.limits.outside_diameter(size)?.value;
    let exact = ratio.wall(od);
    let mut most = exact.scaled(MOST_SHARE, 100);
    // The smallest pipe has its own minimum wall, whatever its ratio.
    let is_gas = context.procedure.spec.service.value == Service::Gas;
    let own = match size.system() {
        SizeSystem::Metric if is_gas && od <= Length::from_mm(25.0) => {
            let of_25 = Size::parse("25 mm").ok()?;
            context.limits.gas_wall(of_25)
        }
        SizeSystem::Metric => None,
        SizeSystem::Ips | SizeSystem::Cts => inch_floor(context.limits),
    };
    if let Some(own) = own {
        most = most.max(own.value);
    }
    if exact.scaled(LEAST_SHARE, 100) <= wall.value && wall.value <= most {
        return None;
    }
    let units = context.procedure.practice().units;
    Some(
        WALL_NOT_OF_RATIO
            .at(
                wall.span,
                format!(
                    "a wall of {} does not go with {size} {}: diameter over ratio is {}",
                    context.length(wall.value),
                    WallLabel::Ratio(ratio).name(units),
                    context.length(exact)
                ),
            )
            .help("read the ratio and the wall from the print line of one pipe again")
            .limit(format!(
                "a band of this program, which only catches typing errors: {} to {}",
                context.length(exact.scaled(LEAST_SHARE, 100)),
                context.length(most)
            )),
    )
}

/// Stated inch walls; those by ratio never fall below the rule.
fn below_minimum(context: &Context<'_>, joint: &Joint, pipe: &Pipe) -> Option<Finding> {
    let least = inch_floor(context.limits)?;
    let wall = pipe.minimum_wall.value;
    if matches!(pipe.label, WallLabel::Ratio(_)) || wall >= least.value {
        return None;
    }
    Some(
        WALL_OUTSIDE_TABLES
            .at(
                pipe.claimed_at,
                format!(
                    "the wall of {}, {}, is thinner than the minimum wall of inch pipe, {}",
                    joint.size,
                    context.length(wall),
                    context.length(least.value)
                ),
            )
            .limit(wording::source(&least))
            .help("read the print line again and check the unit; a wall so thin folds in as it enters the socket"),
    )
}

fn outside_published_walls(
    context: &Context<'_>,
    group: ResinGroup,
    joint: &Joint,
    pipe: &Pipe,
    od: Length,
) -> Option<Finding> {
    let wall = pipe.minimum_wall.value;
    // Tables round walls of small pipe up beyond the ratio.
    let by_table = |ratio| {
        let published = context.limits.metric_wall(group, joint.size, ratio);
        published.map_or(Length::ZERO, |wall| wall.value)
    };
    // Rounding may leave a published wall slightly thinner than its ratio.
    let published = context.limits.metric_wall(group, joint.size, THINNEST_PP);
    let common = published.map_or(THINNEST_PP.wall(od), |wall| {
        wall.value.min(THINNEST_PP.wall(od))
    });
    let units = joint.size.system().units();
    let name = match pipe.label {
        WallLabel::Ratio(_) | WallLabel::Both(..) => {
            format!("{} with {}", joint.size, pipe.label.full_name(units))
        }
        WallLabel::Stated(wall) => {
            format!("{} with a wall of {}", joint.size, units.length(wall))
        }
    };
    let message = match group {
        ResinGroup::MetricPe if wall > by_table(THICKEST).max(THICKEST.wall(od)) => format!(
            "the published time does not name a wall as thick as that of {name}: the thickest it names is SDR {}",
            THICKEST.number()
        ),
        ResinGroup::MetricPe if wall < THINNEST.wall(od) => format!(
            "no published time names a wall as thin as that of {name}: the thinnest is SDR {}",
            THINNEST.number()
        ),
        ResinGroup::PpR | ResinGroup::PpH if wall < common => format!(
            "{name} is thinner than SDR {}; times for polypropylene name no walls, and no published limit was found",
            THINNEST_PP.number()
        ),
        _ => return None,
    };
    Some(WALL_OUTSIDE_TABLES.at(pipe.claimed_at, message))
}
