//! The lesson sheet: its steps, its names of mistakes, and answers that are the
//! procedure's own numbers.

use super::test_sheet::{form, words};
use crate::support::{GAS, GEOTHERMAL, pages_text};

const WATER: &str = "specs/tern-valley-water.yaml";

/// Questions in English with their answers: published times of the sizes and the resin,
/// and what the specs of the demo state.
const ANSWERS: [(&str, &[(&str, &str)]); 3] = [
    (
        GEOTHERMAL,
        &[
            (
                "What must both heater faces read?",
                "490 to 510 °F, by the pyrometer",
            ),
            ("At what pipe temperature may you fuse?", "20 to 110 °F"),
            (
                "How deep does the pipe go in?",
                "3/4: 0.64, 1: 0.71, 1-1/4: 0.81, 1-1/2: 0.88, 2: 0.94 in.",
            ),
            (
                "How long do you heat each size?",
                "3/4: 8 ? , 1: 15, 1-1/4: 18, 1-1/2: 20, 2: 24 sec",
            ),
            (
                "What is the longest you may heat?",
                "3/4: 14 ? , 1: 17, 1-1/4: 21, 1-1/2: 23, 2: 28 sec",
            ),
            ("How long at most from heater off to joined?", "3 sec ?"),
            (
                "How long do you hold still?",
                "3/4: 30 ? , 1: 30, 1-1/4: 60, 1-1/2: 60, 2: 60 sec",
            ),
            (
                "How long does nobody touch the joint?",
                "5 min, from the end of the hold",
            ),
            (
                "How long before a pressure test?",
                "30 min, from the end of the hold",
            ),
        ],
    ),
    (
        GAS,
        &[
            (
                "How long do you heat each size?",
                "1 IPS: 10, 1-1/4 IPS: 12, 2 IPS: 16, 1/2 CTS: 6, 3/4 CTS: 6 sec",
            ),
            ("At what pipe temperature may you fuse?", "40 to 100 °F"),
        ],
    ),
    (
        WATER,
        &[
            (
                "How long do you heat each size?",
                "20: 5, 25: 7, 32: 8, 40: 12, 50: 18 ? , 63: 24, 90 SDR 11: 40, 90 SDR 17: 22 sec ?",
            ),
            (
                "How long at most from heater off to joined?",
                "20: 4, 25: 4, 32: 6, 40: 6, 50: 6 ? , 63: 8, 90: 8 sec",
            ),
            (
                "How long does nobody touch the joint?",
                "20: 2, 25: 2, 32: 4, 40: 4, 50: 4 ? , 63: 6, 90: 6 min, from fully joined",
            ),
            (
                "How long before a pressure test?",
                "1 h, from the end of the cooling",
            ),
        ],
    ),
];

#[test]
fn every_answer_is_the_number_of_the_procedure() {
    for (spec, answers) in ANSWERS {
        let (_out, pdf) = form(spec, "lesson-sheet", &[]);
        let words = words(&pdf);
        for (question, answer) in answers {
            let both = format!("{question} {answer}");
            assert!(words.contains(&both), "{spec}: {both}\n{words}");
        }
    }
}

#[test]
fn it_is_one_page_with_every_step_in_either_language() {
    for (spec, steps) in [(GEOTHERMAL, 13), (GAS, 13), (WATER, 15)] {
        for language in ["en", "es"] {
            for paper in ["letter", "a4"] {
                let arguments = ["--language", language, "--paper", paper];
                let (_out, pdf) = form(spec, "lesson-sheet", &arguments);
                let pages = pages_text(&pdf);
                assert_eq!(pages.len(), 1, "{spec} {language} {paper}");
                let numbers = pages[0]
                    .lines()
                    .filter_map(|line| line.split_whitespace().next());
                let numbers: Vec<usize> = numbers.filter_map(|word| word.parse().ok()).collect();
                let wanted: Vec<usize> = (1..=steps).collect();
                let taught = numbers.windows(steps).any(|some| some == wanted);
                assert!(taught, "{spec} {language} {paper}: {numbers:?}");
            }
        }
    }
}

#[test]
fn a_size_without_a_depth_has_no_time_to_learn() {
    let (_out, pdf) = form("specs/tour/1-least.yaml", "lesson-sheet", &[]);
    let words = words(&pdf);
    assert!(words.contains("Which sizes may nobody join? 1: NO JOINT until its depth is measured"));
    for asked in ["How long do you heat", "How deep does the pipe go in"] {
        assert!(!words.contains(asked), "{asked}");
    }
    assert!(words.contains("No wait is set: do not test."));
}
