//! The same spec in inches and degrees Fahrenheit and in millimeters and degrees
//! Celsius is the same procedure. Factors are those of the international inch
//! (25.4 mm) and of the scale (9/5, and 32 °F at 0 °C), in whole millionths.

use std::ops::Range;

use coldring::core::units::parse_quantity;
use coldring::spec::scalars;
use proptest::prelude::*;

use super::same::{essence, findings, spec};
use crate::support::{GEOTHERMAL, gas_alone, read};

const LENGTHS: [&str; 9] = [
    "depth",
    "width",
    "wall",
    "straight_length",
    "outside_diameter",
    "out_of_roundness",
    "mouth",
    "root",
    "thickness",
];
const TEMPERATURES: [&str; 5] = [
    "set_point",
    "pipe_temperature",
    "melts",
    "stays_solid",
    "no_joints_below",
];
const DIFFERENCES: [&str; 4] = ["face_offset", "step", "swing", "accuracy"];

/// Rules of the instrument, whose steps and shares count on the scale that the
/// spec is written in.
const OF_THE_SCALE: [&str; 2] = ["set-point-not-reachable", "heater-in-two-scales"];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Length,
    Temperature,
    Difference,
}

/// A quantity in a spec: its place, its kind, its numbers in millionths.
#[derive(Debug, Clone)]
struct Quantity {
    place: Range<usize>,
    kind: Kind,
    least: i64,
    most: Option<i64>,
    unit: String,
}

/// The lengths and temperatures of a spec, in the order of the text.
fn quantities(text: &str) -> Vec<Quantity> {
    let scalars = scalars(text);
    let mut found: Vec<Quantity> = Vec::new();
    let mut kind = None;
    for pair in scalars.windows(2) {
        let [field, scalar] = pair else { continue };
        let field = field.value.as_str();
        let of_field = |fields: &[&str]| fields.contains(&field);
        kind = if of_field(&LENGTHS) || field == "least_wall" {
            Some(Kind::Length)
        } else if of_field(&TEMPERATURES) {
            Some(Kind::Temperature)
        } else if of_field(&DIFFERENCES) {
            Some(Kind::Difference)
        } else if field == "value"
            || found
                .last()
                .is_some_and(|q| text[q.place.clone()] == *field)
        {
            kind
        } else {
            None
        };
        let Some(kind) = kind else { continue };
        let Some((least, most, unit)) = parse_quantity(&scalar.value)
            .ok()
            .and_then(|quantity| quantity.numbers())
        else {
            continue;
        };
        if matches!(unit.as_str(), "in" | "mm" | "°F" | "°C") {
            found.push(Quantity {
                place: scalar.span.range(),
                kind,
                least: least.millionths,
                most: most.map(|most| most.millionths),
                unit,
            });
        }
    }
    found
}

/// `number × numerator / denominator`, where it comes out even.
fn exactly(number: i64, numerator: i64, denominator: i64) -> Option<i64> {
    let product = number * numerator;
    (product % denominator == 0).then(|| product / denominator)
}

/// The number in the other unit, where it has no more than six places there.
fn other(kind: Kind, number: i64, unit: &str) -> Option<i64> {
    const ZERO: i64 = 32_000_000;
    match (kind, unit) {
        (Kind::Length, "in") => exactly(number, 254, 10),
        (Kind::Length, _) => exactly(number, 10, 254),
        (Kind::Temperature, "°F") => exactly(number - ZERO, 5, 9),
        (Kind::Temperature, _) => exactly(number, 9, 5).map(|number| number + ZERO),
        (Kind::Difference, "°F") => exactly(number, 5, 9),
        (Kind::Difference, _) => exactly(number, 9, 5),
    }
}

fn other_unit(unit: &str) -> &'static str {
    match unit {
        "in" => "mm",
        "mm" => "in",
        "°F" => "°C",
        _ => "°F",
    }
}

fn shown(least: i64, most: Option<i64>, unit: &str) -> String {
    let number = |millionths: i64| {
        let sign = if millionths < 0 { "-" } else { "" };
        let magnitude = millionths.abs();
        format!(
            "{sign}{}.{:06}",
            magnitude / 1_000_000,
            magnitude % 1_000_000
        )
    };
    match most {
        Some(most) => format!("{} {unit} to {} {unit}", number(least), number(most)),
        None => format!("{} {unit}", number(least)),
    }
}

/// The text with each of these places written anew.
fn rewritten(text: &str, new: &[(Range<usize>, String)]) -> String {
    let mut text = text.to_owned();
    for (place, quantity) in new.iter().rev() {
        text.replace_range(place.clone(), quantity);
    }
    text
}

fn specs() -> Vec<String> {
    let files = [
        GEOTHERMAL,
        "specs/saddle-works-hot-water.yaml",
        "specs/tern-valley-water.yaml",
        "tests/data/base.yaml",
        "tests/data/metric-base.yaml",
    ];
    let mut specs: Vec<_> = files.iter().map(|file| read(file)).collect();
    specs.push(gas_alone());
    specs
}

fn same(one: &str, two: &str) -> Result<(), TestCaseError> {
    let (first, second) = (spec(one), spec(two));
    prop_assert_eq!(essence(&first, false), essence(&second, false), "\n{}", two);
    let rules = |spec| {
        let mut rules = findings(spec, false);
        rules.retain(|rule| !OF_THE_SCALE.contains(&rule.as_str()));
        rules
    };
    prop_assert_eq!(rules(&first), rules(&second), "\n{}", two);
    Ok(())
}

/// As the demo specs stand, each quantity that comes out even in the other unit.
#[test]
fn the_demos_in_the_other_units_are_the_same_procedures() {
    let mut changed = 0;
    for text in specs() {
        let new: Vec<_> = quantities(&text)
            .into_iter()
            .filter_map(|q| {
                let least = other(q.kind, q.least, &q.unit)?;
                let most = match q.most {
                    Some(most) => Some(other(q.kind, most, &q.unit)?),
                    None => None,
                };
                Some((q.place, shown(least, most, other_unit(&q.unit))))
            })
            .collect();
        changed += new.len();
        if let Err(error) = same(&text, &rewritten(&text, &new)) {
            panic!("{error}");
        }
    }
    assert!(changed > 50, "only {changed} quantities were written anew");
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 60,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// Every length and temperature of the demo specs, each with a value of its
    /// own that comes out even in both units.
    #[test]
    fn every_quantity_is_the_same_in_both_units(
        which in 0usize..6,
        draws in prop::collection::vec((1i64..3_000, 0i64..40), 80),
    ) {
        let text = &specs()[which];
        let (mut us, mut metric) = (Vec::new(), Vec::new());
        let found = quantities(text);
        prop_assert!(found.len() >= 8 && found.len() <= draws.len(), "{}", found.len());
        for (q, (drawn, wider)) in found.iter().zip(&draws) {
            // Thousandths of an inch; whole degrees Celsius. Near what the spec says, since
            // the reader refuses what is not plausible for the field.
            let (first, further, unit) = match q.kind {
                Kind::Length => {
                    let thousandths = if q.unit == "mm" { q.least * 10 / 254 } else { q.least } / 1_000;
                    let near = (thousandths * (850 + drawn % 300) / 1_000).max(10);
                    (near * 1_000, wider * 1_000, "in")
                }
                Kind::Temperature => {
                    let fahrenheit = q.unit.ends_with('F');
                    let celsius = if fahrenheit { (q.least - 32_000_000) * 5 / 9 } else { q.least };
                    ((celsius / 1_000_000 + drawn % 9 - 4) * 1_000_000, wider * 1_000_000, "°C")
                }
                Kind::Difference => ((wider % 6 + 1) * 1_000_000, 0, "°C"),
            };
            let most = q.most.map(|_| first + further);
            let one = shown(first, most, unit);
            let turned = |number| other(q.kind, number, unit).unwrap();
            let two = shown(turned(first), most.map(turned), other_unit(unit));
            let (of_us, of_metric) = if unit == "in" { (one, two) } else { (two, one) };
            us.push((q.place.clone(), of_us));
            metric.push((q.place.clone(), of_metric));
        }
        same(&rewritten(text, &us), &rewritten(text, &metric))?;
    }
}

/// The check itself can fail: another length is another procedure.
#[test]
fn another_length_is_another_procedure() {
    let text = read("tests/data/base.yaml");
    let longer = text.replace("{depth: 0.71 in", "{depth: 0.710001 in");
    assert_ne!(text, longer);
    assert_ne!(essence(&spec(&text), false), essence(&spec(&longer), false));
}
