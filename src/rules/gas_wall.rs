//! Rules about the wall of gas pipe. The minimum for US gas pipe was read in an old text
//! of the regulation; the tables by size, US and metric, are recalled. So an author may
//! go below the table, but only with a limit of their own and its source, and the papers
//! say so.

use super::{Context, scope, wording};
use crate::core::finding::{Finding, Rule, rules};
use crate::core::units::Length;
use crate::procedure::resolve::{Joint, Pipe};
use crate::published::{Basis, Sourced};
use crate::spec::Service;

rules! {
    GAS_WALL_TOO_THIN = error(
        "The wall of a US gas pipe is thinner than 0.062 in, which the regulation's text of 2004 \
         asks for.")
        .why("A wall so thin has no strength left for gas, and it melts through on the heater. The \
              figure was read in the text of 2004; today's table, as recalled, asks for more.")
        .example("procedure: {service: gas}\nscope: {pipe: {sizes: 1/2 CTS, dimension_ratio: 11}}")
        .fix("Read the wall from the print line of the tubing, and state it: wall: 0.090 in.");
    GAS_WALL_BELOW_TABLE = error(
        "The wall of a gas pipe is thinner than the table for its size, and the spec states no \
         limit of its own.")
        .why("The current table of the regulation or standard was not read: its figures are \
              recalled. A thin wall is too dangerous to let pass on that account, and nothing here \
              can say that it is allowed.")
        .example("procedure: {service: gas}\nscope: {pipe: {sizes: 3/4 IPS, dimension_ratio: \
                  13.5}}")
        .fix("Claim a thicker wall. Where your code or your engineer allows this one, state that \
            limit with its source: least_wall: {value: 0.078 in, source: …}.");
    GAS_WALL_BY_OWN_LIMIT = warning(
        "The wall of a gas pipe is thinner than the table for its size; the spec's own limit \
         allows it.")
        .why("The limit is the organization's, with its source. The table is recalled, so it may \
              be wrong, and so may the limit: whoever approves the procedure has to see both.")
        .example("procedure: {service: gas}\nscope: {pipe: {sizes: 3/4 IPS, dimension_ratio: \
                  13.5}}\nleast_wall: {value: 0.075 in, source: engineering decision}")
        .fix("Compare the limit with the current section, or claim a thicker wall.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    if context.procedure.spec.service.value != Service::Gas {
        return;
    }
    for joint in &context.procedure.joints {
        for pipe in &joint.pipes {
            findings.extend(too_thin(context, joint, pipe));
        }
    }
}

fn too_thin(context: &Context<'_>, joint: &Joint, pipe: &Pipe) -> Option<Finding> {
    let wall = pipe.minimum_wall.value;
    let floor = context.limits.us_gas_floor();
    if let Some(floor) = floor.filter(|_| context.procedure.practice().federal_gas_rules)
        && wall < floor.value
    {
        let help = match context.limits.gas_wall(joint.size) {
            Some(table) => format!(
                "read the wall from the print line and state it: {{sizes: {}, wall: … in}}; the table as recalled asks for {}",
                joint.size,
                context.length(table.value)
            ),
            None => format!(
                "read the wall from the print line and state it: {{sizes: {}, wall: … in}}",
                joint.size
            ),
        };
        return Some(wall_below(context, &GAS_WALL_TOO_THIN, joint, pipe, &floor).help(help));
    }
    let table = context.limits.gas_wall(joint.size)?;
    let own = context.procedure.spec.least_wall.as_ref();
    let below_own = own.is_some_and(|own| scope::is_thinner(pipe, own.value.value));
    // Another rule reports a wall below the spec's own limit.
    if below_own || !scope::is_thinner(pipe, table.value) {
        return None;
    }
    // A confirmed table is binding.
    let recalled = table.weakest_basis >= Basis::Recalled;
    match own.filter(|own| recalled && own.source.is_some()) {
        Some(own) => Some(
            wall_below(context, &GAS_WALL_BY_OWN_LIMIT, joint, pipe, &table)
                .related(own.value.span, "the limit that allows it")
                .help("compare this limit with the current section, or claim a thicker wall"),
        ),
        None if recalled => Some(
            wall_below(context, &GAS_WALL_BELOW_TABLE, joint, pipe, &table).help(format!(
                "use pipe with a wall of {} or more, and write its wall or its ratio; only if \
                your code or your engineer allows this wall, state that limit: `least_wall: \
                {{value: …, source: …}}`",
                context.length(table.value)
            )),
        ),
        None => Some(
            wall_below(context, &GAS_WALL_BELOW_TABLE, joint, pipe, &table).help(format!(
                "claim a wall of {} or more, or leave the size out",
                context.length(table.value)
            )),
        ),
    }
}

fn wall_below(
    context: &Context<'_>,
    rule: &'static Rule,
    joint: &Joint,
    pipe: &Pipe,
    least: &Sourced<Length>,
) -> Finding {
    let wall = pipe.minimum_wall.value;
    let units = context.procedure.practice().units;
    let name = match pipe.label.ratio() {
        Some(_) => format!("{} {}", joint.size, pipe.label.name(units)),
        None => joint.size.to_string(),
    };
    rule.at(
        pipe.claimed_at,
        format!(
            "the wall of {name} is {}: {} thinner than the minimum for gas pipe, {}",
            context.length(wall),
            context.length(wall.distance(least.value)),
            context.length(least.value)
        ),
    )
    .limit(wording::source(least))
}
