//! When two specs are the same procedure.

use coldring::core::source::Span;
use coldring::procedure::numbers::rows;
use coldring::procedure::resolve::{Depth, Joint, Procedure, resolve};
use coldring::process::check;
use coldring::published::library;
use coldring::rules::Context;
use coldring::spec::{Spec, decode};

use crate::support::as_of;

/// Reads a spec in which the reader finds nothing.
pub fn readable(text: &str) -> Option<Spec> {
    let (spec, findings) = decode(text);
    spec.filter(|_| findings.is_empty())
}

/// Reads a spec that has to be read without a finding.
pub fn spec(text: &str) -> Spec {
    let (spec, findings) = decode(text);
    assert!(findings.is_empty(), "{findings:?}\n{text}");
    spec.unwrap()
}

/// All that a procedure is, without the places in its text: its figures with
/// basis, source and id, its joints, and everything else that is resolved.
/// Without `written`, the characters of a figure do not count either.
pub fn essence(spec: &Spec, written: bool) -> Vec<String> {
    let procedure = resolve(spec, library());
    let Procedure {
        spec: _,
        resin,
        window,
        face,
        joints,
        before_pressure_test,
        cold_trigger,
        cold_step,
        strip_thickness,
        records: _,
    } = &procedure;
    let mut told = vec![
        format!("{resin:?} {face:?} {window:?}"),
        format!("{before_pressure_test:?} {cold_trigger:?} {cold_step:?} {strip_thickness:?}"),
    ];
    told.extend(
        joints
            .iter()
            .map(|joint| format!("{:?}", placeless(joint, written))),
    );
    told.extend(rows(&procedure).into_iter().map(|mut row| {
        row.written = row.written.filter(|_| written);
        format!("{row:?}")
    }));
    told
}

fn placeless(joint: &Joint, written: bool) -> Joint {
    let mut joint = joint.clone();
    joint.claimed_at = Span::default();
    joint.wall_at = Span::default();
    for pipe in &mut joint.pipes {
        pipe.claimed_at = Span::default();
    }
    match &mut joint.depth {
        Depth::Known(depth) if !written => depth.written = None,
        Depth::ToBeMeasured(place) => *place = Span::default(),
        Depth::Known(_) | Depth::Missing => {}
    }
    joint
}

/// What the rules find, without the places: `full` with the words, else the
/// rules alone, each as often as it is found.
pub fn findings(spec: &Spec, full: bool) -> Vec<String> {
    let procedure = resolve(spec, library());
    let found = check(&Context {
        procedure: &procedure,
        limits: library(),
        as_of: as_of(),
        unread: false,
        advice: None,
    });
    let told = found.iter().map(|finding| match full {
        true => format!(
            "{} {} {:?}",
            finding.rule.slug, finding.message, finding.help
        ),
        false => finding.rule.slug.to_owned(),
    });
    let mut told: Vec<_> = told.collect();
    told.sort();
    told
}
