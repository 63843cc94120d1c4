//! Rules about pipe and fitting with different resins or heating times: they need a
//! record for the pair and one sequence with a fixed order.

use crate::core::finding::{Finding, rules};
use crate::core::size::Size;
use crate::core::source::Spanned;
use crate::core::units::Duration;
use crate::procedure::resolve::longer_heating;
use crate::rules::{Context, wording};
use crate::spec::{FirstOn, UnlikePair};

rules! {
    FITTING_RESIN_UNKNOWN = error(
        "The resin of the fittings is not a designation that the tables know.")
        .why("Whether pipe and fitting fuse at all depends on both resins. A designation that \
              cannot be read tells nothing about the fitting.")
        .example("fittings: {kinds: [coupling], resin: HDPE black}")
        .fix("Write the designation from the print line of the fitting, such as PE4710.");
    FAMILIES_NEVER_FUSE = error(
        "Pipe and fittings are of polymers that do not fuse with each other.")
        .why("PE and PP melt side by side without mixing. The joint looks whole and pulls apart at \
              the first load, whatever the times.")
        .example("scope: {resin: PE100}\nfittings: {kinds: [coupling], resin: PP-R}")
        .fix("Use fittings of the pipe's own polymer. No record can prove this pair.");
    UNLIKE_WITHOUT_RECORD = error(
        "Unlike resins or unlike times are claimed for a size without a record for the pair.")
        .absence()
        .why("Published times hold for pipe and fitting of one kind. What another pair needs, and \
              in which order, only test joints of that very pair can show.")
        .example("scope: {resin: PE4710}\nfittings: {kinds: [coupling], resin: PE2708}      # no \
                  unlike:")
        .fix("Give an entry under fittings.unlike for each size, with a record that \
              `qualification.records` lists, or use fittings of the pipe's own resin.");
    UNLIKE_ORDER_WRONG = error(
        "The part with the shorter heating time is said to go on the heater first.")
        .why("Both parts come off together, so the one on first is heated longest. In the wrong \
              order the quick part is overheated by the whole difference and the slow one is cold.")
        .example("fittings: {unlike: [{size: 2 IPS, pipe_heat: 20 s, fitting_heat: 26 s, first: \
                  pipe}]}")
        .fix("Name the part with the longer time as `first`, and qualify that order.");
    UNLIKE_NOT_NEEDED = note("Pipe and fitting of an unlike pair are heated for the same time.")
        .why("Parts that need the same time go on together and take the size's own row. A sequence \
              without a difference is one more thing to get wrong.")
        .example("fittings: {unlike: [{size: 2 IPS, pipe_heat: 24 s, fitting_heat: 24 s, first: \
                  pipe}]}")
        .fix("Check both times. If they are right, and the resins are alike, use cycles.rows \
              instead.");
    UNLIKE_GIVEN_TWICE = error("A size has two entries under fittings.unlike.")
        .why("Only one sequence can be printed. Nobody should have to know which of two a program \
              picks.")
        .example("fittings:\n  unlike:\n    - {size: 2 IPS, pipe_heat: 26 s, fitting_heat: 20 s, \
                  first: pipe}\n    - {size: 2 IPS, pipe_heat: 28 s, fitting_heat: 20 s, first: \
                  pipe}")
        .fix("Keep the entry that is meant. Two different pairs need two procedures.");
    UNLIKE_FOR_UNCLAIMED_SIZE = error(
        "An unlike pair is given for a size that the scope does not claim.")
        .absence()
        .why("The papers would tell how to heat a size without its depth, tools and hold. It may \
              be a mix-up of IPS and CTS.")
        .example("scope: {pipe: {sizes: 1 IPS, dimension_ratio: 11}}\nfittings: {unlike: [{size: 2 \
                  IPS, pipe_heat: 26 s, fitting_heat: 20 s, first: pipe}]}")
        .fix("Claim the size under scope.pipe, or take the entry out.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let fittings = &context.procedure.spec.fittings;
    if let Some(resin) = &fittings.resin {
        unlike_resin(context, resin, findings);
    }
    for (index, pair) in fittings.unlike.iter().enumerate() {
        record(context, pair, findings);
        order(pair, findings);
        let size = pair.size.value;
        let mut before = fittings.unlike.iter().take(index);
        if let Some(first) = before.find(|known| known.size.value == size) {
            findings.push(
                UNLIKE_GIVEN_TWICE
                    .at(pair.size.span, format!("{size} has an unlike pair already"))
                    .related(first.size.span, "the first one")
                    .help("keep the entry that is meant"),
            );
        }
        if !context.procedure.joints.iter().any(|j| j.size == size) {
            findings.push(
                UNLIKE_FOR_UNCLAIMED_SIZE
                    .at(
                        pair.size.span,
                        format!("the scope does not claim {size}, so it is not joined at all"),
                    )
                    .help(format!(
                        "claim {size} under `scope.pipe`, or take the entry out"
                    )),
            );
        }
    }
}

fn unlike_resin(context: &Context<'_>, resin: &Spanned<String>, findings: &mut Vec<Finding>) {
    let spec = context.procedure.spec;
    let Some(fitting) = context.limits.resin(resin) else {
        let known = context.limits.resin_codes(context.procedure.practice());
        findings.push(
            FITTING_RESIN_UNKNOWN
                .at(
                    resin.span,
                    format!(
                        "'{}' is not a designation that the tables know",
                        resin.value
                    ),
                )
                .help(format!("write the fitting's own: {}", known.join(", "))),
        );
        return;
    };
    // Another rule reports an unknown pipe resin.
    let Some(pipe) = context.limits.resin(&spec.resin) else {
        return;
    };
    if fitting.code == pipe.code {
        return;
    }
    let (of_fitting, of_pipe) = (fitting.group.family(), pipe.group.family());
    if of_fitting != of_pipe {
        let finding = FAMILIES_NEVER_FUSE
            .at(
                resin.span,
                format!(
                    "fittings of {} ({}) do not fuse with pipe of {} ({})",
                    fitting.code,
                    of_fitting.name(),
                    pipe.code,
                    of_pipe.name()
                ),
            )
            .related(spec.resin.span, "the resin of the pipe")
            .help(format!("use fittings of {}", of_pipe.name()));
        let source = context.limits.entry("compatibility:same-family:text");
        findings.push(match source {
            Some(source) => finding.limit(wording::entry_source(source)),
            None => finding,
        });
        return;
    }
    let unproven: Vec<Size> = context
        .procedure
        .sizes()
        .map(|joint| joint.size)
        .filter(|size| context.procedure.unlike_pair(*size).is_none())
        .collect();
    if unproven.is_empty() {
        return;
    }
    let finding = UNLIKE_WITHOUT_RECORD
        .at(
            resin.span,
            format!(
                "pipe is {}, fittings are {}, and no pair under `fittings.unlike` says how they are joined in {}",
                pipe.code,
                fitting.code,
                wording::sizes(&unproven)
            ),
        )
        .related(spec.resin.span, "the resin of the pipe")
        .help("give the qualified times and the record of each size under `fittings.unlike`, or use fittings of the pipe's resin");
    let source = context.limits.entry("compatibility:unlike-melt-flow:text");
    findings.push(match source {
        Some(source) => finding.limit(wording::entry_source(source)),
        None => finding,
    });
}

fn record(context: &Context<'_>, pair: &UnlikePair, findings: &mut Vec<Finding>) {
    let size = pair.size.value;
    let mut listed = context.procedure.cited();
    let (span, unproven) = match &pair.record {
        Some(record) if listed.any(|known| known.number.value == record.value) => return,
        Some(record) => (
            record.span,
            format!(
                "record {} of the {size} pair is not among `qualification.records`",
                record.value
            ),
        ),
        None => (
            pair.size.span,
            format!("unlike times for {size} cite no record"),
        ),
    };
    findings.push(
        UNLIKE_WITHOUT_RECORD
            .at(span, unproven)
            .help("cite as `record:` one of `qualification.records` whose test joints prove this pair in this order"),
    );
}

fn order(pair: &UnlikePair, findings: &mut Vec<Finding>) {
    let size = pair.size.value;
    let first = pair.first.value;
    let Some(longer_heating) = longer_heating(pair) else {
        findings.push(UNLIKE_NOT_NEEDED.at(
            pair.size.span,
            format!(
                "pipe and fitting of {size} both come off after {}, so they go on together",
                pair.pipe_heat.value.least.show()
            ),
        ));
        return;
    };
    if longer_heating == first {
        return;
    }
    let least = |part| match part {
        FirstOn::Pipe => pair.pipe_heat.value.least,
        FirstOn::Fitting => pair.fitting_heat.value.least,
    };
    let by: Duration = least(longer_heating) - least(first);
    findings.push(
        UNLIKE_ORDER_WRONG
            .at(
                pair.first.span,
                format!(
                    "the {} of {size} goes on first, and the {} needs {} longer",
                    name(first),
                    name(longer_heating),
                    by.show()
                ),
            )
            .help(format!(
                "write first: {}, and qualify that order",
                name(longer_heating)
            )),
    );
}

fn name(part: FirstOn) -> &'static str {
    match part {
        FirstOn::Pipe => "pipe",
        FirstOn::Fitting => "fitting",
    }
}
