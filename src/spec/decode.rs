//! The top of a spec: what the procedure is, and what it covers.

use super::card::{self, Cards};
use super::equipment;
use super::fields::{Fields, by_size, given_twice, list, not_empty, one_or_list};
use super::fittings;
use super::model::*;
use super::node::{Node, NodeKind};
use super::plausible;
use super::recovery::read_file;
use super::rules;
use super::times;
use super::values::{self, Written};
use crate::core::budget;
use crate::core::finding::{Finding, Severity};
use crate::core::size::Size;
use crate::core::source::{Role, Span, Spanned};
use crate::core::units::{DimensionRatio, Length, Range, Temperature};
use crate::published::{METRIC, US};
use crate::spec::language::Language;

pub(crate) const STATUSES: &[(&str, Status)] = &[
    (Status::Draft.word(), Status::Draft),
    (Status::Qualified.word(), Status::Qualified),
    (Status::Withdrawn.word(), Status::Withdrawn),
];
pub(crate) const SERVICES: &[(&str, Service)] = &[
    (Service::Gas.word(), Service::Gas),
    (Service::Water.word(), Service::Water),
    (Service::Geothermal.word(), Service::Geothermal),
    (Service::Industrial.word(), Service::Industrial),
];
pub(crate) const PRACTICES: &[(&str, &Practice)] = &[("us", &US), ("metric", &METRIC)];
/// The words for a paper.
pub(crate) const PAPERS: &[(&str, Paper)] = &[
    (Paper::Letter.word(), Paper::Letter),
    (Paper::A4.word(), Paper::A4),
];
pub(crate) const GOVERNS: &[(&str, Governs)] =
    &[("edition", Governs::Edition), ("tables", Governs::Tables)];
pub(crate) const WIDER_RANGES: &[(&str, WiderRange)] = &[
    ("smaller sizes too", WiderRange::SmallerSizes),
    ("thinner walls too", WiderRange::ThinnerWalls),
    ("other pipe temperatures too", WiderRange::OtherTemperatures),
];
pub(crate) const STRIP_USES: &[(&str, StripUse)] = &[
    ("bare", StripUse::Bare),
    ("label", StripUse::Label),
    ("laminated", StripUse::Laminated),
];
pub(crate) const LONG_STRIPS: &[(&str, LongStrips)] = &[
    ("two pieces", LongStrips::TwoPieces),
    ("larger paper", LongStrips::LargerPaper),
];

/// Reads a spec.
///
/// `None` when an error leaves no spec to go on with; the findings then hold
/// at least that error. A spec with other errors is still returned, so that
/// the engineering is checked too.
pub fn decode(text: &str) -> (Option<Spec>, Vec<Finding>) {
    let read = read_file(text, &budget::SPEC, |root, findings| {
        if matches!(root.kind, NodeKind::Null) {
            findings.push(
                rules::SPEC_EMPTY
                    .about_file("the file holds no procedure")
                    .help("start from `coldring new FILE`"),
            );
            return None;
        }
        let spec = Fields::open(root, "", Span::default(), findings)
            .and_then(|fields| spec(fields, findings));
        debug_assert!(
            spec.is_some() || findings.iter().any(|f| f.severity() == Severity::Error),
            "a spec is only given up with an error that says why"
        );
        spec
    });
    read.unwrap_or_else(|finding| (None, vec![*finding]))
}

/// The files that a spec names, each with its role and its path as written.
pub fn included(text: &str) -> Vec<(Role, String)> {
    let (spec, _) = decode(text);
    let Some(spec) = spec else {
        return Vec::new();
    };
    let confirmations = spec.figures.and_then(|figures| figures.confirmations);
    let records = spec.qualification.map(|q| q.record_files);
    let confirmations = confirmations.map(|path| (Role::Confirmations, path.value));
    let records = records.into_iter().flatten();
    let records = records.map(|path| (Role::Record, path.value));
    confirmations.into_iter().chain(records).collect()
}

fn spec(mut top: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Spec> {
    top.format_one("coldring", "the spec is", findings);
    let procedure = top
        .required_group("procedure", findings)
        .and_then(|fields| procedure(fields, findings));
    let references = top
        .optional("references", findings, |node, findings| {
            list(node, findings, values::text)
        })
        .unwrap_or_default();
    let scope = top
        .required_group("scope", findings)
        .and_then(|fields| scope(fields, findings));
    let fittings = top
        .required_group("fittings", findings)
        .and_then(|fields| fittings::fittings(fields, findings));
    let heater = top
        .required_group("heater", findings)
        .and_then(|fields| equipment::heater(fields, findings));
    let tools = top
        .required_group("tools", findings)
        .map(|fields| equipment::tools(fields, findings));
    let cleaning = top
        .group("cleaning", findings)
        .and_then(|fields| equipment::cleaning(fields, findings));
    let cycles = times::cycles(&mut top, findings);
    let cold_weather = top
        .group("cold_weather", findings)
        .map(|fields| times::cold_weather(fields, findings));
    let least_wall = top.take("least_wall").and_then(|(node, span)| {
        times::stated(
            node,
            span,
            "least_wall",
            findings,
            values::length(&plausible::WALL),
        )
    });
    let qualification = top
        .group("qualification", findings)
        .map(|fields| qualification(fields, findings));
    let figures = top
        .group("figures", findings)
        .map(|fields| figures(fields, findings));
    let documents = match top.group("documents", findings) {
        Some(fields) => documents(fields, findings),
        None => Documents {
            paper: None,
            languages: Vec::new(),
            text_language: None,
            strips: None,
            card: Cards::default(),
        },
    };
    top.finish(findings);

    let (procedure, scope) = (procedure?, scope?);
    Some(Spec {
        number: procedure.number,
        title: procedure.title,
        organization: procedure.organization,
        status: procedure.status,
        service: procedure.service,
        practice: procedure.practice,
        revisions: procedure.revisions,
        span: procedure.span,
        references,
        resin: scope.resin,
        pipe: scope.pipe,
        measured: scope.measured,
        pipe_temperature: scope.pipe_temperature,
        fittings: fittings?,
        heater: heater?,
        tools: tools?,
        cleaning,
        cycles: cycles?,
        cold_weather,
        least_wall,
        qualification,
        figures,
        documents,
    })
}

struct ProcedureFields {
    number: Spanned<String>,
    title: Spanned<String>,
    organization: Spanned<String>,
    status: Spanned<Status>,
    service: Spanned<Service>,
    practice: Spanned<&'static Practice>,
    revisions: Vec<Revision>,
    span: Span,
}

fn procedure(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<ProcedureFields> {
    let number = fields.required("number", findings, values::procedure_number);
    let title = fields.required("title", findings, values::text);
    let organization = fields.required("organization", findings, values::text);
    let status = fields.required("status", findings, values::word(STATUSES));
    let service = fields.required("service", findings, values::word(SERVICES));
    let practice = fields.required("practice", findings, values::word(PRACTICES));
    let revisions = fields.required("revisions", findings, |node, findings| {
        not_empty(
            node,
            "`procedure.revisions` lists no revision",
            "give the first issue: - {revision: 1, date: 2026-09-14}",
            findings,
        );
        list(node, findings, |node, findings| {
            Fields::open(node, "procedure.revisions", node.span, findings)
                .and_then(|fields| revision(fields, findings))
        })
    });
    let span = fields.span;
    fields.finish(findings);
    Some(ProcedureFields {
        number: number?,
        title: title?,
        organization: organization?,
        status: status?,
        service: service?,
        practice: practice?,
        revisions: revisions.filter(|list| !list.is_empty())?,
        span,
    })
}

fn revision(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<Revision> {
    let number = fields.required(
        "revision",
        findings,
        values::counting_number(&plausible::REVISION),
    );
    let date = fields.required("date", findings, values::date);
    let effective = fields.optional("effective", findings, values::date);
    let change = fields.optional("change", findings, values::text);
    fields.finish(findings);
    Some(Revision {
        number: number?,
        date: date?,
        effective,
        change,
    })
}

struct ScopeFields {
    resin: Spanned<String>,
    pipe: Vec<PipeClaim>,
    measured: Vec<(Spanned<Size>, MeasuredPipe)>,
    pipe_temperature: Option<Written<Range<Temperature>>>,
}

fn scope(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<ScopeFields> {
    let resin = fields.required("resin", findings, values::resin);
    let pipe = fields.required("pipe", findings, |node, findings| {
        not_empty(
            node,
            "`scope.pipe` claims no size",
            "give the sizes and their walls: {sizes: 3/4 IPS to 2 IPS, dimension_ratio: 11}",
            findings,
        );
        Some(one_or_list(node, findings, |node, findings| {
            Fields::open(node, "scope.pipe", node.span, findings)
                .and_then(|fields| pipe_claim(fields, findings))
        }))
    });
    let measured = fields
        .optional("measured", findings, |node, findings| {
            Some(by_size(node, "scope.measured", findings, measured_pipe))
        })
        .unwrap_or_default();
    let pipe_temperature = fields.optional(
        "pipe_temperature",
        findings,
        values::temperature_range(&plausible::WEATHER),
    );
    let pairs = pipe.iter().flatten().map(pairs_at_most).sum();
    if pairs > budget::PIPES {
        findings.push(too_many_pipes(pairs, fields.span));
        return None;
    }
    fields.finish(findings);
    Some(ScopeFields {
        resin: resin?,
        pipe: pipe.filter(|list| !list.is_empty())?,
        measured,
        pipe_temperature,
    })
}

/// How many pairs of a size and a wall a claim comes to, at the most.
fn pairs_at_most(claim: &PipeClaim) -> usize {
    let sizes = claim
        .sizes
        .iter()
        .map(|range| match range.value.least == range.value.most {
            true => 1,
            false => budget::SIZES_OF_A_RANGE,
        });
    let walls = match &claim.wall {
        WallClaim::Ratios(ratios) => ratios.len(),
        WallClaim::Stated(walls) => walls.len(),
        WallClaim::Both(..) => 1,
    };
    sizes.sum::<usize>().saturating_mul(walls)
}

fn too_many_pipes(pairs: usize, at: Span) -> Finding {
    let most = budget::PIPES;
    rules::LIST_TOO_LONG
        .at(
            at,
            format!("sizes and walls come to as many as {pairs} pairs, and a spec may have {most}"),
        )
        .help("claim the walls of pipe you have; give other sizes a spec of their own")
}

fn measured_pipe(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<MeasuredPipe> {
    let outside_diameter = fields.optional(
        "outside_diameter",
        findings,
        values::length(&plausible::DIAMETER),
    );
    let out_of_roundness = fields.optional(
        "out_of_roundness",
        findings,
        values::length(&plausible::OUT_OF_ROUNDNESS),
    );
    let source = fields.optional("source", findings, values::text);
    fields.finish(findings);
    Some(MeasuredPipe {
        outside_diameter,
        out_of_roundness,
        source,
    })
}

fn pipe_claim(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<PipeClaim> {
    let span = fields.span;
    let sizes = fields.required("sizes", findings, |node, findings| {
        let example = "name one or more, as in [3/4 IPS, 1 IPS]";
        not_empty(node, "`scope.pipe.sizes` names no size", example, findings);
        let sizes = one_or_list(node, findings, values::size_range);
        (!sizes.is_empty()).then_some(sizes)
    });
    let ratios = fields.optional("dimension_ratio", findings, |node, findings| {
        let example = "read it from the print line: dimension_ratio: 11";
        not_empty(
            node,
            "`scope.pipe.dimension_ratio` is empty",
            example,
            findings,
        );
        let ratios = one_or_list(node, findings, values::dimension_ratio);
        (!ratios.is_empty()).then_some(ratios)
    });
    let walls = fields.optional("wall", findings, |node, findings| {
        let example = "write the wall of the pipe, or its dimension ratio instead";
        not_empty(node, "`scope.pipe.wall` is empty", example, findings);
        let walls = one_or_list(node, findings, values::length(&plausible::WALL));
        (!walls.is_empty()).then_some(walls)
    });
    let wall = match (ratios, walls) {
        (Some(ratios), Some(walls)) => both(sizes.as_deref(), &ratios, &walls).or_else(|| {
            findings.push(
                rules::WRONG_TYPE
                    .at(
                        span,
                        "the pipe gives `dimension_ratio` and `wall` together for more than one size, ratio or wall",
                    )
                    .help("give each size an entry of its own, with its one ratio and its one wall: {sizes: 25 mm, dimension_ratio: 7.4, wall: … mm}"),
            );
            None
        }),
        (Some(ratios), None) => Some(WallClaim::Ratios(ratios)),
        (None, Some(walls)) => Some(WallClaim::Stated(walls)),
        (None, None) => {
            if !fields.has("dimension_ratio") && !fields.has("wall") {
                findings.push(
                    rules::MISSING_FIELD
                        .at(span, "the pipe gives neither `dimension_ratio` nor `wall`")
                        .help("read it from the print line: dimension_ratio: 11, or wall: 0.090 in for tubing"),
                );
            }
            None
        }
    };
    fields.finish(findings);
    Some(PipeClaim {
        sizes: sizes?,
        wall: wall?,
        span,
    })
}

/// A ratio with its wall, which belong to one size alone.
fn both(
    sizes: Option<&[Spanned<Range<Size>>]>,
    ratios: &[Spanned<DimensionRatio>],
    walls: &[Written<Length>],
) -> Option<WallClaim> {
    // Sizes that could not be read are reported as that.
    let one_size =
        sizes.is_none_or(|sizes| matches!(sizes, [size] if size.value.least == size.value.most));
    match (ratios, walls) {
        ([ratio], [wall]) if one_size => Some(WallClaim::Both(ratio.clone(), wall.clone())),
        _ => None,
    }
}

fn qualification(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Qualification {
    let rules = fields
        .optional("rules", findings, |node, findings| {
            Some(one_or_list(node, findings, values::text))
        })
        .unwrap_or_default();
    let operator_qualification = fields.optional("operator_qualification", findings, values::text);
    let (mut records, mut record_files) = (Vec::new(), Vec::<Spanned<String>>::new());
    fields.optional("records", findings, |node, findings| {
        list(node, findings, |node, findings| {
            if !matches!(node.kind, NodeKind::Scalar(_)) {
                let fields = Fields::open(node, "qualification.records", node.span, findings)?;
                records.extend(record(fields, findings));
                return Some(());
            }
            let path = values::text(node, findings)?;
            match record_files.iter().find(|first| first.value == path.value) {
                Some(first) => findings.push(given_twice(&path, path.span, first.span)),
                None => record_files.push(path),
            }
            Some(())
        })
    });
    let range = fields
        .optional("range", findings, |node, findings| {
            Some(one_or_list(node, findings, |node, findings| {
                let fields = Fields::open(node, "qualification.range", node.span, findings)?;
                range_rule(fields, findings)
            }))
        })
        .unwrap_or_default();
    let span = fields.span;
    fields.finish(findings);
    Qualification {
        rules,
        operator_qualification,
        records,
        record_files,
        range,
        span,
    }
}

fn range_rule(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<RangeRule> {
    let rule = fields.required("rule", findings, values::word(WIDER_RANGES));
    let source = fields.required("source", findings, values::text);
    fields.finish(findings);
    Some(RangeRule {
        rule: rule?,
        source: source?,
    })
}

fn record(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Option<RecordCitation> {
    let number = fields.required("number", findings, values::text);
    let date = fields.required("date", findings, values::date);
    let revision = fields.required(
        "revision",
        findings,
        values::counting_number(&plausible::REVISION),
    );
    let span = fields.span;
    fields.finish(findings);
    Some(RecordCitation {
        number: number?,
        date: date?,
        revision: revision?,
        span,
    })
}

fn figures(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Figures {
    let confirmations = fields.optional("confirmations", findings, values::text);
    let governing = fields
        .optional("governing", findings, |node, findings| {
            list(node, findings, |node, findings| {
                let mut fields = Fields::open(node, "figures.governing", node.span, findings)?;
                let figure = fields.required("figure", findings, values::text);
                let governs = fields.required("governs", findings, values::word(GOVERNS));
                fields.finish(findings);
                figure.zip(governs)
            })
        })
        .unwrap_or_default();
    fields.finish(findings);
    Figures {
        confirmations,
        governing,
    }
}

/// One language or two; a card has no third side.
fn languages(node: &Node, findings: &mut Vec<Finding>) -> Option<Vec<Spanned<Language>>> {
    if let NodeKind::Scalar(text) = &node.kind
        && text.contains([',', ';', '/', '+'])
    {
        let names = text.split([',', ';', '/', '+']).map(str::trim);
        let names: Vec<_> = names.map(str::to_lowercase).collect();
        let message = format!("'{text}' is a text, and two languages are a list");
        let help = format!("write [{}]", names.join(", "));
        findings.push(rules::WRONG_TYPE.at(node.span, message).help(help));
        return None;
    }
    let languages = one_or_list(node, findings, values::word(Language::TAGS));
    for (i, language) in languages.iter().enumerate() {
        let mut before = languages.iter().take(i);
        if let Some(first) = before.find(|first| first.value == language.value) {
            findings.push(given_twice(language.value.tag(), language.span, first.span));
        }
    }
    let example = "name one or two, as in [en, es], or leave the line out";
    let what = "`documents.languages` names no language";
    not_empty(node, what, example, findings);
    Some(languages)
}

fn documents(mut fields: Fields<'_>, findings: &mut Vec<Finding>) -> Documents {
    let paper = fields.optional("paper", findings, values::word(PAPERS));
    let languages = fields
        .optional("languages", findings, languages)
        .unwrap_or_default();
    let text_language = fields.optional("text_language", findings, values::word(Language::TAGS));
    let strips = fields.group("strips", findings).and_then(|mut fields| {
        let usage = fields.required("use", findings, values::word(STRIP_USES));
        let thickness = fields.optional("thickness", findings, values::length(&plausible::STOCK));
        let long = fields.optional("long", findings, values::word(LONG_STRIPS));
        fields.finish(findings);
        Some(Strips {
            usage: usage?,
            thickness,
            long,
        })
    });
    let card = fields
        .group("card", findings)
        .map(|fields| card::cards(fields, findings))
        .unwrap_or_default();
    fields.finish(findings);
    Documents {
        paper,
        languages,
        text_language,
        strips,
        card,
    }
}
