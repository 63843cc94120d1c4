//! Rules about the thermal estimate. It has not been validated against measured joints,
//! so it only warns and sets no time. They apply only if the heat model was run.

use crate::core::finding::{Finding, rules};
use crate::core::units::{DimensionRatio, Duration, Length};
use crate::procedure::resolve::{Joint, Pipe, WallLabel};
use crate::process::socket::heat::Refusal;
use crate::process::socket::heat::advice::{Advice, Estimate, NoEstimate, shown};
use crate::rules::Context;

rules! {
    MELT_OVER_CAUTION = warning(
        "By the thermal estimate, the longest heating melts more than 40 % of the pipe's wall.")
        .why("What is not molten has to push the pipe into the socket and hold its bore open. The \
              less of it there is, the sooner the end buckles or the bore pinches. The estimate is \
              not validated; the limit of 40 % was chosen with it.")
        .example("scope: {pipe: {sizes: 1/2 IPS, dimension_ratio: 11}}      # checked with --heat")
        .fix("Cut open a trial joint made at the longest time on the thinnest wall, and look for a \
              buckled end or a pinched bore. Keep to the shortest published time; never go below \
              it.");
    MELT_OVER_HALF = warning(
        "By the thermal estimate, the longest heating melts more than half of the pipe's wall.")
        .why("With half of the wall molten the end can collapse as it is pushed in, and the melt \
              closes the bore. The estimate is not validated; it says where to look first.")
        .example("scope: {pipe: {sizes: 1/2 IPS, dimension_ratio: 13.5}}    # checked with --heat")
        .fix("Make trial joints at the longest time on the thinnest wall, cut them open, and let a \
              qualified person decide whether the wall may be fused by this procedure.");
    CHANGE_OVER_NEAR_CEILING = warning(
        "By the thermal estimate, the melt of a size skins over soon after the allowed \
         change-over.")
        .why("A melt that has set does not fuse: the joint is cold and may still pass its test. \
              Where the estimate leaves less than half as much again over the allowed time, a slow \
              hand or a wind is enough.")
        .example("cycles: {change_over: {value: 12 s, source: shop practice}}   # checked with \
                  --heat")
        .fix("Join faster than the allowed time on this size, sheltered from wind, and prove it \
              with trial joints made at the full change-over.");
    WALL_THINNER_THAN_MODEL = warning(
        "The pipe's wall is thinner than the thermal estimate covers.")
        .why("The thinner the wall, the larger the part of it that melts. Just where a warning \
              would be worth most, the estimate has none to give.")
        .example("scope: {pipe: {sizes: 2 IPS, dimension_ratio: 21}}        # checked with --heat")
        .fix("Prove the wall with trial joints at the longest heating time, cut open.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let Some(advice) = context.advice else {
        return;
    };
    for (joint, pipe, estimate) in advice.estimated() {
        findings.extend(melt(joint, pipe, estimate));
    }
    for joint in &context.procedure.joints {
        findings.extend(change_over(advice, joint));
    }
    for row in &advice.rows {
        if let (Some(pipe), Err(NoEstimate::Refused(Refusal::DimensionRatio(covered)))) =
            (row.pipe, &row.estimate)
            && pipe.ratio.is_some_and(|ratio| ratio > covered.most)
        {
            findings.push(thinner(row.joint, pipe, covered.most));
        }
    }
}

/// A depth with the uncertainty of the estimate: `1.1 mm (±20 %)`.
fn depth(depth: Length) -> String {
    format!("{} mm ({})", shown::depth(depth), shown::UNCERTAINTY)
}

fn melt(joint: &Joint, pipe: &Pipe, estimate: &Estimate) -> Option<Finding> {
    let longest = &estimate.longest;
    let (rule, limit) = if longest.melted_share > shown::whole_percent(50) {
        (&MELT_OVER_HALF, shown::whole_percent(50))
    } else if longest.melted_share > shown::whole_percent(40) {
        (&MELT_OVER_CAUTION, shown::whole_percent(40))
    } else {
        return None;
    };
    Some(
        rule.at(
            pipe.claimed_at,
            format!(
                "by estimate, {} of heating melts {} of {} {} pipe, more than {} of its {} wall; collapse flag: {}",
                estimate.heating.most.show(),
                depth(longest.pipe_melt),
                joint.size,
                pipe.label.name(joint.size.system().units()),
                limit.show(),
                joint.size.system().units().length(pipe.minimum_wall.value),
                shown::flag(longest.collapse),
            ),
        )
        .saying("size", joint.size.to_string())
        .saying("wall", pipe.label.name(joint.size.system().units()))
        .saying("heating", estimate.heating.most.show())
        .saying("melt", format!("{} mm", shown::depth(longest.pipe_melt)))
        .saying(
            "thickness",
            joint.size.system().units().length(pipe.minimum_wall.value),
        )
        .related(joint.claimed_at, "the size")
        .help("cut open a trial joint made at the longest time and look at bore and pipe end; never heat for less than the shortest time"),
    )
}

/// The allowed change-over plus half of it.
fn with_margin(allowed: Duration) -> Duration {
    allowed.thousandths(1500)
}

/// The wall that cools fastest decides for the size.
fn change_over(advice: &Advice<'_>, joint: &Joint) -> Option<Finding> {
    let (ceiling, allowed) = advice
        .estimated()
        .filter(|(of, _, _)| std::ptr::eq(*of, joint))
        .filter_map(|(_, _, e)| Some((e.shortest.change_over_ceiling?, e.change_over)))
        .min()?;
    (ceiling < with_margin(allowed)).then(|| {
        CHANGE_OVER_NEAR_CEILING
            .at(
                joint.claimed_at,
                format!(
                    "by estimate, the melt of {} sets about {} off the heater, less than 1.5 times the allowed {}",
                    joint.size,
                    shown::ceiling(ceiling).show(),
                    allowed.show(),
                ),
            )
            .saying("size", joint.size.to_string())
            .saying("ceiling", shown::ceiling(ceiling).show())
            .saying("allowed", allowed.show())
            .help("join this size as fast as hands allow, out of the wind, and prove it with trial joints")
    })
}

fn thinner(joint: &Joint, pipe: &Pipe, most: DimensionRatio) -> Finding {
    let units = joint.size.system().units();
    WALL_THINNER_THAN_MODEL
        .at(
            pipe.claimed_at,
            format!(
                "{} {} is thinner than the thermal estimate covers, which ends at {}",
                joint.size,
                pipe.label.name(units),
                WallLabel::Ratio(most).name(units),
            ),
        )
        .saying("size", joint.size.to_string())
        .saying("wall", pipe.label.name(units))
        .related(joint.claimed_at, "the size")
        .help("prove this wall with trial joints at the longest heating time, cut open")
}
