//! The fittings: kinds, sockets and spigots, reducers, and pairs that are heated
//! for unlike times.

use super::equipment;
use super::fields::{Fields, by_size, given_twice, list};
use super::model::*;
use super::{plausible, values, words};
use crate::core::finding::Finding;
use crate::core::source::Spanned;

pub(crate) const KINDS: &[(&str, FittingKind)] = &[
    ("coupling", FittingKind::Coupling),
    ("elbow", FittingKind::Elbow),
    ("tee", FittingKind::Tee),
    ("reducer", FittingKind::Reducer),
    ("threaded transition", FittingKind::ThreadedTransition),
    ("cap", FittingKind::Cap),
    ("spigot", FittingKind::Spigot),
];
pub(crate) const FIRST_ON: &[(&str, FirstOn)] =
    &[("pipe", FirstOn::Pipe), ("fitting", FirstOn::Fitting)];

/// The `fittings` group.
pub fn fittings(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Fittings> {
    let kinds = fields.required("kinds", findings, |node, findings| {
        list(node, findings, values::word(KINDS)).map(|kinds| each_once(kinds, findings))
    });
    let resin = fields.optional("resin", findings, values::resin);
    let depths = fields
        .optional("depths", findings, |node, findings| {
            Some(by_size(node, "fittings.depths", findings, equipment::depth))
        })
        .unwrap_or_default();
    let sockets = fields
        .optional("sockets", findings, |node, findings| {
            Some(by_size(node, "fittings.sockets", findings, socket))
        })
        .unwrap_or_default();
    let spigots = fields
        .optional("spigots", findings, |node, findings| {
            Some(by_size(node, "fittings.spigots", findings, spigot))
        })
        .unwrap_or_default();
    let reducers = fields
        .optional("reducers", findings, |node, findings| {
            list(node, findings, values::size_pair)
        })
        .unwrap_or_default();
    let unlike = fields
        .optional("unlike", findings, |node, findings| {
            list(node, findings, |node, findings| {
                Fields::open(node, "fittings.unlike", node.span, findings)
                    .and_then(|fields| unlike(fields, findings))
            })
        })
        .unwrap_or_default();
    let span = fields.span;
    fields.finish(findings);
    Some(Fittings {
        kinds: kinds?,
        resin,
        depths,
        reducers,
        unlike,
        sockets,
        spigots,
        span,
    })
}

fn socket(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Socket> {
    let depth = fields.optional("depth", findings, values::length(&plausible::SOCKET_DEPTH));
    let mouth = fields.optional("mouth", findings, values::length_range(&plausible::BORE));
    let root = fields.optional("root", findings, values::length_range(&plausible::BORE));
    let source = fields.optional("source", findings, values::text);
    fields.finish(findings);
    Some(Socket {
        depth,
        mouth,
        root,
        source,
    })
}

fn spigot(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Spigot> {
    let straight_length = fields.required(
        "straight_length",
        findings,
        values::length(&plausible::STRAIGHT_LENGTH),
    );
    let outside_diameter = fields.optional(
        "outside_diameter",
        findings,
        values::length(&plausible::DIAMETER),
    );
    let wall = fields.optional("wall", findings, values::length(&plausible::WALL));
    let source = fields.optional("source", findings, values::text);
    fields.finish(findings);
    Some(Spigot {
        straight_length: straight_length?,
        outside_diameter,
        wall,
        source,
    })
}

fn unlike(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<UnlikePair> {
    let size = fields.required("size", findings, values::size);
    let pipe_heat = fields.required(
        "pipe_heat",
        findings,
        values::duration_range(&plausible::HEATING),
    );
    let fitting_heat = fields.required(
        "fitting_heat",
        findings,
        values::duration_range(&plausible::HEATING),
    );
    let first = fields.required("first", findings, values::word(FIRST_ON));
    let record = fields.optional("record", findings, values::text);
    let source = fields.optional("source", findings, values::text);
    let span = fields.span;
    fields.finish(findings);
    Some(UnlikePair {
        size: size?,
        pipe_heat: pipe_heat?,
        fitting_heat: fitting_heat?,
        first: first?,
        record,
        source,
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
        let name = words::name(KINDS, &kind.value);
        findings.push(given_twice(name, kind.span, first.span));
    }
    once
}
