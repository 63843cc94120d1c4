//! Rules about the scope: resin, sizes, walls, and pipe temperature, compared with what
//! the practice has numbers for.

use super::{Context, wording};
use crate::core::finding::{Finding, rules};
use crate::core::size::{Size, SizeSystem};
use crate::core::units::{Decimal, Length, LengthUnit};
use crate::procedure::resolve::{Joint, Pipe, WallLabel};
use crate::process::socket::practice::PRACTICES;
use crate::published::{ResinGroup, WallGroup};
use crate::spec::{is_blank, nearest};

rules! {
    UNKNOWN_RESIN = error("The resin is not a designation the tables have times for.")
        .why("Heating times belong to a group of resins. Without the group there is no published \
              time, and a time borrowed from another resin gives a cold joint or a burnt one.")
        .example("scope: {resin: PE4719}")
        .fix("Write the designation as the print line of the pipe gives it, such as PE4710. The \
              color of a pipe does not tell its resin.");
    SUPERSEDED_RESIN = warning("The resin's designation is no longer given to new pipe.")
        .why("Tie-ins to old pipe are real work, so the designation is accepted. For new pipe it \
              is a sign that an old procedure was copied without a look at the print line.")
        .example("scope: {resin: PE3408}")
        .fix("For new pipe write the designation on its print line. For a tie-in leave it, and let \
              a qualified person confirm that the old pipe and the new fitting go together.");
    SIZE_OUTSIDE_PRACTICE = error("A size that the practice has no published outside diameter for.")
        .why("The cold ring, the gauge and the adapters are made to an outside diameter. A pipe of \
              another system does not fit them, even where the number on it looks the same.")
        .example("procedure: {practice: us}\nscope: {pipe: {sizes: 63 mm, dimension_ratio: 11}}")
        .fix("Claim sizes that are published for the practice. Join other sizes by another method, \
              under a procedure of its own.");
    NO_CYCLE_ROW = error(
        "A size that has no published time cycle, and the spec does not give its own.")
        .absence()
        .why("Times do not follow from the size by a rule of thumb: wall, fit and adapter all \
              count. A time read between two rows is a guess that nobody has tested.")
        .example("scope: {pipe: {sizes: 2 CTS, dimension_ratio: 11}}      # no cycles.rows for it")
        .fix("Give the size a row under cycles.rows with the heat and hold you have qualified, \
              their source and the record that proves them; or leave the size out.");
    WALL_LEAVES_NO_BORE = error(
        "Twice the minimum wall is as much as the pipe's outside diameter, or more.")
        .why("Such a pipe has no bore, so it is not the pipe on the truck. Most often the wall was \
              written in another unit, or the outside diameter in the place of the wall.")
        .example("scope: {pipe: {sizes: 1/2 CTS, wall: 0.90 in}}      # for 0.090 in")
        .fix("Read the wall from the print line again and check the unit and the decimal point.");
    WALL_BELOW_LEAST = error("A pipe's minimum wall is thinner than the minimum wall the spec \
        allows.")
        .why("A thin wall is heated through and has no strength left to push against. It folds in \
              as it enters the socket, and the bore closes where nobody can see it.")
        .example("scope: {pipe: {sizes: 3/4 IPS, dimension_ratio: 13.5}}\nleast_wall: 0.090 in")
        .fix("Claim a lower dimension ratio, which is a thicker wall, or leave the size out. Lower \
              the limit only by the decision of the people who set it.");
    PIPE_TEMPERATURE_MISSING = warning(
        "The spec does not say at which pipe temperatures the procedure may be used.")
        .absence()
        .why("Published times are for pipe near room temperature. Cold pipe takes more heat from \
              the same face and can come off half melted; the crew must know where the procedure \
              ends.")
        .example("scope: {resin: PE4710, pipe: {sizes: 1 IPS, dimension_ratio: 11}}")
        .fix("Add the range of pipe temperatures, measured on the pipe: pipe_temperature: … °F to \
              … °F.");
    COLD_WITHOUT_SECTION = error(
        "The pipe temperatures reach into the cold, and the spec has no cold-weather section.")
        .absence()
        .why("Cold pipe needs longer heating, found on trial joints, never a hotter heater. \
              Without the section the crew would heat it by the summer time and get a cold joint.")
        .example("scope: {pipe_temperature: 20 °F to 110 °F}      # and no cold_weather group")
        .fix("Add a cold_weather group, or raise the lower end of pipe_temperature.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    resin(context, findings);
    for joint in &context.procedure.joints {
        size(context, joint, findings);
        for pipe in &joint.pipes {
            bore(context, joint, pipe, findings);
            wall(context, joint.size, pipe, findings);
        }
    }
    pipe_temperature(context, findings);
}

fn resin(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let written = &context.procedure.spec.resin;
    let Some(resin) = &context.procedure.resin else {
        // Another rule reports a resin of the other practice, and one a blank.
        if context.limits.resin(written).is_some() || is_blank(written) {
            return;
        }
        let codes = context.limits.resin_codes(context.procedure.practice());
        let known = format!(
            "the tables know {}; write the designation on the pipe's print line",
            codes.join(", ")
        );
        let within = codes
            .iter()
            .find(|code| { written.value.split_whitespace() }.any(|word| word == **code));
        let help = match (within, nearest(&written.value, &codes)) {
            (Some(code), _) => format!("write {code} alone"),
            (None, Some(near)) => format!("did you mean {near}? {known}"),
            (None, None) => known,
        };
        findings.push(
            UNKNOWN_RESIN
                .at(
                    written.span,
                    format!("'{}' is not a resin that the tables have", written.value),
                )
                .help(help),
        );
        return;
    };
    if let Some(note) = &resin.superseded {
        findings.push(
            SUPERSEDED_RESIN
                .at(
                    written.span,
                    format!(
                        "{} is a designation that new pipe no longer gets",
                        resin.code
                    ),
                )
                .help(format!(
                    "{note} For new pipe write the designation on its print line."
                ))
                .brief(format!(
                    "new pipe no longer gets the designation {}; for new pipe write the one on its \
                     print line",
                    resin.code
                )),
        );
    }
}

fn size(context: &Context<'_>, joint: &Joint, findings: &mut Vec<Finding>) {
    let size = joint.size;
    if joint.outside_diameter.is_none() {
        findings.push(outside_practice(context, joint));
        return;
    }
    // An unknown resin is reported already, and nothing else is known about it.
    if context.procedure.resin.is_none() {
        return;
    }
    // Other rules report walls that are not advisable and the hold of PP-R.
    let no_hold_is_needed = context.procedure.resin.as_ref().is_some_and(|resin| {
        resin.group == ResinGroup::PpR && joint.cycle.before_handling().is_some()
    });
    let missing = match (joint.cycle.heat(), joint.cycle.hold()) {
        (Some(_), Some(_)) => return,
        (None, _) if joint.published.not_advisable.is_some() => return,
        (Some(_), None) if no_hold_is_needed => return,
        (None, Some(_)) => "heating time",
        (Some(_), None) => "hold",
        (None, None) => "time cycle",
    };
    // Metric times are published by group of walls.
    let (at, walls, row) = match joint.ungrouped_ratio {
        Some(ratio) => {
            let label = joint.pipes.first().map(|pipe| pipe.label);
            let label = label.unwrap_or(WallLabel::Ratio(ratio));
            (
                joint.wall_at,
                format!(" with {}", wall_name(context, label)),
                format!("size: {size}, walls: SDR {}", ratio.number()),
            )
        }
        None => (joint.claimed_at, String::new(), format!("size: {size}")),
    };
    findings.push(
        NO_CYCLE_ROW
            .at(at, format!("no {missing} is published for {size}{walls} in {}, and the spec gives none", context.procedure.spec.resin.value))
            .help(format!(
                "give your own qualified times: cycles.rows: [{{{row}, heat: …, hold: …, source: …, record: …}}], or leave that pipe out"
            )),
    );
}

fn outside_practice(context: &Context<'_>, joint: &Joint) -> Finding {
    let group = context.procedure.resin.as_ref().map(|resin| resin.group);
    let has_times = |size: &Size| {
        let thick = Some(WallGroup::Thick);
        group.is_none_or(|group| context.limits.cycle(group, *size, thick).heat.is_some())
    };
    let named = |system: SizeSystem| {
        let mut sizes = context.limits.sizes(system);
        sizes.retain(has_times);
        let names: Vec<_> = sizes
            .iter()
            .map(|size| size.nominal().to_string())
            .collect();
        let unit = sizes.last()?.to_string();
        let unit = unit.rsplit(' ').next().unwrap_or_default().to_owned();
        Some(format!("{} {unit}", wording::list(&names)))
    };
    let practice = context.procedure.practice();
    let published: Vec<_> = [SizeSystem::Ips, SizeSystem::Cts, SizeSystem::Metric]
        .into_iter()
        .filter(|system| practice.has(*system))
        .filter_map(named)
        .collect();
    let size = joint.size;
    let kind = match size.system() {
        SizeSystem::Metric => "a metric",
        SizeSystem::Ips | SizeSystem::Cts => "an inch",
    };
    let other = PRACTICES.into_iter().find(|p| p.has(size.system()));
    let (message, way_out) = match other.filter(|other| *other != practice) {
        Some(other) => (
            format!("{size} is {kind} size; {} has no row for it", practice.name),
            format!(
                "{} pipe has its own tools, times and sockets and needs a procedure of its own, with `practice: {}`",
                kind.trim_start_matches("an ").trim_start_matches("a "),
                other.key
            ),
        ),
        None => (
            format!(
                "{} socket fusion has no published row for {size}",
                practice.adjective
            ),
            "join this size by another method, under a procedure of its own".to_owned(),
        ),
    };
    let help = if published.is_empty() {
        way_out
    } else {
        format!(
            "times are published for {}; {way_out}",
            published.join(", and for ")
        )
    };
    let finding = SIZE_OUTSIDE_PRACTICE
        .at(joint.claimed_at, message)
        .help(help);
    match context.limits.entry(practice.range) {
        Some(range) => finding.limit(wording::entry_source(range)),
        None => finding,
    }
}

fn bore(context: &Context<'_>, joint: &Joint, pipe: &Pipe, findings: &mut Vec<Finding>) {
    let Some(od) = &joint.outside_diameter else {
        return;
    };
    let wall = pipe.minimum_wall.value;
    if wall.scaled(2, 1) < od.value {
        return;
    }
    findings.push(
        WALL_LEAVES_NO_BORE
            .at(
                pipe.claimed_at,
                format!(
                    "a wall of {} leaves no bore in {}, which is {} across",
                    context.length(wall),
                    joint.size,
                    context.length(od.value)
                ),
            )
            .limit(wording::source(od))
            .help("check the unit and the decimal point, and read the print line again"),
    );
}

fn wall(context: &Context<'_>, size: Size, pipe: &Pipe, findings: &mut Vec<Finding>) {
    let Some(least) = &context.procedure.spec.least_wall else {
        return;
    };
    let (wall, limit) = (pipe.minimum_wall.value, least.value.value);
    if !is_thinner(pipe, limit) {
        return;
    }
    let name = match pipe.label {
        WallLabel::Ratio(_) => format!(
            "{size} {}",
            pipe.label.name(context.procedure.practice().units)
        ),
        WallLabel::Stated(_) | WallLabel::Both(..) => size.to_string(),
    };
    let finding = WALL_BELOW_LEAST
        .at(
            pipe.claimed_at,
            format!(
                "the minimum wall of {name} is {}, thinner than {} by {}",
                context.length(wall),
                context.length(limit),
                context.length(wall.distance(limit))
            ),
        )
        .related(least.value.span, "the minimum wall of this procedure")
        .help("claim a thicker wall for this size, or leave the size out");
    findings.push(match &least.source {
        Some(source) => finding.limit(source.value.as_str()),
        None => finding,
    });
}

/// How far the walls of a ratio in two tables may differ by their rounding.
pub(crate) fn table_rounding() -> Length {
    let thousandth = Decimal {
        millionths: 1000,
        places: 3,
    };
    Length::written(thousandth, LengthUnit::Inch)
}

/// Whether a wall is thinner than a limit. Tables print OD / DR to a thousandth of an
/// inch with different rounding; a stated wall gets no such tolerance.
pub(crate) fn is_thinner(pipe: &Pipe, limit: Length) -> bool {
    let play = match pipe.label {
        WallLabel::Ratio(_) => table_rounding(),
        WallLabel::Stated(_) | WallLabel::Both(..) => Length::ZERO,
    };
    pipe.minimum_wall.value + play < limit
}

/// The name of a wall in a sentence.
pub(crate) fn wall_name(context: &Context<'_>, label: WallLabel) -> String {
    match label {
        WallLabel::Ratio(_) | WallLabel::Both(..) => {
            label.full_name(context.procedure.practice().units)
        }
        WallLabel::Stated(wall) => format!("a wall of {}", context.length(wall)),
    }
}

fn pipe_temperature(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let Some(range) = &spec.pipe_temperature else {
        let sizes = spec.pipe.iter().flat_map(|claim| &claim.sizes).next();
        let span = sizes.map_or(spec.span, |sizes| sizes.span);
        let unit = context.procedure.practice().units.temperature_unit();
        let unit = unit.symbol();
        findings.push(
            PIPE_TEMPERATURE_MISSING
                .at(
                    span,
                    "the scope does not say at which pipe temperatures the procedure holds",
                )
                .help(format!(
                    "add `pipe_temperature: … {unit} to … {unit}` with your own limits to `scope`"
                ))
                .asks("`pipe_temperature`", ""),
        );
        return;
    };
    let Some(trigger) = &context.procedure.cold_trigger else {
        return;
    };
    if range.value.least < trigger.value && spec.cold_weather.is_none() {
        findings.push(
            COLD_WITHOUT_SECTION
                .at(
                    range.span,
                    format!(
                        "pipe is joined down to {}, below {}, and there is no cold-weather section",
                        context.temperature(range.value.least),
                        context.temperature(trigger.value)
                    ),
                )
                .limit(wording::source(trigger))
                .help(
                    "add a `cold_weather` group, or begin the range at or above that temperature",
                ),
        );
    }
}
