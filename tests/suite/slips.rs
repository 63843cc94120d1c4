//! One slip, one finding. Every field name of the fullest files is misspelled, and
//! every value made unreadable, one at a time: each must be one error, at the slip. A
//! second error would send somebody to a place where nothing is wrong.

use std::collections::{HashMap, HashSet};
use std::path::Path;

use coldring::core::budget;
use coldring::core::finding::{Finding, Severity};
use coldring::core::source::{HouseFile, Role, Source, Sources, Span, Unavailable};
use coldring::papers::compile::check;
use coldring::papers::house::house;
use coldring::people::fusers::{decode_csv, decode_yaml, review};
use coldring::people::submittal;
use coldring::published::library;
use coldring::spec::{self, scalars_within};

use crate::support::{as_of, gas_with_record, path, read};

const SPECS: [&str; 6] = [
    "specs/tour/6-full.yaml",
    "specs/tour/5-qualified.yaml",
    "specs/alder-fork-gas.yaml",
    "specs/tern-valley-water.yaml",
    "specs/saddle-works-hot-water.yaml",
    "specs/hollow-creek-geothermal.yaml",
];
const RECORD: &str = "specs/records/AF-PQ-07.yaml";
const CONFIRMATIONS: &str = "specs/tour/records/read.yaml";
const ROSTER: &str = "specs/people/fusers.yaml";
const ROSTER_CSV: &str = "specs/people/fusers.csv";
const SUBMITTAL: &str = "specs/submittal/AF-S-031.yaml";
const HOUSE: &str = "specs/house/house.yaml";

/// What cannot be read in place of any value.
const UNREADABLE: &str = "[[x]]";

/// A key or a value of a file, as it is written.
struct Scalar<'t> {
    text: &'t str,
    span: Span,
    is_key: bool,
}

fn scalars_of(text: &str) -> Vec<Scalar<'_>> {
    let all = scalars_within(text, &budget::ROSTER).into_iter();
    let all = all.map(|scalar| Scalar {
        text: &text[scalar.span.range()],
        span: scalar.span,
        is_key: text[scalar.span.end..].starts_with(':'),
    });
    all.collect()
}

/// Whether a key is the name of a field, and not a size or a procedure.
fn is_field(key: &str) -> bool {
    key.chars()
        .all(|c| c.is_ascii_lowercase() || "_-".contains(c))
}

/// The name with the letter in its middle doubled.
fn misspelled(name: &str) -> String {
    let (start, end) = name.split_at(name.len() / 2);
    format!("{start}{}{end}", &end[..1])
}

fn replaced(text: &str, span: Span, with: &str) -> String {
    format!("{}{with}{}", &text[..span.start], &text[span.end..])
}

/// A spec and the files that it names, from the folder of `name`.
fn sources(name: &str, text: String) -> Sources {
    let folder = path(name);
    let folder = folder.parent().unwrap();
    let named = spec::included(&text);
    let start = Sources::from(Source::new(name, text));
    named.into_iter().fold(start, |sources, (role, file)| {
        let file = std::fs::read_to_string(folder.join(&file)).map(|text| Source::new(file, text));
        sources.with(role, file.map_err(|_| Unavailable::NotGiven))
    })
}

fn of_spec(name: &str) -> impl Fn(String) -> Vec<Finding> {
    move |text| check(&sources(name, text), as_of()).findings
}

/// The findings of a spec when one of the files it names is this.
fn of_named(spec: String, role: Role) -> impl Fn(String) -> Vec<Finding> {
    move |text| {
        let text = Source::new("named.yaml", text);
        let named = spec::included(&spec);
        let start = Sources::from(Source::new("spec.yaml", spec.as_str()));
        let all = named.into_iter().fold(start, |sources, (named, _)| {
            let file = (named == role).then(|| text.clone());
            sources.with(named, file.ok_or(Unavailable::NotGiven))
        });
        check(&all, as_of()).findings
    }
}

fn of_roster(text: String) -> Vec<Finding> {
    let (roster, mut findings) = decode_yaml(&text);
    if findings.is_empty() {
        findings = review(&roster, &roster.rules, library(), as_of());
    }
    findings
}

fn of_house(text: String) -> Vec<Finding> {
    let folder = path(HOUSE);
    let folder: &Path = folder.parent().unwrap();
    let logo = std::fs::read(folder.join("logo.svg")).unwrap();
    let file = |role, name: &str, bytes: Vec<u8>| HouseFile {
        role,
        path: name.to_owned(),
        source: Source::new(name, String::from_utf8(bytes.clone()).unwrap()),
        bytes: Ok(bytes),
    };
    let files = vec![
        file(Role::House, "house.yaml", text.into_bytes()),
        file(Role::Logo, "logo.svg", logo),
    ];
    let sources = Sources::from(Source::new("spec.yaml", "")).in_house(files);
    house(&sources, None, &[]).1
}

/// What is wrong with the findings of a slip, if anything. `before` are those of the
/// file without it.
fn judged(what: &str, before: &[Finding], found: &[Finding], at: Span) -> Option<String> {
    let known = |f: &&Finding| {
        let mut before = before.iter();
        !before.any(|b| b.rule.slug == f.rule.slug && b.message == f.message)
    };
    let new: Vec<_> = found.iter().filter(known).collect();
    let told = new
        .iter()
        .map(|f| format!("\n    {}: {}", f.rule.slug, f.message));
    let told: String = told.collect();
    let touches = |span: Span| span.start <= at.end && at.start <= span.end;
    match new.as_slice() {
        [only] if only.severity() != Severity::Error => Some(format!("{what}: no error:{told}")),
        [only] if only.span.is_some_and(touches) => None,
        [only] => Some(format!("{what}: at {:?}, not {at:?}:{told}", only.span)),
        new => Some(format!("{what}: {} findings:{told}", new.len())),
    }
}

fn none(wrong: Vec<String>) {
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
}

/// Most times that slips of one text are tried in a file: test joints are many and alike.
const TIMES: usize = 3;

/// Tries a slip at each key or value of a file: where `slip` says what is written there
/// instead.
fn each_slip(
    file: &str,
    findings: &impl Fn(String) -> Vec<Finding>,
    slip: impl Fn(&str, &Scalar<'_>) -> Option<(Span, String)>,
) -> Vec<String> {
    let text = read(file);
    let before = findings(text.clone());
    let mut times: HashMap<(&str, bool), usize> = HashMap::new();
    let (mut wrong, mut tried) = (Vec::new(), 0);
    for scalar in scalars_of(&text) {
        let Some((span, written)) = slip(&text, &scalar) else {
            continue;
        };
        let times = times.entry((scalar.text, scalar.is_key)).or_default();
        *times += 1;
        if *times > TIMES {
            continue;
        }
        tried += 1;
        let found = findings(replaced(&text, span, &written));
        let what = format!("{file}: '{written}' for '{}'", &text[span.range()]);
        wrong.extend(judged(&what, &before, &found, span));
    }
    assert!(tried > 3, "{file}: {tried}");
    wrong
}

fn misspell(_: &str, scalar: &Scalar<'_>) -> Option<(Span, String)> {
    let is_field = scalar.is_key && is_field(scalar.text);
    is_field.then(|| (scalar.span, misspelled(scalar.text)))
}

fn unreadable(_: &str, scalar: &Scalar<'_>) -> Option<(Span, String)> {
    (!scalar.is_key).then(|| (scalar.span, UNREADABLE.to_owned()))
}

/// A size that is none, or a procedure's number.
fn unreadable_key(_: &str, scalar: &Scalar<'_>) -> Option<(Span, String)> {
    let is_other = scalar.is_key && !is_field(scalar.text);
    is_other.then(|| (scalar.span, "\"?\"".to_owned()))
}

/// `set_point:500 °F`
fn no_space(text: &str, scalar: &Scalar<'_>) -> Option<(Span, String)> {
    let value = text[scalar.span.end..].strip_prefix(": ")?;
    let plain = !value.starts_with(['{', '[', '"', '&', '*', ' ', '#']);
    let span = Span::new(scalar.span.start, scalar.span.end + 2);
    (is_field(scalar.text) && plain).then(|| (span, format!("{}:", scalar.text)))
}

fn all_slips(file: &str, findings: impl Fn(String) -> Vec<Finding>) -> Vec<String> {
    let mut wrong = each_slip(file, &findings, misspell);
    wrong.extend(each_slip(file, &findings, unreadable));
    wrong.extend(each_slip(file, &findings, no_space));
    wrong
}

#[test]
fn nothing_is_wrong_before_the_slip() {
    let is_error = |f: &Finding| f.severity() == Severity::Error;
    for name in SPECS {
        let found = of_spec(name)(read(name));
        assert!(!found.iter().any(is_error), "{name}: {found:?}");
    }
    assert!(!of_roster(read(ROSTER)).iter().any(is_error));
    assert!(!of_house(read(HOUSE)).iter().any(is_error));
    let of_record = of_named(gas_with_record(), Role::Record);
    assert!(!of_record(read(RECORD)).iter().any(is_error));
    let of_confirmations = of_named(read("specs/tour/6-full.yaml"), Role::Confirmations);
    assert!(!of_confirmations(read(CONFIRMATIONS)).iter().any(is_error));
}

#[test]
fn a_misspelled_field_of_a_spec_is_one_error() {
    let each = SPECS
        .iter()
        .flat_map(|name| each_slip(name, &of_spec(name), misspell));
    none(each.collect());
}

#[test]
fn an_unreadable_value_of_a_spec_is_one_error() {
    let each = SPECS
        .iter()
        .flat_map(|name| each_slip(name, &of_spec(name), unreadable));
    none(each.collect());
}

#[test]
fn an_unreadable_size_of_a_spec_is_one_error() {
    let each = SPECS
        .iter()
        .flat_map(|name| each_slip(name, &of_spec(name), unreadable_key));
    none(each.collect());
}

#[test]
fn a_missing_space_in_a_spec_is_one_error() {
    let each = SPECS
        .iter()
        .flat_map(|name| each_slip(name, &of_spec(name), no_space));
    none(each.collect());
}

#[test]
fn a_slip_in_a_file_that_a_spec_names_is_one_error() {
    let of_record = of_named(gas_with_record(), Role::Record);
    let mut wrong = all_slips(RECORD, of_record);
    let of_confirmations = of_named(read("specs/tour/6-full.yaml"), Role::Confirmations);
    wrong.extend(all_slips(CONFIRMATIONS, of_confirmations));
    none(wrong);
}

#[test]
fn a_slip_in_a_roster_is_one_error() {
    none(all_slips(ROSTER, of_roster));
}

#[test]
fn a_misspelled_column_of_a_roster_is_one_error() {
    let text = read(ROSTER_CSV);
    let header = text.lines().next().unwrap();
    let mut wrong = Vec::new();
    for name in header.split(',') {
        let at = header.find(name).unwrap();
        let span = Span::new(at, at + name.len());
        let (_, found) = decode_csv(&replaced(&text, span, &misspelled(name)));
        wrong.extend(judged(name, &[], &found, span));
    }
    none(wrong);
}

#[test]
fn a_slip_in_a_submittal_is_one_error() {
    none(all_slips(SUBMITTAL, |text| submittal::decode(&text).1));
}

#[test]
fn a_slip_in_a_house_style_is_one_error() {
    none(all_slips(HOUSE, of_house));
}

/// Two ratios of a pipe, or three sizes of a row, may break a rule alike.
#[test]
fn no_case_of_a_rule_is_told_the_same_twice() {
    let mut wrong = Vec::new();
    for text in crate::rules::edited_specs() {
        let found = check(&Sources::from(Source::new("spec.yaml", text)), as_of()).findings;
        let mut seen = HashSet::new();
        let again = found
            .iter()
            .find(|f| !seen.insert((f.rule.slug, f.span, &f.message)));
        wrong.extend(again.map(|f| format!("{}: {}", f.rule.slug, f.message)));
    }
    none(wrong);
}
