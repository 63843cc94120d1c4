//! What every card says, however it is cut and split: all limits, and all steps.

use coldring::papers::sheets::{Clause, Clauses, Language};

use super::{GAS, GEOTHERMAL, HOT_WATER, TRIMS, WATER, built, card, spec_with, text_of};
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

#[test]
fn a_card_with_a_cold_section_has_range_trigger_and_floor_on_every_trim() {
    for (trim, ..) in TRIMS {
        let (front, _) = sides(&without_range(), &["--card-trim", trim]);
        assert!(
            front.contains(&squeezed("Pipe below 25 °F: no joint")),
            "{front}"
        );
        let (front, _) = sides(&read(GEOTHERMAL), &["--card-trim", trim]);
        for limit in [
            "Pipe 20 to 110 °F only",
            "Pipe below 40 °F: \"Cold heat\"",
            "Set 500 °F",
            "490 to 510 °F",
            "DR 9, DR 11",
            "wall at least 0.075 in",
            "Change-over max 3 s",
            "Hands off 5 min",
            "Test after 30 min",
        ] {
            assert!(front.contains(&squeezed(limit)), "{trim}: {limit}: {front}");
        }
    }
    // Without the section, and with a range above the trigger, it is not said.
    let (front, _) = sides(&text_of(GAS), &[]);
    assert!(front.contains(&squeezed("Pipe 40 to 100 °F only")));
    assert!(!front.contains(&squeezed("Pipe below")), "{front}");
}

#[test]
fn the_limits_are_on_the_spanish_card_too() {
    let folder = tempfile::tempdir().unwrap();
    let (made, said) = built(&folder, &read(GEOTHERMAL), &["--language", "es"]);
    let front = squeezed(&pages_text(&made.unwrap_or_else(|| panic!("{said}")))[0]);
    for limit in [
        "Tubo solo de 20 a 110 °F",
        "Tubo bajo 40 °F: \"Con frío\"",
        "Ajuste 500 °F",
        "DR 9, DR 11",
        "pared mínima 0.075 in",
    ] {
        assert!(front.contains(&squeezed(limit)), "{limit}: {front}");
    }
}

#[test]
fn a_limit_that_was_not_set_is_said_to_be_open() {
    let text = read(GEOTHERMAL);
    let lines = text.lines().filter(|line| {
        !line.contains("pipe_temperature:") && !line.contains("before_pressure_test:")
    });
    let open = lines.collect::<Vec<_>>().join("\n");
    let (front, _) = sides(&open, &[]);
    for said in ["no range set, ask", "No pressure test: wait not set"] {
        assert!(front.contains(&squeezed(said)), "{said}: {front}");
        let (front, _) = sides(&text, &[]);
        assert!(!front.contains(&squeezed(said)), "{said}");
    }
}

#[test]
fn metric_cards_have_their_limits() {
    let (front, back) = sides(&read(HOT_WATER), &[]);
    for limit in [
        "Set 260 °C",
        "250 to 270 °C",
        "SDR 7.4",
        "Pipe 5 to 40 °C only",
        "Machine: 63 mm",
        "Test after 2 h",
        "Witness mm",
    ] {
        assert!(front.contains(&squeezed(limit)), "{limit}: {front}");
    }
    assert!(back.contains(&squeezed("witness line hidden")), "{back}");
    // No distance of a witness line is published for PE.
    let (front, back) = sides(&read(WATER), &[]);
    assert!(!front.contains("Witness") && !back.contains("witness"));
}

/// The clauses of the steps that all cards of a spec have.
const STEPS: [Clause; 3] = [
    Clause::CardStepFaces,
    Clause::CardStepClean,
    Clause::CardStop,
];

#[test]
fn a_card_that_is_split_has_all_steps_on_every_part() {
    let text = spec_with(WATER, "{copies: 1}");
    let (fronts, backs) = sides(&text, &["--card-trim", "id-1"]);
    let cards = (2..9).find(|n| fronts.contains(&squeezed(&format!("Card 1 of {n}"))));
    let cards = cards.expect("the card is not split");
    let words = Clauses::load(Language::En);
    let last = [Clause::CardStepOffMark, Clause::CardStepHoldMark];
    for clause in STEPS.into_iter().chain(last) {
        let said = squeezed(&words.render(clause));
        assert_eq!(backs.matches(&said).count(), cards, "{said}");
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
        let cards = count(Language::En, Clause::CardStop);
        assert!(cards > 0, "{spec}");
        for language in [Language::En, Language::Es] {
            for clause in STEPS {
                assert_eq!(count(language, clause.clone()), cards, "{spec}: {clause:?}");
            }
            // Figures are on as many cards as steps are.
            assert_eq!(count(language, Clause::CardColumnHeat), cards, "{spec}");
        }
    }
}
