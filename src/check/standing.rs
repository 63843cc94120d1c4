//! Rules about how well the figures are known: those that rest on memory, those
//! on which sources disagree, and the thickness of a strip that nobody measured.

use super::Context;
use crate::finding::{
    Finding, Rule,
    Severity::{Error, Warning},
};
use crate::limits::{Basis, Figure, Sourced};
use crate::resolve::{Procedure, WallLabel};
use crate::spec::{FaceCheckMethod, StripUse};

/// The rules of this family.
pub static RULES: &[&Rule] = &[
    &RECALLED_FIGURES_USED,
    &CONFLICTING_FIGURES_USED,
    &STRIP_THICKNESS_UNKNOWN,
];

/// Figures from memory.
static RECALLED_FIGURES_USED: Rule = Rule {
    slug: "recalled-figures-used",
    severity: Warning,
    summary: "The procedure uses figures that were recalled and not read in their source.",
    why: "A recalled figure is what people in the trade remember. It is mostly right, and a \
          joint made by one that is not is weak with no sign of it. The papers mark each of them.",
    example: "scope:\n  pipe: {sizes: 3/4 IPS, dimension_ratio: 11}      # its row is recalled",
    fix: "Compare each figure with the edition you work under. Where you have qualified a time \
          of your own, state it with its source under `cycles`; it then takes the place of the \
          recalled one.",
    dated: false,
};

/// Figures that sources give differently.
static CONFLICTING_FIGURES_USED: Rule = Rule {
    slug: "conflicting-figures-used",
    severity: Warning,
    summary: "The procedure uses a figure that sources give differently.",
    why: "Two texts that people work by print two figures, and both cannot be right for the \
          same joint. The tool takes one by a stated decision; it cannot know which of them \
          your pipe was tested with.",
    example: "scope:\n  resin: PE2708\n  pipe: {sizes: 2 IPS, dimension_ratio: 11}",
    fix: "Look up the edition you work under and the pipe maker's instructions, and state your \
          own qualified time with its source under `cycles`.",
    dated: false,
};

/// A strip of unknown thickness.
static STRIP_THICKNESS_UNKNOWN: Rule = Rule {
    slug: "strip-thickness-unknown",
    severity: Error,
    summary: "Strips are used as labels or laminated, and their thickness is not stated.",
    why: "A strip wraps on the outside of its own thickness, so a thicker one has to be longer \
          for its ends to meet. With the wrong thickness the lap line does not meet and the \
          strip sits askew on the pipe.",
    example: "documents: {strips: {use: laminated}}      # no thickness",
    fix: "Measure the finished strip with a caliper and add `thickness: 0.3 mm`.",
    dated: false,
};

/// Applies the rules of this family.
pub fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let figures = figures_in_use(context);
    recalled(&figures, findings);
    conflicts(&figures, context, findings);
    strips(context.procedure, findings);
}

fn recalled(figures: &[&Figure], findings: &mut Vec<Finding>) {
    let listed: Vec<_> = figures
        .iter()
        .filter(|figure| figure.basis == Basis::Recalled)
        .map(|figure| format!("{} = {}", figure.id, figure.written))
        .collect();
    let what = match listed.len() {
        0 => return,
        1 => "1 figure is recalled and was not read in its source".to_owned(),
        n => format!("{n} figures are recalled and were not read in their source"),
    };
    findings.push(
        RECALLED_FIGURES_USED
            .about_file(format!("{what}: {}", listed.join("; ")))
            .help(
                "compare each with the edition you work under; a time of your own, with its \
                 source, takes the place of a recalled one",
            ),
    );
}

fn conflicts(figures: &[&Figure], context: &Context<'_>, findings: &mut Vec<Finding>) {
    let mut slugs: Vec<&str> = figures.iter().filter_map(|f| f.conflict.as_deref()).collect();
    slugs.sort_unstable();
    slugs.dedup();
    for slug in slugs {
        let told = |column: &str| context.limits.figure(&format!("conflicts:{slug}:{column}"));
        let used = || figures.iter().filter(|f| f.conflict.as_deref() == Some(slug));
        let mut sizes: Vec<_> = used().filter_map(|figure| figure.size).collect();
        sizes.sort();
        sizes.dedup();
        let names: Vec<_> = sizes.iter().map(ToString::to_string).collect();
        let about = match names.as_slice() {
            [] => String::new(),
            names => format!(" for {}", names.join(", ")),
        };
        let what = told("figures").and_then(Figure::text).unwrap_or(slug);
        let message = format!("sources disagree{about}: {what}");
        let joints = &context.procedure.joints;
        let claimed = joints.iter().find(|joint| sizes.contains(&joint.size));
        let mut finding = match claimed {
            Some(joint) => CONFLICTING_FIGURES_USED.at(joint.claimed_at, message),
            None => CONFLICTING_FIGURES_USED.about_file(message),
        };
        if let Some(decision) = told("decision").and_then(Figure::text) {
            finding = finding.help(format!(
                "decided here: {decision}; compare with the edition you work under"
            ));
        }
        let mut limits: Vec<_> = used()
            .map(|f| format!("{} = {}; {} ({})", f.id, f.written, f.source, f.basis.word()))
            .collect();
        limits.dedup();
        findings.push(finding.limit(limits.join("; ")));
    }
}

fn strips(procedure: &Procedure<'_>, findings: &mut Vec<Finding>) {
    let Some(strips) = &procedure.spec.documents.strips else {
        return;
    };
    let used_as = match strips.usage.value {
        StripUse::Bare => return,
        StripUse::Label => "adhesive labels",
        StripUse::Laminated => "laminated",
    };
    if strips.thickness.is_none() {
        findings.push(
            STRIP_THICKNESS_UNKNOWN
                .at(
                    strips.usage.span,
                    format!("the strips are {used_as}, but their thickness is not stated"),
                )
                .help("measure a finished strip with a caliper and add `thickness`"),
        );
    }
}

/// Every published figure that the papers of this procedure rest on, each once,
/// in the order of the procedure. What the organisation states itself is not
/// among them.
fn figures_in_use<'a>(context: &Context<'a>) -> Vec<&'a Figure> {
    let procedure = context.procedure;
    let mut ids: Vec<String> = Vec::new();
    fn id<T>(figure: &Option<Sourced<T>>) -> Option<String> {
        figure.as_ref().and_then(|figure| figure.id.clone())
    }
    for joint in &procedure.joints {
        ids.extend(id(&joint.heat));
        ids.extend(id(&joint.hold));
        ids.extend(id(&joint.outside_diameter));
        ids.extend(id(&joint.od_tolerance));
    }
    let mut pipes = procedure.joints.iter().flat_map(|joint| &joint.pipes);
    if pipes.clone().any(|pipe| matches!(pipe.label, WallLabel::Ratio(_))) {
        ids.push("wall-rules:least-wall:length".to_owned());
    }
    if pipes.any(|pipe| pipe.wall_tolerance.is_some()) {
        ids.push("wall-rules:wall-tolerance:percent".to_owned());
        ids.push("wall-rules:wall-tolerance:length".to_owned());
    }
    ids.extend(id(&procedure.window));
    let by_stick = |check: &&crate::spec::FaceCheck| {
        check.method.value != FaceCheckMethod::Pyrometer && check.accuracy.is_none()
    };
    if procedure.spec.heater.face_check.as_ref().filter(by_stick).is_some() {
        ids.push("us-heater:stick-accuracy:percent".to_owned());
    }
    ids.extend(id(&procedure.change_over));
    ids.extend(id(&procedure.before_handling));
    ids.extend(id(&procedure.before_pressure_test));
    ids.extend(id(&procedure.cold_trigger));
    ids.extend(id(&procedure.cold_step));
    ids.extend(id(&procedure.strip_thickness));
    let mut figures: Vec<&Figure> = Vec::new();
    for figure in ids.iter().filter_map(|id| context.limits.figure(id)) {
        if !figures.iter().any(|known| known.id == figure.id) {
            figures.push(figure);
        }
    }
    figures
}
