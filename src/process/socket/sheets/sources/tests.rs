//! What the paper of the sources must say.

use crate::core::finding::Rule;
use crate::core::source::Span;
use crate::papers::sheets::Block;
use crate::process::socket::sheets::procedure::tests::*;
use crate::process::socket::sheets::sources::*;
use crate::published::library;

fn paper(text: &str, findings: &[Finding]) -> SourcesSheet {
    with_procedure(text, |p, frame| {
        sources(p, &Advice::new(p), findings, library(), frame)
    })
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
    let sources = words(section(
        &paper(GEOTHERMAL, &findings).sections,
        "Sources of every figure",
    ));
    assert!(sources.contains("Lasting trouble"));
    assert!(
        !sources.contains("a-rule")
            && !sources.contains("assing trouble")
            && !sources.contains("mall trouble")
    );
}

#[test]
fn every_figure_of_a_joint_is_on_the_sources_sheet_with_its_source() {
    with_procedure(GAS, |p, frame| {
        let joints = p.joints.clone();
        let paper = sources(p, &Advice::new(p), &[], library(), frame);
        let sources = section(&paper.sections, "Sources of every figure");
        let Some(Block::Table(table)) = sources.blocks.get(1) else {
            panic!("no table of figures");
        };
        let prints = |value: &str, source: &str| {
            let mut rows = table.rows.iter();
            rows.any(|row| loose(&row[1].text).contains(value) && row[3].text == source)
        };
        for joint in joints {
            let (od, heat) = (joint.outside_diameter.unwrap(), joint.cycle.heat().unwrap());
            let od_text = od.value.show(crate::core::units::LengthUnit::Inch);
            assert!(prints(&format!("{} {od_text}", joint.size), &od.source));
            let most = heat.value.most.show();
            assert!(
                prints(&format!("to {most}"), &heat.source),
                "{}",
                joint.size
            );
        }
    });
}

#[test]
fn no_figure_of_a_table_is_missing_from_the_sources_sheet() {
    let pyrometer = "{method: pyrometer, accuracy: 2 °F}";
    assert!(GEOTHERMAL.contains(pyrometer));
    let sticks = "{method: two indicating sticks, melts: 494 °F, stays_solid: 506 °F}";
    let sticks = GEOTHERMAL.replace(pyrometer, sticks);
    for text in [GEOTHERMAL, GAS, &sticks] {
        let sheet = sheet(text);
        let paper = paper(text, &[]);
        let sources = words(section(&paper.sections, "Sources of every figure"));
        for title in ["Heater setting", "Pipe dimensions", "Depths and times"] {
            for block in &section(&sheet.sections, title).blocks {
                let Block::Table(table) = block else { continue };
                // The first cell names the row.
                for cell in table.rows.iter().flat_map(|row| row.iter().skip(1)) {
                    assert!(
                        sources.contains(&loose(&cell.text)),
                        "{title}: {}",
                        cell.text
                    );
                }
            }
        }
    }
    let prints = |text: &str, what: &str| {
        let paper = paper(text, &[]);
        words(section(&paper.sections, "Sources of every figure")).contains(what)
    };
    for what in [
        "isopropyl alcohol, 91 %",
        "3/4 IPS 0.64 in",
        "2 IPS 1.90 in",
    ] {
        assert!(prints(GEOTHERMAL, what), "{what}");
    }
    // The limit for short heating is printed if the procedure covers cold
    // weather.
    assert!(prints(GEOTHERMAL, "\"10 s\"") && !prints(GAS, "\"10 s\""));
    assert!(prints(&sticks, "494 °F") && prints(&sticks, "506 °F"));
}

#[test]
fn a_statement_is_found_by_its_first_words() {
    for text in [GEOTHERMAL, GAS] {
        let sheet = sheet(text);
        let paper = paper(text, &[]);
        let sources = section(&paper.sections, "Sources of every figure");
        let Some(Block::Table(table)) = sources.blocks.get(1) else {
            panic!("no table of figures");
        };
        for name in ["Cautions", "Acceptance", "Rejection", "What may be joined"] {
            let rows = table.rows.iter().filter(|row| row[0].text == name);
            let cells: Vec<_> = rows.map(|row| loose(&row[1].text)).collect();
            let openings: Vec<_> = cells.iter().flat_map(|cell| cell.split("; ")).collect();
            assert!(!openings.is_empty(), "{name}");
            let sections = sheet.sections.iter().chain(&paper.sections);
            let printed: Vec<_> = sections.map(words).collect();
            for (i, opening) in openings.iter().enumerate() {
                assert!(!openings[i + 1..].contains(opening), "{opening} twice");
                let opening = opening.trim_end_matches(" \u{2026}");
                let places = printed.iter().filter(|words| words.contains(opening));
                assert!(places.count() >= 2, "{opening} is not printed");
            }
        }
    }
}
