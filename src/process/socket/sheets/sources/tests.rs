//! What the paper of the sources must say.

use crate::core::finding::Rule;
use crate::core::source::Span;
use crate::papers::sheets::procedure::source_rows::SourceRow;
use crate::papers::sheets::{Clauses, Language};
use crate::process::socket::sheets::joint_times::JointTimes;
use crate::process::socket::sheets::procedure::tests::metric::{HOT_WATER, WATER};
use crate::process::socket::sheets::procedure::tests::*;
use crate::process::socket::sheets::sources::*;
use crate::published::library;

fn paper(text: &str, findings: &[PlacedFinding]) -> SourcesSheet {
    with_procedure(text, |p, frame| {
        sources(p, &Advice::new(p), findings, library(), frame)
    })
}

fn placed(finding: &Finding) -> PlacedFinding<'_> {
    PlacedFinding {
        finding,
        line: Some(7),
    }
}

fn rows(paper: &SourcesSheet) -> impl Iterator<Item = &SourceRow> {
    paper.groups.iter().flat_map(|group| &group.rows)
}

/// Walls and values of a row in one string, with plain spaces.
fn values(row: &SourceRow) -> String {
    let walls = row.values.walls.clone().unwrap_or_default();
    loose(&format!("{walls} · {}", row.values.items.join(" · ")))
}

fn all_words(paper: &SourcesSheet) -> String {
    loose(&serde_json::to_string(paper).unwrap())
}

#[test]
fn only_warnings_that_hold_whatever_the_day_reach_the_paper() {
    static LASTING: Rule = Rule::warning(b"lasting", "");
    static DATED: Rule = Rule::warning(b"passing", "").dated();
    static NOTE: Rule = Rule::note(b"note", "");
    let findings = [
        LASTING.at(Span::default(), "lasting trouble"),
        DATED.at(Span::default(), "passing trouble"),
        NOTE.at(Span::default(), "small trouble"),
    ];
    let findings: Vec<_> = findings.iter().map(placed).collect();
    let open = paper(GEOTHERMAL, &findings).open.rows;
    let texts: Vec<_> = open.iter().map(|point| point.text.as_str()).collect();
    assert!(texts.contains(&"Lasting trouble."), "{texts:?}");
    assert!(!texts.iter().any(|text| text.contains("assing trouble")));
    assert!(!texts.iter().any(|text| text.contains("mall trouble")));
}

#[test]
fn every_open_point_says_what_closes_it() {
    for text in [GEOTHERMAL, GAS] {
        let open = paper(text, &[]).open.rows;
        assert!(open.len() > 3);
        for point in open {
            let said = [&point.point, &point.text, &point.close];
            assert!(said.iter().all(|text| !text.trim().is_empty()), "{point:?}");
        }
    }
}

/// A warning of a size, with its numbers, in the language of the paper.
#[test]
fn a_warning_on_a_spanish_paper_is_spanish_and_keeps_its_numbers() {
    let finding = crate::process::socket::rules::heat::MELT_OVER_CAUTION
        .at(Span::default(), "by estimate, 14 s of heating melts …")
        .saying("size", "3/4 IPS")
        .saying("wall", "DR 11")
        .saying("heating", "14 s")
        .saying("melt", "1.2 mm")
        .saying("thickness", "0.095 in (2.41 mm)");
    let spanish = with_procedure(GEOTHERMAL, |p, frame| {
        let frame = Frame {
            lang: Language::Es,
            words: crate::papers::sheets::house::Words::Program(Clauses::load(Language::Es)),
            ..frame
        };
        sources(p, &Advice::new(p), &[placed(&finding)], library(), frame)
    });
    let point = spanish
        .open
        .rows
        .iter()
        .find(|point| point.point == "3/4 IPS, DR 11")
        .unwrap();
    for part in ["14 s", "1.2 mm", "0.095 in (2.41 mm)", "funden", "línea 7"] {
        assert!(point.text.contains(part), "{part}: {}", point.text);
    }
    assert!(point.close.starts_with("Use el CALOR más corto"));
    assert_eq!(point.lang, None);
}

#[test]
fn every_figure_of_a_joint_is_among_the_sources_with_its_source() {
    with_procedure(GAS, |p, frame| {
        let joints = p.joints.clone();
        let paper = sources(p, &Advice::new(p), &[], library(), frame);
        let prints = |value: &str, source: &str| {
            rows(&paper).any(|row| values(row).contains(value) && row.source == source)
        };
        for joint in joints {
            let (od, heat) = (joint.outside_diameter.unwrap(), joint.cycle.heat().unwrap());
            let number = od.value.number(crate::core::units::LengthUnit::Inch, 3);
            let of = format!("{}: {number}", joint.size);
            assert!(prints(&of, &od.source), "{of}");
            let seconds = |time: crate::core::units::Duration| {
                time.number(crate::core::units::TimeUnit::Second)
            };
            let most = format!("to {}", seconds(heat.value.most));
            assert!(prints(&most, &heat.source), "{}: {most}", joint.size);
        }
    });
}

/// The texts of all cells of numbers, without the smaller ones below them.
fn cells(value: &serde_json::Value) -> Vec<String> {
    let mut found = Vec::new();
    match value {
        serde_json::Value::Array(items) => found.extend(items.iter().flat_map(cells)),
        serde_json::Value::Object(fields) => {
            // Only a cell says whether its number is confirmed.
            if let (Some(text), true) = (fields.get("text"), fields.contains_key("verify")) {
                found.extend(text.as_str().map(str::to_owned));
            }
            found.extend(fields.values().flat_map(cells));
        }
        _ => {}
    }
    found
}

/// Every number that stands in a table of the procedure, and what the steps and the
/// card take from the spec, is among the sources.
#[test]
fn no_figure_of_the_procedure_is_missing_among_the_sources() {
    let pyrometer = "{method: pyrometer, accuracy: 2 °F}";
    assert!(GEOTHERMAL.contains(pyrometer));
    let sticks = "{method: two indicating sticks, melts: 494 °F, stays_solid: 506 °F}";
    let sticks = GEOTHERMAL.replace(pyrometer, sticks);
    for text in [GEOTHERMAL, GAS, &sticks, WATER, HOT_WATER] {
        let paper = paper(text, &[]);
        let shown: Vec<_> = rows(&paper).map(values).collect();
        let among = |number: &str| {
            let word = |word: &str| word.trim_end_matches([',', ';']) == number;
            shown.iter().any(|values| values.split(' ').any(word))
        };
        let mut seen = 0;
        for cell in cells(&serde_json::to_value(sheet(text).sections).unwrap()) {
            for number in loose(&cell).split(' ').filter(|word| word.contains('.')) {
                if number.parse::<f64>().is_ok() {
                    seen += 1;
                    assert!(among(number), "{cell}");
                }
            }
        }
        assert!(seen > 10, "{seen}");
        let times: serde_json::Value = with_procedure(text, |p, frame| {
            let times = JointTimes::new(p, library(), &frame.words);
            serde_json::to_value(times).unwrap()
        });
        for row in times["rows"].as_array().unwrap() {
            for name in ["heat", "max", "hold", "depth", "od"] {
                let Some(number) = row["times"][name]["text"].as_str() else {
                    continue;
                };
                assert!(among(number), "{name} {number}");
            }
        }
    }
    let prints =
        |text: &str, what: &str| rows(&paper(text, &[])).any(|row| values(row).contains(what));
    for what in [
        "isopropyl alcohol, 91 %",
        "3/4: 0.64 in.",
        "2: 1.90 in.",
        "2: 2.369 to 2.381 in.",
    ] {
        assert!(prints(GEOTHERMAL, what), "{what}");
    }
    // The limit for short heating is printed if the procedure covers cold
    // weather.
    assert!(prints(GEOTHERMAL, "10 sec") && !prints(GAS, "10 sec"));
    assert!(prints(&sticks, "494 °F") && prints(&sticks, "506 °F"));
}

#[test]
fn a_number_of_every_row_has_a_basis_a_source_and_a_place() {
    for text in [GEOTHERMAL, GAS] {
        let paper = paper(text, &[]);
        assert!(rows(&paper).count() > 30);
        for row in rows(&paper) {
            let said = [&row.name, &row.places, &row.basis, &row.source, &row.status];
            assert!(said.iter().all(|text| !text.trim().is_empty()), "{row:?}");
            assert!(!row.values.items.is_empty(), "{row:?}");
        }
    }
}

#[test]
fn a_statement_is_found_by_its_first_words() {
    for text in [GEOTHERMAL, GAS] {
        let paper = paper(text, &[]);
        let sheet = sheet(text);
        let printed = loose(&serde_json::to_string(&sheet.sections).unwrap())
            + &loose(&serde_json::to_string(&paper.regulation).unwrap());
        let sentences = rows(&paper).filter(|row| row.sentences);
        let openings: Vec<_> = sentences.flat_map(|row| &row.values.items).collect();
        assert!(openings.len() > 15, "{openings:?}");
        // The inspection page shows its statements as pictures, in words of its own.
        let shown = rows(&paper).filter(|row| row.places.contains("nspection"));
        let pictured: Vec<_> = shown.flat_map(|row| &row.values.items).collect();
        for (i, opening) in openings.iter().enumerate() {
            assert!(!openings[i + 1..].contains(opening), "{opening} twice");
            if pictured.contains(opening) {
                continue;
            }
            // The steps are named as a whole.
            if opening.starts_with("all steps") {
                continue;
            }
            let opening = opening.trim_end_matches(" \u{2026}");
            assert!(printed.contains(opening), "{opening} is not printed");
        }
    }
}

#[test]
fn the_estimate_says_that_it_is_no_time_to_work_by() {
    for (text, language, bar) in [
        (GEOTHERMAL, Language::En, "NOT A TIME TO WORK BY"),
        (GAS, Language::Es, "NO TRABAJE CON ESTOS TIEMPOS"),
    ] {
        let paper = with_procedure(text, |p, frame| {
            let frame = Frame {
                lang: language,
                words: crate::papers::sheets::house::Words::Program(Clauses::load(language)),
                ..frame
            };
            sources(p, &Advice::new(p), &[], library(), frame)
        });
        let heat = serde_json::to_value(&paper.heat).unwrap();
        assert_eq!(heat["bar"], bar);
        // The chart may stand on the next page.
        let caption = heat["chart"]["caption"].as_str().unwrap().to_uppercase();
        assert!(caption.starts_with(bar), "{caption}");
    }
}

/// What belongs to who reviews stands here, and nothing of it in the procedure.
#[test]
fn nothing_of_the_sources_stands_in_the_procedure() {
    for text in [GEOTHERMAL, GAS] {
        let (paper, sheet) = (paper(text, &[]), sheet(text));
        let procedure = loose(&serde_json::to_string(&sheet).unwrap());
        let said = [
            &paper.disclaimer.1,
            &paper.open.title,
            &paper.open.lead,
            &paper.status.lead,
        ];
        for sentence in said {
            assert!(!procedure.contains(sentence.as_str()), "{sentence}");
        }
        let mut texts: Vec<_> = paper.open.rows.iter().map(|point| &point.text).collect();
        let disagreements = paper.disagreements.iter().flat_map(|part| &part.rows);
        texts.extend(disagreements.map(|conflict| &conflict.decision));
        for text in texts {
            assert!(!procedure.contains(text.as_str()), "{text}");
        }
        assert!(!procedure.to_lowercase().contains("estimate"));
        assert!(all_words(&paper).contains("approves nothing"));
    }
}

/// The sides of a disagreement repeat numbers of its sentence; none may be another.
#[test]
fn the_sides_of_a_disagreement_have_the_numbers_of_its_sentence() {
    for language in Language::all() {
        let words = Clauses::load(language);
        let table = library()
            .tables()
            .iter()
            .find(|table| table.name == "conflicts")
            .unwrap();
        let keys: std::collections::BTreeSet<_> = table
            .entries
            .iter()
            .filter_map(|entry| entry.id.split(':').nth(1))
            .collect();
        assert!(keys.len() > 5);
        for key in keys {
            let text = |column: &str| {
                let entry = library()
                    .entry(&format!("conflicts:{key}:{column}"))
                    .unwrap();
                words.statement(entry).unwrap().to_owned()
            };
            let numbers = |text: &str| -> std::collections::BTreeSet<String> {
                let word = |c: char| !c.is_ascii_digit() && !matches!(c, '.' | ',');
                let found = text
                    .split(word)
                    .map(|n| n.trim_matches(['.', ',']).to_owned());
                found.filter(|number| !number.is_empty()).collect()
            };
            let (sides, sentence) = (text("sides"), text("figures") + &text("name"));
            assert!(sides.contains(" | "), "{key}");
            assert!(sides.split(" | ").all(|side| side.contains(": ")), "{key}");
            let left: Vec<_> = numbers(&sides)
                .difference(&numbers(&sentence))
                .cloned()
                .collect();
            assert!(left.is_empty(), "{key}: {left:?}");
        }
    }
}

/// Each practice has its own regulations: what was quoted under the qualification of a
/// procedure stands here, and only that of its practice.
#[test]
fn regulations_are_those_of_the_practice() {
    let gas = all_words(&paper(GAS, &[]));
    assert!(gas.contains("49 CFR 192.285(c)") && !gas.contains("EN 13067"));
    let water = all_words(&paper(WATER, &[]));
    assert!(water.contains("EN 13067") && !water.contains("192.285"));
}
