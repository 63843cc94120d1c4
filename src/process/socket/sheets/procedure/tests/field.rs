//! The sections on pipe, heater, special joints and work outdoors, against numbers
//! from outside.

use std::collections::BTreeMap;

use crate::papers::sheets::parts::{PipeBandKind, PipeDimensions};
use crate::papers::sheets::practice::words as practice_words;
use crate::papers::sheets::procedure::field::abnormal;
use crate::papers::sheets::procedure::writer::{Cell, Clause};
use crate::papers::sheets::{Block, Clauses};
use crate::process::socket::practice::PRACTICES;
use crate::process::socket::sheets::procedure::tests::metric::{HOT_WATER, WATER};
use crate::process::socket::sheets::procedure::tests::*;

const BASE: &str = include_str!("../../../../../../tests/data/base.yaml");

fn in_language<T>(text: &str, language: Language, see: impl FnOnce(&Writer) -> T) -> T {
    with_procedure(text, |p, _| {
        see(&Writer::new(p, library(), Clauses::load(language), None))
    })
}

fn dimensions_of(text: &str) -> PipeDimensions {
    in_language(text, Language::En, |w| {
        match dimensions::dimensions(w).blocks.remove(0) {
            Block::PipeDimensions(dimensions) => *dimensions,
            other => panic!("{other:?}"),
        }
    })
}

/// Least and greatest mean diameter of each size, as printed.
fn pi_tape(text: &str) -> BTreeMap<String, [String; 2]> {
    let sizes = dimensions_of(text).sizes.into_iter();
    sizes
        .map(|size| (size.size, [size.least.text, size.greatest.text]))
        .collect()
}

/// ASTM D3035 Table 2 (and D2513 before 2009) allow the average diameter of IPS pipe
/// 0.004 in either way up to 3/4, 0.005 to 1-1/4, 0.006 to 2, 0.008 at 3 and 0.009 at 4;
/// D2737 allows tubing the same 0.004, 0.005 and 0.006.
#[test]
fn a_pi_tape_is_read_against_the_tolerances_of_the_inch_standards() {
    let all = BASE.replace(
        "    - {sizes: 1 IPS",
        "    - {sizes: 1/2 IPS to 4 IPS, dimension_ratio: 17}\n    - {sizes: 1/2 CTS to 2 CTS, \
         dimension_ratio: 11}\n    - {sizes: 1 IPS",
    );
    assert_ne!(all, BASE);
    let printed = pi_tape(&all);
    for (size, least, greatest) in [
        ("1/2 IPS", "0.836", "0.844"),
        ("3/4 IPS", "1.046", "1.054"),
        ("1 IPS", "1.310", "1.320"),
        ("1-1/4 IPS", "1.655", "1.665"),
        ("1-1/2 IPS", "1.894", "1.906"),
        ("2 IPS", "2.369", "2.381"),
        ("3 IPS", "3.492", "3.508"),
        ("4 IPS", "4.491", "4.509"),
        ("1/2 CTS", "0.621", "0.629"),
        ("1 CTS", "1.120", "1.130"),
        ("2 CTS", "2.119", "2.131"),
    ] {
        assert_eq!(printed[size], [least, greatest], "{size}");
    }
}

/// ISO 4427-2 and ISO 4437-2, grade B: never under the nominal, over it by 0.3 mm up to
/// d 32, 0.4 to d 63, 0.5 at d 75, 0.6 at d 90.
#[test]
fn a_pi_tape_is_read_against_the_metric_tolerances() {
    let printed = pi_tape(WATER);
    for (size, least, greatest) in [
        ("20", "20.0", "20.3"),
        ("25", "25.0", "25.3"),
        ("32", "32.0", "32.3"),
        ("40", "40.0", "40.4"),
        ("50", "50.0", "50.4"),
        ("63", "63.0", "63.4"),
        ("90", "90.0", "90.6"),
    ] {
        assert_eq!(printed[size], [least, greatest], "{size}");
    }
    // Read for PE; for PP they are taken over, and say so.
    for size in dimensions_of(HOT_WATER).sizes {
        assert!(size.least.verify && size.greatest.verify, "{}", size.size);
    }
    for size in dimensions_of(WATER).sizes {
        assert!(!size.least.verify, "{}", size.size);
        assert!(size.out_of_round.is_some());
    }
}

/// Millimeters beside inches are those of the printed inches, rounded up for a
/// minimum and down for a maximum. 1 in is 25.4 mm.
#[test]
fn millimeters_beside_inches_are_those_of_the_printed_inches() {
    let mut seen = 0;
    let mut check = |cell: &Cell, minimum: bool, maximum: bool, of: &str| {
        let other = cell.sub.as_deref().unwrap_or_default();
        let number = |text: &str| text.parse::<f64>().ok();
        let mm = number(other.trim_end_matches("mm").trim_end());
        let Some((inches, mm)) = number(&cell.text).zip(mm) else {
            return;
        };
        seen += 1;
        // In hundredths of a millimeter.
        let above = (mm - inches * 25.4) * 100.0;
        let right = match (minimum, maximum) {
            (true, _) => (-1e-6..1.0).contains(&above),
            (_, true) => above <= 1e-6 && above > -1.0,
            _ => above.abs() <= 0.5 + 1e-6,
        };
        assert!(right, "{of}: {inches} in beside {mm} mm");
    };
    for text in [GEOTHERMAL, GAS, BASE] {
        for size in dimensions_of(text).sizes {
            check(&size.nominal, false, false, &size.size);
            check(&size.least, true, false, &size.size);
            check(&size.greatest, false, true, &size.size);
            for wall in &size.walls {
                check(&wall.least, true, false, &wall.name);
                wall.over
                    .iter()
                    .for_each(|over| check(over, false, true, &wall.name));
                check(&wall.inside, false, false, &wall.name);
            }
        }
        for block in sheet(text)
            .sections
            .iter()
            .flat_map(|section| &section.blocks)
        {
            match block {
                Block::SpigotEnds(ends) => {
                    for row in &ends.rows {
                        for (at, cell) in row.iter().enumerate() {
                            check(cell, [2, 6].contains(&at), false, &row[0].text);
                        }
                    }
                }
                Block::ReducerTable(table) => {
                    for cell in table.rows.iter().flat_map(|row| &row.cells) {
                        check(cell, false, false, "reducer");
                    }
                }
                _ => {}
            }
        }
    }
    assert!(seen > 100, "{seen}");
}

/// Each limit of the spec for heater and pipe is printed, in every language.
#[test]
fn the_limits_of_heater_and_pipe_are_printed_in_every_language() {
    for (text, face, edges) in [
        (GEOTHERMAL, ["490", "510"], ["20", "40", "110"].as_slice()),
        (GAS, ["490", "510"], ["40"].as_slice()),
        (WATER, ["250", "270"], ["5", "35"].as_slice()),
        (HOT_WATER, ["250", "270"], ["5", "40"].as_slice()),
    ] {
        for language in Language::all() {
            in_language(text, language, |w| {
                let heater = words(&heater::heater(w));
                for limit in face {
                    assert!(heater.contains(limit), "{limit}: {heater}");
                }
                let strip = pipe_temperature::strip(w);
                let printed: Vec<_> = strip.bands.iter().map(|b| b.range.text.as_str()).collect();
                let printed = loose(&printed.join("; "));
                for edge in edges {
                    assert!(printed.contains(edge), "{edge}: {printed}");
                }
                // Too cold and too hot are never a time to fuse.
                let kinds: Vec<_> = strip.bands.iter().map(|band| band.kind).collect();
                assert_eq!(kinds.first(), Some(&PipeBandKind::Stop), "{printed}");
                assert_eq!(kinds.last(), Some(&PipeBandKind::Stop), "{printed}");
                let stop = w.say(Clause::DoNotFuse);
                for band in &strip.bands {
                    let stops = band.kind == PipeBandKind::Stop;
                    assert_eq!(band.order == stop, stops, "{printed}");
                }
                let trials = kinds.contains(&PipeBandKind::Trial);
                assert_eq!(trials, w.p.spec.cold_weather.is_some(), "{printed}");
            });
        }
    }
}

/// The colder of two floors never wins, and the trigger alone carries the mark.
#[test]
fn the_floor_is_the_warmest_of_what_the_spec_and_the_tables_say() {
    let first = |text: &str| {
        in_language(text, Language::En, |w| {
            let bands = pipe_temperature::strip(w).bands;
            (loose(&bands[0].range.text), bands[0].range.verify)
        })
    };
    assert_eq!(first(GEOTHERMAL), ("below 20 °F".to_owned(), false));
    let floor = "cold_weather:\n  no_joints_below: {value: 25 °F, source: HC}\n";
    let stated = GEOTHERMAL.replace("cold_weather:\n", floor);
    assert_eq!(first(&stated), ("below 25 °F".to_owned(), false));
    // Without a cold section nobody fuses below the trigger, which is recalled; a
    // spec that says the same says it on its own.
    let (text, verify) = first(&GAS.replace("pipe_temperature: 40 °F", "pipe_temperature: 30 °F"));
    assert_eq!((text.as_str(), verify), ("below 40 °F", true));
    // As published, PP-R is not joined below 0 °C: also where the spec gives no range.
    let range = "  pipe_temperature: 5 °C to 40 °C\n";
    assert!(HOT_WATER.contains(range));
    let cold = "\ncold_weather: {trial_step: {value: 2 s, source: own}}\n";
    let (text, _) = first(&HOT_WATER.replace(range, cold));
    assert_eq!(text, "below 0 °C");
}

/// Coils are for pipe that bends: PP comes in straight lengths. Nobody digs for a
/// pipe inside a building.
#[test]
fn field_work_shows_what_the_pipe_has() {
    let heads = |text: &str| words(section(&sheet(text).sections, "Field work"));
    for word in ["Coil", "Trench"] {
        assert!(heads(GEOTHERMAL).contains(word), "{word}");
        assert!(heads(WATER).contains(word), "{word}");
        assert!(!heads(HOT_WATER).contains(word), "{word}");
    }
}

/// What to do with heated parts stands at the step of that number.
#[test]
fn a_joint_gone_wrong_points_at_the_step_that_says_do_not_join() {
    for text in [GEOTHERMAL, WATER, HOT_WATER] {
        for language in Language::all() {
            in_language(text, language, |w| {
                let steps = joint_steps(w);
                let stop = steps.iter().find(|step| step.stop).unwrap();
                let abnormal = words(&abnormal(w, stop.number));
                let named = abnormal.matches(&format!(" {}.", stop.number)).count();
                assert!(named >= 5, "{abnormal}");
            });
        }
    }
}

#[test]
fn every_practice_has_words_for_its_print_line_and_rain() {
    for practice in PRACTICES {
        let words = practice_words(practice);
        assert_eq!(
            words.rain == Clause::FieldRainText,
            practice.has_ring(),
            "only a practice with rings keeps one dry"
        );
    }
}
