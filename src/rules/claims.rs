//! Rules about pipe claimed in two places.

use std::collections::HashMap;

use super::{Context, scope, wording};
use crate::core::finding::{Finding, rules};
use crate::core::size::Size;
use crate::core::source::Span;
use crate::procedure::resolve::{WallLabel, walls};
use crate::spec::PipeClaim;

rules! {
    SIZE_CLAIMED_TWICE = warning("The same size and wall is claimed in two places.")
        .why("It is printed once and nothing is lost, but one of the two entries may have been \
              meant for another size, and that size is then missing.")
        .example("scope: {pipe: {sizes: [3/4 to 2 IPS, 2 IPS], dimension_ratio: 11}}")
        .fix("Delete one of the two, or correct it to the size or wall that was meant.");
}

pub(crate) fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let mut seen: HashMap<(Size, WallLabel), Span> = HashMap::new();
    for claim in &context.procedure.spec.pipe {
        let sizes = claimed_sizes(context, claim, findings);
        let mut labels: HashMap<WallLabel, Span> = HashMap::new();
        for (label, span) in walls(claim) {
            if let Some(first) = labels.insert(label, span) {
                findings.push(claimed_twice(
                    span,
                    first,
                    format!(
                        "{} is given twice for these sizes",
                        scope::wall_name(context, label)
                    ),
                ));
                continue;
            }
            let mut again = Vec::new();
            let mut first = None;
            for size in &sizes {
                if let Some(before) = seen.insert((*size, label), span) {
                    again.push(*size);
                    first.get_or_insert(before);
                }
            }
            if let Some(first) = first {
                let message = format!(
                    "{} with {} is claimed a second time",
                    wording::sizes(&again),
                    scope::wall_name(context, label)
                );
                findings.push(claimed_twice(span, first, message));
            }
        }
    }
}

/// The published sizes of a claim without repeats; overlapping ranges are reported.
fn claimed_sizes(
    context: &Context<'_>,
    claim: &PipeClaim,
    findings: &mut Vec<Finding>,
) -> Vec<Size> {
    let mut sizes: HashMap<Size, Span> = HashMap::new();
    for range in &claim.sizes {
        let mut again = Vec::new();
        let mut first = None;
        let published = context.limits.sizes(range.value.least.system());
        for size in published
            .into_iter()
            .filter(|size| range.value.contains(*size))
        {
            match sizes.get(&size) {
                Some(before) => {
                    again.push(size);
                    first.get_or_insert(*before);
                }
                None => {
                    sizes.insert(size, range.span);
                }
            }
        }
        if let Some(first) = first {
            findings.push(claimed_twice(
                range.span,
                first,
                format!("{} is claimed a second time", wording::sizes(&again)),
            ));
        }
    }
    let mut sizes: Vec<_> = sizes.into_keys().collect();
    sizes.sort();
    sizes
}

fn claimed_twice(span: Span, first: Span, message: String) -> Finding {
    SIZE_CLAIMED_TWICE
        .at(span, message)
        .related(first, "it is claimed here first")
        .help("delete one of the two, or correct it to what was meant")
}
