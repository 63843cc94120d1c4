//! Rules about reducing fittings: each end is a joint of its size, so both sizes must be
//! claimed.

use crate::core::finding::{Finding, rules};
use crate::rules::{Context, wording};
use crate::spec::{FittingKind, Reducer};

rules! {
    REDUCER_SIZES_NOT_STATED = warning(
        "Reducers are claimed, and the spec does not say from which size to which.")
        .absence()
        .why("A reducer is two joints of two sizes with two depths and two times. A crew that is \
              not told both reads one row of the table for both ends.")
        .example("fittings: {kinds: [coupling, reducer]}      # no reducers:")
        .fix("List the pairs, reducers: [2 IPS x 1 IPS], or take the kind out.");
    REDUCER_NOT_A_KIND = warning(
        "Pairs of reducing fittings are listed, and the kind is not claimed.")
        .absence()
        .why("The scope prints the kinds of fitting that are covered. A crew that holds a reducer \
              does not find it there, and the procedure covers nothing it does not list.")
        .example("fittings: {kinds: [coupling], reducers: [2 IPS x 1 IPS]}")
        .fix("Add reducer to fittings.kinds, or take the pairs out.");
    REDUCER_SIZE_NOT_CLAIMED = error(
        "An end of a reducing fitting has a size that the scope does not claim.")
        .absence()
        .why("Each end needs its own adapters, cold ring, depth and times. Without them the crew \
              makes that end with what fits the other one, or by guess.")
        .example("scope: {pipe: {sizes: 2 IPS, dimension_ratio: 11}}\nfittings: {kinds: [reducer], \
                  reducers: [2 IPS x 1 IPS]}")
        .fix("Claim the size under scope.pipe with its tools, or take the pair out.");
    REDUCER_ACROSS_PRACTICES = error("An end of a reducing fitting has a size of another practice.")
        .why("Inch and metric practice have tools and times of their own, counted in ways of their \
              own. One paper cannot tell a crew when to count which way.")
        .example("procedure: {practice: us}\nfittings: {kinds: [reducer], reducers: [2 IPS x 32 \
                  mm]}")
        .fix("Use a mechanical transition between inch and metric pipe, and give each practice a \
              procedure of its own.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let fittings = &context.procedure.spec.fittings;
    let mut kinds = fittings.kinds.iter();
    let kind = kinds.find(|kind| kind.value == FittingKind::Reducer);
    match (kind, fittings.reducers.first()) {
        (Some(kind), None) => findings.push(
            REDUCER_SIZES_NOT_STATED
                .at(
                    kind.span,
                    "reducers are claimed, and no pair of sizes is listed for them",
                )
                .help(format!(
                    "add `reducers: [{}]` under `fittings`, with the pairs on hand",
                    context.procedure.practice().reducer_example
                ))
                .asks("`reducers`", ""),
        ),
        (None, Some(pair)) => findings.push(
            REDUCER_NOT_A_KIND
                .at(
                    pair.span,
                    "reducing fittings are listed, and `fittings.kinds` does not have reducer",
                )
                .help("add reducer to `fittings.kinds`, or take the pairs out"),
        ),
        _ => {}
    }
    for reducer in &fittings.reducers {
        ends(context, reducer, findings);
    }
}

fn ends(context: &Context<'_>, reducer: &Reducer, findings: &mut Vec<Finding>) {
    let practice = context.procedure.practice();
    let (ours, others): (Vec<_>, Vec<_>) = [reducer.large, reducer.small]
        .into_iter()
        .partition(|size| practice.has(size.system()));
    if !others.is_empty() {
        let (is, help) = if ours.is_empty() {
            (
                "are",
                "take the pair out: both of its ends belong in a procedure under the other practice",
            )
        } else {
            (
                "is",
                "join inch to metric pipe by a mechanical transition, or list a pair of one practice",
            )
        };
        findings.push(
            REDUCER_ACROSS_PRACTICES
                .at(
                    reducer.span,
                    format!(
                        "{} {is} not joined under {}",
                        wording::sizes(&others),
                        practice.name
                    ),
                )
                .help(help),
        );
    }
    let claimed = |size| context.procedure.joints.iter().any(|j| j.size == size);
    let missing: Vec<_> = ours.into_iter().filter(|size| !claimed(*size)).collect();
    if !missing.is_empty() {
        let sizes = wording::sizes(&missing);
        findings.push(
            REDUCER_SIZE_NOT_CLAIMED
                .at(
                    reducer.span,
                    format!(
                        "the {} x {} reducer has an end of {sizes}, which the scope does not claim",
                        reducer.large, reducer.small
                    ),
                )
                .help(format!(
                    "claim {sizes} under `scope.pipe`, with {} and times, or take the pair out",
                    practice.size_needs
                )),
        );
    }
}
