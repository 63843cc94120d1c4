//! Numbers that stand in two units, read from the papers as people read them: the
//! second is the conversion of the first as it is printed, and never on the wrong
//! side of a limit.

use std::path::Path;

use crate::support::{AS_OF, PAPERS, coldring, pages_text, run, tool};

const SPECS: [&str; 8] = [
    "specs/hollow-creek-geothermal.yaml",
    "specs/alder-fork-gas.yaml",
    "specs/saddle-works-hot-water.yaml",
    "specs/tern-valley-water.yaml",
    "specs/tour/2-measured.yaml",
    "specs/tour/6-full.yaml",
    "tests/data/base.yaml",
    "tests/data/metric-base.yaml",
];

/// Both numbers of a pair and their units, with the words right before it.
#[derive(Debug)]
struct Pair {
    first: Vec<f64>,
    second: Vec<f64>,
    units: (String, String),
    /// Decimals of the second numbers.
    places: i32,
    before: String,
}

/// `490 to 510 °F` or `0.120 in` at the end of a text: numbers, unit, what is before.
fn measure(text: &str) -> Option<(Vec<f64>, String, i32, String)> {
    let mut words: Vec<_> = text.split(' ').collect();
    let unit = words.pop()?;
    // `in` and `in.` are one unit.
    let unit = unit.strip_suffix('.').unwrap_or(unit);
    if !["in", "mm", "°F", "°C"].contains(&unit) {
        return None;
    }
    let mut numbers = Vec::new();
    let mut places = 0;
    loop {
        let word = words.last()?.trim_start_matches(['+', '±', '(']);
        let Ok(number) = word.replace('\u{2212}', "-").parse() else {
            break;
        };
        let decimals = word
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        places = places.max(i32::try_from(decimals).unwrap());
        numbers.insert(0, number);
        words.pop();
        if words.last() != Some(&"to") || numbers.len() == 2 {
            break;
        }
        words.pop();
    }
    (!numbers.is_empty()).then(|| (numbers, unit.to_owned(), places, words.join(" ")))
}

/// Every `X unit (Y unit)` of a text.
fn pairs(text: &str) -> Vec<Pair> {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let brackets = text.match_indices(" (").filter_map(|(at, _)| {
        let inside = text[at + 2..].split_once(')')?.0;
        let (second, other, places, rest) = measure(inside)?;
        let (first, unit, _, before) = measure(&text[..at])?;
        (rest.is_empty() && first.len() == second.len()).then(|| Pair {
            first,
            second,
            units: (unit, other),
            places,
            before: before
                .chars()
                .rev()
                .take(60)
                .collect::<Vec<_>>()
                .into_iter()
                .rev()
                .collect(),
        })
    });
    brackets.collect()
}

/// A number of a table, with its decimals; marks beside it do not count.
fn decimal(word: &str) -> Option<(f64, i32)> {
    let (_, places) = word.split_once('.')?;
    Some((word.parse().ok()?, i32::try_from(places.len()).ok()?))
}

/// The pairs of tables in inches: millimeters stand under each number, and the units
/// over the column. Numbers in a row tell what they are by their decimals.
fn stacked(text: &str) -> Vec<Pair> {
    let words: Vec<_> = text
        .split_whitespace()
        .filter(|word| *word != "?")
        .collect();
    let pair = |at: usize, inches: i32, before: &str| {
        let ((first, of_first), (second, places)) =
            (decimal(words.get(at)?)?, decimal(words.get(at + 1)?)?);
        (of_first == inches && places == 2).then(|| Pair {
            first: vec![first],
            second: vec![second],
            units: ("in".to_owned(), "mm".to_owned()),
            places,
            before: before.to_owned(),
        })
    };
    let whole = |word: &&str| word.parse::<u32>().is_ok();
    let mut found = Vec::new();
    for at in 0..words.len() {
        // HEAT, max, HOLD, then depth and diameter.
        if words
            .iter()
            .skip(at)
            .take(3)
            .filter(|word| whole(word))
            .count()
            == 3
        {
            let row = pair(at + 3, 2, "").zip(pair(at + 5, 3, ""));
            found.extend(row.into_iter().flat_map(|(depth, od)| [depth, od]));
        }
        // Diameter, and the least and greatest by pi tape, after a size. Its system stands
        // over the column if it is one for all.
        let size = words[at]
            .chars()
            .all(|c| c.is_ascii_digit() || c == '/' || c == '-');
        // The number of a ratio is no size.
        let size = size && (at == 0 || words[at - 1] != "DR");
        if size || ["IPS", "CTS"].contains(&words[at]) {
            let limits = [(1, ""), (3, "at least"), (5, "up to")];
            let row: Vec<_> = limits
                .iter()
                .filter_map(|(n, side)| pair(at + n, 3, side))
                .collect();
            if row.len() == 3 {
                found.extend(row);
            }
        }
        // The least wall: `DR 11 0.151 3.84`.
        if words[at] == "DR" {
            found.extend(pair(at + 2, 3, "at least"));
        }
    }
    found
}

/// Pairs without brackets, as on the strips: `0.94 in. 23.88 mm`.
fn beside(text: &str) -> Vec<Pair> {
    let words: Vec<_> = text.split_whitespace().collect();
    let both = words.windows(4).filter_map(|words| match words {
        [first, "in.", second, "mm"] => Some((decimal(first)?, decimal(second)?)),
        _ => None,
    });
    both.map(|((first, _), (second, places))| Pair {
        first: vec![first],
        second: vec![second],
        units: ("in".to_owned(), "mm".to_owned()),
        places,
        before: String::new(),
    })
    .collect()
}

/// The exact conversion of a printed number: an inch is 25.4 mm, and 32 °F is 0 °C.
fn converted(number: f64, units: (&str, &str)) -> f64 {
    match units {
        ("in", "mm") => number * 25.4,
        ("mm", "in") => number / 25.4,
        ("°F", "°C") => (number - 32.0) / 1.8,
        ("°C", "°F") => number * 1.8 + 32.0,
        other => panic!("{other:?}"),
    }
}

/// How far the second number lies above the conversion of the first, in its last
/// place.
fn above(first: f64, second: f64, pair: &Pair) -> f64 {
    // A whole temperature stands for tenths.
    let places = match pair.units.1.as_str() {
        "°F" | "°C" => 1,
        _ => pair.places,
    };
    (second - converted(first, (&pair.units.0, &pair.units.1))) * 10_f64.powi(places)
}

fn check(pair: &Pair) {
    const HALF: f64 = 0.5 + 1e-6;
    // "hot pipe: at 110 °F".
    let most = pair.before.ends_with("Hot pipe: at") || pair.before.ends_with("up to");
    let apart: Vec<_> = pair
        .first
        .iter()
        .zip(&pair.second)
        .map(|(a, b)| above(*a, *b, pair))
        .collect();
    // "below 40 °F", "at least 0.12 in", "down to 0.12 in".
    let least = ["elow", "t least", "wn to", "Least wall:", "Pipe wall, "]
        .iter()
        .any(|word| pair.before.trim_end().ends_with(word));
    match apart.as_slice() {
        // No more than half a unit of the last place away, or up to one on the side
        // that asks for more.
        [one] if least => assert!((-1e-6..1.0).contains(one), "{one}: {pair:?}"),
        [one] if most => assert!(*one <= 1e-6 && *one > -1.0, "{one}: {pair:?}"),
        [one] => assert!(
            one.abs() <= HALF || (0.0..1.0).contains(one),
            "{one}: {pair:?}"
        ),
        [least, most] => {
            assert!((-1e-6..1.0).contains(least), "{least}: {pair:?}");
            assert!(*most <= 1e-6 && *most > -1.0, "{most}: {pair:?}");
        }
        _ => panic!("{pair:?}"),
    }
}

#[test]
fn the_second_unit_is_that_of_the_printed_first_one() {
    let out = tempfile::tempdir().unwrap();
    let (mut lengths, mut temperatures, mut ranges) = (0, 0, 0);
    let (mut in_tables, mut on_strips) = (0, 0);
    for spec in SPECS {
        let out = out.path().join(spec.replace('/', "-"));
        let ran = run(coldring()
            .args(["build", spec, "--language", "en", "--as-of", AS_OF, "--out"])
            .arg(&out));
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        for folder in std::fs::read_dir(&out).unwrap() {
            let folder = folder.unwrap().path();
            for paper in PAPERS {
                let pdf = folder.join(paper);
                if !pdf.is_file() {
                    continue;
                }
                let text = text_of(&pdf);
                let (tables, strips) = (stacked(&text), beside(&text));
                in_tables += tables.len();
                on_strips += strips.len();
                tables.iter().chain(&strips).for_each(check);
                for pair in pairs(&text) {
                    match pair.units.0.as_str() {
                        "in" | "mm" => lengths += 1,
                        _ => temperatures += 1,
                    }
                    ranges += usize::from(pair.first.len() == 2);
                    check(&pair);
                }
            }
        }
    }
    assert!(
        lengths >= 20 && temperatures >= 40 && ranges >= 20 && in_tables >= 100 && on_strips >= 20,
        "{lengths} {temperatures} {ranges} {in_tables} {on_strips}"
    );
}

/// The text of a PDF in the order that it is read in.
fn text_of(pdf: &Path) -> String {
    tool(
        "pdftotext",
        &["-raw".as_ref(), pdf.as_os_str(), "-".as_ref()],
    )
}

#[test]
fn a_pair_is_found_and_a_wrong_one_is_noticed() {
    let found =
        pairs("wall of 0.120 in (3.04 mm), at 490 to 510 °F (254.4 to 265.6 °C). See (4 mm)");
    assert_eq!(found.len(), 2);
    assert_eq!(found[0].before, "wall of");
    for pair in &found {
        assert!(
            std::panic::catch_unwind(|| check(pair)).is_err(),
            "{pair:?}"
        );
    }
    let table = stacked(
        "8 ? 14 30 ? 0.64 16.24 1.050 26.67 \
         1-1/2 IPS 1.900 48.26 1.894 48.10 1.906 48.42 DR 11 0.173 4.39",
    );
    assert_eq!(table.len(), 6, "{table:?}");
    let wrong = table
        .iter()
        .filter(|pair| std::panic::catch_unwind(|| check(pair)).is_err());
    assert_eq!(wrong.count(), 4, "{table:?}");
    assert_eq!(beside("2 IPS 0.94 in. 23.88 mm").len(), 1);
    for right in pairs("0.120 in. (3.05 mm) 490 to 510 °F (254.5 to 265.5 °C) −4 °F (−20 °C)")
    {
        check(&right);
    }
}

/// The listing and the paper of the sources say the same joining temperatures, in the same
/// steps.
#[test]
fn the_listing_joins_at_the_temperatures_of_the_sources() {
    let spec = "specs/hollow-creek-geothermal.yaml";
    let listed = run(coldring().args(["heat", spec, "--as-of", AS_OF]));
    assert_eq!(listed.code, Some(0), "{}", listed.err);
    let out = tempfile::tempdir().unwrap();
    let ran = run(coldring()
        .args([
            "build", spec, "--as-of", AS_OF, "--only", "sources", "--out",
        ])
        .arg(out.path()));
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let pages = pages_text(&out.path().join("HC-SF-104-r2/sources.pdf")).concat();
    let rows = |text: &str| -> Vec<Vec<u32>> {
        let of_size = text
            .lines()
            .filter(|line| line.contains(" IPS ") && line.contains("DR "));
        let degrees = |line: &str| -> Vec<u32> {
            let numbers = line.split_whitespace().filter_map(|word| word.parse().ok());
            // A joining temperature in °F; no other number of a row is so large.
            numbers
                .filter(|number| (300..480).contains(number))
                .collect()
        };
        of_size
            .map(degrees)
            .filter(|found| !found.is_empty())
            .collect()
    };
    let listed = rows(&listed.out);
    assert!(listed.len() >= 4, "{listed:?}");
    assert!(
        listed.iter().flatten().all(|degrees| degrees % 20 == 0),
        "{listed:?}"
    );
    assert_eq!(listed, rows(&pages));
}
