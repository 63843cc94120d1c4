//! Walls that the published times do not name. A time says little about a wall
//! far from those it was tested with, so the author is told; no limit is made up.

use super::{Context, say};
use crate::finding::{Finding, Rule, Severity::Warning};
use crate::limits::{Practice, ResinGroup};
use crate::resolve::{Joint, Pipe, WallLabel};
use crate::units::{DimensionRatio, Length};

/// The rules of this family.
pub static RULES: &[&Rule] = &[&WALL_OUTSIDE_TABLES];

/// The thickest and the thinnest wall with a published metric PE time.
const THICKEST: DimensionRatio = DimensionRatio::from_tenths(60);
const THINNEST: DimensionRatio = DimensionRatio::from_tenths(176);
/// The thinnest wall that polypropylene pipe for sockets is named with.
const COMMON: DimensionRatio = DimensionRatio::from_tenths(110);

/// A wall no table names.
static WALL_OUTSIDE_TABLES: Rule = Rule {
    slug: "wall-outside-tables",
    severity: Warning,
    summary: "A pipe's wall is not among those that the published tables name.",
    why: "A heating time belongs to the walls it was tested with. A much thinner wall melts \
          through and folds in; a much thicker one is most often a slip in the wall or the unit.",
    example: "scope: {resin: PP-R, pipe: {sizes: 32 mm, dimension_ratio: 26}}",
    fix: "Read the wall from the print line again. If it stands, ask the maker of the pipe and the \
          fittings whether it may be socket fused, and prove it with trial joints, cut open.",
    dated: false,
};

/// Applies the family.
pub fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    for joint in &context.procedure.joints {
        for pipe in &joint.pipes {
            findings.extend(outside(context, joint, pipe));
        }
    }
}

fn outside(context: &Context<'_>, joint: &Joint, pipe: &Pipe) -> Option<Finding> {
    let od = joint.outside_diameter.as_ref()?.value;
    let wall = pipe.least_wall.value;
    // A wall that leaves no bore is an error, said by another rule.
    if wall.scaled(2, 1) >= od {
        return None;
    }
    match context.procedure.practice() {
        Practice::Us => below_least(context, joint, pipe),
        Practice::Metric => {
            let group = context.procedure.resin.as_ref()?.group;
            beyond(context, group, joint, pipe, od).map(|finding| {
                finding.help("read the print line again; if it stands, ask the makers and prove the wall with trial joints, cut open")
            })
        }
    }
}

/// Inch walls that are stated; those by ratio never fall below the rule.
fn below_least(context: &Context<'_>, joint: &Joint, pipe: &Pipe) -> Option<Finding> {
    let least = context
        .limits
        .figure("wall-rules:least-wall:length")?
        .length()?;
    let wall = pipe.least_wall.value;
    if matches!(pipe.label, WallLabel::Ratio(_)) || wall >= least.value {
        return None;
    }
    Some(
        WALL_OUTSIDE_TABLES
            .at(
                pipe.claimed_at,
                format!(
                    "the wall of {}, {}, is thinner than the least wall of inch pipe, {}",
                    joint.size,
                    context.length(wall),
                    context.length(least.value)
                ),
            )
            .limit(say::source(&least))
            .help("read the print line again and check the unit; a wall so thin folds in as it enters the socket"),
    )
}

fn beyond(
    context: &Context<'_>,
    group: ResinGroup,
    joint: &Joint,
    pipe: &Pipe,
    od: Length,
) -> Option<Finding> {
    let wall = pipe.least_wall.value;
    // Tables round walls up, more than a ratio does on small pipe.
    let by_table = |ratio| {
        let published = context.limits.metric_wall(joint.size, ratio);
        published.map_or(Length::ZERO, |wall| wall.value)
    };
    let units = joint.size.system().units();
    let name = match pipe.label {
        WallLabel::Ratio(_) => format!("{} with {}", joint.size, pipe.label.name(units)),
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
        ResinGroup::PpR | ResinGroup::PpH if wall < COMMON.wall(od) => format!(
            "{name} is thinner than SDR {}; times for polypropylene name no walls, and no published limit was found",
            COMMON.number()
        ),
        _ => return None,
    };
    Some(WALL_OUTSIDE_TABLES.at(pipe.claimed_at, message))
}
