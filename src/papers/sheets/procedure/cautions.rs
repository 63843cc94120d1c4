//! The hazards that the work has, most severe first, as panels after ANSI Z535.6:
//! hazard, what comes of it, and how it is avoided. Which hazards apply, and how
//! severe each is, stands in the tables with its source; the words of the panels
//! are common practice.

use super::super::parts::{SafetyPanel, SafetyPanels, StopBox};
use super::writer::{Block, Clause, Section, Writer};
use crate::published::Entry;

/// Signal words, most severe first.
const SIGNALS: [(&str, Clause); 4] = [
    ("DANGER", Clause::SignalDanger),
    ("WARNING", Clause::SignalWarning),
    ("CAUTION", Clause::SignalCaution),
    ("NOTICE", Clause::SignalNotice),
];

pub(crate) fn cautions(w: &Writer) -> Section {
    let panels = applicable(w).into_iter().map(|hazard| {
        // Somebody who added a row without a panel still has its statement.
        let [hazard_words, result, action] = panel(w, hazard.key).unwrap_or_else(|| {
            let text = w.words.statement(hazard.text).unwrap_or_default();
            [text.to_owned(), String::new(), String::new()]
        });
        SafetyPanel {
            signal: hazard.signal.to_owned(),
            word: hazard.word,
            hazard: hazard_words,
            result,
            action,
        }
    });
    let panels = SafetyPanels {
        panels: panels.collect(),
        stop: StopBox {
            word: w.say(Clause::StopWord),
            title: w.say(Clause::StopTitle),
            text: w.say(Clause::StopText),
        },
    };
    w.section(
        Clause::TitleCautions,
        vec![Block::SafetyPanels(Box::new(panels))],
    )
    .lead(w.say(Clause::CautionsIntro))
}

/// The words of a hazard's panel, by the key of its row.
fn panel(w: &Writer, key: &str) -> Option<[String; 3]> {
    let words = match key {
        "ignition" => [
            Clause::HazardIgnition,
            Clause::HazardIgnitionResult,
            Clause::HazardIgnitionAction,
        ],
        "static" => [
            Clause::HazardStatic,
            Clause::HazardStaticResult,
            Clause::HazardStaticAction,
        ],
        "pressure" => [
            Clause::HazardPressure,
            Clause::HazardPressureResult,
            Clause::HazardPressureAction,
        ],
        "burn" | "burn-metric" => [
            Clause::HazardBurn {
                temperature: w
                    .p
                    .spec
                    .heater
                    .set_point
                    .value
                    .0
                    .show_exact(w.units().temperature_unit()),
            },
            Clause::HazardBurnResult,
            Clause::HazardBurnAction,
        ],
        "trench" => [
            Clause::HazardTrench,
            Clause::HazardTrenchResult,
            Clause::HazardTrenchAction,
        ],
        "generator" => [
            Clause::HazardGenerator,
            Clause::HazardGeneratorResult,
            Clause::HazardGeneratorAction,
        ],
        "alcohol" => [
            Clause::HazardAlcohol,
            Clause::HazardSolventResult,
            Clause::HazardSolventAction,
        ],
        "acetone" => [
            Clause::HazardAcetone,
            Clause::HazardSolventResult,
            Clause::HazardSolventAction,
        ],
        "sharp" => [
            Clause::HazardSharp,
            Clause::HazardSharpResult,
            Clause::HazardSharpAction,
        ],
        _ => return None,
    };
    Some(words.map(|clause| w.say(clause)))
}

/// A hazard of the work.
struct Hazard<'a> {
    /// The key of its row in the tables.
    key: &'a str,
    signal: &'static str,
    /// The signal word as printed.
    word: String,
    /// The statement with its source.
    text: &'a Entry,
}

/// The hazards that apply to the work, most severe first.
fn applicable<'a>(w: &Writer<'a>) -> Vec<Hazard<'a>> {
    let work = w.p.work();
    let mut hazards: Vec<_> = w
        .limits
        .texts("hazards", "signal")
        .into_iter()
        .filter(|signal| w.limits.applies_to(signal, &work))
        .filter_map(|signal| {
            let word = signal.text()?;
            let rank = SIGNALS
                .iter()
                .position(|(known, _)| known.eq_ignore_ascii_case(word))?;
            let text = w.limits.other_column(signal, "text")?;
            let key = signal.id.split(':').nth(1)?;
            Some((rank, SIGNALS.get(rank)?, key, text))
        })
        .collect();
    hazards.sort_by_key(|(rank, ..)| *rank);
    hazards
        .into_iter()
        .map(|(_, (signal, word), key, text)| Hazard {
            key,
            signal,
            word: w.say(word.clone()),
            text,
        })
        .collect()
}

/// Each hazard that applies, as its panel calls it, with the statement that it rests
/// on, most severe first.
pub(crate) fn hazards<'a>(w: &Writer<'a>) -> Vec<(String, &'a Entry)> {
    let named = |hazard: Hazard<'a>| {
        let [head, ..] = panel(w, hazard.key)?;
        Some((head, hazard.text))
    };
    applicable(w).into_iter().filter_map(named).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::papers::sheets::clauses::Clauses;
    use crate::procedure::resolve::resolve;
    use crate::published::library;
    use crate::spec::language::Language;

    fn panels(spec: &str, language: Language) -> SafetyPanels {
        let text = std::fs::read_to_string(spec).unwrap();
        of_text(&text, language)
    }

    fn of_text(text: &str, language: Language) -> SafetyPanels {
        let spec = crate::spec::decode(text).0.unwrap();
        let p = resolve(&spec, library());
        let w = Writer::new(&p, library(), Clauses::load(language), None);
        match cautions(&w).blocks.remove(0) {
            Block::SafetyPanels(panels) => *panels,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn every_hazard_of_the_tables_has_a_panel_of_three_parts() {
        let signals = library().texts("hazards", "signal");
        assert!(signals.len() > 7);
        for language in Language::all() {
            let text = std::fs::read_to_string("specs/alder-fork-gas.yaml").unwrap();
            let spec = crate::spec::decode(&text).0.unwrap();
            let p = resolve(&spec, library());
            let w = Writer::new(&p, library(), Clauses::load(language), None);
            for signal in &signals {
                let key = signal.id.split(':').nth(1).unwrap();
                let parts = panel(&w, key).unwrap_or_else(|| panic!("{key} has no panel"));
                assert!(parts.iter().all(|part| !part.is_empty()), "{key}");
            }
        }
    }

    #[test]
    fn severe_hazards_come_first_and_each_has_hazard_result_and_action() {
        for (file, gas) in [
            ("specs/alder-fork-gas.yaml", true),
            ("specs/tern-valley-water.yaml", false),
            ("specs/saddle-works-hot-water.yaml", false),
        ] {
            for language in Language::all() {
                let panels = panels(file, language);
                let rank = |panel: &SafetyPanel| {
                    SIGNALS
                        .iter()
                        .position(|(s, _)| *s == panel.signal)
                        .unwrap()
                };
                assert!(panels.panels.is_sorted_by_key(rank), "{file}");
                for panel in &panels.panels {
                    for part in [&panel.hazard, &panel.result, &panel.action] {
                        assert!(!part.is_empty(), "{file}: {panel:?}");
                    }
                }
                let gas_word = Clauses::load(language).render(Clause::HazardStatic);
                let has = panels.panels.iter().any(|panel| panel.hazard == gas_word);
                assert_eq!(has, gas, "{file}");
            }
        }
    }

    /// Water brings no gas, and what does not burn needs no panel of its own.
    #[test]
    fn a_water_spec_has_no_gas_panel_and_water_for_cleaning_no_fire_panel() {
        let text = std::fs::read_to_string("specs/tern-valley-water.yaml").unwrap();
        let words = Clauses::load(Language::En);
        let shows = |text: &str, clause| {
            let hazard = words.render(clause);
            let panels = of_text(text, Language::En).panels;
            panels.iter().any(|panel| panel.hazard == hazard)
        };
        assert!(!shows(&text, Clause::HazardIgnition));
        assert!(!shows(&text, Clause::HazardStatic));
        assert!(shows(&text, Clause::HazardAlcohol));
        let gas = text.replace("service: water", "service: gas");
        assert!(shows(&gas, Clause::HazardIgnition));
        assert!(shows(&gas, Clause::HazardStatic));
        let dry = text.replace(
            "{agent: isopropyl alcohol, strength: 99 %,",
            "{agent: dry cloth,",
        );
        assert_ne!(dry, text);
        assert!(!shows(&dry, Clause::HazardAlcohol));
        let plant = text.replace("service: water", "service: industrial");
        assert!(shows(&plant, Clause::HazardIgnition));
        assert!(shows(&plant, Clause::HazardStatic));
    }
}
