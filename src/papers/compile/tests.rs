//! Every field is used: each value of the fullest files is changed to another
//! legal one, and a finding or a printed text has to change. Papers are compared
//! by the data that is laid out, so digests, metadata, and attached files do not
//! count.

#[path = "../../../tests/suite/change.rs"]
#[expect(unreachable_pub, reason = "it is a part of the end-to-end tests too")]
mod change;

use std::collections::{BTreeMap, BTreeSet};

use change::{Leaf, changed, document, edited, fields, leaves, others};
use serde_json::Value;

use super::papers::PaperBuilder;
use super::{Options, ParsedInputs, to_json, with_estimates};
use crate::authoring::schema::{Kind, schema};
use crate::core::finding::{Finding, Severity};
use crate::core::source::{HouseFile, Role, Source, Sources};
use crate::papers::sheets::{Frame, PaperKind};
use crate::process::socket::heat::advice::EstimateCache;
use crate::spec::Paper;
use crate::spec::language::Language;

/// Findings and papers of a spec, by name.
type Effect = BTreeMap<String, String>;

fn text(name: &str) -> String {
    let path = format!("{}/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

/// Findings and printed data; `None` if the spec cannot be read.
fn effect(sources: &Sources, cache: &EstimateCache) -> Option<Effect> {
    let as_of = "2026-11-25".parse().unwrap();
    let options = Options {
        papers: PaperKind::ALL.to_vec(),
        ..Options::default()
    };
    let read = ParsedInputs::read(sources, &[]);
    // A plausibility finding does not show what the value is used for.
    let is_slip = |f: &Finding| f.rule.slug.starts_with("implausible");
    let unread =
        |f: &Finding| f.rule.leaves_unread || (f.severity() == Severity::Error && is_slip(f));
    if read.unread || read.confirmations_unread || read.findings.iter().any(unread) {
        return None;
    }
    let mut effect = Effect::new();
    with_estimates(&read, sources, as_of, cache, |checked, whole| {
        if checked.findings.iter().any(is_slip) {
            return None;
        }
        let mut finding_texts: Vec<_> = checked.findings.iter().map(finding_text).collect();
        finding_texts.sort();
        effect.insert("findings".into(), finding_texts.join("\n"));
        let Some((procedure, advice)) = whole.filter(|_| !checked.has_error()) else {
            return Some(effect);
        };
        let builder =
            PaperBuilder::new(procedure, Some(advice), sources, &checked, &options, &read);
        let builder = builder.preview("preview");
        for asked in builder.requested_papers() {
            let name = format!("{:?} {:?}", asked.kind, asked.language);
            let paper = match builder.print(asked).unwrap() {
                Ok(print) => format!("{} {:?}", print.sheet, print.house.logo),
                Err((_, reason)) => reason.to_string(),
            };
            effect.insert(name, paper);
        }
        let frame = || {
            let kind = PaperKind::Procedure;
            read.frame(Frame::new(
                procedure,
                Paper::A4,
                "preview",
                kind,
                Language::En,
            ))
        };
        for filled in [false, true] {
            let form =
                crate::process::socket::sheets::record(procedure, filled, &read.limits, frame());
            effect.insert(format!("record {filled}"), to_json(&form).unwrap());
        }
        let log = crate::process::socket::sheets::joint_log(procedure, frame());
        effect.insert("joint log".into(), to_json(&log).unwrap());
        Some(effect)
    })
}

fn finding_text(finding: &Finding) -> String {
    format!("{}: {}", finding.rule.slug, finding.message)
}

/// A file that uses every field, and what it is part of.
struct Fullest {
    kind: Kind,
    text: String,
    /// The spec and its other files, with this text as the file.
    with: Box<dyn Fn(String) -> Sources>,
}

impl Fullest {
    fn spec(text: String, confirmations: Option<String>, record: Option<String>) -> Self {
        let with = move |text| {
            let spec = Sources::from(Source::new("spec.yaml", text));
            let files = [
                (Role::Confirmations, &confirmations),
                (Role::Record, &record),
            ];
            files
                .into_iter()
                .fold(spec, |sources, (role, file)| match file {
                    Some(text) => sources.with(role, Ok(Source::new("file.yaml", text.as_str()))),
                    None => sources,
                })
        };
        Self {
            kind: Kind::Spec,
            text,
            with: Box::new(with),
        }
    }

    fn of(kind: Kind, text: String, with: impl Fn(String) -> Sources + 'static) -> Self {
        let with = Box::new(with);
        Self { kind, text, with }
    }
}

const TOUR: &str = "specs/tour/6-full.yaml";
const GAS: &str = "specs/alder-fork-gas.yaml";

/// A spec that uses everything in US practice.
fn tour() -> String {
    edited(
        &text(TOUR),
        &[
            (
                "1 IPS: {depth: 0.86 in, source",
                "1 IPS: {depth: 0.86 in, mouth: 1.290 to 1.305 in, root: 1.270 to 1.285 in, source",
            ),
            ("fittings:\n", "fittings:\n  resin: PE4710\n"),
            (
                "size: 2 CTS, heat: 21 to 25 s, hold: 45 s,",
                "size: 2 CTS, heat: 21 to 25 s, hold: 45 s, change_over: 3 s,",
            ),
            (
                "  # A figure read otherwise",
                "  governing: [{figure: \"us-times:change-over:time\", governs: edition}]\n  # A figure read otherwise",
            ),
        ],
    )
}

/// Confirmations for [`tour`], with one number different from the tables.
fn confirmations() -> String {
    let mut text = text("specs/tour/records/read.yaml");
    text.push_str(
        "  - {figure: \"us-times:change-over:time\", read: 3.5 s, edition: Example Edition 1, place: 4.2, by: Q. Z., date: 2026-11-20}\n",
    );
    text
}

/// The gas demo, with a wider range than its record covers.
fn gas() -> String {
    let range =
        "  range: {rule: smaller sizes too, source: AFG letter 3}\n  operator_qualification:";
    edited(
        &text(GAS),
        &[
            ("  operator_qualification:", range),
            (
                "figures:\n  confirmations: confirmations/AF-EC-2.yaml   # who read which number, in which edition\n",
                "",
            ),
        ],
    )
}

/// A record with every kind of test.
fn record() -> String {
    edited(
        &text("specs/records/AF-PQ-07.yaml"),
        &[
            (
                "{id: P-3, calibrated: 2026-08-03}",
                "{id: P-3, calibrated: 2026-08-03, due: 2027-08-03}",
            ),
            (
                "{kind: tensile, date: 2026-08-25, elongation: 38 %, failure: outside the joint, result: pass}",
                "{kind: tensile, date: 2026-08-25, elongation: 38 %, failure: outside the joint, criterion: {at_least: 25 %, source: AFG Material Standard 12}, result: pass}\n      \
                 - {kind: sustained pressure, pressure: 100 psi, time: 10 h, failed: no, criterion: {pressure: 100 psi, time: 600 min, source: AFG Material Standard 13}, result: pass}\n      \
                 - {kind: crush, separated: 10 %, criterion: {at_most: 33 %, source: AFG Material Standard 14}, result: pass}",
            ),
        ],
    )
}

fn fullest() -> Vec<Fullest> {
    let pyrometer = "{method: pyrometer, accuracy: 2 °F}";
    let sticks =
        "{method: two indicating sticks, melts: 494 °F, stays_solid: 506 °F, accuracy: 2 °F}";
    let metric = edited(
        &text("specs/tern-valley-water.yaml"),
        &[
            (
                "20 mm: {depth: 12.5 mm,",
                "20 mm: {depth: 12.5 mm, id: SF-20,",
            ),
            (
                "strips: {use: bare}",
                "strips: {use: bare, long: larger paper}",
            ),
            (
                "cycles:\n",
                "cycles:\n  rows: [{size: 90 mm, walls: thin, heat: 22 s, source: TVW Works Manual 5.3}]\n",
            ),
        ],
    );
    let geothermal = edited(
        &text("specs/hollow-creek-geothermal.yaml"),
        &[(pyrometer, sticks)],
    );
    let of_tour = |text: String| {
        Sources::from(Source::new("spec.yaml", tour()))
            .with(Role::Confirmations, Ok(Source::new("read.yaml", text)))
    };
    let of_gas = |text: String| {
        Sources::from(Source::new("spec.yaml", gas()))
            .with(Role::Record, Ok(Source::new("record.yaml", text)))
    };
    vec![
        Fullest::spec(tour(), Some(confirmations()), None),
        Fullest::spec(metric, None, None),
        Fullest::spec(geothermal, None, None),
        Fullest::spec(gas(), None, Some(record())),
        Fullest::of(Kind::Confirmations, confirmations(), of_tour),
        Fullest::of(Kind::Record, record(), of_gas),
        Fullest::of(Kind::House, house(), in_house),
    ]
}

/// A house style with every option; its replaced clauses are tested elsewhere.
fn house() -> String {
    edited(
        &text("specs/house/house.yaml"),
        &[(
            "extra:\n",
            "extra:\n  es:\n    - {at: before-scope, title: Preguntas en el campo, text: [Pare y llame.]}\n",
        )],
    )
}

fn in_house(style: String) -> Sources {
    let file = |role, name: &str, text: String| HouseFile {
        role,
        path: name.to_owned(),
        bytes: Ok(text.clone().into_bytes()),
        source: Source::new(name, text),
    };
    let files = vec![
        file(Role::House, "house.yaml", style),
        file(Role::Logo, "logo.svg", text("specs/house/logo.svg")),
    ];
    // The spec names no paper size, so the house style's applies.
    let spec = edited(
        &tour(),
        &[
            ("  paper: letter", "  text_language: en"),
            ("  text_language: en\n  card", "  card"),
        ],
    );
    Sources::from(Source::new("spec.yaml", spec))
        .with(
            Role::Confirmations,
            Ok(Source::new("read.yaml", confirmations())),
        )
        .in_house(files)
}

/// Fields whose values change nothing here, and why.
const EXCEPTIONS: &[(Kind, &str, &str)] = &[
    (
        Kind::Spec,
        "figures confirmations",
        "it says which file is read; the files are handed in",
    ),
    (
        Kind::Spec,
        "qualification records",
        "it says which file is read; the files are handed in",
    ),
    (
        Kind::Record,
        "joints tests kind",
        "another kind of test has other fields",
    ),
];

/// Most values of one field that are tried per file: list items are alike.
const TIMES: usize = 3;

fn schema_fields(kind: Kind) -> BTreeSet<String> {
    fields(&schema(kind).to_value()).into_iter().collect()
}

/// Whether another legal value changes anything.
fn is_used(
    file: &Fullest,
    document: &Value,
    leaf: &Leaf,
    before: &Effect,
    cache: &EstimateCache,
) -> bool {
    others(&leaf.value).into_iter().any(|other| {
        let sources = (file.with)(changed(document, leaf, &other));
        effect(&sources, cache).is_some_and(|after| after != *before)
    })
}

#[test]
fn every_field_of_the_fullest_files_is_used() {
    let cache = EstimateCache::default();
    let mut used: BTreeMap<(&str, String), bool> = BTreeMap::new();
    for file in fullest() {
        let fields = schema_fields(file.kind);
        let document = document(&file.text);
        let before = effect(&(file.with)(document.to_string()), &cache);
        let before = before.expect("a fullest file that can be read");
        let found = &before["findings"];
        assert!(
            before.len() > 3,
            "{} has no papers: {found}",
            file.kind.word()
        );
        let mut times: BTreeMap<String, usize> = BTreeMap::new();
        // The suite tests each replaced clause.
        let is_clause = |leaf: &Leaf| leaf.field.starts_with("replaced ");
        let leaves = leaves(&document, &|field| fields.contains(field));
        for leaf in leaves.into_iter().filter(|leaf| !is_clause(leaf)) {
            let times = times.entry(leaf.field.clone()).or_default();
            *times += 1;
            let used = used
                .entry((file.kind.word(), leaf.field.clone()))
                .or_default();
            if !*used && *times <= TIMES {
                *used = is_used(&file, &document, &leaf, &before, &cache);
            }
        }
    }
    let idle = used.iter().filter(|(_, used)| !**used);
    let idle: BTreeSet<_> = idle
        .map(|((kind, field), _)| (*kind, field.as_str()))
        .collect();
    let excepted = EXCEPTIONS.iter();
    let excepted: BTreeSet<_> = excepted
        .map(|(kind, field, _)| (kind.word(), *field))
        .collect();
    assert_eq!(idle, excepted);
}

#[test]
fn every_field_of_a_schema_stands_in_a_fullest_file() {
    for kind in [Kind::Spec, Kind::Record, Kind::Confirmations, Kind::House] {
        let fields = schema_fields(kind);
        let files = fullest().into_iter().filter(|file| file.kind == kind);
        let mut written = BTreeSet::new();
        for file in files {
            for leaf in leaves(&document(&file.text), &|field| fields.contains(field)) {
                let mut field = leaf.field.as_str();
                written.insert(field.to_owned());
                while let Some((group, _)) = field.rsplit_once(' ') {
                    written.insert(group.to_owned());
                    field = group;
                }
            }
        }
        let is_clause = |field: &&String| field.starts_with("replaced ");
        let missing: Vec<_> = fields
            .difference(&written)
            .filter(|f| !is_clause(f))
            .collect();
        assert!(missing.is_empty(), "{}: {missing:?}", kind.word());
    }
}
