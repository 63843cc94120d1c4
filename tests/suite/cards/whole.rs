//! What every card says, however it is cut and split: all limits, and all steps.

use coldring::papers::sheets::{Clause, Clauses, Language};

use super::{GAS, GEOTHERMAL, HOT_WATER, TRIMS, WATER, card, spec_with, text_of};
use crate::support::{pages_text, read, squeezed};

/// The fronts of a card, and the backs, without their spaces.
fn sides(text: &str, arguments: &[&str]) -> (String, String) {
    let folder = tempfile::tempdir().unwrap();
    let pages = pages_text(&card(&folder, text, arguments));
    let of = |side| {
        let pages = pages.iter().skip(side).step_by(2);
        squeezed(&pages.cloned().collect::<String>())
    };
    (of(0), of(1))
}

/// The demo, whose cold-weather section has a floor only where it sets no range.
fn without_range() -> String {
    let text = read(GEOTHERMAL);
    let (range, step) = (
        "  pipe_temperature: 20 °F to 110 °F\n",
        "  trial_step: {value: 3 s, source: HC Operations Manual 7.5}\n",
    );
    assert!(text.contains(range) && text.contains(step));
    let floor = "  no_joints_below: {value: 25 °F, source: HC Operations Manual 7.5}\n";
    text.replace(range, "")
        .replace(step, &format!("{step}{floor}"))
}

/// What a card must say of the demo in a language, wherever it stands.
const ENGLISH: [&str; 13] = [
    "under 20 STOP",
    "20 to under 40",
    "COLD COLUMN",
    "40 to 110",
    "HEAT COLUMN",
    "over 110 STOP",
    "SET 500 °F",
    "FACES 490–510 °F",
    "PE4710 · DR 9, DR 11",
    "OFF HEATER TO JOINED 3 s MAX",
    "HANDS OFF 5 min",
    "TEST AFTER 30 min",
    "from end of HOLD",
];
const SPANISH: [&str; 13] = [
    "bajo 20 ALTO",
    "20 a menos de 40",
    "COLUMNA FRÍO",
    "40 a 110",
    "COLUMNA CALOR",
    "sobre 110 ALTO",
    "AJUSTE 500 °F",
    "CARAS 490–510 °F",
    "PE4710 · DR 9, DR 11",
    "DEL CALENTADOR A UNIDO 3 s MÁX.",
    "NO TOQUE 5 min",
    "PRUEBA A LOS 30 min",
    "tras SUJETE",
];

/// Whether all words of a limit are there; fields stand side by side, so that
/// their second lines are read after all first ones.
fn has(text: &str, limit: &str) -> bool {
    text.contains(&squeezed(limit))
        || ["STOP", "ALTO"].iter().any(|stop| {
            let range = limit.strip_suffix(stop);
            range.is_some_and(|range| text.contains(&squeezed(range)) && text.contains(stop))
        })
}

#[test]
fn a_card_with_a_cold_section_has_all_four_fields_on_every_trim() {
    for (language, limits) in [("en", ENGLISH), ("es", SPANISH)] {
        for (trim, ..) in TRIMS {
            let (front, back) = sides(
                &read(GEOTHERMAL),
                &["--card-trim", trim, "--language", language],
            );
            for limit in limits {
                assert!(has(&front, limit), "{trim}: {limit}: {front}");
            }
            let wall = ["minimum wall 0.075", "pared mínima 0.075"];
            assert!(
                wall.iter().any(|wall| back.contains(&squeezed(wall))),
                "{back}"
            );
        }
    }
    // Where the spec sets a floor and no range.
    let (front, _) = sides(&without_range(), &[]);
    for limit in ["under 25 STOP", "25 to under 40", "40 and over"] {
        assert!(has(&front, limit), "{limit}: {front}");
    }
    // Without the section, and with a range above the trigger, there are no fields.
    let (front, _) = sides(&text_of(GAS), &[]);
    assert!(front.contains(&squeezed("PIPE 40–100 °F")));
    assert!(!front.contains("under"), "{front}");
}

#[test]
fn a_limit_that_was_not_set_is_said_to_be_open() {
    let text = text_of(GAS);
    let lines = text.lines().filter(|line| {
        !line.contains("pipe_temperature:") && !line.contains("before_pressure_test:")
    });
    let open = lines
        .collect::<Vec<_>>()
        .join("\n")
        .replace("status: qualified", "status: draft");
    let (front, _) = sides(&open, &[]);
    for said in [
        "PIPE TEMP. NOT SET: ASK",
        // Nor a rule for the cold.
        "PIPE UNDER 40 °F: NO JOINT",
        "NO PRESSURE TEST: WAIT NOT SET",
    ] {
        assert!(front.contains(&squeezed(said)), "{said}: {front}");
        let (front, _) = sides(&text, &[]);
        assert!(!front.contains(&squeezed(said)), "{said}");
    }
}

#[test]
fn metric_cards_have_their_limits() {
    let (front, back) = sides(&read(HOT_WATER), &[]);
    for limit in [
        "SET 260 °C",
        "FACES 250–270 °C",
        "SDR 7.4",
        "PIPE 5–40 °C",
        "63 mm: machine",
        "PRESSURE TEST 2 h AFTER COOL ENDS",
        "Witness line",
        "OFF TO JOINED",
        "s, at most",
    ] {
        assert!(front.contains(&squeezed(limit)), "{limit}: {front}");
    }
    assert!(back.contains(&squeezed("witness line hidden")), "{back}");
    // No distance of a witness line is published for PE.
    let (front, back) = sides(&read(WATER), &[]);
    assert!(!front.contains("Witness") && !back.contains(&squeezed("witness line")));
    for limit in ["COOL", "min, in all", "HOLD", "s, at least", "PE100"] {
        assert!(front.contains(&squeezed(limit)), "{limit}: {front}");
    }
}

/// A draft says so on every card, and a card in force from when it counts.
#[test]
fn every_card_has_its_standing() {
    let one = |text: &str, trim: &str| {
        let copies = text.replace("documents:\n", "documents:\n  card: {copies: 3}\n");
        let (front, _) = sides(&copies, &["--card-trim", trim]);
        (
            front.matches("DRAFT").count(),
            front
                .matches(&squeezed("Effective 2026-10-01; do not use earlier"))
                .count(),
        )
    };
    for (trim, ..) in TRIMS {
        assert_eq!(one(&read(GEOTHERMAL), trim), (3, 0), "{trim}");
        assert_eq!(one(&text_of(GAS), trim), (0, 3), "{trim}");
    }
}

/// Clauses of steps that all cards of a spec have.
const STEPS: [Clause; 4] = [
    Clause::ShortHeater,
    Clause::ShortCount,
    Clause::ShortBadMelt,
    Clause::ShortInspect,
];

#[test]
fn a_card_that_is_split_has_all_steps_on_every_part() {
    let text = super::six_sizes().replace("documents:\n", "documents:\n  card: {copies: 1}\n");
    let (fronts, backs) = sides(&text, &["--card-trim", "id-1"]);
    let cards = (2..9).find(|n| fronts.contains(&squeezed(&format!("Card 1 of {n}"))));
    let cards = cards.expect("the card is not split");
    let words = Clauses::load(Language::En);
    let more = [Clause::ShortRing, Clause::ShortHeat, Clause::ShortHold];
    for clause in STEPS.into_iter().chain(more) {
        let said = squeezed(&words.render(clause));
        assert_eq!(backs.matches(&said).count(), cards, "{said}");
    }
    for number in 1..=13 {
        assert!(backs.contains(&number.to_string()), "{number}");
    }
    // And each part says its limits.
    assert_eq!(
        fronts
            .matches(&squeezed("OFF HEATER TO JOINED 3 s MAX"))
            .count(),
        cards
    );
}

/// The steps of a card have the numbers that they have in the procedure.
#[test]
fn the_steps_of_a_card_are_those_of_the_procedure() {
    for (spec, last) in [(GEOTHERMAL, 13), (GAS, 13), (WATER, 15), (HOT_WATER, 14)] {
        let folder = tempfile::tempdir().unwrap();
        let back = pages_text(&card(&folder, &text_of(spec), &[])).remove(1);
        let words = Clauses::load(Language::En);
        let at = |clause, number: usize| {
            let said = squeezed(&format!("{number}{}", words.render(clause)));
            assert!(squeezed(&back).contains(&said), "{spec}: {said}: {back}");
        };
        at(Clause::ShortHeater, 1);
        at(Clause::ShortBadMelt, last - 3);
        at(
            match spec {
                WATER => Clause::ShortInspectMark,
                HOT_WATER => Clause::ShortInspectWitness,
                _ => Clause::ShortInspect,
            },
            last,
        );
    }
}

#[test]
fn two_languages_that_do_not_fit_one_card_have_a_whole_card_each() {
    for spec in [GEOTHERMAL, GAS, HOT_WATER, WATER] {
        let text = spec_with(spec, "{copies: 1}");
        let (fronts, backs) = sides(&text, &["--language", "en,es"]);
        let all = format!("{fronts}{backs}");
        let count = |language, clause| {
            let said = squeezed(&Clauses::load(language).render(clause));
            all.matches(&said).count()
        };
        let cards = count(Language::En, Clause::ShortBadMelt);
        assert!(cards > 0, "{spec}");
        for language in [Language::En, Language::Es] {
            for clause in [
                Clause::ShortHeater,
                Clause::ShortCount,
                Clause::ShortBadMelt,
            ] {
                assert_eq!(count(language, clause.clone()), cards, "{spec}: {clause:?}");
            }
        }
        // Numbers are on as many cards as steps are.
        assert_eq!(
            count(Language::En, Clause::CardColumnDepth),
            cards,
            "{spec}"
        );
    }
}
