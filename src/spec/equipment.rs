//! Heater, hand tools and cleaning.

use super::fields::{Fields, by_size, list};
use super::model::*;
use super::node::NodeKind;
use super::words::{YES_NO, folded};
use super::{plausible, values};
use crate::core::finding::Finding;

pub(crate) const METHODS: &[(&str, FaceCheckMethod)] = &[
    ("pyrometer", FaceCheckMethod::Pyrometer),
    ("indicating stick", FaceCheckMethod::Stick),
    ("two indicating sticks", FaceCheckMethod::TwoSticks),
];
pub(crate) const AGENTS: &[(&str, CleaningAgent)] = &[
    (
        CleaningAgent::IsopropylAlcohol.name(),
        CleaningAgent::IsopropylAlcohol,
    ),
    (CleaningAgent::DryCloth.name(), CleaningAgent::DryCloth),
    (CleaningAgent::Water.name(), CleaningAgent::Water),
    (CleaningAgent::Acetone.name(), CleaningAgent::Acetone),
];

/// The `heater` group.
pub fn heater(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Heater> {
    let set_point = fields.required(
        "set_point",
        findings,
        values::temperature(&plausible::SET_POINT),
    );
    let face_offset = fields.optional(
        "face_offset",
        findings,
        values::temperature_difference(&plausible::FACE_OFFSET),
    );
    let step = fields.optional(
        "step",
        findings,
        values::temperature_spread(&plausible::STEP),
    );
    let swing = fields.optional(
        "swing",
        findings,
        values::temperature_spread(&plausible::SWING),
    );
    let face_check = fields
        .group("face_check", findings)
        .and_then(|fields| face_check(fields, findings));
    let adapters = fields
        .required("adapters", findings, |node, findings| {
            Some(by_size(
                node,
                "heater.adapters",
                findings,
                |mut f, findings| {
                    let depth = f.optional("depth", findings, values::length(&plausible::DEPTH));
                    f.finish(findings);
                    Some(Adapter { depth })
                },
            ))
        })
        .unwrap_or_default();
    let span = fields.span;
    fields.finish(findings);
    Some(Heater {
        set_point: set_point?,
        face_offset,
        step,
        swing,
        face_check,
        adapters,
        span,
    })
}

fn face_check(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<FaceCheck> {
    let method = fields.required("method", findings, values::word(METHODS));
    let accuracy = fields.optional(
        "accuracy",
        findings,
        values::temperature_spread(&plausible::ACCURACY),
    );
    // Without its method, nobody can tell which of these a check has.
    let of_sticks = ["melts", "stays_solid"];
    let ratings = match method.as_ref().map(|m| m.value) {
        Some(FaceCheckMethod::Pyrometer) => 0,
        Some(FaceCheckMethod::Stick) => 1,
        Some(FaceCheckMethod::TwoSticks) => 2,
        None => {
            for field in of_sticks {
                fields.optional(field, findings, values::temperature(&plausible::STICK));
            }
            0
        }
    };
    let mut needed = of_sticks
        .into_iter()
        .take(ratings)
        .map(|field| fields.required(field, findings, values::temperature(&plausible::STICK)));
    let (melts, stays_solid) = (needed.next().flatten(), needed.next().flatten());
    let span = fields.span;
    fields.finish(findings);
    Some(FaceCheck {
        method: method?,
        accuracy,
        melts,
        stays_solid,
        span,
    })
}

/// The insertion depth of one size.
pub fn depth(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<DepthGauge> {
    let depth = fields.required("depth", findings, |node, findings| match &node.kind {
        NodeKind::Scalar(text) if folded(text) == folded(TO_BE_MEASURED) => {
            Some(GaugeDepth::ToBeMeasured(node.span))
        }
        _ => values::length(&plausible::DEPTH)(node, findings).map(GaugeDepth::Known),
    });
    let id = fields.optional("id", findings, values::text);
    let source = fields.optional("source", findings, values::text);
    fields.finish(findings);
    Some(DepthGauge {
        depth: depth?,
        id,
        source,
    })
}

/// The `tools` group.
pub fn tools(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Tools {
    let depth_gauges = fields
        .optional("depth_gauges", findings, |node, findings| {
            Some(by_size(node, "tools.depth_gauges", findings, depth))
        })
        .unwrap_or_default();
    let cold_rings = fields
        .optional("cold_rings", findings, |node, findings| match node.kind {
            NodeKind::List(_) => list(node, findings, values::size).map(|sizes| {
                let unmeasured = |size| (size, ColdRing { width: None });
                sizes.into_iter().map(unmeasured).collect()
            }),
            _ => Some(by_size(
                node,
                "tools.cold_rings",
                findings,
                |mut f, findings| {
                    let width =
                        f.optional("width", findings, values::length(&plausible::RING_WIDTH));
                    f.finish(findings);
                    Some(ColdRing { width })
                },
            )),
        })
        .unwrap_or_default();
    let mut largest = |field| {
        fields.group(field, findings).and_then(|mut f| {
            let largest = f.required("largest", findings, values::size);
            f.finish(findings);
            largest
        })
    };
    let cutter_largest = largest("cutter");
    let machine_largest = largest("machine");
    let span = fields.span;
    fields.finish(findings);
    Tools {
        depth_gauges,
        cold_rings,
        cutter_largest,
        machine_largest,
        span,
    }
}

/// The `cleaning` group.
pub fn cleaning(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Cleaning> {
    let agent = fields.required("agent", findings, values::word(AGENTS));
    let strength = fields.optional("strength", findings, values::percent(&plausible::STRENGTH));
    let peel = fields.optional("peel", findings, values::word(YES_NO));
    fields.finish(findings);
    Some(Cleaning {
        agent: agent?,
        strength,
        peel,
    })
}
