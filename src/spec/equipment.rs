//! Fittings, heater, hand tools and cleaning.

use super::fields::{Fields, by_size, given_twice, list};
use super::model::*;
use super::node::NodeKind;
use super::values;
use crate::finding::Finding;
use crate::source::Spanned;

const KINDS: &[(&str, FittingKind)] = &[
    ("coupling", FittingKind::Coupling),
    ("elbow", FittingKind::Elbow),
    ("tee", FittingKind::Tee),
    ("reducer", FittingKind::Reducer),
    ("threaded transition", FittingKind::ThreadedTransition),
    ("cap", FittingKind::Cap),
    ("spigot", FittingKind::Spigot),
];
const METHODS: &[(&str, FaceCheckMethod)] = &[
    ("pyrometer", FaceCheckMethod::Pyrometer),
    ("indicating stick", FaceCheckMethod::Stick),
    ("two indicating sticks", FaceCheckMethod::TwoSticks),
];
const AGENTS: &[(&str, CleaningAgent)] = &[
    ("isopropyl alcohol", CleaningAgent::IsopropylAlcohol),
    ("dry cloth", CleaningAgent::DryCloth),
    ("water", CleaningAgent::Water),
    ("acetone", CleaningAgent::Acetone),
];

/// The `fittings` group.
pub fn fittings(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Fittings> {
    let kinds = fields.required("kinds", findings, |node, findings| {
        list(node, findings, values::word(KINDS)).map(|kinds| each_once(kinds, findings))
    });
    let sockets = fields
        .optional("sockets", findings, |node, findings| {
            Some(by_size(
                node,
                "fittings.sockets",
                findings,
                |mut f, findings| {
                    let depth = f.required("depth", findings, values::length);
                    let source = f.optional("source", findings, values::text);
                    f.finish(findings);
                    Some(Socket {
                        depth: depth?,
                        source,
                    })
                },
            ))
        })
        .unwrap_or_default();
    let spigots = fields
        .optional("spigots", findings, |node, findings| {
            Some(by_size(
                node,
                "fittings.spigots",
                findings,
                |mut f, findings| {
                    let straight_length = f.required("straight_length", findings, values::length);
                    let source = f.optional("source", findings, values::text);
                    f.finish(findings);
                    Some(Spigot {
                        straight_length: straight_length?,
                        source,
                    })
                },
            ))
        })
        .unwrap_or_default();
    let span = fields.span;
    fields.finish(findings);
    Some(Fittings {
        kinds: kinds?,
        sockets,
        spigots,
        span,
    })
}

/// The kinds without those that are named again, which are reported.
fn each_once(
    kinds: Vec<Spanned<FittingKind>>,
    findings: &mut Vec<Finding>,
) -> Vec<Spanned<FittingKind>> {
    let mut once: Vec<Spanned<FittingKind>> = Vec::new();
    for kind in kinds {
        let Some(first) = once.iter().find(|known| known.value == kind.value) else {
            once.push(kind);
            continue;
        };
        let named = KINDS.iter().find(|(_, known)| *known == kind.value);
        let name = named.map_or("", |(name, _)| name);
        findings.push(given_twice(name, kind.span, first.span));
    }
    once
}

/// The `heater` group.
pub fn heater(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Heater> {
    let set_point = fields.required("set_point", findings, values::temperature);
    let face_offset = fields.optional("face_offset", findings, values::temperature_difference);
    let step = fields.optional("step", findings, values::temperature_spread);
    let swing = fields.optional("swing", findings, values::temperature_spread);
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
                    let depth = f.optional("depth", findings, values::length);
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
    let accuracy = fields.optional("accuracy", findings, values::temperature_spread);
    let melts = match method.as_ref().map(|m| m.value) {
        Some(FaceCheckMethod::Stick | FaceCheckMethod::TwoSticks) => {
            fields.required("melts", findings, values::temperature)
        }
        _ => None,
    };
    let stays_solid = match method.as_ref().map(|m| m.value) {
        Some(FaceCheckMethod::TwoSticks) => {
            fields.required("stays_solid", findings, values::temperature)
        }
        _ => None,
    };
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

/// The `tools` group.
pub fn tools(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Tools {
    let depth_gauges = fields
        .required("depth_gauges", findings, |node, findings| {
            Some(by_size(
                node,
                "tools.depth_gauges",
                findings,
                |mut f, findings| {
                    let depth = f.required("depth", findings, |node, findings| match &node.kind {
                        NodeKind::Scalar(text) if text == "to be measured" => {
                            Some(GaugeDepth::ToBeMeasured(node.span))
                        }
                        _ => values::length(node, findings).map(GaugeDepth::Known),
                    });
                    let id = f.optional("id", findings, values::text);
                    let source = f.optional("source", findings, values::text);
                    f.finish(findings);
                    Some(DepthGauge {
                        depth: depth?,
                        id,
                        source,
                    })
                },
            ))
        })
        .unwrap_or_default();
    let cold_rings = fields
        .required("cold_rings", findings, |node, findings| match node.kind {
            NodeKind::List(_) => list(node, findings, values::size).map(|sizes| {
                let unmeasured = |size| (size, ColdRing { width: None });
                sizes.into_iter().map(unmeasured).collect()
            }),
            _ => Some(by_size(
                node,
                "tools.cold_rings",
                findings,
                |mut f, findings| {
                    let width = f.optional("width", findings, values::length);
                    f.finish(findings);
                    Some(ColdRing { width })
                },
            )),
        })
        .unwrap_or_default();
    let cutter_largest = fields.group("cutter", findings).and_then(|mut f| {
        let largest = f.required("largest", findings, values::size);
        f.finish(findings);
        largest
    });
    let span = fields.span;
    fields.finish(findings);
    Tools {
        depth_gauges,
        cold_rings,
        cutter_largest,
        span,
    }
}

/// The `cleaning` group.
pub fn cleaning(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Cleaning> {
    let agent = fields.required("agent", findings, values::word(AGENTS));
    let strength = fields.optional("strength", findings, values::percent);
    fields.finish(findings);
    Some(Cleaning {
        agent: agent?,
        strength,
    })
}
