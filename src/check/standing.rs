//! Rules about how well the figures are known: those that rest on memory, those
//! on which sources disagree, and the thickness of a strip that nobody measured.

use std::collections::BTreeMap;

use super::{Context, say};
use crate::finding::{
    Finding, Rule,
    Severity::{Error, Warning},
};
use crate::limits::{Basis, Figure, Library, Sourced};
use crate::resolve::WallLabel;
use crate::source::Span;
use crate::spec::{FaceCheckMethod, Service, StripUse, Written};
use crate::units::{Length, Range};

/// The rules of this family.
pub static RULES: &[&Rule] = &[
    &RECALLED_FIGURES_USED,
    &CONFLICTING_FIGURES_USED,
    &STRIP_THICKNESS_UNKNOWN,
    &STRIP_THICKNESS_OUT_OF_RANGE,
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

/// A thickness no strip has.
static STRIP_THICKNESS_OUT_OF_RANGE: Rule = Rule {
    slug: "strip-thickness-out-of-range",
    severity: Error,
    summary: "The stated thickness of the strips is not that of paper, a label or a laminate.",
    why: "The thickness makes the strip longer, by about three times as much. One that is off by \
          a decimal place or a unit gives a strip whose ends leave a gap or overlap.",
    example: "documents: {strips: {use: laminated, thickness: 4 mm}}      # for 0.4 mm",
    fix: "Measure one finished strip with a caliper, and check the unit and the decimal point.",
    dated: false,
};

/// Applies the rules of this family.
pub fn check(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let uses = figures_in_use(context);
    recalled(context, &uses, findings);
    conflicts(&uses, context.limits, findings);
    strips(context, findings);
}

fn recalled(context: &Context<'_>, uses: &[Use<'_>], findings: &mut Vec<Finding>) {
    let from_memory = |figure: &&Figure| figure.basis == Basis::Recalled;
    let figures: Vec<_> = uses
        .iter()
        .map(|used| used.figure)
        .filter(from_memory)
        .collect();
    let statements: Vec<_> = statements_in_use(context)
        .into_iter()
        .filter(from_memory)
        .collect();
    let named: Vec<_> = figures.iter().map(|figure| trade_name(figure)).collect();
    let counted = match statements.len() {
        1 => "1 statement that the papers print and mark".to_owned(),
        n => format!("{n} statements that the papers print and mark"),
    };
    let is = |count: usize| if count == 1 { "is" } else { "are" };
    let message = match (named.len(), statements.len()) {
        (0, 0) => return,
        (0, n) => format!("{counted} {} from memory", is(n)),
        (n, 0) => format!("{} {} from memory", say::list(&named), is(n)),
        (n, m) => format!(
            "{} {} from memory; so {} {counted}",
            say::list(&named),
            is(n),
            is(m)
        ),
    };
    let ids: Vec<_> = figures
        .iter()
        .chain(&statements)
        .map(|figure| figure.id.as_str())
        .collect();
    findings.push(RECALLED_FIGURES_USED.about_file(message).help(format!(
        "compare each with the edition you work under; a time of your own, with its source, \
         takes the place of a recalled one. `coldring limits` lists them: {}",
        ids.join(", ")
    )));
}

/// What people in the trade call a figure, with its value.
fn trade_name(figure: &Figure) -> String {
    let mut parts = figure.id.split(':');
    let (table, column) = (parts.next().unwrap_or_default(), parts.next_back());
    let key = parts.next_back().unwrap_or_default();
    let what = match (table, column.unwrap_or_default(), key) {
        ("us-cycles", "heat", _) => "heating".to_owned(),
        ("us-cycles", "hold", _) => "hold".to_owned(),
        (_, "od", _) => "outside diameter of".to_owned(),
        (_, "od_tolerance", _) => "diameter tolerance of".to_owned(),
        (_, _, "change-over") => "change-over".to_owned(),
        (_, _, "cold-trigger") => "cold-weather trigger".to_owned(),
        (_, _, "cold-trial-step") => "cold-weather trial step".to_owned(),
        (_, _, "heater-face") => "face temperature window".to_owned(),
        (_, _, "ovality") => "ovality of coiled pipe".to_owned(),
        _ => key.replace('-', " "),
    };
    let size = figure.size.map_or(String::new(), |size| format!(" {size}"));
    format!("{what}{size} ({})", figure.written)
}

/// The statements of the tables that the papers of this procedure print.
fn statements_in_use<'a>(context: &Context<'a>) -> Vec<&'a Figure> {
    let (limits, spec) = (context.limits, context.procedure.spec);
    let is_gas = spec.service.value == Service::Gas;
    let mut tables = vec!["hazards", "acceptance", "rejection", "acceptance-rules"];
    if is_gas {
        tables.push("joint-tests");
    }
    tables.push("compatibility");
    let mut statements: Vec<_> = tables
        .into_iter()
        .flat_map(|table| limits.texts(table, "text"))
        .collect();
    if spec.cold_weather.is_some() {
        statements.extend(limits.cold_statements());
    }
    if is_gas {
        let cites = limits.texts("regulation", "cite").into_iter();
        let of_gas = cites.filter(|cite| {
            let section = cite.text().and_then(|text| text.strip_prefix("49 CFR 192"));
            section.is_some_and(|section| !section.is_empty())
        });
        statements.extend(of_gas.filter_map(|cite| {
            let row = cite.id.strip_suffix(":cite")?;
            limits.figure(&format!("{row}:text"))
        }));
    }
    statements
}

/// One finding for each topic on which sources disagree.
fn conflicts(uses: &[Use<'_>], limits: &Library, findings: &mut Vec<Finding>) {
    let mut topics: BTreeMap<&str, Vec<Use<'_>>> = BTreeMap::new();
    for used in uses {
        if let Some(slug) = &used.figure.conflict {
            topics.entry(slug).or_default().push(*used);
        }
    }
    for (slug, uses) in topics {
        let told = |column: &str| {
            let figure = limits.figure(&format!("conflicts:{slug}:{column}"));
            figure
                .and_then(Figure::text)
                .map(|text| text.trim_end_matches('.'))
        };
        let mut sizes: Vec<_> = uses.iter().filter_map(|used| used.figure.size).collect();
        sizes.sort();
        sizes.dedup();
        let about = if sizes.is_empty() {
            String::new()
        } else {
            format!(" for {}", say::sizes(&sizes))
        };
        let message = format!(
            "sources disagree about a figure used{about}: {}",
            told("figures").unwrap_or(slug)
        );
        let mut finding = match uses.iter().find_map(|used| used.place) {
            Some(place) => CONFLICTING_FIGURES_USED.at(place, message),
            None => CONFLICTING_FIGURES_USED.about_file(message),
        };
        if let Some(decision) = told("decision") {
            finding = finding.help(format!(
                "decided here: {decision}. Compare it with the edition you work under"
            ));
        }
        let used: Vec<_> = uses
            .iter()
            .map(|used| used.figure)
            .map(|f| {
                format!(
                    "{} = {}, {} ({})",
                    f.id,
                    f.written,
                    f.source,
                    f.basis.word()
                )
            })
            .collect();
        findings.push(finding.limit(used.join("; ")));
    }
}

fn strips(context: &Context<'_>, findings: &mut Vec<Finding>) {
    let Some(strips) = &context.procedure.spec.documents.strips else {
        return;
    };
    if let Some(thickness) = &strips.thickness {
        findings.extend(thickness_out_of_range(context.limits, thickness));
    }
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

fn thickness_out_of_range(limits: &Library, thickness: &Written<Length>) -> Option<Finding> {
    let least = limits
        .figure("print:strip-thickness-least:length")?
        .length()?;
    let most = limits
        .figure("print:strip-thickness-most:length")?
        .length()?;
    if Range::new(least.value, most.value).contains(thickness.value) {
        return None;
    }
    Some(
        STRIP_THICKNESS_OUT_OF_RANGE
            .at(
                thickness.span,
                format!(
                    "a strip is not {} thick: paper, labels and laminates are {} to {}",
                    thickness.text,
                    say::length(least.value),
                    say::length(most.value)
                ),
            )
            .help("measure a finished strip with a caliper, and check the unit")
            .limit(say::source(&most)),
    )
}

/// A published figure that the papers rest on, and the place in the spec that
/// makes them do so, where there is one.
#[derive(Debug, Clone, Copy)]
struct Use<'a> {
    figure: &'a Figure,
    place: Option<Span>,
}

/// Every published figure that the papers of this procedure rest on, each once,
/// in the order of the procedure. What the organization states itself is not
/// among them.
fn figures_in_use<'a>(context: &Context<'a>) -> Vec<Use<'a>> {
    let procedure = context.procedure;
    let mut uses: Vec<Use<'a>> = Vec::new();
    let mut add = |id: Option<&str>, place: Option<Span>| {
        let figure = id.and_then(|id| context.limits.figure(id));
        if let Some(figure) = figure.filter(|f| uses.iter().all(|known| known.figure.id != f.id)) {
            uses.push(Use { figure, place });
        }
    };
    for joint in &procedure.joints {
        let place = Some(joint.claimed_at);
        add(id(&joint.heat), place);
        add(id(&joint.hold), place);
        add(id(&joint.outside_diameter), place);
        add(id(&joint.od_tolerance), place);
        for pipe in &joint.pipes {
            if matches!(pipe.label, WallLabel::Ratio(_)) {
                add(Some("wall-rules:least-wall:length"), Some(pipe.claimed_at));
            }
            add(
                Some("wall-rules:wall-tolerance:percent"),
                Some(pipe.claimed_at),
            );
            add(
                Some("wall-rules:wall-tolerance:length"),
                Some(pipe.claimed_at),
            );
        }
    }
    let (heater, waits) = (&procedure.spec.heater, &procedure.spec.cycles.waits);
    add(id(&procedure.window), Some(heater.set_point.span));
    // Where the spec does not say how accurate a stick is, the table does.
    if let Some(check) = heater.face_check.as_ref().filter(|check| {
        check.method.value != FaceCheckMethod::Pyrometer && check.accuracy.is_none()
    }) {
        add(
            Some("us-heater:stick-accuracy:percent"),
            Some(check.method.span),
        );
    }
    add(id(&procedure.change_over), None);
    add(id(&procedure.before_handling), Some(waits.span));
    add(id(&procedure.before_pressure_test), Some(waits.span));
    add(id(&procedure.cold_trigger), None);
    add(id(&procedure.cold_step), None);
    add(id(&procedure.strip_thickness), None);
    add(Some("us-coil:ovality:percent"), None);
    uses
}

fn id<T>(figure: &Option<Sourced<T>>) -> Option<&str> {
    figure.as_ref().and_then(|figure| figure.id.as_deref())
}
